"""A fortnight day by day: a bar a day with its open end hatched, and the limit as a line across."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from markupsafe import Markup
from msgspec import Struct

from dietcheck.quantities import Interval, format_bound, format_interval
from dietcheck.reporting.html.pictures.svg import box, element, line, picture, words

WIDTH, HEIGHT, FLOOR, CEILING = 320, 104, 84, 24


class Strip(Struct, frozen=True):
    """One quantity over some days.

    `limit_said` tells where the lines come from; `is_daily` that they hold for every single day, so
    that a day can be past them.
    """

    title: str
    unit: str
    numbers: Sequence[int]
    figures: Sequence[Interval]
    at_least: Decimal | None = None
    at_most: Decimal | None = None
    limit_said: str = ""
    is_daily: bool = False


def draw(strip: Strip) -> Markup:
    """The strip as a picture."""
    bounds = [b for b in (strip.at_least, strip.at_most) if b is not None]
    seen = [float(v) for f in strip.figures for v in (f.low, f.high) if v.is_finite()]
    top = max([*seen, *(float(b) for b in bounds), 1e-9]) * 1.08
    step = (WIDTH - 8) / max(len(strip.figures), 1)

    def height(value: Decimal) -> float:
        part = float(value) / top if value.is_finite() else 1.0
        return (FLOOR - CEILING) * min(max(part, 0.0), 1.0)

    parts = [words(4, 12, f"{strip.title}, {strip.unit}", "title")]
    parts.append(line(4, FLOOR, WIDTH - 4, FLOOR, "axis"))
    for index, figure in enumerate(strip.figures):
        x, width = 4 + index * step + step * 0.14, step * 0.72
        low, high = height(figure.low), height(figure.high)
        if figure.low > 0:
            parts.append(box(x, FLOOR - low, width, low, "sure"))
        if high > low + 0.4:
            parts.append(box(x, FLOOR - high, width, high - low, "maybe"))
        if not figure.high.is_finite():
            parts.append(element("path", d=_arrow(x + width / 2), class_="open"))
        if mark := _mark(strip, figure):
            top_of = min(FLOOR - high - 3, FLOOR - 6)
            parts.append(words(x + width / 2, max(top_of, CEILING - 2), mark, "mark", "middle"))
        if len(strip.numbers) <= 16 or index % 7 == 0:
            parts.append(
                words(x + width / 2, FLOOR + 13, str(strip.numbers[index]), "day", "middle")
            )
    for bound in bounds:
        y = FLOOR - height(bound)
        parts.append(line(4, y, WIDTH - 4, y, "limit"))
    if bounds:
        said = " to ".join(format_bound(bound) for bound in bounds)
        parts.append(words(WIDTH - 4, 12, f"limit {said}", "", "end"))
    return picture(WIDTH, HEIGHT, _spoken(strip), parts, "strip")


def _mark(strip: Strip, figure: Interval) -> str:
    """`!` on a day that is surely past a line, `?` on one of which nobody can tell."""
    least, most = strip.at_least, strip.at_most
    if not strip.is_daily:
        return ""
    if (most is not None and figure.low > most) or (least is not None and figure.high < least):
        return "!"
    if (most is not None and figure.high > most) or (least is not None and figure.low < least):
        return "?"
    return ""


def spark(strip: Strip) -> Markup:
    """The same in a line's height, for groups about which nothing has to be decided."""
    seen = [float(f.high) for f in strip.figures if f.high.is_finite()]
    bound = float(strip.at_most) if strip.at_most is not None else 0.0
    top = max([*seen, bound, 1e-9]) * 1.05
    tops = [22 - 20 * (float(f.high) / top if f.high.is_finite() else 1.0) for f in strip.figures]
    step = 112 / max(len(tops), 1)
    marks = " ".join(f"M{index * step + step / 2:.1f} 22V{y:.1f}" for index, y in enumerate(tops))
    parts = [element("path", d=marks or "M0 22", class_="stem")]
    if bound:
        y = 22 - 20 * bound / top
        parts.append(line(0, y, 112, y, "limit"))
    return picture(112, 24, _spoken(strip), parts, "spark")


def _spoken(strip: Strip) -> str:
    if not strip.figures:
        return f"{strip.title}: no days are planned."
    worst = max(range(len(strip.figures)), key=lambda n: strip.figures[n].high)
    most = format_interval(strip.figures[worst], strip.unit)
    least = format_interval(min(strip.figures, key=lambda f: f.low), strip.unit)
    marks = [_mark(strip, figure) for figure in strip.figures]
    past, across = marks.count("!"), marks.count("?")
    judged = ""
    if strip.is_daily:
        judged = f"past the line on {past} days, nobody can tell on {across}; "
    return (
        f"{strip.title} over {len(strip.figures)} days: {judged}most on day "
        f"{strip.numbers[worst]}, {most}; least {least}; {strip.limit_said}."
    )


def _arrow(x: float) -> str:
    return f"M{x - 4:.1f} {CEILING + 5} L{x:.1f} {CEILING - 3} L{x + 4:.1f} {CEILING + 5} Z"
