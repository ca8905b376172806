"""Figures that cannot be: parts that outweigh the food, two figures at odds, raw with cooked.

Nothing is corrected here and no loss in cooking or storage is guessed: what cannot be is named,
with the place and what to write instead.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal

from dietcheck.collection.collection import Trouble
from dietcheck.collection.places import Pointer
from dietcheck.quantities import Interval
from dietcheck.tables.foods import FoodRow, find_foods
from dietcheck.tables.nutrients import nutrients

# Parts measured one by one may miss 100 by a little: those of SR28 keep within one percent, so
# what is less than that over is let pass. Our own choice; no source gives a bound for labels.
SLACK = Decimal(1)
PARTS = ("water", "protein", "fat", "ash", "carbohydrate")
WITHIN = ("sugars", "starch", "nsc", "nfe", "fibre", "crude_fibre")
KJ_PER_KCAL = Decimal("4.184")
# Energies rounded apart differ by less than this share; more means one of them is wrong.
ENERGY_SLACK = Decimal("0.05")

# What a word in `form` says of the food. Freezing and thawing change no figure that is known here;
# a dry grain or pulse is raw and dried at once; what was frozen may be either raw or cooked.
_STATES: Mapping[str, frozenset[str]] = {
    word: frozenset(states.split())
    for states, words in {
        "raw": "raw fresh live uncooked",
        "cooked": "cooked boiled baked roasted steamed fried stewed grilled poached toasted"
        " blanched canned tinned popped puffed braised simmered scrambled microwaved",
        "dried": "dried dehydrated freeze-dried powdered",
        "raw dried": "dry",
        "raw cooked": "frozen thawed frozen-thawed defrosted",
    }.items()
    for word in words.split()
}


def impossible_figures(
    place: Pointer, declared: Mapping[str, Interval], basis: str
) -> Iterator[Trouble]:
    """What of a label or an analysis cannot be true at once. Figures are per 100 g on `basis`."""
    yield from _too_much(place, declared, basis)
    if "carbohydrate" in declared:
        most = declared["carbohydrate"].high + SLACK
        for part in WITHIN:
            if part in declared and declared[part].low > most:
                yield Trouble(
                    place.at(part),
                    f"There is more {nutrients()[part].title} than carbohydrate with fibre"
                    f" ({declared['carbohydrate'].high:f} %), of which it is a part.",
                    "Check both; a label that leaves the fibre out of its carbohydrate has an"
                    " nfe figure: write it as nfe.",
                )
    yield from _at_odds(place, declared)


def _too_much(place: Pointer, declared: Mapping[str, Interval], basis: str) -> Iterator[Trouble]:
    parts = [p for p in PARTS if p in declared and not (p == "water" and basis == "dry matter")]
    least = sum((declared[part].low for part in parts), Decimal(0))
    if "carbohydrate" not in declared:
        # Parts of the carbohydrate, where it is not given itself. Fibre is counted once.
        inner = [p for p in ("sugars", "starch") if p in declared]
        fibres = [p for p in ("fibre", "crude_fibre") if p in declared]
        least += sum((declared[part].low for part in inner), Decimal(0))
        least += max((declared[part].low for part in fibres), default=Decimal(0))
        parts += inner + fibres
    if least > 100 + SLACK:
        names = ", ".join(nutrients()[part].title for part in parts)
        yield Trouble(
            place,
            f"The parts add up to at least {least:f} %, more than the whole: {names}.",
            "Check the figures, and the basis: with water in the list it is as fed, and a label of"
            " dry matter says dry matter.",
        )


def _at_odds(place: Pointer, declared: Mapping[str, Interval]) -> Iterator[Trouble]:
    if "water" in declared and "dry_matter" in declared:
        both = declared["water"] + declared["dry_matter"]
        if not (both.low <= 100 + SLACK and both.high >= 100 - SLACK):
            yield Trouble(
                place.at("dry_matter"),
                "Water and dry matter do not add up to 100 %.",
                "Keep the one that was measured and leave the other out.",
            )
    if "energy" in declared and "energy_kj" in declared:
        kcal, from_kj = declared["energy"], declared["energy_kj"] / KJ_PER_KCAL
        if (
            kcal.high * (1 + ENERGY_SLACK) < from_kj.low
            or from_kj.high * (1 + ENERGY_SLACK) < kcal.low
        ):
            yield Trouble(
                place.at("energy_kj"),
                "The energy in kJ is not the energy in kcal (1 kcal is 4.184 kJ).",
                "Keep the one that the label prints first and leave the other out.",
            )


def other_form(
    place: Pointer, used: str | None, analysed: str | None, of: str, row: FoodRow | None
) -> Iterator[Trouble]:
    """Whether the food is used in one state and its figures are of another."""
    here, there = _states(used), _states(analysed)
    if not here or not there or here & there:
        return
    same = f"Choose the row of the {used} food"
    if row is not None and row.scientific_name:
        fitting = [r.id for r in find_foods(row.scientific_name) if _states(r.form) & here]
        same += f" ({', '.join(fitting[:3])})" if fitting else ""
    yield Trouble(
        place.at("form"),
        f"Used {used}, but {of} is of the {analysed} food: water and all else differ.",
        f"{same}, give its own label or analysis, or correct the form. If nothing better is to be"
        " had, write stands_in: yes and why.",
    )


def _states(form: str | None) -> frozenset[str]:
    """The states a form may mean; none if it names no state that is known."""
    known = [_STATES[word] for word in (form or "").replace(",", " ").split() if word in _STATES]
    if not known:
        return frozenset()
    return frozenset.intersection(*known) or frozenset.union(*known)
