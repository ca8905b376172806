"""Medicines and coccidiostats in feed: no signature makes them right for another animal."""

from __future__ import annotations

from collections.abc import Iterator

from dietcheck.contract import Check, Diet, Severity, Verdict
from dietcheck_rules.feed_for_its_species.doses import Reckoning, reckon
from dietcheck_rules.feed_for_its_species.feeds import (
    MadeFor,
    Medicine,
    is_compound,
    made_for,
    meant_for,
    medicines_in,
    medicines_said,
)
from dietcheck_rules.feed_for_its_species.label import places, taxa_words
from dietcheck_rules.feed_for_its_species.substances import IONOPHORES, Row, Substance, substances
from dietcheck_rules.shared.reaching import about, most_words, named
from dietcheck_rules.shared.references import refs
from dietcheck_rules.toxic_item.exposure import Exposure

WITNESSED = ("A", "B")  # grades of evidence in the taxon itself; C is an extrapolation
ASK = (
    "Keep it out of the bowl until the label or the maker says in writing what is in it; then "
    "write medicines: none, or name them."
)
STOP = "Do not feed it. If any was eaten, call the vet now and keep the bag and its label."

NO_SIGNATURE = " No signature can release this."


def medicine_checks(diet: Diet, exposure: Exposure) -> Iterator[Check]:
    """A check for each medicine in a feed, or for what is not known of them."""
    said = medicines_said(exposure.part)
    if said == "named":
        for medicine in medicines_in(exposure.part):
            yield from _named(diet, exposure, medicine)
    elif said == "unknown" or (said == "not stated" and is_compound(exposure.part)):
        yield _open(diet, exposure, said)


def _open(diet: Diet, exposure: Exposure, said: str) -> Check:
    fit = made_for(exposure.part, diet.group.taxon)
    row = _witnessed(diet)
    severity = _open_severity(fit, said, row, own=exposure.own)
    never = severity is Severity.HIGH and fit is not MadeFor.THIS_ANIMAL
    written = "that is unknown" if said == "unknown" else "nothing is written about it"
    if fit is MadeFor.OTHERS:
        label = f"made for {taxa_words(exposure.part)}"
    else:
        label = "made for them" if fit is MadeFor.THIS_ANIMAL else "made for nobody knows whom"
    risk = (
        f"Ionophores kill {row.common}: {_ionophores().effect}."
        if row
        else f"An ionophore meant for other animals can kill: {_ionophores().effect}."
    )
    most = most_words(diet, exposure)
    amount = f"; they get {most}, no dose can be reckoned" if most else ""
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=about("medicines in the feed", exposure),
        food=exposure.part.id,
        severity=severity,
        message=f"{diet.group.called}: whether {named(exposure)}, {label}, holds a coccidiostat or "
        f"medicine cannot be told, as {written}{amount}. {risk}",
        advice=ASK + (NO_SIGNATURE if never else ""),
        settles="what the label or the maker says of medicines and coccidiostats (medicines)",
        animals=tuple(animal.id for animal in exposure.animals(diet)),
        occasions=exposure.occasions(),
        working=_row_lines(row),
        weak=_weak(row),
        places=places(exposure, "medicines"),
        sources=refs(row.sources if row else ()),
        never_accepted=never,
    )


def _open_severity(fit: MadeFor, said: str, row: Row | None, *, own: bool) -> Severity:
    """High where somebody looked and does not know, or the own feed is made for others; where the
    line was only left out, high for kin of animals that have died of it and medium for others."""
    if said == "unknown" or (fit is MadeFor.OTHERS and own):
        return Severity.HIGH
    if fit is MadeFor.THIS_ANIMAL:
        return Severity.MEDIUM
    return Severity.HIGH if row else Severity.MEDIUM


