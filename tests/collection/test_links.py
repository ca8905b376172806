"""Names that lead nowhere are told at their place. All records are invented."""

from __future__ import annotations

import pytest

from tests import records


def places(files: dict[str, str]) -> list[tuple[str, tuple[str | int, ...]]]:
    """File and path of every trouble."""
    return [(t.place.file, t.place.path) for t in records.linked(files).troubles]


def test_a_sound_collection_has_no_loose_end() -> None:
    assert places(records.small()) == []


def test_a_line_for_an_animal_that_is_not_there() -> None:
    line = "{food: carrot, amount: 600 g per animal, for: [T1, T9]}"
    found = places(records.small(sheet=records.sheet({"roots": [line]})))
    assert found == [("sheet.yaml", ("meals", "roots", 0, "for", 1))]


def test_a_group_that_cannot_reach_anything_because_it_does_not_exist() -> None:
    text = records.group().replace("fed: together", "fed: together\nalso_reached_by: [rhea]")
    assert places(records.small(group=text)) == [("group.yaml", ("also_reached_by", 0))]


def test_a_score_past_its_scale() -> None:
    animal = "{id: T1, condition: {on: 2026-11-01, score: 7, of: 5}}"
    found = places(records.small(group=records.group(animals=[animal])))
    assert found == [("group.yaml", ("animals", 0, "condition", "score"))]


def test_a_signature_for_a_group_that_does_not_exist() -> None:
    files = records.small()
    files["signed.yaml"] = (
        "record: sign-off\nby: Dr Vale\nrole: vet\non: 2026-11-01\ngroups: [tapir, tapri]\n"
        "accepts:\n  - {rule: sugar-ceiling, group: tapri, reason: x, until: 2026-12-01}\n"
    )
    assert places(files) == [
        ("signed.yaml", ("groups", 1)),
        ("signed.yaml", ("accepts", 0, "group")),
    ]


def test_leftovers_for_a_group_that_is_not_there() -> None:
    more = "leftovers: [{to: tapri, foods: [carrot]}]"
    sheet = records.sheet({"roots": ["{food: carrot, amount: 600 g per animal}"]}, more=more)
    assert places(records.small(sheet=sheet)) == [("sheet.yaml", ("leftovers", 0, "to"))]


@pytest.mark.parametrize("name", ["Mamalia", "otters"])
def test_settings_about_a_taxon_that_is_not_known(name: str) -> None:
    more = (
        f"do_not_feed: [{{name: ivy, for: [tapir, Aves, {name}], why: x, set_by: Dr Vale,"
        " on: 2026-01-01}]"
    )
    assert places(records.small(dietcheck=records.settings(more=more))) == [
        ("dietcheck.yaml", ("do_not_feed", 0, "for", 2))
    ]
    weigh = records.settings().replace("Aves: 60 days", f"{name}: 60 days")
    assert places(records.small(dietcheck=weigh)) == [("dietcheck.yaml", ("weigh_every", name))]


def test_a_signature_for_a_group_of_unknown_species_is_no_second_mistake() -> None:
    files = records.small(group=records.group(species="Tapirus terestris"))
    files["signed.yaml"] = (
        "record: sign-off\nby: Dr Vale\nrole: vet\non: 2026-11-01\ngroups: [tapir]\n"
    )
    assert places(files) == [("group.yaml", ("species",))]
