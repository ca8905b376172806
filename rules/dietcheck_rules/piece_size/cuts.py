"""How big the pieces of a line are, in the words of its `cut`, against the limits of the taxon."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal

from dietcheck.contract import (
    Check,
    Diet,
    Interval,
    Limit,
    Limits,
    Line,
    Measure,
    Offer,
    Severity,
    Verdict,
)
from dietcheck_rules.shared.wording import standing_words

QUANTITY = "piece-size"
# What is cut before it is fed; leaves tear, and a pellet's size is its maker's.
CUT_FOODS = frozenset({"fruit", "vegetable", "root vegetable", "gourd", "meat", "offal"})
FINE = frozenset(
    {"grated", "shredded", "mashed", "minced", "puréed", "pureed", "juiced", "powdered"}
)
UNCUT = frozenset({"whole", "halves", "halved", "quarters", "quartered", "chunks"})
_SIZE = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*(mm|cm)\b")
_MM = {"mm": Decimal(1), "cm": Decimal(10)}


def size_of(line: Line) -> Interval | None:
    """The size in mm that the cut names, the largest where it names several; None: not told.

    A fine cut without a figure is 0 to 5 mm, the tool's assumption; no source.
    """
    told = (line.cut or "").lower()
    found = [Decimal(n.replace(",", ".")) * _MM[unit] for n, unit in _SIZE.findall(told)]
    if found:
        return Interval(max(found), max(found))
    if FINE & set(re.findall(r"\w+", told)):
        return Interval(Decimal(0), Decimal(5))
    return None


def sizes(diet: Diet, limits: Limits) -> Iterator[Check]:
    """Each line that is cut too big or too small, or of which nobody writes the size."""
    stages = dict.fromkeys(animal.stage for animal in diet.animals)
    for stage in stages:
        applied = limits.applying(diet.group, QUANTITY, stage=stage)
        if applied is None:
            continue
        for offer in diet.given():
            if offer.line.food.food_class in CUT_FOODS:
                yield from _judged(diet, offer, applied.limit, stage)
        return


def _judged(diet: Diet, offer: Offer, limit: Limit, stage: str | None) -> Iterator[Check]:
    line = offer.line
    assert limit.at_most is not None  # the table holds nothing else, and odd limits are put aside
    assert limit.unit == "mm"
    size = size_of(line)
    who = f"{diet.group.called}{f' ({stage})' if stage else ''}: {line.food.id}"
    bound = f"at most {limit.at_most.normalize():f} mm ({standing_words(limit)})"
    stands = limit.stands(size) if size is not None else "across"
    if size is None or stands == "across":
        told = f'"{line.cut}"' if line.cut else "nobody writes how it is cut"
        yield Check(
            verdict=Verdict.CANNOT_TELL,
            about=f"size of pieces: {line.food.id}",
            severity=Severity.LOW,
            message=f"{who}, {told}: how big the pieces are is not told; the limit is {bound}.",
            advice="Write the size, such as cut: dice 1 cm.",
            food=line.food.id,
            limit=limit,
            settles="the size of the pieces, in mm or cm",
            places=(line.place,),
        )
        return
    if stands == "inside":
        return
    yield Check(
        verdict=Verdict.BREACH,
        about=f"size of pieces: {line.food.id}",
        severity=Severity(limit.severity),
        message=f"{who} is cut to {line.cut}; the limit is {bound}.",
        advice="Cut it as the limit says.",
        food=line.food.id,
        measured=Measure.against(size, limit),
        limit=limit,
        places=(line.place.at("cut"),),
    )
