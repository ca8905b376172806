"""Why a written quantity is refused, and what to write: a table of the slips people make.

Read only once a quantity has been refused, so it may be slow and as helpful as it likes.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from typing import Final

from dietcheck.quantities.grammar import QuantityError, shown

_FIGURE = r"[0-9]+(?:\.[0-9]+)?"

# pattern found in the text, what is wrong, what to write ({example} is the field's own form)
_SLIPS: Final[tuple[tuple[str, str, str], ...]] = (
    (r"^$", "nothing is written here", "write it as in {example}"),
    (
        r"[^\x20-\x7eµ≤≥–—−±½¼¾⅓⅔°£€¥]",
        "it holds a character that is not a plain one",
        "type it again with the digits 0 to 9 and plain spaces, as in {example}",
    ),
    (r"#", "it runs into a comment", "put one space before # or move the remark to notes"),
    (r"^[-−]", "it is below zero", "write how much is given, as in {example}"),
)


def refusal(text: str, example: str, units: Iterable[str] = ()) -> QuantityError:
    """The refusal of `text` where `example` would have been taken."""
    for pattern, wrong, remedy in _SLIPS:
        if re.search(pattern, text):
            return QuantityError(f"{shown(text)}: {wrong}", remedy.format(example=example))
    word = re.sub(rf"^{_FIGURE}(?: to {_FIGURE})? ?", "", text).partition(" ")[0]
    near = difflib.get_close_matches(word, list(units), 1, 0.5)
    hint = f"write {near[0]}" if near else f"write it as in {example}"
    return QuantityError(f"{shown(text)} is not understood here", hint)
