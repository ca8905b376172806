"""The energy offered a day against what is published to keep an animal of that mass.

Formulas disagree, so each animal is held against the whole span between those of its own taxon:
only what lies past all of them is a finding. Where nothing but resting rates is published, the
ration is only looked at for plausibility. Metabolisable and digestible energy are never mixed.
"""

from collections.abc import Iterable

from dietcheck.contract import Check, Diet, Limits, Rule, files, hookimpl, not_applicable
from dietcheck_rules.energy_for_maintenance.formulas import judge_formulas
from dietcheck_rules.energy_for_maintenance.offer import offered
from dietcheck_rules.energy_for_maintenance.printed import judge_printed


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="energy-for-maintenance",
        title="Energy enough and not too much",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """What the formulas say of each animal, and every limit that is printed as one figure."""
    called = diet.group.called
    if not diet.animals or not diet.days:
        what = "no animal lives in this group" if not diet.animals else "there is no rota"
        yield not_applicable("energy", f"{called}: {what}.")
        return
    said = False
    for judge in (judge_formulas, judge_printed):
        for check in judge(diet, limits):
            said = True
            yield check
    if not said and next(offered(diet), None) is None:
        yield not_applicable(
            "energy", f"{called}: no whole rota with food in it and without a hole is planned."
        )
    elif not said:
        yield not_applicable(
            "energy",
            f"{called}: limit not yet sourced. The bundled formulas hold no need of energy that "
            "fits this species and stage; the vet can set one in a limits record.",
        )
