"""What a label or an analysis declares: `0.9 %`, `>= 14 %`, `5 to 7 %`, `2000 IU/kg`."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import lru_cache
from typing import Final

from msgspec import Struct

from dietcheck.quantities.grammar import QuantityError, explain, shown, split, tidy
from dietcheck.quantities.interval import INFINITY, Interval
from dietcheck.quantities.units import UNITS

_EXAMPLE: Final = "0.9 %, >= 14 %, 5 to 7 % or 120 mg/kg"
_GRAMS: Final = {"g": Decimal(1), "100 g": Decimal(100), "kg": Decimal(1000)}

# written: unit of what is in it, per how much food
CONTENT_UNITS: Final[dict[str, tuple[str, str]]] = {
    "%": ("g", "100 g"),
    "ppm": ("mg", "kg"),
    **{
        f"{unit}/{per}": (UNITS[unit].name, per)
        for unit in ("g", "mg", "µg", "mcg", "ug", "IU", "kcal", "kJ", "MJ")
        for per in _GRAMS
    },
}


class Content(Struct, frozen=True):
    """How much of something a food holds: a range in `unit` per `per` (g, 100 g or kg) of food.

    `about` gives only a best estimate: the range is then everything possible.
    """

    interval: Interval
    unit: str
    per: str

    def per_100g(self, unit: str) -> Interval:
        """The range in `unit` (g, mg, µg, kcal, IU …) per 100 g of food.

        Raises QuantityError where one cannot be turned into the other, as IU into mg.
        """
        own, wanted = UNITS[self.unit], UNITS[unit]
        if own.dimension != wanted.dimension:
            raise QuantityError(
                f"a content in {self.unit} cannot be turned into {unit}",
                f"write it in {unit}/100 g or {unit}/kg",
            )
        return wanted.from_base(own.to_base(self.interval * 100 / _GRAMS[self.per]))


@lru_cache(16384)
def read_content(text: str) -> Content:
    """A content with its bound words (`>=`, `<=`, `about`, `to`); QuantityError otherwise.

    No mass can be more than the food it is in, so `>= 14 %` is 14 to 100 %.
    """
    clean = tidy(text).replace("≥", ">=").replace("≤", "<=")
    word, phrase = _bound_word(clean)
    try:
        quantity, unit_words = split(phrase, _EXAMPLE)
        unit, per = CONTENT_UNITS[unit_words]
    except (QuantityError, KeyError):
        _check_words(clean)
        explain(phrase, _EXAMPLE, CONTENT_UNITS)
    most = _most(unit, per)
    if quantity.high > most:
        raise QuantityError(
            f"{shown(text)} is more than the whole food", "check the figure and its unit"
        )
    if word and not quantity.is_exact:
        raise QuantityError(
            f"{shown(text)} has both a range and {word}", f"write {phrase}, or one figure"
        )
    figure = quantity.low
    ranges = {
        "": quantity,
        ">=": Interval(figure, most),
        "<=": Interval(0, figure),
        "about": Interval(0, most, figure),
    }
    return Content(ranges[word], unit, per)


def _bound_word(text: str) -> tuple[str, str]:
    for word in (">=", "<=", "about"):
        if text.startswith(word):
            return word, text.removeprefix(word).lstrip(" ")
    return "", text


# words that bound a figure on labels: how a record writes them
_LABEL_WORDS: Final = (
    (r"(?i)^(?:min(?:imum|\.)?|at least|not less than|more than|over|>) ?(.+)$", ">="),
    (r"(?i)^(?:max(?:imum|\.)?|at most|not more than|less than|up to|under|<) ?(.+)$", "<="),
    (r"(?i)^(?:~|c\.|ca\.?|circa|approx\S*|around|roughly|typically) ?(.+)$", "about"),
    (r"(?i)^(.+?),? ?\(?min(?:imum|\.)?\)?$", ">="),
    (r"(?i)^(.+?),? ?\(?max(?:imum|\.)?\)?$", "<="),
)


def _check_words(text: str) -> None:
    for pattern, word in _LABEL_WORDS:
        found = re.fullmatch(pattern, text)
        if found:
            raise QuantityError(
                f"{shown(text)} is not how a bound is written", f"write {word} {found[1]}"
            )
    if re.fullmatch(r"(?i)traces?|nil|none|n/?d|not detected", text):
        raise QuantityError(
            f"{shown(text)} has no figure", "write the most it can be, as in <= 0.1 %"
        )
    if re.search(r"(?i) (?:of |dry|as fed|dm\b)", text):
        raise QuantityError(
            f"{shown(text)} names its basis, which stands once for the whole label",
            "write the figure and its unit here, and basis: dry matter or as fed beside it",
        )


def _most(unit: str, per: str) -> Decimal:
    if UNITS[unit].dimension != "mass":
        return INFINITY
    return _GRAMS[per] / UNITS[unit].times
