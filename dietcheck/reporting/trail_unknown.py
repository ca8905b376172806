"""What nobody can know of a day, from git and the records that are here."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from dietcheck.history.versions import Versions
from dietcheck.reporting import words
from dietcheck.reporting.layout import listed, shown
from dietcheck.reporting.trail_find import Found
from dietcheck.reporting.trail_log import Log, called
from dietcheck.screening.report import RECORDS_RULE, Report


def unknown(
    versions: Versions,
    found: Found,
    report: Report,
    on: date,
    today: date,
    log: Log,
) -> Iterator[str]:
    """What cannot be known of the day, in plain words."""
    if found.version is None:
        why = versions.why_none
        yield f"{why[:1].upper()}{why[1:]}. Shown is what lies here now."
        return
    oldest, newest = versions.all[0], versions.all[-1]
    if found.too_old:
        yield (
            f"No version of {words.day(on)} is here: the oldest is {called(oldest)}. Shown is what "
            f"{called(found.version)} says of the day; nobody can tell from it what was written "
            "at the time."
        )
    if versions.cut_short:
        yield (
            f"This copy of the repository was cut short at {called(oldest)}: older versions are "
            "not in it, and what is put down to that one may be older and by other hands."
        )
    if found.version.runs_backwards:
        yield (
            f"{called(found.version)} gives itself an earlier date than a version it follows; it "
            f"counts from {words.day(found.version.on)}."
        )
    if on > today:
        yield "This day has not come yet: shown is what is planned."
    if versions.uncommitted and found.version is newest:
        files = listed((shown(name, 120) for name in versions.uncommitted), 4)
        yield f"Not committed, and so not shown: {files}."
    if bad := sum(f.rule == RECORDS_RULE for f in report.findings):
        yield f"{bad} {'thing' if bad == 1 else 'things'} in that version could not be read."
    if failed := listed((shown(f.rule, 60) for f in report.failures), 4):
        yield f"Rules that failed, so that nothing is cleared by them: {failed}."
    if versions_unread := log.unread:
        yield f"Could not be read as a diet repository: {listed(versions_unread, 4)}."
    if log.since is not None:
        yield (
            f"The group enters the records here with {called(log.since)}: what they say of days "
            "before was written down then, and cannot be followed further back."
        )
    if left_out := log.left_out:
        kept = len(versions.all) - left_out
        yield f"The change log reaches back {kept} versions; {left_out} older ones were not read."
