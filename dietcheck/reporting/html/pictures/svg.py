"""Draws SVG as text: every attribute and word is escaped, and equal figures give equal bytes.

Colours and strokes stand in the page's style sheet. A picture is one image to a screen reader,
which reads its `spoken` text; the words inside are for the eye.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from markupsafe import Markup, escape


def element(name: str, content: str = "", **attributes: str | float) -> Markup:
    """One element. `_` in attribute names stands for `-`, and `class_` for `class`."""
    said = "".join(
        f' {key.strip("_").replace("_", "-")}="{escape(_text(value))}"'
        for key, value in attributes.items()
    )
    inner = escape(content)
    return Markup(f"<{name}{said}>{inner}</{name}>" if inner else f"<{name}{said}/>")


def picture(width: int, height: int, spoken: str, parts: Iterable[Markup], kind: str) -> Markup:
    """A whole picture with its text alternative."""
    return element(
        "svg",
        Markup("").join(parts),
        class_=kind,
        viewBox=f"0 0 {width} {height}",
        role="img",
        aria_label=spoken,
    )


def words(x: float, y: float, said: str, kind: str = "", anchor: str = "start") -> Markup:
    """A line of text at a place."""
    more = {"class_": kind} if kind else {}
    return element("text", said, x=x, y=y, text_anchor=anchor, **more)


def box(x: float, y: float, width: float, height: float, kind: str) -> Markup:
    """A filled box; one that would be too thin to see is drawn a hair wide."""
    return element("rect", x=x, y=y, width=max(width, 0.8), height=max(height, 0.8), class_=kind)


def line(x1: float, y1: float, x2: float, y2: float, kind: str) -> Markup:
    """A straight line."""
    return element("line", x1=x1, y1=y1, x2=x2, y2=y2, class_=kind)


def finite(value: Decimal, instead: float) -> float:
    """The figure for drawing; what has no end is drawn to the edge."""
    return float(value) if value.is_finite() else instead


def _text(value: str | float) -> str:
    if isinstance(value, str):
        return value
    return f"{value:.1f}".removesuffix(".0")
