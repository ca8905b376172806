"""Texts and terminals that would break a careless program: what reaches the reader stays harmless.

Names of files, animals and foods can hold anything that their author liked, and output can go to
any encoding or nowhere.
"""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from dietcheck.__main__ import main
from dietcheck.collection.places import Pointer
from dietcheck.commands.output import complain, say
from dietcheck.errors import JobError
from dietcheck.reporting import Asked, render, terminal
from dietcheck.reporting.layout import shown
from dietcheck.screening.report import Report
from tests import records
from tests.commands.console import SCRIPT, call, write
from tests.reporting.reports import afternoons, breach, report

NASTY = {
    "escape": "\x1b[2J\x1b[31mred\x1b]0;title\x07",
    "control 1": "\x9b31m",
    "log command": "fine\n::error file=a,line=1::gone\r\n::stop-commands::x",
    "log command in a long word": "x" * 65 + "::error::gone",
    "other log command": "##vso[task.complete result=Succeeded] ##[error] ###[group]",
    "bidi": "\u202egnp.exe\u2066\u200f",
    "zero width": "a\u200bb\ufeff\u2028c",
    "half a pair": "\ud800 \udcff",
    "nul": "a\0b",
    "ten thousand": "carrot" * 1700,
    "blanks": " " * 500,
    "wide": "胡萝卜" * 100,
    "combining": "e" + "\u0301" * 300,
    "markup": "<script>alert(1)</script>\"&'`|",
    "percent": "%0A::error::%s {0} {}",
}


def hostile(text: str) -> Report:
    """A report in which everything that anybody wrote is that text."""
    check = breach(
        message=text,
        advice=text,
        food=text,
        about=text,
        animals=(text,),
        occasions=tuple(replace(w, slot=text, meal=text) for w in afternoons(1)),
        weak=(text,),
        settles=text,
        working=(text,),
        places=(Pointer(text), Pointer("sheet.yaml")),
    )
    found = report(check, title=text)
    return replace(found, name=text, left_out=(text,), drafts=(text,), read_from="memory")


def harmless(page: str) -> None:
    """Nothing in a page moves the cursor, hides text or speaks to a CI log."""
    for line in page.split("\n"):
        assert line.isprintable(), ascii(line)
        assert not line.lstrip().startswith("::")
        assert "##[" not in line
        assert "##vso" not in line


@pytest.mark.parametrize("text", NASTY.values(), ids=NASTY)
def test_the_page_is_harmless(text: str) -> None:
    harmless(terminal.render(hostile(text), Asked()))


@pytest.mark.parametrize("text", NASTY.values(), ids=NASTY)
def test_a_long_text_does_not_bury_the_rest(text: str) -> None:
    assert len(terminal.render(hostile(text), Asked())) < 20_000


@given(st.text(st.characters(), min_size=1, max_size=200))
def test_no_text_at_all_makes_the_page_harmful(text: str) -> None:
    harmless(terminal.render(hostile(text), Asked()))


@given(st.text(alphabet=":#[vso ", max_size=40))
def test_pulled_apart_signs_do_not_form_anew(text: str) -> None:
    assert "::" not in shown(text)
    assert "##" not in shown(text)


@pytest.mark.parametrize("kind", ["json", "sarif"])
@pytest.mark.parametrize("text", NASTY.values(), ids=NASTY)
def test_report_files_can_be_read_back(kind: str, text: str) -> None:
    written = render(kind, hostile(text), Asked())
    assert "\x1b" not in written
    written.encode("ascii")
    json.loads(written)


NAMES = ["a\x1b[31m.yaml", "b\n::error::x.yaml", "c\u202egpj.yaml", b"d\xff.yaml"]


@pytest.mark.parametrize("name", NAMES, ids=ascii)
def test_a_nasty_file_name_is_a_finding_that_is_safe_to_print(
    tmp_path: Path, name: str | bytes
) -> None:
    park = write(tmp_path)
    (park / os.fsdecode(name)).write_text("record: group\n")
    done = call("screen", "--write", "sarif:f.sarif", "--write", "json:f.json", cwd=park)
    assert done.status == 1
    assert "name of this file has" in " ".join(done.out.split())
    harmless(done.out)
    harmless(done.err)
    for file in ("f.sarif", "f.json"):
        json.loads((park / file).read_text(encoding="ascii"))


