"""Every diet in force is covered by a signature under its present content.

A changed diet has to be committed before a vet can look at it and sign, so that a missing or
outdated signature is for the vet to settle and does not stop the commit; the merge can wait for it.
That one person writes and approves a diet is another matter: nobody else has looked.
"""

from collections.abc import Iterable, Iterator
from datetime import date
from importlib.resources import files

from dietcheck.contract import (
    Check,
    Diet,
    DietSheet,
    Rota,
    Rule,
    Severity,
    SignOff,
    Verdict,
    allowed,
    hookimpl,
    not_applicable,
    unchanged,
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
    signers = diet.settings.signers
    if not signers and not diet.collection.sign_offs:
        why = "Nobody is named under may_sign in dietcheck.yaml yet, so no diet can be signed."
        yield not_applicable("signature", why)
        return
    named = [s for s in diet.collection.sign_offs if group in s.groups and s.on <= diet.on]
    good = sorted((s for s in named if allowed(s, signers)), key=lambda s: (s.on, s.place.file))
    if not good:
        yield _unsigned(diet, standing, named)
        return
    last = good[-1]
    found = [*_changed(diet, last, standing), *_overdue(diet, last), *_same(diet, last, standing)]
    yield from (*found, *_ended(diet, last))
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
    message = f"{called}: no sign-off covers this diet."
    severity = Severity.MEDIUM
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
    what = "its sheet, its rota or a food on it is no longer what was signed"
    if later:
        kind = "sheet" if isinstance(later[0], DietSheet) else "rota"
        what = f"its {kind} of {later[0].start} is newer than the signature"
    yield Check(
        verdict=Verdict.BREACH,
        about="changed after the signature",
        message=f"{diet.group.called}: last signed by {last.by} on {last.on}; {what}.",
        advice="Feed the diet that was signed until the vet has signed this one with "
        "“dietcheck sign”.",
        places=(*(one.place for one in later or standing), last.place),
    )


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


def _ended(diet: Diet, last: SignOff) -> Iterator[Check]:
    """Accepted risks whose end has come since anybody signed; a later signature settles them."""
    ended = [
        one
        for sign_off in diet.collection.sign_offs
        if sign_off.on <= diet.on and allowed(sign_off, diet.settings.signers)
        for one in sign_off.accepts
        if one.group == diet.group.id and last.on <= one.until < diet.on
    ]
    for one in sorted(ended, key=lambda a: (a.until, a.rule, a.place.file, a.place.path)):
        yield Check(
            verdict=Verdict.BREACH,
            about=f"acceptance ended: {one.rule}",
            severity=Severity.LOW,
            message=f"{diet.group.called}: the risk accepted for the rule {one.rule} ended on "
            f"{one.until}, {(diet.on - one.until).days} days ago; what it released speaks again.",
            advice="Put the diet right, or ask the vet to decide anew.",
            animals=one.animals,
            food=one.food,
            places=(one.place,),
        )


def _same(diet: Diet, last: SignOff, standing: tuple[DietSheet | Rota, ...]) -> Iterator[Check]:
    own = [one for one in standing if one.written_by and _name(one.written_by) == _name(last.by)]
    if own:
        yield Check(
            verdict=Verdict.BREACH,
            about="written and signed by the same person",
            severity=Severity.HIGH,
            message=f"{diet.group.called}: {last.by} wrote this diet and signed it on {last.on}; "
            "nobody else has looked at it.",
            advice="Feed the last diet that somebody else signed. Ask another signer.",
            places=(last.place, *(one.place for one in own)),
            never_accepted=True,
        )


def _name(text: str) -> str:
    return " ".join(text.split()).casefold()
