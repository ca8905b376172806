"""Contaminants of a batch and disease control zones, as the records give them. All invented."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from dietcheck.quantities import Interval, exact
from dietcheck.reading import check_file
from tests import records

DAY = timedelta(days=1)


def feed(contaminants: str) -> str:
    """A food list with one feed that was analysed."""
    entry = f"{{unknown_composition: not needed here, contaminants: {contaminants}}}"
    return records.foods(carrot="{same_as: carrot}", feed=entry)


@pytest.mark.parametrize(
    ("written", "milligrams"),
    [
        ("4 µg/kg", exact("0.004")),
        ("0.4 mg/kg", exact("0.4")),
        ("0.02 mg/100 g", exact("0.2")),
        ("<= 2 µg/kg", Interval(0, exact("0.002").low)),
        ("5 to 7 ppm", Interval(5, 7)),
    ],
)
def test_a_contaminant_is_read_in_mg_per_kg(written: str, milligrams: Interval) -> None:
    text = feed(f"{{basis: 12 % moisture, lead: {written!r}}}")
    collection = records.linked(records.small(foods=text))
    food = collection.foods["feed"]
    assert (food.contaminants["lead"].low, food.contaminants["lead"].high) == (
        milligrams.low,
        milligrams.high,
    )
    assert food.contaminants_basis == "12 % moisture"
    assert collection.troubles == ()


@pytest.mark.parametrize(
    ("written", "path"),
    [
        ("{basis: as fed, lead: 20 IU/kg}", "lead"),
        ("{basis: as fed, aflatoxin_b1: 30 µg/kg, aflatoxins: 20 µg/kg}", "aflatoxin_b1"),
    ],
)
def test_a_contaminant_that_cannot_be_is_told(written: str, path: str) -> None:
    (trouble,) = records.linked(records.small(foods=feed(written))).troubles
    assert trouble.place.path == ("foods", "feed", "contaminants", path)
    assert trouble.remedy


@pytest.mark.parametrize(
    "written", ["{lead: 1 mg/kg}", "{basis: as fed}", "{basis: as fed, led: 1 mg/kg}"]
)
def test_a_contaminant_without_a_basis_or_a_known_name_is_refused(written: str) -> None:
    assert check_file("foods.yaml", feed(written).encode()).problems


ZONE = "disease_zone: [{disease: avian influenza, from: 2026-11-20, until: 2026-12-20}]"


@pytest.mark.parametrize(
    ("on", "stands"),
    [
        (date(2026, 11, 19), True),  # announced: food for it is already being bought
        (date(2026, 11, 20), True),
        (date(2026, 12, 20), True),
        (date(2026, 12, 21), False),
    ],
)
def test_a_zone_stands_from_its_announcement_to_its_last_day(on: date, stands: bool) -> None:
    files = records.small(dietcheck=records.settings(more=ZONE))
    settings = records.linked(files).settings
    assert (settings.zone("avian influenza", on) is not None) is stands


def test_a_zone_without_a_last_day_stands_and_no_zone_stands_where_none_is_written() -> None:
    open_ended = records.settings(more=ZONE.replace(", until: 2026-12-20", ""))
    far = records.ON + 1000 * DAY
    assert records.linked(records.small(dietcheck=open_ended)).settings.zone("avian influenza", far)
    assert records.linked(records.small()).settings.zone("avian influenza", far) is None


def test_a_disease_by_another_name_is_refused_and_never_overlooked() -> None:
    text = records.settings(more=ZONE.replace("avian influenza", "bird flu"))
    assert check_file("dietcheck.yaml", text.encode()).problems


def test_a_zone_that_ends_before_it_begins_is_not_taken_for_lifted() -> None:
    text = records.settings(more=ZONE.replace("2026-12-20", "2026-01-20"))
    assert records.linked(records.small(dietcheck=text)).settings.zone(
        "avian influenza", records.ON
    )