def _named(diet: Diet, exposure: Exposure, medicine: Medicine) -> Iterator[Check]:
    food, taxon = exposure.part, diet.group.taxon
    fit = made_for(food, taxon)
    row = medicine.substance.row_for(taxon) if medicine.substance else None
    ionophore = medicine.substance is not None and medicine.substance.id == IONOPHORES
    reckoned = reckon(diet, exposure, medicine)
    effect = f": {medicine.substance.effect}" if medicine.substance else ""
    start = f"{diet.group.called}: {named(exposure)} holds {medicine.name} ({reckoned.said})"
    if fit is MadeFor.THIS_ANIMAL and not (ionophore and _label_too_wide(diet, exposure, row)):
        if ionophore:
            return
        yield _check(
            diet, exposure, medicine, reckoned, row, Verdict.CANNOT_TELL, Severity.MEDIUM,
            f"{start}. It may be fed only on a vet's written order, and the records hold none.",
            "Ask the vet for the order; a signature that accepts this finding stands for it.",
        )  # fmt: skip
        return
    if fit is MadeFor.OTHERS:
        why = f"and is made for {taxa_words(food)}, not for them"
    elif fit is MadeFor.THIS_ANIMAL:
        why = f"and {row.common if row else 'they'} die of it, whatever the label takes in"
    else:
        why = "and for which animals it is made is not known"
    known = fit is MadeFor.OTHERS or fit is MadeFor.THIS_ANIMAL
    harmed = f" Harmful to {row.common}{effect}." if row and row.evidence in WITNESSED else ""
    yield _check(
        diet, exposure, medicine, reckoned, row,
        Verdict.BREACH if known else Verdict.CANNOT_TELL, Severity.HIGH,
        f"{start} {why}.{harmed}", STOP, never=True,
    )  # fmt: skip


def _label_too_wide(diet: Diet, exposure: Exposure, row: Row | None) -> bool:
    """Whether an animal known to die of it is named only by a taxon wider than that knowledge."""
    if row is None or row.evidence not in WITNESSED:
        return False
    taxon = diet.group.taxon
    nearest = min(
        taxon.rank_distance(name) for name in meant_for(exposure.part) if taxon.is_in(name)
    )
    return nearest > taxon.rank_distance(row.taxon)


def _check(
    diet: Diet,
    exposure: Exposure,
    medicine: Medicine,
    reckoned: Reckoning,
    row: Row | None,
    verdict: Verdict,
    severity: Severity,
    message: str,
    advice: str,
    *,
    never: bool = False,
) -> Check:
    open_label = verdict is Verdict.CANNOT_TELL and never
    return Check(
        verdict=verdict,
        about=about(f"{medicine.name} in the feed", exposure),
        food=exposure.part.id,
        severity=severity,
        message=message,
        advice=advice + (NO_SIGNATURE if never else ""),
        settles="the animals on the label (meant_for)"
        if open_label
        else ("" if verdict is Verdict.BREACH else "the vet's written order"),
        animals=tuple(animal.id for animal in exposure.animals(diet)),
        occasions=exposure.occasions(),
        working=(*_row_lines(row), *reckoned.working),
        weak=_weak(row),
        places=places(exposure, "medicines"),
        sources=refs(
            [*(row.sources if row else ()), *(key for one in reckoned.doses for key in one.sources)]
        ),
        never_accepted=never,
    )


def _witnessed(diet: Diet) -> Row | None:
    """The row that says that ionophores have killed this animal's kin."""
    row = _ionophores().row_for(diet.group.taxon)
    return row if row and row.evidence in WITNESSED else None


def _ionophores() -> Substance:
    return next(one for one in substances() if one.id == IONOPHORES)


def _row_lines(row: Row | None) -> tuple[str, ...]:
    if row is None:
        return ()
    cited = ", ".join(row.sources) or "no source read"
    note = f" ({row.note})" if row.note else ""
    return (f"listed: {row.common}{note}, evidence {row.evidence}, {cited}, read as {row.seen}",)


def _weak(row: Row | None) -> tuple[str, ...]:
    if row is None or row.seen == "original":
        return ()
    return (f"that {row.common} take harm was read as {row.seen}, not in its source",)
