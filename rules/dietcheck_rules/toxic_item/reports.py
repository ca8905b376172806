"""Puts a risk into words: who, which item, which part, how much against which dose, what to do."""

from __future__ import annotations

from collections.abc import Iterator

from dietcheck.contract import (
    UNKNOWN,
    ZERO,
    Animal,
    Check,
    Diet,
    Interval,
    Pointer,
    Severity,
    Verdict,
    exact,
    format_interval,
    order_of,
)
from dietcheck_rules.shared.references import refs
from dietcheck_rules.toxic_item.assess import Risk
from dietcheck_rules.toxic_item.dose import Comparison, Eaten, cited, compare
from dietcheck_rules.toxic_item.exposure import Exposure
from dietcheck_rules.toxic_item.items import disagreements

ADVICE = {
    "never": "Do not feed it. If any was eaten, call the vet now and keep a sample.",
    "only-cooked": "Do not feed it raw: boil it through, or leave it out.",
    "remove-part": "Take the harmful part out before it is fed, or leave the food out.",
    "limit-share": "Leave it out, or keep it small and rare; ask the vet first.",
    "needs-supplement": "Feed it only with the supplement it calls for; ask the vet.",
    "source-check": "Feed it only from a checked source; ask for the supplier's paper, or leave it "
    "out.",
    "vet-only": "Feed it only on the vet's written order.",
}
EVIDENCE = {
    "A": "experiment or manual consensus",
    "B": "case reports",
    "C": "extrapolation or opinion",
}
ASK_VET = (
    "Do not feed it until the vet has answered. If any was eaten, call the vet now and keep a "
    "sample."
)
DOUBT = "Until that is settled leave it out."


def report(diet: Diet, risk: Risk, exposure: Exposure) -> Check:
    """The check for one harmful item in one food."""
    animals = tuple(a for a in exposure.animals(diet) if not risk.animals or a in risk.animals)
    worst, grams = _worst(diet, exposure, animals or diet.animals)
    compared = _compared(diet, risk, exposure, worst, grams)
    three = exposure.taking_three(diet, grams) if worst else None
    greedy = _compared(diet, risk, exposure, worst, three) if three else None
    severity = _severity(diet, risk, greedy or compared)
    differing = disagreements().get(risk.item.id, ())
    return Check(
        verdict=Verdict.BREACH if risk.certain else Verdict.CANNOT_TELL,
        about=_about(risk, exposure),
        food=exposure.part.id,
        severity=severity,
        message=f"{_subject(diet, worst)}: {_what(risk, exposure)}. "
        f"{_amount(worst, grams, compared, greedy)}",
        advice=ADVICE[risk.row.advice] if risk.certain else f"{DOUBT} {ADVICE[risk.row.advice]}",
        animals=tuple(animal.id for animal in animals),
        occasions=exposure.occasions(),
        working=(
            *_working(diet, risk, worst, grams, compared),
            *_three(three, greedy),
            *(f"sources disagree: {one.text} ({cited(one.sources)})" for one in differing),
        ),
        settles=" ".join(risk.open_questions),
        weak=_weak(risk),
        places=_places(exposure),
        sources=refs(
            (
                *risk.row.sources,
                *(compared.dose.sources if compared else ()),
                *(key for one in differing for key in one.sources),
            )
        ),
    )


def report_kin(diet: Diet, risk: Risk, exposure: Exposure) -> Check:
    """The question about an item that harms animals of the same order, and no more than that."""
    animals = exposure.animals(diet)
    worst, grams = _worst(diet, exposure, animals or diet.animals)
    species = diet.group.taxon.english_name or diet.group.taxon.scientific_name
    kin = "; ".join(dict.fromkeys(row.common for row in risk.kin))
    counts = "may count" if len(risk.open_questions) > 1 else "counts"
    known = f"evidence {risk.row.evidence}, {EVIDENCE[risk.row.evidence]}"
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=_about(risk, exposure),
        food=exposure.part.id,
        severity=risk.severity,
        message=f"{_subject(diet, worst)}: {_fed(risk, exposure)} {counts} as "
        f'"{risk.item.name}"; nothing is on file for this species ({species}), but it harms {kin} '
        f"of the same order, {diet.group.taxon.order} ({known}): {risk.item.effect}. "
        f"{_no_dose(worst, grams)}",
        advice=ASK_VET,
        animals=tuple(animal.id for animal in animals),
        occasions=exposure.occasions(),
        working=tuple(_kin_working(risk)),
        settles=" ".join(risk.open_questions),
        weak=("carried over from animals of the same order", *_weak(risk)),
        places=_places(exposure),
        sources=refs(key for row in risk.kin for key in row.sources),
    )


def _kin_working(risk: Risk) -> Iterator[str]:
    for row in risk.kin:
        note = f" ({row.note})" if row.note else ""
        yield (
            f"listed: {risk.item.name} for {row.taxa[0]}{note}, evidence {row.evidence}, "
            f"{cited(row.sources)}, read as {row.seen}"
        )
    for one in risk.item.tolerant:
        if order_of(one.taxon) in {order_of(row.taxa[0]) for row in risk.kin}:
            yield f"less affected: {one.taxon}, {one.note} ({cited(one.sources)})"
    yield "no dose is published for this species, and its kin's is not its own: nothing is divided"


def _no_dose(worst: Animal | None, grams: Interval) -> str:
    none = "No dose can be worked out, as none is published for this species"
    if worst is None or not grams.is_bounded:
        return f"{none}; how much one animal gets is not known either."
    most = format_interval(Interval(grams.high, grams.high), "g")
    return f"{none}; up to {most} a day for {worst.called}."


