"""Has LibreOffice write the XLSX files that the everyday tests read: `python make.py FOLDER`."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tests.spreadsheet_program.kitchen import document

SOURCES = Path(__file__).with_name("sources")
# separator, quotation mark, UTF-8, first line, formats, language (hexadecimal 0407 is German,
# 0409 English of the USA), quoted is text, detect special numbers such as dates
GERMAN = "CSV:59,34,76,1,,1031,false,true"
AMERICAN = "CSV:44,34,76,1,,1033,false,true"


def convert(source: Path, to: str, folder: Path, infilter: str | None = None) -> Path:
    """Let LibreOffice convert a file; the new one."""
    profile = (folder / "profile").absolute().as_uri()
    command = ["soffice", f"-env:UserInstallation={profile}", "--headless"]
    command += [f"--infilter={infilter}"] if infilter else []
    done = subprocess.run(
        [*command, "--convert-to", to, "--outdir", str(folder), str(source)],
        capture_output=True,
        text=True,
        check=True,
        timeout=300,
    )
    made = folder / f"{source.stem}.{to.partition(':')[0]}"
    if not made.is_file() and not list(folder.glob(f"{source.stem}-*.csv")):
        raise RuntimeError(done.stdout + done.stderr)
    return made


def make(folder: Path) -> list[Path]:
    """All fixtures, made afresh in a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    made = [
        convert(SOURCES / "decimal-comma.csv", "xlsx", folder, GERMAN),
        convert(SOURCES / "taken-for-dates.csv", "xlsx", folder, AMERICAN),
    ]
    for name, hidden in (("kitchen", False), ("hidden-row", True)):
        source = folder / f"{name}.fods"
        source.write_text(document(hidden), encoding="utf-8")
        made.append(convert(source, "xlsx", folder))
    return made


if __name__ == "__main__":
    for one in make(Path(sys.argv[1])):
        print(one)
