"""Findings that gather many nutrients into one, so that a silent label is said once."""

from collections.abc import Iterable, Sequence

from dietcheck.contract import Check, Diet, Food, Severity, Verdict
from dietcheck_rules.nutrient_range.demands import Demand
from dietcheck_rules.nutrient_range.figures import Case
from dietcheck_rules.nutrient_range.reports import at_least, settles, wanted
from dietcheck_rules.nutrient_range.unstated import Silence
from dietcheck_rules.shared.levels.words import figure_words, food_words, listed
from dietcheck_rules.shared.wording import span_words


def unstated(diet: Diet, silent: Sequence[Silence]) -> Check:
    """The one finding for every nutrient that foods keep quiet about."""
    ordered = sorted(silent, key=lambda one: one.severity.rank)
    titles = listed(_titles(silence.case for silence in ordered))
    lines = _label_lines(ordered)
    foods = list(dict.fromkeys(food for silence in ordered for food in silence.foods))
    asked = list(lines) or foods
    to_copy = "; ".join(f"{food.id}: {', '.join(names)}" for food, names in lines.items())
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about="nutrients that no label or table states",
        severity=ordered[0].severity,
        message=f"{diet.group.called}: nobody can tell whether the requirement tables are met for "
        f"{titles}, because {food_words(asked)} {'does' if len(asked) == 1 else 'do'} not state "
        "them.",
        advice=f"Copy from the label or the maker's data sheet into the food record: {to_copy}."
        if lines
        else "No food here has a label and the food tables hold no figure: ask the vet whether an "
        "analysis is wanted.",
        animals=_animals(silence.case for silence in ordered),
        working=tuple(_known_so_far(silence) for silence in ordered),
        settles=to_copy or f"an analysis of {food_words(foods)}",
        places=tuple(food.place for food in asked),
        sources=tuple(
            dict.fromkeys(source for one in ordered for source in one.case.demand.limit.sources)
        ),
    )


def left_open(diet: Diet, cases: Sequence[Case]) -> Check:
    """The one finding for what ranges leave open: the best estimates, if any, lie inside, or the
    limit itself is of the mildest grade."""
    met = all(figure.value.best is not None for case in cases for figure in case.alike.figures)
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about="nutrients that the ranges leave open",
        severity=Severity.LOW,
        message=f"{diet.group.called}: amounts and labels are ranges, so {listed(_titles(cases))} "
        f"may miss the requirement tables.{' The best estimates meet them.' if met else ''}",
        advice="Narrow the amounts or the labels where that is easy; nothing else need be done.",
        animals=_animals(cases),
        working=tuple(
            wanted(case.demand, figure_words(case.alike.worst.value, case.demand.limit))
            for case in cases
        ),
        settles="; ".join(dict.fromkeys(settles(diet, case) for case in cases)),
    )


def uncountable(diet: Diet, demand: Demand) -> Check:
    """A limit in a unit or over a span in which the quantity cannot be counted."""
    limit = demand.limit
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=f"{limit.quantity} on {limit.basis} {span_words(limit)}",
        severity=Severity.MEDIUM,
        message=f"{diet.group.called}: {limit.quantity} cannot be counted against {demand.bound} "
        f"{span_words(limit)}.",
        advice="Write the limit by dry matter, as fed, per 1000 kcal, per kg body mass or per "
        "animal, over day, 7 days or rota.",
        limit=limit,
        settles="a limit in a unit that the quantity can be counted in",
        places=(limit.place,) if limit.place else (),
    )


def _titles(cases: Iterable[Case]) -> list[str]:
    return list(dict.fromkeys(case.demand.title for case in cases))


def _animals(cases: Iterable[Case]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(animal for case in cases for animal in case.alike.animals))


def _label_lines(silent: Iterable[Silence]) -> dict[Food, list[str]]:
    """The label lines to copy, food by food."""
    lines: dict[Food, list[str]] = {}
    for silence in silent:
        for food in silence.labelled:
            names = lines.setdefault(food, [])
            if silence.case.demand.title not in names:
                names.append(silence.case.demand.title)
    return lines


def _known_so_far(silence: Silence) -> str:
    demand = silence.case.demand
    figure = figure_words(at_least(silence.case.alike.worst.value), demand.limit)
    return f"{wanted(demand, figure)}; not stated by {food_words(silence.foods, 3)}"
