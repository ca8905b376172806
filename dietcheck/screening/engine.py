"""Runs every rule over every group, and reports a rule that fails instead of trusting it."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Iterator, Mapping, Sequence
from datetime import date
from decimal import localcontext
from functools import partial

from msgspec import Struct
from msgspec.structs import replace

from dietcheck.collection.collection import Collection
from dietcheck.collection.settings import RuleSetting
from dietcheck.history.lookback import NO_LOOKBACK, Lookback
from dietcheck.nutrition.diet import Diet, diets_of
from dietcheck.screening.acceptance import Acceptances
from dietcheck.screening.checks import Check, Severity, Verdict
from dietcheck.screening.cores import shared, usual
from dietcheck.screening.findings import Finding, Judged, findings_of
from dietcheck.screening.kept_verdicts import NONE_KEPT, NothingKept
from dietcheck.screening.ledger import Ledger, Page
from dietcheck.screening.limits import Limit, Limits
from dietcheck.screening.packs import LoadedRule, source_keys
from dietcheck.screening.said import Failure, OfGroup, Said
from dietcheck.screening.sound import MOST, sound_check
from dietcheck.screening.subjects import Subjects
from dietcheck.screening.tables import TableError, bundled_limits, site_limits
from dietcheck.screening.watch import FOREIGN, Allowance, bounded_memory, described
from dietcheck.screening.world import World
from dietcheck.tables.taxa import known_taxon_name, near_taxa


class Outcome(Struct, frozen=True):
    """What the rules said: findings, the ledger of every check, failures, rules switched off."""

    findings: tuple[Finding, ...]
    judged: Ledger
    failures: tuple[Failure, ...]
    switched_off: tuple[RuleSetting, ...]
    limits: Mapping[str, tuple[Limit, ...]]
    diets: Mapping[str, Diet]


def run(
    collection: Collection,
    rules: Sequence[LoadedRule],
    on: date,
    first: Iterable[Judged] = (),
    earlier: Lookback = NO_LOOKBACK,
    only: Container[str] | None = None,
    cores: int | None = None,
    kept: NothingKept = NONE_KEPT,
) -> Outcome:
    """Judge a collection as at a day, in the light of an earlier version where there is one.

    `first` are checks made before the rules (bad files). `only` these groups are judged by the
    rules on groups; None: all. `cores` judge them side by side; None: as many as are worth it.
    What `kept` holds of a group is not judged again.
    """
    engine = _Engine(collection, rules, on, earlier, only, cores, kept)
    engine.said.judged.extend(first)
    with bounded_memory():
        ledger = engine.run()
    settings = collection.settings
    order = {loaded.rule.id: number for number, loaded in enumerate(rules)}
    return Outcome(
        findings=findings_of(
            ledger.open(),
            Acceptances(
                collection.sign_offs,
                settings.signers,
                on,
                engine.diets,
                collection,
            ),
        ),
        judged=ledger,
        failures=tuple(sorted(engine.said.failures, key=lambda one: order[one.rule])),
        switched_off=tuple(s for s in settings.rules if s.to == "off"),
        limits={rule: limits.rows for rule, limits in engine.limits.items()},
        diets=engine.diets,
    )


class _Engine:
    def __init__(
        self,
        collection: Collection,
        rules: Sequence[LoadedRule],
        on: date,
        earlier: Lookback,
        only: Container[str] | None,
        cores: int | None,
        kept: NothingKept,
    ) -> None:
        self._cores = cores
        self._kept = kept
        self._collection = collection
        self._rules = rules
        self._on = on
        self._settings = {s.rule: s for s in collection.settings.rules}
        self.said = Said()
        self.limits: dict[str, Limits] = {}
        self._earlier = earlier
        self._only = only
        self._past: Mapping[str, Diet] | None = None
        self.diets = diets_of(collection, on, self._before, earlier)
        self._subjects = Subjects(collection, on, earlier)

    def run(self) -> Ledger:
        """Judge one group after the other, then the whole."""
        rules = [loaded for loaded in self._rules if self._is_on(loaded)]
        for loaded in self._rules:
            self.limits[loaded.rule.id] = self._limits(loaded)
        time = [Allowance(f"the rule {loaded.rule.id}") for loaded in rules]
        groups = [group for group in self.diets if self._only is None or group in self._only]
        pages = []
        for group, of_group in self._groups(groups, rules, time).items():
            whole = of_group or self._lost(group, rules)
            pages.append(whole.page)
            self.said.failures += whole.failures
        world = self._world()
        for loaded, left in zip(rules, time, strict=True):
            if (judge := loaded.judge_collection) is not None:
                limits = self.limits[loaded.rule.id]
                judge = partial(judge, world=world, limits=limits)
                self.said.add(self._call(loaded, None, judge, left))
                self._forget()
        return Ledger((*pages, Page.of(self.said.judged)))

    def _groups(
        self, groups: Sequence[str], rules: Sequence[LoadedRule], time: Sequence[Allowance]
    ) -> Mapping[str, OfGroup | None]:
        """What is said of each group: where all is as it was by a former run, else by this."""
        kept = NONE_KEPT if self.said.failures else self._kept
        found = {group: kept.find(group, self._subjects) for group in groups}
        left = [group for group, said in found.items() if said is None]
        cores = usual(len(left)) if self._cores is None else self._cores
        found |= shared(lambda group: self._group(group, rules, time), left, cores)
        for group in left:
            if (said := found[group]) is not None:
                kept.add(group, self._subjects, said)
        kept.save()
        return found

    def _group(self, group: str, rules: Sequence[LoadedRule], time: Sequence[Allowance]) -> OfGroup:
        """What each rule says of one group. What was worked out of its diet is then let go."""
        diet = self._subjects.diet(group)
        said = Said()
        for loaded, left in zip(rules, time, strict=True):
            if (judge := loaded.judge_group) is not None:
                limits = self.limits[loaded.rule.id]
                judge = partial(judge, diet=diet, limits=limits)
                said.add(self._call(loaded, group, judge, left))
        diet.forget()
        log, page = diet.earlier.log, Page.packed_of(said.judged)
        unsure = bool(log and log.refused)
        return OfGroup(page, tuple(said.failures), diet.earlier.named, unsure)

    def _lost(self, group: str, rules: Sequence[LoadedRule]) -> OfGroup:
        why = "the process that judged this group ended before it was done"
        said = Said()
        for loaded in (one for one in rules if one.judge_group is not None):
            said.add(self._failed(loaded, group, why))
        return OfGroup(Page.of(said.judged), tuple(said.failures))

    def _forget(self) -> None:
        for diet in (*self.diets.values(), *(self._past or {}).values()):
            diet.forget()

    def _world(self) -> World:
        rows = {rule: limits.rows for rule, limits in self.limits.items()}
        packs = {id(loaded.pack): loaded.pack for loaded in self._rules}
        of_pack = {number: source_keys(pack) for number, pack in packs.items()}
        keys = {loaded.rule.id: of_pack[id(loaded.pack)] for loaded in self._rules}
        return World(self._collection, self._on, self.diets, rows, keys, self._earlier)

    def _before(self) -> Mapping[str, Diet]:
        if self._past is None:
            past = self._earlier.collection
            self._past = {} if past is None else diets_of(past, self._on)
        return self._past

    def _is_on(self, loaded: LoadedRule) -> bool:
        setting = self._settings.get(loaded.rule.id)
        return loaded.rule.always_on or setting is None or setting.to != "off"

    def _limits(self, loaded: LoadedRule) -> Limits:
        if not loaded.rule.has_limits:
            return Limits(())
        try:
            bundled = bundled_limits(loaded.rule.folder)
            self._meet_animals(bundled)
            quantities = frozenset(row.quantity for row in bundled)
            return Limits((*bundled, *site_limits(self._collection.limits, quantities)))
        except Exception as error:  # where the table lies is for the pack to say
            self.said.add(self._failed(loaded, None, f"its limit table cannot be used: {error}"))
            return Limits(())

    def _meet_animals(self, rows: Iterable[Limit]) -> None:
        """Refuse a taxon that no animal can belong to: such a row would guard nothing, unseen."""
        for name in {row.taxon for row in rows}:
            groups = self._collection.groups.values()
            if not known_taxon_name(name) and not any(g.taxon.is_in(name) for g in groups):
                near = " or ".join(near_taxa(name)) or "a name the bundled lineages hold"
                raise TableError(f"no animal is a {name}; perhaps {near} is meant")

    def _call(
        self,
        loaded: LoadedRule,
        group: str | None,
        judge: Callable[[], Iterable[object]],
        time: Allowance,
    ) -> Said:
        """One rule on one subject, behind a fence: nothing that a rule raises gets further."""
        if time.used_up:
            why = "it was not asked, as it had used up its time before"
            return self._failed(loaded, group, why)
        said = Said()
        try:
            with time, localcontext():
                for one in _flat(judge()):
                    check = sound_check(one)
                    if check.group is not None and check.group not in self.diets:
                        raise ValueError(f"it spoke of a group that is not there, {check.group!r}")
                    if len(said.judged) >= MOST:
                        raise ValueError(f"it yielded more than {MOST:,} checks")
                    said.judged.append(self._judged(loaded, group, check))
        except FOREIGN as error:  # a rule may raise anything
            said.add(self._failed(loaded, group, described(error)))
            return said
        if not said.judged:
            return self._failed(loaded, group, "it said nothing, not even that it does not apply")
        return said

    def _judged(self, loaded: LoadedRule, group: str | None, check: Check) -> Judged:
        rule = loaded.rule
        setting = self._settings.get(rule.id)
        fixed = rule.always_on or check.never_accepted
        if setting is not None and setting.to != "off" and not fixed:
            check = replace(check, severity=Severity(setting.to))
        return Judged(rule.id, group or check.group, check, can_be_accepted=not fixed)

    def _failed(self, loaded: LoadedRule, group: str | None, what: str) -> Said:
        subject = group or "the collection"
        check = Check(
            verdict=Verdict.CANNOT_TELL,
            about="rule failed",
            severity=Severity.HIGH,
            message=f'The rule "{loaded.rule.title}" failed on {subject}; it has judged nothing '
            "there.",
            advice="Feed the last approved sheet. Tell whoever looks after dietcheck.",
            settles="a mended rule",
            places=(self._collection.settings.place,),
            working=(what[:300],),
        )
        return Said(
            [Judged(loaded.rule.id, group, check, can_be_accepted=False)],
            [Failure(loaded.rule.id, group, what[:300])],
        )


def _flat(said: Iterable[object]) -> Iterator[object]:
    """The checks of every implementation of a hook: pluggy gives one iterable for each."""
    for one in said:
        if not isinstance(one, Iterable):
            raise TypeError(f"it returned {type(one).__name__} instead of checks")
        yield from one
