"""Says which figures of a group's foods are missing or borrowed, so that someone can fill them in.

A rule that needs such a figure reports for itself that it cannot tell. This one gathers the
causes: one finding for a food and what is the matter with it, whatever the number of nutrients.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator

from dietcheck.contract import (
    Check,
    Diet,
    Food,
    Limits,
    Line,
    Pointer,
    Rule,
    Severity,
    Verdict,
    files,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.composition_known.needs import weak_figures
from dietcheck_rules.shared.wording import standing_words

PART = "part-that-matters"


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="composition-known",
        title="The composition of every food is known",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """Amounts that cannot be turned into grams, then figures that are missing or weak."""
    if not diet.given():
        yield not_applicable("composition", f"{diet.group.called}: nothing is fed.")
        return
    found = [*_not_in_grams(diet), *_weak(diet, limits)]
    yield from found
    if not found:
        yield Check(
            verdict=Verdict.KEPT,
            about="composition",
            severity=Severity.LOW,
            message=f"{diet.group.called}: every amount can be turned into grams, and the figures "
            "that rules need are there for every food that matters.",
        )


def _not_in_grams(diet: Diet) -> Iterator[Check]:
    """Pieces nobody has weighed, volumes without a density, units that are no mass at all."""
    lines: dict[tuple[str, Food], list[Line]] = defaultdict(list)
    for offer in diet.offers():
        if (cause := gap(offer.line)) and offer.line.food.known:
            lines[cause, offer.line.food].append(offer.line)
    for (cause, food), same in lines.items():
        question, remedy = _question(cause, food)
        amounts = dict.fromkeys(f'"{line.amount.text}"' for line in same)
        yield Check(
            verdict=Verdict.CANNOT_TELL,
            about=f"not in grams: {cause}",
            food=food.id,
            severity=Severity.MEDIUM,
            message=f"{diet.group.called}, {food.id}: {', '.join(amounts)} cannot be turned into "
            f"grams. {question}",
            advice=remedy,
            settles=question,
            places=tuple(line.place.at("amount") for line in same),
        )


def gap(line: Line) -> str:
    """What is missing to turn a line's amount into grams; nothing when it can be done."""
    match line.amount.dimension:
        case "mass":
            return ""
        case "piece":
            return "" if line.food.piece else "piece mass"
        case "volume":
            return "" if line.food.density else "density"
        case _:  # IU
            return "" if line.food.iu else "strength in IU"


def _question(cause: str, food: Food) -> tuple[str, str]:
    name = food.id.replace("-", " ")
    match cause:
        case "piece mass":
            return (
                f"What does one {name} weigh?",
                f"Weigh a few and write the range into the food list (piece: 50 to 70 g, under "
                f"{food.id}), or write the amount in grams.",
            )
        case "density":
            return (
                f"What does a millilitre of {name} weigh?",
                f"Write the density into the food list (density: 1.03 g/ml, under {food.id}), or "
                "write the amount in grams.",
            )
        case _:  # strength in IU
            return (
                f"How many IU of which nutrient are in {name}?",
                "Write the one nutrient that is meant into its label, in IU, or write the amount "
                "in grams.",
            )


def _weak(diet: Diet, limits: Limits) -> Iterator[Check]:
    applied = limits.applying(diet.group, PART)
    if applied is None or applied.limit.at_most is None:
        return
    part = applied.limit.at_most
    for (food, cause), weak in weak_figures(diet, part / 100).items():
        nutrients = ", ".join(one.title for one in weak)
        yield Check(
            verdict=Verdict.CANNOT_TELL,
            about=f"composition {cause}",
            food=food.id,
            severity=Severity.LOW,
            message=f"{diet.group.called}, {food.id}: {_said(cause)}: {nutrients}. Rules that need "
            "it work with a range or cannot tell.",
            advice=_remedy(cause, food),
            settles=f"{nutrients} of {food.id} from its own label or an analysis",
            working=(
                *(one.working for one in weak),
                f"reported from {part} % on ({standing_words(applied.limit)})",
            ),
            weak=tuple(f"{one.title}: {one.why}" for one in weak),
            places=(food.place, *_lines_of(diet, food)),
        )


def _lines_of(diet: Diet, food: Food) -> tuple[Pointer, ...]:
    return tuple(
        offer.line.place
        for offer in diet.given()
        if any(part is food for part, _ in offer.line.food.all_parts())
    )


def _said(cause: str) -> str:
    return {
        "not stated": "nothing is stated about",
        "borrowed": "figures of a similar food stand in for",
        "imputed": "the table's authors estimated",
        "from memory": "figures from memory, not read in a source, stand for",
    }[cause]


def _remedy(cause: str, food: Food) -> str:
    if cause == "not stated":
        return (
            f"Copy the figures from the label of {food.id} into its food record, or ask the "
            "supplier for an analysis."
        )
    return f"An analysis or a label of {food.id} itself would make the figures firm."
