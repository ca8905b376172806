"""The stream of YAML events of a text, from the C parser where there is one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import yaml

from dietcheck.reading.problems import Place

try:
    from yaml._yaml import CParser as _Parser

    FAST = True
except ImportError:  # pragma: no cover - only where PyYAML was built without libyaml
    FAST = False

DEPTH_LIMIT = 40
"""Lists and groups of names inside one another; a diet sheet needs six."""

NODE_LIMIT = 100_000
"""Values in one document."""


def parser(text: bytes) -> Callable[[], Any]:
    """The next-event function over a clean UTF-8 text."""
    if FAST:
        return _Parser(text).get_event
    return pure_parser(text)  # pragma: no cover


def pure_parser(text: bytes) -> Callable[[], Any]:
    """The same from the parser written in Python: same events, some eight times slower."""
    return yaml.SafeLoader(text).get_event


def place_of(event: Any) -> Place:
    """Where an event begins."""
    mark = event.start_mark
    return Place(mark.line + 1, mark.column + 1)
