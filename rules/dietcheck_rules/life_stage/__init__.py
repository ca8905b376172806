"""Sheets and feeds suit the stage of life that the animals are in.

A sheet says with `stages` whom it is written for; one that says nothing is an adult's. A feed says
with `stages` what its label names.
"""

from collections.abc import Iterable, Iterator

from dietcheck.contract import (
    Animal,
    Check,
    Diet,
    DietSheet,
    Food,
    Limits,
    Line,
    Measure,
    PlannedDay,
    Rule,
    Severity,
    Verdict,
    When,
    exact,
    files,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.life_stage.stages import age_span, fits, grown_limit, is_grown
from dietcheck_rules.shared.odd_limits import without_odd
from dietcheck_rules.shared.wording import bound_words

STALE = 2  # an animal twice as old as a grown one is not growing


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="life-stage",
        title="Sheets and feeds suit the stage of life",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """Each animal's stage against its sheets and feeds; stages nobody can know; stages left on."""
    called = diet.group.called
    if diet.group.is_colony or not diet.animals:
        yield not_applicable("stage", f"{called}: nobody here has a stage of life of its own.")
        return
    limits, questions = without_odd(diet, limits)
    yield from questions
    sheets: dict[DietSheet, PlannedDay] = {}
    for day in diet.days:
        if day.sheet is not None and (day.on >= diet.on or day.sheet.start <= diet.on):
            sheets.setdefault(day.sheet, day)
    labelled = _labelled(diet)
    found: list[Check] = []
    for animal in diet.animals:
        if animal.stage is None and not is_grown(diet, limits, animal):
            found.append(_unknown(diet, limits, animal))
            continue
        stage = animal.stage or "adult"
        for sheet, day in sheets.items():
            if not fits(stage, sheet.stages or ("adult",)):
                found.append(_sheet_check(animal, stage, sheet, day))
        found += [
            _feed_check(animal, stage, food, line)
            for food, line in labelled
            if (not line.for_animals or animal.id in line.for_animals)
            and not fits(stage, food.stages)
        ]
        found += _left_on(diet, limits, animal)
    yield from found
    if not found:
        yield Check(
            verdict=Verdict.KEPT,
            about="stage",
            severity=Severity.LOW,
            message=f"{called}: sheets and feeds are for the stages the animals are in.",
        )


def _labelled(diet: Diet) -> list[tuple[Food, Line]]:
    return [
        (part, offer.line)
        for offer in diet.given()
        for part, _ in offer.line.food.all_parts()
        if part.stages
    ]


def _sheet_check(animal: Animal, stage: str, sheet: DietSheet, day: PlannedDay) -> Check:
    own = any(animal.id in line.for_animals for m in sheet.meals.values() for line in m.lines)
    written = "names no stage, so it is read as one for adults"
    if sheet.stages:
        written = f"is written for {', '.join(sheet.stages)}"
    mine = " It has lines of its own there." if own else ""
    return Check(
        verdict=Verdict.BREACH,
        about=f"sheet for another stage: {animal.id}",
        severity=Severity.LOW if own else Severity.MEDIUM,
        message=f"{animal.called} is {stage}; the sheet from {sheet.start} {written}.{mine}",
        advice="Ask the vet or the nutrition lead: write a sheet for this stage, or put the stage "
        "on this one (stages: [...]) if it was worked out for it.",
        animals=(animal.id,),
        occasions=(When(day.on, day.number),),
        places=(sheet.place.at("stages") if sheet.stages else sheet.place, animal.place),
    )


def _feed_check(animal: Animal, stage: str, food: Food, line: Line) -> Check:
    return Check(
        verdict=Verdict.BREACH,
        about=f"feed for another stage: {animal.id}",
        food=food.id,
        severity=Severity.MEDIUM,
        message=f"{animal.called} is {stage}; the label of {food.id} names "
        f"{', '.join(food.stages)}.",
        advice="Take a feed for this stage, or ask the vet.",
        animals=(animal.id,),
        places=(line.place, food.place),
    )


def _unknown(diet: Diet, limits: Limits, animal: Animal) -> Check:
    limit, _ = grown_limit(diet, limits, animal)
    span = age_span(diet, animal)
    if span is None:
        why = "neither stage nor birth is written, and no old record shows that it is grown"
    else:
        least, most = span
        age = f"{least} days" if least == most else f"{least} to {most} days"
        why = f"it is {age} old and may still be growing"
    words = f"; {bound_words(limit)}" if span is not None else ""
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=f"stage not known: {animal.id}",
        severity=Severity.MEDIUM,
        message=f"{animal.called}: {why}{words}. Limits for adults are used for it meanwhile.",
        advice="Write its stage: adult, juvenile, infant, growing, pregnant, lactating or "
        "geriatric.",
        animals=(animal.id,),
        limit=limit,
        settles="the animal's stage of life",
        places=(animal.place,),
    )


def _left_on(diet: Diet, limits: Limits, animal: Animal) -> Iterator[Check]:
    """A young animal's stage that was never taken off."""
    (limit, grown), span = grown_limit(diet, limits, animal), age_span(diet, animal)
    if animal.stage not in ("infant", "juvenile", "growing") or span is None:
        return
    if span[0] > STALE * grown:
        yield Check(
            verdict=Verdict.BREACH,
            about=f"stage out of date: {animal.id}",
            severity=Severity.LOW,
            message=f"{animal.called}: still written down as {animal.stage} at {span[0]} days; a "
            f"grown animal is {bound_words(limit)} old.",
            advice="Correct the stage, so that the limits for its age are used.",
            animals=(animal.id,),
            measured=Measure.against(exact(span[0]), limit),
            limit=limit,
            places=(animal.place.at("stage"),),
        )
