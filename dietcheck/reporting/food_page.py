"""The page about a food for a terminal of 80 columns; what is unknown is said, never zero."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from dietcheck.collection.foods import Food
from dietcheck.quantities import format_interval
from dietcheck.reporting.food_facts import (
    CAUTION,
    MOST_HITS,
    Answer,
    Figure,
    cited,
    composition,
    density,
    pieces,
    waste,
)
from dietcheck.reporting.food_search import Hit
from dietcheck.reporting.layout import WIDTH, listed, paragraph, shown
from dietcheck.reporting.words import SEEN
from dietcheck.screening.hookspecs import Knowledge

_LABELS = 14  # columns of the labels
_GRADES = 8  # columns of the severities
_PRINTED = 6  # digits of a figure: as many as the tables hold
_HARM = ("harm", "no harm in this form")


def render(answer: Answer) -> str:
    """The whole page."""
    food = answer.food
    lines = [*_head(answer), *(_what_it_is(food) if food else ()), *_meanings(answer)]
    if food is None:
        lines += _hits(answer, "Foods that bear the word")
    lines += [*_harms(answer), *_claims(answer)]
    if food is not None:
        lines += [*_composition(food), *_hits(answer, "Other foods that bear the word")]
    lines += ["", *paragraph(CAUTION), *_sources(answer)]
    return "\n".join(lines) + "\n"


def _title(text: str) -> Iterator[str]:
    yield ""
    yield from paragraph(text)
    yield "-" * WIDTH


def _head(answer: Answer) -> Iterator[str]:
    word = shown(answer.word)
    if answer.food is not None:
        where = "on your food list" if answer.own else "in the bundled table"
        said = f"{shown(answer.food.name)} ({shown(answer.food.id)}, {where})"
    elif answer.hits:
        first, count = answer.hits[0], len(answer.hits)
        said = (
            f"“{word}” stands in the names of {f'{count} foods' if count > 1 else 'one food'}. "
            f"All about one: dietcheck foods {shown(first.id)}{' DIR' if first.own else ''}"
        )
    else:
        said = f"“{word}” is on no food list here: its composition is unknown."
    yield from paragraph(said)


def _meanings(answer: Answer) -> Iterator[str]:
    if not answer.meanings:
        return
    yield from _title(f"“{shown(answer.meanings[0].about)}” may be one of these: ask which")
    for one in answer.meanings:
        name = shown(one.whom) + (f", {shown(one.taxon)}" if one.taxon else "")
        grade = one.severity.value.upper() if one.severity else ""
        yield from paragraph(f"{name}: {shown(one.text)}", 2 + _GRADES, f"  {grade}")
    yield from paragraph("Look one up by its scientific name, in quotation marks.", 2)


def _hits(answer: Answer, title: str) -> Iterator[str]:
    if not answer.hits:
        return
    yield from _title(title)
    room = min(max(len(hit.id) for hit in answer.hits[:MOST_HITS]) + 2, 34)
    for hit in answer.hits[:MOST_HITS]:
        yield from paragraph(_hit(hit, answer), 2 + room, f"  {shown(hit.id)} ")
    if len(answer.hits) > MOST_HITS:
        yield f"  and {len(answer.hits) - MOST_HITS} more: write a longer name"


def _hit(hit: Hit, answer: Answer) -> str:
    state = ", ".join(filter(None, (hit.row.part, hit.row.form))) if hit.row else "your food list"
    worst = answer.worst.get(hit.id)
    harm = f": {worst.value.upper()} for some animals" if worst else ""
    return shown(hit.name) + (f" ({shown(state)})" if state else "") + harm


# -- what it is and what is in it ------------------------------------------------------------------


def _what_it_is(food: Food) -> Iterator[str]:
    names = dict.fromkeys(name for name in food.names() if name not in (food.id, food.name))
    family = f" ({shown(food.family)})" if food.family else ""
    measures = listed((f"{shown(name)} {grams}" for name, grams in pieces(food)), 8, "; ")
    for label, text in (
        ("class", shown(food.food_class)),
        ("organism", shown(food.organism) + family if food.organism else "not written"),
        ("part, form", f"{shown(food.part or 'unknown')}, {shown(food.form or 'unknown')}"),
        ("also called", listed(map(shown, names), 8, "; ")),
        ("made of", "; ".join(_part(part, food) for part, _ in food.mix)),
        ("thrown away", waste(food) or "unknown"),
        ("one measure", measures or "none weighed"),
        ("density", density(food) or "not weighed"),
    ):
        if text:
            yield from paragraph(text, _LABELS, label)


def _part(part: Food, food: Food) -> str:
    share = next(share for other, share in food.mix if other is part)
    return f"{shown(part.name)} {format_interval(share * 100, '%')}"


def _composition(food: Food) -> Iterator[str]:
    yield from _title("In 100 g as fed")
    if food.unknown_composition:
        yield from paragraph(f"Composition unknown: {shown(food.unknown_composition)}", 2)
    figures = composition(food)
    for figure in figures:
        yield from paragraph(_mark(figure), 48, _amount(figure))
    for source in dict.fromkeys(figure.source for figure in figures if figure.source):
        yield from paragraph(shown(source), 10, "  source")


def _amount(figure: Figure) -> str:
    unit = figure.nutrient.unit
    digits = _PRINTED if figure.value.is_exact else 3
    value = format_interval(figure.value, unit, digits) if figure.stated else "unknown"
    return f"  {figure.nutrient.title:<30}{value:>14}"


def _mark(figure: Figure) -> str:
    if figure.stated:
        return shown(figure.mark, 120)
    if figure.nutrient.unit == "g" and figure.value.high < 100:
        return f"the rest leaves at most {format_interval(figure.value, 'g').rpartition('to ')[2]}"
    return ""


# -- what rules know of it -------------------------------------------------------------------------


def _harms(answer: Answer) -> Iterator[str]:
    """Each harm with all that belongs to it; those of another part or form come last."""
    harms = [one for one in answer.knowledge if one.topic != "claim"]
    of_others = {one.about for one in harms if one.topic == "no harm in this form"}
    harms.sort(key=lambda one: one.about in of_others)
    for about, found in groupby(harms, lambda one: one.about):
        yield from _in_full(about, list(found))
    if not harms and answer.food is None and answer.hits:
        yield from ("", *paragraph("Which animals are harmed is told of one food at a time."))
    elif not harms and not answer.meanings:
        yield from ("", *paragraph("No harm to any animal is on file."))


def _in_full(about: str, found: Sequence[Knowledge]) -> Iterator[str]:
    here = any(one.topic == "harm" for one in found)
    yield from _title(f"{'Harm' if here else 'Not in this part or form'}: {shown(about)}")
    for topic, ones in groupby(found, lambda one: one.topic):
        if topic in _TITLES:
            yield from paragraph(_TITLES[topic], 2)
        for one in ones:
            yield from _one(one)


_TITLES = {
    "less affected": "Less affected as far as known, which is no reason to feed it:",
    "dose": "Published doses, never a feeding level:",
    "content": "What products hold:",
    "note": "To know:",
}


def _one(one: Knowledge) -> Iterator[str]:
    if one.topic in _HARM:
        text = shown(one.text)
        whom = f" Harms {shown(one.whom)}." if one.whom else ""
        yield from paragraph(f"{text[:1].upper()}{text[1:]}.{whom}", 2)
        if one.question:
            yield from paragraph(f"One grade milder until this is known: {shown(one.question)}", 2)
    elif one.topic == "harmed":
        yield from _harmed(one)
    else:
        whom = f"{_whom(one)}: " if one.whom or one.taxon else ""
        yield from paragraph(f"{whom}{shown(one.text)} {_from(one)}", 6, "    -")


def _harmed(one: Knowledge) -> Iterator[str]:
    grade = one.severity.value.upper() if one.severity else ""
    said = f"{_whom(one)}: {shown(one.advice)}; {shown(one.evidence)}"
    more = f"; {shown(one.text)}" if one.text else ""
    ask = f"; {shown(one.question)}" if one.question else ""
    yield from paragraph(f"{said}{more}{ask} {_from(one)}", 2 + _GRADES, f"  {grade}")


def _claims(answer: Answer) -> Iterator[str]:
    claims = [one for one in answer.knowledge if one.topic == "claim"]
    if claims:
        yield from _title("Said of it, and how far that holds")
    for one in claims:
        yield from paragraph(f"“{shown(one.about)}”: {shown(one.text)} {_from(one)}", 4, "  -")


def _whom(one: Knowledge) -> str:
    if one.whom and one.taxon:
        return f"{shown(one.whom)} ({shown(one.taxon)})"
    return shown(one.whom or one.taxon)


def _from(one: Knowledge) -> str:
    if not one.sources:
        return "[no source, from memory]"
    return f"[{', '.join(shown(ref.key) for ref in one.sources)}; {shown(one.seen)}]"


def _sources(answer: Answer) -> Iterator[str]:
    keys = cited(answer.knowledge)
    if keys:
        yield from _title("Sources")
    for key in keys:
        work = answer.works.get(key)
        if work is None:
            yield from paragraph("not in the bibliography", 14, f"  {shown(key)} ")
            continue
        where = shown(f"doi:{work.doi}" if work.doi else work.url or "")
        seen = SEEN.get(work.seen, shown(work.seen))
        yield from paragraph(f"{shown(work.citation)} ({seen})", 14, f"  {shown(key)} ")
        if where:
            yield from paragraph(where, 14, whole=True)
