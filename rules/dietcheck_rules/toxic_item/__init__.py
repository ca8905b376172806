"""Nothing that can reach an animal is, or hides, an item that is toxic to its taxon.

Organism, part and form decide first and names second. Every ingredient counts, at any depth of a
mix, and so does food laid out for others that the animal can get at.
"""

from collections.abc import Iterable, Iterator

from dietcheck.contract import (
    Check,
    Diet,
    Limits,
    Rule,
    Severity,
    Verdict,
    files,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.toxic_item.ambiguity import ambiguous_checks
from dietcheck_rules.toxic_item.assess import Risk, risks
from dietcheck_rules.toxic_item.exposure import Exposure, exposures
from dietcheck_rules.toxic_item.kin import kin_risks
from dietcheck_rules.toxic_item.knowledge import about_food, food_names
from dietcheck_rules.toxic_item.reports import report, report_kin
from dietcheck_rules.toxic_item.shares import share_checks
from dietcheck_rules.toxic_item.site import site_checks
from dietcheck_rules.toxic_item.thiamin import thiamin_checks

__all__ = ["about_food", "describe", "food_names", "judge_group"]


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="toxic-item",
        title="No toxic or harmful item for this taxon",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """One check for each harmful item in a food, and one that counts the foods looked at."""
    reaching = exposures(diet)
    if not reaching:
        yield not_applicable(
            "toxic items", f"{diet.group.called}: nothing is planned to be fed or can be reached."
        )
        return
    found = [(risk, exposure) for exposure in reaching for risk in _risks(diet, exposure)]
    found = [pair for pair in found if not _said_by_ingredient(pair, found)]
    said = [*_checks(diet, limits, found), *site_checks(diet, reaching)]
    said += ambiguous_checks(diet, reaching)
    yield from said
    if not any(check.verdict in (Verdict.BREACH, Verdict.CANNOT_TELL) for check in said):
        count = len({exposure.part for exposure in reaching})
        yield Check(
            verdict=Verdict.KEPT,
            about="toxic items",
            severity=Severity.LOW,
            message=f"{diet.group.called}: none of {count} foods and ingredients is listed as "
            "harmful to this species, or as gravely harmful to others of its order, in the part "
            "and form it is fed. A food that is listed for other animals only is not cleared by "
            "that.",
        )


def _risks(diet: Diet, exposure: Exposure) -> tuple[Risk, ...]:
    taxon, part, animals = diet.group.taxon, exposure.part, diet.animals
    return (
        *risks(part, taxon, animals, stones_in=exposure.stones_in),
        *kin_risks(part, taxon, animals, stones_in=exposure.stones_in),
    )


def _said_by_ingredient(pair: tuple[Risk, Exposure], found: list[tuple[Risk, Exposure]]) -> bool:
    """Whether a mix is only named after an ingredient that is reported itself."""
    risk, exposure = pair
    if not risk.hit.by_name or not exposure.part.mix:
        return False
    inside = {part for part, _ in exposure.part.all_parts() if part is not exposure.part}
    return any(
        other.item is risk.item and there.own == exposure.own and there.part in inside
        for other, there in found
    )


def _checks(diet: Diet, limits: Limits, found: list[tuple[Risk, Exposure]]) -> Iterator[Check]:
    by_share = [pair for pair in found if pair[0].judged_by_share and pair[1].own]
    yield from share_checks(diet, limits, by_share)
    for risk, exposure in found:
        if risk.judged_by_share:
            continue
        if risk.kin:
            yield report_kin(diet, risk, exposure)
        elif risk.item.unless_thiamin:
            yield from thiamin_checks(diet, risk, exposure)
        else:
            yield report(diet, risk, exposure)
