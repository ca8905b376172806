"""Foods that are known to have choked or blocked an animal of the kind."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from dietcheck.contract import (
    Check,
    Diet,
    Food,
    Offer,
    Severity,
    SourceRef,
    Verdict,
    files,
    read_trusted,
)

LEFT_IN = frozenset({"whole", "unpeeled"})
Row = Mapping[str, Any]


@cache
def table() -> tuple[Row, ...]:
    """The rows of hazards.yaml."""
    return tuple(read_trusted(files(__package__).joinpath("hazards.yaml").read_bytes())["hazards"])


def named(diet: Diet) -> Iterator[Check]:
    """Each line with a hazard that its cut leaves in, or may leave in."""
    taxon = diet.group.taxon
    for row in table():
        harmed = next((one for one in row["taxa"] if taxon.is_in(one["taxon"])), None)
        if harmed is None:
            continue
        for offer in diet.given():
            if _holds(offer.line.food, row) and not _cut_out(offer.line.cut, row["cut_out"]):
                yield _check(diet, offer, row, harmed)


def _holds(food: Food, row: Row) -> bool:
    if food.food_class not in row["classes"]:
        return False
    organism = food.organism or ""
    return not row["organisms"] or any(
        re.match(rf"{re.escape(one)}\b", organism) for one in row["organisms"]
    )


def _cut_out(cut: str | None, words: list[str]) -> bool:
    told = (cut or "").lower()
    return any(re.search(rf"\b{re.escape(word)}\b", told) for word in words)


def _check(diet: Diet, offer: Offer, row: Row, harmed: Row) -> Check:
    line = offer.line
    left_in = bool(LEFT_IN & set(re.findall(r"\w+", (line.cut or "").lower())))
    cut = f'cut "{line.cut}"' if line.cut else "with no cut written"
    start = f"{diet.group.called}: {line.food.id}, {cut}"
    severity = Severity(harmed["severity"])
    return Check(
        verdict=Verdict.BREACH if left_in else Verdict.CANNOT_TELL,
        about=f"{row['id']}: {line.food.id}",
        severity=severity if left_in else Severity.LOW,
        message=f"{start}, {'brings' if left_in else 'may bring'} {row['what']}: {row['harm']} "
        f"({harmed['why']}).",
        advice="Take it out or cut it up, and write the cut into the line."
        if left_in
        else "Write the cut into the line, and whether the stone or core is out.",
        food=line.food.id,
        settles="" if left_in else "the cut of the line, such as cut: halves, stoned",
        sources=tuple(SourceRef(key) for key in harmed["sources"]),
        places=(line.place.at("cut") if line.cut else line.place,),
    )
