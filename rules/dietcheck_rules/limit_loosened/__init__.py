"""A limit that is weakened is a decision of its own, and never a detail of a change of diet.

Compared with the earlier version: the limits of the house, its do-not-feed list, what is kept from
single animals, the settings of rules, the packs that are asked, what is left out of the check, and
acceptances inside a signature that already stood.
"""

from collections.abc import Iterable, Iterator

from dietcheck.contract import (
    Check,
    Diet,
    Rule,
    Severity,
    Verdict,
    World,
    files,
    guards_signed,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.limit_loosened.weakened import Weakened, unread, weakened
from dietcheck_rules.shared.pairing import is_unchanged

ABOUT = "limits against the last ones"


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="limit-loosened",
        title="No limit is weakened along with the diet that profits",
        folder=files(__name__),
    )


@hookimpl
def judge_collection(world: World) -> Iterable[Check]:
    """A finding for each limit, list entry, setting or acceptance that became weaker.

    It is put to each group that profits. Where none does, to the one group that it is for; what is
    for several stands with the collection.
    """
    earlier = world.earlier.collection
    if earlier is None:
        yield not_applicable(ABOUT, f"Limits could not be compared: {world.earlier.why_not}.")
        return
    repository = world.earlier.repository
    records = [one.file for one in repository.files if one.data is not None] if repository else []
    found = [*weakened(earlier, world.collection), *unread(earlier, world.collection, records)]
    signed = guards_signed(world.collection, world.on)
    for one in found:
        profiting = list(_profiting(world, one))
        for diet in profiting:
            yield _said(world, one, diet.group.id, diet)
        if not profiting and signed is not None:
            yield _kept(f"{one.what}: signed by itself by {signed.by} on {signed.on}.")
        elif not profiting:
            yield _said(world, one, _only_group(world, one))
    if not found:
        yield _kept(
            f"No limit, list, setting or acceptance is weaker than in {world.earlier.described}."
        )


def _kept(message: str) -> Check:
    return Check(verdict=Verdict.KEPT, about=ABOUT, severity=Severity.LOW, message=message)


def _profiting(world: World, one: Weakened) -> Iterator[Diet]:
    """Groups that the limit is for and whose diet changes at the same time."""
    for diet in world.diets.values():
        if one.concerns(diet.group) and _has_changed(diet, world):
            yield diet


def _only_group(world: World, one: Weakened) -> str | None:
    """The group, where what became weaker is for one alone."""
    concerned = [name for name, diet in world.diets.items() if one.concerns(diet.group)]
    return concerned[0] if len(concerned) == 1 else None


def _has_changed(diet: Diet, world: World) -> bool:
    earlier = world.earlier.collection
    if earlier is None or not is_unchanged(diet):
        return True
    gifts = [
        [(gift.on, gift.slot, [(line.food.id, line.amount.text) for line in gift.lines])
         for gift in collection.treats.get(diet.group.id, ())]
        for collection in (earlier, world.collection)
    ]  # fmt: skip
    return gifts[0] != gifts[1]


def _said(world: World, one: Weakened, group: str | None, profits: Diet | None = None) -> Check:
    then = " It needs its own sign-off."
    if profits is not None:
        called = profits.group.called
        then = f" In the same change the diet of {called} changes, which it guards."
    return Check(
        verdict=Verdict.BREACH,
        about=one.about,
        severity=Severity.MEDIUM if profits is None else Severity.HIGH,
        message=f"{one.what}.{then}",
        advice="Have the vet sign this change by itself: “dietcheck sign --limits”."
        if profits is None
        else "Put it back, and change the limit alone, with the vet's signature and reason, "
        "before the diet.",
        animals=tuple(animal.id for animal in profits.animals) if profits else (),
        working=one.working,
        places=(one.place or world.collection.settings.place,),
        group=group,
    )
