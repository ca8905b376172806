"""What one group leaves and another gets is food of that other group, and is looked at as such.

Whether it harms them is judged by the rules that judge all food, and it counts in their sums. This
rule says what the record of the leftovers leaves open, and what only leftovers bring.
"""

from collections.abc import Callable, Iterable, Iterator

from dietcheck.contract import (
    Check,
    Diet,
    Food,
    Leaving,
    Offer,
    Pointer,
    Rule,
    Severity,
    Verdict,
    When,
    files,
    format_interval,
    fruit_share,
    hookimpl,
    not_applicable,
)

SPOILS = frozenset({"fish", "shellfish", "meat", "offal", "whole prey", "egg"})
PRACTICE = "(common practice, no source; the vet sets this)"
Judge = Callable[[Diet, Leaving], Iterator[Check]]


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="leftovers",
        title="What is left over for another group is fit for that group",
        folder=files(__name__),
    )


@hookimpl
def judge_group(diet: Diet) -> Iterable[Check]:
    """What is open or unfit in each entry that leaves something to the group; else kept."""
    leavings = diet.leavings()
    if not leavings:
        yield not_applicable("leftovers", f"{diet.group.called}: no sheet leaves them anything.")
    for leaving in leavings:
        found = [check for judge in JUDGES for check in judge(diet, leaving)]
        yield from found or [_kept(diet, leaving)]


def _strays(diet: Diet, leaving: Leaving) -> Iterator[Check]:
    for food in leaving.strays:
        yield _said(
            diet, leaving, [offer for offer in leaving.offers if offer.line.food is food],
            Verdict.CANNOT_TELL, "food that the giver does not feed", Severity.MEDIUM,
            f'{diet.group.called}: the sheet of {leaving.giver.called} leaves them "{food.id}", '
            "which that sheet does not feed; nobody can tell how much, so no sum counts it.",
            "Correct the name, or write the food into the sheet it is left from.",
            settles=f'where "{food.id}" comes from',
        )  # fmt: skip


def _share(diet: Diet, leaving: Leaving) -> Iterator[Check]:
    if leaving.leftover.share is None:
        yield _said(
            diet, leaving, leaving.offers,
            Verdict.CANNOT_TELL, "share not written", Severity.LOW,
            f"{diet.group.called}: how much of {_names(leaving.offers)} {leaving.giver.called} "
            "leave them is not written, so it counts in their sums as anything up to all of it.",
            "Write the most that goes there, such as share: 0 to 20 %.",
            settles="the share that is left over",
        )  # fmt: skip


def _medicine(diet: Diet, leaving: Leaving) -> Iterator[Check]:
    for offer in leaving.offers:
        medicine = offer.line.medicine
        if medicine is not None:
            yield _said(
                diet, leaving, [offer],
                Verdict.BREACH, f"carries {medicine.drug}", Severity.MEDIUM,
                f'{diet.group.called}: "{offer.line.food.id}" left over by {leaving.giver.called} '
                f"carries {medicine.drug}, which was not ordered for them.",
                "Throw away what is left of it, and tell the vet if any was passed on.",
            )  # fmt: skip


def _spoils(diet: Diet, leaving: Leaving) -> Iterator[Check]:
    offers = [o for o in leaving.offers if _holds(o.line.food, lambda f: f.food_class in SPOILS)]
    if offers:
        yield _said(
            diet, leaving, offers, Verdict.BREACH, "meat, fish or egg passed on", Severity.LOW,
            f"{diet.group.called}: {_names(offers)} left over by {leaving.giver.called} has lain "
            f"out and been in other animals' mouths {PRACTICE}.",
            "Throw away what is left of meat, fish, prey and egg; do not pass it on.",
        )  # fmt: skip


def _fruit(diet: Diet, leaving: Leaving) -> Iterator[Check]:
    offers = [offer for offer in leaving.offers if fruit_share(offer.line.food).high > 0]
    if offers and diet.group.taxon.is_in("Mammalia"):
        yield _said(
            diet, leaving, offers, Verdict.BREACH, "fruit on top", Severity.LOW,
            f"{diet.group.called}: {_names(offers)} left over by {leaving.giver.called} is fruit "
            f"on top of their own ration {PRACTICE}.",
            "Leave the fruit out, or write it into their own sheet so that it is counted.",
        )  # fmt: skip


JUDGES: tuple[Judge, ...] = (_strays, _share, _medicine, _spoils, _fruit)


def _kept(diet: Diet, leaving: Leaving) -> Check:
    return Check(
        verdict=Verdict.KEPT,
        about=f"leftovers of {leaving.giver.id}",
        severity=Severity.LOW,
        message=f"{diet.group.called}: {_names(leaving.offers)} left over by "
        f"{leaving.giver.called} counts in their sums, as anything from nothing to its share.",
    )


def _said(
    diet: Diet,
    leaving: Leaving,
    offers: Iterable[Offer],
    verdict: Verdict,
    about: str,
    severity: Severity,
    message: str,
    advice: str,
    settles: str = "",
) -> Check:
    these = tuple(offers)
    foods = list(dict.fromkeys(offer.line.food.id for offer in these))
    found = {When(o.on, o.number, o.slot, o.meal) for one in these for o in one.occasions}
    return Check(
        verdict=verdict,
        about=f"leftovers of {leaving.giver.id}: {about}",
        food=foods[0] if len(foods) == 1 else None,
        severity=severity,
        message=message,
        advice=advice,
        animals=tuple(animal.id for animal in diet.animals),
        occasions=tuple(sorted(found)),
        settles=settles,
        working=tuple(dict.fromkeys(map(_laid_out, these))),
        places=_places(leaving, these, about),
    )


def _places(leaving: Leaving, offers: Iterable[Offer], about: str) -> tuple[Pointer, ...]:
    if about == "share not written":
        return (leaving.leftover.place,)
    return tuple(dict.fromkeys(offer.line.place for offer in offers))


def _laid_out(offer: Offer) -> str:
    most = format_interval(offer.whole, "g") if offer.whole.is_bounded else "an unknown amount"
    return f"{offer.line.food.id}: {most} left over from one giving"


def _names(offers: Iterable[Offer]) -> str:
    return " and ".join(dict.fromkeys(f'"{offer.line.food.id}"' for offer in offers))


def _holds(food: Food, wanted: Callable[[Food], bool]) -> bool:
    return any(wanted(part) for part, _ in food.all_parts())
