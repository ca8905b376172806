"""The feed kitchen's sheet and the order list in every kind of output. All records invented."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Mapping
from datetime import timedelta
from decimal import Decimal
from importlib.resources import files
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from msgspec.structs import force_setattr, replace
from referencing import Registry

from dietcheck.nutrition.kitchen import Kitchen
from dietcheck.nutrition.kitchen_store import kitchen_day, order
from dietcheck.quantities import Interval, between, exact
from dietcheck.reporting import prep, prep_csv, prep_html, prep_json, prep_order, prep_text
from dietcheck.reporting.layout import WIDTH, shown, width
from dietcheck.reporting.prep import PrepReport
from dietcheck.reporting.prep_figures import mass
from dietcheck.reporting.prep_held import Held
from dietcheck.reporting.prep_order import OrderReport
from tests import records
from tests.hostile.test_output import NASTY
from tests.reporting.test_ration_csv import FORMULAS
from tests.reporting.test_ration_html import MARKUP, Page

PARK = {
    "group": records.group(
        animals=(
            "{id: T1, name: Bo, never: [kale], weighings: [{on: 2026-11-20, mass: 200 kg}]}",
            "{id: T2}",
        )
    ),
    "second": records.group("rhea", "Rhea americana", animals=("{id: R1}",), enclosure="Meadow"),
    "foods": records.foods(
        carrot="{same_as: carrot}",
        kale="{same_as: kale}",
        mash="{name: Mash, mix: {carrot: 50 %, kale: 50 %}}",
        cricket="{class: insect, form: live, unknown_composition: invented}",
        fish="{class: fish, form: frozen-thawed, piece: 80 to 90 g, unknown_composition: invented}",
        chalk="{class: mineral, unknown_composition: invented}",
    ),
    "sheet": records.sheet(
        {
            "roots": [
                "{food: mash, amount: 301 g per animal, cut: dice, presentation: in a trough}",
                "{food: carrot, amount: 1.111 g per kg body mass, note: by hand}",
                '{food: kale, amount: "ad lib, expected 200 g per group"}',
                "{food: cricket, amount: 3 pieces per animal, treat: enrichment}",
                "{food: fish, amount: 1 piece per animal, for: [T1, T9]}",
            ]
        },
        more="supplements: [{food: chalk, amount: 0.05 g per animal, with: [roots]}]",
    ),
}
SCHEMAS = {
    name: json.loads((files("dietcheck.reporting") / "schemas" / f"{name}.schema.json").read_text())
    for name in ("prep", "order")
}


def sheet(days: int = 1, **more: Any) -> PrepReport:
    """The sheets of the park, a group held back among them."""
    collection = records.linked(records.small(**PARK))
    kitchen = Kitchen(collection, records.ON)
    tapir, rhea = collection.groups["tapir"], collection.groups["rhea"]
    facts: dict[str, Any] = {
        "collection": "Test Park",
        "on": records.ON,
        "read_from": "records in memory",
        "days": tuple(
            kitchen_day(kitchen, [tapir], records.ON + timedelta(days=n), [rhea])
            for n in range(days)
        ),
        "held": (Held(rhea, ("Rhea: too much of it.",), ("Last approved: never.",)),),
        "open_findings": {"tapir": 2},
        "slots": ("morning", "afternoon", "noon"),
    }
    return PrepReport(**(facts | more))


def ordered(report: PrepReport) -> OrderReport:
    """The order for the days of a report."""
    first, last = report.days[0].on, report.days[-1].on
    return OrderReport(
        collection=report.collection,
        read_from=report.read_from,
        first=first,
        last=last,
        wanted=order(report.days),
        held=report.held,
        not_planned=(("Rheas", (first, last)),),
    )


def hostile(text: str) -> PrepReport:
    """A report in which every name that somebody may choose is that text."""
    report = sheet()
    for day in report.days:
        for one in day.groups:
            for name in ("id", "name", "enclosure"):
                force_setattr(one.group, name, text)
            for animal in one.group.animals:
                force_setattr(animal, "name", text)
            for bar in one.bars:
                force_setattr(bar, "names", (text,))
            for dish in one.dishes:
                for part in ("cut", "presentation", "note", "treat"):
                    force_setattr(dish.line, part, text)
                force_setattr(dish.feed, "slot", text)
                force_setattr(dish.feed, "meal", text)
                for food, _ in dish.food.all_parts():
                    for part in ("id", "name", "food_class"):
                        force_setattr(food, part, text)
    held = Held(report.held[0].group, (shown(text),), (shown(text),))
    return replace(report, collection=text, held=(held,), slots=())


def rows(text: str) -> list[dict[str, str]]:
    """The table as Python's own reader sees it; every row as long as the head."""
    head, *body = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True)
    assert all(len(row) == len(head) for row in body)
    return [dict(zip(head, row, strict=True)) for row in body]


