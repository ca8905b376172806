"""Why a written quantity is refused, and what to write: tables of the slips people make.

Read only once a quantity has been refused, so it may be slow and as helpful as it likes.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import Final

from msgspec import Struct

from dietcheck.quantities.grammar import QuantityError, shown
from dietcheck.quantities.units import UNITS, Dimension

_FIGURE: Final = r"[0-9]+(?:\.[0-9]+)?"
_START: Final = re.compile(rf"{_FIGURE}(?: to {_FIGURE})? ?")
_VULGAR: Final = {"½": "0.5", "¼": "0.25", "¾": "0.75", "⅓": "0.33", "⅔": "0.67"}


class Slip(Struct, frozen=True):
    """A slip: a pattern in the text, what is wrong, and a replacement that mends it or advice.

    Advice may name {example}, the form the field takes.
    """

    pattern: str
    wrong: str
    advice: str = "write it as in {example}"
    mend: str | Callable[[re.Match[str]], str] | None = None


def _point(found: re.Match[str]) -> str:
    return f"{found[1]}.{found[2]}"


def _decimal(found: re.Match[str]) -> str:
    whole, top, bottom = (int(part or 0) for part in found.groups())
    return f"{round(float(whole + Fraction(top, bottom)), 2):g}" if bottom else found[0]


def _vulgar(found: re.Match[str]) -> str:
    return f"{found[1] or '0'}{_VULGAR[found[2]][1:]}"


_RANGE: Final = "write the range it lies in, as in 40 to 50, with its unit"
_IN_FULL: Final = "write the figure out in full, as in {example}"
_WEIGH: Final = "weigh it once and write grams"

# The first that fits is told, so the narrower stands before the wider.
_SLIPS: Final[tuple[Slip, ...]] = (
    Slip(r"^$", "nothing is written here"),
    Slip(
        r"[^\x20-\x7eµ≤≥–—−±½¼¾⅓⅔°£€¥]",
        "it holds a character that is not a plain one",
        "type it again with the digits 0 to 9 and plain spaces, as in {example}",
    ),
    Slip(
        r"#",
        "a remark runs into it",
        "put the remark under notes, or after a space and a # outside the quotes",
    ),
    Slip(r"(?i)\b(?:nan|inf|infinity)\b", "it is not a figure"),
    Slip(r"±|\+/-", "a figure with ± is not taken", _RANGE),
    Slip(r"[0-9][eE][-+]?[0-9]|\*\*|[0-9]\^", "it is written as a power", _IN_FULL),
    Slip(
        rf"({_FIGURE}) ?[-–—] ?({_FIGURE})",
        "a dash can also be read as minus",
        mend=r"\1 to \2",
    ),
    Slip(r"[-−] ?[0-9.]", "it is below zero", "write how much there is, as in {example}"),
    Slip(
        r"(?<![0-9,])([1-9][0-9]{0,2}),([0-9]{3})(?![0-9,])",
        "a comma can mark thousands or the decimal point",
        r"write \1\2 for thousands, or \1.\2 with a point for the decimal",
    ),
    Slip(r"(?:[0-9]+,){2,}[0-9]+", "the figure is split by commas", _IN_FULL),
    Slip(r"([0-9]+),([0-9]+)", "the decimal comma is not taken", mend=_point),
    Slip(r"(?<![0-9.])([0-9]+)[_ ]([0-9]{3})\b", "the figure is split", mend=r"\1\2"),
    Slip(
        r"(?<![0-9.])(?:([0-9]{1,4}) )?([0-9]{1,4})/([0-9]{1,4})\b",
        "a fraction is not taken",
        mend=_decimal,
    ),
    Slip(r"([0-9]*) ?([½¼¾⅓⅔])", "a fraction is not taken", mend=_vulgar),
    Slip(
        r"[0-9]{10}",
        "a figure here is longer than nine digits",
        "check the figure, or use a larger or a smaller unit",
    ),
    Slip(r"(?<![0-9.])0+([0-9])", "the figure starts with a spare 0", mend=r"\1"),
    Slip(r"(?<![0-9])\.([0-9]+)", "the figure starts with its point", mend=r"0.\1"),
    Slip(r"([0-9]+)\.(?![0-9])", "the figure ends with its point", mend=r"\1"),
    Slip(
        rf"({_FIGURE}) ?([^0-9 ]+) to ({_FIGURE}) ?\2(?![^ ])",
        "the unit is there twice",
        mend=r"\1 to \3 \2",
    ),
    Slip(
        r"(?i)\bad[ -]?lib",
        "it does not say how much is taken",
        "write how much you expect to be taken: ad lib, expected 900 g per animal",
    ),
    Slip(r"(?i)^(?:~|c\.|ca\.?|circa|about|approx\S*|around|roughly)", "it is not exact", _RANGE),
    Slip(r"(?i)[°]|\bdeg|\bcelsius|\bfahrenheit|\bkelvin", "a temperature is no quantity here"),
    Slip(r"(?i)[£€¥$]|\b(?:gbp|usd|eur|pence|sterling)\b", "money is no quantity here"),
    Slip(
        r"(?i)\b(?:tsps?\b|tbsps?\b|tea ?spoon|table ?spoon|dessert ?spoon|spoon|cups?\b)",
        "a UK and a US spoon or cup differ",
        _WEIGH,
    ),
    Slip(
        r"(?i)\b(?:fl\.? ?oz|fluid ounce|pints?\b|quarts?\b|gallons?\b|gills?\b)",
        "a UK and a US one differ",
        "write ml or l",
    ),
    Slip(
        r"(?i)\b(?:pinch|handful|scoop|dash|drop|bowl|dollop|sprinkl|bunch|slice|wedge|tin|bag)",
        "it is a different amount in every hand",
        f"{_WEIGH}, or give the food a piece mass and write pieces",
    ),
    Slip(rf"^{_FIGURE}(?: to {_FIGURE})?(?: per\b.*| each)?$", "it has no unit"),
    Slip(r"^[^0-9]*$", "there is no figure in it"),
    Slip(r"[()\[\]{}*=;+]|_", "it is a sum or a sentence", "write one figure, as in {example}"),
    Slip(
        rf"^{_FIGURE} ?[a-zA-Zµ%]+,? (?:to )?{_FIGURE}",
        "it holds more than one quantity",
        "write one figure and one unit, as in {example}",
    ),
)

# what people write: the unit they most likely mean
_MEANT: Final[dict[str, str]] = {
    **dict.fromkeys(("gr", "gm", "gms", "gram", "grams", "gramme", "grammes", "grm", "g."), "g"),
    **dict.fromkeys(("kgs", "kilo", "kilos", "kilogram", "kilograms", "k"), "kg"),
    **dict.fromkeys(("mgs", "milligram", "milligrams"), "mg"),
    **dict.fromkeys(("mcgs", "microgram", "micrograms"), "µg"),
    **dict.fromkeys(("lbs", "pound", "pounds"), "lb"),
    **dict.fromkeys(("ozs", "ounce", "ounces"), "oz"),
    **dict.fromkeys(("litre", "litres", "liter", "liters", "ltr"), "l"),
    **dict.fromkeys(("mls", "cc", "millilitre", "millilitres", "milliliter"), "ml"),
    **dict.fromkeys(("cal", "cals", "calorie", "calories", "kcals"), "kcal"),
    **dict.fromkeys(("kjs", "kilojoule", "kilojoules"), "kJ"),
    **dict.fromkeys(("i.u.", "ie", "ius", "unit", "units"), "IU"),
    **dict.fromkeys(("pc", "pcs", "pce", "item", "items", "whole", "no", "ea", "x"), "pieces"),
    **dict.fromkeys(("percent", "pct", "pc."), "%"),
    **dict.fromkeys(("t", "tonne", "tonnes", "st", "stone"), "kg"),
}

# short words in limits and contents: the words in full
_SHORT: Final[dict[str, str]] = {
    r"\bDMB?\b": "dry matter",
    r"\b(?:AF|as is)\b": "as fed",
    r"(?i)\b(?:BW|BM|bodyweight|body weight|bodymass|live ?weight)\b": "body mass",
    r"\b(?:ME|DE|daily energy|calories)\b": "energy",
    r"(?i)\bkg ?(?:\^|\*\*)? ?0?\.75\b": "kg^0.75",
    r"\bper cent\b": "%",
}

_KINDS: Final[dict[Dimension, str]] = {
    "mass": "a mass",
    "volume": "a volume",
    "energy": "an energy",
    "iu": "international units",
    "piece": "a number of pieces",
    "share": "a share",
}


def slip(text: str, example: str) -> QuantityError | None:
    """The refusal for the first known slip in the text, if there is one."""
    for row in _SLIPS:
        found = re.search(row.pattern, text)
        if found is None:
            continue
        if row.mend is None:
            advice = found.expand(row.advice)
            remedy = advice.replace("{example}", example)
        else:
            mended = found.expand(row.mend) if isinstance(row.mend, str) else row.mend(found)
            remedy = f"write {text[: found.start()]}{mended}{text[found.end() :]}"
        return QuantityError(f"{shown(text)}: {row.wrong}", remedy)
    return None


def refusal(text: str, example: str, units: Iterable[str] = ()) -> QuantityError:
    """The refusal of `text`, where one of `units` as in `example` would have been taken."""
    return slip(text, example) or _unit_refusal(text, example, list(units))


def _unit_refusal(text: str, example: str, units: list[str]) -> QuantityError:
    start = _START.match(text)
    figure = start[0].rstrip() if start else ""
    rest = text.removeprefix(start[0]) if start else text
    word, _, tail = rest.partition(" ")
    if word in UNITS and units and word not in units and all(unit in UNITS for unit in units):
        kinds = list(dict.fromkeys(_KINDS[UNITS[unit].dimension] for unit in units))
        return QuantityError(
            f"{shown(text)}: {word} is {_KINDS[UNITS[word].dimension]}, and what is needed is "
            f"{' or '.join(kinds)}",
            f"write it as in {example}",
        )
    near, said = _nearest(rest, units), rest
    if near is None and (near := _nearest(word, units)):
        near, said = f"{near} {tail}", word
    hint = f"write {figure} {near}".strip() if near else f"write it as in {example}"
    return QuantityError(f"{shown(text)}: {shown(said)} is not a unit that is taken here", hint)


def _nearest(word: str, units: list[str]) -> str | None:
    """The unit most likely meant: a known slip, another case, or a close spelling."""
    units = units or list(UNITS)
    for old, new in _SHORT.items():
        word = re.sub(old, new, word)
    folded = {unit.lower(): unit for unit in reversed(units)}
    meant = _MEANT.get(word.lower()) or folded.get(word.lower())
    if meant in units:
        return meant
    # A loose guess at a short unit would be a guess at the dose.
    close = difflib.get_close_matches(word, [unit for unit in units if len(unit) > 3], 1, 0.85)
    return close[0] if close else None
