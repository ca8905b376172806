"""The feed kitchen's sheet, for people and programs: what every kind of output starts from.

Each kind of file is one module with a function `render(report)` and a row in `KINDS`. What is not
known is said in its place; nothing is left out because it has no figure.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from importlib import import_module
from itertools import groupby

from msgspec import Struct

from dietcheck.collection.animals import Animal
from dietcheck.collection.foods import Food
from dietcheck.nutrition.kitchen import Bar, Bowl, Dish, GroupDay, Kind, is_called
from dietcheck.nutrition.kitchen_store import Draw, KitchenDay, ingredients
from dietcheck.nutrition.plan import Hole
from dietcheck.quantities import Interval, exact, format_interval
from dietcheck.reporting import words
from dietcheck.reporting.layout import listed, shown
from dietcheck.reporting.prep_figures import amount, counted, counts, mass, signed
from dietcheck.reporting.prep_held import Held

KINDS: Mapping[str, str] = {"html": "prep_html", "csv": "prep_csv", "json": "prep_json"}

NOTES = (
    "Portions are weighed prepared, as the sheet writes them. Drawn is the raw weight: prepared ÷ "
    "(1 − waste), rounded up. Waste is the site's own figure, else that of the bundled table. "
    "Where nothing is reckoned beside a food, no waste is stated: drawn as prepared.",
    "Printed portions have three digits, or whole grams where that is finer; totals are the sum "
    "of what is printed. Loss in thawing is not reckoned.",
    "A range is what the sheet allows. Ad lib food is drawn as expected and topped up.",
    "Only diets without an open high finding are printed. This is no veterinary advice.",
)
"""Printed with every sheet."""

KIND: Mapping[Kind, str] = {
    "food": "",
    "supplement": "SUPPLEMENT",
    "medicine": "MEDICINE",
    "special": "SPECIAL",
    "treat": "TREAT",
}
HOLES = {
    "no rota": "no rota is in force",
    "no sheet": "no diet sheet is in force",
    "empty feed": "nothing is planned",
    "unknown feed": "the settings know no such feed",
    "unknown meal": "the sheet has no such meal",
}
FED = {"singly": "fed singly", "together": "fed together", "scattered": "scatter fed"}
_WEEKDAYS = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"]


class PrepReport(Struct, frozen=True, eq=False):
    """The sheets of some days. `held` are the groups that are not printed; `open_findings` how
    many lesser findings each printed group has; `slots` the feeds of a day in order."""

    collection: str
    on: date
    read_from: str
    days: tuple[KitchenDay, ...]
    held: tuple[Held, ...]
    open_findings: Mapping[str, int]
    slots: tuple[str, ...] = ()


def render(kind: str, report: PrepReport) -> str:
    """The text of a file of one of the `KINDS`. Only that kind's module is loaded."""
    text: str = import_module(f"dietcheck.reporting.{KINDS[kind]}").render(report)
    return text


def notes(report: PrepReport) -> tuple[str, ...]:
    """What is printed below: all notes, or only the last where no group is printed."""
    return NOTES if any(day.groups for day in report.days) else NOTES[-1:]


def sections(day: KitchenDay) -> list[tuple[str, list[GroupDay]]]:
    """The groups of a day by enclosure, one page each."""
    row = sorted(day.groups, key=lambda one: (one.group.enclosure.casefold(), one.group.id))
    return [(place, list(some)) for place, some in groupby(row, lambda one: one.group.enclosure)]


# -- words -----------------------------------------------------------------------------------------


def weekday(on: date) -> str:
    """A date with its day of the week: Wednesday 25 Nov 2026."""
    return f"{_WEEKDAYS[on.weekday()]} {words.day(on)}"


def called(food: Food) -> str:
    """A food's name as the kitchen reads it, in one line."""
    return shown(food.name, 120)


