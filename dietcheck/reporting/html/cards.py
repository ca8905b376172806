"""What stands on a finding's card: all that a vet needs to decide, in a dozen lines."""

from __future__ import annotations

from collections.abc import Iterable

from markupsafe import Markup
from msgspec import Struct

from dietcheck.reporting import words
from dietcheck.reporting.animal_words import animal_line
from dietcheck.reporting.html.pictures import range_bar
from dietcheck.reporting.layout import listed, shown
from dietcheck.screening.checks import Check, Verdict
from dietcheck.screening.findings import Finding
from dietcheck.screening.limits import Limit, Standing
from dietcheck.screening.report import RECORDS_RULE, Report

STEPS = 11  # lines of arithmetic on a card; what is left out is counted
CHOICES = ("Approve", "Approve with limit and end date", "Return to nutrition lead", "Stop feeding")

# Who can bring what is missing, by the words for it; the first that fits.
_SUPPLIERS = (
    (("weigh", "body mass", "weight", "head count", "piece"), "the keeper, with the scales"),
    (("analysis", "label", "laborator", "maker", "stated", "composition", "content of", "declared"),
     "the supplier's label or a laboratory"),
    (("limit", "requirement", "the vet"), "the vet"),
    (("mended rule",), "whoever looks after dietcheck"),
)  # fmt: skip
_ANYONE = "the keeper who wrote the line, or the nutrition lead"


class Card(Struct, frozen=True):
    """A finding ready to be drawn: every text has been through `shown`."""

    id: str
    severity: str
    verdict: str
    title: str
    who: str
    animals: tuple[str, ...]
    message: str
    when: str
    working: tuple[str, ...]
    left_out: int
    figure: str
    limit: str
    evidence: tuple[str, ...]
    others: tuple[str, ...]
    weak: str
    advice: str
    settles: str
    supplier: str
    where: str
    may_be_accepted: bool
    picture: Markup | None


def card(finding: Finding, report: Report) -> Card:
    """The card of a finding."""
    check = finding.check
    figure = words.measured(check.measured, check.limit) if check.measured else ""
    far = words.how_far(check)
    told = [shown(step, 160) for step in check.working]
    left = len(told) - STEPS if len(told) > STEPS + 1 else 0
    return Card(
        id=shown(finding.id, 40),
        severity=finding.severity.value,
        verdict=words.VERDICT[check.verdict],
        title=title(finding.rule, report),
        who=words.who(finding, report),
        animals=tuple(_animals(finding, report)),
        message=shown(check.message),
        when=words.when(finding, report),
        working=tuple((*told[:5], *told[5 + left :]) if left else told),
        left_out=left,
        figure=f"{figure} ({far})" if far else figure,
        limit=words.bounds(check.limit) if check.limit else "",
        evidence=tuple(_evidence(check, report)),
        others=tuple(_other(limit, report) for limit in check.others[:2]),
        weak=listed(_folded(check.weak), 3, "; "),
        advice=shown(check.advice),
        settles=shown(check.settles, 240),
        supplier=supplier(check),
        where=listed(words.places(finding, report), 1),
        may_be_accepted=finding.group is not None and _may_be_accepted(finding, report),
        picture=range_bar.draw(check),
    )


def _may_be_accepted(finding: Finding, report: Report) -> bool:
    rule = report.rules.get(finding.rule)
    return rule is not None and not rule.always_on and not finding.check.never_accepted


def title(rule: str, report: Report) -> str:
    """What the rule guards; its own name where no such rule is in use."""
    known = rule in report.rules or rule == RECORDS_RULE
    return shown(report.title(rule) if known else rule, 90)


def supplier(check: Check) -> str:
    """Who can bring what a cannot-tell is waiting for."""
    text = (check.settles or check.message).lower()
    return next((who for signs, who in _SUPPLIERS if any(s in text for s in signs)), _ANYONE)


def intent(finding_group: str | None, report: Report) -> str:
    """What the keeper meant: the reason on the newest sheet of the group, and its date."""
    sheets = report.collection.sheets.get(finding_group or "", ()) if report.collection else ()
    if not sheets:
        return ""
    newest = sheets[-1]
    by = f", {shown(newest.written_by, 60)}" if newest.written_by else ""
    return f"{shown(newest.reason, 200)} (sheet from {words.day(newest.start)}{by})"


def _animals(finding: Finding, report: Report) -> Iterable[str]:
    diet = (report.diets or {}).get(finding.group or "")
    if diet is None:
        return
    by_id = {animal.id: animal for animal in diet.animals}
    named = [by_id[name] for name in finding.check.animals if name in by_id]
    named = named or list(diet.animals)
    more = f"; and {listed((shown(a.called, 40) for a in named[1:]), 6)}" if named[1:] else ""
    for animal in named[:1]:
        yield f"{shown(animal.called, 60)}: {shown(animal_line(animal, diet), 260)}{more}"


def _evidence(check: Check, report: Report) -> Iterable[str]:
    limit = check.limit
    marked = limit is not None and limit.standing is Standing.PUBLISHED and limit.evidence
    strength = f"{shown(limit.evidence, 40)}: " if limit and marked else ""
    for source in words.sources(check, report)[:3]:
        yield strength + source
    if limit is not None and limit.standing is Standing.SITE_RULE and limit.note:
        yield shown(limit.note, 200)
    if not check.sources and limit is None and check.verdict is Verdict.BREACH:
        yield "a rule on the records themselves; no published limit stands behind it"


def _folded(weak: Iterable[str]) -> list[str]:
    """Weak inputs with the same reason told together: `hay, browse: printed as a minimum`."""
    by_reason: dict[str, list[str]] = {}
    for said in weak:
        about, colon, why = shown(said, 160).rpartition(": ")
        by_reason.setdefault(why, []).extend([about] if colon else [])
    return [f"{listed(abouts, 3)}: {why}" if abouts else why for why, abouts in by_reason.items()]


def _other(limit: Limit, report: Report) -> str:
    cited = "; ".join(words.cite(ref, report.bibliography, limit.seen) for ref in limit.sources[:1])
    return f"{words.bounds(limit)}: {cited or limit.standing.value}"
