"""The page and the JSON about a food: every bundled food fits, and unknown is never zero."""

from __future__ import annotations

import json
from decimal import Decimal
from functools import cache
from typing import Any

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Food, Knowledge, Severity, SourceRef
from dietcheck.reporting import food_json, food_page
from dietcheck.reporting.food_facts import MAIN, Answer, composition, look_up
from dietcheck.reporting.food_search import bare_word, bundled, find, near_names, words_of
from dietcheck.reporting.layout import WIDTH, width
from dietcheck.screening.packs import LoadedRule, load_packs
from dietcheck.tables.foods import food_ids, food_row
from tests import records


@cache
def rules() -> tuple[LoadedRule, ...]:
    """The bundled rules."""
    return load_packs(["dietcheck_rules"])


def answer(word: str, own: dict[str, Food] | None = None) -> Answer:
    return look_up(word, own or {}, rules())


def data(found: Answer) -> dict[str, Any]:
    read: dict[str, Any] = json.loads(food_json.render(found))
    return read


def too_wide(page: str) -> list[str]:
    """Lines past the last column; an address that is to be copied may be longer."""
    return [line for line in page.splitlines() if width(line) > WIDTH and "://" not in line]


def test_every_bundled_food_is_found_by_its_id_and_fits_the_page() -> None:
    for food_id in food_ids():
        found = answer(food_id)
        assert found.food is not None
        assert found.food.id == food_id
        assert not found.failures
        page = food_page.render(found)
        assert not too_wide(page)
        said = {line[2:32].strip(): line for line in page.splitlines()}
        for figure in composition(found.food):
            assert ("unknown" in said[figure.nutrient.title]) == (not figure.stated)


def test_figures_are_those_of_the_table_and_unknown_is_never_zero() -> None:
    for food_id in food_ids():
        row = food_row(food_id)
        assert row is not None
        for figure in composition(bundled(food_id)):
            key = figure.nutrient.key
            known = row.range_of(key)
            assert figure.stated == (known is not None), (food_id, key)
            if known is None:
                assert not figure.mark
                assert not figure.source
            elif row.basis == "as fed":
                assert (figure.value.low, figure.value.high) == known
                assert figure.mark
                assert figure.source


def test_the_main_nutrients_are_told_of_every_food_known_or_not() -> None:
    """Of iodine and NDF the bundled foods hold nothing: NDF is told as unknown."""
    told = {one["nutrient"]: one for one in data(answer("carrot"))["food"]["composition"]}
    assert set(MAIN) <= set(told)
    assert told["ndf"]["stated"] is False
    assert told["ndf"]["mark"] is None
    assert "iodine" not in told
    page = food_page.render(answer("carrot"))
    assert any("neutral detergent" in line and "unknown" in line for line in page.splitlines())


def test_a_feed_of_which_only_dry_matter_was_analysed_says_so() -> None:
    dry = next(i for i in food_ids() if (r := food_row(i)) and r.basis == "dry matter")
    stated = [one for one in composition(bundled(dry)) if one.stated]
    assert any("in 100 g of dry matter" in one.mark for one in stated)
    assert all(one.value.low == 0 for one in stated if one.nutrient.key != "water")


def test_grape_is_told_with_whom_it_harms_doses_and_what_is_overstated() -> None:
    """VK-GRAPE: proven in dogs; the lowest reported dose of grapes 19.6 g/kg (RAWREF, reprint)."""
    knowledge = data(answer("grape"))["knowledge"]
    harmed = [one for one in knowledge if one["topic"] == "harmed"]
    assert [(one["taxon"], one["severity"]) for one in harmed] == [("Canidae", "high")]
    doses = [one for one in knowledge if one["topic"] == "dose"]
    assert any("19.6 g/kg" in one["text"] and one["seen"] == "reprint" for one in doses)
    claims = [one for one in knowledge if one["topic"] == "claim"]
    assert len(claims) == 1
    assert {ref["key"] for one in knowledge for ref in one["sources"]} == {
        work["key"] for work in data(answer("grape"))["sources"]
    }


def test_a_harmless_part_is_told_as_such() -> None:
    knowledge = data(answer("apple"))["knowledge"]
    assert {one["topic"] for one in knowledge} == {"no harm in this form", "claim"}


