"""Limits of the house in a unit, or on a side, that a rule does not reckon in.

For rules that count one thing in one unit. Left among the others such a limit would be held
against a figure in another unit, or take the place of a default and guard nothing.
"""

from collections.abc import Iterable

from dietcheck.contract import Check, Diet, Limit, Limits, Severity, Verdict
from dietcheck_rules.shared.wording import limit_words, standing_words


def without_odd(
    diet: Diet, limits: Limits, quantities: Iterable[str] | None = None
) -> tuple[Limits, tuple[Check, ...]]:
    """The limits that can be reckoned, and a question for each one for the group that cannot.

    What can be reckoned is told by the bundled rows of the same quantity; `quantities` are those
    to look at, all of them unless given.
    """
    looked_at = None if quantities is None else frozenset(quantities)
    odd = tuple(
        row
        for row in limits.rows
        if row.set_by
        and (looked_at is None or row.quantity in looked_at)
        and (row.group == diet.group.id if row.group else diet.group.taxon.is_in(row.taxon))
        and not any(_alike(row, one) for one in limits.rows)
    )
    if not odd:
        return limits, ()
    kept = Limits(row for row in limits.rows if row not in odd)
    return kept, tuple(_question(diet, limits, row) for row in odd)


def _alike(row: Limit, bundled: Limit) -> bool:
    return (
        not bundled.set_by
        and (row.quantity, row.unit, row.basis) == (bundled.quantity, bundled.unit, bundled.basis)
        and _sides(row) <= _sides(bundled)
    )


def _sides(row: Limit) -> set[str]:
    sides = {"at_most": row.at_most, "at_least": row.at_least}
    return {side for side, bound in sides.items() if bound is not None}


def _question(diet: Diet, limits: Limits, odd: Limit) -> Check:
    like = next(row for row in limits.rows if row.quantity == odd.quantity and not row.set_by)
    wanted = f"{' or '.join(sorted(_sides(like)))}, such as {limit_words(like)}"
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=f"{odd.quantity} in {odd.unit or 'no unit'} on {odd.basis}",
        severity=Severity.MEDIUM,
        message=f"{diet.group.called}: {odd.quantity} cannot be held against {limit_words(odd)} "
        f"({standing_words(odd)}).",
        advice=f"Write the limit as {wanted}.",
        limit=odd,
        settles=f"a limit written as {wanted}",
        places=(odd.place,) if odd.place else (),
    )
