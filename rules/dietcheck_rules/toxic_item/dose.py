"""Grams on the plate against published doses: plain arithmetic with ranges, every step shown."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from decimal import Decimal

from msgspec import Struct
from msgspec.structs import replace

from dietcheck.contract import Interval, Taxon, exact, find_taxon, format_interval
from dietcheck_rules.toxic_item.assess import Risk
from dietcheck_rules.toxic_item.items import Content, Dose
from dietcheck_rules.toxic_item.states import fits, simple
from dietcheck_rules.toxic_item.words import any_holds, tokens

HARMFUL = ("toxic", "lethal")
TENTH = exact("0.1")
# A unit of a published dose → grams of it for each kg of body mass. Pound and ounce: NIST SP 811.
PER_KG = {
    "g/kg body mass": Decimal(1),
    "g/kg body mass fresh weight": Decimal(1),
    "g/kg body mass dry weight": Decimal(1),
    "g/kg body mass/day": Decimal(1),
    "g/kg body mass twice daily": Decimal(2),
    "% of body mass": Decimal(10),
    "mg/kg body mass": Decimal("0.001"),
    "mg/kg body mass/day": Decimal("0.001"),
}
# A unit of a published dose → grams of it for one animal.
PER_ANIMAL = {
    "g per animal": Decimal(1),
    "g per animal fresh weight": Decimal(1),
    "g per animal per day": Decimal(1),
    "kg per animal": Decimal(1000),
    "kg per animal fresh weight": Decimal(1000),
    "kg per animal per day": Decimal(1000),
    "oz per animal": Decimal("28.349523"),
    "lb per animal": Decimal("453.59237"),
}
# A unit of a content → grams of the substance in one gram of the product.
CONTENT = {
    "mg/g": Decimal("0.001"),
    "g/kg": Decimal("0.001"),
    "mg/100 g": Decimal("0.00001"),
    "mg/100 g fresh weight": Decimal("0.00001"),
    "g/100 g fresh weight": Decimal("0.01"),
}


class Eaten(Struct, frozen=True):
    """Grams of a food for one animal: on its worst day, and over the days of a rota."""

    worst_day: Interval
    in_all: Interval
    days: int


class Comparison(Struct, frozen=True):
    """What an animal is offered, set against the lowest published harmful dose.

    `share` is the offered amount over that dose (1: the dose itself). `own` tells whether the
    dose was published for this species or one it belongs to; one carried over from another
    species is shown and decides nothing.
    """

    dose: Dose
    share: Interval
    own: bool
    working: tuple[str, ...]
    days: int  # over which the amount was summed, where the dose is a sum itself

    @property
    def reached_in(self) -> int | None:
        """Days in which the dose is reached at this rate; None for a dose of one day."""
        if not self.days or self.share.high <= 0:
            return None
        return math.ceil(self.days / self.share.high)

    @property
    def far_below(self) -> bool:
        """Whether even the largest possible amount stays under a tenth of the dose.

        Never so for a dose that adds up over time.
        """
        return self.own and not self.days and self.share.high < TENTH.low


def eaten_per_kg(grams: Interval, body_mass: Interval) -> Interval:
    """Grams for each kg of body mass, from grams and body mass in grams."""
    return grams / body_mass * 1000


def substance_in(grams: Interval, content: Content) -> Interval:
    """Grams of a content's substance in some grams of the product."""
    return grams * Interval(content.low, content.high) * CONTENT[content.unit]


def grams_that_reach(dose: Dose, body_mass: Interval, content: Content | None = None) -> Interval:
    """Grams of the item (or of the product with this content) that make up a published dose.

    Raises KeyError for a dose that is no mass: seeds, beetles, a share of a diet.
    """
    if dose.unit in PER_ANIMAL:
        wanted = Interval(dose.low, dose.high) * PER_ANIMAL[dose.unit]
    else:
        wanted = Interval(dose.low, dose.high) * PER_KG[dose.unit] * body_mass / 1000
    if content is None:
        return wanted
    return wanted / (Interval(content.low, content.high) * CONTENT[content.unit])


def compare(
    risk: Risk, taxon: Taxon, eaten: Eaten, body_mass: Interval | None
) -> Comparison | None:
    """The comparison with the lowest published dose that can be reckoned, own species first."""
    found = list(_comparisons(risk, taxon, eaten, body_mass))
    return max(found, key=lambda one: (one.own, one.share.high), default=None)


def _comparisons(
    risk: Risk, taxon: Taxon, eaten: Eaten, body_mass: Interval | None
) -> Iterator[Comparison]:
    for dose in risk.item.doses:
        own = bool(dose.taxon) and taxon.is_in(dose.taxon)
        if dose.kind not in HARMFUL or not dose.taxon or not (own or _kin(risk, dose)):
            continue
        if dose.unit.endswith("dry weight") and "dried" not in (risk.state.forms or ()):
            continue
        for content in _contents(risk, dose):
            made = _compare(risk, dose, content, eaten, body_mass, own)
            if made is not None:
                yield made