@pytest.mark.parametrize("name", NAMES, ids=ascii)
def test_a_nasty_name_given_on_the_command_line_is_safe_to_print(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    name: str | bytes,
) -> None:
    monkeypatch.chdir(write(tmp_path))
    given = os.fsdecode(name)
    for arguments in (["--draft", given], [given], ["--write", given], ["--on", given]):
        assert main(["screen", *arguments]) == 2
        said = capsys.readouterr()
        assert said.out == ""
        harmless(said.err)


def test_nasty_texts_inside_records_never_reach_the_page_raw(tmp_path: Path) -> None:
    """YAML escapes can write what no editor shows."""
    sheet = records.sheet({'"a\\e[2J\\u202e"': ['{food: "x\\n::error::y", amount: "\\e[31m"}']})
    done = call("screen", write(tmp_path, sheet=sheet))
    assert done.status == 1
    harmless(done.out)


# --- encodings and ends of the line -------------------------------------------------------------


@pytest.mark.parametrize(
    "env",
    [
        {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
        {"PYTHONIOENCODING": "ascii:strict"},
        {"PYTHONIOENCODING": "latin-1"},
        {"PYTHONIOENCODING": "cp437:strict"},
        {"PYTHONIOENCODING": "utf-16"},
        {"PYTHONIOENCODING": "utf-7"},
        {"PYTHONIOENCODING": "utf-8:surrogateescape"},
        {"PYTHONIOENCODING": "idna"},
    ],
    ids=str,
)
def test_no_encoding_of_the_terminal_stops_the_findings(
    tmp_path: Path, env: dict[str, str]
) -> None:
    """The sheet's key stands twice, so that the message holds quotes outside ASCII."""
    park = write(
        tmp_path, sheet=records.sheet({"roots": ["{food: carrot, food: 胡, amount: 1 g}"]})
    )
    done = call("screen", park, env=env)
    assert done.status == 1
    assert "Traceback" not in done.err
    assert "sheet.yaml" in done.out.replace("\0", "")


@pytest.mark.parametrize("redirect", [">&-", "2>&-", ">&- 2>&-", "<&-"])
def test_a_closed_stream_changes_no_status(tmp_path: Path, redirect: str) -> None:
    park = write(tmp_path, sheet="record: [\n")
    for arguments, status in (("screen", 1), ("screen gone", 2)):
        done = subprocess.run(
            ["sh", "-c", f'"{SCRIPT}" {arguments} {redirect}'],
            cwd=park,
            capture_output=True,
            check=False,
        )
        assert done.returncode == status
        assert b"Traceback" not in done.stderr
        assert b"findings" not in done.stderr


def test_a_reader_that_leaves_early_is_no_error(tmp_path: Path) -> None:
    park = write(tmp_path, sheet="record: [\n")
    done = subprocess.run(
        ["sh", "-c", f'{{ "{SCRIPT}" screen; echo "status $?" >&2; }} | true'],
        cwd=park,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stderr.splitlines() == ["status 1"]


def test_findings_that_cannot_be_written_are_not_a_pass(tmp_path: Path) -> None:
    """Standard output leads to a file that is open for reading only."""
    park = write(tmp_path)
    with open(park / "dietcheck.yaml", "rb") as no_output:
        done = subprocess.run(
            [SCRIPT, "screen", park], stdout=no_output, stderr=subprocess.PIPE, check=False
        )
    assert done.returncode == 2
    assert b"could not be written" in done.stderr
    assert b"Traceback" not in done.stderr
    assert b"Exception ignored" not in done.stderr


class Closed(io.StringIO):
    """A stream that somebody closed under the program."""

    def write(self, _: str) -> int:
        raise ValueError("I/O operation on closed file")


def test_a_stream_closed_inside_is_told_or_ignored(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", Closed())
    monkeypatch.setattr(sys, "stderr", Closed())
    with pytest.raises(JobError):
        say("findings")
    complain("a note")
    assert main(["--version"]) == 2


def test_the_signs_of_the_reports_have_plain_stand_ins(monkeypatch: pytest.MonkeyPatch) -> None:
    stream = io.TextIOWrapper(io.BytesIO(), encoding="ascii")
    monkeypatch.setattr(sys, "stdout", stream)
    say("“2 × 3 µg” – …胡")
    stream.seek(0)
    assert stream.read() == '"2 x 3 mcg" - ...\\u80e1'
