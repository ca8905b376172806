"""The collection's own do-not-feed list, judged by the same matching as the bundled table."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from dietcheck.contract import Check, Diet, DoNotFeed, Food, Severity, Verdict
from dietcheck_rules.toxic_item.exposure import Exposure
from dietcheck_rules.toxic_item.register import scientific_name
from dietcheck_rules.toxic_item.states import Fit, Simple, fits, simple, state_of
from dietcheck_rules.toxic_item.words import any_holds


def site_checks(diet: Diet, reaching: Iterable[Exposure]) -> Iterator[Check]:
    """One check for each food that the collection has ruled out for this group or its taxon."""
    entries = [entry for entry in diet.settings.do_not_feed if _is_for(diet, entry)]
    for exposure in reaching if entries else ():
        for entry in entries:
            match _stands(entry, exposure.part):
                case "yes":
                    yield _check(diet, entry, exposure, "")
                case "unknown":
                    yield _check(diet, entry, exposure, _question(entry))


def _is_for(diet: Diet, entry: DoNotFeed) -> bool:
    group = diet.group
    return any(one == group.id or group.taxon.is_in(one) for one in entry.taxa_or_groups)


def _stands(entry: DoNotFeed, food: Food) -> Fit:
    state = state_of(food)
    named = any_holds(state.names, (entry.name, *entry.also_called))
    own = scientific_name(food.organism).split()
    wanted = scientific_name(entry.organism).split()
    if not (named or (wanted and own[: len(wanted)] == wanted)):
        return "no"
    verdict: Fit = "yes"
    for have, asked, kind in (
        (state.parts, entry.part, "parts"),
        (state.forms, entry.form, "forms"),
    ):
        fit = _fit(have, asked, kind)
        if fit == "no":
            return "no"
        verdict = "unknown" if fit == "unknown" else verdict
    return verdict


def _fit(have: Simple | None, asked: str | None, kind: str) -> Fit:
    """As for the table, but a word of the keeper's that is not known excludes nothing."""
    if not asked:
        return "yes"
    fit = fits(have, (asked,), kind)
    return "unknown" if fit == "no" and simple(asked, kind) is None else fit


def _question(entry: DoNotFeed) -> str:
    asked = " and ".join(filter(None, (entry.part, entry.form)))
    return f"is it {asked}?"


def _check(diet: Diet, entry: DoNotFeed, exposure: Exposure, question: str) -> Check:
    severity = Severity(entry.severity)
    inside = f" in {', '.join(exposure.inside)}" if exposure.inside else ""
    reach = "" if exposure.own else f", {exposure.laid_out},"
    return Check(
        verdict=Verdict.CANNOT_TELL if question else Verdict.BREACH,
        about=f"house list: {entry.name}" + ("" if exposure.own else f"{reach}"),
        food=exposure.part.id,
        severity=severity.one_lower() if question else severity,
        message=f'{diet.group.called}: "{exposure.part.id}"{inside}{reach} '
        f'{"may be" if question else "is"} "{entry.name}", which this collection does not feed to '
        f"them. Site rule of {entry.set_by}, {entry.on.isoformat()}: {entry.why}.",
        advice="Leave it out. Ask whoever set the house rule before feeding it.",
        animals=tuple(animal.id for animal in exposure.animals(diet)),
        occasions=exposure.occasions(),
        settles=question,
        places=(*(offer.line.place.at("food") for offer in exposure.offers), entry.place),
    )
