"""What each food brings of one figure on the worst day: the longest bar is where to look first."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from dietcheck.quantities import Interval, format_interval
from dietcheck.reporting.html.pictures.svg import box, finite, picture, words
from dietcheck.reporting.layout import shown

WIDTH, ROW, MOST = 320, 27, 6


def draw(title: str, unit: str, parts: Sequence[tuple[str, Interval]]) -> Markup:
    """Bars for the foods that bring the most; `parts` stand with the most first."""
    rows = [(shown(name, 32), amount) for name, amount in parts[:MOST]]
    top = max([*(finite(a.high, 0.0) for _, a in rows), 1e-9])
    drawn = [words(4, 12, shown(title, 48), "title")]
    for number, (name, amount) in enumerate(rows):
        y = 22 + number * ROW
        low = (WIDTH - 8) * min(float(amount.low) / top, 1.0)
        high = (WIDTH - 8) * min(finite(amount.high, top) / top, 1.0)
        drawn.append(words(4, y + 9, name))
        drawn.append(words(WIDTH - 4, y + 9, format_interval(amount, unit), "", "end"))
        if amount.low > 0:
            drawn.append(box(4, y + 13, low, 7, "sure"))
        if high > low + 0.4:
            drawn.append(box(4 + low, y + 13, high - low, 7, "maybe"))
    left = len(parts) - len(rows)
    more = f"; {left} more foods bring less" if left > 0 else ""
    told = ", ".join(f"{name} {format_interval(amount, unit)}" for name, amount in rows)
    return picture(WIDTH, 24 + len(rows) * ROW, f"{title}: {told}{more}.", drawn, "bars")
