"""A measured range against its limit: a cannot-tell lies across the line for all to see."""

from __future__ import annotations

from decimal import Decimal

from markupsafe import Markup

from dietcheck.quantities import format_bound
from dietcheck.reporting import words as say
from dietcheck.reporting.html.pictures.svg import box, element, finite, line, picture, words
from dietcheck.screening.checks import Check, Verdict

WIDTH, HEIGHT, LEFT, RIGHT = 320, 54, 6, 314
_STANDS = {
    Verdict.BREACH: "wholly past the limit",
    Verdict.CANNOT_TELL: "across the limit, so nobody can tell",
    Verdict.KEPT: "within the limit",
}


def draw(check: Check) -> Markup | None:
    """The bar of a check, or None where no figure is held against a limit."""
    measure, limit = check.measured, check.limit
    if measure is None or limit is None:
        return None
    bounds = [b for b in (limit.at_least, limit.at_most) if b is not None]
    if not bounds:
        return None
    seen = [float(v) for v in (measure.value.low, measure.value.high, *bounds) if v.is_finite()]
    top = max(max(seen) * 1.15, 1e-9)

    def place(value: Decimal) -> float:
        return LEFT + (RIGHT - LEFT) * min(max(finite(value, top), 0.0), top) / top

    parts = [line(LEFT, 40, RIGHT, 40, "axis")]
    allowed_from = LEFT if limit.at_least is None else place(limit.at_least)
    allowed_to = RIGHT if limit.at_most is None else place(limit.at_most)
    if allowed_to >= allowed_from:
        parts.append(box(allowed_from, 36, allowed_to - allowed_from, 4, "allowed"))
    start, end = place(measure.value.low), place(measure.value.high)
    parts.append(box(start, 21, end - start, 11, f"range {check.verdict.value}"))
    if not measure.value.high.is_finite():
        parts.append(element("path", d=f"M{RIGHT - 7} 17 L{RIGHT} 26.5 L{RIGHT - 7} 36 Z"))
    for bound, name in ((limit.at_least, "least"), (limit.at_most, "most")):
        if bound is not None:
            x = place(bound)
            parts.append(line(x, 14, x, 44, "limit"))
            parts.append(
                _label(x, f"{name} {format_bound(bound)}", name if len(bounds) == 2 else "")
            )
    parts.append(words(LEFT, 52, "0", "small"))
    parts.append(words(RIGHT, 52, say.unit_of(limit.unit, limit.basis), "small", "end"))
    spoken = (
        f"Range bar: {say.measured(measure, limit)}; limit {say.bounds(limit)}; "
        f"{_STANDS.get(check.verdict, '')}."
    )
    return picture(WIDTH, HEIGHT, spoken, parts, "range-bar")


def _label(x: float, said: str, side: str) -> Markup:
    """The bound's name at its line; of two bounds each stands on its outer side."""
    anchor = {"least": "end", "most": "start"}.get(side, "middle")
    if x < 60:
        anchor = "start" if side != "least" else "middle"
    elif x > 260:
        anchor = "end"
    return words(x, 10, said, "", anchor)
