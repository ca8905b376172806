"""The schemas of the records with the names that one collection uses filled in.

An editor that is given one of these completes foods, meals, groups and animals, tells what each
is, and marks a name that nobody has recorded. The plain schemas know only the form of a name.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from msgspec import Struct, field

from dietcheck.collection.collection import Collection
from dietcheck.collection.feeding import Meal
from dietcheck.reading.kinds import schema
from dietcheck.tables.foods import food_ids, food_row
from dietcheck.tables.taxa import find_taxon, species_names

Names = Mapping[str, str]  # name → what it is, in a line
Schema = dict[str, Any]

LONGEST = 160
"""Signs of a description: what an editor shows beside a name without folding it."""

ONLY, HINT = True, False  # no other name is right; or: others are right as well

# kind of record → (way through its schema, which names, whether only those are right).
_PLACES: Mapping[str, tuple[tuple[str, str, bool], ...]] = {
    "collection": (
        ("$defs/rule_setting/properties/rule", "rules", ONLY),
        ("$defs/banned_food/properties/for/items", "groups", HINT),
    ),
    "group": (
        ("properties/species", "species", HINT),
        ("properties/also_reached_by/items", "groups", ONLY),
        ("$defs/animal/properties/never/items", "foods", HINT),
    ),
    "foods": (
        ("$defs/food/properties/same_as", "table", ONLY),
        ("$defs/food/properties/mix/propertyNames", "foods", ONLY),
    ),
    "diet sheet": (
        ("properties/group", "groups", ONLY),
        ("$defs/line/properties/food", "foods", ONLY),
        ("$defs/line/properties/for/items", "animals", ONLY),
        ("$defs/supplement/properties/food", "foods", ONLY),
        ("$defs/supplement/properties/with/items", "meals", HINT),
    ),
    "rota": (("properties/group", "groups", ONLY),),
    "treats": (
        ("$defs/treat/properties/group", "groups", ONLY),
        ("$defs/treat/properties/slot", "slots", ONLY),
        ("$defs/treat/properties/animals/items", "animals", ONLY),
        ("$defs/item/properties/food", "foods", ONLY),
    ),
    "limits": (
        ("$defs/limit/properties/taxon", "species", HINT),
        ("$defs/limit/properties/group", "groups", ONLY),
        ("$defs/limit/properties/quantity", "quantities", HINT),
    ),
    "sign-off": (
        ("properties/by", "signers", ONLY),
        ("properties/groups/items", "groups", ONLY),
        ("properties/content/propertyNames", "groups", ONLY),
        ("$defs/acceptance/properties/rule", "rules", ONLY),
        ("$defs/acceptance/properties/group", "groups", ONLY),
        ("$defs/acceptance/properties/food", "foods", ONLY),
        ("$defs/acceptance/properties/animals/items", "animals", ONLY),
    ),
}


class Known(Struct, frozen=True, eq=False):
    """The names of a collection by sort, and what depends on the group.

    `meals_of` and `animals_of` are by group; `feeds` are the slots that every day must fill.
    """

    collection: str
    names: Mapping[str, Names]
    meals_of: Mapping[str, Names]
    animals_of: Mapping[str, Names]
    feeds: tuple[str, ...] = ()
    rota_days: int = 0
    slots: Names = field(default_factory=dict)


def known_in(collection: Collection, rules: Names, quantities: Names) -> Known:
    """What a collection has names for; the rules and the quantities come with the rule packs."""
    settings = collection.settings
    slots = dict.fromkeys(settings.feeds, "every day of the rota fills it")
    slots |= dict.fromkeys(settings.extra_feeds, "may be filled")
    meals_of = {group: dict(_meals(collection, group)) for group in collection.groups}
    animals_of = {
        group.id: {} if group.is_colony else {a.id: _animal(a.called, group.called, a.sex)
                                              for a in group.animals}
        for group in collection.groups.values()
    }  # fmt: skip
    names: dict[str, Names] = {
        "foods": {f.id: f"{f.name} ({f.food_class})" for f in collection.foods.values() if f.known},
        "groups": {g.id: f"{g.called}, {g.taxon.scientific_name}"
                   for g in collection.groups.values()},
        "animals": _together(animals_of.values()),
        "meals": _together(meals_of.values()),
        "slots": slots,
        "signers": {s.name: f"{s.role}, from {s.start}" for s in settings.signers},
        "species": dict(_species()),
        "table": dict(_table()),
        "rules": rules,
        "quantities": quantities,
    }  # fmt: skip
    return Known(
        settings.name, names, meals_of, animals_of, settings.feeds, settings.rota_days, slots
    )


def schema_for(kind: str, known: Known) -> Schema:
    """The schema of a kind of record that knows these names; KeyError for no such kind."""
    made = schema(kind)
    del made["$id"]  # it is no longer the schema that this names
    made["$comment"] = (
        f"Made by “dietcheck schema” with the names of {known.collection}. "
        "Make it anew after new foods, meals, groups or animals."
    )
    for way, sort, only in _PLACES[kind]:
        _fill(made, way, sort, known.names[sort], only)
    if kind == "rota":
        _fill_rota(made, known)
    elif kind == "diet sheet":
        line = ("meals", "additionalProperties", "items", "properties", "for", "items")
        _by_group(made, made, known.animals_of, "animals", line)
    elif kind == "treats":
        _by_group(made, made["$defs"]["treat"], known.animals_of, "animals", ("animals", "items"))
    return made


def _fill(made: Schema, way: str, sort: str, names: Names, only: bool) -> None:
    """Let one place of a schema know its names; with none it stays as it is."""
    if not names:
        return
    *path, last = way.split("/")
    holder = made
    for step in path:
        holder = holder[step]
    before: Schema = holder[last]
    made["$defs"].setdefault(f"known_{sort}", {"anyOf": _choices(names)})
    known = {"$ref": f"#/$defs/known_{sort}"}
    said = {word: before[word] for word in ("description",) if word in before}
    plain = {word: value for word, value in before.items() if word != "description"}
    holder[last] = {**said, **(known if only else {"anyOf": [known, plain]})}


def _fill_rota(made: Schema, known: Known) -> None:
    """A rota's days by their slots, each with the meals of the group that the rota is for."""
    day: Schema = made["$defs"]["day"]
    for slot, what in known.slots.items():
        day["properties"][slot] = {"$ref": "#/$defs/feed", "description": f"A feed; {what}."}
    day["additionalProperties"] = False
    day["anyOf"] = [{"required": list(known.feeds)}, {"required": ["fast"]}]
    made["properties"]["days"] |= {"minItems": known.rota_days, "maxItems": known.rota_days}
    ways = []
    for group, meals in known.meals_of.items():
        if meals:
            no_feed = {"const": "no feed", "description": "Left out on purpose."}
            many = {"type": "array", "items": {"anyOf": _choices(meals)}, "minItems": 1}
            made["$defs"][f"meals_of_{group}"] = {"anyOf": [*_choices(meals), no_feed, many]}
            feed = {"$ref": f"#/$defs/meals_of_{group}"}
            days = {"items": {"properties": dict.fromkeys(known.slots, feed)}}
            ways.append(_if_group(group, {"days": days}))
    if ways:
        made["allOf"] = ways