def portion(dish: Dish, bowl: Bowl) -> str:
    """A bowl in words: `120 g each for 14`, `600 g for all 5 together`, `7.48 g for Pip`."""
    each = amount(bowl.grams, bowl.count, dish.line.amount.dimension)
    heads = format_interval(heads_of(bowl), "", 6)
    if heads == "1":
        return f"{each} for {who(bowl.animals[:1])}"
    if bowl.shared:
        return f"{each} for all {heads} together"
    return f"{each} each for {heads}"


def heads_of(bowl: Bowl) -> Interval:
    """How many animals a bowl, or the bowls like it, are for."""
    if not bowl.shared:
        return bowl.times
    total = exact(0)
    for animal in bowl.animals:
        total = total + animal.count
    return total


def who(animals: Iterable[Animal]) -> str:
    """Animals by name."""
    return listed((shown(animal.called, 60) for animal in animals), 40)


def whom(dish: Dish) -> str:
    """For whom a line is, where it is not for all; and who of them is not here."""
    said = []
    if dish.line.for_animals:
        names = dict.fromkeys(animal for bowl in dish.bowls for animal in bowl.animals)
        said.append(f"ONLY for {who(names)}" if names else "for nobody")
    if dish.absent:
        said.append(f"not here: {listed((shown(n, 60) for n in dish.absent), 20)}")
    if not dish.bowls:
        said.append("nobody is here to eat it, so nothing is made")
    return "; ".join(said)


def medicine(dish: Dish, on: date) -> str:
    """The drug and the dose that a line carries, by whose order, and whether it is due that day."""
    if dish.kind != "medicine":
        return ""
    ordered = dish.line.medicine
    if ordered is None:
        return "WHICH MEDICINE IS NOT WRITTEN: ask the vet before it is given"
    said = f"with {shown(ordered.drug, 80)}, "
    said += shown(ordered.dose, 200) if ordered.dose else "DOSE NOT WRITTEN: ask the vet"
    said += f"; ordered by {shown(ordered.by, 60)}, until {words.day(ordered.until)}"
    if on > ordered.until:
        said += ". THE COURSE IS OVER: give nothing and ask the vet"
    elif on < ordered.start:
        said += f". NOT BEFORE {words.day(ordered.start)}"
    return said


def not_for(one: GroupDay) -> Iterator[tuple[str, str]]:
    """Who is not to eat a medicine that goes into the group's food: whom, and what."""
    for dish in one.dishes:
        wanted = dish.line.for_animals
        others = [a for a in one.present if wanted and a.id not in wanted]
        near = ", ".join(shown(group.called, 60) for group in one.reached_by)
        whom = ", ".join(filter(None, (who(others) if others else "", near)))
        if dish.kind == "medicine" and whom:
            ordered = dish.line.medicine
            drug = shown(ordered.drug, 80) if ordered else "the medicine"
            patients = dict.fromkeys(a for bowl in dish.bowls for a in bowl.animals)
            said = f"{called(dish.food)} with {drug}"
            said += f", ordered for {who(patients)}" if wanted and patients else ""
            yield f"{shown(one.group.called, 120)}, {whom}", said


def how(dish: Dish) -> str:
    """Cut, presentation, what it is given for, and the sheet's note."""
    line = dish.line
    said = []
    if line.treat:
        said.append(f"given for: {shown(line.treat, 60)}")
    said += [f"cut: {shown(line.cut, 120)}"] if line.cut else []
    said += [shown(line.presentation, 120)] if line.presentation else []
    said += ["ad lib, keep topped up"] if line.amount.ad_lib else []
    said += [f"note: {shown(line.note, 200)}"] if line.note else []
    return "; ".join(said)


def total(dish: Dish) -> str:
    """All bowls together, with what rounding them has come to."""
    return amount(dish.total, dish.count, dish.line.amount.dimension) + rounding(dish)


