"""What somebody who looks up a food is told by the rule's own tables. Foods are invented; the
figures, their sources and how they were read stand in the tables."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest
from msgspec.structs import replace

from dietcheck.collection.foods import Food
from dietcheck.collection.places import Pointer
from dietcheck.contract import Knowledge, Severity, exact
from dietcheck_rules.toxic_item import about_food, food_names
from dietcheck_rules.toxic_item.items import item, item_ids
from dietcheck_rules.toxic_item.knowledge import _what
from dietcheck_rules.toxic_item.words import table

PLACE = Pointer("foods.yaml")
HIGH, MEDIUM, LOW = Severity.HIGH, Severity.MEDIUM, Severity.LOW


def food(name: str, **more: Any) -> Food:
    return Food(id="x", name=name, place=PLACE, **more)


def told(name: str, topic: str = "", **more: Any) -> list[Knowledge]:
    """What is told of a food on one topic, or on all."""
    return [one for one in about_food(food(name, **more)) if topic in ("", one.topic)]


MILK_CHOCOLATE = {"organism": "Theobroma cacao", "part": "seed", "form": "solid"}


def test_every_row_of_an_item_is_told_once() -> None:
    data = table("items/chocolate.yaml")
    counts = Counter(one.topic for one in told("milk chocolate", **MILK_CHOCOLATE))
    assert counts == {
        "harm": 1,
        "harmed": len(data["susceptible"]),
        "less affected": len(data["tolerant"]),
        "dose": len(data["doses"]),
        "content": len(data["contents"]),
        "note": 2,  # where sources disagree
    }


def test_who_is_harmed_stands_in_the_order_of_how_gravely() -> None:
    harmed = told("milk chocolate", "harmed", **MILK_CHOCOLATE)
    assert [one.severity for one in harmed] == [HIGH] * 6 + [LOW] * 2
    first, last = harmed[0], harmed[-1]
    assert (first.taxon, first.whom, first.advice, first.seen) == (
        "Canidae", "dogs and wild canids", "never", "reprint",
    )  # fmt: skip
    assert [source.key for source in first.sources] == ["MVMQ-CHO", "ICAR-CHO"]
    assert first.evidence.startswith("experiment")
    assert (last.taxon, last.sources, last.seen) == ("Mammalia", (), "memory")
    assert last.evidence.startswith("extrapolation")
    less = told("milk chocolate", "less affected", **MILK_CHOCOLATE)
    assert [(one.taxon, one.seen) for one in less] == [
        ("Rodentia", "reprint"), ("Hominidae", "memory"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "taxon", "whom"),
    [
        ("harmed by 20 mg/kg body mass of total methylxanthines: mild: gut signs, thirst "
         "(approximate)", "Canis lupus familiaris", "dog"),
        ("harmed by at or above 60 mg/kg body mass of total methylxanthines: seizures at or above "
         "this dose", "Canis lupus familiaris", "dog"),
        ("killed by 100 to 200 mg/kg body mass of theobromine or caffeine: LD50, for each of "
         "theobromine and caffeine", "Canis lupus familiaris", "dog"),
        ("limit 50 mg/kg feed of theobromine: EU maximum, complete feed", "", "fur animals"),
        ("limit 200 mg/kg feed of theobromine: EU maximum, complete feed", "Suidae", ""),
    ],
)  # fmt: skip
def test_a_dose_is_told_as_printed(text: str, taxon: str, whom: str) -> None:
    found = told("milk chocolate", "dose", **MILK_CHOCOLATE)
    assert [one.taxon for one in found if one.text == text and one.whom == whom] == [taxon]


def test_a_unit_that_names_its_substance_does_not_name_it_twice() -> None:
    found = told("herring", "dose", organism="Clupea harengus", part="whole")
    assert any("25 to 33 mg thiamine per kg fish eaten: " in one.text for one in found)


def test_a_content_is_told_with_its_product() -> None:
    texts = [one.text for one in told("milk chocolate", "content", **MILK_CHOCOLATE)]
    assert "milk chocolate: 2.3 mg/g total methylxanthines" in texts
    assert "semisweet or sweet dark chocolate: 5.3 to 5.6 mg/g total methylxanthines" in texts


def test_a_name_that_is_capped_is_told_so_and_graded_so() -> None:
    harmed = told("white chocolate", "harmed")
    assert {one.severity for one in harmed} == {LOW}
    assert any("At most low" in one.text for one in told("white chocolate", "note"))
    assert not any("At most low" in one.text for one in told("milk chocolate", "note"))
    (harm,) = told("white chocolate", "harm")
    assert "white chocolate" in harm.question
    assert not told("milk chocolate", "harm", **MILK_CHOCOLATE)[0].question


def test_a_form_that_is_exempt_does_no_harm_and_says_whom_the_others_do() -> None:
    (none,) = told("cocoa butter", organism="Theobroma cacao", part="seed")
    assert none.topic == "no harm in this form"
    rows = table("items/chocolate.yaml")["susceptible"]
    assert none.whom == ", ".join(dict.fromkeys(row["common"] for row in rows))


ITEM_OF = {"milk chocolate": "chocolate", "spinach": "high-oxalate-greens", "herring":
           "thiaminase-fish", "grape": "grape"}  # fmt: skip


@pytest.mark.parametrize(
    ("name", "organism", "part", "words"),
    [
        ("milk chocolate", "Theobroma cacao", "seed", "theobromine"),
        ("spinach", "Spinacia oleracea", "leaf", "share of the greens"),
        ("herring", "Clupea harengus", "whole", "without thiamin"),
        ("grape", "Vitis vinifera", "fruit", "no amount is cleared for"),
    ],
)
def test_what_an_item_is_tells_by_what_and_in_which_way(
    name: str, organism: str, part: str, words: str
) -> None:
    every = {"theobromine", "share of the greens", "without thiamin", "no amount is cleared for"}
    (harm, *_) = told(name, "harm", organism=organism, part=part)
    assert {one for one in every if one in harm.text} == {words}
    assert "; part: " in harm.text
    assert "; form: " in harm.text
    principle = table(f"items/{ITEM_OF[name]}.yaml").get("principle")
    assert ("; by " in harm.text) is (principle is not None)


def test_a_condition_is_told_with_the_row() -> None:
    harmed = told("herring", "harmed", organism="Clupea harengus", part="whole")
    assert harmed[0].text.startswith("when: ")
    assert not told("milk chocolate", "harmed", **MILK_CHOCOLATE)[0].text.startswith("when")


def test_what_hides_in_a_mix_is_told_of_its_ingredient() -> None:
    onion = Food(id="onion", name="onion", place=PLACE, organism="Allium cepa", part="bulb")
    mash = food("mash", mix=((onion, exact("0.5")),))
    topics = [one.about for one in about_food(mash) if one.topic == "harm"]
    assert topics
    assert all('(in it: "onion")' in about for about in topics)
    assert all("in it" not in one.about for one in about_food(onion))


# -- words ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("word", ["Lime", "limes", "fresh lime"])
def test_the_meanings_of_a_word_are_told_with_the_gravest_harm(word: str) -> None:
    meanings = told(word, "meaning", known=False)
    assert [(one.whom, one.taxon, one.severity) for one in meanings] == [
        ("linden", "Tilia", None), ("lime fruit", "Citrus", MEDIUM),
    ]  # fmt: skip
    assert meanings[0].text == "no harm on file"
    assert "Citrus" in meanings[1].text
    assert {one.about for one in meanings} == {"lime"}


def test_a_food_on_the_list_is_not_asked_what_its_name_means() -> None:
    assert not told("Lime", "meaning")
    assert not told("lime marmalade", "meaning", known=False)


def test_a_scientific_name_may_be_looked_up_as_a_word() -> None:
    assert told("Taxus baccata", "harmed", known=False)
    assert not told("Zea mays", "harmed", known=False)


def test_every_name_of_the_tables_is_a_name_to_look_for() -> None:
    names = set(food_names())
    assert {
        "couverture",
        "Theobroma cacao",
        "mountain ash",
        "instant rice",
        "Oryza sativa",
    } <= names


# -- claims ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "organism", "about"),
    [
        ("rice", None, True),
        ("brown rice", None, True),
        ("rice pudding", None, False),
        ("grain", "Oryza sativa", True),
        ("grain", "Oryza sativa japonica", True),
        ("grain", "Oryza glaberrima", False),
        ("rice", "Zizania palustris", False),  # the organism says what it is
    ],
)
def test_a_claim_is_told_of_the_food_that_it_is_about(
    name: str, organism: str | None, about: bool
) -> None:
    claims = told(name, "claim", organism=organism)
    assert any("burst" in one.about for one in claims) is about


def test_a_claim_tells_how_far_it_holds_and_how_that_was_read() -> None:
    (claim,) = told("rice", "claim")
    assert claim.text.startswith("overstated. ")
    assert ([source.key for source in claim.sources], claim.seen) == (["KRUPA"], "reprint")
    (by_name,) = told("Euphorbia pulcherrima", "claim", known=False)
    assert "poinsettia" in by_name.about
    assert not told("Euphorbia pulcherrima", "claim")  # a known food says its organism itself


def test_what_an_item_does_is_told_whether_or_not_its_poison_has_a_name() -> None:
    named = next(one for one in map(item, item_ids()) if one.principle)
    assert named.principle in _what(named)
    assert _what(replace(named, principle="")) == _what(named).replace(
        f"; by {named.principle}", ""
    )
