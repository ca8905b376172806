"""Meat by where its animal came from and how it died: drugs, lead, poison, or nobody knows."""

from __future__ import annotations

from collections.abc import Iterator

from dietcheck.contract import Check, Diet, Food, Severity, Verdict
from dietcheck_rules.feed_origin.report import check, row_words
from dietcheck_rules.feed_origin.tables import MEATS, Origin, answers, narrowest, origins, words
from dietcheck_rules.feed_origin.words import Clauses, clauses_of, origin_of, says, statement_of
from dietcheck_rules.shared.reaching import named
from dietcheck_rules.toxic_item.exposure import Exposure

GRAVE = ("barbiturate", "poisoned-prey")  # beside these no further question matters
WRITE_IT = (
    "Ask the supplier and write it down (meat_origin): fit for people, bred as feed, or how it "
    "died and which medicines it had had."
)


def hinted(food: Food) -> tuple[Origin, ...]:
    """The origins that a food's record speaks of, and that nothing in it answers."""
    clauses, statement = clauses_of(food), statement_of(food)
    return tuple(
        origin
        for origin in _spoken(food, clauses)
        if not says((*statement, *clauses), origin.cleared)
    )


def is_fallen(food: Food) -> str:
    """The word that says that the animal was not killed to be eaten; nothing if none does."""
    return says(clauses_of(food), words("fallen")) if _of_animals(food) else ""


def carcass_checks(diet: Diet, exposure: Exposure) -> Iterator[Check]:
    """A check for each bad origin; else one for what is not written of a carcass or of meat."""
    food = exposure.part
    found = hinted(food)
    for origin in found:
        yield _bad(diet, exposure, origin)
    if any(origin.id in GRAVE for origin in found):
        return
    if fallen := is_fallen(food):
        yield from _fallen(diet, exposure, fallen)
    elif food.food_class in MEATS and not _spoken(food, clauses_of(food)):
        yield from _unstated(diet, exposure)


def _of_animals(food: Food) -> bool:
    """Whether a word such as "fallen" or "shot" can only mean an animal."""
    return food.food_class in MEATS or food.food_class == "other" or bool(origin_of(food))


def _spoken(food: Food, clauses: Clauses) -> tuple[Origin, ...]:
    return tuple(
        origin
        for origin in origins()
        if (_of_animals(food) or origin.any_food)
        and (not origin.classes or food.food_class in origin.classes)
        and says(clauses, origin.said)
    )


def _bad(diet: Diet, exposure: Exposure, origin: Origin) -> Check:
    food, taxon = exposure.part, diet.group.taxon
    row = narrowest(origin.rows, taxon)
    severity = row.severity if row else origin.others
    said = says(clauses_of(food), origin.said)
    if origin.question:
        severity = severity.one_lower()
    return check(
        diet, exposure, origin.title,
        Verdict.CANNOT_TELL if origin.question else Verdict.BREACH, severity,
        f'{named(exposure)} comes from "{origin_of(food) or said}": {origin.title.lower()}'
        f"{row_words(row)}. Harm: {origin.effect}; no dose can be reckoned.",
        origin.advice, settles=origin.question, row=row, laws=origin.laws,
    )  # fmt: skip


def _fallen(diet: Diet, exposure: Exposure, fallen: str) -> Iterator[Check]:
    food = exposure.part
    missing = [answer.asks for answer in answers() if not says(statement_of(food), answer.said)]
    if missing:
        yield check(
            diet, exposure, "fallen stock without a statement", Verdict.BREACH, Severity.HIGH,
            f'{named(exposure)} is "{origin_of(food) or fallen}", and it is not written '
            f"{' nor '.join(missing)}. Drugs used to put animals down, medicines and lead in such "
            "meat have killed carnivores and vultures.",
            f"Do not feed it until that is known. {WRITE_IT}", settles=" and ".join(missing),
            laws=("animal by-products",),
        )  # fmt: skip


def _unstated(diet: Diet, exposure: Exposure) -> Iterator[Check]:
    food = exposure.part
    written = origin_of(food)
    if says(statement_of(food), words("sound")):
        return
    carcass = bool(says(clauses_of(food), words("carcass")))
    does_not_tell = f'"{written}" does not tell' if written else "it is not written"
    if carcass:
        yield check(
            diet, exposure, "carcass without a statement",
            Verdict.CANNOT_TELL if written else Verdict.BREACH,
            Severity.MEDIUM if written else Severity.HIGH,
            f"{named(exposure)} is a carcass, and {does_not_tell} where it comes from: how it "
            "died, which medicines it had had, whether a drug put it down or lead shot killed it.",
            f"Do not feed it until that is known. {WRITE_IT}",
            settles="where it comes from (meat_origin)", laws=("animal by-products",),
        )  # fmt: skip
        return
    yield check(
        diet, exposure, "origin of the meat", Verdict.CANNOT_TELL, Severity.LOW,
        f"{named(exposure)}: {does_not_tell} whether it is fit for people, bred as feed, fallen "
        "stock or shot game.",
        WRITE_IT, settles="where it comes from (meat_origin)",
    )  # fmt: skip
