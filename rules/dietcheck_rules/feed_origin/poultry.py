"""Raw meat, prey and eggs of birds, for animals that avian influenza has killed."""

from __future__ import annotations

from collections.abc import Iterator

from dietcheck.contract import Check, Diet, Food, Verdict, find_taxon
from dietcheck_rules.feed_origin.report import check
from dietcheck_rules.feed_origin.tables import Row, narrowest, poultry_rows, table, words
from dietcheck_rules.feed_origin.words import clauses_of, says, state_of, statement_of
from dietcheck_rules.shared.reaching import named
from dietcheck_rules.toxic_item.exposure import Exposure

FLU = "avian influenza"
CLASSES = frozenset(words("poultry", "classes"))


def is_bird_meat(food: Food) -> bool:
    """Whether a food is raw or may be raw meat, prey or egg of a bird; a cooked one is not."""
    if food.mix or says(state_of(food), words("poultry", "cooked")):
        return False
    if food.food_class not in CLASSES and not says(state_of(food), ("raw",)):
        return False  # tinned and pressed feeds are heated; one that is raw says so
    return _is_bird(food)


def _is_bird(food: Food) -> bool:
    taxon = find_taxon(food.organism) if food.organism else None
    if taxon is not None:
        return taxon.is_in("Aves")
    if food.family:
        return food.family in words("poultry", "families")
    return bool(says(clauses_of(food), words("poultry", "names")))


def poultry_checks(diet: Diet, exposure: Exposure) -> Iterator[Check]:
    """A check while a zone stands, or where nothing is written of flock, area or freezing."""
    zone = diet.settings.zone(FLU, diet.on)
    row = _row(diet, "zone" if zone else "clear")
    if row is None:
        return
    food = exposure.part
    raw = food.food_class == "whole prey" or bool(says(state_of(food), words("poultry", "raw")))
    effect = str(table("origins.yaml")["poultry"]["effect"])
    if zone is not None:
        since = f"since {zone.start.isoformat()}" if zone.start <= diet.on else (
            f"from {zone.start.isoformat()}"
        )  # fmt: skip
        yield check(
            diet, exposure, "raw poultry in a control zone",
            Verdict.BREACH if raw else Verdict.CANNOT_TELL,
            row.severity if raw else row.severity.one_lower(),
            f"{named(exposure)} is {'raw' if raw else 'perhaps raw'} poultry, and the site lies in "
            f"a control zone for {zone.disease} {since}. It kills {row.common}: "
            f"{effect.partition(': ')[2]}; freezing does not make it safe.",
            "Do not feed it while the zone stands: cook it through, or feed red meat or fish.",
            settles="" if raw else "is it fed raw or cooked (form)?", row=row, laws=(FLU,),
            places=(zone.place,),
            weak=("that freezing does not make it safe is from memory",),
        )  # fmt: skip
        return
    if food.food_class == "egg" or _assured(food):
        return
    yield check(
        diet, exposure, "raw poultry of unknown health",
        Verdict.BREACH if raw else Verdict.CANNOT_TELL,
        row.severity if raw else row.severity.one_lower(),
        f"{named(exposure)} is {'raw' if raw else 'perhaps raw'} poultry, and nothing is written "
        "of the health of its flock or area, nor that it was frozen. Raw birds have brought "
        f"{FLU} to {row.common}.",
        "Feed poultry from a tested flock or fit for people, or cook it; write it into the food "
        "record (meat_origin, form).",
        settles="the health status of the flock or area (meat_origin)"
        if raw
        else "is it fed raw or cooked (form)?",
        row=row, laws=(FLU,),
    )  # fmt: skip


def _row(diet: Diet, when: str) -> Row | None:
    taxon = diet.group.taxon
    return narrowest((*poultry_rows(when), *poultry_rows("always")), taxon)


def _assured(food: Food) -> bool:
    """Whether a health status is written, or the freezing that stands for it outside a zone."""
    return bool(
        says(statement_of(food), words("poultry", "assured"))
        or says(state_of(food), words("poultry", "frozen"))
    )
