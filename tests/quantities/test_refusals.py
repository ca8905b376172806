"""What may never reach a calculation, and that each refusal says what to write instead."""

import pickle
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from dietcheck.quantities import (
    QuantityError,
    read_amount,
    read_born,
    read_bound,
    read_content,
    read_count,
    read_date,
    read_density,
    read_mass,
    read_period,
    read_share,
)

READERS: list[Callable[[str], Any]] = [
    read_amount,
    read_born,
    read_bound,
    read_content,
    read_count,
    read_date,
    read_density,
    read_mass,
    read_period,
    read_share,
]

HOSTILE = [
    "9**9**9 g per animal",
    "9^9^9 g per animal",
    "g**9**9**9",
    "1" * 1_000_000,
    "g" * 1_000_000,
    "1" * 70 + " g",
    "5 " + "a" * 70,
    "-" * 5000 + "5 g",
    "5 g" + "*2" * 20_000,
    "1e400 g",
    "1e3 g per animal",
    "inf g",
    "nan g per animal",
    "Infinity g per animal",
    "-5 g per animal",
    "−5 g per animal",
    "5 g; import os",
    "__import__('os').getcwd()",
    "lambda: 5",
    "{5} g",
    "5 g # per animal",
    "5 ± 1 g per animal",
    "5 g + 3 kg per animal",
    "5 g 3 kg per animal",
    "5*3 g per animal",
    "٣ g per animal",
    "५ g per animal",
    "５ g per animal",
    "² g per animal",
    "5\u00a0g per animal",
    "5\u200bg per animal",
    "5 g per animal\n",
    "5\tg per animal",
    "\x1b[31m5 g per animal",
    "5 \u202eg per animal",
    "0x10 g per animal",
    "1_000 g per animal",
    "5 degC per animal",
    "5 delta_degC per animal",
    "5 °F per animal",
    "5 £ per animal",
    "$5 per animal",
    "5 pinch per animal",
    "5 c per animal",
    "5 gr per animal",
    "5 Gg per animal",
    "5 m per animal",
    "5 g·kg per animal",
    "5 g/g per animal",
    "5 kcal per animal",
    "5 % per animal",
    "0 g per animal",
    "",
    " ",
    ".",
    "to",
    "1 to g per animal",
    "to 5 g per animal",
    "5 to 4 g per animal",
    "5 g per",
    "5 g per animal per group",
    "5 g per animals",
    "ad lib, expected",
    "ad lib, expected ad lib, expected 5 g per animal",
]


@pytest.mark.parametrize("text", HOSTILE, ids=lambda text: ascii(text[:30]))
def test_hostile_text_is_refused_as_an_amount(text: str) -> None:
    with pytest.raises(QuantityError) as caught:
        read_amount(text)
    assert caught.value.message.strip()
    assert caught.value.remedy.strip()
    assert str(caught.value).isprintable()
    assert len(str(caught.value)) < 400


@given(
    st.sampled_from(READERS), st.text(max_size=90) | st.text("0123456789.,- togkm/%^µ", max_size=40)
)
@example(read_mass, "1.0000000000 g")
@example(read_bound, "1/0 g")
@example(read_content, ">=")
@example(read_content, "about")
@example(read_date, "0000-00-00")
@example(read_date, "9999-99-99")
@example(read_period, "99999 days")
def test_a_reader_takes_it_or_refuses_it_and_never_breaks(
    reader: Callable[[str], Any], text: str
) -> None:
    said = "taken"
    try:
        reader(text)
    except QuantityError as refusal:
        said = f"{refusal.remedy and refusal}"
    assert said.isprintable()
    assert 0 < len(said) < 500


