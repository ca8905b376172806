"""What one animal must not have is not offered to it, nor within its reach among its own group.

Where all eat together, or the food is scattered, every line of the group is food for every animal
of it. Only where each is fed on its own do the lines for others not count.
"""

from collections.abc import Iterable, Iterator

from msgspec import Struct

from dietcheck.contract import (
    Animal,
    Check,
    Diet,
    Food,
    Interval,
    Measure,
    Offer,
    Rule,
    Severity,
    Verdict,
    When,
    files,
    find_foods,
    format_interval,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.individual_exclusion.conditions import Condition, of_animal
from dietcheck_rules.shared.kept_from import (
    Wanted,
    gets_at,
    is_kept_from,
    is_own,
    wanted_parts,
)
from dietcheck_rules.toxic_item.words import any_holds, tokens


class Meeting(Struct, frozen=True, eq=False):
    """A food that an animal must not have, with the lines that bring it and its share of each."""

    animal: Animal
    food: Food
    offers: tuple[tuple[Offer, Interval], ...]


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="individual-exclusion",
        title="What one animal must not have does not reach it in the group's food",
        folder=files(__name__),
    )


@hookimpl
def judge_group(diet: Diet) -> Iterable[Check]:
    """A check for each animal and food that must not meet; one kept check where none do."""
    held = [animal for animal in diet.animals if animal.never or animal.health]
    if not held:
        yield not_applicable(
            "food kept from an animal",
            f"{diet.group.called}: no record keeps a food from an animal of this group.",
        )
        return
    for animal in held:
        yield from _judge(diet, animal)


def _judge(diet: Diet, animal: Animal) -> Iterator[Check]:
    # What others leave to an animal that must never have it is told by the rule on reach.
    never = list(_meetings(animal, _own(diet, animal), lambda food: is_kept_from(animal, food)))
    for meeting in never:
        yield _never(diet, meeting)
    told = {meeting.food for meeting in never}
    ill = False
    for entry, condition in of_animal(animal):
        if condition is None:
            yield not_applicable(
                f"{animal.id}: {entry}",
                f'{animal.called}: for "{entry}" no food is listed here. What this animal must '
                "not have is written under never in its record.",
            )
            continue
        given = [*_own(diet, animal), *_left(diet)]
        for meeting in _meetings(animal, given, condition.forbids):
            if meeting.food not in told and not is_kept_from(animal, meeting.food):
                ill = True
                yield _unwell(diet, meeting, entry, condition)
    yield from _unheard_of(diet, animal)
    if not never and not ill:
        yield Check(
            verdict=Verdict.KEPT,
            about=f"{animal.id}: food kept from it",
            severity=Severity.LOW,
            message=f"{animal.called}: nothing that its record keeps from it is offered.",
        )


def _own(diet: Diet, animal: Animal) -> list[Offer]:
    return [offer for offer in diet.offers() if gets_at(diet, offer.line, animal)]


def _left(diet: Diet) -> list[Offer]:
    return [offer for offer in diet.given() if offer.leftover]


def _meetings(animal: Animal, offers: Iterable[Offer], wanted: Wanted) -> Iterator[Meeting]:
    found: dict[Food, list[tuple[Offer, Interval]]] = {}
    for offer in offers:
        for part, share in wanted_parts(offer.line.food, wanted):
            found.setdefault(part, []).append((offer, share))
    for food, met in found.items():
        met.sort(key=lambda one: one[0].whole.high, reverse=True)
        yield Meeting(animal, food, tuple(met))


# -- what is said ----------------------------------------------------------------------------------


def _never(diet: Diet, meeting: Meeting) -> Check:
    return _breach(
        diet,
        meeting,
        about=f"{meeting.animal.id} must never have it",
        why="which its record says it must never have",
        severity=Severity.HIGH,
    )


def _unwell(diet: Diet, meeting: Meeting, entry: str, condition: Condition) -> Check:
    return _breach(
        diet,
        meeting,
        about=f"{meeting.animal.id}: {condition.id}",
        why=f'and its record says "{entry}" ({condition.mark})',
        severity=condition.severity,
        note=condition.note,
    )


def _breach(
    diet: Diet, meeting: Meeting, *, about: str, why: str, severity: Severity, note: str = ""
) -> Check:
    animal, food = meeting.animal, meeting.food
    own = any(is_own(offer.line, animal) for offer, _ in meeting.offers)
    most = diet.most_in_a_day(animal, food.id) if own else None
    amount = f"up to {format_interval(_top(most), 'g')} a day of " if most and _known(most) else ""
    way = "is offered" if own else "can get at, since the group is not fed apart,"
    if all(offer.leftover for offer, _ in meeting.offers):
        givers = dict.fromkeys(offer.group.called for offer, _ in meeting.offers)
        way = f"gets, in what is left over by {' and '.join(givers)},"
    return Check(
        verdict=Verdict.BREACH,
        about=about,
        food=food.id,
        severity=severity,
        message=f'{animal.called}: {way} {amount}"{food.id}"{_inside(meeting)}, {why}.',
        advice="Leave it out, or feed this animal on its own without it; what it has had so far "
        "is for the vet to know.",
        animals=(animal.id,),
        measured=Measure(most, "g") if most and _known(most) else None,
        occasions=tuple(
            sorted(
                {
                    When(o.on, o.number, o.slot, o.meal)
                    for offer, _ in meeting.offers
                    for o in offer.occasions
                }
            )
        ),
        working=(*dict.fromkeys(_laid_out(meeting)), *([note] if note else [])),
        places=(*(offer.line.place.at("food") for offer, _ in meeting.offers), animal.place),
    )


def _inside(meeting: Meeting) -> str:
    mixes = dict.fromkeys(
        offer.line.food.id for offer, _ in meeting.offers if offer.line.food is not meeting.food
    )
    return f" (in {', '.join(mixes)})" if mixes else ""


def _laid_out(meeting: Meeting) -> Iterator[str]:
    for offer, share in meeting.offers:
        line, grams = offer.line, offer.whole * share
        whom = f"for {', '.join(line.for_animals)}" if line.for_animals else "for the whole group"
        shown = format_interval(grams, "g") if _known(grams) else "an amount not known in grams"
        if offer.leftover:
            yield f"{shown} of {meeting.food.id} left over by {offer.group.called} in one giving"
            continue
        yield f"{line.food.id}, {line.amount.text}, {whom}: {shown} of {meeting.food.id} laid out"


def _top(grams: Interval) -> Interval:
    return Interval(grams.high, grams.high)


def _known(grams: Interval) -> bool:
    return grams.is_bounded and grams.high > 0


def _unheard_of(diet: Diet, animal: Animal) -> Iterator[Check]:
    """A word under `never` that no food is called by keeps nothing away."""
    for word in animal.never:
        listed = word in diet.collection.foods or find_foods(" ".join(tokens(word)))
        if not listed and not any(
            any_holds(map(tokens, food.names()), (word,)) for food in diet.collection.foods.values()
        ):
            yield Check(
                verdict=Verdict.CANNOT_TELL,
                about=f'{animal.id}: "{word}" under never',
                severity=Severity.LOW,
                message=f'{animal.called}: "{word}" stands under never, and no food in the list '
                "or the bundled table goes by that name, so nothing is kept away by it.",
                advice="Correct the name, or write the foods that are meant one by one.",
                animals=(animal.id,),
                settles=f'which foods "{word}" means',
                places=(animal.place.at("never"),),
            )
