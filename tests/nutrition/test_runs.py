"""Days as they follow each other, and the body mass that still counts. All invented."""

from __future__ import annotations

import pytest

from tests import records

TWO_DAYS = ["{morning: roots, afternoon: roots}"] * 2


def test_a_rota_that_repeats_is_followed_by_its_own_first_days() -> None:
    (run,) = records.diet(records.small()).runs(3)
    assert [day.number for day in run] == [1, 2, 1, 2, 1]


def test_around_a_change_the_days_run_on_from_the_old_rota_into_the_new() -> None:
    files = records.small()
    files["next.yaml"] = records.rota(TWO_DAYS, start="2026-11-27")
    (run,) = records.diet(files).runs(1)
    assert [(day.on.day, day.number) for day in run][-3:] == [(27, 1), (28, 2), (27, 1)]


@pytest.mark.parametrize(
    ("weighed", "known"), [("2026-08-27", True), ("2026-08-26", False), ("2026-11-26", False)]
)
def test_a_weighing_counts_for_as_long_as_the_settings_say(weighed: str, known: bool) -> None:
    """90 days for mammals in the test park; a weighing after the judged day is not there yet."""
    animal = f"{{id: T1, weighings: [{{on: {weighed}, mass: 200 kg}}]}}"
    diet = records.diet(records.small(group=records.group(animals=[animal])))
    mass = diet.mass_of(diet.animals[0])
    assert (mass is not None) is known
    if mass is not None:
        assert mass.low == 200_000


def test_the_most_specific_line_of_the_weighing_table_wins() -> None:
    settings = records.settings().replace("Mammalia: 90 days", "Mammalia: 90 days, Tapirus: 3 days")
    diet = records.diet(records.small(dietcheck=settings))
    assert diet.mass_of(diet.animals[0]) is None
