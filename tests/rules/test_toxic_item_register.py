"""Which items a food may be, by what its record says. Foods are invented; the names and organisms
stand in the rule's own table."""

from __future__ import annotations

from typing import Any

import pytest

from dietcheck.collection.foods import Food
from dietcheck.collection.places import Pointer
from dietcheck_rules.toxic_item.ambiguity import traps
from dietcheck_rules.toxic_item.register import Identity, hits_of, scientific_name
from dietcheck_rules.toxic_item.states import fits, simple, state_of
from dietcheck_rules.toxic_item.told import Telling, said_of
from dietcheck_rules.toxic_item.words import any_holds, bare, holds, table, tokens


def found(name: str, **more: Any) -> dict[str, tuple[bool, bool]]:
    """The items of a food: whether its name led there, and whether that is certain."""
    identity = Identity((name,), **more)
    return {hit.item: (hit.by_name, hit.certain) for hit in hits_of(identity)}


ORGANISM, GENUS, NAME, THING = (False, True), (False, False), (True, False), (True, True)


@pytest.mark.parametrize(
    ("name", "more", "items"),
    [
        # the species, a form of it, its genus alone, its family
        ("x", {"organism": "Taxus baccata"}, {"yew": ORGANISM}),
        ("x", {"organism": "Taxus baccata fastigiata"}, {"yew": ORGANISM}),
        ("x", {"organism": "Theobroma"}, {"chocolate": GENUS}),
        ("x", {"organism": "Monstera deliciosa", "family": "Araceae"}, {"aroids": ORGANISM}),
        # another species of the genus by the item's name, and by another name
        ("chocolate", {"organism": "Theobroma grandiflorum"}, {"chocolate": ORGANISM}),
        ("fruit", {"organism": "Theobroma grandiflorum"}, {}),
        # a species that the item leaves out
        ("x", {"organism": "Solanum nigrum", "family": "Solanaceae"}, {"nightshades": ORGANISM}),
        ("x", {"organism": "Solanum melongena", "family": "Solanaceae"},
         {"tomato-aubergine-green-parts": ORGANISM}),
        # names that are a plant's and an animal's
        ("x", {"organism": "Pieris"}, {"rhododendron": ORGANISM}),
        ("x", {"organism": "Pieris", "food_class": "insect"}, {}),
        ("x", {"organism": "Pieris", "food_class": "whole prey"}, {}),
        ("x", {"organism": "Pieris", "food_class": "meat"}, {"rhododendron": ORGANISM}),
        ("x", {"organism": "Pieris", "family": "Pieridae"}, {}),
        ("x", {"organism": "Pieris", "family": "Ericaceae", "food_class": "insect"},
         {"rhododendron": ORGANISM}),
        # an older name of a genus, known by its words
        ("x", {"organism": "Azalea indica"}, {"rhododendron": GENUS}),
        ("x", {"organism": "Azalea indica", "food_class": "insect"}, {}),
        # a name alone, a name beside an organism of another kind, a thing without an organism
        ("grapes", {}, {"grape": NAME}),
        ("grapes", {"organism": "Ribes rubrum"}, {}),
        ("xylitol gum", {}, {"xylitol": THING}),
        ("xylitol gum", {"organism": "Betula pendula"}, {"xylitol": THING}),
        # two names in one
        ("grapes and onion", {}, {"grape": NAME, "onion-family": NAME}),
        # written apart or as one, and too short to be guessed at
        ("gar lic", {}, {"onion-family": NAME}),
        ("oni on", {}, {}),
        # a longer harmless name hides what is inside it
        ("oak leaf lettuce", {}, {}),
        ("oak leaf", {}, {"oak": NAME}),
        ("starfruit", {}, {"star-fruit": NAME, "high-oxalate-greens": NAME}),
        ("darkchocolate", {}, {"chocolate": NAME}),
    ],
)  # fmt: skip
def test_what_a_food_may_be(
    name: str, more: dict[str, Any], items: dict[str, tuple[bool, bool]]
) -> None:
    assert found(name, **more) == items


def test_low_nutrient_salad_is_asked_for_by_name() -> None:
    """Celery and lettuce share their organisms with proper greens."""
    entry = table("names.yaml")["items"]["low-nutrient-salad"]
    organism, family = next(iter(entry["organisms"].items()))
    assert "low-nutrient-salad" not in found("x", organism=organism, family=family)
    named = found(entry["names"][0], organism=organism, family=family)
    assert "low-nutrient-salad" in named


