"""Holds the energy offered against limits that are printed or set as one figure.

Metabolisable energy for limits of the house; digestible energy where the source counts so. What is
offered is reckoned as metabolisable energy, which is always less than the digestible energy of the
same food. So a ceiling on digestible energy can be seen to be passed, and never to be kept.
"""

from collections.abc import Iterator
from decimal import Decimal
from functools import lru_cache

from msgspec.structs import replace

from dietcheck.contract import (
    UNKNOWN,
    Alike,
    Applied,
    Check,
    Diet,
    Figure,
    Interval,
    Limit,
    Limits,
    Measure,
    Severity,
    Standing,
    Verdict,
    format_interval,
    hold,
    not_applicable,
)
from dietcheck_rules.energy_for_maintenance import offer as offers
from dietcheck_rules.energy_for_maintenance.offer import Offered, offered
from dietcheck_rules.energy_for_maintenance.reports import PRACTICE
from dietcheck_rules.energy_for_maintenance.yardsticks import FAR, SPAN, row_of
from dietcheck_rules.shared.class_shares import by_stage
from dietcheck_rules.shared.wording import figure_words, limit_words, standing_words

DIGESTIBLE = "digestible-energy"
_KCAL = {"kcal": Decimal(1), "kJ": Decimal("4.184"), "MJ": Decimal("0.004184")}
_PER = {"body mass": "kg", "metabolic body mass": "kg^0.75", "animal": "animal"}


def judge_printed(diet: Diet, limits: Limits) -> Iterator[Check]:
    """One check for each limit and verdict."""
    of_house = _own_rows(limits)
    for stage, animals in by_stage(diet).items():
        ids = {animal.id for animal in animals}
        applying = [
            *of_house.each(diet.group, SPAN, stage=stage),
            *limits.each(diet.group, DIGESTIBLE, stage=stage),
        ]
        given = [one for one in offered(diet) if one.animal.id in ids] if applying else []
        for applied in applying:
            yield from _judge(diet, limits, applied, given)


@lru_cache(maxsize=8)
def _own_rows(limits: Limits) -> Limits:
    """The house's own rows on energy.

    The formulas stand apart: they are judged together, as a span, and must not hide a row of the
    house that is looser than one of them.
    """
    return Limits(
        row for row in limits.rows if row.quantity == SPAN and row.standing is Standing.SITE_RULE
    )


def in_unit(kcal: Interval, mass: Interval | None, limit: Limit) -> Interval | None:
    """kcal a day in the limit's own unit, for a body mass in grams; None if it cannot be."""
    top, _, per = limit.unit.partition("/")
    if top not in _KCAL or _PER.get(limit.basis) != per:
        return None
    own = kcal * _KCAL[top]
    if per == "animal":
        return own
    if mass is None:
        return UNKNOWN
    return own / ((mass / 1000).power34() if "^" in per else mass / 1000)


def _judge(diet: Diet, limits: Limits, applied: Applied, given: list[Offered]) -> Iterator[Check]:
    limit = applied.limit
    about = f"{limit.quantity}, {limit.basis}"
    figures: list[Figure] = []
    by_figure: dict[int, Offered] = {}
    for one in given:
        value = in_unit(one.kcal, diet.mass_of(one.animal), limit)
        if value is None or limit.over != "rota":
            yield _not_countable(diet, limit, about)
            return
        figures.append(Figure(one.animal, value, one.occasions))
        by_figure[id(figures[-1])] = one
    far = row_of(limits, FAR)
    for alike in hold(figures, limit):
        one = by_figure[id(alike.worst)]
        if limit.quantity == DIGESTIBLE and alike.verdict is Verdict.KEPT:
            yield not_applicable(
                about,
                f"{diet.group.called}, {', '.join(alike.animals)}: metabolisable energy "
                f"{figure_words(alike.worst.value, limit)}; the source counts digestible energy, "
                f"which is more, so that {limit_words(limit)} is kept cannot be seen here, only "
                "that it is passed.",
            )
            continue
        yield _report(diet, applied, about, alike, one, far)


