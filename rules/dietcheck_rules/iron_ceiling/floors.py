"""Iron both ways: the floors that stay in force beside the ceiling of a taxon that stores iron."""

from decimal import Decimal

from dietcheck.contract import Check, Diet, Limits, not_applicable
from dietcheck_rules.iron_ceiling.prone import Prone
from dietcheck_rules.shared.levels import applying
from dietcheck_rules.shared.levels.words import bound_words


def floors_in_force(
    diet: Diet, floors: Limits, ceilings: Limits, prone: Prone | None
) -> tuple[Limits, list[Check]]:
    """The floors to judge, and a word on each that a ceiling passes over.

    One diet can rarely satisfy a floor of 80 or 100 mg per kg and a ceiling of 25 to 100. In a
    taxon that stores iron the ceiling goes first, whatever basis the floor is printed on.
    """
    if prone is None:
        return floors, []
    top = _strictest(diet, ceilings)
    passed = [
        row
        for row in floors.rows
        if not row.group
        and diet.group.taxon.is_in(row.taxon)
        and row.at_least is not None
        and top is not None
        and row.at_least >= top
    ]
    words = [
        not_applicable(
            f"iron floor {row.id}",
            f"{diet.group.called}: {bound_words(row)} is not asked for. This species stores iron, "
            "and its ceiling goes first.",
        )
        for row in passed
    ]
    return Limits(row for row in floors.rows if row not in passed), words


def _strictest(diet: Diet, ceilings: Limits) -> Decimal | None:
    stages = {animal.stage for animal in diet.animals}
    found = [
        applied.limit.at_most
        for stage in stages
        for applied in applying(ceilings, diet, "iron", stage)
        if applied.limit.at_most is not None
    ]
    return min(found, default=None)
