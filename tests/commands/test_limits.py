"""`dietcheck limits`: which limits are shown for whom, and that they are those that rules use."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from referencing import Registry

from dietcheck.__main__ import main
from dietcheck.contract import Standing, find_taxon
from dietcheck.reading import Folder
from dietcheck.reporting import limits_json, limits_view
from dietcheck.reporting.layout import WIDTH, width
from dietcheck.screening.screen import screen
from tests import records
from tests.checkout import CHECKOUT, EXAMPLE_DAY
from tests.commands.console import call, listing, write
from tests.reporting.reports import limit

EXAMPLE = CHECKOUT / "example_repo"
SCHEMA = limits_json.schema()
VALIDATOR = Draft202012Validator(SCHEMA, registry=Registry())

SITE = """
record: limits
limits:
  - {group: tapir, quantity: sugars, at_most: 1 g per kg body mass, over: day, severity: high,
     why: "both run to fat\\t=1", set_by: "Dr <b>Vale</b>", on: 2026-03-10}
  - {taxon: Tapiridae, quantity: hats, at_most: 2 pieces, over: day, severity: low, why: fun,
     set_by: Dr Vale, on: 2026-03-10}
"""


def shown(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> tuple[int, str, str]:
    """Status and both outputs, without line breaks."""
    status = main(["limits", *map(str, arguments)])
    said = capsys.readouterr()
    return status, " ".join(said.out.split()), " ".join(said.err.split())


def written(capsys: pytest.CaptureFixture[str], tmp_path: Path, *arguments: str | Path) -> Any:
    """The JSON of a run, checked against its schema."""
    file = tmp_path / "limits.json"
    assert main(["limits", *map(str, arguments), "--write", f"json:{file}"]) == 0
    capsys.readouterr()
    text = file.read_text(encoding="utf-8")
    assert text.isascii()
    document = json.loads(text)
    VALIDATOR.validate(document)
    return document


def roles(document: Any, rule: str) -> dict[str, str]:
    """The role of each limit of a rule."""
    return {
        one["id"]: one["role"]
        for section in document["rules"]
        if section["rule"] == rule
        for one in section["limits"]
    }


def test_the_schema_is_a_schema_and_leaves_no_field_unsaid() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    shapes = [SCHEMA, *SCHEMA["$defs"].values()]
    assert all(s.get("additionalProperties") is False for s in shapes if s.get("type") == "object")


def test_all_limits_fit_the_page_and_the_schema(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    document = written(capsys, tmp_path)
    assert main(["limits"]) == 0
    assert max(map(width, capsys.readouterr().out.splitlines())) <= WIDTH
    listed = [one for section in document["rules"] for one in section["limits"]]
    cited = {ref["key"] for one in listed for ref in one["sources"]}
    assert {work["key"] for work in document["sources"]} <= cited
    for one in listed:
        has_bound = one["at_least"] is not None or one["at_most"] is not None
        assert has_bound is (one["standing"] not in ("no published limit", "limit not yet sourced"))
        assert one["standing"] != "published" or (one["sources"] and one["seen"])


def test_a_species_a_family_and_an_english_name(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    asked = [
        written(capsys, tmp_path, "--taxon", name, "--rule", "sugar-ceiling")
        for name in ("Tapirus terrestris", "tapirus terrestris", "Brazilian tapir")
    ]
    assert asked[0]["rules"] == asked[1]["rules"] == asked[2]["rules"]
    assert roles(asked[0], "sugar-ceiling") == {"tapiridae-amount": "applies"}
    family = roles(written(capsys, tmp_path, "--taxon", "Tapiridae"), "sugar-ceiling")
    assert family == {"tapiridae-amount": "listed"}


def test_an_absence_reads_in_its_exact_words(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = shown(capsys, "--taxon", "Lemur catta", "--quantity", "sugars")
    assert "Lemuridae: limit not yet sourced" in out
    _, out, _ = shown(capsys, "--taxon", "Hylobates lar", "--quantity", "sugars")
    assert "Hylobatidae: no published limit" in out


def test_a_published_limit_names_source_place_evidence_and_how_it_was_seen(
    capsys: pytest.CaptureFixture[str],
) -> None:
    _, out, _ = shown(capsys, "--taxon", "Tapirus", "--quantity", "dry-matter intake")
    assert "at least 48 and at most 86 g/kg^0.75" in out
    assert "published: Clauss" in out
    assert "abstract (only the abstract was read); evidence: survey" in out


def test_the_site_rule_takes_the_place_of_a_default(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    park = write(tmp_path / "park", {"limits.yaml": SITE}, dietcheck=records.settings(more=PACKS))
    document = written(capsys, tmp_path, park, "--taxon", "tapir", "--quantity", "sugars")
    assert roles(document, "sugar-ceiling") == {"site-1": "applies", "tapiridae-amount": "held"}
    everything = written(capsys, tmp_path, park)
    assert [one["quantity"] for one in everything["read_by_no_rule"]] == ["hats"]
    _, out, _ = shown(capsys, park, "--taxon", "Tapirus terrestris", "--quantity", "sugars")
    assert "site rule, set by Dr <b>Vale</b> on 2026-03-10, in limits.yaml" in out
    assert "takes the place of a default without a source" in out


PACKS = "packs: [dietcheck_rules]"


def test_a_rule_that_is_switched_off_is_said(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    off = f"{PACKS}\nrules: [{{rule: sugar-ceiling, set: off, why: w, set_by: V, on: 2026-01-01}}]"
    park = write(tmp_path, dietcheck=records.settings(more=off))
    _, out, _ = shown(capsys, park, "--rule", "sugar-ceiling")
    assert "Here switched off, by V on 1 Jan 2026: w" in out


def test_limits_shown_are_those_that_rules_judge_by() -> None:
    report = screen(Folder(EXAMPLE), date.fromisoformat(EXAMPLE_DAY))
    assert report.collection is not None
    compared = 0
    for judged in report.judged:
        used = judged.check.limit
        if used is None or judged.group is None:
            continue
        group = report.collection.groups[judged.group]
        subject = limits_view.species(group.taxon, group)
        found = limits_view.blocks(report.limits[judged.rule], subject, used.quantity)
        role = {e.limit.id: e.role for block in found for e in block.entries}.get(used.id)
        assert role in ("applies", "beside"), (judged.rule, judged.group, used.id)
        compared += role == "applies"
    assert compared > 50


def test_the_strictest_of_a_kind_stands_first() -> None:
    rows = (limit(id="loose", at_most=9), limit(id="strict", at_most=3), limit(id="dry", basis="x"))
    (block,) = limits_view.blocks(rows, limits_view.Subject(), None)
    assert [(e.limit.id, e.role) for e in block.entries] == [
        ("strict", "strictest"), ("loose", "listed"), ("dry", "listed"),
    ]  # fmt: skip
    tapir = find_taxon("Tapirus terrestris")
    assert tapir is not None
    (block,) = limits_view.blocks(rows[:2], limits_view.species(tapir), "carrot")
    assert [(e.limit.id, e.role) for e in block.entries] == [
        ("strict", "applies"), ("loose", "beside"),
    ]  # fmt: skip


def test_why_a_limit_that_is_held_is_not_used() -> None:
    tapir = find_taxon("Tapirus terrestris")
    assert tapir is not None
    rows = (
        limit(id="near"),
        limit(id="far", taxon="Mammalia"),
        limit(id="case", condition="in quarantine"),
        limit(id="young", stage="infant", at_most=1),
        limit(id="none", quantity="carrot", taxon="Mammalia", standing=Standing.NO_PUBLISHED_LIMIT),
    )
    (block,) = limits_view.blocks(rows, limits_view.species(tapir), None)
    found = {e.limit.id: e for e in block.entries}
    assert (found["near"].role, found["young"].role, found["far"].role) == (
        "applies", "applies", "held",
    )  # fmt: skip
    assert "in quarantine" in found["case"].why_not


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("--taxon", "Tapirus terestris"), "Nearest: Tapirus terrestris."),
        (("--taxon", "lowland tapirs"), "Brazilian tapir"),
        (("--taxon", "qqqqqq"), "Write a scientific name"),
        (("--rule", "sugar-celing"), "Here are sugar-ceiling"),
        (("--rule", "unknown_food"), "has no limits"),
        (("--quantity", "sugr"), "Limits are held on sugars."),
        (("--pack", "nobody_wrote_this"), "is not installed"),
        (("--write", "csv:x"), "Write json"),
        (("gone",), "there is no folder"),
    ],
)
def test_a_slip_is_told_with_the_nearest_right_thing(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    arguments: tuple[str, ...],
    says: str,
) -> None:
    monkeypatch.chdir(tmp_path)
    status, out, err = shown(capsys, *arguments)
    assert (status, out) == (2, "")
    assert says in err
    assert not any(word in err for word in ("Traceback", "invalid", "null", "schema", "parse"))


def test_records_that_cannot_be_read_are_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, out, err = shown(capsys, write(tmp_path, {"bad.yaml": "record: [\n"}))
    assert status == 2
    assert "bad.yaml" in err
    assert "Limits of Test Park" in out


def test_the_same_bytes_each_time_and_nothing_else_written(tmp_path: Path) -> None:
    before = listing(EXAMPLE)
    runs = []
    for seed in ("1", "2"):
        file = tmp_path / seed
        done = call("limits", EXAMPLE, "--taxon", "marmoset", "--write", f"json:{file}",
                    env={"PYTHONHASHSEED": seed})  # fmt: skip
        assert done.status == 0
        runs.append((done.out, file.read_bytes()))
    assert runs[0] == runs[1]
    assert listing(EXAMPLE) == before