def rounding(dish: Dish) -> str:
    """The difference that rounding the portions makes: ` (rounding +0.02 g)`; empty for none."""
    if not dish.total.high.is_finite():
        return ""
    pairs = ((dish.total.low, dish.reckoned.low), (dish.total.high, dish.reckoned.high))
    parts = list(dict.fromkeys(signed(printed - was) for printed, was in pairs))
    return "" if parts == ["0"] else f" (rounding {' to '.join(parts)} g)"


def drawn(draw: Draw) -> str:
    """What is taken from the store."""
    if not draw.counts:
        return mass(draw.drawn)
    if len(draw.counts) == 1 and all(dish.count is not None for dish in draw.dishes):
        return counted(counts(draw.counts), draw.drawn)
    return f"{mass(draw.drawn)}, {counts(draw.counts)} among it"


def reckoning(draw: Draw) -> str:
    """How the drawn weight comes about: `1.3 kg prepared ÷ (1 − 0.11) = 1460.67 g; waste: table`.

    Empty where no waste is stated and nothing was rounded, as the notes say.
    """
    if draw.waste is None:
        return "" if draw.drawn == draw.prepared else f"{mass(draw.prepared)} prepared, rounded up"
    share = format_interval(draw.waste.share, "")
    share = f"({share})" if " " in share else share
    source = "own figure" if draw.waste.is_own else "table"
    raw = format_interval(draw.raw, "g", 6)
    return f"{mass(draw.prepared)} prepared ÷ (1 − {share}) = {raw}; waste: {source}"


def recipes(day: KitchenDay) -> Iterator[tuple[str, list[str]]]:
    """Every mix that is made, with what goes into it: `Mixed weeds 500 g`, its parts in grams."""
    made: dict[Food, Interval] = {}
    for dish in (dish for group in day.groups for dish in group.dishes if dish.bowls):
        if dish.food.mix:
            made[dish.food] = made.get(dish.food, exact(0)) + dish.total
    for food, grams in made.items():
        parts = [
            f"{called(part)} {format_interval(weight, 'g', 6)} prepared"
            for part, weight, _ in ingredients(food, grams)
        ]
        yield f"{called(food)} {mass(grams)}", parts


def gaps(day: KitchenDay) -> Iterator[tuple[str, str]]:
    """Each portion of which nobody can know the grams: what and for whom, and why."""
    for one in day.groups:
        for dish in one.dishes:
            for bowl in dish.bowls:
                if bowl.gap:
                    yield (
                        f"{whose(one, dish)}: {called(dish.food)}, {portion(dish, bowl)}",
                        shown(bowl.gap),
                    )


def bars(day: KitchenDay) -> list[Bar]:
    """What must not go to whom, each once; of one bar the one that something is said of."""
    row: dict[tuple[str, str, tuple[str, ...]], Bar] = {}
    for bar in (*(bar for one in day.groups for bar in one.bars), *day.bars):
        key = (bar.group.id, bar.animal.id if bar.animal else "", bar.names)
        if key not in row or bar.given:
            row[key] = bar
    return list(row.values())


def bar_line(bar: Bar, draws: Sequence[Draw]) -> tuple[str, str, bool]:
    """Whom and what: `Pip`, `banana, grape`; and whether a sheet gives it to them or near them."""
    about = shown(bar.group.called, 120)
    about += f", {shown(bar.animal.called, 60)}" if bar.animal else ""
    said = listed((shown(name, 80) for name in bar.names), 40)
    if bar.animal is None:
        said += f" ({shown(bar.why, 200)})"
    given = ", ".join(map(called, bar.given))
    if given:
        return (
            about,
            f"{said}. A sheet plans {given} for them or in their reach all the same: make sure",
            True,
        )
    about_today = [called(d.food) for d in draws if is_called(d.food, bar.names)]
    if about_today:
        said += f". In the kitchen today: {', '.join(about_today)}"
    return about, said, False


