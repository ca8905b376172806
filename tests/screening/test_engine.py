"""Running rules: the fence around them, the settings of a collection, the ledger."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from dietcheck.contract import Check, Diet, Rule, Severity, Verdict, hookimpl, not_applicable
from dietcheck.history.lookback import Lookback
from dietcheck.screening.engine import Outcome, run
from dietcheck.screening.hookspecs import CONTRACT, Pack
from dietcheck.screening.packs import PackError, load_packs, rules_of, source_keys
from dietcheck.screening.report import Citation
from dietcheck.screening.screen import bibliography
from dietcheck.screening.world import World
from dietcheck.testing import Memory
from tests import records

Judge = Callable[[Diet], Any]


class Toy:
    """A rule made of one function."""

    def __init__(
        self, judge: Judge, id: str = "toy", *, always_on: bool = False, folder: Path | None = None
    ) -> None:
        self._judge = judge
        self._rule = Rule(
            id=id,
            title=f"The rule {id}",
            folder=folder or Path(),
            has_limits=folder is not None,
            always_on=always_on,
        )

    @hookimpl
    def describe(self) -> Rule:
        """What it is."""
        return self._rule

    @hookimpl
    def judge_group(self, diet: Diet) -> Any:
        """Whatever the function says."""
        return self._judge(diet)


def breach(_: Diet) -> Iterable[Check]:
    """A rule that always finds something."""
    yield Check(verdict=Verdict.BREACH, about="thing", message="a thing", severity=Severity.MEDIUM)


def fine(_: Diet) -> Iterable[Check]:
    """A rule that finds nothing."""
    yield Check(verdict=Verdict.KEPT, about="thing", message="fine")


def outcome(*rules: object, more: str = "", on: date = records.ON) -> Outcome:
    """What some rules say of the small collection with more settings."""
    files = records.small(dietcheck=records.settings(more=more))
    loaded = rules_of(Pack("test", "0", CONTRACT, rules))
    return run(records.linked(files), loaded, on)


def raises(_: Diet) -> Iterable[Check]:
    """A rule that falls over."""
    raise RuntimeError("boom")


def raises_late(diet: Diet) -> Iterable[Check]:
    """A rule that falls over after its first check."""
    yield from fine(diet)
    raise RecursionError


@pytest.mark.parametrize(
    "judge",
    [raises, raises_late, lambda _: [], lambda _: None, lambda _: 5, lambda _: ["kept"]],
    ids=["raises", "raises late", "nothing", "none", "a number", "texts"],
)
def test_a_rule_that_fails_is_reported_and_leaves_the_others_running(judge: Judge) -> None:
    found = outcome(Toy(judge, "bad"), Toy(breach, "good"))
    assert [failure.rule for failure in found.failures] == ["bad"]
    by_rule = {finding.rule: finding for finding in found.findings}
    assert by_rule["bad"].severity is Severity.HIGH
    assert by_rule["bad"].check.verdict is Verdict.CANNOT_TELL
    assert by_rule["good"].check.message == "a thing"


def test_a_rule_that_does_not_apply_says_so_and_is_no_failure() -> None:
    found = outcome(Toy(lambda _: [not_applicable("thing", "no such animal")]))
    assert not found.failures
    assert not found.findings
    assert [one.check.verdict for one in found.judged] == [Verdict.NOT_APPLICABLE]


SETTING = "rules: [{{rule: toy, set: {to}, why: because, set_by: Dr Vale, on: 2026-01-01}}]"


def test_a_rule_may_be_switched_off_with_a_reason_and_is_listed() -> None:
    found = outcome(Toy(breach), more=SETTING.format(to="off"))
    assert found.findings == ()
    assert [setting.rule for setting in found.switched_off] == ["toy"]


def test_a_rule_may_be_graded_anew() -> None:
    found = outcome(Toy(breach), more=SETTING.format(to="low"))
    assert [finding.severity for finding in found.findings] == [Severity.LOW]


@pytest.mark.parametrize("to", ["off", "low"])
def test_a_rule_that_guards_honesty_stays_as_it_is(to: str) -> None:
    found = outcome(Toy(breach, always_on=True), more=SETTING.format(to=to))
    assert [finding.severity for finding in found.findings] == [Severity.MEDIUM]


SIGN_OFF = (
    "record: sign-off\nby: Dr Vale\nrole: vet\non: 2026-11-03\ngroups: [tapir]\n"
    "accepts: [{rule: toy, group: tapir, reason: because, until: 2026-12-31}]\n"
)


@pytest.mark.parametrize("never", [True, False])
def test_what_may_never_be_accepted_is_neither_released_nor_graded_anew(never: bool) -> None:
    def judge(diet: Diet) -> Iterable[Check]:
        return [replace(check, never_accepted=never) for check in breach(diet)]

    files = records.small(
        dietcheck=records.settings(more=SETTING.format(to="low")), signed=SIGN_OFF
    )
    loaded = rules_of(Pack("test", "0", CONTRACT, (Toy(judge),)))
    (finding,) = run(records.linked(files), loaded, records.ON).findings
    assert (finding.accepted is None) is never
    assert finding.severity is (Severity.MEDIUM if never else Severity.LOW)


def test_an_unusable_limit_table_is_a_failure_of_the_rule(tmp_path: Path) -> None:
    (tmp_path / "limits.yaml").write_text("limits:\n  - {id: x, taxon: Mammalia}\n")
    found = outcome(Toy(fine, folder=tmp_path))
    assert "missing" in found.failures[0].what
    assert outcome(Toy(fine, folder=tmp_path / "nowhere")).failures


@pytest.mark.parametrize(
    ("taxon", "fails"),
    [("Animalia", True), ("Metazoa", False), ("Tapirus terestris", True), ("Xqzwv", True)],
)
def test_a_limit_for_a_taxon_that_no_animal_belongs_to_is_a_failure(
    tmp_path: Path, taxon: str, *, fails: bool
) -> None:
    (tmp_path / "limits.yaml").write_text(
        f"limits:\n  - {{id: x, taxon: {taxon}, quantity: sugars, over: day, severity: low,"
        " standing: limit not yet sourced}\n"
    )
    found = outcome(Toy(fine, folder=tmp_path))
    assert bool(found.failures) is fails
    assert all(taxon in failure.what for failure in found.failures)
    meant = {"Tapirus terestris": "Tapirus terrestris", "Xqzwv": "a name the bundled"}
    assert all(meant.get(taxon, taxon) in failure.what for failure in found.failures)
    assert all("on the collection" in one.check.message for one in found.findings)


class Whole:
    """A rule about the whole collection."""

    @hookimpl
    def describe(self) -> Rule:
        """What it is."""
        return Rule(id="whole", title="Whole", folder=Path())

    @hookimpl
    def judge_collection(self, world: World) -> Iterable[Check]:
        """One check that counts the groups."""
        yield Check(verdict=Verdict.KEPT, about="n", message=str(len(world.diets)))


def test_a_rule_may_judge_the_whole_collection() -> None:
    (judged,) = outcome(Whole()).judged
    assert (judged.group, judged.check.message) == (None, "1")


class Lazy:
    """A rule that judges nothing."""

    @hookimpl
    def describe(self) -> Rule:
        """What it is."""
        return Rule(id="lazy", title="Lazy", folder=Path())


class Nameless:
    """No rule at all."""

    @hookimpl
    def judge_group(self) -> Iterable[Check]:
        """Nothing."""
        return []


class Misspelt(Toy):
    """A rule with a hook that there is none of."""

    @hookimpl
    def judge_grup(self) -> Iterable[Check]:
        """Never called."""
        return []


class Wordy(Toy):
    """A rule that describes itself in words."""

    @hookimpl
    def describe(self) -> Any:
        """No rule."""
        return "a rule"


def test_a_rule_that_does_not_describe_itself_as_one_is_refused() -> None:
    with pytest.raises(PackError, match="does not describe exactly one rule"):
        rules_of(Pack("p", "0", CONTRACT, (Wordy(fine),)))


@pytest.mark.parametrize(
    "pack",
    [
        Pack("p", "0", CONTRACT, (Misspelt(fine),)),
        Pack("p", "0", CONTRACT + 1, (Toy(fine),)),
        Pack("p", "0", CONTRACT, (Toy(fine), Toy(fine))),
        Pack("p", "0", CONTRACT, (Lazy(),)),
        Pack("p", "0", CONTRACT, (Nameless(),)),
        Pack("p", "0", CONTRACT, (object(),)),
        Pack("p", "0", CONTRACT, (Toy(fine, id=""),)),
    ],
    ids=[
        "a hook misspelt",
        "other contract",
        "two of one id",
        "judges nothing",
        "describes nothing",
        "no hooks",
        "without a name",
    ],
)
def test_a_pack_that_cannot_be_used_is_refused(pack: Pack) -> None:
    with pytest.raises(PackError):
        rules_of(pack)


def test_a_pack_that_is_not_installed_stops_everything() -> None:
    with pytest.raises(PackError, match="not installed"):
        load_packs(["no-such-pack"])


def test_the_bundled_pack_is_found_by_its_entry_point() -> None:
    assert "unknown-food" in {loaded.rule.id for loaded in load_packs(["dietcheck_rules"])}


@pytest.mark.parametrize(("said", "fails"), [(3, False), (4, True)])
def test_a_rule_that_does_not_stop_talking_is_a_failure(
    said: int, monkeypatch: pytest.MonkeyPatch, *, fails: bool
) -> None:
    monkeypatch.setattr("dietcheck.screening.engine.MOST", 3)
    found = outcome(Toy(lambda diet: [*fine(diet)] * said))
    assert len(found.failures) == fails
    assert sum(one.check.verdict is Verdict.KEPT for one in found.judged) == 3


def test_only_the_groups_that_are_asked_for_are_judged() -> None:
    files = records.small(other=records.group("otter", enclosure="Stream"))
    loaded = rules_of(Pack("test", "0", CONTRACT, (Toy(fine),)))
    found = run(records.linked(files), loaded, records.ON, only={"otter"})
    assert [one.group for one in found.judged] == ["otter"]


def looks_back(diet: Diet) -> Iterable[Check]:
    """A rule that tells how many animals there were before."""
    past = "none" if diet.past is None else str(len(diet.past.animals))
    yield Check(verdict=Verdict.KEPT, about="n", message=past)


class WholeBack:
    """A rule about the whole collection that tells how many animals each group had before."""

    @hookimpl
    def describe(self) -> Rule:
        """What it is."""
        return Rule(id="whole-back", title="Whole, back", folder=Path())

    @hookimpl
    def judge_collection(self, world: World) -> Iterable[Check]:
        """One check for all groups."""
        told = [check.message for diet in world.diets.values() for check in looks_back(diet)]
        yield Check(verdict=Verdict.KEPT, about="n", message=" ".join(told))


def test_a_rule_sees_the_diet_of_the_earlier_version() -> None:
    before = records.small(group=records.group(animals=["{id: T1}", "{id: T2}"]))
    after = records.small(other=records.group("otter", enclosure="Stream"))
    loaded = rules_of(Pack("test", "0", CONTRACT, (Toy(looks_back),)))
    found = run(records.linked(after), loaded, records.ON, earlier=Lookback(Memory(before)))
    assert {one.group: one.check.message for one in found.judged} == {"tapir": "2", "otter": "none"}
    alone = run(records.linked(after), loaded, records.ON)
    assert {one.check.message for one in alone.judged} == {"none"}
    whole = run(
        records.linked(after),
        rules_of(Pack("test", "0", CONTRACT, (WholeBack(),))),
        records.ON,
        earlier=Lookback(Memory(before)),
    )
    assert [one.check.message for one in whole.judged] == ["2 none"]


def test_why_a_limit_table_is_unusable_is_told_at_no_great_length(tmp_path: Path) -> None:
    (tmp_path / "limits.yaml").write_text(
        "limits:\n  - {id: x, taxon: Mammalia, quantity: sugars, over: day, severity: low,"
        f" standing: limit not yet sourced, {'x' * 500}: y}}\n"
    )
    found = outcome(Toy(fine, folder=tmp_path))
    assert [len(text) for text in (found.findings[0].check.working[0], found.failures[0].what)] == [
        300, 300,
    ]  # fmt: skip


def test_a_rule_that_is_graded_anew_is_not_among_those_switched_off() -> None:
    assert outcome(Toy(breach), more=SETTING.format(to="low")).switched_off == ()


def test_a_failure_says_on_whom_it_failed_and_not_without_end() -> None:
    def shouts(_: Diet) -> Iterable[Check]:
        raise ValueError("x" * 9999)

    found = outcome(Toy(shouts))
    (finding,) = found.findings
    assert "failed on tapir" in finding.check.message
    assert [len(text) for text in (*finding.check.working, found.failures[0].what)] == [300, 300]
    assert not next(iter(found.judged)).can_be_accepted


def elsewhere(_: Diet) -> Iterable[Check]:
    """A rule that speaks of a group that nobody wrote of."""
    yield replace(next(iter(fine(_))), group="unicorns")


def test_a_check_on_a_group_that_is_not_there_is_a_failure_of_its_rule() -> None:
    (failure,) = outcome(Toy(elsewhere), Toy(fine, id="other")).failures
    assert (failure.rule, failure.group) == ("toy", "tapir")
    assert "unicorns" in failure.what


class Installed:
    """An entry point, as the installer writes it."""

    def __init__(self, module: object) -> None:
        self._module = module

    def load(self) -> object:
        """What it names; an error stands for a module that does not import."""
        if isinstance(self._module, Exception):
            raise self._module
        return self._module


class Brings:
    """A module that has the hook and brings something."""

    def __init__(self, what: object) -> None:
        self._what = what

    @hookimpl
    def pack(self) -> object:
        """What it brings."""
        return self._what


NAMELESS: Any = 5
SOURCES: Any = "sources.yaml"


@pytest.mark.parametrize(
    ("modules", "why"),
    [
        ([], "is not installed"),
        ([Brings(Pack("a", "0", CONTRACT, ()))] * 2, "is installed more than once"),
        ([ImportError("no such thing")], "does not load: ImportError: no such thing"),
        ([Brings("a pack")], "does not say which rules"),
        ([object()], "does not say which rules"),
        ([Brings(Pack(NAMELESS, "0", CONTRACT, ()))], "does not say which rules"),
        ([Brings(Pack("a", "0", CONTRACT, (), SOURCES))], "does not say which rules"),
    ],
)
def test_a_pack_that_does_not_load_stops_everything(
    modules: list[object], why: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = [Installed(module) for module in modules]
    monkeypatch.setattr("dietcheck.screening.packs.entry_points", lambda **_: found)
    with pytest.raises(PackError, match=f'The rule pack "theirs" {why}'):
        load_packs(["theirs"])


@pytest.mark.parametrize(
    ("text", "keys"),
    [("sources: [{key: A}, {key: B}]", {"A", "B"}), ("sources: 5", set()), (None, set())],
)
def test_the_keys_of_a_bibliography_that_cannot_be_read_are_none(
    text: str | None, keys: set[str], tmp_path: Path
) -> None:
    sources = tmp_path / "sources.yaml"
    if text is not None:
        sources.write_text(text)
    assert source_keys(Pack("p", "0", CONTRACT, (), sources)) == keys
    assert source_keys(Pack("p", "0", CONTRACT, ())) == frozenset()


@pytest.mark.parametrize("text", ["sources: 5", "works: []", "sources: [{key: A}]"])
def test_a_bibliography_that_cannot_be_used_stops_everything(text: str, tmp_path: Path) -> None:
    """A limit that cites a work nobody can look up must not count as published."""
    sources = tmp_path / "sources.yaml"
    sources.write_text(text)
    with pytest.raises(PackError, match="bibliography"):
        bibliography(rules_of(Pack("p", "0", CONTRACT, (Toy(fine),), sources)))


def test_the_works_that_packs_cite_are_found_by_their_keys(tmp_path: Path) -> None:
    sources = tmp_path / "sources.yaml"
    sources.write_text(
        "sources:\n  - {key: A, citation: First, note: old, url: u, doi: d, seen: abstract}\n"
        "  - {key: B, citation: Second}\n"
    )
    rules = (
        *rules_of(Pack("without", "0", CONTRACT, (Toy(fine),))),
        *rules_of(Pack("with", "0", CONTRACT, (Toy(fine, id="other"),), sources)),
    )
    assert bibliography(rules) == {
        "A": Citation("A", "First", "u", "d", "abstract", "old"),
        "B": Citation("B", "Second"),
    }
