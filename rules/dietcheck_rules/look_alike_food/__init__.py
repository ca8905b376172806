"""Two foods of the food list whose names a hurried keeper would mix up."""

from collections.abc import Iterable, Iterator

from dietcheck.contract import (
    Check,
    Diet,
    Food,
    Group,
    Rule,
    Severity,
    Taxon,
    Verdict,
    World,
    files,
    hookimpl,
)
from dietcheck_rules.look_alike_food.pairs import Pair, pairs
from dietcheck_rules.toxic_item.assess import Risk, risks


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="look-alike-food",
        title="No two foods whose names are mixed up",
        folder=files(__name__),
    )


@hookimpl
def judge_collection(world: World) -> Iterable[Check]:
    """One finding for each pair; one kept check when there is none."""
    found = pairs(tuple(world.collection.foods.values()))
    for pair in found:
        yield _check(pair, tuple(_harmed(pair, world)))
    if not found:
        yield Check(
            verdict=Verdict.KEPT,
            about="names of foods",
            severity=Severity.LOW,
            message=f"No two of the {len(world.collection.foods)} foods have names that are easily "
            "mixed up.",
        )


def _harmed(pair: Pair, world: World) -> Iterator[tuple[Food, Food, Group, Risk]]:
    """Where one of the pair is fed to animals that the other one harms."""
    for right, wrong in ((pair.one, pair.other), (pair.other, pair.one)):
        harms: dict[Taxon, list[Risk]] = {}
        for diet in world.diets.values():
            taxon = diet.group.taxon
            if taxon not in harms:
                harms[taxon] = _worse(right, wrong, taxon)
            if harms[taxon] and _is_fed(diet, right):
                yield from ((right, wrong, diet.group, risk) for risk in harms[taxon])


def _worse(right: Food, wrong: Food, taxon: Taxon) -> list[Risk]:
    """What harms a taxon in the one food and not in the other."""
    same = {risk.item.id for risk in risks(right, taxon)}
    found = (risk for risk in risks(wrong, taxon) if not risk.judged_by_share)
    return [risk for risk in found if risk.item.id not in same]


def _is_fed(diet: Diet, food: Food) -> bool:
    """Whether a group is given a food, alone or in a mix."""
    return any(part == food for one in diet.given() for part, _ in one.line.food.all_parts())


def _check(pair: Pair, harmed: tuple[tuple[Food, Food, Group, Risk], ...]) -> Check:
    told = ""
    if harmed:
        right, wrong, group, risk = min(harmed, key=lambda one: one[3].severity.rank)
        told = (
            f' {group.called} are fed "{right.id}", and "{wrong.id}" harms them '
            f"({risk.item.name}: {risk.item.effect})."
        )
    return Check(
        verdict=Verdict.BREACH,
        about=f"look-alike of {pair.other.id}",
        food=pair.one.id,
        severity=Severity.MEDIUM if harmed else Severity.LOW,
        message=f'"{pair.one.id}" and "{pair.other.id}" are easily mixed up: {pair.why}.{told}',
        advice="Give one of them a name that nobody can confuse, such as the plant and the part.",
        places=(pair.one.place, pair.other.place),
        working=tuple(
            f"{group.called}: {risk.item.name} in {wrong.id}, {risk.severity}"
            for _, wrong, group, risk in harmed
        ),
    )
