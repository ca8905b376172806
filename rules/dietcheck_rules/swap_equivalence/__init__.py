"""A swap must do what the food did that it replaces, not only weigh the same.

Why a food is in the diet stands in its own record, under `here_for`. A swap is a line that says
`instead_of`; or, in a sheet that is new or changed, foods that came into a meal in which others
were left out.
"""

from collections.abc import Iterable, Iterator

from dietcheck.contract import Check, Diet, Limits, Rule, files, hookimpl, not_applicable
from dietcheck_rules.shared.pairing import (
    SheetPair,
    is_unchanged,
    meal_lines,
    no_comparison,
    own_step,
    standing,
    steps,
)
from dietcheck_rules.shared.set_figures import unreadable
from dietcheck_rules.swap_equivalence import reports
from dietcheck_rules.swap_equivalence.asked import UNITS, Asked
from dietcheck_rules.swap_equivalence.exchange import Exchange, exchanges
from dietcheck_rules.swap_equivalence.judge import judge
from dietcheck_rules.swap_equivalence.meals import meal_swaps

ABOUT = "swaps"


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="swap-equivalence",
        title="A swap does what the food did that it replaces",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """Every swap written as one, and every exchange of foods since the earlier version."""
    yield from unreadable(limits, diet, UNITS)
    nothing = no_comparison(diet, ABOUT)
    pairs = {id(pair.after): pair for pair in _said_swaps(diet)}
    if nothing is None and not is_unchanged(diet):
        pairs |= {id(pair.after): pair for pair in steps(diet)}
    found = [(pair, exchange) for pair in pairs.values() for exchange in exchanges(pair)]
    asked = Asked.of(limits, diet)
    yield from meal_swaps(diet, asked)
    if found:
        yield from _judge_all(diet, found, asked)
    elif nothing is not None:
        yield nothing
    else:
        yield not_applicable(
            ABOUT, f"{diet.group.called}: no food took the place of another since "
            "the earlier version."
        )  # fmt: skip


def _said_swaps(diet: Diet) -> Iterator[SheetPair]:
    """Sheets with lines that say what they stand in for: judged without an earlier version too."""
    for sheet in standing(diet):
        if any(given.line.instead_of for given in meal_lines(sheet)):
            pair = own_step(diet, sheet)
            if pair is not None:
                yield pair


def _judge_all(
    diet: Diet, found: list[tuple[SheetPair, Exchange]], asked: Asked
) -> Iterator[Check]:
    untold: list[Exchange] = []
    for pair, exchange in found:
        if not exchange.key_nutrients and not exchange.said:
            untold.append(exchange)
            continue
        yield from judge(pair, exchange, asked)
    if untold:
        yield reports.nobody_said(diet, untold)
