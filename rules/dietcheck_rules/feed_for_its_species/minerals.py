"""Copper and urea in feed: needed or borne by some animals, deadly to others."""

from __future__ import annotations

from collections.abc import Iterator

from dietcheck.contract import (
    Applied,
    Check,
    Diet,
    Limits,
    Measure,
    Severity,
    Verdict,
    not_applicable,
)
from dietcheck_rules.feed_for_its_species.feeds import (
    MadeFor,
    additives_with,
    is_compound,
    made_for,
)
from dietcheck_rules.feed_for_its_species.label import places
from dietcheck_rules.feed_for_its_species.substances import UREA, Row, substances
from dietcheck_rules.shared.reaching import about, named
from dietcheck_rules.shared.references import refs
from dietcheck_rules.shared.wording import figure_words, limit_words, standing_words
from dietcheck_rules.toxic_item.exposure import Exposure

COPPER = "copper in compound feed"
YOUNG = frozenset({"infant", "juvenile"})
VERDICTS = {"past": Verdict.BREACH, "across": Verdict.CANNOT_TELL, "inside": Verdict.KEPT}


def copper_checks(diet: Diet, exposure: Exposure, limits: Limits) -> Iterator[Check]:
    """Copper in a feed against the ceiling for feed of the animal's taxon, where there is one."""
    applied = limits.applying(diet.group, COPPER)
    if applied is None or not is_compound(exposure.part):
        return
    limit = applied.limit
    for_them = made_for(exposure.part, diet.group.taxon) is MadeFor.THIS_ANIMAL
    if limit.standing.is_absence:
        yield not_applicable(
            about(COPPER, exposure), f"{diet.group.called}: {limit.standing.value}; {limit.note}."
        )
    elif diet.profiles[exposure.part].states("copper"):
        yield _copper_stated(diet, exposure, applied)
    elif not for_them:
        severity = Severity(limit.severity).one_lower()
        yield Check(
            verdict=Verdict.CANNOT_TELL,
            about=about(COPPER, exposure),
            food=exposure.part.id,
            severity=severity,
            message=f"{diet.group.called}: how much copper is in {named(exposure)} is not written, "
            f"and it is not made for them; the ceiling for their feed is {limit_words(limit)} "
            f"({standing_words(limit)}).",
            advice="Copy the copper from the label or ask the maker; feed one made for this animal "
            "until then.",
            settles="copper in mg per kg on the label",
            limit=limit,
            others=applied.others,
            animals=tuple(animal.id for animal in exposure.animals(diet)),
            occasions=exposure.occasions(),
            places=places(exposure, "label"),
            sources=limit.sources,
        )


def _copper_stated(diet: Diet, exposure: Exposure, applied: Applied) -> Check:
    limit = applied.limit
    value = diet.profiles[exposure.part].per_100g("copper") * 10  # mg per 100 g → mg per kg
    verdict = VERDICTS[limit.stands(value)]
    kept = verdict is Verdict.KEPT
    shown = figure_words(value, limit)
    return Check(
        verdict=verdict,
        about=about(COPPER, exposure),
        food=exposure.part.id,
        severity=Severity(limit.severity),
        message=f"{diet.group.called}: {named(exposure)} holds {shown} of copper; the ceiling for "
        f"their feed is {limit_words(limit)} ({standing_words(limit)}).",
        advice=""
        if kept
        else "Do not feed it; feed one made for this animal, and tell the vet "
        "how long it was fed: copper builds up in the liver.",
        settles="" if verdict is not Verdict.CANNOT_TELL else "copper as one figure on the label",
        measured=Measure(value, "mg/kg", "as fed"),
        limit=limit,
        others=applied.others,
        animals=() if kept else tuple(animal.id for animal in exposure.animals(diet)),
        occasions=() if kept else exposure.occasions(),
        working=(f"{exposure.part.id}: {shown} copper; {limit_words(limit)}: {limit.note}",),
        places=() if kept else places(exposure, "label"),
        sources=limit.sources,
    )


def urea_checks(diet: Diet, exposure: Exposure) -> Iterator[Check]:
    """Urea among the additives, for animals that cannot use it or are not used to it."""
    named_so = additives_with(exposure.part, UREA)
    urea = next(one for one in substances() if one.id == UREA)
    row = urea.row_for(diet.group.taxon)
    if not named_so or row is None:
        return
    ruminant = row.taxon == "Ruminantia"
    young = [a for a in exposure.animals(diet) if a.stage in YOUNG] if ruminant else []
    for_them = made_for(exposure.part, diet.group.taxon) is MadeFor.THIS_ANIMAL
    if ruminant and not young and for_them:
        return
    settled = bool(young) or not ruminant
    severity = Severity(row.severity) if settled else Severity(row.severity).one_lower()
    yield _urea(diet, exposure, row, (named_so[0], urea.effect), severity, settled=settled)


def _urea(
    diet: Diet,
    exposure: Exposure,
    row: Row,
    name_and_effect: tuple[str, str],
    severity: Severity,
    *,
    settled: bool,
) -> Check:
    name, effect = name_and_effect
    return Check(
        verdict=Verdict.BREACH if settled else Verdict.CANNOT_TELL,
        about=about("urea in the feed", exposure),
        food=exposure.part.id,
        severity=severity,
        message=f"{diet.group.called}: {named(exposure)} holds {name}, harmful to {row.common} "
        f"({row.note}): {effect}. No published dose was read.",
        advice="Do not feed it. If it was eaten, call the vet now."
        if settled
        else "Feed it only to animals slowly used to it; ask the vet first.",
        settles="" if settled else "whether these animals are used to urea",
        animals=tuple(animal.id for animal in exposure.animals(diet)),
        occasions=exposure.occasions(),
        weak=()
        if row.seen == "original"
        else (f"that {row.common} take harm was read as {row.seen}, not in its source",),
        places=places(exposure, "additives"),
        sources=refs(row.sources),
    )
