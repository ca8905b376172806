"""What changed since the earlier version, in a few lines: groups whose diet has a new digest."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping

from dietcheck.history.digest import content_digest
from dietcheck.history.signed_version import Signed
from dietcheck.nutrition.diet import Diet
from dietcheck.quantities import Interval, format_interval
from dietcheck.reporting import Asked, words
from dietcheck.reporting.change_found import changes_of
from dietcheck.reporting.change_words import said
from dietcheck.reporting.layout import listed, shown
from dietcheck.screening.report import Report

LINES, FOODS = 6, 3
SIGNED_LINES, PHRASE = 4, 60  # since the signature: the first screen belongs to the decisions


def digests(report: Report) -> dict[str, str]:
    """The digest of each group's diet, in the order of the groups' names."""
    if report.collection is None:
        return {}
    collection = report.collection
    return {
        group: content_digest(collection, group, report.on) for group in sorted(collection.groups)
    }


def fingerprint(of_groups: Mapping[str, str]) -> str:
    """One digest for the diets of all groups together."""
    text = "\n".join(f"{group} {digest}" for group, digest in sorted(of_groups.items()))
    return f"sha256:{hashlib.sha256(text.encode('utf-8', 'backslashreplace')).hexdigest()}"


def changes(report: Report, now: Mapping[str, str]) -> list[str]:
    """The lines for the box at the top, never empty."""
    diets = report.diets or {}
    past = {group: diet.past for group, diet in diets.items()}
    if not any(past.values()):
        return ["There is no earlier version to compare with."]
    told = [
        line
        for group in now
        if (line := _changed(diets[group], past.get(group), now[group], report))
    ]
    former = next(diet for diet in past.values() if diet is not None).collection.groups
    told.extend(f"{shown(former[g].called, 60)}: no longer there." for g in former if g not in now)
    if not told:
        return ["No group's diet differs from the earlier version."]
    more = len(told) - LINES
    tail = [f"… and {more} more groups whose diet changed."] if more > 0 else []
    return told[:LINES] + tail


def since_signed(report: Report, asked: Asked) -> list[str]:
    """What became of each group's diet since the last signature: old → new, by whom and why."""
    collection = report.collection
    if collection is None or not asked.signed:
        return []
    told, same, lost = [], 0, []
    for group, signed in _gravest_first(asked, report):
        called = shown(collection.groups[group].called, 60)
        by = f"{shown(signed.sign_off.by, 60)}, {words.day(signed.sign_off.on)}"
        if signed.is_same:
            same += 1
        elif signed.records is None:
            lost.append(called)
        else:
            found = changes_of(signed.records, collection, group, report.on)
            phrases = (said(c, lambda text: shown(text, PHRASE)) for c in found if c.feeds)
            what = listed(phrases, 2, "; ") or "the same food, written otherwise"
            told.append(f"{called}: {what}. Signed by {by}{_by(signed, group, report)}.")
    more = len(told) - SIGNED_LINES
    lines = [*told[:SIGNED_LINES], *([f"… and {more} more groups."] if more > 0 else [])]
    if lost:
        lines.append(
            f"Not what was signed, and the signed version is not among the latest in git: "
            f"{listed(lost, LINES)}."
        )
    never = sorted(collection.groups.keys() - asked.signed.keys())
    if never:
        names = (shown(collection.groups[name].called, 60) for name in never)
        lines.append(f"Nobody has signed: {listed(names, LINES)}.")
    if same:
        lines.append(f"As signed: {same} {'group' if same == 1 else 'groups'}.")
    return lines


def _gravest_first(asked: Asked, report: Report) -> list[tuple[str, Signed]]:
    """The signed groups, those with the gravest open finding first."""
    rank: dict[str | None, int] = {}
    for finding in report.findings:
        if finding.accepted is None:
            worst = min(rank.get(finding.group, 9), finding.severity.rank)
            rank[finding.group] = worst
    return sorted(asked.signed.items(), key=lambda one: (rank.get(one[0], 9), one[0]))


def _by(signed: Signed, group: str, report: Report) -> str:
    """Who changed the sheet, when, and in which words."""
    sheet = report.collection.sheet_on(group, report.on) if report.collection else None
    if sheet is not None and sheet.place.file in report.drafts:
        return f"; changed by a draft, {shown(sheet.written_by or 'nobody named', 60)}"
    version = signed.changed
    if version is None:
        return ""
    who = f"{shown(version.by, 60)}, {words.day(version.dated)}"
    return f"; sheet last changed by {who}, “{shown(version.subject, 60)}”"


def _changed(diet: Diet, past: Diet | None, digest: str, report: Report) -> str:
    called = shown(diet.group.called, 60)
    if past is None:
        return f"{called}: new, with no diet in the earlier version."
    if content_digest(past.collection, diet.group.id, report.on) == digest:
        return ""
    foods = list(_foods(past, diet))
    what = listed(foods, FOODS, "; ") if foods else "the same food, written or divided otherwise"
    return f"{called}: {what}."


def _foods(past: Diet, diet: Diet) -> Iterator[str]:
    """Each food that is offered in another amount: the daily mean of an animal, old → new."""
    before, after = _means(past), _means(diet)
    for food in sorted({*before, *after}):
        old, new = before.get(food), after.get(food)
        said = (_said(old), _said(new))
        if said[0] != said[1]:
            yield f"{shown(food, 40)} {said[0]} → {said[1]}"


def _said(grams: Interval | None) -> str:
    return "none" if grams is None else format_interval(grams, "g a day")


def _means(diet: Diet) -> dict[str, Interval]:
    """Grams a day of each food for the first animal, over the last rota that is laid out."""
    animal = next(iter(diet.animals), None)
    windows = list(diet.rotas(animal)) if animal else []
    if not windows:
        return {}
    ration = windows[-1].ration
    return {food.id: ration.per_day(grams) for food, grams in ration.grams_of.items()}
