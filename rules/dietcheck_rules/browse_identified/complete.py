"""What a browse record must say before anything can be known of the plant."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from dietcheck.contract import Check, Food, Severity, Verdict
from dietcheck_rules.browse_identified.lines import Fed
from dietcheck_rules.toxic_item.words import tokens

# Words by which cut plants go that nobody has put in a class.
CUT = frozenset(
    word
    for text in (
        "browse", "cuttings", "clippings", "hedge", "branches", "twigs", "prunings", "foliage",
        "coppice", "brash", "trimmings",
    )
    for word in tokens(text)
)  # fmt: skip
NOT_BROWSE = frozenset({"lawn", "grass", "hay", "mower", "meat", "fat", "vegetable", "fish"})
UNCLASSED = frozenset({"other", "mix"})
GENUS = re.compile(r"(× ?)?[A-Z][a-z-]{2,}( |$)")


def is_browse(food: Food) -> bool:
    """Whether a food is browse by its class, or by its names where it has no class."""
    if food.food_class == "browse":
        return True
    if food.known and food.food_class not in UNCLASSED:
        return False
    words = {word for name in food.names() for word in tokens(name)}
    return bool(words & CUT) and not words & NOT_BROWSE


def counted(food: Food) -> tuple[Food, ...]:
    """The food and its ingredients that are browse; in a mix of browse also those of no class."""
    parts = [part for part, _ in food.all_parts()]
    mixes = (part for part in parts if part.mix and is_browse(part))
    inside = {part for mix in mixes for part, _ in mix.all_parts()}
    found = (
        part
        for part in parts
        if is_browse(part) or (part in inside and part.food_class in UNCLASSED)
    )
    return tuple(part for part in dict.fromkeys(found) if not part.mix)


def sprayed_too(foods: Iterable[Food]) -> tuple[Food, ...]:
    """Grass, herbs and the like whose record says that the place is sprayed, or may be."""
    told = (food for food in foods if _said(food, "sprayed") in {"yes", "unknown"})
    return tuple(food for food in told if not is_browse(food) and not food.mix)


def identification(fed: Fed) -> Check | None:
    """The finding on an incomplete record or a sprayed place; None when all is well."""
    missing = list(_missing(fed.food))
    if missing:
        unidentified = any(field in ("organism", "identified_by") for field, _ in missing)
        lacking = ", ".join(words for _, words in missing)
        return fed.check(
            Verdict.BREACH,
            "browse not identified" if unidentified else "browse without its place or spraying",
            f"is browse without {lacking}. {_why(fed.food, unidentified)}",
            Severity.HIGH if unidentified else Severity.MEDIUM,
            advice=_advice(fed.food, [field for field, _ in missing], unidentified),
            settles=f"in the food record: {', '.join(field for field, _ in missing)}",
        )
    return spraying(fed)


def spraying(fed: Fed) -> Check | None:
    """The finding on a plant from a place that is sprayed, or may be; None when it is not."""
    sprayed = _said(fed.food, "sprayed")
    if sprayed == "no":
        return None
    known = sprayed == "yes"
    place = _said(fed.food, "cut_at") or "a place that is not written"
    return fed.check(
        Verdict.BREACH if known else Verdict.CANNOT_TELL,
        "browse sprayed" if is_browse(fed.food) else "cut plant sprayed",
        f"was cut at {place}, "
        + ("which is sprayed." if known else "and whether that place is sprayed is not known.")
        + " Unsprayed browse is common practice, no source; the vet sets this.",
        Severity.MEDIUM,
        advice="Cut elsewhere, and ask what was sprayed and when.",
        settles="" if known else "whether the place is sprayed (sprayed: yes or no)",
    )


def _missing(food: Food) -> Iterator[tuple[str, str]]:
    """The fields a browse record lacks, each with what it means."""
    if not GENUS.match(food.organism or "") or _is_family(food.organism or ""):
        yield "organism", "a botanical name (the genus at least)"
    if not _said(food, "identified_by"):
        yield "identified_by", "the person who identified it"
    if not _said(food, "cut_at"):
        yield "cut_at", "the place where it was cut"
    if not _said(food, "sprayed"):
        yield "sprayed", "whether that place is sprayed"


def _is_family(organism: str) -> bool:
    return organism.split()[0].endswith("aceae")


def _said(food: Food, field: str) -> str:
    return str(food.record.get(field) or "").strip()


def _why(food: Food, unidentified: bool) -> str:
    if not unidentified:
        return "Roadsides, gardens and field edges are sprayed."
    if not food.known:
        return "It stands on no food list, so it may be any plant, yew and laurel included."
    return "It may be another plant than meant, yew and laurel included."


def _advice(food: Food, fields: list[str], unidentified: bool) -> str:
    leave = "Leave it out. " if unidentified else ""
    named = {word for name in food.names() for word in tokens(name)}
    if "organism" in fields and named & {"mixed", "hedge", "assorted", "various"}:
        return f"{leave}Write it as a mix that lists its plants, each a browse food of its own."
    return f"{leave}Write {', '.join(fields)} into its food record."
