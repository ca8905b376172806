"""An amount for the whole group is worked out for the animals that are really there."""

from collections.abc import Iterable, Iterator

from dietcheck.contract import (
    Check,
    Diet,
    Interval,
    Limit,
    Limits,
    Measure,
    Offer,
    PlannedDay,
    Rule,
    Severity,
    Verdict,
    exact,
    files,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.head_count.heads import Written, there, written_for
from dietcheck_rules.shared.odd_limits import without_odd

QUANTITY = "heads-against-written"


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="head-count",
        title="Amounts for the group are meant for the animals that are there",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """The first judged day on which the heads differ from those the amounts were written for."""
    shared = [offer for offer in diet.offers() if offer.line.amount.per == "group"]
    limits, questions = without_odd(diet, limits)
    yield from questions
    applied = limits.applying(diet.group, QUANTITY)
    if not shared or applied is None:
        yield not_applicable(
            "head count", f"{diet.group.called}: no amount is written for the whole group."
        )
        return
    found = list(_differing(diet, shared, applied.limit))
    yield from found
    if not found:
        yield Check(
            verdict=Verdict.KEPT,
            about="head count",
            severity=Severity.LOW,
            message=f"{diet.group.called}: amounts for the group are meant for the animals there.",
        )


def _differing(diet: Diet, shared: list[Offer], limit: Limit) -> Iterator[Check]:
    written = written_for(diet)
    if written is None:
        return
    for day in diet.days:
        heads = there(diet, day)
        if heads.high == 0 or written.heads.high == 0:
            continue  # nobody is there: the rota and the register are judged elsewhere
        apart = _apart(heads, written.heads)
        stands = limit.stands(apart)
        if stands != "inside":
            yield _check(diet, shared, limit, written, (day, heads, apart, stands == "past"))
            return


def _apart(now: Interval, then: Interval) -> Interval:
    """How far the amount of one animal is from what was meant, in per cent of it."""
    more = (then / now - exact(1)) * 100
    ends = sorted((abs(more.low), abs(more.high)))
    low = exact(0).low if more.low <= 0 <= more.high else ends[0]
    return Interval(low, ends[1])


def _check(
    diet: Diet,
    shared: list[Offer],
    limit: Limit,
    written: Written,
    found: tuple[PlannedDay, Interval, Interval, bool],
) -> Check:
    day, heads, apart, surely = found
    foods = ", ".join(dict.fromkeys(offer.line.food.id for offer in shared))
    more = "more" if heads.high < written.heads.low else "less"
    count = _heads(heads)
    return Check(
        verdict=Verdict.BREACH if surely else Verdict.CANNOT_TELL,
        about="head count",
        severity=Severity.LOW,
        message=f"{diet.group.called}: amounts for the group ({foods}) were worked out for "
        f"{_heads(written.heads)} animals ({written.why}); on {day.on} {count} are there, so each "
        f"gets {more} than was meant.",
        advice="Work the amounts out anew, or write them per animal; write heads into the sheet.",
        measured=Measure.against(apart, limit),
        limit=limit,
        working=(
            f"written for {_heads(written.heads)}, there {count}: {_heads(written.heads)} / "
            f"{count} of what was meant for each; a difference of {limit.at_most} % is let pass",
        ),
        settles="" if surely else "the number of animals, as one figure",
        places=tuple(offer.line.place for offer in shared),
    )


def _heads(count: Interval) -> str:
    low, high = count.low.normalize(), count.high.normalize()
    return f"{low:f}" if low == high else f"{low:f} to {high:f}"
