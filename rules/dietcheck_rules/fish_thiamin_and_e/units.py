"""Limits of the house in a unit, or on a side, that this rule does not reckon in."""

from collections.abc import Iterator

from dietcheck.contract import Check, Diet, Limit, Limits, Severity, Verdict
from dietcheck_rules.shared.wording import limit_words, standing_words

# What each limit is reckoned in, and whether it is a ceiling.
_IN = {
    "fish-share": ("%", "as fed", True),
    "thiamin-per-fish": ("mg/kg", "as fed", False),
    "vitamin-e-per-fish": ("IU/kg", "as fed", False),
    "thiamin-dose": ("mg/animal", "animal", False),
    "vitamin-e-dose": ("IU/animal", "animal", False),
    "thiamin-on-fish": ("mg/kg", "dry matter", False),
    "fish-without-thiamin": ("days", "count", True),
    "fish-without-vitamin-e": ("days", "count", True),
}


def odd_limits(diet: Diet, limits: Limits) -> tuple[Limit, ...]:
    """The limits of the house for this group that cannot be held against anything here."""
    return tuple(
        row
        for row in limits.rows
        if row.set_by and _is_odd(row) and (row.group or diet.group.id) == diet.group.id
    )


def _is_odd(limit: Limit) -> bool:
    unit, basis, ceiling = _IN[limit.quantity]
    side = limit.at_most if ceiling else limit.at_least
    return side is None or (limit.unit, limit.basis) != (unit, basis)


def not_countable(diet: Diet, odd: tuple[Limit, ...]) -> Iterator[Check]:
    """Nobody can tell whether such a limit is kept."""
    for limit in odd:
        unit, basis, ceiling = _IN[limit.quantity]
        wanted = f"{'at_most' if ceiling else 'at_least'}, in {unit}"
        wanted += "" if basis in ("count", "animal") else f" {basis}"
        yield Check(
            verdict=Verdict.CANNOT_TELL,
            about=f"{limit.quantity} in {limit.unit or 'no unit'} on {limit.basis}",
            severity=Severity.MEDIUM,
            message=f"{diet.group.called}: {limit.quantity} cannot be held against "
            f"{limit_words(limit)} ({standing_words(limit)}).",
            advice=f"Write the limit as {wanted}.",
            limit=limit,
            settles=f"a limit written as {wanted}",
            places=(limit.place,) if limit.place else (),
        )
