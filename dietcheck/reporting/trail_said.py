"""The trail in words that the terminal and the page share."""

from __future__ import annotations

from collections.abc import Iterator

from dietcheck.history.versions import Version
from dietcheck.nutrition.gauges import AS_FED
from dietcheck.quantities import Interval, format_interval
from dietcheck.reporting import ration, words
from dietcheck.reporting.layout import shown
from dietcheck.reporting.trail import FileUsed, Offered, Risk, Signature, TrailReport
from dietcheck.reporting.trail_log import Late, by

DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def heading(report: TrailReport) -> str:
    """Whom and which day it is about."""
    day = f"{DAYS[report.on.weekday()]} {words.day(report.on)}"
    return f"{shown(report.animal.called, 80)} on {day}"


def short(report: TrailReport) -> str:
    """The whole answer in a sentence or two."""
    food = next((total for total in report.totals if total.key == AS_FED), None)
    offered = f"offered {format_interval(food.day, 'g')} as fed" if food else "nothing offered"
    signed = next(iter(report.signatures), None)
    word = f"last signed on {words.day(signed.on)}, {signed.covers}" if signed else "nobody signed"
    still = [one.severity for one in report.findings if not one.accepted]
    counts = ", ".join(f"{still.count(s)} {s}" for s in ("high", "medium", "low") if s in still)
    late = len(report.log.late)
    return (
        f"{offered}; {word}; findings open: {counts or 'none'}; risks accepted: "
        f"{len(report.risks) or 'none'}; records written after their day: {late or 'none'}."
    )


def commit(version: Version | None) -> str:
    """A version with day and name: `1a2b3c4d5e, 24 Nov 2026, Mina Okoro: tidy-up`."""
    if version is None:
        return "not in git"
    return (
        f"{version.commit[:10]}, {words.day(version.dated)}, {by(version)}: "
        f"{shown(version.subject, 120)}"
    )


def grams(one: Offered) -> str:
    """This animal's part of a line."""
    return f"nobody can tell: {one.gap}" if one.gap else format_interval(one.grams, "g")


def file_line(used: FileUsed) -> str:
    """Where something was written and by whom last."""
    return f"{used.what}: {used.file} ({commit(used.changed)})"


def signature(one: Signature) -> Iterator[str]:
    """A signature, a sentence a line."""
    yield f"{one.by} ({one.role}) on {words.day(one.on)}: {one.covers}."
    yield f"Weight on file then: {one.weight or 'none'}."
    yield f"Condition score on file then: {one.condition or 'none'}."
    if one.next_review:
        yield f"Next review: {words.day(one.next_review)}."
    for condition in one.conditions:
        yield f"Condition made: {condition}."
    for doubt in one.doubts:
        yield f"To ask about: {doubt}."
    yield f"Written in {one.file} ({commit(one.written)})."


def figure(value: Interval | None, is_open: bool) -> str:
    """A figure of the ration; without its upper end where that says nothing."""
    if value is None:
        return ""
    if is_open and value.high >= 2 * value.low:
        return ration.figure(value, True)
    return format_interval(value, "")


def risk(one: Risk) -> str:
    """An accepted risk with its end."""
    food = f", {one.food}" if one.food else ""
    days = f"{one.left} {'day' if one.left == 1 else 'days'} left"
    left = "ends on this day" if one.left == 0 else days
    now = f"It releases: {one.releases}" if one.releases else "It releases no finding on this day."
    return (
        f"{one.title}{food}: accepted by {one.by} ({one.role}) on {words.day(one.signed)} until "
        f"{words.day(one.until)} ({left}). Reason: {one.reason}. {now}"
    )


def late(one: Late, report: TrailReport) -> str:
    """Something that was written after its day, by whom, and how long after."""
    text = f"{one.words[:1].upper()}{one.words[1:]}."
    if one.version is None or one.days is None:
        return f"{text} Not committed yet."
    days = f"{one.days} {'day' if one.days == 1 else 'days'} after its day"
    after = "; after the day shown here, so not in what is shown" * (one.version.on > report.on)
    return (
        f"{text} Committed {words.day(one.version.dated)} by {by(one.version)}, {days}{after} "
        f"({one.version.commit[:10]})."
    )


def log_heading(version: Version | None) -> str:
    """When, by whom and with which words something was changed."""
    if version is None:
        return "not committed"
    dated = words.day(version.dated)
    return f"{dated}, {by(version)}: {shown(version.subject, 120)} ({version.commit[:10]})"


def nothing_offered(report: TrailReport) -> str:
    """Why no food is listed."""
    if not report.is_here:
        return "The animal was not in the group on this day."
    return "Nothing is written for this day."
