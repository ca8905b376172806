"""The feed kitchen's sheet for a terminal. Plain text of at most 80 columns."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from dietcheck.nutrition.kitchen import Dish, GroupDay
from dietcheck.nutrition.kitchen_store import Draw, KitchenDay
from dietcheck.reporting import prep
from dietcheck.reporting.layout import WIDTH, listed, paragraph, shown
from dietcheck.reporting.prep import PrepReport
from dietcheck.reporting.prep_held import Held
from dietcheck.reporting.ration_text import grid

TICK = "[ ]"


def render(report: PrepReport) -> str:
    """The sheets of all days."""
    lines = [*held_lines(report.held)]
    for day in report.days if any(day.groups for day in report.days) else ():
        lines += _day(report, day)
    for note in prep.notes(report):
        lines += ["", *paragraph(note)]
    return "\n".join(lines).lstrip("\n") + "\n"


def held_lines(held: Iterable[Held]) -> Iterator[str]:
    """The groups that are not printed, each with why and what was last approved."""
    row = list(held)
    if row:
        yield from _title(f"NOT PRINTED: {len(row)} of the groups asked for")
    for one in row:
        yield from paragraph(f"{shown(one.group.called)}, {shown(one.group.enclosure, 80)}")
        for reason in one.reasons:
            yield from paragraph(reason, 4, "  -")
        for said in one.approved:
            yield from paragraph(said, 4)


def _day(report: PrepReport, day: KitchenDay) -> Iterator[str]:
    yield from ("", "=" * WIDTH)
    yield from paragraph(f"Feed kitchen, {prep.weekday(day.on)}")
    yield from paragraph(f"{shown(report.collection, 120)}; read from {report.read_from}.")
    yield from _title("To draw from store")
    yield from _draws(day.draws)
    yield from _recipes(day)
    yield from _block("Grams that nobody can know", _gaps(day))
    yield from _block("Thaw today for tomorrow", _thaw(day), "Nothing of tomorrow's is frozen.")
    apart = (_apart(one, dish, day.on) for one, dish in prep.apart(day))
    yield from _block("Set apart: medicines, supplements, specials", _flat(apart), "None.")
    treats = (_apart(one, dish, day.on) for one, dish in prep.treats(day))
    yield from _block("Treats planned", _flat(treats), "None.")
    yield from _block("Must not go to", _bars(day), "Nothing is written down.")
    for place, groups in prep.sections(day):
        yield from ("", "")
        yield from paragraph(shown(place, 120).upper())
        yield "=" * WIDTH
        for one in groups:
            yield from _group(report, one)


def _draws(draws: Sequence[Draw]) -> Iterator[str]:
    shelf = ""
    for draw in draws:
        if draw.food.food_class != shelf:
            shelf = draw.food.food_class
            yield from paragraph(f"{shown(shelf, 60)}:")
        drawn = prep.drawn(draw) + (", ad lib in part" if draw.ad_lib else "")
        row = (TICK, prep.called(draw.food), drawn, prep.reckoning(draw))
        yield from grid([row], (4, 24, 21, 32))
    if not draws:
        yield "Nothing."


def _recipes(day: KitchenDay) -> Iterator[str]:
    lines: list[str] = []
    for mix, parts in prep.recipes(day):
        lines += paragraph(f"{mix} = {' + '.join(parts)}", 4, TICK)
    yield from _block("To mix", iter(lines))


def _gaps(day: KitchenDay) -> Iterator[str]:
    for what, why in prep.gaps(day):
        yield from paragraph(f"{what}: {why}", 2)


def _thaw(day: KitchenDay) -> Iterator[str]:
    for draw in day.thaw:
        whose = listed((shown(group.called, 60) for group in draw.groups), 8)
        row = (TICK, prep.called(draw.food), prep.drawn(draw), f"for {whose}")
        yield from grid([row], (4, 24, 21, 32))
    for group in day.thaw_unknown:
        yield from paragraph(
            f"{shown(group.called)}: tomorrow is not planned whole, so what to thaw is not known."
        )


def _apart(one: GroupDay, dish: Dish, on: date) -> Iterator[str]:
    mark = prep.KIND[dish.kind]
    about = "; ".join(filter(None, (prep.whom(dish), prep.how(dish))))
    portions = ", ".join(prep.portion(dish, bowl) for bowl in dish.bowls)
    yield from paragraph(f"{mark} {prep.whose(one, dish)}:", 4, TICK)
    yield from paragraph(f"{prep.called(dish.food)}, {portions or 'none'}", 6)
    for said in (prep.medicine(dish, on), about):
        if said:
            yield from paragraph(said, 6)


def _bars(day: KitchenDay) -> Iterator[str]:
    for bar in prep.bars(day):
        about, said, given = prep.bar_line(bar, day.draws)
        yield from paragraph(f"{about}: {said}.", 4, "  !" if given else "  -")
    for one in day.groups:
        for about, said in prep.not_for(one):
            yield from paragraph(f"{about}: {said}.", 4, "  !")


def _group(report: PrepReport, one: GroupDay) -> Iterator[str]:
    yield from paragraph(f"{shown(one.group.called)}: {prep.heading(one)}")
    for said in prep.remarks(report, one):
        yield from paragraph(said)
    for slot, meal, dishes in prep.feeds(one, report.slots):
        yield "-" * WIDTH
        yield from paragraph(f"{slot}: {meal}")
        for dish in dishes:
            yield from _dish(dish, one.plan.on)
    yield ""


def _dish(dish: Dish, on: date) -> Iterator[str]:
    mark = prep.KIND[dish.kind]
    name = f"{prep.called(dish.food)} [{mark}]" if mark else prep.called(dish.food)
    bowls = [prep.portion(dish, bowl) for bowl in dish.bowls]
    rows = [(TICK, name, bowls[0] if bowls else "", prep.total(dish) if bowls else "")]
    rows += [(TICK, "", bowl, "") for bowl in bowls[1:]]
    yield from grid(rows, (4, 24, 30, 22))
    for said in (prep.whom(dish), prep.medicine(dish, on), prep.how(dish)):
        if said:
            yield from paragraph(said, 6)


def _flat(blocks: Iterable[Iterable[str]]) -> Iterator[str]:
    return (line for block in blocks for line in block)


def _block(title: str, lines: Iterator[str], nothing: str = "") -> Iterator[str]:
    """A section, left out where it has nothing to say and nothing is worth saying of that."""
    row = list(lines)
    if row or nothing:
        yield from _title(title)
        yield from row or [nothing]


def _title(text: str) -> Iterator[str]:
    yield from ("", text, "-" * WIDTH)
