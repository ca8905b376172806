"""Amounts, masses, shares, densities and counts, as a record writes them."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import lru_cache
from typing import Final, Literal

from msgspec import Struct

from dietcheck.quantities.grammar import QuantityError, explain, explain_slip, shown, split, tidy
from dietcheck.quantities.interval import Interval, between
from dietcheck.quantities.units import UNITS, Dimension

Per = Literal["animal", "group", "kg body mass"]

_MEMO: Final = 16384
_AD_LIB: Final = "ad lib, expected "
# Where a remedy starts to spell out the phrase, so that an ad lib one stays ad lib.
_FIGURE_NEXT: Final = re.compile(r"^(write (?:the smaller first: )?)(?=[0-9])")
_PER: Final[dict[str, Per]] = {
    "per animal": "animal",
    "per group": "group",
    "per kg body mass": "kg body mass",
}
_AMOUNT: Final = "45 g per animal"
_OF_BODY_MASS: Final = "% of body mass"


class Amount(Struct, frozen=True):
    """What is given: a range in the base unit of its dimension (g, ml, IU or pieces), per what.

    `ad_lib` marks food always there, the figure being what is expected to be taken.
    """

    quantity: Interval
    dimension: Dimension
    per: Per
    ad_lib: bool
    text: str

    def spread(self, share: Decimal) -> Interval:
        """The quantity, an ad lib one without a range widened by `share` (0 to 1) both ways."""
        if not self.ad_lib or not self.quantity.is_exact:
            return self.quantity
        expected = self.quantity.low
        return between(expected * (1 - share), expected * (1 + share), expected)


@lru_cache(_MEMO)
def read_amount(text: str) -> Amount:
    """An amount such as `45 g per animal`, `20 to 30 g per group`, `3 % of body mass`.

    Raises QuantityError for anything else: no unit, no `per`, a spoon, a negative, nothing.
    """
    clean = tidy(text)
    if not clean.startswith(_AD_LIB):
        return _amount(clean, text, ad_lib=False)
    try:
        return _amount(clean.removeprefix(_AD_LIB), text, ad_lib=True)
    except QuantityError as refusal:
        remedy = _FIGURE_NEXT.sub(rf"\1{_AD_LIB}", refusal.remedy)
        raise QuantityError(refusal.message, remedy) from None


def _amount(phrase: str, text: str, *, ad_lib: bool) -> Amount:
    quantity, words = split(phrase, _AMOUNT)
    if words == _OF_BODY_MASS:
        return Amount(_above_zero(quantity * 10, text), "mass", "kg body mass", ad_lib, text)
    unit_word, stroke, per_words = words.partition("/")
    if stroke and unit_word in UNITS:
        raise _per_unclear(phrase, phrase.partition("/")[0], f"per {per_words}")
    unit_word, _, per_words = words.partition(" ")
    unit, per = UNITS.get(unit_word), _PER.get(per_words)
    if unit is None or unit.dimension in ("energy", "share"):
        explain(phrase, _AMOUNT, _units("mass", "volume", "piece", "iu"))
    if per is None:
        raise _per_unclear(phrase, phrase.removesuffix(per_words).rstrip(), per_words)
    return Amount(_above_zero(unit.to_base(quantity), text), unit.dimension, per, ad_lib, text)


@lru_cache(_MEMO)
def read_mass(text: str) -> Interval:
    """A mass or range of masses such as `4.9 kg`, in grams; QuantityError for anything else."""
    return _above_zero(_plain(text, "mass", "4.9 kg"), text)


@lru_cache(_MEMO)
def read_share(text: str) -> Interval:
    """A share such as `60 %`, as a fraction from 0 to 1; QuantityError for anything else."""
    share = _plain(text, "share", "60 %")
    if share.high > 1:
        raise QuantityError(f"{shown(text)} is more than the whole", "write at most 100 %")
    return share


_DENSITY_UNITS: Final = ("g/ml", "g/mL", "kg/l", "kg/L")


@lru_cache(_MEMO)
def read_density(text: str) -> Interval:
    """A density such as `1.03 g/ml`, in grams a millilitre; QuantityError for anything else."""
    quantity, words = split(tidy(text), "1.03 g/ml")
    if words not in _DENSITY_UNITS:
        explain(tidy(text), "1.03 g/ml", _DENSITY_UNITS)
    return _above_zero(quantity, text)


@lru_cache(_MEMO)
def read_count(text: str) -> Interval:
    """A head count such as `30` or `25 to 35`; QuantityError for anything else."""
    quantity, words = split(tidy(text), "25 to 35")
    if words or not _is_whole(quantity):
        raise QuantityError(
            f"{shown(text)} is not a head count", "write whole numbers alone: 30, or 25 to 35"
        )
    return _above_zero(quantity, text)


def _plain(text: str, dimension: Dimension, example: str) -> Interval:
    clean = tidy(text)
    quantity, word = split(clean, example)
    unit = UNITS.get(word)
    if unit is None or unit.dimension != dimension:
        explain(clean, example, _units(dimension))
    return unit.to_base(quantity)


def _units(*dimensions: Dimension) -> list[str]:
    return [word for word, unit in UNITS.items() if unit.dimension in dimensions]


def _is_whole(quantity: Interval) -> bool:
    return all(end == end.to_integral_value() for end in (quantity.low, quantity.high))


def _above_zero(quantity: Interval, text: str) -> Interval:
    if quantity.high:
        return quantity
    raise QuantityError(
        f"{shown(text)} is nothing at all", "leave the line out, or write how much there is"
    )


_NEAR_PER: Final = {
    "each": "per animal",
    "per head": "per animal",
    "per bird": "per animal",
    "per individual": "per animal",
    "a head": "per animal",
    "apiece": "per animal",
    "per pair": "per group",
    "in total": "per group",
    "total": "per group",
    "per enclosure": "per group",
    "for the group": "per group",
    "per kg": "per kg body mass",
    "per kg bw": "per kg body mass",
    "per kg body weight": "per kg body mass",
}


def _per_unclear(text: str, figure: str, written: str) -> QuantityError:
    """The refusal of an amount that says in no known words, or not at all, whom it is for."""
    near = written if written in _PER else _NEAR_PER.get(written.lower())
    if near:
        return QuantityError(
            f"{shown(text)}: whom it is for is said in words that can be misread",
            f"write {figure} {near}",
        )
    explain_slip(text, _AMOUNT)
    return QuantityError(
        f"{shown(text)} does not say whom it is for",
        f"write {figure} per animal, {figure} per group or {figure} per kg body mass",
    )
