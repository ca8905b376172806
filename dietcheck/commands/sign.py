"""`dietcheck sign`: write the record of an approval, bound to the diets as they stand."""

from __future__ import annotations

import argparse
import json
import os
import secrets
from collections.abc import Iterator, Sequence
from contextlib import suppress
from datetime import date
from pathlib import Path

from dietcheck.collection.collection import Collection
from dietcheck.commands.arguments import Usage, read_day, today
from dietcheck.commands.output import say
from dietcheck.commands.repository import folder, open_repository
from dietcheck.errors import JobError
from dietcheck.history.digest import content_digest
from dietcheck.history.signed import allowed
from dietcheck.reading import Folder, check_file
from dietcheck.reading.problems import listed, show
from dietcheck.screening.checks import Severity
from dietcheck.screening.findings import Finding
from dietcheck.screening.report import Report
from dietcheck.screening.screen import screen

# The words a vet agreed to; a signature means this and no more.
STATEMENT = (
    "I have looked at the diets of {groups}, in the version whose digests stand under content, "
    "against the weights and body-condition scores shown. I approve them from {on}{until}, with "
    "the conditions above. This sign-off covers the files as shown; it does not cover what is "
    "actually eaten, the state of the food, or animals not listed."
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """What may be written after `dietcheck sign`."""
    parser.add_argument("folder", metavar="DIR", nargs="?", default=".", help="the collection")
    parser.add_argument("--by", metavar="NAME", required=True, help="who signs, as in may_sign")
    parser.add_argument("--role", metavar="ROLE", required=True, help="in what role, such as vet")
    parser.add_argument(
        "--groups", metavar="GROUP", nargs="+", default=["all"], help="which; left out: all"
    )
    parser.add_argument("--next-review", metavar="DATE", type=read_day, help="when to look again")
    parser.add_argument(
        "--condition", metavar="TEXT", action="append", default=[], help="may be repeated"
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
    groups = _groups(given.groups, collection)
    name = given.to or f"sign-offs/{on}-{groups[0] if len(groups) == 1 else 'all'}.yaml"
    content = {group: content_digest(collection, group, on) for group in groups}
    text = _record(given, on, content).encode()
    _check(root, name, text, collection, given.by, given.role)
    # Judged as if it were signed: what the signature settles is gone, what it breaks is seen.
    report = screen(Folder(root), on, [(name, text)])
    _refuse_unjudged(report)
    open_findings = [
        f for f in report.findings if f.accepted is None and f.group in (*groups, None)
    ]
    _refuse_high(report, open_findings)
    _write(root / name, text)
    say("\n".join(_told(name, content, report, open_findings)) + "\n")
    return 0


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


def _record(given: argparse.Namespace, on: date, content: dict[str, str]) -> str:
    until = f" to {given.next_review}" if given.next_review else ""
    statement = STATEMENT.format(groups=", ".join(content), on=on, until=until)
    lines = ["record: sign-off", f"by: {_quoted(given.by)}", f"role: {_quoted(given.role)}"]
    lines += [f"on: {on}", "groups:", *(f"  - {_quoted(group)}" for group in content)]
    lines += ["content:", *(f"  {_quoted(g)}: {digest}" for g, digest in content.items())]
    if given.condition:
        lines += ["conditions:", *(f"  - {_quoted(text)}" for text in given.condition)]
    if given.next_review:
        lines.append(f"next_review: {given.next_review}")
    return "\n".join([*lines, f"statement: {_quoted(statement)}"]) + "\n"


def _quoted(text: str) -> str:
    """The text as a quoted value, which no sign in it can break out of."""
    return json.dumps(text, ensure_ascii=True)


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
        raise JobError(
            f"nothing is signed while a high finding stands open (here: {len(high)}). "
            f"{show(group)}: {show(high[0].check.message, 400)}",
            "Put the diet right, or accept the risk in a sign-off of its own where that may be.",
        )


def _write(path: Path, text: bytes) -> None:
    """Whole or not at all, and never over a file that came in between."""
    beside = path.parent / f".dietcheck-{secrets.token_hex(8)}.tmp"
    try:
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
    name: str, content: dict[str, str], report: Report, findings: Sequence[Finding]
) -> Iterator[str]:
    yield f"Signed, in {show(name, 200)}:"
    for group, digest in content.items():
        yield f"  {show(report.group_called(group))}: {digest}"
    yield f"Findings that stand open in what was signed: {len(findings) or 'none'}"
    for f in findings:
        yield f"  {f.severity.value}: {show(f.check.message, 400)}"
