"""`dietcheck sign`: write the record of an approval, bound to the diets as they stand."""

from __future__ import annotations

import argparse
import os
import secrets
from collections.abc import Container, Iterable, Iterator, Sequence
from contextlib import suppress
from datetime import date
from pathlib import Path

from msgspec import Struct

from dietcheck.collection.collection import Collection
from dietcheck.commands.arguments import Usage, read_day, today
from dietcheck.commands.output import say
from dietcheck.commands.repository import folder, open_repository
from dietcheck.commands.sign_acceptance import lines, q, risk_of
from dietcheck.commands.undisturbed import undisturbed
from dietcheck.errors import JobError
from dietcheck.history.digest import content_digest
from dietcheck.history.earlier import earlier
from dietcheck.history.guards import guards_digest
from dietcheck.history.lookback import Lookback
from dietcheck.history.signed import allowed, last_signed, unchanged
from dietcheck.reading import Folder, check_file
from dietcheck.reading.problems import listed, show
from dietcheck.reporting.layout import apart
from dietcheck.screening.checks import Severity
from dietcheck.screening.findings import Finding
from dietcheck.screening.report import Report
from dietcheck.screening.screen import screen

# The words a vet agreed to; a signature means this and no more.
STATEMENT = (
    "I have looked at the diets of {groups}, in the version whose digests stand under content, "
    "against the weights and body-condition scores shown. I approve them from {on}{until}"
    "{conditions}. This sign-off covers the files as shown; it does not cover what is "
    "actually eaten, the state of the food, or animals not listed."
)

