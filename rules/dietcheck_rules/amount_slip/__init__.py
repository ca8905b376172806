"""A figure that jumps: five times the last amount, a fifth of it, or another unit.

The animals may be safe from the jump by luck or not; what is asked here is only whether the
writer meant it. How much an animal can bear is judged by other rules.
"""

from collections.abc import Iterable, Iterator

from dietcheck.contract import (
    Check,
    Diet,
    Limits,
    Rule,
    Severity,
    Verdict,
    files,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.amount_slip.compare import Compared, Jump, compare
from dietcheck_rules.shared.pairing import (
    MealLine,
    SheetPair,
    is_unchanged,
    no_comparison,
    pair_lines,
    same_words,
    sheet_pairs,
    steps,
)
from dietcheck_rules.shared.set_figures import figure, unreadable

ABOUT = "amounts against the last ones"
SLIP, OTHER_UNIT = "amount-against-last", "amount-in-another-unit"


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="amount-slip",
        title="No amount has slipped by a decimal place or a unit",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """One finding for each line whose amount jumped; kept when none did."""
    yield from unreadable(limits, diet, {SLIP: "5 times", OTHER_UNIT: "1.2 times"})
    if (nothing := no_comparison(diet, ABOUT)) is not None:
        yield nothing
        return
    if is_unchanged(diet):
        yield _kept(diet, "no amount has changed since the earlier version")
        return
    slip, other_unit = figure(limits, diet, SLIP), figure(limits, diet, OTHER_UNIT)
    compared = [compare(*lines, slip, other_unit) for lines in _going_on(diet)]
    findings = [check for one in compared for check in _said(diet, one)]
    yield from findings
    if not compared:
        yield not_applicable(ABOUT, f"{diet.group.called}: no line of food was there before.")
    elif not findings:
        count = len(compared)
        yield _kept(diet, f"{count} amounts compared with the last ones, none has jumped")


def _going_on(diet: Diet) -> Iterator[tuple[SheetPair, MealLine, MealLine]]:
    """Each line that goes on, after the line of the same food just before."""
    # A piece that was weighed anew changes what an unchanged sheet gives.
    same = (pair for pair in sheet_pairs(diet) if same_words(pair.before, pair.after))
    for pair in (*same, *steps(diet)):
        for old, new in pair_lines(pair.before, pair.after).kept:
            yield pair, old, new


def _kept(diet: Diet, what: str) -> Check:
    return Check(
        verdict=Verdict.KEPT,
        about=ABOUT,
        severity=Severity.LOW,
        message=f"{diet.group.called}: {what}.",
    )


def _said(diet: Diet, one: Compared) -> Iterator[Check]:
    """What is to be said of one line: nothing when the amount goes on as it was."""
    food, text = one.new.line.food.id, one.new.line.amount.text
    line = f'{diet.group.called}: {food} in "{one.new.meal}" goes from {one.old_text} to {text}'
    animals = one.new.line.for_animals or tuple(animal.id for animal in diet.animals)
    place = one.new.line.place.at("amount")
    last = f"Feed the last amount, {one.old_text}, until whoever wrote it has looked at it again."
    if one.jump is Jump.UNKNOWN:
        yield Check(
            verdict=Verdict.CANNOT_TELL,
            about="unit changed",
            food=food,
            severity=Severity.MEDIUM,
            message=f"{line}, and nobody can tell how the two compare: {one.gap}.",
            advice=last,
            animals=animals,
            settles=one.gap,
            places=(place,),
        )
    elif one.jump is Jump.SLIP:
        yield Check(
            verdict=Verdict.BREACH,
            about="amount slipped",
            food=food,
            severity=Severity.HIGH,
            message=f"{line}, {one.times}. That looks like a slip of the decimal point or the "
            "unit.",
            advice=last,
            animals=animals,
            measured=one.measured,
            working=one.working,
            places=(place,),
        )
    elif one.jump is not None:
        yield Check(
            verdict=Verdict.BREACH,
            about="unit changed",
            food=food,
            severity=Severity.LOW if one.jump is Jump.UNIT else Severity.MEDIUM,
            message=f"{line}: the unit changed and the amount with it, {one.times}.",
            advice="Ask whoever wrote it whether both were meant.",
            animals=animals,
            measured=one.measured,
            working=one.working,
            places=(place,),
        )
