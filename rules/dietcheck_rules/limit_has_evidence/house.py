"""The limits a collection has set itself: who set them, and whether they guard anything."""

from collections.abc import Iterator
from decimal import Decimal
from difflib import get_close_matches

from dietcheck.contract import (
    Check,
    Limit,
    Pointer,
    Severity,
    SiteLimit,
    Standing,
    Verdict,
    World,
    known_taxon_name,
    near_taxa,
)
from dietcheck_rules.shared.wording import limit_words

# The stages that an animal may be in; a limit for any other word is never looked up.
STAGES = (
    "adult", "all", "geriatric", "growing", "infant", "juvenile", "lactating", "pregnant",
)  # fmt: skip
COUNTS = frozenset({"count", "ratio"})


def judge(world: World, limit: SiteLimit) -> Iterator[Check]:
    """Everything that is the matter with one limit of the house."""
    yield from _guards_nothing(world, limit)
    yield from _by_nobody(world, limit)
    yield from _looser(world, limit)


def _guards_nothing(world: World, limit: SiteLimit) -> Iterator[Check]:
    bundled = [
        row
        for rows in world.limits.values()
        for row in rows
        if row.standing is not Standing.SITE_RULE
    ]
    same = [row for row in bundled if row.quantity == limit.quantity]
    if not same:
        names = sorted({row.quantity for row in bundled})
        near = get_close_matches(limit.quantity, names, n=3, cutoff=0.5)
        yield _dead(
            limit,
            limit.place.at("quantity"),
            f'no rule reads "{limit.quantity}"',
            f"Nearest: {', '.join(near)}." if near else f"Rules read: {', '.join(names)}.",
        )
    elif not _same_kind(limit, same):
        yield _dead(
            limit,
            limit.place.at("at_most" if limit.at_most else "at_least"),
            f"{limit.quantity} is {_kind(same[0].basis)} and the limit is written as "
            f"{_kind(_basis(limit))}",
            f"Rules write it as {limit_words(same[0])}." if _bounded(same[0]) else "",
        )
    yield from _on_food(world, limit, same)
    if limit.taxon is not None and not known_taxon_name(limit.taxon):
        near_names = near_taxa(limit.taxon)
        if not any(g.taxon.is_in(limit.taxon) for g in world.collection.groups.values()):
            yield _dead(
                limit,
                limit.place.at("taxon"),
                f'"{limit.taxon}" is no scientific name that the tool knows',
                f"Nearest: {', '.join(near_names)}." if near_names else "",
            )
    if limit.group is not None and limit.group not in world.collection.groups:
        near_ids = get_close_matches(limit.group, world.collection.groups, n=3, cutoff=0.5)
        yield _dead(
            limit,
            limit.place.at("group"),
            f'no group has the id "{limit.group}"',
            f"Nearest: {', '.join(near_ids)}." if near_ids else "",
        )
    if limit.stage is not None and limit.stage not in STAGES:
        yield _dead(
            limit,
            limit.place.at("stage"),
            f'no animal is ever in the stage "{limit.stage}"',
            f"Stages are {', '.join(STAGES)}.",
        )


def _on_food(world: World, limit: SiteLimit, same: list[Limit]) -> Iterator[Check]:
    """A limit on one food: only some quantities are read that way, and the food must be there."""
    if limit.food is None or not same:
        return
    if all(row.food is None for row in same):
        yield _dead(
            limit,
            limit.place.at("food"),
            f"{limit.quantity} is never read for one food alone",
            "How often one food may come is same-item or same-item-in-a-row.",
        )
        return
    foods = world.collection.foods
    words = {*foods, *(food.food_class for food in foods.values())}
    if limit.food not in words:
        near = get_close_matches(limit.food, sorted(words), n=3, cutoff=0.5)
        yield _dead(
            limit,
            limit.place.at("food"),
            f'"{limit.food}" is no food and no class of food here',
            f"Nearest: {', '.join(near)}." if near else "",
        )


