"""What is on file about a food, as JSON: the same facts as the page, each figure with its unit.

`null` is unknown, never zero. A figure that nobody states has `stated` false; its range is then
only what the stated ones leave.
"""

from __future__ import annotations

import json
from decimal import Decimal
from typing import Any

from dietcheck.collection.foods import Food
from dietcheck.reporting.food_facts import (
    CAUTION,
    Answer,
    Figure,
    cited,
    composition,
    density,
    pieces,
    waste,
)
from dietcheck.screening.hookspecs import Knowledge

VERSION = "1.0"
Json = dict[str, Any]


def render(answer: Answer) -> str:
    """The whole answer as JSON text, ASCII only; the same answer always gives the same bytes."""
    return json.dumps(document(answer), indent=1, ensure_ascii=True) + "\n"


def document(answer: Answer) -> Json:
    """The answer as plain data."""
    return {
        "version": VERSION,
        "word": answer.word,
        "food": None if answer.food is None else _food(answer.food, answer.own),
        "others": [
            {"id": hit.id, "name": hit.name, "list": "own" if hit.own else "bundled"}
            | {"worst": worst.value if (worst := answer.worst.get(hit.id)) else None}
            for hit in answer.hits
        ],
        "meanings": [_knowledge(one) for one in answer.meanings],
        "knowledge": [_knowledge(one) for one in answer.knowledge],
        "failed_rules": [{"rule": one.rule, "what": one.what} for one in answer.failures],
        "sources": [
            {"key": work.key, "citation": work.citation, "url": work.url, "doi": work.doi}
            | {"seen": work.seen, "note": work.note}
            for key in cited((*answer.knowledge, *answer.meanings))
            if (work := answer.works.get(key)) is not None
        ],
        "caution": CAUTION,
    }


def _food(food: Food, own: bool) -> Json:
    return {
        "id": food.id,
        "name": food.name,
        "list": "own" if own else "bundled",
        "names": list(food.names()),
        "class": food.food_class,
        "organism": food.organism,
        "family": food.family,
        "part": food.part,
        "form": food.form,
        "waste": waste(food) or None,
        "density": density(food) or None,
        "measures": [{"measure": name, "grams": grams} for name, grams in pieces(food)],
        "mix": [{"food": part.id, "low": _n(s.low), "high": _n(s.high)} for part, s in food.mix],
        "basis": "per 100 g as fed",
        "composition": [_figure(figure) for figure in composition(food)],
    }


def _figure(figure: Figure) -> Json:
    return {
        "nutrient": figure.nutrient.key,
        "title": figure.nutrient.title,
        "unit": figure.nutrient.unit,
        "stated": figure.stated,
        "low": _n(figure.value.low),
        "high": _n(figure.value.high),
        "mark": figure.mark or None,
        "source": figure.source or None,
    }


def _knowledge(one: Knowledge) -> Json:
    return {
        "topic": one.topic,
        "about": one.about,
        "text": one.text,
        "taxon": one.taxon or None,
        "whom": one.whom or None,
        "severity": one.severity.value if one.severity else None,
        "evidence": one.evidence or None,
        "advice": one.advice or None,
        "question": one.question or None,
        "sources": [{"key": ref.key, "locator": ref.locator} for ref in one.sources],
        "seen": one.seen or None,
    }


def _n(value: Decimal) -> float | int | None:
    """A figure as JSON holds it; None for what has no end."""
    if not value.is_finite():
        return None
    return int(value) if value == value.to_integral_value() else float(value)
