"""A supplement that was in the diet and is gone, while the food that it was for is still fed.

Whether fish, meat or insects have what they need is judged by rules of their own; here it is asked
whether anybody took something away, whatever it was for.
"""

from collections.abc import Iterable, Iterator
from decimal import Decimal

from dietcheck.contract import (
    Check,
    Diet,
    Food,
    Limit,
    Limits,
    Rule,
    Severity,
    Verdict,
    exact,
    files,
    format_interval,
    hookimpl,
    nutrients,
)
from dietcheck_rules.shared.pairing import SheetPair, is_unchanged, no_comparison, sheet_pairs
from dietcheck_rules.shared.set_figures import figure, unreadable
from dietcheck_rules.shared.wording import standing_words
from dietcheck_rules.supplement_dropped.loss import Loss, losses

ABOUT = "supplements against the last ones"
LEFT = "nutrient-against-last"
# Foods that are known to need something beside them: fish thiamin and vitamin E, the others
# calcium (incidents I11, I12, I14).
NEEDING = frozenset({"fish", "meat", "offal", "insect"})


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="supplement-dropped",
        title="No supplement is lost in a change",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """One finding for each supplement that is gone without anything in its place."""
    yield from unreadable(limits, diet, {LEFT: "0.8 times"})
    if (nothing := no_comparison(diet, ABOUT)) is not None:
        yield nothing
        return
    pairs = [] if is_unchanged(diet) else list(sheet_pairs(diet))
    left = figure(limits, diet, LEFT)
    least = left.at_least or Decimal(0)
    findings = [check for pair in pairs for check in _judge(pair, left, least)]
    yield from findings
    if not findings:
        yield Check(
            verdict=Verdict.KEPT,
            about=ABOUT,
            severity=Severity.LOW,
            message=f"{diet.group.called}: every supplement of the earlier version is still "
            "given, or replaced, or the food that it was for is gone too.",
        )


def _judge(pair: SheetPair, left: Limit, least: Decimal) -> Iterator[Check]:
    for loss in losses(pair, least):
        if loss.short or not loss.compared:
            yield _dropped(pair, loss, left, format_interval(exact(least * 100), "%"))


def _dropped(pair: SheetPair, loss: Loss, left: Limit, least: str) -> Check:
    diet, gone = pair.now, loss.supplement
    short = [nutrients()[key].title for key in loss.short]
    lost = f" The day now has less than {least} of its former {', '.join(short[:4])}"
    lost = f"{lost} ({standing_words(left)})." if short else ""
    when = "now" if pair.edited or pair.after.start <= diet.on else f"from {pair.after.start}"
    named = ", ".join(dict.fromkeys(food.id for food in loss.left))
    return Check(
        verdict=Verdict.BREACH,
        about="supplement dropped",
        food=gone.id,
        severity=Severity.HIGH if any(map(_needs, loss.left)) else Severity.MEDIUM,
        message=f"{diet.group.called}: {gone.id} is left out {when}, and {named}, which it was "
        f"given with, {'is' if len(loss.left) == 1 else 'are'} still fed.{lost}",
        advice=f"Put {gone.id} back ({loss.amount} before), or ask the vet what takes its place.",
        animals=tuple(animal.id for animal in diet.animals),
        working=loss.working,
        places=(
            *(place.at("food") for place in loss.places),
            pair.after.place.at("from"),
        ),
    )


def _needs(food: Food) -> bool:
    return any(part.food_class in NEEDING for part, _ in food.all_parts())
