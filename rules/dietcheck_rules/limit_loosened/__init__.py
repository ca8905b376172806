"""A limit that is weakened is a decision of its own, and never a detail of a change of diet.

Compared with the earlier version: the limits of the house, its do-not-feed list, what is kept from
single animals, the settings of rules, and acceptances inside a signature that already stood.
"""

from collections.abc import Iterable, Iterator
from importlib.resources import files

from dietcheck.contract import (
    Check,
    Diet,
    Rule,
    Severity,
    Verdict,
    World,
    guards_signed,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.limit_loosened.weakened import Weakened, weakened
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
    """One finding for each limit, list entry, setting or acceptance that became weaker."""
    earlier = world.earlier.collection
    if earlier is None:
        yield not_applicable(ABOUT, f"Limits could not be compared: {world.earlier.why_not}.")
        return
    found = list(weakened(earlier, world.collection))
    signed = guards_signed(world.collection, world.on)
    for one in found:
        diets = list(_profiting(world, one))
        if signed is not None and not diets:
            yield _kept(f"{one.what}: signed by itself by {signed.by} on {signed.on}.")
        else:
            yield _said(world, one, diets)
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


def _said(world: World, one: Weakened, diets: list[Diet]) -> Check:
    who = ", ".join(diet.group.called for diet in diets[:4])
    more = f" and {len(diets) - 4} more" if len(diets) > 4 else ""
    together = (
        f" In the same change the diet of {who}{more} changes, which it guards." if diets else ""
    )
    return Check(
        verdict=Verdict.BREACH,
        about=one.about,
        severity=Severity.HIGH if diets else Severity.MEDIUM,
        message=f"{one.what}.{together or ' It needs its own sign-off.'}",
        advice="Put it back, and change the limit alone, with the vet's signature and reason, "
        "before the diet."
        if diets
        else "Have the vet sign this change by itself: “dietcheck sign --limits”.",
        animals=tuple(animal.id for diet in diets for animal in diet.animals),
        working=one.working,
        places=(one.place or world.collection.settings.place,),
    )