def test_every_source_that_is_cited_stands_in_full_at_the_foot() -> None:
    for word in ("grape", "yew", "onion", "chocolate", "rhubarb", "lime"):
        found = answer(word)
        cited = {ref.key for one in found.knowledge for ref in one.sources}
        assert cited <= set(found.works)
        page = food_page.render(found)
        assert all(page.count(key) > 1 for key in cited)


@pytest.mark.parametrize(
    "word", ["lime", "sycamore", "laurel", "hemlock", "locust", "lily", "corn"]
)
def test_an_ambiguous_word_is_answered_with_its_meanings(word: str) -> None:
    meanings = data(answer(word))["meanings"]
    assert len(meanings) > 1
    assert len({one["whom"] for one in meanings}) == len(meanings)


def test_several_foods_are_a_short_list_first_and_the_harm_of_the_word_is_not_lost() -> None:
    found = answer("haricot")
    page = food_page.render(found)
    assert found.food is None
    assert "haricot-beans-dry" in page
    assert "HIGH" in page
    assert "In 100 g" not in page


def test_a_list_tells_which_of_the_foods_harm() -> None:
    """Raw kidney beans harm, boiled ones are exempt (items/raw-kidney-bean.yaml)."""
    worst = {one["id"]: one["worst"] for one in data(answer("kidney beans"))["others"]}
    assert worst == {"kidney-beans-boiled": None, "kidney-beans-dry": "high"}


def test_own_foods_that_do_not_state_a_figure_say_so() -> None:
    own = records.linked(
        records.small(
            foods=records.foods(
                carrot="{same_as: carrot}",
                pellet="{class: compound feed, label: {basis: as fed, protein: 18 %, sugars: 5 %}}",
                mystery="{name: Mystery, unknown_composition: the maker does not say}",
            )
        )
    ).foods
    told = {f.nutrient.key: f for f in composition(own["pellet"])}
    assert told["protein"].value.low == Decimal(18)
    assert told["sugars"].stated
    assert not told["calcium"].stated
    assert not any(figure.stated for figure in composition(own["mystery"]))
    assert "the maker does not say" in food_page.render(answer("mystery", dict(own)))


# --- words ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("one", "other"),
    [("Grapes", "grape"), ("pak-choi", "Pak Choi"), ("purée", "puree"), ("berries", "berry"),
     ("vine leaves", "vine leaf"), ("Bird's-foot", "birds foot")],
)  # fmt: skip
def test_spellings_that_are_one_name(one: str, other: str) -> None:
    assert words_of(one) == words_of(other)


def test_a_word_is_never_found_inside_another() -> None:
    assert "chayote" not in {hit.id for hit in find("hay", {})}
    assert "grapefruit" not in {hit.id for hit in find("grape", {})}


@given(st.text(max_size=100))
@settings(max_examples=60, deadline=None)
def test_no_word_does_harm(word: str) -> None:
    found = answer(" ".join(word.split()))
    page = food_page.render(found)
    assert not found.failures
    assert not too_wide(page)
    assert all(line.isprintable() for line in page.splitlines())
    json.loads(food_json.render(found))


def test_near_names_take_others_into_account() -> None:
    assert "Zebra nut" in near_names("zebra nutt", ["Zebra nut"])
    assert near_names("qqqqqqqq", []) == []


def test_what_a_rule_says_cannot_spoil_the_page() -> None:
    nasty = "\x1b[2J::error::\u202e\n" + "x" * 3000
    said = Knowledge(
        topic="harmed", about=nasty, text=nasty, taxon=nasty, whom=nasty, severity=Severity.HIGH,
        evidence=nasty, advice=nasty, question=nasty, seen=nasty,
        sources=(SourceRef("NO\x1bSUCH"),),
    )  # fmt: skip
    base = answer("carrot")
    found = Answer(
        nasty[:90], bare_word(nasty), False, (), {}, (said,), (said,), (), (), base.works
    )
    page = food_page.render(found)
    assert all(line.isprintable() for line in page.splitlines())
    assert "::" not in page
    assert not too_wide(page)