def _by_group(
    made: Schema, holder: Schema, of: Mapping[str, Names], sort: str, way: tuple[str, ...]
) -> None:
    """At the end of that way only the names of the group that the record is for."""
    ways = []
    for group, names in of.items():
        if names:
            made["$defs"][f"{sort}_of_{group}"] = {"anyOf": _choices(names)}
            inner: Schema = {"$ref": f"#/$defs/{sort}_of_{group}"}
            for step in reversed(way):
                inner = {step: inner}
            ways.append(_if_group(group, inner))
    if ways:
        holder["allOf"] = ways


def _if_group(group: str, then: Schema) -> Schema:
    asked = {"properties": {"group": {"const": group}}, "required": ["group"]}
    return {"if": asked, "then": {"properties": then}}


def _choices(names: Names) -> list[Schema]:
    return [{"const": name, "description": _short(what)} for name, what in sorted(names.items())]


def _short(text: str) -> str:
    return text if len(text) <= LONGEST else text[: LONGEST - 1] + "…"


def _together(each: Iterable[Names]) -> Names:
    return {name: what for names in each for name, what in names.items()}


def _animal(called: str, group: str, sex: str | None) -> str:
    return ", ".join(filter(None, (called, group, sex)))


def _meals(collection: Collection, group: str) -> Iterator[tuple[str, str]]:
    """The meals of all sheets of a group, as the latest sheet has them."""
    for sheet in collection.sheets.get(group, ()):
        for name, meal in sheet.meals.items():
            yield name, _contents(meal)


def _contents(meal: Meal) -> str:
    return "; ".join(f"{line.food.id} {line.amount.text}" for line in meal.lines)


def _species() -> Iterator[tuple[str, str]]:
    for name in species_names():
        taxon = find_taxon(name)
        yield name, (taxon.english_name if taxon else "") or name


def _table() -> Iterator[tuple[str, str]]:
    for name in food_ids():
        row = food_row(name)
        if row is not None:
            yield name, f"{row.name} ({row.food_class})"
