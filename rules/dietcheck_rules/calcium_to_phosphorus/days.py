"""Single days on which calcium to phosphorus is out of proportion, though the rota's is not."""

from collections.abc import Iterator, Sequence

from dietcheck.contract import (
    Animal,
    Applied,
    Check,
    Diet,
    Figure,
    Limits,
    Measure,
    Pointer,
    Severity,
    Verdict,
    excess,
)
from dietcheck_rules.shared.levels import Gauge, Judge, applying, by_stage, sides, spans
from dietcheck_rules.shared.levels.words import bound_words, figure_words, who_words

RATIO = Gauge("ca-to-p", "calcium", "Ca:P", below="phosphorus")
MOST_PLACES = 6


def wrong_days(judge: Judge, limits: Limits) -> Iterator[Check]:
    """The days past a limit on the ratio that the rota as a whole keeps.

    One day harms little; it shows a supplement forgotten in one meal. So it is low.
    """
    for stage, animals in by_stage(judge.diet).items():
        for side in sides(limits, "floor"):
            for applied in applying(side, judge.diet, RATIO.quantity, stage):
                # `can_judge` is False for an absence and for a unit that whole() has told of.
                if applied.limit.over == "rota" and RATIO.can_judge(applied.limit):
                    yield from _days(judge, applied, animals)


def _days(judge: Judge, applied: Applied, animals: Sequence[Animal]) -> Iterator[Check]:
    limit = applied.limit
    past = [
        figure
        for animal in animals
        if not list(_past(judge, applied, animal, "rota"))
        for figure in _past(judge, applied, animal, "day")
    ]
    if not past:
        return
    past.sort(key=lambda figure: excess(figure.value, limit), reverse=True)
    who = who_words(judge.diet, [figure.animal for figure in past])
    yield Check(
        verdict=Verdict.BREACH,
        about=f"Ca:P on a single day, {'floor' if limit.at_least is not None else 'ceiling'}",
        severity=Severity.LOW,
        message=f"{who}: Ca:P {figure_words(past[0].value, limit)} on the worst day, though not "
        f"over the rota; the limit for the rota is {bound_words(limit)}.",
        advice="Look whether the calcium supplement is missing from a meal of that day.",
        animals=tuple(dict.fromkeys(figure.animal.id for figure in past)),
        occasions=tuple(sorted({when for figure in past for when in figure.occasions})),
        measured=Measure(past[0].value, "", "ratio, in a day"),
        limit=limit,
        others=applied.others,
        places=tuple(_lines(judge.diet, past[0]))[:MOST_PLACES],
    )


def _past(judge: Judge, applied: Applied, animal: Animal, over: str) -> Iterator[Figure]:
    for span in spans(judge.diet, animal, over):
        value = judge.value(RATIO, applied.limit, animal, span)
        if applied.limit.stands(value) == "past":
            yield Figure(animal, value, span.occasions())


def _lines(diet: Diet, figure: Figure) -> Iterator[Pointer]:
    dates = {when.on for when in figure.occasions}
    for offer in diet.given():
        line = offer.line
        mine = not line.for_animals or figure.animal.id in line.for_animals
        if mine and any(occasion.on in dates for occasion in offer.occasions):
            yield line.place.at("amount")
