"""What an item means for a taxon: the row that applies, how grave it is, and what stays open."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct, field
from msgspec.structs import replace

from dietcheck.contract import Animal, Food, Severity, Taxon
from dietcheck_rules.toxic_item.items import Condition, Item, Row, Tolerance, item
from dietcheck_rules.toxic_item.register import Hit, hits, scientific_name
from dietcheck_rules.toxic_item.states import Fit, State, fits, state_of
from dietcheck_rules.toxic_item.words import any_holds, tokens

COOKED = frozenset({"cooked"})
STONE = frozenset({"stone", "seed"})
STONE_ASKED = (
    "is the stone taken out? Fed whole it stays in; harm is on file for stones that are cracked, "
    "and for stones swallowed whole only blockage in dogs."
)
UNCOOKED = frozenset({"raw", "undercooked"})


class Risk(Struct, frozen=True):
    """An item in a food that harms a taxon. `open_questions` is empty when nothing is in doubt.

    `severity` is what the row, the evidence, a tolerance, a cap and the doubts leave of it.
    """

    item: Item
    hit: Hit
    food: Food
    state: State
    row: Row
    severity: Severity
    open_questions: tuple[str, ...] = ()
    tolerance: Tolerance | None = None
    animals: tuple[Animal, ...] = field(default=())  # those the row is for; empty: all
    kin: tuple[Row, ...] = ()  # the rows it rests on, where none is for the animal itself

    @property
    def certain(self) -> bool:
        """Whether identity, part and form are settled."""
        return not self.open_questions

    @property
    def judged_by_share(self) -> bool:
        """Whether a small share of the diet is harmless, so that the share decides."""
        called = (self.food.organism or self.hit.word).casefold()
        free = not any(called.startswith(name) for name in self.item.any_amount_of)
        return bool(self.item.share_of) and self.row.advice in self.item.by_share and free


def risks(
    food: Food, taxon: Taxon, animals: Iterable[Animal] = (), *, stones_in: bool = False
) -> tuple[Risk, ...]:
    """Every item that a food is, or may be, and that harms the taxon.

    `stones_in`: it is given whole, so that a fruit brings its stone along.
    """
    found = (
        risk_of(item(hit.item), hit, food, taxon, animals, stones_in=stones_in)
        for hit in hits(food)
    )
    return tuple(risk for risk in found if risk is not None)


def risk_of(
    toxic: Item,
    hit: Hit,
    food: Food,
    taxon: Taxon,
    animals: Iterable[Animal] = (),
    *,
    stones_in: bool = False,
) -> Risk | None:
    """What one item means for a taxon in this food; None when it harms nothing there."""
    doubts = in_doubt(toxic, hit, food, stones_in=stones_in)
    if doubts is None:
        return None
    state, open_questions = doubts
    chosen = _narrowest(toxic, food, state, taxon, tuple(animals))
    if chosen is None:
        return None
    row, asked, whom = chosen
    open_questions += [asked] if asked else []
    if row.advice == "only-cooked":
        if state.forms is None:
            open_questions = [one for one in open_questions if one != "is it cooked?"]
            open_questions.append("is it fed raw or cooked?")
        elif state.forms >= COOKED and not state.forms & UNCOOKED:
            return None
    graded = _graded(toxic, row, state, taxon, doubtful=bool(open_questions))
    if graded is None:
        return None
    severity, tolerance = graded
    return Risk(
        toxic,
        hit,
        food,
        state,
        row,
        severity,
        tuple(dict.fromkeys(open_questions)),
        tolerance,
        whom,
    )


def in_doubt(
    toxic: Item, hit: Hit, food: Food, *, stones_in: bool = False
) -> tuple[State, list[str]] | None:
    """The part and form looked at, and what is open whoever eats it; None: not covered."""
    state = state_of(food)
    with_stone = stones_in and toxic.stones and "flesh" in (state.parts or ())
    if with_stone:
        state = replace(state, parts=(state.parts or frozenset()) | STONE)
    questions = list(_questions(toxic, hit, food, state))
    if None in questions:
        return None
    open_questions = [question for question in questions if question]
    return state, open_questions + ([STONE_ASKED] if with_stone else [])


def _questions(toxic: Item, hit: Hit, food: Food, state: State) -> Iterator[str | None]:
    """What is in doubt; None among them when the item does not cover this part or form."""
    if hit.ask and not toxic.form_decides:
        yield hit.ask
    elif not hit.certain and not hit.ask:
        yield f'which plant or animal is it, by its scientific name ("{hit.word}" is only a name)?'
    if _exempt_by(toxic, food, state):
        yield None
    identity_is_enough = hit.by_name and hit.certain  # no organism: the name is the thing itself
    sure = identity_is_enough or hit.told
    part: Fit = "yes" if sure else fits(state.parts, toxic.parts, "parts")
    if part == "no" and not _named_product(hit, state):
        yield None
    if part == "unknown":
        yield "which part is it (leaf, fruit, seed …)?"
    if toxic.form_decides and not identity_is_enough:
        form = fits(state.forms, toxic.forms, "forms")
        if form == "no":
            yield None
        if form == "unknown":
            yield hit.ask or "in which form is it fed (fresh, dried, cooked …)?"
    if (forms := toxic.exempt.get("forms")) and not identity_is_enough and state.forms is None:
        yield f"is it {' or '.join(forms)}?"


def _exempt_by(toxic: Item, food: Food, state: State) -> bool:
    exempt = toxic.exempt
    organism = scientific_name(food.organism)
    if any_holds(state.names, exempt.get("names", ())):
        return True
    if any(organism.startswith(name) for name in exempt.get("organisms", ())):
        return True
    if (parts := exempt.get("parts")) and state.parts is not None:
        covered = all(fits(frozenset({one}), parts, "parts") == "yes" for one in state.parts)
        if covered:
            return True
    if state.forms is None or fits(state.forms, exempt.get("forms", ()), "forms") != "yes":
        return False
    harmful = [form for form in toxic.forms if form not in exempt["forms"]]
    return fits(state.forms, harmful, "forms") != "yes"  # "fresh or dried" exempts nothing


def _named_product(hit: Hit, state: State) -> bool:
    """Whether the item lists this very product, as "avocado oil" although oil is no part of it."""
    words = tokens(hit.word)
    return hit.by_name and len(words) > 1 and words in state.names


def _narrowest(
    toxic: Item, food: Food, state: State, taxon: Taxon, animals: tuple[Animal, ...]
) -> tuple[Row, str, tuple[Animal, ...]] | None:
    """The row of the narrowest taxon whose condition holds, or a graver one that may hold."""
    fitting: list[tuple[int, bool, int, Row, str, tuple[Animal, ...]]] = []
    for row in toxic.rows:
        named = [name for name in row.taxa if taxon.is_in(name)]
        if not named:
            continue
        holds, question, whom = condition_of(row.condition, food, state, animals)
        if holds == "no":
            continue
        distance = min(taxon.rank_distance(name) for name in named)
        fitting.append((distance, not row.condition.asks, row.severity.rank, row, question, whom))
    if not fitting:
        return None
    sure = [one for one in fitting if not one[4]]
    best = min(sure, key=lambda one: one[:3]) if sure else min(fitting, key=lambda one: one[:3])
    doubtful = [one for one in fitting if one[4] and one[0] <= best[0] and one[2] < best[2]]
    chosen = min(doubtful, key=lambda one: (one[2], one[0])) if doubtful else best
    return chosen[3], chosen[4], chosen[5]


def condition_of(
    asked: Condition, food: Food, state: State, animals: tuple[Animal, ...]
) -> tuple[Fit, str, tuple[Animal, ...]]:
    """Whether a row's condition holds, the question that would settle it, and for which animals."""
    if asked.without_words and any_holds(state.names, asked.without_words):
        return "no", "", ()
    whom = tuple(a for a in animals if _is_such(a, asked))
    if (asked.stages or asked.health) and not whom:
        return "no", "", ()
    question = asked.ask if not any_holds(state.names, asked.settled_by) else ""
    if asked.organisms or asked.words:
        named = any_holds(state.names, asked.words)
        is_such = any(scientific_name(food.organism).startswith(name) for name in asked.organisms)
        if not named and not is_such:
            return "no", "", ()
    for own, listed, kind, ask in (
        (state.parts, asked.parts, "parts", "which part is it?"),
        (state.forms, asked.forms, "forms", "in which form is it fed?"),
    ):
        if not listed:
            continue
        fit = fits(own, listed, kind)
        if fit == "no":
            return "no", "", ()
        if fit == "unknown":
            question = ask
    return ("unknown" if question else "yes"), question, whom


