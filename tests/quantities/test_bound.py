"""Limits: each phrase has its basis, and one figure for each one of it."""

from decimal import Decimal

import pytest

from dietcheck.quantities import Bound, QuantityError, read_bound
from dietcheck.quantities.bound import _phrases


@pytest.mark.parametrize(
    ("text", "value", "unit", "basis"),
    [
        ("6 % of dry matter", "6", "%", "dry matter"),
        ("15 % as fed", "15", "%", "as fed"),
        ("6 %", "6", "%", "unstated"),
        ("10 % of energy", "10", "%", "energy"),
        ("3 % of body mass", "3", "%", "body mass"),
        ("2 g per kg body mass", "2", "g/kg", "body mass"),
        ("48 g per kg^0.75", "48", "g/kg^0.75", "metabolic body mass"),
        ("137 kcal per kg^0.75", "137", "kcal/kg^0.75", "metabolic body mass"),
        ("0.57 MJ/kg^0.75", "0.57", "MJ/kg^0.75", "metabolic body mass"),
        ("100 mg per kg dry matter", "100", "mg/kg", "dry matter"),
        ("100 mg/kg dry matter", "100", "mg/kg", "dry matter"),
        ("100 ppm of dry matter", "100", "mg/kg", "dry matter"),
        ("25 mg per kg as fed", "25", "mg/kg", "as fed"),
        ("600 mg per kg", "600", "mg/kg", "unstated"),
        ("2000 IU/kg", "2000", "IU/kg", "unstated"),
        ("2.5 mg per kcal", "2.5", "mg/kcal", "energy"),
        ("10 feeds", "10", "feeds", "count"),
        ("1 feed", "1", "feeds", "count"),
        ("12 hours", "12", "hours", "count"),
        ("32 g per animal", "32", "g/animal", "animal"),
        ("1.5", "1.5", "", "ratio"),
        ("0 % as fed", "0", "%", "as fed"),
    ],
)
def test_phrases(text: str, value: str, unit: str, basis: str) -> None:
    bound = read_bound(text)
    assert (bound.value, bound.unit, bound.basis) == (Decimal(value), unit, basis)


@pytest.mark.parametrize(
    ("text", "unit", "amount"),
    [
        ("6 % of dry matter", "", "0.06"),
        ("6 % of dry matter", "g", "0.06"),
        ("6 % of dry matter", "mg", "60"),
        ("15 % as fed", "", "0.15"),
        ("10 % of energy", "", "0.1"),
        ("10 % of energy", "kcal", "0.1"),
        ("3 % of body mass", "", "0.03"),
        ("3 % of body mass", "g", "30"),
        ("2 g per kg body mass", "g", "2"),
        ("2 g per kg body mass", "mg", "2000"),
        ("48 g per kg^0.75", "g", "48"),
        ("418.4 kJ per kg^0.75", "kcal", "100"),
        ("100 mg per kg dry matter", "mg", "0.1"),
        ("100 mg per kg dry matter", "µg", "100"),
        ("100 mg per 100 g dry matter", "mg", "1"),
        ("2000 IU/kg", "IU", "2"),
        ("2 g per 1000 kcal", "mg", "2"),
        ("4.184 g per MJ", "mg", "17.505856"),
        ("10 feeds", "", "10"),
        ("1.5", "", "1.5"),
        ("1.5", "g", "1.5"),
        ("0.4 kg per animal", "g", "400"),
        ("0.4 kg per animal", "", "0.4"),
    ],
)
def test_one_figure_for_each_one_of_the_basis(text: str, unit: str, amount: str) -> None:
    assert round(read_bound(text).amount(unit), 20) == round(Decimal(amount), 20)


def test_every_phrase_there_is_can_be_read_and_worked_with() -> None:
    for phrase in _phrases():
        bound = read_bound(f"3 {phrase}".rstrip())
        assert isinstance(bound, Bound)
        assert bound.amount() > 0


@pytest.mark.parametrize(("text", "unit"), [("100 IU/kg", "mg"), ("6 % as fed", "IU")])
def test_kinds_that_cannot_meet_are_refused(text: str, unit: str) -> None:
    with pytest.raises(QuantityError):
        read_bound(text).amount(unit)


@pytest.mark.parametrize(
    "text",
    ["", "6 % of the diet", "6 to 8 %", "-1", "g per kg", "6 %  %", "2 g per kg^0.67", "ten"],
)
def test_what_is_no_limit(text: str) -> None:
    with pytest.raises(QuantityError):
        read_bound(text)
