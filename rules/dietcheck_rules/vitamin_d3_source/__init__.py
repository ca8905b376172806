"""Vitamin D in the diet, and D3 where it must be D3: primates, reptiles, birds, cats, otters."""

from collections.abc import Iterable

from dietcheck.contract import Check, Diet, Limits, Rule, files, hookimpl, not_applicable
from dietcheck_rules.shared.levels import Gauge, Judge
from dietcheck_rules.vitamin_d3_source.d3 import D3Gauge

GAUGES = (
    D3Gauge("vitamin-d3", "vitamin_d", "vitamin D3"),
    Gauge("vitamin-d", "vitamin_d", "vitamin D"),
)
LIGHT = "UV-B light (sun or lamp)"


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="vitamin-d3-source",
        title="The diet has a source of vitamin D3, neither too little nor too much",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """Floors and ceilings; a reptile's floor may be made up for by light that no record shows."""
    judge = Judge(diet, excuse=LIGHT if diet.group.taxon.is_in("Reptilia") else "")
    said = list(judge.whole(limits, GAUGES))
    yield from said
    if not said:
        yield not_applicable(
            "vitamin D",
            f"{diet.group.called}: limit not yet sourced. The bundled rules hold no figure for "
            "vitamin D in this species.",
        )
