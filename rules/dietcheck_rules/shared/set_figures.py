"""Figures of a rule that looks back, from its limit table, where the house may set its own."""

from collections.abc import Iterator, Mapping

from dietcheck.contract import Check, Diet, Limit, Limits, Severity, Standing, Verdict


def figure(limits: Limits, diet: Diet, quantity: str) -> Limit:
    """The figure that applies: the bundled one, or the house's if it is in the same unit."""
    bundled = next(
        row
        for row in limits.rows
        if row.quantity == quantity and row.standing is not Standing.SITE_RULE
    )
    applied = limits.applying(diet.group, quantity)
    fits = applied is not None and applied.limit.unit == bundled.unit
    return applied.limit if applied is not None and fits else bundled


def unreadable(limits: Limits, diet: Diet, quantities: Mapping[str, str]) -> Iterator[Check]:
    """The house's figures in a unit that the rule does not count in; quantity → how to write it."""
    for quantity, how in quantities.items():
        applied = limits.applying(diet.group, quantity)
        if applied is not None and applied.limit.unit != figure(limits, diet, quantity).unit:
            place = applied.limit.place
            yield Check(
                verdict=Verdict.CANNOT_TELL,
                about=f"limit on {quantity}",
                severity=Severity.MEDIUM,
                message=f"{diet.group.called}: the limit on {quantity} is not written in a way "
                "that this rule counts in, so the usual figure was used instead.",
                advice=f"Write it as {how}.",
                settles="a limit in those words",
                limit=applied.limit,
                places=(place,) if place else (),
            )