def _kin(risk: Risk, dose: Dose) -> bool:
    """Whether the dose is per kg and of an animal in the row's taxon: shown for want of better."""
    kin = find_taxon(dose.taxon)
    per_kg = dose.unit in PER_KG
    return per_kg and kin is not None and any(kin.is_in(name) for name in risk.row.taxa)


def _contents(risk: Risk, dose: Dose) -> Iterable[Content | None]:
    """How the food carries the dose's substance: directly (None), or through a known content."""
    of_it = [c for c in risk.item.contents if _same_substance(c.substance, dose.substance)]
    by_label = [
        of_percentage(content, percent)
        for content in of_it
        if content.pure
        for percent in percentages_of_cocoa(risk.food.names())
    ]
    contents = by_label or [c for c in of_it if any_holds(risk.state.names, c.names)]
    if contents:
        return contents
    return (None,) if _is_the_food(risk, dose.substance) else ()


def percentages_of_cocoa(names: Iterable[str]) -> Iterator[Decimal]:
    """The percentages of cocoa that names of chocolate state, as "dark chocolate 70 %"."""
    for name in names:
        if "chocolate" not in name.casefold():
            continue
        for figure in re.findall(r"(\d{1,3}(?:\.\d{1,2})?) ?(?:%|per ?cent)", name):
            if Decimal(figure) <= 100:
                yield Decimal(figure)


def of_percentage(pure: Content, percent: Decimal) -> Content:
    """The content of a product that is a percentage of a pure one."""
    share = percent / 100
    return replace(
        pure, low=pure.low * share, high=pure.high * share, product=f"{percent} % of {pure.product}"
    )


def _same_substance(content: str, dose: str) -> bool:
    return content == dose or (content == "theobromine" and dose == "theobromine or caffeine")


def _is_the_food(risk: Risk, substance: str) -> bool:
    """Whether a dose weighed this food: the item itself, its part, or it by name."""
    if not substance:
        return True
    left = [word for word in tokens(substance) if simple(word, "forms") is None and word != "or"]
    if left == ["plant"]:
        return True
    if len(left) == 1 and simple(left[0], "parts") is not None:
        return fits(risk.state.parts, (left[0],), "parts") == "yes"
    return any_holds(risk.state.names, _wordings(substance))


def _wordings(substance: str) -> tuple[str, ...]:
    return tuple(substance.replace(",", " or ").split(" or "))


def _compare(
    risk: Risk,
    dose: Dose,
    content: Content | None,
    eaten: Eaten,
    body_mass: Interval | None,
    own: bool,
) -> Comparison | None:
    days = eaten.days if dose.cumulative else 0
    grams = eaten.in_all if dose.cumulative else eaten.worst_day
    amount = grams if content is None else substance_in(grams, content)
    span = f"over the {days} days of the rota" if days else "on the worst day"
    lines = [f"{risk.food.id}: {_grams(grams)} {span}"]
    if content is not None:
        lines.append(
            f"× {_span(content.low, content.high)} {content.unit} {content.substance} "
            f"({content.product}) = {_grams(amount)} {content.substance}"
        )
    if dose.unit in PER_ANIMAL:
        low = dose.low * PER_ANIMAL[dose.unit]
        share = amount / exact(low)
    elif dose.unit in PER_KG and body_mass is not None and body_mass.low > 0:
        unit = PER_KG[dose.unit]
        per_kg = eaten_per_kg(amount, body_mass) / unit
        share = per_kg / exact(dose.low)
        shown = dose.unit.replace(" twice daily", "").removesuffix("/day")
        lines.append(
            f"÷ {format_interval(body_mass / 1000, 'kg')} body mass = "
            f"{format_interval(per_kg, shown)}"
        )
    else:
        return None
    whose = f"{dose.taxon}" if own else f"{dose.taxon}, carried over"
    lines.append(
        f"lowest published {dose.kind} dose ({whose}): {_span(dose.low, dose.high)} {dose.unit}"
        f" {dose.substance} ({dose.effect}; {_cited(dose.sources)}, read as {dose.seen})"
    )
    lines.append(f"that is {format_interval(share * 100, '%')} of that dose")
    made = Comparison(dose, share, own, tuple(lines), days)
    if (reached := made.reached_in) is None:
        return made
    return replace(made, working=(*lines, f"it adds up: reached in {reached} days at this rate"))


def cited(sources: Iterable[str]) -> str:
    """Source keys for a message, or the words for none."""
    return _cited(tuple(sources))


def _cited(sources: tuple[str, ...]) -> str:
    return ", ".join(sources) or "no source, from memory"


def _grams(amount: Interval) -> str:
    return (
        format_interval(amount, "g") if amount.high >= 1 else format_interval(amount * 1000, "mg")
    )


def _span(low: Decimal, high: Decimal) -> str:
    return f"{low}" if low == high else f"{low} to {high}"
