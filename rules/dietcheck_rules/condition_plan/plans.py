"""Whether a plan says how far, how fast and until when, and whether the weight follows it."""

from collections.abc import Iterator
from decimal import Decimal

from dietcheck.contract import (
    Animal,
    CarePlan,
    Check,
    Diet,
    Figure,
    Interval,
    Limits,
    Measure,
    Severity,
    Verdict,
    hold,
)
from dietcheck_rules.condition_plan.state import change
from dietcheck_rules.shared.wording import bound_words, figure_words

PACE = "weight-loss-pace"
WEIGHT = ("weight reduction", "weight gain")
SHORTEST = 14  # days between weighings below which a pace is mostly the scale's last digit
PATIENCE = 28  # days after which a plan should show in the weight


def judge(diet: Diet, limits: Limits, animal: Animal) -> Iterator[Check]:
    """The plan that is running, if any."""
    plan = animal.plan
    if plan is None or not plan.is_running(diet.on):
        return
    yield from _whole(animal, plan)
    if plan.review is not None and plan.review < diet.on:
        yield _said(
            animal,
            plan,
            "review overdue",
            f"the review of the {plan.kind} plan was due on {plan.review}, "
            f"{(diet.on - plan.review).days} days ago",
            "Look at the plan, and write the next review into it.",
            "review",
        )
    if plan.kind in WEIGHT:
        yield from _reached(diet, animal, plan)
        yield from _follows(diet, animal, plan)
    if plan.kind == "weight reduction":
        yield from _pace(diet, limits, animal, plan)


def _whole(animal: Animal, plan: CarePlan) -> Iterator[Check]:
    lacking = []
    if plan.kind in WEIGHT:
        lacking += [] if plan.target else ["target (the weight to reach)"]
        lacking += [] if plan.pace else ["pace (the share of body mass a week)"]
    lacking += [] if plan.until else ["until (its last day)"]
    lacking += [] if plan.review else ["review (the day it is looked at next)"]
    lacking += [] if plan.set_by else ["set_by (who decided)"]
    if lacking:
        yield _said(
            animal,
            plan,
            "plan not whole",
            f"its {plan.kind} plan from {plan.start} does not say {', '.join(lacking)}",
            "Ask whoever set the plan, and write it in.",
        )


def _reached(diet: Diet, animal: Animal, plan: CarePlan) -> Iterator[Check]:
    last = animal.weighed(diet.on)
    if plan.target is None or last is None or last.on < plan.start:
        return
    down = plan.kind == "weight reduction"
    reached = last.mass.high <= plan.target.high if down else last.mass.low >= plan.target.low
    if reached:
        yield _said(
            animal,
            plan,
            "target reached",
            f"the target of its {plan.kind} plan was reached on {last.on}, and the plan still runs",
            "End the plan, and go back to a ration that keeps the weight.",
            "target",
        )


def _follows(diet: Diet, animal: Animal, plan: CarePlan) -> Iterator[Check]:
    """A plan that has run for four weeks and does not show."""
    first, last = animal.weighed(plan.start), animal.weighed(diet.on)
    if first is None or last is None or (last.on - plan.start).days < PATIENCE:
        return
    moved = change(first.mass, last.mass)
    wrong = moved.low >= 0 if plan.kind == "weight reduction" else moved.high <= 0
    if wrong:
        yield _said(
            animal,
            plan,
            "plan does not show",
            f"{(last.on - plan.start).days} days into its {plan.kind} plan the weight has not "
            "moved that way",
            "Weigh what is left and what is taken elsewhere, and ask the vet about the ration.",
        )


def _pace(diet: Diet, limits: Limits, animal: Animal, plan: CarePlan) -> Iterator[Check]:
    """Weight lost under the plan, and weight still to lose by its end, as a share a week."""
    applied = limits.applying(diet.group, PACE, stage=animal.stage)
    if applied is None or applied.limit.basis != "body mass" or applied.limit.at_most is None:
        return
    limit = applied.limit
    first, last = animal.weighed(plan.start), animal.weighed(diet.on)
    if last is None:
        return
    paces = []
    if first is not None and (days := (last.on - first.on).days) >= SHORTEST:
        paces.append(("lost a week", _a_week(change(first.mass, last.mass), days)))
    if plan.pace is not None:
        paces.append(("a week is the pace of the plan", plan.pace * 100))
    if plan.target is not None and plan.until is not None and plan.until > last.on:
        left = _a_week(change(last.mass, plan.target), (plan.until - last.on).days)
        paces.append((f"a week is needed to reach the target by {plan.until}", left))
    for words, value in paces:
        for same in hold([Figure(animal, value)], limit):
            kept = same.verdict is Verdict.KEPT
            yield Check(
                verdict=same.verdict,
                about=f"pace: {words.split(' by ')[0]}: {animal.id}",
                severity=Severity.LOW if kept else same.severity,
                message=f"{animal.called}: {figure_words(value, limit)} {words}; "
                f"{bound_words(limit)}.",
                advice="" if kept else "Ask the vet before the plan goes on at this pace.",
                animals=(animal.id,),
                measured=Measure.against(value, limit),
                limit=limit,
                settles="weighings in one figure each"
                if same.verdict is Verdict.CANNOT_TELL
                else "",
                places=(plan.place, animal.place.at("weighings")),
            )


def _a_week(moved: Interval, days: int) -> Interval:
    """A change in per cent as the loss in one week; a gain is no loss."""
    week = Decimal(7) / days
    low, high = -moved.high * week, -moved.low * week
    return Interval(max(low, Decimal(0)), max(high, Decimal(0)))


def _said(
    animal: Animal, plan: CarePlan, about: str, what: str, advice: str, at: str = ""
) -> Check:
    return Check(
        verdict=Verdict.BREACH,
        about=f"{about}: {animal.id}",
        severity=Severity.LOW,
        message=f"{animal.called}: {what}.",
        advice=advice,
        animals=(animal.id,),
        places=(plan.place.at(at) if at else plan.place,),
    )
