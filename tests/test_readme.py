"""What the README tells a reader to type is what the checks run."""

from __future__ import annotations

from tests.checkout import CHECKOUT, succeed

README = (CHECKOUT / "README.md").read_text(encoding="utf-8")


def test_the_commands_that_are_checked_are_those_a_reader_sees() -> None:
    checked = succeed("bash", ".ci/run", "commands", cwd=CHECKOUT).splitlines()
    assert len(checked) == 2
    assert set(checked) <= shown_as_code(README)
    tried, tested = checked
    assert "dietcheck screen example_repo" in tried
    assert ".venv/bin/pytest" in tested


def shown_as_code(text: str) -> set[str]:
    """The lines in fences and those set in by four blanks."""
    code, fenced = set(), False
    for line in text.splitlines():
        if line.startswith("```"):
            fenced = not fenced
        elif fenced or line.startswith("    "):
            code.add(line.strip())
    return code
