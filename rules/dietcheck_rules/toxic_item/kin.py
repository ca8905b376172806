"""An item known to harm animals of the same order, where nothing is on file for the animal itself.

Silence of the table is not safety: that onion harms dogs, cats and coatis is reason enough to ask
before a red panda gets it. One order, not one class: grapes for every mammal would cry wolf.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache

from dietcheck.contract import Animal, Food, Severity, Taxon, order_of
from dietcheck_rules.toxic_item.assess import Risk, condition_of, in_doubt
from dietcheck_rules.toxic_item.items import Item, Row, item
from dietcheck_rules.toxic_item.register import Hit, hits
from dietcheck_rules.toxic_item.states import State


def kin_risks(
    food: Food, taxon: Taxon, animals: Iterable[Animal] = (), *, stones_in: bool = False
) -> tuple[Risk, ...]:
    """Every item that a food is, or may be, and that harms only kin of the taxon."""
    found = (
        kin_risk_of(item(hit.item), hit, food, taxon, animals, stones_in=stones_in)
        for hit in hits(food)
    )
    return tuple(risk for risk in found if risk is not None)


def kin_risk_of(
    toxic: Item,
    hit: Hit,
    food: Food,
    taxon: Taxon,
    animals: Iterable[Animal] = (),
    *,
    stones_in: bool = False,
) -> Risk | None:
    """A question, never graver than low; None where the table speaks of the animal itself."""
    by_amount = toxic.share_of or toxic.unless_thiamin or toxic.not_for_kin
    if not taxon.order or by_amount or _spoken_of(toxic, taxon):
        return None
    doubts = in_doubt(toxic, hit, food, stones_in=stones_in)
    if doubts is None:
        return None
    state, questions = doubts
    fitting = list(_fitting(toxic, food, state, taxon, tuple(animals)))
    if not fitting:
        return None
    fitting.sort(key=lambda pair: (pair[1] != "", pair[0].evidence))
    row, asked = fitting[0]
    name = taxon.english_name or taxon.scientific_name
    vet = f"does the vet know it to harm, or to spare, this species ({name})?"
    return Risk(
        toxic, hit, food, state, row, Severity.LOW,
        tuple(dict.fromkeys([*questions, *filter(None, [asked]), vet])),
        kin=tuple(one for one, _ in fitting),
    )  # fmt: skip


def _spoken_of(toxic: Item, taxon: Taxon) -> bool:
    """Whether a row holds for the taxon, or a tolerance does that is no wider than its order.

    A tolerance from memory counts here: it is about the animal, and what is asked about is not.
    So does that of its domestic form, as the ferret's for the polecat.
    """
    if any(taxon.is_in(name) for row in toxic.rows for name in row.taxa):
        return True
    if any(one.taxon.startswith(f"{taxon.scientific_name} ") for one in toxic.tolerant):
        return True
    within = [one.taxon for one in toxic.tolerant if taxon.is_in(one.taxon)]
    return any(taxon.rank_distance(one) <= taxon.rank_distance(taxon.order) for one in within)


def _fitting(
    toxic: Item, food: Food, state: State, taxon: Taxon, animals: tuple[Animal, ...]
) -> Iterator[tuple[Row, str]]:
    """Rows of the same order that are proven, grave and hold for this part and form."""
    for row in toxic.rows:
        proven = row.evidence in ("A", "B") and row.severity is Severity.HIGH
        if not proven or row.advice != "never" or taxon.order not in _orders(row.taxa):
            continue
        holds, question, _ = condition_of(row.condition, food, state, animals)
        if holds != "no":
            yield row, question


@cache
def _orders(taxa: tuple[str, ...]) -> frozenset[str]:
    return frozenset(map(order_of, taxa)) - {""}
