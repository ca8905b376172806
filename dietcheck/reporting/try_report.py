"""May this be given? The answer for each animal, put together from two screens of one collection.

Every figure is that of the diets the rules judged, with the draft and without it.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from datetime import date
from typing import Literal

from msgspec.structs import replace

from dietcheck.collection.animals import Animal
from dietcheck.collection.feeding import DietSheet, Line, Rota
from dietcheck.history.lookback import Lookback
from dietcheck.nutrition.diet import Diet
from dietcheck.nutrition.energy import energy_method, energy_of
from dietcheck.nutrition.fruit import fruit_share
from dietcheck.nutrition.plan import PlannedDay
from dietcheck.nutrition.portions import Portion
from dietcheck.nutrition.shares import share_of
from dietcheck.nutrition.treats import TreatLedger, is_treat
from dietcheck.quantities import Interval, exact, total
from dietcheck.reporting.try_answers import (
    ASKED,
    RANK,
    Answer,
    Fed,
    Giving,
    GroupAnswer,
    TryReport,
    answer_of,
    worst,
)
from dietcheck.reporting.try_fortnight import fortnight_of
from dietcheck.screening.difference import Difference, difference
from dietcheck.screening.findings import Finding
from dietcheck.screening.limits import Limit, Limits
from dietcheck.screening.packs import LoadedRule
from dietcheck.screening.report import RECORDS_RULE, Report
from dietcheck.screening.room import Option, Room, give_less, leave_out

PIECE_SIZE = "piece-size"
"""The quantity of a limit on how large or small a piece may be."""


def try_out(
    before: Report, after: Report, rules: Sequence[LoadedRule], earlier: Lookback
) -> TryReport:
    """Answer for every group that the drafts touch or that has a finding through them.

    `rules` and `earlier` are what the second screen was made with.
    """
    drafts = frozenset(after.drafts)
    unread = tuple(
        finding
        for finding in after.findings
        if finding.rule == RECORDS_RULE and any(p.file in drafts for p in finding.check.places)
    )
    differing = difference(before, after)
    worse = worse_of(differing)
    groups: list[GroupAnswer] = []
    if after.diets and before.diets is not None and not unread:
        with_findings = {finding.group for finding in worse}
        for name, diet in after.diets.items():
            if name in with_findings or _is_touched(diet, drafts):
                groups.append(_Answering(before, after, rules, earlier, differing, diet).answer())
    # A record that could not be read before either may hold what this must be judged against.
    still = [f for f in after.findings if f.rule == RECORDS_RULE and f not in worse]
    elsewhere = tuple(f for f in (*worse, *still) if f.group is None and f not in unread)
    told = (g for g in groups if g.is_changed or g.findings or g.givings)
    in_order = tuple(sorted(told, key=lambda group: RANK[group.answer]))
    return TryReport(before, after, in_order, elsewhere, unread)


def worse_of(differing: Difference) -> list[Finding]:
    """What is new or worse, in the order of a report."""
    found = [*differing.new, *(now for _, now in differing.worsened)]
    return sorted(found, key=lambda finding: finding.severity.rank)


def _is_touched(diet: Diet, drafts: frozenset[str]) -> bool:
    """Whether a group, its plan or a food that it is given stands in one of the drafts."""
    collection, name = diet.collection, diet.group.id
    places = [
        collection.settings.place,
        diet.group.place,
        *(sheet.place for sheet in collection.sheets.get(name, ())),
        *(rota.place for rota in collection.rotas.get(name, ())),
        *(gift.place for gift in collection.treats.get(name, ())),
    ]
    if any(place.file in drafts for place in places):
        return True
    foods = {offer.line.food for offer in diet.offers()}
    return any(part.place.file in drafts for food in foods for part, _ in food.all_parts())


def figures(diet: Diet, animal: Animal, day: PlannedDay) -> tuple[Interval, ...]:
    """The `FIGURES` of one animal on one day."""
    ration = diet.day_ration(animal, day)
    method = energy_method(diet.group.taxon)
    treats = TreatLedger(diet, animal).over([day])
    share = share_of(energy_of(treats.given, method), energy_of(treats.rest, method))
    return (
        ration.grams(),
        ration.total("dry_matter"),
        energy_of(ration, method),
        ration.total("sugars"),
        total(grams * fruit_share(food) for food, grams in ration.grams_of.items()),
        share * exact(100),
    )


class _Answering:
    """One group: its day, its animals, what is new for them, and what would make room."""

    def __init__(
        self,
        before: Report,
        after: Report,
        rules: Sequence[LoadedRule],
        earlier: Lookback,
        differing: Difference,
        diet: Diet,
    ) -> None:
        assert before.diets is not None
        self._before, self._after = before, after
        self._rules, self._earlier = rules, earlier
        self._drafts = frozenset(after.drafts)
        self._was: Diet | None = before.diets.get(diet.group.id)
        self._diet = diet
        worse = worse_of(differing)
        self._findings = tuple(finding for finding in worse if finding.group == diet.group.id)
        new = {finding.id for finding in differing.new}
        grave = tuple(finding for finding in self._findings if answer_of(finding) != "yes")
        open_ = (f for f in self._findings if f.id in new and f.accepted is None)
        # What hangs on no amount stays, whatever is left out.
        self._targets = grave or tuple(f for f in open_ if f.check.limit is not None)
        gifts = diet.collection.treats.get(diet.group.id, ())
        self._dates = tuple(sorted({g.on for g in gifts if g.place.file in self._drafts}))
        judged = sorted({day.on for day in diet.days})
        self._unjudged = tuple(on for on in self._dates if on not in judged)
        wanted = self._dates or [day for day in judged if day >= self._first()]
        to_come = [on for on in wanted if on >= diet.on]
        self._day = next(iter((*to_come, *wanted[-1:])), None)
        self._lines = tuple(self._new_lines())

    def answer(self) -> GroupAnswer:
        """The whole answer for the group."""
        return GroupAnswer(
            diet=self._diet,
            day=self._day,
            dates=self._dates,
            unjudged=self._unjudged,
            fed=tuple(self._fed()),
            givings=tuple(self._givings()),
            findings=self._findings,
            leave_out=self._room("leave out"),
            give_less=self._room("give less"),
            open_before=tuple(self._open_before()),
            method=energy_method(self._diet.group.taxon).described,
        )

    def _first(self) -> date:
        """The day from which a draft's sheet or rota is in force; else the judged day."""
        collection, name = self._diet.collection, self._diet.group.id
        records: tuple[DietSheet | Rota, ...] = (
            *collection.sheets.get(name, ()),
            *collection.rotas.get(name, ()),
        )
        starts = [one.start for one in records if one.place.file in self._drafts]
        return max(self._diet.on, min(starts, default=self._diet.on))

    def _new_lines(self) -> Iterator[Line]:
        """The lines of the day that stand in a draft and were not the same before."""
        if self._day is None:
            return
        was = [] if self._was is None else _lines(self._was.day(self._day))
        known = {_written(line) for line in was}
        for line in dict.fromkeys(_lines(self._diet.day(self._day))):
            if line.place.file in self._drafts and _written(line) not in known:
                yield line

    def _givings(self) -> Iterator[Giving]:
        if self._day is None:
            return
        told: set[Line] = set()
        for animal in self._diet.animals:
            for feed, portions in self._diet.feeds(animal, self._diet.day(self._day)):
                for portion in portions:
                    if portion.line in self._lines and portion.line not in told:
                        told.add(portion.line)
                        yield Giving(
                            portion.line,
                            feed.slot,
                            portion.grams,
                            self._pieces(portion),
                            self._size(animal),
                        )

    def _pieces(self, portion: Portion) -> Interval | None:
        """How many pieces an animal gets; None where nobody can tell."""
        amount, piece = portion.line.amount, portion.food.piece
        if amount.dimension != "piece" or amount.per == "kg body mass":
            return portion.grams / piece if piece and piece.low else None
        if amount.per == "animal" or self._day is None:
            return amount.quantity
        named = portion.line.for_animals
        heads = [a.count for a in self._diet.present(self._day) if not named or a.id in named]
        return amount.quantity / sum(heads[1:], heads[0])

    def _size(self, animal: Animal) -> Limit | None:
        limits = Limits(row for rows in self._after.limits.values() for row in rows)
        applied = limits.applying(self._diet.group, PIECE_SIZE, stage=animal.stage)
        return applied.limit if applied else None

    def _fed(self) -> Iterator[Fed]:
        alike: dict[Hashable, list[Animal]] = {}
        shown: dict[Hashable, Fed] = {}
        food = self._lines[0].food if self._lines and is_treat(self._lines[0]) else None
        earlier = {a.id: a for a in self._was.animals} if self._was else {}
        for animal in self._diet.animals:
            known = earlier.get(animal.id)
            before = after = fortnight = None
            if self._day is not None and animal.is_here(self._day):
                after = figures(self._diet, animal, self._diet.day(self._day))
                fortnight = fortnight_of(
                    self._after, self._was, self._diet, animal, self._day, food
                )
                if self._was is not None and known is not None:
                    before = figures(self._was, known, self._was.day(self._day))
            fed = Fed((), self._answer(animal), before, after, fortnight)
            key: Hashable = (
                fed.answer,
                before,
                after,
                fortnight and (fortnight.after, fortnight.left),
            )
            alike.setdefault(key, []).append(animal)
            shown.setdefault(key, fed)
        for key, animals in sorted(alike.items(), key=lambda one: RANK[shown[one[0]].answer]):
            yield replace(shown[key], animals=tuple(animals))

    def _answer(self, animal: Animal) -> Answer:
        found: list[Answer] = [
            answer_of(finding)
            for finding in self._findings
            if not finding.check.animals or animal.id in finding.check.animals
        ]
        unread = any(finding.rule == RECORDS_RULE for finding in self._after.findings)
        if self._unjudged or self._day is None or unread:
            found.append("cannot tell")
        return worst(found)

    def _room(self, kind: Literal["leave out", "give less"]) -> Option | None:
        """What would clear everything that is new, as far as it hangs on an amount."""
        targets = self._targets
        if not targets or self._day is None or any(f.check.limit is None for f in targets):
            return None
        if kind == "leave out":
            options = leave_out(self._diet, self._day, self._later_slots())
        else:
            options = give_less(self._diet, self._day, self._lines)
        room = Room(
            self._before,
            self._after,
            self._rules,
            self._diet.group.id,
            self._dates,
            self._earlier,
            targets,
        )
        return room.smallest(options)

    def _later_slots(self) -> frozenset[str]:
        """The feeds in which something can still be left out: today those from the draft's own on,
        on a later day all of them."""
        assert self._day is not None
        settings = self._diet.settings
        order = settings.slots
        feeds = self._diet.day(self._day).feeds
        given = [f.slot for f in feeds if any(line in self._lines for line in f.lines)]
        if self._day > self._diet.on or not given or given[0] not in settings.feeds:
            return frozenset(feed.slot for feed in feeds)
        later = order[order.index(given[0]) :]
        return frozenset(later)

    def _open_before(self) -> Iterator[Finding]:
        new = {finding.id for finding in self._findings}
        for finding in self._after.findings:
            of_group = finding.group == self._diet.group.id and finding.id not in new
            if of_group and finding.accepted is None and finding.severity in ASKED:
                yield finding


def _lines(day: PlannedDay) -> list[Line]:
    return [line for feed in day.feeds for line in feed.lines]


def _written(line: Line) -> Hashable:
    return line.food.id, line.amount.text, line.cut, line.treat, line.for_animals, line.presentation