def _dead(limit: SiteLimit, place: Pointer, why: str, hint: str) -> Check:
    return Check(
        verdict=Verdict.BREACH,
        about=f"limit guards nothing: {_named(limit)} {place.path[-1]}",
        severity=Severity.MEDIUM,
        message=f"The limit of {limit.set_by} for {_named(limit)} guards nothing: {why}.",
        advice=f"{hint} Correct it, or take it out so that nobody relies on it.".strip(),
        places=(place,),
    )


def _same_kind(limit: SiteLimit, rows: list[Limit]) -> bool:
    """Whether the limit counts where rules count, and measures where they measure.

    Finer differences of unit are reported by the rule that reads the limit.
    """
    kinds = {row.basis in COUNTS for row in rows if row.basis}
    return not kinds or (_basis(limit) in COUNTS) in kinds


def _basis(limit: SiteLimit) -> str:
    bound = limit.at_most or limit.at_least
    return bound.basis if bound else ""


def _kind(basis: str) -> str:
    return "a count" if basis in COUNTS else "an amount or a share"


def _bounded(row: Limit) -> bool:
    return row.at_most is not None or row.at_least is not None


def _by_nobody(world: World, limit: SiteLimit) -> Iterator[Check]:
    signers = [one for one in world.collection.settings.signers if one.name == limit.set_by]
    allowed = any(
        one.start <= limit.on and (one.until is None or limit.on <= one.until) for one in signers
    )
    why = ""
    if limit.on > world.on:
        why = f"it is dated {limit.on}, after the day that is judged ({world.on})"
    elif not signers:
        why = f"{limit.set_by} is not among those who may sign"
    elif not allowed:
        why = f"{limit.set_by} could not sign on {limit.on}"
    if why:
        yield Check(
            verdict=Verdict.BREACH,
            about=f"limit by nobody: {_named(limit)}",
            severity=Severity.LOW,
            message=f"The limit for {_named(limit)} has nobody behind it: {why}.",
            advice="Let someone who may sign set it, or correct may_sign in dietcheck.yaml.",
            places=(limit.place.at("set_by"),),
        )


def _looser(world: World, limit: SiteLimit) -> Iterator[Check]:
    """A limit of the house that is looser than a published one; the published one applies."""
    for rows in world.limits.values():
        own = next((row for row in rows if row.place == limit.place and row.set_by), None)
        if own is None:
            continue
        looser = [row for row in rows if _is_looser(own, row) and _meet(world, own, row)]
        if looser:
            strictest = min(looser, key=lambda row: row.strictness())
            yield Check(
                verdict=Verdict.BREACH,
                about=f"limit looser than the published one: {_named(limit)}",
                severity=Severity.LOW,
                message=f"The limit of {limit.set_by} for {_named(limit)}, {limit_words(own)}, is "
                f"looser than the published {limit_words(strictest)}. The published one applies.",
                advice="Take the looser limit out, or have the vet accept what the published one "
                "finds, with the reason.",
                limit=strictest,
                others=(own,),
                places=(limit.place,),
            )
            return


def _is_looser(own: Limit, row: Limit) -> bool:
    if row.standing is not Standing.PUBLISHED or row.condition is not None:
        return False
    if (own.quantity, own.basis, own.unit) != (row.quantity, row.basis, row.unit):
        return False
    if own.over != row.over or (own.stage or "adult") != (row.stage or "adult"):
        return False
    return _above(own.at_most, row.at_most) or _above(row.at_least, own.at_least)


def _above(one: Decimal | None, other: Decimal | None) -> bool:
    return one is not None and other is not None and one > other


def _meet(world: World, own: Limit, row: Limit) -> bool:
    """Whether some group of the collection falls under both limits."""
    return any(
        (group.id == own.group if own.group else group.taxon.is_in(own.taxon))
        and group.taxon.is_in(row.taxon)
        for group in world.collection.groups.values()
    )


def _named(limit: SiteLimit) -> str:
    return f"{limit.quantity} of {limit.group or limit.taxon}"