@pytest.mark.parametrize(
    ("said", "food_class", "certain"),
    [
        (("nothing",), "hay", False),
        (("heavily fertilised",), "hay", True),
        (("not heavily fertilised",), "hay", False),
        (("nitrate tested",), "hay", None),
        (("heavily fertilised", "nitrate tested"), "hay", False),
        (("nothing",), "insect", None),  # no plant food at all
    ],
)
def test_what_is_said_of_a_food_settles_or_clears_it(
    said: tuple[str, ...], food_class: str, certain: bool | None
) -> None:
    name = table("names.yaml")["items"]["nitrate-forage"]["names"][0]
    spinach = Identity((name,), food_class=food_class, said=said)
    hit = {one.item: one for one in hits_of(spinach)}.get("nitrate-forage")
    assert (None if hit is None else hit.certain) is certain
    if hit is not None:
        assert bool(hit.ask) is not hit.certain
        assert hit.told is ("fertilised" in " ".join(said) and "not" not in said[0])
        assert hit.by_name is not certain


@pytest.mark.parametrize(
    ("text", "stated"),
    [
        ("mouldy bread", True), ("bread, mouldy", True), ("not mouldy", False),
        ("never seen mouldy", False), ("no sign of mouldy", True), ("mouldy free", False),
        ("mouldy free bread", False), ("bread", False), ("", False), ("free of mouldy", False),
    ],
)  # fmt: skip
def test_a_denial_near_the_word_takes_it_back(text: str, stated: bool) -> None:
    telling = Telling("x", (tokens("mouldy"),), (), "", frozenset())
    assert bool(telling.word_in([text])) is stated
    assert not telling.clears([text])


def test_every_text_of_a_record_is_heard_once() -> None:
    thing = Food(
        id="thing", name="Thing", place=Pointer("f.yaml"), part="leaf", form="dried",
        record={"medicines": "wormer", "additives": ["iron", "iron"]},
    )  # fmt: skip
    assert set(said_of(thing)) >= {"Thing", "leaf", "dried", "wormer", "iron"}
    assert len(said_of(thing)) == len(set(said_of(thing)))


def test_a_word_is_ambiguous_when_its_meanings_are_different_items() -> None:
    for trap in table("ambiguous.yaml")["ambiguous"]:
        several = len({reading.get("item") for reading in trap["readings"]}) > 1
        assert (tokens(trap["word"]) in traps()) is several


# -- words -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "compared"),
    [
        ("taxus  BACCATA", "Taxus baccata"), ("Taxus × media", "Taxus media"),
        ("Acer (rubrum) subsp. x", "Acer rubrum"), (None, ""), ("Prunus spp.", "Prunus"),
        ("×Amarcrinum", "Amarcrinum"),
    ],
)  # fmt: skip
def test_a_scientific_name_as_compared(written: str | None, compared: str) -> None:
    assert scientific_name(written) == compared


@pytest.mark.parametrize(
    ("word", "singular"),
    [
        ("leaves", "leaf"), ("halves", "half"), ("calves", "calf"), ("loaves", "loaf"),
        ("cherries", "cherry"), ("pies", "pie"), ("boxes", "box"), ("tomatoes", "tomato"),
        ("radishes", "radish"), ("peaches", "peach"), ("grasses", "grass"), ("cress", "cress"),
        ("asparagus", "asparagus"), ("clematis", "clematis"), ("pips", "pip"), ("gas", "gas"),
        ("flies", "fly"), ("jalapeños", "jalapeno"), ("apples", "apple"),
        ("fertilised", "fertilized"), ("peas", "pea"),
    ],
)  # fmt: skip
def test_the_singular_of_a_word(word: str, singular: str) -> None:
    assert tokens(word) == tokens(singular)
    if word != "fertilised":
        assert tokens(word) == (singular,)


