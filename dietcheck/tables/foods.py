"""Composition of the bundled foods and feeds, per 100 g as fed, each figure with its source.

Two tables answer one look-up: foods.csv (USDA Standard Reference 28) and feeds.csv (insects,
whole prey, hay, browse, sugar solutions, and pellet types that hold no figures on purpose). A
blank cell is unknown and stays None; it is never zero.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from functools import cache

from msgspec import Struct, field

from dietcheck.tables.csv_table import table
from dietcheck.tables.nutrients import Nutrient, nutrients

AS_FED = "as fed"
DRY_MATTER = "dry matter"
_HUNDRED = Decimal(100)
_MARK_COLUMNS = {
    "fields_imputed": "imputed",
    "fields_assumed_zero": "assumed zero",
    "fields_mixed_or_label": "mixed or label",
    "fields_calculated": "calculated",
}
_MARK_OF_EVIDENCE = {
    "analysed": "analysed",
    "read": "as printed",
    "derived": "calculated",
    "memory": "from memory",
    "no figure": "",
}
MARKS = (*_MARK_COLUMNS.values(), "analysed", "as printed", "from memory")
Range = tuple[Decimal, Decimal]


class FoodRow(Struct, frozen=True, eq=False):
    """One bundled food or feed.

    `basis` says what the values are per 100 g of: "as fed", or "dry matter" for a feed whose
    source gives no moisture. `evidence` is "analysed" (the food table), "read", "derived",
    "memory" or "no figure". `waste` is the share thrown away in preparation, 0 to 1.
    """

    id: str
    name: str
    synonyms: tuple[str, ...]
    scientific_name: str
    family: str
    part: str
    form: str
    food_class: str
    category: str
    waste: Decimal | None
    source: str
    basis: str
    evidence: str
    energy_kind: str  # what a feed's source calls its energy; empty where it does not say
    notes: str
    _cells: Mapping[str, str]
    _known: dict[str, Range | None] = field(default_factory=dict)

    def value(self, nutrient: str) -> Decimal | None:
        """Amount per 100 g in the nutrient's unit; None if unknown or only a range is known.

        Raises KeyError for a name that is no nutrient: a slip must not look like "unknown".
        """
        known = self.range_of(nutrient)
        return known[0] if known and known[0] == known[1] else None

    def range_of(self, nutrient: str) -> Range | None:
        """Lowest and highest amount per 100 g, equal for a point; None if unknown."""
        if nutrient not in self._known:
            self._known[nutrient] = self._work_out(nutrients()[nutrient])
        return self._known[nutrient]

    def marks(self, nutrient: str) -> str:
        """How the figure came about, one of MARKS; empty where the figure is unknown."""
        if self.range_of(nutrient) is None:
            return ""
        column = "water_g" if nutrient == "dry_matter" else nutrients()[nutrient].column
        for cell, word in _MARK_COLUMNS.items():
            if column in self._cells.get(cell, "").split():
                return word
        if column != "water_g" and self.evidence == "read" and self._is_converted():
            return "calculated"
        return _MARK_OF_EVIDENCE[self.evidence]

    def source_of(self, nutrient: str) -> str:
        """Where the figure comes from: a key of sources.csv, or the citation itself."""
        if nutrients()[nutrient].column in self._cells.get("fields_sr_legacy", "").split():
            return "SRLegacy2018"
        return self.source

    def _is_converted(self) -> bool:
        """Whether the source gives dry matter and its moisture made the figures as fed."""
        return self.basis == AS_FED and self._cells.get("basis") == DRY_MATTER

    def _work_out(self, nutrient: Nutrient) -> Range | None:
        water = _range(self._cells.get("water_g", ""))
        dry = (_HUNDRED - water[1], _HUNDRED - water[0]) if water else None
        if nutrient.key == "dry_matter":
            return dry
        if nutrient.key == "water":
            return water
        printed = _range(self._cells.get(nutrient.column, ""))
        if printed and dry and self._is_converted():
            return printed[0] * dry[0] / _HUNDRED, printed[1] * dry[1] / _HUNDRED
        return printed


def _range(cell: str) -> Range | None:
    low, _, high = cell.partition(" to ")
    return (Decimal(low), Decimal(high or low)) if low else None


@cache
def food_row(food_id: str) -> FoodRow | None:
    """The bundled food or feed of that id; None if there is none."""
    for name in ("foods", "feeds"):
        for row in table(name).rows(food_id):
            return _food(row) if name == "foods" else _feed(row)
    return None


def food_ids() -> tuple[str, ...]:
    """The ids of all bundled foods, then of all feeds."""
    return table("foods").names() + table("feeds").names()


def find_foods(word: str) -> list[FoodRow]:
    """Foods whose id, name, synonym or scientific name holds the word; whole-name hits first."""
    wanted = " ".join(word.casefold().split())
    if not wanted:
        return []
    hits: list[tuple[int, str, FoodRow]] = []
    for row in filter(None, map(food_row, food_ids())):
        names = [n.casefold() for n in (row.id, row.name, *row.synonyms, row.scientific_name)]
        if any(wanted in name for name in names):
            first = 0 if wanted in names else 1 if any(wanted in n.split() for n in names) else 2
            hits.append((first, row.id, row))
    return [row for _, _, row in sorted(hits, key=lambda hit: hit[:2])]


def source_citation(key: str) -> str:
    """The full citation behind a source key; a source that is no key is its own citation."""
    rows = table("sources").rows(key)
    return rows[0]["citation"] if rows else key


def _food(row: dict[str, str]) -> FoodRow:
    return FoodRow(
        id=row["id"],
        name=row["name"],
        synonyms=tuple(filter(None, row["synonyms"].split("; "))),
        scientific_name=row["scientific_name"],
        family=row["family"],
        part=row["part"],
        form=row["form"],
        food_class=row["food_class"],
        category=row["category"],
        waste=Decimal(row["refuse_pct"]) / _HUNDRED if row["refuse_pct"] else None,
        source=row["source"],
        basis=AS_FED,
        evidence="analysed",
        energy_kind="",
        notes=row["refuse_description"] and f"waste: {row['refuse_description']}",
        _cells=row,
    )


def _feed(row: dict[str, str]) -> FoodRow:
    as_fed = row["basis"] == AS_FED or row["water_g"]
    return FoodRow(
        id=row["id"],
        name=row["name"],
        synonyms=(),
        scientific_name=row["scientific_name"],
        family=row["family"],
        part=row["part"],
        form="",
        food_class=row["food_class"],
        category=row["category"],
        waste=None,
        source=row["source"],
        basis=AS_FED if as_fed else DRY_MATTER,
        evidence=row["evidence"],
        energy_kind=row["energy_kind"],
        notes=row["notes"],
        _cells=row,
    )
