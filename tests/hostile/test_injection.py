"""No text of any field of any record does anything in any output: real parsers are the judges.

Each field in turn holds a text that would be HTML, Markdown, a formula, a command of a CI log, a
movement of the terminal's cursor or a turn of the writing direction, if some output let it.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator, Mapping
from copy import deepcopy
from functools import cache
from pathlib import Path
from typing import Any

import cmarkgfm
import pytest
from cmarkgfm.cmark import Options
from lxml import etree, html

from dietcheck.__main__ import main
from dietcheck.collection.build_settings import BUNDLED_PACK
from dietcheck.reading import check_file
from dietcheck.reading.kinds import KINDS as RECORD_KINDS
from dietcheck.reporting import KINDS, Asked, render, terminal
from dietcheck.screening.packs import LoadedRule, load_packs
from dietcheck.screening.screen import screen
from dietcheck.testing import Memory
from tests import records
from tests.checkout import commit_all
from tests.hostile.rich_park import PARK
from tests.hostile.test_output import harmless

Way = tuple[Any, ...]

MARKUP = (
    "<pwn onload=x>\"'&lt;pwn&gt;</style><script>x</script> "
    "[x](javascript:x) ![x](//pwn) `@pwn` |a| <!-- ]]>"
)
LOG = "##vso[task.complete] ##[error]x %0A::stop-commands::x"
VISIBLE = f"=HYPERLINK(1;2);=1+1 {MARKUP} {LOG}"
COMMAND = f"::error file=a::gone {LOG}"
ESCAPE = "\x1b[2J\x1b]0;t\x07\r\n::error::x\n- @pwn\x9b31m \u202egpj.exe\u2066 \u0000\u0085"
PAYLOADS = (VISIBLE, COMMAND, ESCAPE)
TAGS = {"h3", "h4", "p", "ul", "ol", "li", "strong", "em", "code", "sub", "table", "thead",
        "tbody", "tr", "th", "td", "h1", "h2", "hr"}  # fmt: skip
DATA = Path(__file__).parents[1] / "reporting" / "data"


@cache
def rules() -> tuple[LoadedRule, ...]:
    """The rules that come along."""
    return load_packs([BUNDLED_PACK])


@cache
def junit_schema() -> Any:
    """The XML schema of the JUnit format."""
    return etree.XMLSchema(etree.parse(str(DATA / "junit-10.xsd")))


def fields(value: Any, way: Way = ()) -> Iterator[Way]:
    """The way to every text, and to every key that people choose (marked by an ending None)."""
    if isinstance(value, dict):
        for key, inner in value.items():
            if way and way[-1] in ("meals", "foods", "mix", "weights", "weigh_every"):
                yield (*way, key, None)
            yield from fields(inner, (*way, key))
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            yield from fields(inner, (*way, number))
    elif isinstance(value, str):
        yield way


def with_text(way: Way, text: str) -> dict[str, str]:
    """The park with one text, or one key, exchanged. JSON is YAML that can write anything."""
    park = deepcopy(PARK)
    box: Any = park
    steps = way[:-2] if way[-1] is None else way[:-1]
    for step in steps:
        box = box[step]
    if way[-1] is None:
        box[text] = box.pop(way[-2])
    else:
        box[way[-1]] = text
    return {file: json.dumps(data) for file, data in park.items()}


EVERY = [way for way in fields(PARK) if way[1:] != ("record",)]


def test_every_kind_of_record_is_there() -> None:
    assert {data["record"] for data in PARK.values()} == set(RECORD_KINDS)
    assert len(EVERY) > 100


def judge(kind: str, text: str) -> None:
    """Read an output as the program does that it is made for."""
    match kind.removesuffix("+"):
        case "terminal":
            harmless(text)
        case "html":
            judge_html(text)
        case "markdown":
            harmless(text)
            shown = cmarkgfm.github_flavored_markdown_to_html(text, Options.CMARK_OPT_UNSAFE)
            assert set(re.findall(r"<(\w+)", shown)) <= TAGS
            assert "@pwn" not in shown
        case "junit":
            junit_schema().assertValid(etree.fromstring(text.encode("utf-8")))
            assert "<pwn" not in text
            no_commands(text)
        case "csv":
            judge_csv(text)
        case _:
            json.loads(text)
            no_commands(text)
            assert text.replace("\n", "").isprintable()


def no_commands(text: str) -> None:
    """No line that a CI log would obey, were the file printed into one."""
    for line in text.split("\n"):
        assert not line.lstrip().startswith("::"), ascii(line)


def judge_html(text: str) -> None:
    """The page holds no element, attribute or address that a text brought."""
    root = html.fromstring(text.encode("utf-8"))
    for element in root.iter(etree.Element):
        assert element.tag not in ("script", "pwn", "img", "iframe", "object", "base", "link")
        for name, value in element.attrib.items():
            assert not str(name).startswith("on")
            if name in ("href", "src", "action", "xlink:href"):
                assert str(value).startswith("#"), value
    assert "\x1b" not in text
    assert "\u202e" not in text


def judge_csv(text: str) -> None:
    """Divided at commas or at semicolons, no cell is a formula and every row is as long."""
    assert "\x1b" not in text
    rows = list(csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline="")))
    assert len({len(row) for row in rows}) == 1
    for row in rows:
        for cell in (part for whole in row for part in whole.split(";")):
            bare = cell.strip()
            assert not re.match(r"[=+\-@\t\r]", bare) or re.fullmatch(r"-?[\d.]+", bare), ascii(
                cell
            )


def judge_all(files: Mapping[str, str]) -> None:
    """Every kind of report on a park."""
    found = screen(Memory(files), records.ON, load=lambda _: rules())
    for kind in KINDS:
        judge(kind, render(kind, found, Asked()))
    judge("terminal", terminal.render(found, Asked()))


@pytest.mark.parametrize("file", PARK)
def test_no_field_does_anything_in_any_report(file: str) -> None:
    """The reader refuses every sign that cannot be seen, in one place for all: some fields do."""
    for number, way in enumerate(EVERY):
        if way[0] != file:
            continue
        for payload in (VISIBLE, ESCAPE) if number % 6 == 0 else (VISIBLE,):
            try:
                judge_all(with_text(way, payload))
            except Exception as error:  # says which field it was
                error.add_note(f"{way}")
                raise


def loose(payload: str) -> dict[str, str]:
    """The park with that text in every field at once where it may stand."""
    park = deepcopy(PARK)
    for way in EVERY:
        text = with_text(way, payload)[way[0]]
        if way[-1] is None or check_file(way[0], text.encode()).problems:
            continue
        if way[-1] in ("id", "group", "food", "rule", "species", "by") or way[-2] == "groups":
            continue  # names that lead to other records
        box: Any = park
        for step in way[:-1]:
            box = box[step]
        box[way[-1]] = payload
    return {file: json.dumps(data) for file, data in park.items()}


@pytest.mark.parametrize("payload", [VISIBLE, COMMAND])
def test_nor_do_all_fields_at_once(payload: str) -> None:
    files = loose(payload)
    assert sum(text.count("pwn") + text.count("stop-comm") for text in files.values()) > 20
    judge_all(files)


OTHERS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "prep": (("prep",), ("html", "csv", "json")),
    "order": (("order",), ("csv", "json")),
    "ration": (("ration", "tapir"), ("html", "csv", "json")),
}


def run(
    capsys: pytest.CaptureFixture[str], park: Path, name: str, *more: str, writes: tuple[str, ...]
) -> None:
    """One command as a person gives it: judge all that it prints and writes."""
    out = park.parent
    targets = [part for w in writes for part in ("--write", f"{w}:{out / f'out.{w}'}")]
    day = ["--on", "2026-11-25"] if name != "order" else ["--from", "2026-11-25"]
    main([name, str(park), *more, *day, *targets])
    said = capsys.readouterr()
    assert "Traceback" not in said.err
    harmless(said.out)
    harmless(said.err)
    for kind in writes:
        file = out / f"out.{kind}"
        if file.exists():
            judge(kind, file.read_text(encoding="utf-8"))
            file.unlink()


def laid(park: Path, files: Mapping[str, str]) -> Path:
    """The files on disk."""
    park.mkdir(exist_ok=True)
    for file, text in files.items():
        (park / file).write_text(text, encoding="utf-8")
    return park


@pytest.mark.parametrize("payload", [VISIBLE, COMMAND])
def test_no_text_does_anything_in_the_kitchen_a_ration_a_comparison_or_an_answer(
    payload: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every field at once, compared with the version before, and asked about as a treat."""
    park = laid(tmp_path / "park", {file: json.dumps(data) for file, data in PARK.items()})
    commit_all(park)
    laid(park, loose(payload))
    for name, (words, writes) in OTHERS.items():
        run(capsys, park, name, *words[1:], writes=writes)
    run(capsys, park, "change", "--since", "HEAD", writes=("markdown", "json"))
    treat = tmp_path / "treat.yaml"
    treat.write_text(loose(payload)["treats.yaml"], encoding="utf-8")
    run(capsys, park, "try", str(treat), writes=("json",))


@pytest.mark.parametrize("payload", [VISIBLE, COMMAND])
def test_no_field_does_anything_on_standard_error(
    payload: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What cannot be read is told there, with the text that cannot be."""
    for way in EVERY[:: 5 if payload == VISIBLE else 4]:
        park = laid(tmp_path / "park", with_text(way, payload))
        try:
            run(capsys, park, "ration", "tapir", writes=())
        except Exception as error:
            error.add_note(f"{way}")
            raise


def test_a_hostile_name_of_a_signer_or_a_condition_is_harmless_when_signing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    park = laid(tmp_path / "park", {file: json.dumps(data) for file, data in PARK.items()})
    for payload in PAYLOADS:
        for given in (["--by", payload, "--role", "vet"],
                      ["--by", "Dr Vale", "--role", "vet", "--condition", payload]):  # fmt: skip
            main(["sign", str(park), "--on", "2026-11-25", *given])
            said = capsys.readouterr()
            harmless(said.out)
            harmless(said.err)
