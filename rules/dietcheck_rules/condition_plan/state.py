"""How an animal is: its condition score and the trend of its weight."""

from collections.abc import Iterator
from decimal import Decimal

from dietcheck.contract import (
    Animal,
    Check,
    Diet,
    Figure,
    Interval,
    Limit,
    Limits,
    Measure,
    Severity,
    Verdict,
    exact,
    hold,
)
from dietcheck_rules.shared.wording import bound_words, figure_words

SCORE, SCORE_AGE, LOSS, GAIN = (
    "condition-score", "condition-score-age", "weight-loss", "weight-gain",
)  # fmt: skip


def judge(diet: Diet, limits: Limits, animal: Animal) -> Iterator[Check]:
    """The score, its age, and what was lost or gained since the weighings of the last months."""
    if animal.condition is not None:
        yield from _score(diet, limits, animal)
        yield from _age(diet, limits, animal)
    for quantity in (LOSS, GAIN):
        yield from _trend(diet, limits, animal, quantity)


def unscored(diet: Diet, animals: list[Animal]) -> Iterator[Check]:
    """Animals without any score, told together."""
    none = [animal for animal in animals if animal.condition is None]
    if none:
        more = f" (and {len(none) - 1} more)" if len(none) > 1 else ""
        yield Check(
            verdict=Verdict.CANNOT_TELL,
            about="no condition score",
            severity=Severity.LOW,
            message=f"{diet.group.called}, {none[0].called}{more}: no condition score, so nobody "
            "can tell from the files whether the ration is too much or too little.",
            advice="Score the animal and enter it: condition: {on, score, of}.",
            animals=tuple(animal.id for animal in none),
            settles="a condition score",
            places=tuple(animal.place for animal in none),
        )


def helps(diet: Diet, animal: Animal, kind: str) -> bool:
    """Whether a plan is running that answers for this: its own kind, or a medical one."""
    plan = animal.plan
    return plan is not None and plan.is_running(diet.on) and plan.kind in (kind, "medical")


def of_five(animal: Animal) -> Decimal:
    """The score on the scale of five; 1 stays 1 and the middle stays the middle."""
    condition = animal.condition
    assert condition is not None
    if condition.of == 5:
        return condition.score
    return (condition.score - 1) / 2 + 1


def _score(diet: Diet, limits: Limits, animal: Animal) -> Iterator[Check]:
    condition = animal.condition
    applied = limits.applying(diet.group, SCORE, stage=animal.stage)
    assert condition is not None
    assert applied is not None  # a default for every animal
    limit, value = applied.limit, exact(of_five(animal))
    if condition.on > diet.on or condition.score > condition.of:
        yield Check(
            verdict=Verdict.CANNOT_TELL,
            about=f"condition score: {animal.id}",
            severity=Severity.LOW,
            message=f"{animal.called}: the score {condition.score} of {condition.of} of "
            f"{condition.on} cannot be: it lies past its scale or after {diet.on}.",
            advice="Correct the score, its scale or its date.",
            animals=(animal.id,),
            settles="the right score and date",
            places=(animal.place.at("condition"),),
        )
        return
    heavy = limit.at_most is not None and value.low > limit.at_most
    kind = "weight reduction" if heavy else "weight gain"
    for same in hold([Figure(animal, value)], limit):
        if same.verdict is Verdict.KEPT or helps(diet, animal, kind):
            continue
        yield _off(
            diet,
            animal,
            limit,
            value,
            kind,
            f"condition score {condition.score} of {condition.of} on {condition.on}",
            "condition score",
            same.severity,
        )


def _off(
    diet: Diet,
    animal: Animal,
    limit: Limit,
    value: Interval,
    kind: str,
    what: str,
    about: str,
    severity: Severity,
    verdict: Verdict = Verdict.BREACH,
) -> Check:
    plan = animal.plan
    ended = plan is not None and plan.until is not None and plan.until < diet.on
    without = f"the plan ended on {plan.until}" if plan and ended else f"no {kind} plan is running"
    if plan is not None and not ended and plan.start <= diet.on and plan.kind != kind:
        without = f"the plan that is running is for {plan.kind}"
    place = "condition" if about == "condition score" else "weighings"
    return Check(
        verdict=verdict,
        about=f"{about} off target without a plan: {animal.id}",
        severity=severity,
        message=f"{animal.called}: {what}, and {without}; {bound_words(limit)}.",
        advice=f"Ask the vet for a {kind} plan with target, pace, end and review, or for why none "
        "is needed.",
        animals=(animal.id,),
        measured=Measure.against(value, limit),
        limit=limit,
        settles="weighings in one figure each" if verdict is Verdict.CANNOT_TELL else "",
        places=(animal.place.at(place), *((plan.place,) if plan else ())),
    )


def _age(diet: Diet, limits: Limits, animal: Animal) -> Iterator[Check]:
    condition = animal.condition
    applied = limits.applying(diet.group, SCORE_AGE, stage=animal.stage)
    assert condition is not None
    assert applied is not None  # a default for every animal
    limit, value = applied.limit, exact(max((diet.on - condition.on).days, 0))
    for same in hold([Figure(animal, value)], limit):
        if same.verdict is not Verdict.KEPT:
            yield Check(
                verdict=same.verdict,
                about=f"condition score out of date: {animal.id}",
                severity=same.severity,
                message=f"{animal.called}: last scored {figure_words(value, limit)} ago, on "
                f"{condition.on}; {bound_words(limit)}.",
                advice="Score the animal again.",
                animals=(animal.id,),
                measured=Measure.against(value, limit),
                limit=limit,
                places=(animal.place.at("condition"),),
            )


def _trend(diet: Diet, limits: Limits, animal: Animal, quantity: str) -> Iterator[Check]:
    """The change from each weighing of the limit's span to the last one; the worst is told."""
    applied = limits.applying(diet.group, quantity, stage=animal.stage)
    last = animal.weighed(diet.on)
    if applied is None or last is None:
        return
    limit = applied.limit
    span = int(limit.over.split()[0]) if limit.over.endswith("days") else diet.settings.rota_days
    kind = "weight gain" if quantity == LOSS else "weight reduction"
    earlier = [w for w in animal.weighings if 0 < (last.on - w.on).days <= span]
    if not earlier or helps(diet, animal, kind):
        return
    # a loss that a reduction plan is meant to bring is judged by its pace
    if helps(diet, animal, "weight reduction" if quantity == LOSS else "weight gain"):
        return
    sign = -1 if quantity == LOSS else 1
    changes = [(change(w.mass, last.mass) * sign, w) for w in earlier]
    value, since = max(changes, key=lambda one: (one[0].low, one[0].high))
    for same in hold([Figure(animal, value)], limit):
        if same.verdict is not Verdict.KEPT:
            word = "lost" if quantity == LOSS else "gained"
            yield _off(
                diet,
                animal,
                limit,
                value,
                kind,
                f"{figure_words(value, limit)} {word} from {since.on} to {last.on}",
                quantity.replace("-", " "),
                same.severity,
                same.verdict,
            )


def change(before: Interval, after: Interval) -> Interval:
    """The change of a mass in per cent of the mass before; a loss is below zero."""
    return Interval(
        (after.low / before.high - 1) * 100 if before.high else Decimal(0),
        (after.high / before.low - 1) * 100 if before.low else Decimal("Infinity"),
    )
