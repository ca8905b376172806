"""The main job: read a repository, link it, judge it, and give back the whole report."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Iterator, Mapping, Sequence
from datetime import date

from dietcheck import __version__
from dietcheck.collection.build import UnknownSettings, build
from dietcheck.collection.build_settings import BUNDLED_PACK
from dietcheck.collection.collection import Collection, Unread
from dietcheck.collection.places import Pointer
from dietcheck.history.lookback import NO_LOOKBACK, Lookback
from dietcheck.reading import Place, Repository, Source, read_repository, read_trusted
from dietcheck.screening.acceptance import NONE
from dietcheck.screening.checks import Check, Severity, Verdict
from dietcheck.screening.engine import Outcome, run
from dietcheck.screening.findings import Judged, findings_of
from dietcheck.screening.grounds import Grounds
from dietcheck.screening.kept_verdicts import NONE_KEPT, NothingKept
from dietcheck.screening.ledger import Ledger, Page
from dietcheck.screening.packs import LoadedRule, PackError, load_packs
from dietcheck.screening.report import RECORDS_RULE, Citation, Report

Draft = tuple[str, bytes]  # the file's name and its bytes


def screen(
    source: Source,
    on: date,
    drafts: Sequence[Draft] = (),
    load: Callable[[Iterable[str]], tuple[LoadedRule, ...]] = load_packs,
    earlier: Lookback = NO_LOOKBACK,
    only: Callable[[Repository, Collection], Container[str]] | None = None,
    cores: int | None = None,
    kept: NothingKept = NONE_KEPT,
) -> Report:
    """Screen a repository as at a day, with drafts laid over it.

    `earlier` is the version it is compared with; with drafts, where none is named, the repository
    without them. `only` tells which groups to judge; left out: all. `cores` judge groups side by
    side, with the same outcome; left out: as many as are worth it. What `kept` holds of former
    runs is not judged again.

    `load` turns the names of rule packs into rules; what is installed is asked unless told else.
    Raises JobError when there is no repository to read or a named rule pack cannot be used.
    """
    repository = read_repository(source, drafts)
    unread = tuple(_unread(repository))
    try:
        collection = build(
            (
                (Pointer(facts.file), facts.data)
                for facts in repository.files
                if facts.data is not None
            ),
            _unread_names(repository),
        )
    except UnknownSettings:
        return _without_settings(repository, unread, on)
    rules = load(collection.settings.packs)
    troubles = tuple(_troubles(collection))
    if drafts and earlier is NO_LOOKBACK:
        earlier = Lookback(source)
    first = (*(judged for judged, _ in unread), *troubles, *_unasked(collection, earlier))
    judged = None if only is None else only(repository, collection)
    if collection.settings.packs == (BUNDLED_PACK,):  # what others hang on is not known
        names = [loaded.rule.id for loaded in rules]
        kept.rest_on(lambda: Grounds(repository, collection, on, names, earlier))
    outcome = run(collection, rules, on, first, earlier, judged, cores, kept)
    return _report(repository, collection, rules, outcome, on, dict(_placed(unread)))


def _report(
    repository: Repository,
    collection: Collection,
    rules: tuple[LoadedRule, ...],
    outcome: Outcome,
    on: date,
    places: dict[Pointer, Place],
) -> Report:
    told = (pointer for finding in outcome.findings for pointer in finding.check.places)
    for pointer in sorted(dict.fromkeys(told), key=lambda one: one.file):  # a file at a time
        if pointer not in places:
            places[pointer] = repository.place(pointer.file, pointer.path)
    return Report(
        name=collection.settings.name,
        on=on,
        read_from=repository.described,
        drafts=tuple(facts.file for facts in repository.files if facts.draft),
        tool_version=__version__,
        files=len(repository.files),
        left_out=repository.left_out,
        findings=outcome.findings,
        judged=outcome.judged,
        failures=outcome.failures,
        switched_off=outcome.switched_off,
        rules={loaded.rule.id: loaded.rule for loaded in rules},
        limits=outcome.limits,
        bibliography=bibliography(rules),
        places=places,
        collection=collection,
        diets=outcome.diets,
    )


def _without_settings(
    repository: Repository, unread: tuple[tuple[Judged, Place], ...], on: date
) -> Report:
    judged = tuple(one for one, _ in unread)
    return Report(
        name="the collection",
        on=on,
        read_from=repository.described,
        drafts=tuple(facts.file for facts in repository.files if facts.draft),
        tool_version=__version__,
        files=len(repository.files),
        left_out=repository.left_out,
        findings=findings_of(judged, NONE),
        judged=Ledger((Page.of(judged),)),
        failures=(),
        switched_off=(),
        rules={},
        limits={},
        bibliography={},
        places=dict(_placed(unread)),
    )


def _unread(repository: Repository) -> Iterator[tuple[Judged, Place]]:
    """A check for each problem of a file, and one that says the others can be read."""
    bad = {problem.file for problem in repository.problems}
    for problem in repository.problems:
        check = Check(
            verdict=Verdict.CANNOT_TELL,
            about=f"{problem.file}:{'/'.join(map(str, problem.path))}:{problem.message}",
            severity=Severity.HIGH,
            message=problem.message,
            advice=problem.remedy,
            places=(Pointer(problem.file, (*problem.path, f"line {problem.line}")),),
        )
        yield _about_records(check), Place(problem.line, problem.column)
    kept = len({facts.file for facts in repository.files} - bad)
    check = Check(verdict=Verdict.KEPT, about="records", message=f"{kept} records can be read.")
    yield _about_records(check), Place()


def _troubles(collection: Collection) -> Iterator[Judged]:
    """A check for everything between records that does not fit together."""
    for trouble in collection.troubles:
        check = Check(
            verdict=Verdict.CANNOT_TELL,
            about=f"{trouble.place.file}:{'/'.join(map(str, trouble.place.path))}",
            severity=Severity.HIGH,
            message=trouble.message,
            advice=trouble.remedy,
            places=(trouble.place,),
        )
        yield _about_records(check)


def _unasked(collection: Collection, earlier: Lookback) -> Iterator[Judged]:
    """The bundled rules dropped in this change: no rule of theirs is left to tell of it."""
    settings = collection.settings
    if BUNDLED_PACK in settings.packs or earlier.collection is None:
        return
    if BUNDLED_PACK in earlier.collection.settings.packs:
        yield _about_records(
            Check(
                verdict=Verdict.BREACH,
                about=f"rule pack gone: {BUNDLED_PACK}",
                severity=Severity.HIGH,
                message="The rules that come with dietcheck are no longer asked, so that what they "
                "would find is not seen.",
                advice=f"Name {BUNDLED_PACK} under packs in dietcheck.yaml again.",
                places=(settings.place.at("packs"),),
            )
        )


def _unread_names(repository: Repository) -> Unread:
    """What the files that could not be read are about, so that nothing is reported twice."""
    names: dict[str, set[str]] = {kind: set() for kind in ("food", "group", "diet sheet", "rota")}
    for facts in repository.files:
        if facts.data is None:
            for kind, *rest in facts.identities:
                if kind in names:
                    names[kind].add(rest[0])
    return Unread(
        foods=frozenset(names["food"]),
        groups=frozenset(names["group"]),
        fed_groups=frozenset(names["diet sheet"] | names["rota"]),
    )


def _about_records(check: Check) -> Judged:
    return Judged(RECORDS_RULE, None, check, can_be_accepted=False)


def _placed(unread: Iterable[tuple[Judged, Place]]) -> Iterator[tuple[Pointer, Place]]:
    for judged, place in unread:
        for pointer in judged.check.places:
            yield pointer, place


def bibliography(rules: Iterable[LoadedRule]) -> Mapping[str, Citation]:
    """The works that the packs' tables cite, by key. Raises PackError for one that is unusable."""
    works: dict[str, Citation] = {}
    for pack in {id(loaded.pack): loaded.pack for loaded in rules}.values():
        if pack.sources is None:
            continue
        try:
            for entry in read_trusted(pack.sources.read_bytes())["sources"]:
                works[entry["key"]] = Citation(
                    key=entry["key"],
                    citation=entry["citation"],
                    url=entry.get("url"),
                    doi=entry.get("doi"),
                    seen=entry.get("seen", ""),
                    note=entry.get("note") or "",
                )
        except (OSError, ValueError, LookupError, TypeError) as error:
            raise PackError(
                f'The bibliography of the pack "{pack.name}" cannot be used: {error}',
                "Tell the pack's authors.",
            ) from error
    return works
