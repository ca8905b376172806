"""All that is on file about a food that was looked up: what every kind of output starts from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal

from msgspec import Struct

from dietcheck.collection.foods import Food
from dietcheck.nutrition.composition import Profile, Profiles
from dietcheck.quantities import Interval, format_interval
from dietcheck.quantities.show import plain
from dietcheck.reporting.food_search import Hit, bare_word, choose, find, near_names
from dietcheck.screening.checks import Severity
from dietcheck.screening.hookspecs import Knowledge
from dietcheck.screening.knowledge import ask, names_known
from dietcheck.screening.packs import LoadedRule
from dietcheck.screening.report import Citation
from dietcheck.screening.said import Failure
from dietcheck.screening.screen import bibliography
from dietcheck.tables import measures
from dietcheck.tables.foods import source_citation
from dietcheck.tables.nutrients import Nutrient, nutrients

MAIN = (
    "energy", "water", "protein", "fat", "carbohydrate", "fibre", "ndf", "sugars", "starch", "ash",
    "calcium", "phosphorus", "magnesium", "potassium", "sodium", "iron", "copper", "zinc",
    "vitamin_a_rae", "vitamin_c", "vitamin_d", "vitamin_e", "thiamin",
)  # fmt: skip
"""Told of every food, known or not."""

STATED_ONLY = (
    "gross_energy", "crude_fibre", "adf", "lignin", "sucrose", "glucose", "fructose", "lactose",
    "maltose", "manganese", "selenium", "iodine", "vitamin_a", "vitamin_e_iu", "beta_carotene",
    "taurine", "oxalate",
)  # fmt: skip
"""Told only of a food that states them."""

MOST_HITS = 30
"""Foods of a list that are looked into and shown; a longer name finds the others."""

CAUTION = (
    "What is not listed here is not thereby safe: no table is complete. This is a screening aid, "
    "not veterinary advice."
)


class Figure(Struct, frozen=True):
    """A nutrient per 100 g as fed. Where it is not `stated`, `value` is only what it must lie in.

    `mark` says how the figure came about; `source` is the work it stands in, empty if unknown.
    """

    nutrient: Nutrient
    value: Interval
    stated: bool
    mark: str
    source: str


class Answer(Struct, frozen=True, eq=False):
    """What a word led to: one food, or several to choose from, or only what rules know of it."""

    word: str
    food: Food | None
    own: bool  # the food stands on the collection's own list
    hits: tuple[Hit, ...]  # the other foods that bear the word
    worst: Mapping[str, Severity]  # id of such a food → the gravest harm on file for it
    knowledge: tuple[Knowledge, ...]  # of the food, or of the word where no one food is meant
    meanings: tuple[Knowledge, ...]  # of the word
    failures: tuple[Failure, ...]
    near: tuple[str, ...]
    works: Mapping[str, Citation]

    @property
    def found(self) -> bool:
        """Whether anything at all is known."""
        return bool(self.food or self.hits or self.knowledge or self.meanings)


def look_up(word: str, own: Mapping[str, Food], rules: Sequence[LoadedRule]) -> Answer:
    """Everything on file about a word. `own` is the list of the collection, if there is one."""
    hits = find(word, own)
    of_word = ask(bare_word(word), rules)
    chosen = choose(word, hits)
    if chosen is None and len(hits) == 1 and not of_word.knowledge:
        chosen = hits[0]  # nothing else goes by that word
    food = chosen.opened() if chosen else None
    told = ask(food, rules) if food else of_word
    meanings = tuple(one for one in of_word.knowledge if one.topic == "meaning")
    knowledge = tuple(one for one in told.knowledge if one.topic != "meaning")
    near = () if hits or of_word.knowledge else near_names(word, (*own, *names_known(rules)))
    others = tuple(hit for hit in hits if hit is not chosen)
    return Answer(
        word=word,
        food=food,
        own=bool(chosen and chosen.own),
        hits=others,
        worst=dict(_worst(others[:MOST_HITS], rules)),
        knowledge=knowledge,
        meanings=meanings,
        failures=told.failures,
        near=tuple(near),
        works=bibliography(tuple(rules)),
    )


def _worst(hits: Iterable[Hit], rules: Sequence[LoadedRule]) -> Iterator[tuple[str, Severity]]:
    for hit in hits:
        grades = [one.severity for one in ask(hit.opened(), rules).knowledge if one.severity]
        if grades:
            yield hit.id, min(grades, key=lambda grade: grade.rank)


def composition(food: Food) -> list[Figure]:
    """The main nutrients of a food, and the others that it states."""
    profile = Profiles()[food]
    keys = [*MAIN, *(key for key in STATED_ONLY if profile.states(key))]
    order = list(nutrients())
    return [_figure(food, profile, key) for key in sorted(keys, key=order.index)]


def _figure(food: Food, profile: Profile, key: str) -> Figure:
    stated = food.known and profile.states(key)
    mark = source = ""
    if stated and key in food.declared:
        mark = profile.weakness(key) or "label or analysis"
        source = _declared_source(food)
    elif stated and food.row is not None:
        mark, source = food.row.marks(key), source_citation(food.row.source_of(key))
        if food.stands_in:
            mark = f"borrowed: {food.stands_in}"
        elif food.row.basis == "dry matter" and (span := food.row.range_of(key)):
            mark = f"{_span(*span)} {nutrients()[key].unit} in 100 g of dry matter; {mark}"
    elif stated:
        mark = profile.weakness(key) or "reckoned from the mix"
    return Figure(nutrients()[key], profile.per_100g(key), stated, mark, source)


def _declared_source(food: Food) -> str:
    figures = food.record.get("label") or food.record.get("analysis") or {}
    return str(figures.get("source") or figures.get("lab") or "the food's own label or analysis")


def _span(low: Decimal, high: Decimal) -> str:
    return plain(low) if low == high else f"{plain(low)} to {plain(high)}"


def pieces(food: Food) -> list[tuple[str, str]]:
    """The measures of a food, each with its grams in words."""
    if food.piece is not None:
        return [("piece", format_interval(food.piece, "g"))]
    if food.row is None:
        return []
    return [(name, f"{plain(grams)} g") for name, grams in measures.pieces(food.row.id)]


def density(food: Food) -> str:
    """Grams in a millilitre, in words; empty where nobody weighed it."""
    if food.density is not None:
        return format_interval(food.density, "g/ml")
    known = measures.density(food.row.id) if food.row else None
    return f"{plain(known)} g/ml" if known is not None else ""


def waste(food: Food) -> str:
    """The share that preparation throws away, in words; empty where it is not known."""
    if food.waste is not None:
        return format_interval(food.waste * 100, "%")
    if food.row is None or food.row.waste is None:
        return ""
    said = f"{plain(food.row.waste * 100)} %"
    what = food.row.notes.removeprefix("waste: ") if food.row.notes.startswith("waste: ") else ""
    return f"{said} ({what[:1].lower()}{what[1:]})" if what else said


def cited(knowledge: Iterable[Knowledge]) -> list[str]:
    """The keys of the sources of some knowledge, each once, in the order of the alphabet."""
    return sorted({ref.key for one in knowledge for ref in one.sources}, key=str.casefold)
