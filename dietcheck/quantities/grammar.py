"""The small grammar in front of every quantity: what is written, or a refusal that helps.

Nothing is ever evaluated. A quantity is one figure, or two with `to` between them, then a unit
from a closed table; everything else is refused, with what to write instead.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal
from typing import Final, NoReturn

from dietcheck.quantities.interval import Interval, between, exact

LONGEST: Final = 80

NUMBER: Final = r"(?:0|[1-9][0-9]{0,8})(?:\.[0-9]{1,9})?"
_QUANTITY: Final = re.compile(rf"({NUMBER})(?: to ({NUMBER}))?(?: ?([^0-9 .].*))?")


class QuantityError(ValueError):
    """A quantity that cannot be taken as written.

    `message` says what is wrong with it in a keeper's words, `remedy` what to write instead; both
    are safe to print, whatever was written.
    """

    def __init__(self, message: str, remedy: str) -> None:
        self.message = printable(message)
        self.remedy = printable(remedy)
        super().__init__(f"{self.message}: {self.remedy}")

    def __reduce__(self) -> tuple[type[QuantityError], tuple[str, str]]:
        return (QuantityError, (self.message, self.remedy))


def shown(text: str) -> str:
    """What was written, safe to print: cut short, with unprintable characters spelled out."""
    cut = text if len(text) <= 40 else text[:37] + "..."
    return f'"{printable(cut)}"'


def printable(text: str) -> str:
    """The text with unprintable characters spelled out."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)


def tidy(text: str) -> str:
    """The text with single spaces and one kind of µ; too long a text is refused unread."""
    if len(text) > LONGEST:
        raise QuantityError(
            f"{shown(text)} is too long for a quantity", "write one figure and its unit"
        )
    if "μ" in text:
        text = text.replace("μ", "µ")
    return re.sub(" +", " ", text.strip(" ")) if " " in text else text


def split(text: str, example: str) -> tuple[Interval, str]:
    """Figure or range, and the unit words after it ("" if none), from tidied text."""
    found = _QUANTITY.fullmatch(text)
    if found is None:
        explain(text, example)
    low, high, unit = found.groups()
    if high is None:
        return exact(low), unit or ""
    if Decimal(low) > Decimal(high):
        raise QuantityError(
            f"{shown(text)} runs from the larger figure to the smaller",
            f"write the smaller first: {high} to {low} {unit or ''}".rstrip(),
        )
    return between(low, high), unit or ""


def explain(text: str, example: str, units: Iterable[str] = ()) -> NoReturn:
    """Refuse the text with the most helpful reason there is."""
    # Read only when something is refused: the tables and their regexes cost a cold start.
    from dietcheck.quantities.refusals import refusal

    raise refusal(text, example, units)


def explain_slip(text: str, example: str) -> None:
    """Refuse the text if it holds a known slip."""
    from dietcheck.quantities.refusals import slip

    found = slip(text, example)
    if found:
        raise found
