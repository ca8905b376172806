"""Whether a diet was written by the one who signed it: by its own words, and by git."""

from collections.abc import Iterator
from datetime import date

from dietcheck.contract import (
    Check,
    Commit,
    Diet,
    DietSheet,
    Rota,
    Severity,
    SignOff,
    Verdict,
    allowed,
    content_digest,
    same_person,
)

Standing = tuple[DietSheet | Rota, ...]
MOST = 10  # commits of the signer that are looked into


def written_by_signer(diet: Diet, last: SignOff, standing: Standing) -> Iterator[Check]:
    """A breach when the signer wrote the sheet or the rota, or a change of it."""
    own = [one for one in standing if one.written_by and same_person(one.written_by, last.by)]
    why = ""
    if own:
        why = f"{last.by} wrote this diet and signed it on {last.on}"
    elif (commit := _own_commit(diet, last, standing)) is not None:
        why = (
            f"{commit.author} wrote a change of this diet on {commit.on} (version "
            f"{commit.id[:10]}), and {last.by} signed it on {last.on}"
        )
    if why:
        yield Check(
            verdict=Verdict.BREACH,
            about="written and signed by the same person",
            severity=Severity.HIGH,
            message=f"{diet.group.called}: {why}; nobody else has looked at it.",
            advice="Feed the last diet that somebody else signed. Ask another signer.",
            places=(last.place, *(one.place for one in own or standing)),
            never_accepted=True,
        )


def _own_commit(diet: Diet, last: SignOff, standing: Standing) -> Commit | None:
    """A change of the diet that the signer committed since the signature before, or None.

    A file that comes in with a commit and names its writer was written by that one.
    """
    log = diet.earlier.log
    if log is None:
        return None
    since = _signed_before(diet, last)
    files = [one.place.file for one in standing]
    suspects = [
        commit
        for commit in log.touching(files)
        if commit.on > since and same_person(commit.author, last.by)
    ]
    group = diet.group.id
    for commit in suspects[:MOST]:
        after, before = log.at(commit.id), log.at(f"{commit.id}^")
        if after is None or group not in after.groups:
            continue
        if before is None or group not in before.groups:
            if all(one.written_by for one in standing):
                continue
            return commit
        if content_digest(after, group, last.on) != content_digest(before, group, last.on):
            return commit
    return None


def _signed_before(diet: Diet, last: SignOff) -> date:
    """The day of the signature before the last one; the first day there is, if there is none."""
    days = [
        one.on
        for one in diet.collection.sign_offs
        if diet.group.id in one.groups and one.on < last.on and allowed(one, diet.settings.signers)
    ]
    return max(days, default=date.min)
