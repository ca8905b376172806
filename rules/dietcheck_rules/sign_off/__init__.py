"""Every diet in force is covered by a signature under its present content.

A changed diet has to be committed before a vet can look at it and sign, so that a missing or
outdated signature does not stop the commit. It stops all once it has been missing for longer than
the collection allows (`sign_within`): then something is fed that nobody has looked at.
That one person writes and approves a diet is another matter: nobody else has looked.
"""

from collections.abc import Iterable, Iterator
from datetime import date

from dietcheck.contract import (
    Acceptance,
    Check,
    Diet,
    DietSheet,
    Pointer,
    Rota,
    Rule,
    Severity,
    SignOff,
    Verdict,
    allowed,
    files,
    hookimpl,
    last_signed,
    moved,
    not_applicable,
    same_person,
    unchanged,
)
from dietcheck_rules.sign_off import waiting as waits
from dietcheck_rules.sign_off.git_says import what_changed
from dietcheck_rules.sign_off.writers import written_by_signer

MOST = 3  # changes named in one message
WAITS = (
    "Feed the diet that was signed until the vet has signed this one with “dietcheck sign”; the "
    "signature may go in with the change."
)
STOPS = (
    "Feed the diet that was signed. This stops every commit until the vet has looked and signed "
    "with “dietcheck sign”, or the head keeper has put the signed diet back; either may go in with "
    "the commit that was stopped."
)


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="sign-off",
        title="Every diet is signed as it stands",
        folder=files(__name__),
    )


@hookimpl
def judge_group(diet: Diet) -> Iterable[Check]:
    """Whether somebody who may sign has signed what is fed now, and when it is to be reviewed."""
    group = diet.group.id
    standing = _standing(diet)
    if not standing:
        yield not_applicable("signature", "No sheet and no rota is in force: nothing to sign.")
        return
    if not diet.settings.signers and not diet.collection.signed:
        why = "Nobody is named under may_sign in dietcheck.yaml yet, so no diet can be signed."
        yield not_applicable("signature", why)
        return
    named = [s for s in diet.collection.sign_offs if group in s.groups and s.on <= diet.on]
    last = last_signed(diet.collection, group, diet.on)
    if last is None:
        yield _unsigned(diet, standing, named)
        return
    changed = list(_changed(diet, last, standing))
    found = [*changed, *_overdue(diet, last), *written_by_signer(diet, last, standing)]
    found += _void(diet, last)
    if changed:
        found += _strangers(diet, last, named, standing)
    yield from found
    if not found:
        yield Check(
            verdict=Verdict.KEPT,
            about="signature",
            message=f"{diet.group.called}: signed by {last.by} ({last.role}) on {last.on}.",
            weak=() if group in last.content else ("the sign-off holds no digest of the diet",),
            places=(last.place,),
        )


def _standing(diet: Diet) -> tuple[DietSheet | Rota, ...]:
    """The sheet and the rota in force, the sheet first."""
    group = diet.group.id
    both = (diet.collection.sheet_on(group, diet.on), diet.collection.rota_on(group, diet.on))
    return tuple(one for one in both if one is not None)


def _unsigned(diet: Diet, standing: tuple[DietSheet | Rota, ...], named: list[SignOff]) -> Check:
    called = diet.group.called
    waiting = waits.unsigned(diet, standing)
    severity = waiting.severity
    message = f"{called}: no sign-off covers this diet{f'; {waiting.words}' * bool(waiting.words)}."
    if named:
        severity = Severity.HIGH
        last = max(named, key=lambda s: (s.on, s.place.file))
        message = (
            f"{called}: {last.by} signed as {last.role} on {last.on}, but may_sign in "
            "dietcheck.yaml did not allow it on that day."
        )
    return Check(
        verdict=Verdict.BREACH,
        about="signature",
        severity=severity,
        message=message,
        advice="Ask the vet to look at the report and to sign it with “dietcheck sign”.",
        places=(*(s.place for s in named), *(one.place for one in standing)),
    )


