"""Weighings over the last year, with each change of diet as a line down."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from markupsafe import Markup

from dietcheck.collection.animals import Animal, Weighing
from dietcheck.quantities import format_interval
from dietcheck.reporting import words as say
from dietcheck.reporting.html.pictures.svg import element, line, picture, words
from dietcheck.reporting.layout import shown

WIDTH, HEIGHT, TOP, FLOOR, LEFT, RIGHT = 320, 92, 28, 68, 8, 312
YEAR = timedelta(days=365)


def draw(animal: Animal, changes: Sequence[date], on: date) -> Markup | None:
    """The weights of an animal up to a day; None when it was never weighed in that year."""
    first = on - YEAR
    known = [w for w in animal.weighings if first <= w.on <= on]
    if not known:
        return None
    masses = [_kg(w) for w in known]
    low, high = min(masses), max(masses)
    # At least a tenth either way, so that the noise of the scale does not look like a fall.
    middle = (low + high) / 2
    spread = max((high - low) / 2, middle * 0.1, 1e-9)

    def across(day: date) -> float:
        return LEFT + (RIGHT - LEFT) * (day - first).days / YEAR.days

    def up(mass: float) -> float:
        return (TOP + FLOOR) / 2 - (FLOOR - TOP) / 2 * (mass - middle) / spread

    parts = [words(4, 12, f"{shown(animal.called, 30)}: weight", "title")]
    parts.append(line(LEFT, FLOOR + 6, RIGHT, FLOOR + 6, "axis"))
    marked = [change for change in changes if first <= change <= on]
    downs = [across(change) for change in marked]
    parts.extend(line(x, TOP - 8, x, FLOOR + 6, "change") for x in downs)
    points = [(across(w.on), up(mass)) for w, mass in zip(known, masses, strict=True)]
    way = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    parts.append(element("polyline", points=way, class_="trend"))
    parts.extend(element("circle", cx=x, cy=y, r=3) for x, y in points)
    latest = known[-1]
    parts.append(words(RIGHT, 12, format_interval(latest.mass / 1000, "kg", 4), "", "end"))
    parts.append(words(LEFT, 88, say.day(first), "small"))
    parts.append(words(RIGHT, 88, say.day(on), "small", "end"))
    told = ", ".join(f"{say.day(w.on)} {format_interval(w.mass / 1000, 'kg', 4)}" for w in known)
    diets = ", ".join(say.day(change) for change in marked) or "none"
    spoken = f"Weight of {shown(animal.called, 60)}: {told}. Diet changes: {diets}."
    return picture(WIDTH, HEIGHT, spoken, parts, "weights")


def _kg(weighing: Weighing) -> float:
    mass = weighing.mass
    return float(mass.best if mass.best is not None else (mass.low + mass.high) / 2) / 1000
