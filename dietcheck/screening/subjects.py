"""What a rule on one group may see: the part of the records that the group's diet hangs on.

Rules on groups see nothing else, now or in the earlier version. So what they say can be kept under
a digest of that part (`kept_verdicts`), and a change elsewhere cannot alter it unseen.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from functools import cached_property

from msgspec import Struct

from dietcheck.collection.collection import Collection
from dietcheck.collection.parts import Parts
from dietcheck.history.log import Log
from dietcheck.history.lookback import Lookback
from dietcheck.nutrition.diet import Diet, diets_of


class Scope(Struct, frozen=True):
    """The groups that a diet hangs on, now and in the earlier version."""

    now: tuple[str, ...]
    then: tuple[str, ...]


class Subjects:
    """Every group with its part of the records."""

    def __init__(self, collection: Collection, on: date, earlier: Lookback) -> None:
        self._on = on
        self._earlier = earlier
        self._now = Parts(collection)
        self._last: tuple[Scope, dict[str, Diet]] | None = None

    def scope(self, group: str) -> Scope:
        """What the group's diet hangs on."""
        now = self._now.around((group,))
        return Scope(now, () if self._then is None else self._then.around(now))

    def diet(self, group: str) -> Diet:
        """The group's diet, in its part of the records. Groups of one part that are asked for one
        after the other share it."""
        scope = self.scope(group)
        if self._last is None or self._last[0] != scope:
            self._last = scope, self._cut(scope)
        return self._last[1][group]

    def log(self, scope: Scope) -> Log | None:
        """Who changed what of it when."""
        log = self._earlier.log
        return log and log.part((*self._files(scope.now), *self._shared))

    def _cut(self, scope: Scope) -> dict[str, Diet]:
        then = None if self._then is None else self._then.cut(scope.then)
        earlier = self._earlier.part(then, self.log(scope))
        past: dict[str, Diet] = {}

        def before() -> dict[str, Diet]:
            if not past and earlier.collection is not None:
                past.update(diets_of(earlier.collection, self._on))
            return past

        return diets_of(self._now.cut(scope.now), self._on, before, earlier)

    @cached_property
    def _then(self) -> Parts | None:
        then = self._earlier.collection
        return None if then is None else Parts(then)

    @cached_property
    def _shared(self) -> frozenset[str]:
        """The files of what is everybody's: git may be asked about these for any group."""
        collection = self._now.collection
        foods = (*collection.foods.values(), *collection.strangers.values())
        return frozenset(food.place.file for food in foods)

    def _files(self, groups: tuple[str, ...]) -> Iterator[str]:
        collection = self._now.collection
        for group in groups:
            for sheet in collection.sheets.get(group, ()):
                yield sheet.place.file
            for rota in collection.rotas.get(group, ()):
                yield rota.place.file
        yield from (one.place.file for one in self._now.sign_offs(groups))
