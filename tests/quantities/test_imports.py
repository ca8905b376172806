"""Reading quantities stays light: no unit library, and no refusal tables, until needed."""

import subprocess
import sys


def test_reading_amounts_imports_no_unit_library() -> None:
    code = (
        "import sys, dietcheck.quantities as q; q.read_amount('45 g per animal');"
        "q.read_bound('6 % of dry matter'); q.read_content('>= 14 %');"
        "print([name for name in ('pint', 'numpy', 'difflib', 'fractions') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
