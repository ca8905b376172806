"""The ration for a terminal: it fits, it is plain, and what is the same is told once."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from dietcheck.collection.build import build
from dietcheck.collection.places import Pointer
from dietcheck.nutrition.diet import diets_of
from dietcheck.nutrition.gauges import gauge_keys
from dietcheck.quantities import Interval
from dietcheck.reading import Folder, read_repository
from dietcheck.reporting import ration, ration_text
from dietcheck.reporting.layout import WIDTH, width
from tests import records
from tests.checkout import CHECKOUT, EXAMPLE_DAY
from tests.hostile.test_output import NASTY
from tests.reporting.rations import TWO_DAYS, carrots, hostile, report_of


def in_words(text: str) -> str:
    """The text without its line breaks and columns."""
    return " ".join(text.split())


def test_every_ration_of_the_example_fits_the_page() -> None:
    repository = read_repository(Folder(CHECKOUT / "example_repo"))
    collection = build((Pointer(f.file), f.data) for f in repository.files if f.data is not None)
    for diet in diets_of(collection, date.fromisoformat(EXAMPLE_DAY)).values():
        for keys in (gauge_keys(), ("iron", "calcium")):
            text = ration_text.render(report_of(diet, keys))
            assert max(map(width, text.splitlines())) <= WIDTH
            assert text.replace("\n", "").isprintable()


def test_figures_and_what_they_mean() -> None:
    text = in_words(ration_text.render(carrots()))
    assert "total sugars g 56.9 40.5 %" in text
    assert "calcium to phosphorus to 1 0.943" in text
    assert "T1 200 kg 20 Nov 2026 5" in text
    assert "Every day is fed the same." in text
    assert "Offered, not eaten." in text


def test_days_that_differ_are_told_apart() -> None:
    text = in_words(ration_text.render(carrots(**TWO_DAYS)))
    assert "food as fed g 1200 1600" in text
    assert "Every day is fed the same." not in text


def test_what_some_food_does_not_state_is_at_least_what_is_stated() -> None:
    text = in_words(ration_text.render(carrots(**TWO_DAYS)))
    assert "iron mg at least 2.7" in text
    assert "pellet: " in text


def test_a_section_that_reads_the_same_is_told_once() -> None:
    animals = [f"{{id: T{n}, weighings: [{{on: 2026-11-20, mass: {n}00 kg}}]}}" for n in (1, 2)]
    lines = ["{food: carrot, amount: 1 g per kg body mass}"]
    text = ration_text.render(
        carrots(group=records.group(animals=animals), sheet=records.sheet({"roots": lines}))
    )
    assert text.count("By class of food") == 2
    assert text.count("root vegetable") == 1
    assert "as for T1" in text


@pytest.mark.parametrize("text", NASTY.values(), ids=NASTY)
def test_hostile_names(text: str) -> None:
    lines = ration_text.render(hostile(text)).splitlines()
    assert all(line.isprintable() for line in lines)
    assert not any("::" in line or "##" in line for line in lines)
    assert len(lines) < 500
    spread = [line for line in lines if width(line) > WIDTH]
    assert all("laid over" in line or len(line.split()) < 4 for line in spread)


def test_large_figures_stand_in_the_bigger_unit() -> None:
    lots = records.sheet({"roots": ["{food: carrot, amount: 250 kg per animal}"]})
    text = in_words(ration_text.render(carrots(sheet=lots)))
    assert "food as fed kg 500" in text
    assert "calcium g 165" in text  # 33 mg per 100 g: SR28, 11124


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [
        ("0", "1", "unknown"),
        ("0.25", "0.25", "25 %"),
        ("0.0001", "0.0004", "under 0.1 %"),
        ("0", "0", "0 %"),
        ("0.0031", "0.0068", "0.3 to 0.7 %"),
        ("0.0004", "0.333", "0 to 34 %"),
        ("1", "1", "100 %"),
    ],
)
def test_shares_in_words(low: str, high: str, said: str) -> None:
    assert ration.share(Interval(Decimal(low), Decimal(high))) == said
