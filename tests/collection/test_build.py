"""Linking records: what leads somewhere, and what is told when it does not."""

from __future__ import annotations

import pytest

from dietcheck.collection.build import UnknownSettings, build
from dietcheck.collection.collection import Trouble
from dietcheck.collection.places import Pointer
from tests import records


def troubles(**changes: str) -> tuple[Trouble, ...]:
    """What does not fit when files of the small collection are changed."""
    return records.linked(records.small(**changes)).troubles


def test_a_sound_collection_has_no_trouble() -> None:
    assert troubles() == ()


def test_nothing_can_be_built_without_settings() -> None:
    with pytest.raises(UnknownSettings):
        build([])


def test_a_record_for_a_group_that_does_not_exist() -> None:
    (trouble,) = troubles(
        sheet=records.sheet({"roots": ["{food: carrot, amount: 1 g per animal}"]}, group="tapri")
    )
    assert trouble.place == Pointer("sheet.yaml", ("group",))
    assert "tapir" in trouble.remedy


@pytest.mark.parametrize(
    ("species", "hint"), [("Tapirus terestris", "Tapirus terrestris"), ("red panda", "Ailurus")]
)
def test_an_unknown_species_is_told_with_the_nearest_names(species: str, hint: str) -> None:
    found = troubles(group=records.group(species=species))
    assert found[0].place == Pointer("group.yaml", ("species",))
    assert hint in found[0].remedy


def test_a_species_outside_the_table_is_accepted_with_its_lineage() -> None:
    text = (
        records.group(species="Tapirus kabomani")
        + "lineage: [Mammalia, Perissodactyla, Tapiridae, Tapirus]\n"
    )
    collection = records.linked(records.small(group=text))
    assert collection.troubles == ()
    assert collection.groups["tapir"].taxon.is_in("Tapirus")
    assert collection.groups["tapir"].taxon.is_in("Mammalia")


def test_a_renamed_species_is_found_under_its_old_name() -> None:
    """Hippo: Choeropsis and Hexaprotodon are synonyms in taxon_synonyms.csv."""
    collection = records.linked(
        records.small(group=records.group(species="Choeropsis liberiensis"))
    )
    assert collection.troubles == ()


def test_a_row_that_the_bundled_table_does_not_have() -> None:
    found = troubles(foods=records.foods(carrot="{same_as: carot}"))
    assert found[0].place == Pointer("foods.yaml", ("foods", "carrot", "same_as"))


def test_mixes_to_any_depth_carry_their_ingredients_with_shares() -> None:
    collection = records.linked(
        records.small(
            foods=records.foods(
                carrot="{same_as: carrot}",
                leaf="{same_as: lettuce-cos}",
                salad="{mix: {carrot: 50 %, leaf: 50 %}}",
                ball="{mix: {salad: 40 %, carrot: 60 %}}",
            )
        )
    )
    parts = [(food.id, share.low) for food, share in collection.foods["ball"].all_parts()]
    assert [(name, float(share)) for name, share in parts] == [
        ("ball", 1.0),
        ("salad", 0.4),
        ("carrot", 0.2),
        ("leaf", 0.2),
        ("carrot", 0.6),
    ]


def test_a_mix_in_a_circle_is_refused() -> None:
    found = troubles(
        foods=records.foods(
            carrot="{same_as: carrot}", a="{mix: {b: 100 %}}", b="{mix: {a: 100 %}}"
        )
    )
    assert any("contains itself" in trouble.message for trouble in found)


def test_a_mix_that_is_nested_without_end_is_refused() -> None:
    chain = {f"m{n}": f"{{mix: {{m{n + 1}: 100 %}}}}" for n in range(40)}
    found = troubles(
        foods=records.foods(carrot="{same_as: carrot}", m40="{same_as: carrot}", **chain)
    )
    assert any("too deep" in trouble.message for trouble in found)


@pytest.mark.parametrize(("share", "total"), [("45 %", "95"), ("55 %", "105")])
def test_shares_of_a_mix_must_add_up(share: str, total: str) -> None:
    found = troubles(
        foods=records.foods(
            carrot="{same_as: carrot}",
            mix=f"{{mix: {{carrot: 50 %, leaf: {share}}}}}",
            leaf="{same_as: lettuce-cos}",
        )
    )
    assert [trouble.place.path for trouble in found] == [("foods", "mix", "mix")]
    assert total in found[0].message


def test_shares_given_as_ranges_may_add_up() -> None:
    assert not troubles(
        foods=records.foods(
            carrot="{same_as: carrot}",
            leaf="{same_as: lettuce-cos}",
            mix="{mix: {carrot: 40 to 60 %, leaf: 40 to 60 %}}",
        )
    )


def test_an_ingredient_on_no_list_is_a_stranger() -> None:
    collection = records.linked(
        records.small(foods=records.foods(carrot="{same_as: carrot}", mix="{mix: {nettel: 100 %}}"))
    )
    ((stranger, _),) = collection.foods["mix"].mix
    assert not stranger.known


@pytest.mark.parametrize(
    ("label", "at"),
    [
        ("{basis: as fed, crude_protein: 14 %, protein: 15 %}", "protein"),
        ("{basis: as fed, vitamin_c: 200 IU/kg}", "vitamin_c"),
        ("{basis: as fed, energy: 12 %}", "energy"),
    ],
)
def test_figures_that_cannot_be_used_are_told_by_line(label: str, at: str) -> None:
    """An IU of vitamin C, energy by mass, and one nutrient under two names."""
    found = troubles(foods=records.foods(carrot="{same_as: carrot}", feed=f"{{label: {label}}}"))
    assert [trouble.place.path for trouble in found] == [("foods", "feed", "label", at)]


def test_supplements_join_the_meals_they_go_with() -> None:
    text = records.sheet(
        {
            "roots": ["{food: carrot, amount: 1 g per animal}"],
            "leaves": ["{food: carrot, amount: 2 g per animal}"],
        },
        more="supplements: [{food: dust, amount: 3 g per animal, with: [roots]}]",
    )
    collection = records.linked(
        records.small(
            sheet=text,
            foods=records.foods(carrot="{same_as: carrot}", dust="{unknown_composition: none}"),
        )
    )
    meals = collection.sheets["tapir"][0].meals
    assert [line.food.id for line in meals["roots"].lines] == ["carrot", "dust"]
    assert [line.food.id for line in meals["leaves"].lines] == ["carrot"]


def test_the_sheet_in_force_is_the_latest_that_has_started_and_not_ended() -> None:
    files = records.small()
    files["short.yaml"] = records.sheet(
        {"roots": ["{food: carrot, amount: 9 g per animal}"]},
        start="2026-11-01",
        more="until: 2026-11-20",
    )
    collection = records.linked(files)

    def start(day: int) -> str:
        sheet = collection.sheet_on("tapir", records.ON.replace(day=day))
        assert sheet is not None
        return sheet.start.isoformat()

    assert [start(1), start(20), start(21)] == ["2026-11-01", "2026-11-01", "2026-01-01"]


def test_a_line_keeps_the_way_back_to_its_place() -> None:
    collection = records.linked(records.small())
    line = collection.sheets["tapir"][0].meals["roots"].lines[0]
    assert line.place == Pointer("sheet.yaml", ("meals", "roots", 0))


@pytest.mark.parametrize(
    ("wrong", "right"), [("carott", "carrot"), ("sweet-potatoe", "sweet-potato")]
)
def test_a_misspelt_row_is_told_with_the_nearest(wrong: str, right: str) -> None:
    found = troubles(foods=records.foods(carrot=f"{{same_as: {wrong}}}"))
    assert right in found[0].remedy
