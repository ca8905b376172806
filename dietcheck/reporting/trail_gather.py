"""Gathers the whole trail of an animal: every part from the version that stood on the day."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from functools import cache
from pathlib import Path

from dietcheck.collection.animals import Animal
from dietcheck.collection.feeding import Line
from dietcheck.history.lookback import NO_LOOKBACK, Lookback
from dietcheck.history.versions import Version, Versions, last_change, versions_of
from dietcheck.nutrition.diet import Diet
from dietcheck.nutrition.gauges import gauges
from dietcheck.nutrition.plan import PlannedDay
from dietcheck.nutrition.portions import Portion
from dietcheck.quantities import format_interval
from dietcheck.reading import Repository, Revision, read_repository
from dietcheck.reporting import words
from dietcheck.reporting.animal_words import animal_line
from dietcheck.reporting.change_figures import KEYS
from dietcheck.reporting.layout import listed, shown
from dietcheck.reporting.trail import FileUsed, Offered, Open, Total, TrailReport
from dietcheck.reporting.trail_find import Found, find
from dietcheck.reporting.trail_log import Entry, log_of
from dietcheck.reporting.trail_signed import risks, signature, signed
from dietcheck.reporting.trail_unknown import unknown
from dietcheck.screening.difference import difference
from dietcheck.screening.findings import Finding
from dietcheck.screening.report import RECORDS_RULE, Report
from dietcheck.screening.screen import screen


def gather(root: Path, name: str, group: str | None, on: date, today: date) -> TrailReport:
    """The trail of an animal on a day. Raises JobError if there is no such animal or version."""
    versions = versions_of(root)
    found = find(root, versions, name, group, on)
    report = screen(found.source, on, earlier=_earlier(root, versions, found.version))
    collection, diets = report.collection, report.diets
    assert collection is not None  # it was read to find the animal
    assert diets is not None
    diet = diets[found.group.id]
    animal = next(one for one in diet.group.animals if one.id == found.animal.id)
    repository = read_repository(found.source)
    day = diet.day(on)
    offered = tuple(_offered(diet, animal, day, repository))
    log = log_of(root, versions, animal.id, diet.group.id, on)

    @cache
    def changed(file: str) -> Version | None:
        return last_change(root, found.version.commit, file) if found.version else None

    files = tuple(
        FileUsed(what, shown(file, 200), changed(file)) for what, file in _files(diet, day)
    )
    return TrailReport(
        collection=shown(report.name, 120),
        group=diet.group,
        animal=animal,
        on=on,
        is_here=animal.is_here(on),
        about=shown(animal_line(animal, diet)),
        version=found.version,
        read_from=shown(report.read_from, 120),
        unknown=tuple(unknown(versions, found, report, on, today, log)),
        plan=_plan(day),
        offered=offered,
        totals=tuple(_totals(diet, animal, day)) if offered else (),
        files=files,
        signatures=tuple(
            signature(diet, animal, one, repository, changed, files)
            for one in signed(collection, diet.group.id, on)
        ),
        findings=tuple(_open(f, report) for f in report.findings if _is_of(f, diet, animal)),
        risks=tuple(risks(report, diet, animal)),
        log=log,
        last_change=tuple(_last_change(root, versions, found, report, diet, animal, log.entries)),
    )


def _earlier(root: Path, versions: Versions, version: Version | None) -> Lookback:
    before = versions.before(version) if version else None
    return Lookback(Revision(root, before.commit)) if before else NO_LOOKBACK


def _plan(day: PlannedDay) -> str:
    """Which day of which rota and sheet it was."""
    sheet, rota = day.sheet, day.rota
    if rota is None:
        return "no rota was in force"
    said = [f"day {day.number} of the rota from {words.day(rota.start)}"]
    if day.fast:
        said.append("a planned fast day")
    if sheet is None:
        said.append("no diet sheet was in force")
    else:
        by = f", written by {shown(sheet.written_by, 60)}" if sheet.written_by else ""
        why = f"reason given: {shown(sheet.reason, 200)}"
        said.append(f"diet sheet from {words.day(sheet.start)}{by}; {why}")
    holes = len(day.holes)
    if holes:
        said.append(f"{holes} {'feed' if holes == 1 else 'feeds'} for which nobody wrote what")
    return "; ".join(said)


def _left(
    diet: Diet, animal: Animal, day: PlannedDay
) -> Iterator[tuple[str, str, tuple[Portion, ...]]]:
    """What other groups may leave that day: it is in the figures, and comes or does not."""
    if left := diet.received(animal, day):
        yield "left over", "by other groups", left


def _offered(
    diet: Diet, animal: Animal, day: PlannedDay, repository: Repository
) -> Iterator[Offered]:
    fed = ((feed.slot, feed.meal, portions) for feed, portions in diet.feeds(animal, day))
    for slot, meal, portions in (*fed, *_left(diet, animal, day)):
        for portion in portions:
            line = portion.line
            place = repository.place(line.place.file, line.place.path)
            yield Offered(
                slot=shown(slot, 40),
                meal=shown(meal, 80),
                food=shown(line.food.id, 60),
                called=shown(line.food.name or line.food.id, 80),
                amount=shown(line.amount.text, 80),
                grams=portion.grams,
                gap=shown(portion.gap or "", 160),
                details=tuple(_details(line)),
                place=shown(f"{line.place.file}:{place.line}", 200),
            )


def _details(line: Line) -> Iterator[str]:
    if line.food.mix:
        parts = (
            f"{shown(part.id, 40)} {format_interval(share * 100, '%')}"
            for part, share in line.food.mix
        )
        yield f"mixed of {listed(parts, 8)}"
    for what, text in (
        ("cut: ", line.cut),
        ("", line.presentation),
        ("treat: ", line.treat),
        ("only for ", ", ".join(line.for_animals)),
        ("instead of ", line.instead_of),
    ):
        if text:
            yield shown(f"{what}{text}", 120)
    if line.medicine is not None:
        one = line.medicine
        yield shown(f"carries {one.drug}, ordered by {one.by} until {words.day(one.until)}", 160)


def _totals(diet: Diet, animal: Animal, day: PlannedDay) -> Iterator[Total]:
    ration = diet.day_ration(animal, day)
    window = next((w for w in diet.rotas(animal) if any(d.on == day.on for d in w.days)), None)
    for gauge in gauges(KEYS, diet.group.taxon):
        mean = gauge.a_day(window.ration) if window else None
        is_open = not gauge.is_bounded and not gauge.is_stated(ration)
        yield Total(gauge.key, gauge.title, gauge.unit, gauge.a_day(ration), mean, is_open)


def _files(diet: Diet, day: PlannedDay) -> Iterator[tuple[str, str]]:
    """What the day's food is read from, each file once for each thing that it is."""
    group = diet.group.id
    used: list[tuple[str, str]] = [("the animals and their weights", diet.group.place.file)]
    if day.sheet is not None:
        used.append(("the diet sheet", day.sheet.place.file))
    if day.rota is not None:
        used.append(("the rota", day.rota.place.file))
    lines = [line for feed in day.feeds for line in feed.lines]
    sheet_files = {day.sheet.place.file} if day.sheet else set()
    used += [("what other groups leave", line.place.file) for line in day.received]
    used += [("treats", line.place.file) for line in lines if line.place.file not in sheet_files]
    eaten = (*lines, *day.received)
    foods = {part.place.file for line in eaten for part, _ in line.food.all_parts() if part.known}
    used += [("what the foods are", file) for file in sorted(foods)]
    used.append(("the settings of the collection", diet.settings.place.file))
    taxon = diet.group.taxon
    own = (
        limit.place.file
        for limit in diet.collection.limits
        if limit.group == group or (limit.taxon and taxon.is_in(limit.taxon))
    )
    used += [("the site's own limits", file) for file in sorted(set(own))]
    signatures = (one.place.file for one in signed(diet.collection, group, diet.on))
    used += [("signatures", file) for file in signatures]
    yield from dict.fromkeys(used)


