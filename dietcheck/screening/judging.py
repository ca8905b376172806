"""Holds measured figures against a limit, the same way in every rule."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal

from msgspec import Struct

from dietcheck.collection.animals import Animal
from dietcheck.quantities import Interval
from dietcheck.screening.checks import Severity, Verdict, When
from dietcheck.screening.limits import Limit

VERDICTS = {"past": Verdict.BREACH, "across": Verdict.CANNOT_TELL, "inside": Verdict.KEPT}


class Figure(Struct, frozen=True):
    """A figure measured for one animal, with the occasions it was measured over."""

    animal: Animal
    value: Interval
    occasions: tuple[When, ...] = ()


class Alike(Struct, frozen=True):
    """The figures that stand alike against a limit, the worst one first."""

    verdict: Verdict
    severity: Severity
    figures: tuple[Figure, ...]

    @property
    def worst(self) -> Figure:
        """The figure furthest past the limit, or nearest to it."""
        return self.figures[0]

    @property
    def animals(self) -> tuple[str, ...]:
        """The ids of the animals, each once."""
        return tuple(dict.fromkeys(figure.animal.id for figure in self.figures))

    @property
    def occasions(self) -> tuple[When, ...]:
        """Every occasion of the figures, in order."""
        return tuple(sorted({when for figure in self.figures for when in figure.occasions}))


def hold(figures: Iterable[Figure], limit: Limit) -> Iterator[Alike]:
    """Sort figures by how they stand against a limit: past it, across it, inside.

    A limit that is an absence (no figure published) judges nothing: use `limit.standing` first.
    """
    by_verdict: dict[Verdict, list[Figure]] = {}
    for figure in figures:
        by_verdict.setdefault(VERDICTS[limit.stands(figure.value)], []).append(figure)
    for verdict in (Verdict.BREACH, Verdict.CANNOT_TELL, Verdict.KEPT):
        if alike := by_verdict.get(verdict):
            alike.sort(key=lambda figure: excess(figure.value, limit), reverse=True)
            yield Alike(verdict, _severity(verdict, alike, limit), tuple(alike))


def excess(value: Interval, limit: Limit) -> Decimal:
    """How far the worst possible value goes past the limit; negative: how much is left."""
    over = [] if limit.at_most is None else [value.high - limit.at_most]
    under = [] if limit.at_least is None else [limit.at_least - value.low]
    return max([*over, *under], default=Decimal("-Infinity"))


def _severity(verdict: Verdict, figures: list[Figure], limit: Limit) -> Severity:
    """The limit's own severity for a breach; for a cannot-tell what the best estimates say.

    A cannot-tell counts as medium, and as low when every best estimate lies inside. An estimate
    never turns it into a pass.
    """
    own = Severity(limit.severity)
    if verdict is not Verdict.CANNOT_TELL:
        return own
    estimates = [figure.value.best for figure in figures]
    if all(e is not None and limit.stands(Interval(e, e)) == "inside" for e in estimates):
        return Severity.LOW
    return max(own, Severity.MEDIUM, key=lambda severity: severity.rank)