def _is_such(animal: Animal, asked: Condition) -> bool:
    if asked.stages and animal.stage not in asked.stages:
        return False
    said = " ".join(animal.health).casefold()
    return not asked.health or any(word in said for word in asked.health)


def _graded(
    toxic: Item, row: Row, state: State, taxon: Taxon, *, doubtful: bool
) -> tuple[Severity, Tolerance | None] | None:
    """The severity that is left, with the tolerance that was looked at; None when nothing is."""
    severity = row.severity
    for cap in toxic.caps:
        if any_holds(state.names, cap.names) and severity.rank < cap.severity.rank:
            severity = cap.severity
    tolerance = _tolerance(toxic, row, taxon)
    if tolerance and tolerance.sources and not any(map(taxon.is_in, toxic.no_threshold)):
        if severity is Severity.LOW:
            return None
        severity = severity.one_lower()
    return (severity.one_lower() if doubtful else severity), tolerance


def _tolerance(toxic: Item, row: Row, taxon: Taxon) -> Tolerance | None:
    """The tolerance of a taxon narrower than the row's; a wider or equal one lowers nothing."""
    distance = min(taxon.rank_distance(name) for name in row.taxa if taxon.is_in(name))
    inside = [one for one in toxic.tolerant if taxon.is_in(one.taxon)]
    narrower = [one for one in inside if taxon.rank_distance(one.taxon) < distance]
    return min(narrower, key=lambda one: taxon.rank_distance(one.taxon), default=None)
