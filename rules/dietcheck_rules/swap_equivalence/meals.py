"""Whole meals that a rota gives in the place of others for a while."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from dietcheck.contract import (
    Check,
    Diet,
    Measure,
    Pointer,
    Rota,
    Severity,
    Verdict,
    exact,
    format_interval,
)
from dietcheck_rules.swap_equivalence.asked import Asked, habit
from dietcheck_rules.swap_equivalence.judge import approved

Found = tuple[str, Pointer]  # what is wrong, and the line that says so


def meal_swaps(diet: Diet, asked: Asked) -> Iterator[Check]:
    """Each swap of meals in a rota that is in force or to come: it ends, and is not the rule."""
    for rota in dict.fromkeys(day.rota for day in diet.days if day.rota):
        for swap in rota.swaps:
            feeds = _served(rota, swap.meal)
            found = list(_wrong(diet, rota, len(feeds), asked, swap.until, swap.place))
            if found and approved(diet):
                found = []
            named = f"“{swap.meal}” in the place of “{swap.instead_of}”"
            yield Check(
                verdict=Verdict.BREACH if found else Verdict.KEPT,
                about=f"swap of the meal {swap.instead_of} for {swap.meal}",
                severity=Severity.LOW,
                message=f"{diet.group.called}, {named}: {'; '.join(said for said, _ in found)}."
                if found
                else f"{diet.group.called}, {named}: {len(feeds)} feeds of this rota.",
                advice="Write until: into the swap, go back to the meal before, or have the vet "
                "sign the rota.",
                animals=tuple(animal.id for animal in diet.animals),
                measured=Measure(exact(len(feeds)), "feeds", "count"),
                limit=asked.feeds,
                places=(*dict.fromkeys(place for _, place in found), swap.place),
            )


def _served(rota: Rota, meal: str) -> list[Pointer]:
    return [
        day.place.at(slot)
        for day in rota.days
        for slot, meals in day.feeds.items()
        if meal in meals
    ]


def _wrong(
    diet: Diet, rota: Rota, feeds: int, asked: Asked, until: date | None, place: Pointer
) -> Iterator[Found]:
    if not feeds:
        yield "the rota serves no such meal", place.at("meal")
    if until is None:
        yield "the swap has no end date", place
    elif until < diet.on and feeds:
        days = (diet.on - until).days
        yield f"it was to end on {until}, {days} days ago, and is still served", place.at("until")
    if feeds > asked.feeds_most:
        most = format_interval(exact(asked.feeds_most), "")
        total = sum(len(day.feeds) for day in rota.days)
        yield f"{feeds} of {total} feeds, at most {most} ({habit(asked.feeds)})", place
