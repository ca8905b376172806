"""Self-contained HTML pages from templates: escaped throughout, no script, nothing fetched."""

from __future__ import annotations

from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined


def page(template: str, **values: Any) -> str:
    """The page of a template in `templates/`. Every text in it is escaped."""
    return _environment().get_template(template).render(values)


@cache
def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("dietcheck.reporting"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