@pytest.mark.parametrize(
    ("name", "phrase", "stands"),
    [
        ("red onion", "onion", True), ("onion soup", "onion", True), ("onion", "onion soup", False),
        ("red onion soup", "onion soup", True), ("red soup onion", "onion soup", False),
        ("onions", "onion", True), ("bamboo", "boo", False),
    ],
)  # fmt: skip
def test_a_phrase_stands_in_a_name_word_for_word(name: str, phrase: str, stands: bool) -> None:
    assert holds(tokens(name), tokens(phrase)) is stands
    assert any_holds([tokens("x"), tokens(name)], ["zz", phrase]) is stands


def test_empty_words_are_left_out_unless_nothing_else_is_left() -> None:
    assert bare(tokens("fresh onion")) == ("onion",)
    assert bare(tokens("fresh")) == ("fresh",)


@pytest.mark.parametrize(
    ("own", "listed", "fit"),
    [
        (frozenset({"leaf"}), ("leaf", "seed"), "yes"),
        (frozenset({"leaf"}), ("seed",), "no"),
        (frozenset({"leaf", "seed"}), ("seed",), "yes"),
        (None, ("seed",), "unknown"),
        (None, ("any",), "yes"),
        (frozenset({"*"}), ("seed",), "yes"),
        (frozenset({"leaf"}), (), "no"),
    ],
)
def test_a_part_is_among_those_listed(
    own: frozenset[str] | None, listed: tuple[str, ...], fit: str
) -> None:
    assert fits(own, listed, "parts") == fit


@pytest.mark.parametrize(
    ("text", "like"),
    [
        ("leaf", "leaf"), ("young oak leaf", "leaf"), ("leaf xyz", "leaf"),
        ("leaf seed", "seed"), ("xyz leaf abc", None), ("leaf of oak", "leaf"),
        ("leaf, seed", "leaf and seed"), ("leaf/seed", "leaf & seed"),
        ("leaf or seed", "leaf;seed"),
        ("gubbins", None),
    ],
)  # fmt: skip
def test_the_parts_that_a_phrase_stands_for(text: str, like: str | None) -> None:
    found_ = simple(text, "parts")
    assert found_ == (None if like is None else simple(like, "parts"))
    if like and ("and" in like or "&" in like or ";" in like):
        both = (simple("leaf", "parts") or frozenset()) | (simple("seed", "parts") or frozenset())
        assert found_ == both


@pytest.mark.parametrize(
    ("name", "form", "like"),
    [
        ("cooked beans", None, "cooked"), ("beans, slow cooked", None, "slow cooked"),
        ("slow cooked dried beans", None, "slow cooked, dried"), ("beans", None, None),
        ("dried cooked beans", None, "dried, cooked"), ("cooked beans", "dried", "dried, cooked"),
        ("beans", "dried", "dried"), ("dried", None, "dried"), ("slow beans", None, None),
    ],
)  # fmt: skip
def test_a_form_stands_in_the_record_or_in_the_name(
    name: str, form: str | None, like: str | None
) -> None:
    thing = Food(id="x", name=name, place=Pointer("f.yaml"), form=form)
    wanted: frozenset[str] = frozenset()
    for one in like.split(", ") if like else ():
        wanted |= simple(one, "forms") or frozenset()
    assert state_of(thing).forms == (wanted or None)


@pytest.mark.parametrize(
    ("name", "part", "like"),
    [("oak leaf", None, "leaf"), ("oak", None, None), ("oak leaf", "bark", "bark"),
     ("oak leaves and bark", None, "leaf and bark")],
)  # fmt: skip
def test_a_part_stands_in_the_record_or_else_in_the_name(
    name: str, part: str | None, like: str | None
) -> None:
    thing = Food(id="x", name=name, place=Pointer("f.yaml"), part=part)
    assert state_of(thing).parts == (simple(like, "parts") if like else None)
    assert state_of(thing).part_said == (part or "")


def test_a_longer_name_of_one_item_hides_a_shorter_one_of_another() -> None:
    """As "lily of the valley" is no lily: of all names in the table."""
    named = {
        item: {tokens(name) for name in entry["names"]}
        for item, entry in table("names.yaml")["items"].items()
    }
    tried = 0
    for item, names in named.items():
        for name in names:
            hits = found(" ".join(name))
            for other, others in named.items():
                inside = any(len(one) < len(name) and holds(name, one) for one in others)
                if other != item and inside and name not in others and item in hits:
                    tried += 1
                    assert other not in hits, (name, other)
    assert tried > 5