def _places(exposure: Exposure) -> tuple[Pointer, ...]:
    inside = (exposure.part.place,) if exposure.inside else ()
    return (*(offer.line.place.at("food") for offer in exposure.offers), *inside)


def _compared(
    diet: Diet, risk: Risk, exposure: Exposure, worst: Animal | None, grams: Interval
) -> Comparison | None:
    if worst is None or not grams.is_bounded:
        return None
    adds_up = any(dose.cumulative for dose in risk.item.doses)
    in_all = exposure.over_rota(diet, worst) if adds_up else ZERO
    eaten = Eaten(grams, in_all, diet.settings.rota_days)
    return compare(risk, diet.group.taxon, eaten, diet.mass_of(worst))


def _three(three: Interval | None, greedy: Comparison | None) -> Iterator[str]:
    """The worst day of an animal that takes three shares."""
    if three is None:
        return
    share = f", {format_interval(greedy.share * 100, '%')} of that dose" if greedy else ""
    yield (
        f"if one animal takes three shares, or all there is: up to "
        f"{format_interval(exact(three.high), 'g')}{share} (three: common practice, no source)"
    )


def _about(risk: Risk, exposure: Exposure) -> str:
    reach = "" if exposure.own else f", {exposure.whence}"
    return f"{risk.item.name}{reach}"


def _subject(diet: Diet, worst: Animal | None) -> str:
    if worst is None or len(diet.animals) > 1:
        return diet.group.called
    return worst.called


def _fed(risk: Risk, exposure: Exposure) -> str:
    """The food, where it hides and the part and form that are assumed."""
    named = f'"{exposure.part.id}"'
    if exposure.inside:
        named += f" in {', '.join(exposure.inside)}"
    if not exposure.own:
        named += f", {exposure.laid_out},"
    state = ", ".join(filter(None, (risk.state.part_said, risk.state.form_said)))
    state = f" ({state})" if state else " (part and form not written)"
    return f"{named}{state}"


def _what(risk: Risk, exposure: Exposure) -> str:
    counts = "counts" if risk.certain else "may count"
    note = f" ({risk.row.note})" if risk.row.note else ""
    harmed = f"harmful to {risk.row.common}{note}: {risk.item.effect}"
    tolerance = risk.tolerance
    if tolerance is not None:
        harmed += f"; {tolerance.common} less as far as known, which is no reason to feed it"
    return f'{_fed(risk, exposure)} {counts} as "{risk.item.name}", {harmed}'


def _amount(
    worst: Animal | None,
    grams: Interval,
    compared: Comparison | None,
    greedy: Comparison | None,
) -> str:
    if worst is None or not grams.is_bounded:
        return "How much one animal gets cannot be worked out, so no dose is compared."
    shown = (
        f"Up to {format_interval(Interval(grams.high, grams.high), 'g')} a day for {worst.called}"
    )
    if compared is None:
        return f"{shown}; no published dose can be compared with that."
    share = format_interval(compared.share * 100, "%")
    if compared.days:
        shown += f", in {compared.days} days"
    elif greedy is not None and greedy.share.high > compared.share.high:
        share += f" ({format_interval(greedy.share * 100, '%')} if it takes three shares)"
    whose = "" if compared.own else f", of {compared.dose.taxon}, not of this species"
    return (
        f"{shown}: {share} of the lowest published {compared.dose.kind} dose "
        f"({cited(compared.dose.sources)}{whose})"
        f"{f', reached in {compared.reached_in} days' if compared.reached_in else ''}."
    )


def _working(
    diet: Diet, risk: Risk, worst: Animal | None, grams: Interval, compared: Comparison | None
) -> list[str]:
    row = risk.row
    lines = [
        f"listed: {risk.item.name} for {row.taxa[0]}, evidence {row.evidence}, "
        f"{cited(row.sources)}, read as {row.seen}"
    ]
    if compared is not None:
        lines += compared.working
    elif worst is not None and grams.is_bounded:
        lines.append(f"{format_interval(grams, 'g')} on the worst day for {worst.called}")
        if diet.mass_of(worst) is None:
            lines.append(f"{worst.called} has no current weighing, so no dose per kg of body mass")
    if compared is not None and any(map(diet.group.taxon.is_in, risk.item.no_threshold)):
        lines.append("no safe threshold is known, so a small amount lowers nothing")
    return lines


def _weak(risk: Risk) -> tuple[str, ...]:
    weak = []
    if risk.row.seen != "original":
        weak.append(f"the row was read as {risk.row.seen}, not in its source")
    if risk.tolerance is not None and not risk.tolerance.sources:
        weak.append(f"tolerance of {risk.tolerance.common} is from memory and lowers nothing")
    return tuple(weak)


def _severity(diet: Diet, risk: Risk, compared: Comparison | None) -> Severity:
    """A dose far below every published one lowers by one; it never clears."""
    unknown_threshold = any(map(diet.group.taxon.is_in, risk.item.no_threshold))
    if compared is None or not compared.far_below or unknown_threshold:
        return risk.severity
    return risk.severity.one_lower()


def _worst(
    diet: Diet, exposure: Exposure, animals: tuple[Animal, ...]
) -> tuple[Animal | None, Interval]:
    """The animal with the most grams for each kg of body mass, and its grams on the worst day."""
    eaten = [(animal, exposure.worst_day(diet, animal)) for animal in animals]
    if not eaten:
        return None, UNKNOWN
    return max(eaten, key=lambda one: _load(diet, *one))


def _load(diet: Diet, animal: Animal, grams: Interval) -> tuple[bool, object]:
    mass = diet.mass_of(animal)
    if mass is None or mass.low <= 0:
        return False, grams.high
    return True, grams.high / mass.low