def hole_line(hole: Hole) -> str:
    """A place of the day where the plan is silent."""
    where = ", ".join(shown(text, 60) for text in (hole.slot, hole.meal) if text)
    return f"{where}: {HOLES[hole.kind]}" if where else HOLES[hole.kind]


def heading(one: GroupDay) -> str:
    """How many are here, how they are fed, which day of the rota it is."""
    group = one.group
    heads = format_interval(group.head_count(one.plan.on), "", 6)
    said = ["1 animal" if heads == "1" else f"{heads} animals", FED[group.fed]]
    if group.stations:
        said.append("1 station" if group.stations == 1 else f"{group.stations} stations")
    if one.plan.rota is not None:
        said.append(f"rota day {one.plan.number} of {len(one.plan.rota.days)}")
    if one.plan.sheet is not None:
        said.append(f"sheet of {words.day(one.plan.sheet.start)}")
    return ", ".join(said)


def remarks(report: PrepReport, one: GroupDay) -> Iterator[str]:
    """What has to be known before anything is made for a group."""
    if left := report.open_findings.get(one.group.id, 0):
        findings = "1 lesser finding stands" if left == 1 else f"{left} lesser findings stand"
        yield f"{findings} open: see “dietcheck screen”."
    for hole in one.plan.holes:
        yield f"NOT PLANNED: {hole_line(hole)}."
    if weights := list(_weights(one, report.on)):
        yield f"By weight: {listed(weights, 60)}."
    if one.plan.fast:
        yield "FAST DAY on the rota."
    if not one.dishes:
        yield "Nothing is made for them on this day."
    elif one.reached_by:
        others = listed((shown(group.called, 60) for group in one.reached_by), 8)
        yield f"{others} can get at this food too."


def _weights(one: GroupDay, on: date) -> Iterator[str]:
    """The weights that portions by body mass were reckoned from, those of a day together."""
    by_mass = (dish for dish in one.dishes if dish.line.amount.per == "kg body mass")
    animals = {a.id: a for dish in by_mass for bowl in dish.bowls for a in bowl.animals}
    found: dict[date, list[str]] = {}
    for animal in animals.values():
        if (weighing := animal.weighed(on)) is not None:
            said = f"{shown(animal.called, 60)} {mass(weighing.mass)}"
            found.setdefault(weighing.on, []).append(said)
    for day, weights in sorted(found.items()):
        yield f"{', '.join(weights)} ({words.day(day)})"


def feeds(one: GroupDay, order: Sequence[str] = ()) -> list[tuple[str, str, list[Dish]]]:
    """The dishes of a group by feed and meal, in the order in which they are given."""
    row: dict[tuple[str, str], list[Dish]] = {}
    for dish in one.dishes:
        row.setdefault((dish.feed.slot, dish.feed.meal), []).append(dish)
    place = {slot: number for number, slot in enumerate(order)}
    slots = sorted(row, key=lambda key: place.get(key[0], len(place)))
    return [(shown(slot, 60), shown(meal, 80), row[slot, meal]) for slot, meal in slots]


def whose(one: GroupDay, dish: Dish) -> str:
    """The group, feed and meal that a dish is for."""
    meal = f"{shown(dish.feed.slot, 40)}, {shown(dish.feed.meal, 60)}"
    return f"{shown(one.group.called)}, {meal}"


def apart(day: KitchenDay) -> list[tuple[GroupDay, Dish]]:
    """Supplements, medicines and specials: what must reach the right animal."""
    rank = {"medicine": 0, "supplement": 1, "special": 2}
    row = [(one, dish) for one in day.groups for dish in one.dishes if dish.kind in rank]
    return sorted(row, key=lambda pair: rank[pair[1].kind])


def treats(day: KitchenDay) -> list[tuple[GroupDay, Dish]]:
    """Treats that are planned, on the sheet or by date; medicine is set apart already."""
    row = [(one, dish) for one in day.groups for dish in one.dishes]
    return [(one, dish) for one, dish in row if dish.line.treat and dish.kind != "medicine"]
