"""The diet as a whole meets the published requirement tables of its species, nutrient by nutrient.

Floors and those upper ends that mean an excess are held against the mean of the rota. Figures that
nobody states are gathered into one finding, which says what label lines would settle them.
"""

from collections.abc import Iterable, Iterator

from dietcheck.contract import (
    Animal,
    Check,
    Diet,
    Figure,
    Limits,
    Rule,
    Severity,
    Verdict,
    files,
    hold,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.nutrient_range.demands import Demand, absence, demands
from dietcheck_rules.nutrient_range.figures import OF_BODY, Case, Reading, worst
from dietcheck_rules.nutrient_range.gathered import left_open, uncountable, unstated
from dietcheck_rules.nutrient_range.reports import judged
from dietcheck_rules.nutrient_range.unstated import Silence, silence_of
from dietcheck_rules.shared.levels.spans import by_stage, who
from dietcheck_rules.shared.speaking import or_open

ABOUT = "nutrients"


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="nutrient-range",
        title="The diet meets the requirement tables of the species",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """A check for each nutrient, and one each for all that nobody states or that stays open."""
    called = diet.group.called
    if not diet.animals or not diet.given():
        what = "no animal lives in this group" if not diet.animals else "nothing is fed"
        yield not_applicable(ABOUT, f"{called}: {what}.")
        return
    yield from or_open(_by_stage(diet, limits), ABOUT, diet)


def _by_stage(diet: Diet, limits: Limits) -> Iterator[Check]:
    for stage, animals in by_stage(diet).items():
        wanted = demands(diet, limits, stage)
        if wanted:
            yield from _of_stage(diet, wanted, animals)
        else:
            yield _no_table(diet, limits, stage)


def _no_table(diet: Diet, limits: Limits, stage: str | None) -> Check:
    if stage == "infant":
        return not_applicable(
            "nutrients of infants",
            f"{diet.group.called}: the requirement tables are for weaned animals; infants are not "
            "judged.",
        )
    none = absence(diet, limits)
    if none is not None:
        return not_applicable(ABOUT, f"{diet.group.called}: {none.standing.value}. {none.note}.")
    of_stage = f" in the stage {stage}" if stage else ""
    return not_applicable(
        ABOUT,
        f"{diet.group.called}: limit not yet sourced. The bundled rules hold no requirement table "
        f"for this species{of_stage}; the vet can set limits in a limits record.",
    )


def _of_stage(diet: Diet, wanted: tuple[Demand, ...], animals: list[Animal]) -> Iterator[Check]:
    fed: dict[tuple[object, ...], list[Animal]] = {}
    for animal in animals:
        fed.setdefault(who(diet, animal), []).append(animal)
    silent: list[Silence] = []
    spread: list[Case] = []
    for demand in wanted:
        if demand.gauge is None:
            yield uncountable(diet, demand)
            continue
        for case in _stand(diet, demand, fed.values()):
            if case.alike.verdict is not Verdict.CANNOT_TELL:
                yield judged(diet, case)
            elif silence := silence_of(diet, case):
                silent.append(silence)
            elif case.alike.severity is Severity.LOW and demand.limit.basis not in OF_BODY:
                spread.append(case)
            else:
                yield judged(diet, case)
    if silent:
        yield unstated(diet, silent)
    if spread:
        yield left_open(diet, spread)


def _stand(diet: Diet, demand: Demand, fed_alike: Iterable[list[Animal]]) -> Iterator[Case]:
    """How the animals stand against one demand."""
    readings: dict[int, Reading] = {}  # by the id of the figure
    figures: list[Figure] = []
    each = demand.limit.basis in OF_BODY  # then the body mass tells animals apart
    for alike in fed_alike:
        for first in alike if each else [alike[0]]:
            reading = worst(demand, diet, first)
            if reading is not None:
                for animal in [first] if each else alike:
                    figure = Figure(animal, reading.value)
                    readings[id(figure)] = reading
                    figures.append(figure)
    for group in hold(figures, demand.limit):
        yield Case(demand, group, tuple(readings[id(figure)] for figure in group.figures))
