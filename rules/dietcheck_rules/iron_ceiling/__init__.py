"""Iron in the whole diet: too much for animals that store it, too little for those that do not.

Where a published floor reaches the ceiling of a taxon that stores iron, the ceiling counts.
"""

from collections.abc import Iterable, Iterator

from dietcheck.contract import Check, Diet, Limits, Rule, files, hookimpl, not_applicable
from dietcheck_rules.iron_ceiling.citrus import citrus_meals
from dietcheck_rules.iron_ceiling.floors import floors_in_force
from dietcheck_rules.iron_ceiling.pellet import pellets
from dietcheck_rules.iron_ceiling.prone import Prone, prone_of
from dietcheck_rules.shared.levels import Case, Gauge, Judge, sides

IRON = Gauge("iron", "iron", "iron")
# Ordinary produce and forage: that nobody states their iron is not grave by itself.
_ORDINARY = frozenset(
    [
        *("hay", "grass", "browse", "herb", "sprout", "gourd", "vegetable", "fruit", "fungus"),
        *("gum", "leafy green", "root vegetable", "dried fruit", "wild fruit", "fruit juice"),
    ]
)


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="iron-ceiling",
        title="Iron stays under the ceiling where it is stored, and reaches the floor elsewhere",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """Ceilings, floors, the pellet by itself, and citrus beside an iron-rich feed."""
    prone = prone_of(diet.group.taxon)
    said = [*_whole_diet(diet, limits, prone)]
    if prone is not None:
        said += [*pellets(diet, limits, prone), *citrus_meals(diet, prone)]
    yield from said
    if not said:
        yield not_applicable(
            "iron",
            f"{diet.group.called}: limit not yet sourced. The bundled rules hold no figure for "
            "iron in this species, and no source that was read calls it prone to store iron.",
        )


def _whole_diet(diet: Diet, limits: Limits, prone: Prone | None) -> Iterator[Check]:
    floors, ceilings = sides(limits, "ceiling")
    judge = Judge(diet, grave=lambda case: prone is not None and _is_grave(case))
    yield from judge.against(ceilings, (IRON,))
    in_force, passed_over = floors_in_force(diet, floors, ceilings, prone)
    yield from passed_over
    yield from judge.against(in_force, (IRON,))
    yield from judge.unsaid()


def _is_grave(case: Case) -> bool:
    """Whether a bought feed, an insect or a prey animal leaves the ceiling of a taxon open."""
    return not case.is_floor and any(
        not food.known or food.food_class not in _ORDINARY for food in case.silent
    )
