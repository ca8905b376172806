"""The figures of a batch against the limits for its kind of feed and the animals that eat it."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from msgspec import Struct

from dietcheck.contract import (
    Applied,
    Check,
    Diet,
    Food,
    Interval,
    Limits,
    Measure,
    Severity,
    Standing,
    Verdict,
    format_bound,
    format_interval,
)
from dietcheck_rules.batch_limit.figures import in_unit, on_basis
from dietcheck_rules.batch_limit.tables import Quantity, kinds_of, quantities
from dietcheck_rules.shared.reaching import about, named
from dietcheck_rules.toxic_item.exposure import Exposure

VERDICTS = {"past": Verdict.BREACH, "across": Verdict.CANNOT_TELL, "inside": Verdict.KEPT}
B1, SUM = "aflatoxin_b1", "aflatoxins"
STOP = (
    "Take this batch out of use, tell the supplier and the vet, and keep a sample. Do not thin it "
    "with other feed: European law bars that (AIC-UNDES)."
)


class Found(Struct, frozen=True):
    """A substance in a batch, in mg per kg as reported; `said` tells what it was derived from."""

    value: Interval
    said: str = ""


def batch_checks(diet: Diet, exposure: Exposure, limits: Limits) -> Iterator[Check]:
    """A check for each substance and limit, and one for what has no limit."""
    food = exposure.part
    if not food.contaminants:
        return
    found = _found(food)
    kinds = kinds_of(food)
    judged: set[str] = set()
    condemned: set[str] = set()
    for quantity in quantities():
        if quantity.substance not in found or quantity.kind not in kinds:
            continue
        for applied in _applying(diet, exposure, limits, quantity):
            if applied.limit.standing.is_absence:
                continue
            check = _check(diet, exposure, found[quantity.substance], quantity, applied)
            if check is None:
                continue
            judged |= _kin(quantity)
            if applied.limit.seen == "memory" and condemned & _kin(quantity):
                continue  # what was read has condemned the batch; what is recalled adds nothing
            if check.verdict is Verdict.BREACH:
                condemned |= _kin(quantity)
            yield check
    if open_ones := sorted(food.contaminants.keys() - judged):
        yield _unlimited(diet, exposure, open_ones)


def _kin(quantity: Quantity) -> frozenset[str]:
    """The substance, and the other aflatoxin figure with it."""
    return frozenset({B1, SUM} if quantity.substance in (B1, SUM) else {quantity.substance})


def _found(food: Food) -> dict[str, Found]:
    """Every figure, with what one aflatoxin figure says of the other."""
    found = {name: Found(value) for name, value in food.contaminants.items()}
    if B1 in found and SUM not in found:
        least = found[B1].value.low
        found[SUM] = Found(Interval(least, Decimal("Infinity")), "at least the aflatoxin B1 in it")
    elif SUM in found and B1 not in found:
        most = found[SUM].value.high
        found[B1] = Found(Interval(Decimal(0), most), "at most all the aflatoxins in it")
    return found


def _applying(
    diet: Diet, exposure: Exposure, limits: Limits, quantity: Quantity
) -> Iterator[Applied]:
    """The limit for each life stage that eats it, each row once."""
    seen: set[str] = set()
    for stage in {animal.stage: None for animal in exposure.animals(diet)}:
        applied = limits.applying(diet.group, quantity.name, stage=stage)
        if applied is not None and applied.limit.id not in seen:
            seen.add(applied.limit.id)
            yield applied


def _check(
    diet: Diet, exposure: Exposure, found: Found, quantity: Quantity, applied: Applied
) -> Check | None:
    limit, food = applied.limit, exposure.part
    site = limit.standing is Standing.SITE_RULE
    at = ("dry matter" if limit.basis == "dry matter" else "as fed") if site else quantity.at
    dry_part = diet.profiles[food].per_100g("dry_matter") / 100
    held = on_basis(found.value, food.contaminants_basis, at, dry_part)
    value = in_unit(held, limit)
    if value is None:
        return _odd_unit(diet, exposure, quantity, applied)
    verdict = VERDICTS[limit.stands(value)]
    if found.said and verdict is not Verdict.BREACH:
        return None  # what one figure says of another can condemn; it can clear nothing
    kept = verdict is Verdict.KEPT
    bounds = [limit.at_most] if limit.at_most is not None else []
    top = limit.unit.partition("/")
    unit = f"{top[0]} per {top[2]}" if top[2] else limit.unit
    shown = format_interval(value, unit, against=bounds)
    written = format_interval(found.value, "mg per kg")
    substance = quantity.name.partition(" in ")[0]
    bound = (
        f"at most {format_bound(limit.at_most)} {unit}" if limit.at_most is not None else "a floor"
    )
    reported = f"{written} {food.contaminants_basis}"
    return Check(
        verdict=verdict,
        about=about(quantity.name, exposure),
        food=food.id,
        severity=_severity(verdict, Severity(limit.severity)),
        message=f"{diet.group.called}: {named(exposure)}{_batch(food)} holds {shown} of "
        f"{substance} {_at_words(at)}{f' ({found.said})' if found.said else ''}; the limit is "
        f"{bound} ({_standing_words(quantity, applied)}).",
        advice="" if kept else STOP if verdict is Verdict.BREACH else "Leave the batch shut until "
        "the figure below is known.",
        settles="" if verdict is not Verdict.CANNOT_TELL else _settles(found, food, at),
        measured=Measure(value, limit.unit, at),
        limit=limit,
        others=applied.others,
        animals=() if kept else tuple(animal.id for animal in exposure.animals(diet)),
        occasions=() if kept else exposure.occasions(),
        working=(
            f"reported: {reported}",
            _step(reported, f"{shown} {_at_words(at)}", dry_part)
            if food.contaminants_basis != at
            else f"compared {_at_words(at)}",
            f"{bound}: {limit.note}",
        ),
        weak=tuple(_weak(food, quantity, site=site)),
        places=() if kept else (
            *(offer.line.place.at("food") for offer in exposure.offers),
            food.place.at("contaminants"),
        ),
        sources=limit.sources,
    )  # fmt: skip


def _step(reported: str, held: str, dry_part: Interval) -> str:
    return f"{reported} → {held} (dry matter {format_interval(dry_part * 100, '%')})"


def _severity(verdict: Verdict, own: Severity) -> Severity:
    """A cannot-tell counts as medium at most, as everywhere."""
    if verdict is not Verdict.CANNOT_TELL:
        return own
    return max(own, Severity.MEDIUM, key=lambda severity: severity.rank)


def _standing_words(quantity: Quantity, applied: Applied) -> str:
    limit = applied.limit
    if limit.standing is Standing.SITE_RULE:
        return f"site rule of {limit.set_by}, {limit.on}"
    if limit.seen == "memory":
        return f"{quantity.whose}, recalled from memory and not read; ask the vet or look it up"
    kind = "maximum" if limit.evidence == "regulation" else "guidance"
    cited = ", ".join(source.key for source in limit.sources)
    return f"{quantity.whose} {kind}, {cited}; check your local code"


def _settles(found: Found, food: Food, at: str) -> str:
    if not found.value.is_exact:
        return "one figure from the laboratory, not a range"
    return "the water in the feed" if food.contaminants_basis != at else "a narrower figure"


def _weak(food: Food, quantity: Quantity, *, site: bool) -> Iterator[str]:
    if not food.record.get("batch"):
        yield "no batch is named; the figure holds for the batch that was tested and no other"
    if quantity.at != "as fed" and not site:
        yield "that the maximum is meant for feed with 12 % moisture is from memory"


def _at_words(at: str) -> str:
    return {"as fed": "as fed", "dry matter": "of dry matter"}.get(at, f"at {at}")


def _batch(food: Food) -> str:
    batch = food.record.get("batch")
    return f", batch {batch}," if batch else ""


def _unlimited(diet: Diet, exposure: Exposure, names: list[str]) -> Check:
    food = exposure.part
    found = "; ".join(
        f"{name.replace('_', ' ')} {format_interval(food.contaminants[name], 'mg per kg')}"
        for name in names
    )
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=about("substances without a limit", exposure),
        food=food.id,
        severity=Severity.LOW,
        message=f"{diet.group.called}: {named(exposure)}{_batch(food)} holds {found} "
        f"{food.contaminants_basis}. Limit not yet sourced for this kind of feed, so whether that "
        "is much cannot be told.",
        advice="Ask the vet, and set a limit of your own (limits record) if it is looked for "
        "often.",
        settles="a limit for it",
        animals=tuple(animal.id for animal in exposure.animals(diet)),
        places=(
            food.place.at("contaminants"),
            *(offer.line.place.at("food") for offer in exposure.offers),
        ),
    )


def _odd_unit(diet: Diet, exposure: Exposure, quantity: Quantity, applied: Applied) -> Check:
    limit = applied.limit
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=about(quantity.name, exposure),
        food=exposure.part.id,
        severity=Severity.MEDIUM,
        message=f"{diet.group.called}: {quantity.name} cannot be held against a limit in "
        f"{limit.unit or 'no unit'}.",
        advice="Write the limit in mg per kg as fed, µg per kg as fed or per kg dry matter.",
        settles="a limit in a unit that a content has",
        limit=limit,
        places=(limit.place,) if limit.place else (),
    )