def _is_of(finding: Finding, diet: Diet, animal: Animal) -> bool:
    """Whether a finding is about the animal, its whole group or the records as a whole."""
    if finding.group is None:
        return finding.rule == RECORDS_RULE
    named = finding.check.animals
    return finding.group == diet.group.id and (not named or animal.id in named)


def _open(finding: Finding, report: Report) -> Open:
    check = finding.check
    return Open(
        id=finding.id,
        rule=shown(finding.rule, 80),
        title=shown(report.title(finding.rule), 90),
        severity=finding.severity.value,
        verdict=words.VERDICT[check.verdict],
        message=shown(check.message),
        advice=shown(check.advice),
        place=next(iter(words.places(finding, report)), ""),
        accepted=words.accepted(finding.accepted, report.on) if finding.accepted else "",
    )


def _last_change(
    root: Path,
    versions: Versions,
    found: Found,
    report: Report,
    diet: Diet,
    animal: Animal,
    entries: Iterable[Entry],
) -> Iterator[str]:
    """Which findings came and went with the latest change, judged as at the same day."""
    latest = next((e.version for e in entries if e.version), None)
    before = versions.before(latest) if latest else None
    if latest is None or before is None or found.version is None:
        return
    past = screen(Revision(root, before.commit), diet.on, earlier=_earlier(root, versions, before))
    present = report
    if latest is not found.version:
        source = Revision(root, latest.commit)
        present = screen(source, diet.on, earlier=_earlier(root, versions, latest))
    apart = difference(past, present)
    for word, findings in (
        ("came", apart.new),
        ("went", apart.gone),
        ("grew worse", tuple(now for _, now in apart.worsened)),
    ):
        for finding in findings:
            if _is_of(finding, diet, animal):
                yield f"{word}: {finding.severity.value}, {shown(finding.check.message, 240)}"