@pytest.mark.parametrize(
    ("reader", "text", "mended"),
    [
        (read_amount, "1,5 g per animal", "1.5 g per animal"),
        (read_amount, "1 1/2 g per animal", "1.5 g per animal"),
        (read_amount, "1/2 g per animal", "0.5 g per animal"),
        (read_amount, "1½ pieces per animal", "1.5 pieces per animal"),
        (read_amount, "½ piece per animal", "0.5 piece per animal"),
        (read_amount, "20-30 g per animal", "20 to 30 g per animal"),
        (read_amount, "20 – 30 g per animal", "20 to 30 g per animal"),
        (read_amount, "30 to 20 g per animal", "20 to 30 g per animal"),
        (read_amount, "20 g to 30 g per animal", "20 to 30 g per animal"),
        (read_amount, "007 g per animal", "7 g per animal"),
        (read_amount, ".5 g per animal", "0.5 g per animal"),
        (read_amount, "5. g per animal", "5 g per animal"),
        (read_amount, "1 000 g per animal", "1000 g per animal"),
        (read_amount, "1_000 g per animal", "1000 g per animal"),
        (read_amount, "45 grams per animal", "45 g per animal"),
        (read_amount, "5 G per animal", "5 g per animal"),
        (read_amount, "5 Kg per group", "5 kg per group"),
        (read_amount, "2 pcs per animal", "2 pieces per animal"),
        (read_amount, "400 iu per animal", "400 IU per animal"),
        (read_amount, "45 g each", "45 g per animal"),
        (read_amount, "45 g per head", "45 g per animal"),
        (read_amount, "45 g/animal", "45 g per animal"),
        (read_amount, "ad lib, expected 900 g each", "ad lib, expected 900 g per animal"),
        (read_amount, "ad lib, expected 1,5 kg per group", "ad lib, expected 1.5 kg per group"),
        (read_mass, "4,9 kg", "4.9 kg"),
        (read_mass, "4.9 KG", "4.9 kg"),
        (read_mass, "10 lbs", "10 lb"),
        (read_share, "60 percent", "60 %"),
        (read_content, "1,2 %", "1.2 %"),
        (read_content, "min 14 %", ">= 14 %"),
        (read_content, "14 % max", "<= 14 %"),
        (read_content, "> 14 %", ">= 14 %"),
        (read_content, "~5 %", "about 5 %"),
        (read_content, "2000 iu/kg", "2000 IU/kg"),
        (read_bound, "6 % DM", "6 % of dry matter"),
        (read_bound, "2 g per kg BW", "2 g per kg body mass"),
        (read_bound, "48 g per kg0.75", "48 g per kg^0.75"),
        (read_bound, "2:1", "2"),
        (read_date, "2026-9-1", "2026-09-01"),
        (read_date, "2026/09/01", "2026-09-01"),
    ],
)
def test_the_remedy_names_a_form_that_is_taken(
    reader: Callable[[str], Any], text: str, mended: str
) -> None:
    with pytest.raises(QuantityError) as caught:
        reader(text)
    assert caught.value.remedy.endswith(mended)
    reader(mended)


def test_a_comma_that_may_mark_thousands_is_asked_about_not_guessed() -> None:
    with pytest.raises(QuantityError) as caught:
        read_amount("1,200 g per animal")
    assert "1200" in caught.value.remedy
    assert "1.200" in caught.value.remedy


@pytest.mark.parametrize("text", ["45 g", "45 g per day", "45 g daily"])
def test_for_whom_is_asked_not_guessed(text: str) -> None:
    with pytest.raises(QuantityError) as caught:
        read_amount(text)
    for per in ("per animal", "per group", "per kg body mass"):
        assert f"45 g {per}" in caught.value.remedy


@pytest.mark.parametrize("measure", ["tsp", "tablespoons", "cup", "spoon", "dessertspoon"])
def test_spoons_and_cups_are_to_be_weighed(measure: str) -> None:
    with pytest.raises(QuantityError) as caught:
        read_amount(f"1 {measure} per animal")
    assert "weigh" in caught.value.remedy


def test_ad_lib_asks_how_much_is_expected() -> None:
    with pytest.raises(QuantityError) as caught:
        read_amount("ad lib")
    assert "ad lib, expected 900 g per animal" in caught.value.remedy


def test_a_range_as_a_limit_names_both_keys() -> None:
    with pytest.raises(QuantityError) as caught:
        read_bound("6 to 8 % of dry matter")
    assert "at_least" in caught.value.remedy
    assert "at_most" in caught.value.remedy


def test_a_refusal_survives_the_way_between_processes() -> None:
    with pytest.raises(QuantityError) as caught:
        read_mass("4,9 kg")
    twin = pickle.loads(pickle.dumps(caught.value))
    assert (twin.message, twin.remedy) == (caught.value.message, caught.value.remedy)


def test_what_cannot_be_seen_is_spelled_out_in_the_remedy_as_well() -> None:
    with pytest.raises(QuantityError) as caught:
        read_content("<\x1f")
    assert caught.value.remedy.isprintable()
    assert str(caught.value).isprintable()
