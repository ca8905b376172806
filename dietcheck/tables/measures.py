"""Densities and household measures of the bundled foods, from the food table's own weights.

US volumes are named so ("US cup", 236.588 ml): a British spoon or a metric cup is another size
and must not borrow their grams.
"""

from __future__ import annotations

from decimal import Decimal

from dietcheck.tables.csv_table import table


def density(food_id: str) -> Decimal | None:
    """Grams per millilitre of a liquid food; None where the table holds no weighed volume."""
    for row in table("measures").rows(food_id):
        if row["kind"] == "density":
            return Decimal(row["g_per_ml"])
    return None


def pieces(food_id: str) -> list[tuple[str, Decimal]]:
    """The measures of a food with the grams of one each, edible part, in the table's order."""
    return [
        (row["measure"], Decimal(row["grams"]))
        for row in table("measures").rows(food_id)
        if row["kind"] == "measure"
    ]
