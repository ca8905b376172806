"""What guards less than it did: one value for each thing that became weaker."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping
from typing import TypeVar

from msgspec import Struct

from dietcheck.contract import (
    Acceptance,
    Bound,
    Collection,
    DoNotFeed,
    Group,
    Pointer,
    RuleSetting,
    SignOff,
    SiteLimit,
    format_bound,
)

Thing = TypeVar("Thing")
RANK = {"off": 0, "low": 1, "medium": 2, "high": 3}


class Weakened(Struct, frozen=True):
    """One thing that guards less now: what it is, whom it guards, and where it stands."""

    about: str
    what: str
    concerns: Callable[[Group], bool]
    place: Pointer | None = None
    working: tuple[str, ...] = ()


def weakened(before: Collection, after: Collection) -> Iterator[Weakened]:
    """Everything that became weaker from one version to the next."""
    yield from _limits(before.limits, after.limits)
    yield from _do_not_feed(before.settings.do_not_feed, after.settings.do_not_feed)
    yield from _kept_from(before.groups, after.groups)
    yield from _rules(before.settings.rules, after.settings.rules)
    yield from _acceptances(before.sign_offs, after.sign_offs)


def _by(things: Iterable[Thing], key: Callable[[Thing], Hashable]) -> dict[Hashable, list[Thing]]:
    found: dict[Hashable, list[Thing]] = {}
    for thing in things:
        found.setdefault(key(thing), []).append(thing)
    return found


# -- limits of the house ---------------------------------------------------------------------------


def _limits(olds: Iterable[SiteLimit], news: Iterable[SiteLimit]) -> Iterator[Weakened]:
    def key(limit: SiteLimit) -> Hashable:
        return limit.taxon, limit.group, limit.food, limit.quantity, limit.over, limit.stage

    now = _by(news, key)
    for old in olds:
        same = now.get(key(old), [])
        if any(_as_strict(new, old) for new in same):
            continue
        of_food = f" of {old.food} for" if old.food else " of"
        named = f"The limit on {old.quantity}{of_food} {old.group or old.taxon} ({old.over})"
        new = same[0] if same else None
        what = f"{named}, {_words(old)}, is gone"
        if new is not None:
            what = f"{named} was {_words(old)} and is {_words(new)}"
        yield Weakened(
            about=f"limit loosened: {old.quantity}{of_food} {old.group or old.taxon} "
            f"over {old.over} {old.stage or ''}".strip(),
            what=what,
            concerns=_of(old),
            place=new.place if new else None,
            working=(f"set by {old.set_by} on {old.on}: {old.why}",),
        )


def _of(limit: SiteLimit) -> Callable[[Group], bool]:
    def concerns(group: Group) -> bool:
        if limit.group is not None:
            return group.id == limit.group
        return limit.taxon is not None and group.taxon.is_in(limit.taxon)

    return concerns


def _as_strict(new: SiteLimit, old: SiteLimit) -> bool:
    """Whether a limit guards all that the old one did. In another unit nobody can tell."""
    return (
        _covers(new.at_most, old.at_most, lower=True)
        and _covers(new.at_least, old.at_least, lower=False)
        and RANK[new.severity] >= RANK[old.severity]
    )


def _covers(new: Bound | None, old: Bound | None, *, lower: bool) -> bool:
    if old is None:
        return True
    if new is None or (new.unit, new.basis) != (old.unit, old.basis):
        return False
    return new.value <= old.value if lower else new.value >= old.value


def _words(limit: SiteLimit) -> str:
    bounds = [("at least", limit.at_least), ("at most", limit.at_most)]
    said = [
        f"{word} {format_bound(bound.value)} {bound.unit} ({bound.basis})"
        for word, bound in bounds
        if bound is not None
    ]
    return f"{' and '.join(said)}, {limit.severity}"


# -- what is not fed -------------------------------------------------------------------------------


def _do_not_feed(olds: Iterable[DoNotFeed], news: Iterable[DoNotFeed]) -> Iterator[Weakened]:
    now = {new.name.casefold(): new for new in news}
    for old in olds:
        new = now.get(old.name.casefold())
        less = ["the entry"] if new is None else list(_less(new, old))
        if less:
            yield Weakened(
                about=f"do-not-feed entry loosened: {old.name}",
                what=f'The do-not-feed entry "{old.name}" for {", ".join(old.taxa_or_groups)} '
                + ("is gone" if new is None else f"guards less: {', '.join(less)}"),
                concerns=_listed(old.taxa_or_groups),
                place=new.place if new else None,
                working=(f"set by {old.set_by} on {old.on}: {old.why}",),
            )


def _less(new: DoNotFeed, old: DoNotFeed) -> Iterator[str]:
    if gone := set(old.taxa_or_groups) - set(new.taxa_or_groups):
        yield f"no longer for {', '.join(sorted(gone))}"
    if gone := set(old.also_called) - set(new.also_called):
        yield f"without the name {', '.join(sorted(gone))}"
    if RANK[new.severity] < RANK[old.severity]:
        yield f"{new.severity} where it was {old.severity}"
    for word in ("organism", "part", "form"):
        was, now = getattr(old, word), getattr(new, word)
        # Another organism or none finds less; so does a part or a form that was not asked for.
        if was != now and (was if word == "organism" else now):
            yield f"{word} {now or 'left out'} where it was {was or 'any'}"


def _listed(names: tuple[str, ...]) -> Callable[[Group], bool]:
    return lambda group: any(group.id == name or group.taxon.is_in(name) for name in names)


def _kept_from(before: Mapping[str, Group], after: Mapping[str, Group]) -> Iterator[Weakened]:
    """Foods that were kept from an animal that is still here."""
    for name, group in after.items():
        olds = {animal.id: animal for animal in before[name].animals} if name in before else {}
        for animal in group.animals:
            old = olds.get(animal.id)
            gone = sorted(set(old.never) - set(animal.never)) if old else []
            if gone:
                yield Weakened(
                    about=f"kept from one animal no longer: {animal.id}",
                    what=f"{animal.called}: {', '.join(gone)} is no longer under never",
                    concerns=_only(name),
                    place=animal.place,
                )


def _only(name: str) -> Callable[[Group], bool]:
    return lambda group: group.id == name


# -- rules and signatures --------------------------------------------------------------------------


def _rules(olds: Iterable[RuleSetting], news: Iterable[RuleSetting]) -> Iterator[Weakened]:
    was = {old.rule: old for old in olds}
    now = {new.rule: new for new in news}
    for rule in dict.fromkeys((*was, *now)):
        old, new = was.get(rule), now.get(rule)
        if new is not None and _is_weaker(new, old):
            before = old.to if old else "as it comes"
            yield Weakened(
                about=f"rule loosened: {rule}",
                what=f"The rule {rule} is set to {new.to} and was {before}",
                concerns=_everybody,
                place=new.place,
                working=(f"set by {new.set_by} on {new.on}: {new.why}",),
            )
        elif old is not None and new is None and old.to == "high":
            yield Weakened(
                about=f"rule loosened: {rule}",
                what=f"The rule {rule} was set to high and no longer is",
                concerns=_everybody,
                working=(f"set by {old.set_by} on {old.on}: {old.why}",),
            )


# -- what is asked and read at all -----------------------------------------------------------------


def unread(before: Collection, after: Collection, records: Iterable[str]) -> Iterator[Weakened]:
    """Rule packs that are no longer asked, and records that are no longer read; both hide all."""
    was, now = before.settings, after.settings
    for pack in dict.fromkeys(was.packs):
        if pack not in now.packs:
            yield Weakened(
                about=f"rule pack gone: {pack}",
                what=f"The rules of the pack {pack} are no longer asked",
                concerns=_everybody,
            )
    files = list(records)
    for name in dict.fromkeys(now.leave_out):
        top = name.rstrip("/")
        hidden = [file for file in files if file == top or file.startswith(f"{top}/")]
        if hidden:
            more = f" and {len(hidden) - 1} more" if hidden[1:] else ""
            yield Weakened(
                about=f"left out of the check: {top}",
                what=f"What stands in {top} is left out of the check, and was read: "
                f"{hidden[0]}{more}",
                concerns=_everybody,
            )


def _everybody(_: Group) -> bool:
    return True


def _is_weaker(new: RuleSetting, old: RuleSetting | None) -> bool:
    """A rule as it comes may grade high, so any lower grade for all it finds may hide that."""
    return RANK[new.to] < (RANK["high"] if old is None else RANK[old.to])


def _acceptances(olds: Iterable[SignOff], news: Iterable[SignOff]) -> Iterator[Weakened]:
    """Acceptances that grew inside a signature that already stood. A new one is its own act."""

    def key(one: SignOff) -> Hashable:
        return one.by, one.role, one.on, one.groups

    was = _by(olds, key)
    for new in news:
        before = [accepted for old in was.get(key(new), []) for accepted in old.accepts]
        if key(new) not in was:
            continue
        for accepted in new.accepts:
            if not any(_holds(accepted, old) for old in before):
                food = f" ({accepted.food})" if accepted.food else ""
                yield Weakened(
                    about=f"acceptance grew: {accepted.rule} {accepted.group} {accepted.food}",
                    what=f"The signature of {new.by} of {new.on} accepts more than when it was "
                    f"given: {accepted.rule} for {accepted.group}{food}",
                    concerns=_only(accepted.group),
                    place=accepted.place,
                    working=(f"accepted until {accepted.until}: {accepted.reason}",),
                )


def _holds(new: Acceptance, old: Acceptance) -> bool:
    """Whether all that is accepted now was accepted by the old one."""
    return (
        (new.rule, new.group) == (old.rule, old.group)
        and (old.food is None or new.food == old.food)
        and (not old.animals or (bool(new.animals) and set(new.animals) <= set(old.animals)))
        and new.until <= old.until
        and (old.up_to is None or (new.up_to is not None and new.up_to.high <= old.up_to.high))
    )
