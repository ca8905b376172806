"""Assembles the page for the vet: decisions first, then what nobody can tell, then the rest."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import Any

from markupsafe import Markup

from dietcheck.collection.settings import Acceptance, SignOff
from dietcheck.history.covered import moved
from dietcheck.outside.packages import files
from dietcheck.reporting import Asked, words
from dietcheck.reporting.animal_words import animal_line
from dietcheck.reporting.html.cards import CHOICES, card, intent, title
from dietcheck.reporting.html.changes import changes, digests, fingerprint, since_signed
from dietcheck.reporting.html.fortnight import Fortnight, shown_limits
from dietcheck.reporting.html.pictures import calendar, foods, weights
from dietcheck.reporting.layout import shown
from dietcheck.reporting.pages import page
from dietcheck.screening.checks import Severity, Verdict
from dietcheck.screening.findings import Finding
from dietcheck.screening.limits import Limits
from dietcheck.screening.report import CAUTIONS, NOT_VISIBLE, Report

LOW_IN_FULL = 12  # low findings of one group that are told; the others are counted
NO_PICTURES: dict[str, Any] = {"species": "", "strips": [], "parts": None, "weights": []}
WEIGHED = 4  # animals of a group whose weights are drawn
PICTURED = 150  # groups that are drawn, those with the gravest findings: the page can be sent


def render(report: Report, asked: Asked) -> str:
    """The whole page. The same report gives the same text."""
    of_groups = digests(report)
    limits = shown_limits(report)
    live = [finding for finding in report.findings if finding.accepted is None]
    graver = [finding for finding in live if finding.severity is not Severity.LOW]
    decide = [f for f in graver if f.check.verdict is Verdict.BREACH]
    blind = [f for f in graver if f.check.verdict is Verdict.CANNOT_TELL]
    return page(
        "report.html",
        package="dietcheck.reporting.html",
        style=Markup(files(__package__).joinpath("templates/style.css").read_text("utf-8")),
        park=shown(report.name, 120),
        on=words.day(report.on),
        rota=_rota_dates(report),
        fingerprint=fingerprint(of_groups),
        read=f"{report.files} records, {shown(report.read_from, 200)}",
        drafts=[shown(name, 200) for name in report.drafts],
        left_out=len(report.left_out),
        counts=_counts(live, report),
        stops=len(report.blocking(asked.block_on)),
        whole=not report.failures and report.collection is not None,
        changes=changes(report, of_groups),
        since_signed=since_signed(report, asked),
        decisions=_sections(decide, report, limits, True),
        unknowns=_sections(blind, report, limits, False),
        choices=CHOICES,
        acceptances=_acceptances(report),
        passed=_passed(report, limits, {f.group for f in decide}),
        switched=[_switched(report, number) for number in range(len(report.switched_off))],
        low=_low(live, report),
        low_count=sum(1 for f in live if f.severity is Severity.LOW),
        bodies=_bodies(report),
        digests=[(shown(report.group_called(g), 80), digest) for g, digest in of_groups.items()],
        cautions=CAUTIONS,
        not_visible=NOT_VISIBLE,
        sources=_sources(report),
        version=shown(report.tool_version, 40),
    )


def _counts(live: Sequence[Finding], report: Report) -> list[tuple[str, str, int, str]]:
    """Each count in the box: its sign, its word, the number and where on the page it leads."""

    def tally(severity: Severity) -> int:
        return sum(1 for f in live if f.severity is severity and f.check.verdict is Verdict.BREACH)

    blind = [f for f in live if f.check.verdict is Verdict.CANNOT_TELL]
    graver = sum(1 for f in blind if f.severity is not Severity.LOW)
    low = sum(1 for f in live if f.severity is Severity.LOW)
    return [
        ("high", "high", tally(Severity.HIGH), "decisions"),
        ("medium", "medium", tally(Severity.MEDIUM), "decisions"),
        ("unknown", "cannot tell", graver, "cannot-tell"),
        ("low", "low", low, "low"),
        ("accepted", "accepted", len(report.findings) - len(live), "accepted"),
    ]


def _rota_dates(report: Report) -> str:
    spans = [
        (days[0].on, days[min(diet.settings.rota_days, len(days)) - 1].on)
        for diet in (report.diets or {}).values()
        if (days := diet.days)
    ]
    if not spans:
        return "no rota is in force"
    return f"{words.day(min(s[0] for s in spans))} to {words.day(max(s[1] for s in spans))}"


def _sections(
    findings: Iterable[Finding], report: Report, limits: Limits, drawn: bool
) -> list[dict[str, Any]]:
    """The findings by group, the group with the gravest first."""
    by_group: dict[str | None, list[Finding]] = defaultdict(list)
    for finding in findings:
        by_group[finding.group].append(finding)
    return [
        {
            "called": shown(report.group_called(group), 100),
            "meant": intent(group, report),
            "cards": [card(finding, report) for finding in same],
            **NO_PICTURES,
            **(_pictures(group, same, report, limits) if drawn and place < PICTURED else {}),
            "undrawn": drawn and place >= PICTURED,
        }
        for place, (group, same) in enumerate(by_group.items())
    ]


def _pictures(
    group: str | None, findings: Sequence[Finding], report: Report, limits: Limits
) -> dict[str, Any]:
    diet = (report.diets or {}).get(group or "")
    if diet is None or not diet.animals:
        return {}
    shown_days = Fortnight(diet, findings, limits)
    held = next((f for f in findings if f.check.limit is not None), None)
    strips = (shown_days.sugar(), shown_days.energy(), shown_days.fruit(), shown_days.treats())
    drawable = [strip for strip in strips if any(figure.high for figure in strip.figures)]
    parts = shown_days.parts(held)
    named = {name for finding in findings for name in finding.check.animals}
    weighed = sorted(diet.animals, key=lambda animal: animal.id not in named)[:WEIGHED]
    drawn = (weights.draw(animal, shown_days.changes(), report.on) for animal in weighed)
    animal = shown_days.animal
    return {
        "shown_animal": shown(animal.called, 60) if animal else "",
        "first_day": words.day(shown_days.days[0].on) if shown_days.days else "",
        "species": shown(diet.group.taxon.scientific_name, 80),
        "strips": [calendar.draw(strip) for strip in drawable],
        "limits": [
            f"{s.title}: {s.limit_said}" if s in drawable else f"{s.title}: none is planned"
            for s in strips
        ],
        "parts": foods.draw(*parts) if parts else None,
        "weights": [picture for picture in drawn if picture is not None],
    }


def _acceptances(report: Report) -> list[dict[str, Any]]:
    """Every acceptance that has not ended, whether a finding stands under it or not."""
    if report.collection is None:
        return []
    used = {id(f.accepted.acceptance): f for f in report.findings if f.accepted}
    told = []
    for sign_off in report.collection.sign_offs:
        for one in sign_off.accepts:
            if sign_off.on <= report.on <= one.until:
                finding = used.get(id(one))
                food = f", {shown(one.food, 40)}" if one.food else ""
                told.append(
                    {
                        "what": f"{shown(report.group_called(one.group), 60)}{food}: "
                        f"{title(one.rule, report)}",
                        "reason": shown(one.reason, 240),
                        "by": f"{shown(sign_off.by, 60)} ({shown(sign_off.role, 40)}), "
                        f"{words.day(sign_off.on)}",
                        "until": words.day(one.until),
                        "left": (one.until - report.on).days,
                        "now": _under_it(report, finding, sign_off, one),
                    }
                )
    return told


def _under_it(report: Report, finding: Finding | None, sign_off: SignOff, one: Acceptance) -> str:
    """What an acceptance releases today and under which diet, or why it releases nothing."""
    assert report.collection is not None
    gone = list(moved(report.collection, sign_off, one, report.on))
    if gone:
        return f"No longer counts: {shown('; '.join(gone), 240)}."
    if finding is None:
        return (
            "Releases nothing today: no finding stands under it, or it is more than was accepted."
        )
    bound = one.group in sign_off.content
    diet = "the diet is as it was signed" if bound else "bound to no version of the diet"
    return f"{shown(finding.check.message, 240)} ({diet})"


def _passed(
    report: Report, limits: Limits, pictured: set[str | None]
) -> list[tuple[str, int, int, Markup | str]]:
    tally: dict[str | None, list[int]] = defaultdict(lambda: [0, 0])
    for one in report.judged:
        counts = tally[one.group]
        counts[0] += one.check.verdict is Verdict.KEPT
        counts[1] += one.check.verdict is Verdict.NOT_APPLICABLE
    rows: list[tuple[str, int, int, Markup | str]] = []
    for group in sorted(tally, key=lambda name: (name is not None, name or "")):
        diet = (report.diets or {}).get(group or "")
        spark: Markup | str = ""
        if group in pictured:
            spark = "drawn above"
        elif diet is not None and diet.animals:
            strip = Fortnight(diet, (), limits).sugar()
            spark = calendar.spark(strip) if strip.figures else ""
        kept, idle = tally[group]
        rows.append((shown(report.group_called(group), 80), kept, idle, spark))
    return rows


def _bodies(report: Report) -> list[tuple[str, str, str]]:
    """Every animal with what a signature rests on: group, animal, weight and condition score."""
    return [
        (
            shown(diet.group.called, 80),
            shown(animal.called, 60),
            shown(animal_line(animal, diet), 260),
        )
        for _, diet in sorted((report.diets or {}).items())
        for animal in diet.animals
    ]


def _switched(report: Report, number: int) -> str:
    setting = report.switched_off[number]
    return (
        f"{title(setting.rule, report)}: {shown(setting.why, 200)} "
        f"({shown(setting.set_by, 60)}, {words.day(setting.on)})"
    )


def _low(live: Sequence[Finding], report: Report) -> list[tuple[str, list[str], int]]:
    by_group: dict[str | None, list[Finding]] = defaultdict(list)
    for finding in live:
        if finding.severity is Severity.LOW:
            by_group[finding.group].append(finding)
    return [
        (
            shown(report.group_called(group), 80),
            [
                f"{words.VERDICT[f.check.verdict]}: {shown(f.check.message, 260)}"
                for f in same[:LOW_IN_FULL]
            ],
            max(len(same) - LOW_IN_FULL, 0),
        )
        for group, same in by_group.items()
    ]


def _sources(report: Report) -> list[dict[str, str]]:
    """The works behind the findings, in full, each once."""
    keys = {
        ref.key
        for finding in report.findings
        for limit in (finding.check.limit, *finding.check.others)
        if limit is not None
        for ref in limit.sources
    }
    keys |= {ref.key for finding in report.findings for ref in finding.check.sources}
    return [
        {
            "key": shown(key, 60),
            "citation": shown(work.citation, 600) if work else "not in the bibliography",
            "where": shown(
                f"doi:{work.doi}" if work and work.doi else (work and work.url) or "", 300
            ),
            "seen": words.SEEN.get(work.seen, shown(work.seen, 60)) if work else "",
        }
        for key in sorted(keys)
        for work in (report.bibliography.get(key),)
    ]