LIMITS_STATEMENT = (
    "I have looked at the limits of this collection, its do-not-feed list, what is kept from "
    "single animals, the settings of rules and who may sign, in the version whose digest stands "
    "under limits. I approve them. This approves no diet."
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """What may be written after `dietcheck sign`."""
    parser.add_argument("folder", metavar="DIR", nargs="?", default=".", help="the collection")
    parser.add_argument("--by", metavar="NAME", required=True, help="who signs, as in may_sign")
    parser.add_argument("--role", metavar="ROLE", required=True, help="in what role, such as vet")
    parser.add_argument(
        "--groups", metavar="GROUP", nargs="+", default=["all"], help="which; left out: all"
    )
    parser.add_argument(
        "--renew",
        action="store_true",
        help="sign just the groups whose present diet nobody has signed, with the conditions and "
        "the next review of the last sign-off",
    )
    parser.add_argument(
        "--limits",
        action="store_true",
        help="sign the house's own limits, do-not-feed list and settings of rules, and no diet",
    )
    parser.add_argument("--next-review", metavar="DATE", type=read_day, help="when to look again")
    parser.add_argument(
        "--condition", metavar="TEXT", action="append", default=[], help="may be repeated"
    )
    parser.add_argument(
        "--accept", metavar="FINDING", help="accept a finding as a risk; see its name in a report"
    )
    parser.add_argument("--reason", metavar="TEXT", help="why the risk is accepted")
    parser.add_argument("--until", metavar="DATE", type=read_day, help="the last day of it")
    parser.add_argument(
        "--up-to", metavar="MASS", help="the most of the food for each animal in a day"
    )
    parser.add_argument("--on", metavar="DATE", type=read_day, help="left out: today")
    parser.add_argument(
        "--to",
        metavar="FILE",
        help="the file to write, inside the collection; left out: sign-offs/DATE-GROUP.yaml",
    )


def run(given: argparse.Namespace) -> int:
    """Write the sign-off and tell what was signed. Raises JobError when it must not be signed."""
    root = folder(given.folder)
    on: date = given.on or today()
    if given.next_review is not None and given.next_review <= on:
        raise Usage("--next-review: that day is not after the signature.", "Name a later day.")
    opened = open_repository(root)
    _refuse_unread(opened.unread)
    collection = opened.collection
    if given.limits:
        return _sign_limits(given, root, on, collection)
    risk = None
    if given.accept is not None:
        before = screen(Folder(root), on, earlier=_past(root))
        _refuse_unjudged(before)
        risk = risk_of(given, before, on)
        given.groups = [risk.group]
    elif given.reason or given.until or given.up_to:
        raise Usage("these words belong to an accepted risk.", "Name the finding with --accept.")
    parts = _renewed(given, collection, on) if given.renew else [_asked(given, collection)]
    written: dict[str, bytes] = {}
    content: dict[str, str] = {}
    for part in parts:
        name = given.to or _free_name(root, on, part.groups, written)
        digests = {group: content_digest(collection, group, on) for group in part.groups}
        accepted = lines(risk, collection, on) if risk else ()
        written[name] = _record(given, on, part, digests, accepted).encode()
        content |= digests
        _check(root, name, written[name], collection, given.by, given.role)
    # Judged as if it were signed: what the signature settles is gone, what it breaks is seen.
    report = screen(Folder(root), on, list(written.items()), earlier=_past(root))
    _refuse_unjudged(report)
    open_findings = [
        f for f in report.findings if f.accepted is None and f.group in (*content, None)
    ]
    _refuse_high(report, open_findings)
    for name, text in written.items():
        _write(root / name, text)
    say(apart("\n".join(_told(list(written), content, report, open_findings)) + "\n"))
    return 0


def _sign_limits(given: argparse.Namespace, root: Path, on: date, collection: Collection) -> int:
    """Sign what guards the animals, by itself: no diet is approved with it."""
    if given.renew or given.accept or given.groups != ["all"]:
        raise Usage("limits are signed by themselves.", "Leave --groups, --renew, --accept away.")
    name = given.to or _free_name(root, on, ("limits",), ())
    digest = guards_digest(collection)
    rows = ["record: sign-off", f"by: {q(given.by)}", f"role: {q(given.role)}", f"on: {on}"]
    rows.append(f"limits: {digest}")
    if given.condition:
        rows += ["conditions:", *(f"  - {q(text)}" for text in given.condition)]
    if given.next_review:
        rows.append(f"next_review: {given.next_review}")
    text = "\n".join([*rows, f"statement: {q(LIMITS_STATEMENT)}"]) + "\n"
    _check(root, name, text.encode(), collection, given.by, given.role)
    _write(root / name, text.encode())
    say(f"Signed, in {show(name, 200)}:\n  the limits and lists of the house: {digest}\n")
    return 0


def _past(root: Path) -> Lookback:
    """What git knows of the folder: who wrote the diets."""
    found = earlier(root, staged=False)
    return Lookback(found.source, found.why_not, found.log)


class _Part(Struct, frozen=True):
    """What goes into one record: groups that share conditions and the next review."""

    groups: tuple[str, ...]
    conditions: tuple[str, ...]
    next_review: date | None


def _asked(given: argparse.Namespace, collection: Collection) -> _Part:
    return _Part(_groups(given.groups, collection), tuple(given.condition), given.next_review)


def _renewed(given: argparse.Namespace, collection: Collection, on: date) -> list[_Part]:
    """The groups that nobody has signed as they are, with what their last sign-off asked for."""
    parts: dict[tuple[tuple[str, ...], date | None], list[str]] = {}
    for group in _unsigned(collection, on):
        last = last_signed(collection, group, on)
        conditions = tuple(given.condition) or (last.conditions if last else ())
        review = given.next_review or (last.next_review if last else None)
        due = review if review is None or review > on else None
        parts.setdefault((conditions, due), []).append(group)
    return [_Part(tuple(groups), *asked) for asked, groups in parts.items()]


def _unsigned(collection: Collection, on: date) -> tuple[str, ...]:
    """The groups with a sheet whose present diet no signature covers, sorted."""
    found = []
    for group in sorted(g for g in collection.groups if collection.sheets.get(g)):
        last = last_signed(collection, group, on)
        is_bound = last is not None and group in last.content
        if last is None or not is_bound or not unchanged(collection, last, group):
            found.append(group)
    if not found:
        raise Usage("every diet here is signed as it stands.", "There is nothing to renew.")
    return tuple(found)


def _free_name(root: Path, on: date, groups: tuple[str, ...], taken: Container[str]) -> str:
    stem = f"sign-offs/{on}-{groups[0] if len(groups) == 1 else 'all'}"
    names = (f"{stem}.yaml", *(f"{stem}-{number}.yaml" for number in range(2, 100)))
    free = (n for n in names if n not in taken and not os.path.lexists(root / n))
    return next(free, names[0])


def _refuse_unread(unread: Sequence[str]) -> None:
    if unread:
        raise JobError(
            f"there are records that cannot be read, so nothing is signed: {unread[0]}",
            "Put them right first: “dietcheck screen” tells all of them.",
        )


def _refuse_unjudged(report: Report) -> None:
    if report.failures or report.collection is None:
        raise JobError(
            "not every rule could do its work, so nothing is signed.",
            "“dietcheck screen” tells which; tell whoever looks after dietcheck.",
        )


def _groups(wanted: Sequence[str], collection: Collection) -> tuple[str, ...]:
    """The groups to sign, sorted: those named, or all that are fed from a sheet."""
    if list(wanted) == ["all"]:
        wanted = sorted(g for g in collection.groups if collection.sheets.get(g))
    strange = [group for group in wanted if group not in collection.groups]
    if strange:
        raise Usage(
            f"there is no group {show(strange[0])} here.",
            f"The groups are {listed(sorted(collection.groups))}.",
        )
    if not wanted:
        raise Usage("no group here has a diet sheet.", "Write one first.")
    return tuple(sorted(set(wanted)))


def _record(
    given: argparse.Namespace,
    on: date,
    part: _Part,
    content: dict[str, str],
    accepted: Iterable[str],
) -> str:
    until = f" to {part.next_review}" if part.next_review else ""
    conditions = ", with the conditions above" if part.conditions else ""
    statement = STATEMENT.format(
        groups=", ".join(content), on=on, until=until, conditions=conditions
    )
    rows = ["record: sign-off", f"by: {q(given.by)}", f"role: {q(given.role)}"]
    rows += [f"on: {on}", "groups:", *(f"  - {q(group)}" for group in content)]
    rows += ["content:", *(f"  {q(g)}: {digest}" for g, digest in content.items())]
    if part.conditions:
        rows += ["conditions:", *(f"  - {q(text)}" for text in part.conditions)]
    if part.next_review:
        rows.append(f"next_review: {part.next_review}")
    rows += accepted
    return "\n".join([*rows, f"statement: {q(statement)}"]) + "\n"


def _check(root: Path, name: str, text: bytes, collection: Collection, by: str, role: str) -> None:
    """Refuse a record that would not stand: where it lies, what it says, who signs."""
    top = Path(os.path.realpath(root))
    path = Path(os.path.realpath(root / name))
    if top not in path.parents or path.suffix != ".yaml" or ".git" in path.parts:
        raise Usage(
            f"{show(name, 200)} is no place for a sign-off.",
            "Name a file inside the collection that ends in .yaml.",
        )
    if os.path.lexists(root / name):
        raise JobError(
            f"there is a file {show(name, 200)} already; a signature is never written over.",
            "Name another file with --to.",
        )
    facts = check_file(name, text)
    if facts.data is None or facts.problems:
        problem = facts.problems[0]
        raise Usage(f"this cannot be signed so: {problem.message}", problem.remedy)
    from dietcheck.collection.build_settings import build_sign_off
    from dietcheck.collection.places import Pointer

    signers = collection.settings.signers
    if not allowed(build_sign_off(Pointer(name), facts.data), signers):
        known = [f"{s.name} ({s.role}, from {s.start})" for s in signers]
        raise JobError(
            f"{show(by)} may not sign as {show(role)} on that day.",
            f"may_sign in dietcheck.yaml names {show(', '.join(known) or 'nobody', 400)}.",
        )


def _refuse_high(report: Report, findings: Sequence[Finding]) -> None:
    high = [f for f in findings if f.severity is Severity.HIGH]
    if high:
        group = report.group_called(high[0].group)
        up_to = " --up-to MASS" if high[0].check.food else ""
        raise JobError(
            f"nothing is signed while a high finding stands open (here: {len(high)}). "
            f"{show(group)}: {show(high[0].check.message, 400)}",
            "Put the diet right. A vet may accept the risk where that may be: --accept "
            f"{high[0].id} --reason TEXT --until DATE{up_to}.",
        )


def _write(path: Path, text: bytes) -> None:
    """Whole or not at all, and never over a file that came in between."""
    beside = path.parent / f".dietcheck-{secrets.token_hex(8)}.tmp"
    try:
        with undisturbed():
            path.parent.mkdir(exist_ok=True)
            try:
                with open(beside, "xb") as file:
                    file.write(text)
                os.link(beside, path)
            finally:
                with suppress(OSError):
                    beside.unlink()
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise JobError(
            f"the sign-off could not be written ({reason}).",
            "Name a new file in a folder that you may write to.",
        ) from error


def _told(
    names: Sequence[str], content: dict[str, str], report: Report, findings: Sequence[Finding]
) -> Iterator[str]:
    yield f"Signed, in {listed([show(name, 200) for name in names])}:"
    for group, digest in content.items():
        yield f"  {show(report.group_called(group))}: {digest}"
    yield f"Findings that stand open in what was signed: {len(findings) or 'none'}"
    for f in findings:
        yield f"  {f.severity.value}: {show(f.check.message, 400)}"