def _changed(diet: Diet, last: SignOff, standing: tuple[DietSheet | Rota, ...]) -> Iterator[Check]:
    """A later sheet or rota than the signed one, or another digest than the signed one."""
    group = diet.group.id
    later = [one for one in standing if one.start > last.on] if group not in last.content else []
    if not later and unchanged(diet.collection, last, group):
        return
    told = what_changed(diet, last)
    what = "its sheet, its rota or a food on it is no longer what was signed"
    if told:
        more = f"; and {len(told) - MOST} more" if len(told) > MOST else ""
        what = f"changed since: {'; '.join(told[:MOST])}{more}"
    elif later:
        kind = "sheet" if isinstance(later[0], DietSheet) else "rota"
        what = f"its {kind} of {later[0].start} is newer than the signature"
    waiting = waits.changed(diet, last, standing)
    high = waiting.severity is Severity.HIGH
    since = f" It has been {waiting.words}." if high else ""
    if waiting.words and not since:
        since = f" It waits for a signature, {waiting.words}."
    yield Check(
        verdict=Verdict.BREACH,
        about="changed after the signature",
        severity=waiting.severity,
        message=f"{diet.group.called}: last signed by {last.by} on {last.on}; {what}.{since}",
        advice=STOPS if high else WAITS,
        working=tuple(told),
        places=(*(one.place for one in later or standing), last.place, *_left_by_others(diet)),
    )


def _left_by_others(diet: Diet) -> Iterator[Pointer]:
    return (leaving.leftover.place for leaving in diet.leavings())


def _overdue(diet: Diet, last: SignOff) -> Iterator[Check]:
    every = diet.settings.review_every
    due: list[date] = [last.next_review] if last.next_review else []
    due += [every.after(last.on)] if every else []
    if due and min(due) < diet.on:
        yield Check(
            verdict=Verdict.BREACH,
            about="review overdue",
            message=f"{diet.group.called}: the review was due on {min(due)}, "
            f"{(diet.on - min(due)).days} days ago; last signed on {last.on}.",
            advice="Ask the vet to review the diet and to sign it anew.",
            places=(last.place,),
        )


def _void(diet: Diet, last: SignOff) -> Iterator[Check]:
    """Accepted risks that ended or whose ground moved since anybody signed the diet as it is.

    A later signature settles them: whoever gave it has seen what they no longer release.
    """
    void = [
        (sign_off, one, why)
        for sign_off in diet.collection.sign_offs
        if sign_off.on <= diet.on and allowed(sign_off, diet.settings.signers)
        for one in sign_off.accepts
        if one.group == diet.group.id and (why := _why_void(diet, sign_off, one, last))
    ]
    for sign_off, one, why in sorted(
        void, key=lambda v: (v[1].until, v[1].rule, v[1].place.file, v[1].place.path)
    ):
        food = f" ({one.food})" if one.food else ""
        yield Check(
            verdict=Verdict.BREACH,
            about=f"acceptance void: {one.rule}",
            message=f"{diet.group.called}: what {sign_off.by} accepted on {sign_off.on} for the "
            f"rule {one.rule}{food} no longer counts: {why}.",
            advice="Put the diet right, or ask the vet to decide anew. What it released speaks "
            "again at its own level.",
            animals=one.animals,
            food=one.food,
            places=(one.place,),
        )


def _why_void(diet: Diet, sign_off: SignOff, one: Acceptance, last: SignOff) -> str:
    """Why an acceptance no longer counts and nobody has signed since; else empty."""
    covers = unchanged(diet.collection, last, diet.group.id)
    if one.until < diet.on:
        days = (diet.on - one.until).days
        settled = covers and last.on > one.until
        return (
            ""
            if settled
            else f"it ended on {one.until}, {days} {'day' if days == 1 else 'days'} ago"
        )
    settled = covers and last.on > sign_off.on
    return "" if settled else "; ".join(moved(diet.collection, sign_off, one, diet.on))


def _strangers(
    diet: Diet, last: SignOff, named: list[SignOff], standing: tuple[DietSheet | Rota, ...]
) -> Iterator[Check]:
    """Signatures under the changed diet of people who may not sign: no signature at all."""
    for one in named:
        if one.on >= last.on and not allowed(one, diet.settings.signers):
            wrote = any(s.written_by and same_person(s.written_by, one.by) for s in standing)
            own = f" {one.by} wrote it, too." if wrote else ""
            yield Check(
                verdict=Verdict.BREACH,
                about=f"signed by somebody who may not: {one.by}",
                severity=Severity.HIGH,
                message=f"{diet.group.called}: {one.by} signed as {one.role} on {one.on}, but "
                f"may_sign in dietcheck.yaml did not allow it on that day.{own}",
                advice="Feed the diet that was signed. Ask the vet to look and to sign.",
                places=(one.place,),
                never_accepted=True,
            )
