"""The comparison as a page, as JSON and as a comment: complete, harmless, the same each time."""

from __future__ import annotations

import json
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from msgspec.structs import force_setattr, replace
from referencing import Registry

from dietcheck.reporting import change_json, change_text
from dietcheck.reporting.change_report import KINDS, ChangeReport, compare_reports, render
from dietcheck.reporting.layout import WIDTH, width
from dietcheck.testing import report_of
from tests import records
from tests.hostile.test_output import NASTY, harmless
from tests.reporting.changes import FOODS, compared, sheet
from tests.reporting.reports import Toy, breach
from tests.reporting.test_markdown import MOST_CHARACTERS, TAGS, tags

SCHEMA = change_json.schema()
VALIDATOR = Draft202012Validator(SCHEMA, registry=Registry())
TEN_TIMES = {"sheet": sheet("6 kg")}
BROKEN = {"broken": "record: [\n"}


def written(report: ChangeReport) -> Any:
    """The comparison as another program reads it, checked against the schema."""
    text = render("json", report)
    assert text.isascii()
    document = json.loads(text)
    VALIDATOR.validate(document)
    return document


def hostile(text: str) -> ChangeReport:
    """A comparison in which every name and phrase that somebody may choose is that text."""
    line = "{food: carrot, amount: %s per animal, cut: whole, for: [T1]}"
    gift = "{food: leaf, amount: 9 g per animal}"
    before, after = (
        report_of(
            Toy((breach(about=about, message=text, food=text, advice=text),), text),
            records.small(foods=FOODS, sheet=records.sheet({"roots": [line % amount, *more]})),
            records.ON,
        )
        for about, amount, more in (("one", "1 g", [gift]), ("other", "2 g", []))
    )
    for report in (before, after):
        collection, diets = report.collection, report.diets
        assert collection is not None
        assert diets is not None
        for food in collection.foods.values():
            force_setattr(food, "id", text)
        (sheet_,) = collection.sheets["tapir"]
        for meal in sheet_.meals.values():
            for one in meal.lines:
                force_setattr(one, "cut", text + one.amount.text)
        force_setattr(sheet_, "meals", {text: sheet_.meals["roots"]})
        for day in collection.rotas["tapir"][0].days:
            force_setattr(day, "feeds", {text: (text,)})
        diet = diets["tapir"]
        animals = tuple(replace(animal, id=text, name=text) for animal in diet.group.animals)
        diet.group = replace(diet.group, name=text, enclosure=text, animals=animals)
        collection.groups["tapir"] = diet.group  # type: ignore[index]
    names: dict[str, Any] = {
        "name": text,
        "read_from": text,
        "left_out": (text,),
        "drafts": (text,),
    }
    found = compare_reports(replace(before, **names), replace(after, **names))
    return replace(found, groups=tuple(replace(group, group=text) for group in found.groups))


def test_the_schema_is_a_schema_and_leaves_no_field_unsaid() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    shapes = [SCHEMA, *SCHEMA["$defs"].values()]
    assert all(s.get("additionalProperties") is False for s in shapes if s.get("type") == "object")


@pytest.mark.parametrize(
    "report",
    [
        compared(),
        compared(after=TEN_TIMES),
        compared(before=BROKEN, after=TEN_TIMES),
        compared(after={"rhea": records.group("rhea", "Rhea americana", ["{id: R1}"])}),
        compared(before={"rota": records.rota(["{morning: roots}"], start="2030-01-01")}),
        compared({"sheet": sheet("600 g", "{food: leaf, amount: 5 pieces per animal}")}),
    ],
    ids=["same", "amount", "unread", "new group", "no plan", "unknown amount"],
)
def test_every_sort_of_comparison(report: ChangeReport) -> None:
    document = written(report)
    assert len(document["groups"]) == len(report.groups)
    page = change_text.render(report)
    assert all(width(line) <= WIDTH for line in page.splitlines())
    assert tags(render("markdown", report)) <= TAGS | {"table", "thead", "tbody", "tr", "th", "td"}


def test_the_json_carries_the_figures() -> None:
    (group,) = written(compared(after=TEN_TIMES))["groups"]
    (change,) = group["changes"]
    assert (change["subject"], change["old"], change["new"], change["where"]) == (
        "carrot", "600 g per animal", "6 kg per animal", ["roots"],
    )  # fmt: skip
    (ration,) = group["rations"]
    sugars = next(f for f in ration["figures"] if f["key"] == "sugars")
    assert sugars["before"]["low"] == 56.88  # 12 × 4.74 g: SR28, 11124
    assert sugars["difference"] == {"low": 511.92, "high": 511.92, "best": 511.92}


def test_the_page_and_the_comment_carry_the_figures() -> None:
    report = compared(after=TEN_TIMES)
    for said in (change_text.render(report), render("markdown", report)):
        assert "carrot: 600 g per animal → 6 kg per animal (roots)" in said
        assert "56.9" in said
        assert "+512" in said
    assert "| total sugars, g | 56.9 | 569 | +512 |" in render("markdown", report)


def test_what_could_not_be_read_stands_first_and_clears_nothing() -> None:
    for side in ({"before": BROKEN}, {"after": BROKEN}):
        report = compared(**side)
        assert not report.is_whole
        for said in (change_text.render(report), render("markdown", report)):
            assert "broken.yaml" in said
            assert "nothing here is cleared" in " ".join(said.split())
        assert not written(report)["complete"]


def test_the_comment_and_the_page_stay_short_whatever_the_collection() -> None:
    groups = {f"g{n}": records.group(f"g{n}", animals=["{id: A}", "{id: B}"]) for n in range(60)}
    rotas = {f"r{n}": records.rota(["{morning: roots}"] * 2, f"g{n}") for n in range(60)}
    sheets = [
        {f"s{n}": sheet(amount, group=f"g{n}") for n in range(60)} for amount in ("1 g", "1 kg")
    ]
    report = compared(*(groups | rotas | one for one in sheets))
    said = render("markdown", report)
    assert len(said) < MOST_CHARACTERS
    assert "… and 36 more" in said
    assert len(change_text.render(report).splitlines()) < 700
    assert len(written(report)["groups"]) == 60


@pytest.mark.parametrize("text", NASTY.values(), ids=NASTY)
def test_hostile_texts(text: str) -> None:
    report = hostile(text)
    assert report.groups[0].changes
    assert len(report.difference.new) == 1
    harmless(change_text.render(report))
    comment = render("markdown", report)
    harmless(comment)
    assert tags(comment) <= TAGS | {"table", "thead", "tbody", "tr", "th", "td"}
    assert len(comment) < MOST_CHARACTERS
    written(report)


@pytest.mark.parametrize("kind", KINDS)
def test_the_order_of_files_plays_no_part(kind: str) -> None:
    first = compared({"foods": FOODS}, {"sheet": sheet("6 kg"), "foods": FOODS})
    last = compared(
        {"foods": FOODS}, dict(reversed({"sheet": sheet("6 kg"), "foods": FOODS}.items()))
    )
    assert render(kind, first) == render(kind, last)