def flat(text: str) -> str:
    """A text without line breaks."""
    return " ".join(text.replace("\u00a0", " ").split())


EVERY = ("Mash", "Carrot", "Kale", "cricket", "fish", "chalk", "dice", "in a trough", "by hand")


def test_nothing_is_dropped_from_any_of_them() -> None:
    report = sheet()
    text, page = flat(prep_text.render(report)), flat(Page(prep_html.render(report)).words)
    for said in (text, page):
        assert all(word in said for word in EVERY)
        assert "T2 has no weighing" in said  # 1.111 g per kg of an animal without a weight
        assert "3 pieces, grams not known" in said
        assert "not here: T9" in said
        assert "Rhea: too much of it." in said
        assert "Last approved: never." in said
        assert "2 lesser findings stand open" in said
        assert "200 g expected" in said
    table = rows(prep_csv.render(report))
    assert {row["table"] for row in table} >= {
        "prepared", "draw", "thaw", "portion", "not printed", "last approved", "never, but planned",
    }  # fmt: skip
    portions = [row for row in table if row["table"] == "portion"]
    bowls = [b for one in report.days[0].groups for dish in one.dishes for b in dish.bowls]
    assert len(portions) == len(bowls)


def test_the_table_adds_up_without_our_help() -> None:
    table = rows(prep_csv.render(sheet()))
    shares = {"mash": {"carrot": 0.5, "kale": 0.5}}
    for food in ("kale", "chalk"):
        printed = sum(
            float(row["low"]) * float(row["bowls"]) * share
            for row in table
            if row["table"] == "portion"
            for part, share in shares.get(row["food"], {row["food"]: 1}).items()
            if part == food
        )
        (prepared,) = [r for r in table if (r["table"], r["food"]) == ("prepared", food)]
        assert printed == pytest.approx(float(prepared["low"]), rel=1e-12)


def test_rounding_is_shown() -> None:
    report = sheet()
    carrot = next(d for d in report.days[0].groups[0].dishes if d.food.id == "carrot")
    assert carrot.bowls[0].reckoned == exact(Decimal("222.2"))  # 1.111 g/kg × 200 kg
    assert carrot.bowls[0].grams == exact(222)
    alone = replace(carrot, bowls=carrot.bowls[:1])
    assert "−0.2 g" in prep.total(alone)
    whole = next(d for d in report.days[0].groups[0].dishes if d.food.id == "chalk")
    assert prep.rounding(whole) == ""


@pytest.mark.parametrize("days", [1, 2])
def test_a_terminal_of_eighty_columns_is_enough(days: int) -> None:
    report = sheet(days)
    for text in (prep_text.render(report), prep_order.text(ordered(report))):
        assert max(map(width, text.splitlines())) <= WIDTH


def test_the_page_needs_no_script_and_has_a_sheet_an_enclosure() -> None:
    text = prep_html.render(sheet(2))
    page = Page(text)
    assert not {"script", "img", "link", "iframe", "input"} & set(page.tags)
    assert not any(name in ("src", "href", "style", "onclick") for name, _ in page.attributes)
    assert page.attributes.count(("class", "page")) == 1 + 2 * 2  # held; a day: store, enclosure
    assert page.attributes.count(("class", "tick")) > 20


@pytest.mark.parametrize("text", MARKUP.values(), ids=MARKUP.keys())
def test_markup_in_a_record_is_only_text(text: str) -> None:
    plain, marked = Page(prep_html.render(hostile("word"))), Page(prep_html.render(hostile(text)))
    assert marked.tags == plain.tags
    assert [name for name, _ in marked.attributes] == [name for name, _ in plain.attributes]


@pytest.mark.parametrize("text", FORMULAS.values(), ids=FORMULAS.keys())
def test_no_cell_is_a_formula(text: str) -> None:
    report = hostile(text)
    for table in (rows(prep_csv.render(report)), rows(prep_order.csv(ordered(report)))):
        cells = [cell for row in table for cell in row.values()]
        assert not any(cell.startswith(("=", "+", "-", "@", "\t", "\r")) for cell in cells)


@pytest.mark.parametrize("text", NASTY.values(), ids=NASTY.keys())
def test_nothing_in_a_record_moves_the_terminal(text: str) -> None:
    report = hostile(text)
    for said in (prep_text.render(report), prep_order.text(ordered(report))):
        assert all(c == "\n" or c.isprintable() for c in said)
        assert max(map(width, said.splitlines())) <= WIDTH
    json.loads(prep_json.render(report))


