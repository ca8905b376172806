"""Whether what a rule yielded is a check that can be shown: foreign code may yield anything."""

from __future__ import annotations

from datetime import date

from dietcheck.collection.places import Pointer
from dietcheck.screening.checks import Check, Measure, Severity, Verdict, When
from dietcheck.screening.limits import Limit, SourceRef

LONGEST = 20_000
"""Characters of one text of a check."""
MOST = 200_000
"""Checks of one rule in one run: some hundred for each group of the largest collection."""

_TEXTS = ("about", "message", "advice", "settles")
_MAYBE: tuple[tuple[str, type], ...] = (
    ("food", str), ("group", str), ("measured", Measure), ("limit", Limit),
)  # fmt: skip
_LISTS: tuple[tuple[str, type], ...] = (
    ("animals", str), ("occasions", When), ("others", Limit), ("working", str), ("weak", str),
    ("places", Pointer), ("sources", SourceRef),
)  # fmt: skip


def sound_check(check: object) -> Check:
    """The same check. Raises TypeError or ValueError for anything that is not wholly one."""
    if not isinstance(check, Check):
        raise TypeError(f"it yielded {type(check).__name__} instead of a check")
    if (type(check.verdict), type(check.severity)) != (Verdict, Severity):
        raise TypeError("it yielded a check with a verdict or severity that is none")
    for name in _TEXTS:
        text = getattr(check, name)
        if text.__class__ is not str:
            raise TypeError(f"it yielded a check whose {name} is {type(text).__name__}")
        if len(text) > LONGEST:
            raise ValueError(f"it yielded a check whose {name} has {len(text):,} characters")
    if not check.message:
        raise ValueError("it yielded a check that says nothing")
    for name, kind in _MAYBE:
        value = getattr(check, name)
        if value is not None and not isinstance(value, kind):
            raise TypeError(f"it yielded a check whose {name} is {type(value).__name__}")
    for name, kind in _LISTS:
        values = getattr(check, name)
        if values.__class__ is not tuple:
            raise TypeError(f"it yielded a check whose {name} is {type(values).__name__}")
        for value in values:
            if not isinstance(value, kind):
                raise TypeError(f"it yielded a check with {type(value).__name__} among {name}")
    if any((type(when.on), type(when.number)) != (date, int) for when in check.occasions):
        raise TypeError("it yielded a check with an occasion that has no day")
    return check