def _report(
    diet: Diet, applied: Applied, about: str, alike: Alike, one: Offered, far: Limit | None
) -> Check:
    limit = applied.limit
    kept = alike.verdict is Verdict.KEPT
    untold = alike.verdict is Verdict.CANNOT_TELL
    severity = alike.severity
    step = ""
    if far is not None and _is_far(alike, limit, far):
        severity = min(severity, Severity(far.severity), key=lambda grade: grade.rank)
        step = f" It is more than one and a half times that, where a slip is likely ({PRACTICE})."
    return Check(
        verdict=alike.verdict,
        about=about,
        severity=severity,
        message=_message(diet, limit, alike, step),
        advice="" if kept else _advice(untold),
        animals=alike.animals,
        occasions=() if kept else alike.occasions,
        measured=Measure(alike.worst.value, limit.unit, f"{limit.basis}, metabolisable energy"),
        limit=limit,
        others=applied.others,
        working=() if kept else _working(diet, limit, alike, one),
        settles=_settles(diet, one) if untold else "",
        weak=() if kept else offers.weak(one),
        places=() if kept else offers.places(diet, one),
    )


def _is_far(alike: Alike, limit: Limit, far: Limit) -> bool:
    if limit.standing is Standing.SITE_RULE or alike.verdict is not Verdict.BREACH:
        return False
    assert limit.at_most is not None  # so are both rows of the rule's own table
    assert far.at_most is not None
    top = replace(limit, at_least=None, at_most=limit.at_most * far.at_most)
    return top.stands(alike.worst.value) == "past"


def _message(diet: Diet, limit: Limit, alike: Alike, step: str) -> str:
    more = len(alike.animals) - 1
    who = f"{diet.group.called}, {alike.worst.animal.called}{f' (and {more} more)' if more else ''}"
    said = f"{who}: metabolisable energy {figure_words(alike.worst.value, limit)} a day offered"
    kind = ", counted as digestible energy" if limit.quantity == DIGESTIBLE else ""
    bound = f"{limit_words(limit)} ({standing_words(limit)}{kind})"
    if alike.verdict is Verdict.CANNOT_TELL:
        if diet.mass_of(alike.worst.animal) is None:
            return f"{who}: no current weighing, so energy cannot be held against {bound}."
        return f"{said}; whether that keeps {bound} cannot be told."
    joint = ", within" if alike.verdict is Verdict.KEPT else "; the limit is"
    return f"{said}{joint} {bound}.{step}"


def _advice(untold: bool) -> str:
    if untold:
        return "Get the figure named below, or ask the nutrition lead."
    return "Look at body condition and dung; ask the nutrition lead which food to cut or add."


def _working(diet: Diet, limit: Limit, alike: Alike, one: Offered) -> tuple[str, ...]:
    steps = offers.steps(one)
    mass = diet.mass_of(one.animal)
    if limit.basis != "animal" and mass is not None:
        own = (mass / 1000).power34() if "^" in limit.unit else mass / 1000
        steps.append(
            f"÷ {format_interval(own, limit.unit.partition('/')[2])} (body mass "
            f"{format_interval(mass / 1000, 'kg')}) = {figure_words(alike.worst.value, limit)}"
        )
    if limit.quantity == DIGESTIBLE:
        steps.append("digestible energy is more than that, by how much no source here says")
    steps.append(f"limit: {limit_words(limit)} a day: {standing_words(limit)}")
    steps.append(limit.note)
    return tuple(steps)


def _settles(diet: Diet, one: Offered) -> str:
    if diet.mass_of(one.animal) is None:
        return f"a weighing of {one.animal.called} that still counts as current"
    return offers.settles(one)


def _not_countable(diet: Diet, limit: Limit, about: str) -> Check:
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=about,
        message=f"{diet.group.called}: energy cannot be counted against the limit as it is written "
        f"({standing_words(limit)}).",
        advice="Write the limit in kcal, kJ or MJ per kg^0.75, per kg body mass or per animal, "
        "over: rota.",
        limit=limit,
        settles="a limit that energy can be counted against",
        places=(limit.place,) if limit.place else (),
    )
