"""Things that are counted out for the group, or laid out whole: is there one for each?"""

from collections.abc import Iterator
from decimal import Decimal

from dietcheck.contract import (
    Animal,
    Check,
    Diet,
    Interval,
    Occasion,
    Offer,
    Severity,
    Verdict,
    When,
    exact,
    format_interval,
    not_applicable,
)

# Cut like this, a thing is shared out in the bowl and its number says nothing.
SHARED_OUT = (
    "slice", "dice", "cube", "chop", "grate", "shred", "strip", "mince", "chunk", "mash", "stick",
    "pulp", "crumb", "flake", "ground", "blend", "bits",
)  # fmt: skip


def judge_pieces(diet: Diet) -> Iterator[Check]:
    """One check for each line with a number that does not come out even; kept where all do."""
    judged = uneven = False
    for offer in diet.offers():
        counted = _count(offer)
        if counted is None:
            continue
        judged = True
        for occasion, animals in _sharers(diet, offer):
            if animals and not _comes_out(counted, len(animals), offer):
                uneven = True
                yield _report(diet, offer, occasion, animals, counted)
                break
    if not judged:
        yield not_applicable(
            "pieces", f"{diet.group.called}: nothing is counted out for the group."
        )
    elif not uneven:
        yield Check(
            verdict=Verdict.KEPT,
            about="pieces for the animals",
            severity=Severity.LOW,
            message=f"{diet.group.called}: what is counted out for the group comes out even.",
        )


def _count(offer: Offer) -> Interval | None:
    """How many things lie there in one giving; None where they are not counted."""
    line = offer.line
    cut = (line.cut or "").casefold()
    if line.amount.per != "group" or line.amount.ad_lib or any(one in cut for one in SHARED_OUT):
        return None
    if line.amount.dimension == "piece":
        return line.amount.quantity
    if line.amount.dimension == "mass" and cut.split()[:1] == ["whole"] and cut != "whole leaves":
        piece = line.food.piece
        return line.amount.quantity / piece if piece is not None and piece.low > 0 else None
    return None


def _is_counted(offer: Offer) -> bool:
    return offer.line.amount.dimension == "piece"


def _comes_out(counted: Interval, heads: int, offer: Offer) -> bool:
    """Whether some number in the range gives each the same; for a weight, whether one for each."""
    if not _is_counted(offer):
        return counted.high >= heads
    return counted.high // heads * heads >= counted.low and counted.high >= heads


def _sharers(diet: Diet, offer: Offer) -> Iterator[tuple[Occasion, tuple[Animal, ...]]]:
    """Who shares the line, each different company once with its first giving."""
    known = set()
    named = offer.line.for_animals
    for occasion in offer.occasions:
        animals = tuple(a for a in diet.present(occasion.on) if not named or a.id in named)
        if animals not in known:
            known.add(animals)
            yield occasion, animals


def _report(
    diet: Diet, offer: Offer, occasion: Occasion, animals: tuple[Animal, ...], counted: Interval
) -> Check:
    line, heads = offer.line, len(animals)
    cut = f" ({line.cut})" if line.cut else ""
    few = counted.high < heads
    who = "1 animal" if heads == 1 else f"{heads} animals"
    result = (
        "some get none"
        if few
        else f"{format_interval(exact(counted.high // heads), '')} for each and some are left over"
    )
    if _is_counted(offer):
        number = format_interval(counted, "piece" if counted.high == 1 else "pieces")
    else:
        number = f"about {format_interval(exact(_tenth(counted.high)), '')}"
    return Check(
        verdict=Verdict.BREACH,
        about=f"pieces for the animals, {occasion.meal}",
        food=line.food.id,
        severity=Severity.LOW,
        message=f'{diet.group.called}: {who} share {number} of "{line.food.id}"{cut}, so {result} '
        f"(common practice, no source; the vet sets this).",
        advice=f"Give {heads}, or a number that {heads} goes into, or cut it smaller and say so "
        "under cut.",
        animals=tuple(animal.id for animal in animals),
        occasions=tuple(sorted({When(o.on, o.number, o.slot, o.meal) for o in offer.occasions})),
        working=(f'"{line.amount.text}" for {who}: {number} ÷ {heads}',),
        places=(line.place.at("amount"), *((line.place.at("cut"),) if line.cut else ())),
    )


def _tenth(number: Decimal) -> Decimal:
    return number.quantize(Decimal("0.1"))
