"""The collection's own settings: feeds a day, review intervals, signers, switched rules."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Literal

from msgspec import Struct, field

from dietcheck.collection.places import Pointer
from dietcheck.collection.slots import slot_order
from dietcheck.quantities import Bound, Interval, Period
from dietcheck.tables.taxa import Taxon

Setting = Literal["off", "high", "medium", "low"]


SIGN_WITHIN = Period(days=7)
"""How long a new or changed diet may wait for its signature where the collection does not say.
Common practice, no source."""


class Signer(Struct, frozen=True):
    """Someone who may sign, in a role, between two dates."""

    name: str
    role: str
    start: date
    until: date | None


class RuleSetting(Struct, frozen=True):
    """A rule switched off or graded anew by the collection, with the reason and the person."""

    rule: str
    to: Setting
    why: str
    set_by: str
    on: date
    place: Pointer


class DoNotFeed(Struct, frozen=True):
    """An item this collection does not feed to some taxa or groups."""

    name: str
    also_called: tuple[str, ...]
    organism: str | None
    part: str | None
    form: str | None
    taxa_or_groups: tuple[str, ...]
    severity: str
    why: str
    set_by: str
    on: date
    place: Pointer


class DiseaseZone(Struct, frozen=True):
    """A disease control zone that the site lies in; without `until` it still stands."""

    disease: str
    start: date
    until: date | None
    place: Pointer


class Season(Struct, frozen=True):
    """A season by its first and last day (month, day), every year; it may run over new year.

    The last day 02-29 is the end of February in every year.
    """

    name: str
    start: tuple[int, int]
    until: tuple[int, int]
    needed_by: tuple[str, ...]  # groups or taxa that need a sheet for it
    place: Pointer

    def holds(self, on: date) -> bool:
        """Whether a day lies in the season."""
        day = on.month, on.day
        if self.start <= self.until:
            return self.start <= day <= self.until
        return day >= self.start or day <= self.until


class SiteLimit(Struct, frozen=True):
    """A limit the collection has set for itself, with person, date and reason."""

    taxon: str | None
    group: str | None
    quantity: str
    at_least: Bound | None
    at_most: Bound | None
    over: str
    stage: str | None
    severity: str
    why: str
    set_by: str
    on: date
    source: str | None
    place: Pointer
    food: str | None = None


class Acceptance(Struct, frozen=True):
    """A risk that a signer accepted: which rule, for whom, why, until when.

    `up_to` is the most of the food, in grams, that each animal may be offered in a day under it.
    `content`, `heads` and `weights` hold what it was given for: the digest of the diet, or of what
    the diet has of the food; how many animals; between which weights, in grams, each is to stay.
    """

    rule: str
    group: str
    food: str | None
    animals: tuple[str, ...]
    reason: str
    until: date
    place: Pointer
    up_to: Interval | None = None
    content: str | None = None
    heads: Interval | None = None
    weights: tuple[tuple[str, Interval], ...] = ()  # animal, its band


class SignOff(Struct, frozen=True):
    """A signature under the diets of some groups, with the risks accepted in it."""

    by: str
    role: str
    on: date
    groups: tuple[str, ...]
    content: Mapping[str, str]  # group → digest of its diet as it was signed
    next_review: date | None
    accepts: tuple[Acceptance, ...]
    place: Pointer
    conditions: tuple[str, ...] = ()
    limits: str | None = None  # digest of the limits that were signed, see history.guards

    @property
    def names(self) -> frozenset[str]:
        """The groups that it speaks of."""
        return frozenset((*self.groups, *self.content, *(one.group for one in self.accepts)))


class Settings(Struct, frozen=True):
    """What `dietcheck.yaml` says."""

    name: str
    country: str
    feeds: tuple[str, ...]
    extra_feeds: tuple[str, ...]
    rota_days: int
    review_every: Period | None
    weigh_every: Mapping[str, Period]
    ad_lib_spread: Interval
    signers: tuple[Signer, ...]
    packs: tuple[str, ...]
    rules: tuple[RuleSetting, ...]
    do_not_feed: tuple[DoNotFeed, ...]
    disease_zones: tuple[DiseaseZone, ...]
    place: Pointer
    seasons: Mapping[str, Season] = field(default_factory=dict)
    sign_within: Period = SIGN_WITHIN
    leave_out: tuple[str, ...] = ()  # files and folders that are no records

    @property
    def slots(self) -> tuple[str, ...]:
        """Every feed of a day in its order; those that could lie anywhere in it come last."""
        order = slot_order(self.feeds, self.extra_feeds)
        loose = [slot for slot in self.extra_feeds if slot not in order]
        return (*sorted(order, key=order.__getitem__), *loose)

    def weigh_within(self, taxon: Taxon) -> Period | None:
        """How old a weighing of that species may be: the most specific line of `weigh_every`."""
        named = [name for name in self.weigh_every if taxon.is_in(name)]
        return self.weigh_every[min(named, key=taxon.rank_distance)] if named else None

    def zone(self, disease: str, on: date) -> DiseaseZone | None:
        """The zone of that disease that stands on a day, or is to come; None when there is none.

        A zone that has been announced counts at once: its food may be in the store by then. One
        that ends before it begins is a slip of the pen and counts as one without an end.
        """
        standing = (
            zone
            for zone in self.disease_zones
            if zone.disease == disease
            and (zone.until is None or zone.until >= on or zone.until < zone.start)
        )
        return min(standing, key=lambda zone: zone.start, default=None)
