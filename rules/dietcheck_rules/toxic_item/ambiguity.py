"""Words that mean several things: a food that goes by nothing else is asked about, not guessed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cache

from msgspec import Struct
from msgspec.structs import replace

from dietcheck.contract import Check, Diet, Food, Severity, Verdict
from dietcheck_rules.shared.references import refs
from dietcheck_rules.toxic_item.assess import Risk, risk_of
from dietcheck_rules.toxic_item.exposure import Exposure
from dietcheck_rules.toxic_item.items import item
from dietcheck_rules.toxic_item.kin import kin_risk_of
from dietcheck_rules.toxic_item.register import ANIMAL_CLASSES, Hit, hits, register
from dietcheck_rules.toxic_item.words import Tokens, bare, table, tokens

FOOD_CLASSES = frozenset({"fruit", "dried fruit", "fruit juice", "nut", "grain", "vegetable"})


class Reading(Struct, frozen=True):
    """One thing that a word may mean; `item` is the toxic item it then is, if any."""

    name: str
    scientific: str
    family: str
    role: str
    item: str


@cache
def traps() -> Mapping[Tokens, tuple[Reading, ...]]:
    """Ambiguous words with their readings."""
    keys = ("name", "scientific", "family", "role", "item")
    return {
        tokens(trap["word"]): tuple(
            Reading(*(reading.get(key, "") for key in keys)) for reading in trap["readings"]
        )
        for trap in table("ambiguous.yaml")["ambiguous"]
        if tokens(trap["word"]) in register().ambiguous
    }


def readings(food: Food) -> tuple[str, tuple[Reading, ...]]:
    """The ambiguous word a food goes by, and what it may mean; nothing where that is settled."""
    if food.organism or food.mix:
        return "", ()
    words = [bare(tokens(name)) for name in food.names()]
    word = next((one for one in words if one in traps()), None)
    if word is None:
        return "", ()
    possible = tuple(one for one in traps()[word] if _possible(food, one))
    named = {hit.item for hit in hits(food)}  # a longer name that says which one it is
    return (" ".join(word), possible) if named.isdisjoint(r.item for r in possible) else ("", ())


def _possible(food: Food, reading: Reading) -> bool:
    """Whether a reading goes with the food's class: insects are no trees."""
    if food.food_class in ANIMAL_CLASSES:
        return reading.role == "feeder"
    if food.food_class in FOOD_CLASSES:
        return reading.role in ("food", "toxic") and not (
            reading.role == "toxic" and food.food_class in ("fruit juice", "grain")
        )
    return True


def ambiguous_checks(diet: Diet, reaching: Iterable[Exposure]) -> Iterator[Check]:
    """One question for each food whose only name may be that of something harmful here."""
    for exposure in reaching:
        word, possible = readings(exposure.part)
        risks = [risk for one in possible if (risk := _risk(diet, exposure.part, one)) is not None]
        if risks:
            yield _check(diet, exposure, word, possible, risks)


def _risk(diet: Diet, food: Food, reading: Reading) -> Risk | None:
    if not reading.item:
        return None
    as_read = replace(food, organism=reading.scientific or None, family=reading.family or None)
    hit = Hit(reading.item, reading.name, by_name=True, certain=False)
    asked = (item(reading.item), hit, as_read, diet.group.taxon, diet.animals)
    risk = risk_of(*asked) or kin_risk_of(*asked)
    return None if risk is None or risk.judged_by_share else risk


def _check(
    diet: Diet,
    exposure: Exposure,
    word: str,
    possible: tuple[Reading, ...],
    found: list[Risk],
) -> Check:
    worst = min(found, key=lambda risk: risk.severity.rank)
    meanings = " or ".join(
        f"{one.name} ({one.scientific})" if one.scientific else one.name for one in possible
    )
    kin = f", of the same order ({diet.group.taxon.order})" if worst.kin else ""
    severity = worst.severity if worst.severity.rank >= Severity.MEDIUM.rank else Severity.MEDIUM
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=f"which {word}",
        food=exposure.part.id,
        severity=severity,
        message=f'{diet.group.called}: "{exposure.part.id}" may be {meanings}. '
        f"{worst.item.name} harms {worst.row.common}{kin}: {worst.item.effect}.",
        advice="Do not feed it until the plant is known. Write the scientific name as organism.",
        animals=tuple(animal.id for animal in exposure.animals(diet)),
        occasions=exposure.occasions(),
        settles=f'which "{word}" is it, by its scientific name (organism)?',
        places=tuple(offer.line.place.at("food") for offer in exposure.offers),
        sources=refs(key for risk in found for key in risk.row.sources),
    )