@pytest.mark.parametrize("name", SCHEMAS)
def test_the_schemas_leave_no_field_unsaid(name: str) -> None:
    schema = SCHEMAS[name]
    Draft202012Validator.check_schema(schema)
    shapes: list[Mapping[str, Any]] = [schema, *schema["$defs"].values()]
    assert all(s.get("additionalProperties") is False for s in shapes if s.get("type") == "object")


def test_json_keeps_to_its_schema() -> None:
    report = sheet(2)
    for name, text in (
        ("prep", prep_json.render(report)),
        ("order", prep_order.as_json(ordered(report))),
    ):
        assert text.isascii()
        Draft202012Validator(SCHEMAS[name], registry=Registry()).validate(json.loads(text))


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (exact(600), "600 g"),
        (exact(1300), "1.3 kg"),
        (between(900, 1100), "0.9 to 1.1 kg"),
        (Interval(1, 3, 2), "1 to 3 g (2 g expected)"),
        (Interval(5, Decimal("Infinity")), "at least 5 g"),
    ],
)
def test_masses_are_printed_to_the_last_digit(value: Interval, said: str) -> None:
    assert mass(value) == said


ORDER = "drug: worming paste, by: Dr Vale, from: 2026-11-20, until: 2026-11-25"
DOSE = ", dose: 5 ml once a day"


def dosed(order: str | None, days: int = 1) -> PrepReport:
    """A sheet of two tapirs, of which T1 gets carrot as a medicine vehicle."""
    medicine = f", medicine: {{{order}}}" if order else ""
    line = f"food: carrot, amount: 9 g per animal, for: [T1], treat: medicine vehicle{medicine}"
    files = records.small(
        group=PARK["group"].replace("never: [kale]", "never: [grape]"),
        sheet=records.sheet({"roots": [f"{{{line}}}"]}),
    )
    collection = records.linked(files)
    kitchen = Kitchen(collection, records.ON)
    tapir = collection.groups["tapir"]
    spans = (records.ON + timedelta(days=n) for n in range(days))
    made = tuple(kitchen_day(kitchen, [tapir], on) for on in spans)
    return replace(sheet(), held=(), days=made)


def every(report: PrepReport) -> list[str]:
    """What people are given to read: terminal, page, spreadsheet."""
    page = flat(Page(prep_html.render(report)).words)
    return [flat(prep_text.render(report)), page, flat(prep_csv.render(report))]


def test_drug_and_dose_are_told_and_who_is_not_to_eat_them() -> None:
    report = dosed(ORDER + DOSE)
    for said in every(report):
        assert "worming paste, 5 ml once a day; ordered by Dr Vale, until 25 Nov 2026" in said
        assert "T2" in said
        assert "Carrot with worming paste, ordered for Bo" in said
    portion, *_ = json.loads(prep_json.render(report))["days"][0]["groups"][0]["portions"]
    assert (portion["kind"], portion["medicine"]["dose"]) == ("medicine", "5 ml once a day")
    Draft202012Validator(SCHEMAS["prep"]).validate(json.loads(prep_json.render(report)))


def test_what_is_not_written_of_a_medicine_is_asked_for() -> None:
    assert all("DOSE NOT WRITTEN: ask the vet" in said for said in every(dosed(ORDER)))
    assert all("WHICH MEDICINE IS NOT WRITTEN: ask" in said for said in every(dosed(None)))


def test_a_course_that_is_over_or_has_not_begun_is_not_given() -> None:
    assert not any("COURSE IS OVER" in said for said in every(dosed(ORDER)))
    for said in every(dosed(ORDER, days=2)):  # its last day, and the day after
        assert "THE COURSE IS OVER" in said
    later = ORDER.replace("11-20", "11-27").replace("11-25", "11-30")
    assert all("NOT BEFORE 27 Nov 2026" in said for said in every(dosed(later)))


@pytest.mark.parametrize(("fed", "told"), [("together", True), ("singly", False)])
def test_a_food_kept_from_one_is_told_of_the_bowls_that_it_can_get_at(fed: str, told: bool) -> None:
    """T2's carrot is out of T1's reach only where each is fed on its own."""
    files = records.small(
        group=PARK["group"].replace("never: [kale]", "never: [carrot]").replace("together", fed),
        sheet=records.sheet({"roots": ["{food: carrot, amount: 9 g per animal, for: [T2]}"]}),
    )
    collection = records.linked(files)
    (bar,) = Kitchen(collection, records.ON).day(collection.groups["tapir"], records.ON).bars
    assert bool(bar.given) is told
