"""Pieces suit the mouth: cut size, stones left in, chunks that have choked, prey and eater."""

from collections.abc import Iterable

from dietcheck.contract import Check, Diet, Limits, Rule, Severity, Verdict, files, hookimpl
from dietcheck_rules.piece_size.cuts import sizes
from dietcheck_rules.piece_size.hazards import named
from dietcheck_rules.piece_size.prey import swallowed
from dietcheck_rules.shared.odd_limits import without_odd


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="piece-size",
        title="Pieces suit the mouth that eats them",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """Sizes against the limit of the taxon, named hazards, whole prey; kept where nothing is."""
    limits, questions = without_odd(diet, limits)
    found = [*questions, *named(diet), *sizes(diet, limits), *swallowed(diet, limits)]
    yield from found
    if not found:
        yield Check(
            verdict=Verdict.KEPT,
            about="size of pieces",
            severity=Severity.LOW,
            message=f"{diet.group.called}: no piece is past a limit or on the list of hazards. For "
            "most animals no size is printed anywhere, so this says little.",
        )
