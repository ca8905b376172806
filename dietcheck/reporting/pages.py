"""Self-contained HTML pages from templates: escaped throughout, no script, nothing fetched."""

from __future__ import annotations

from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined


def page(template: str, package: str = "dietcheck.reporting", **values: Any) -> str:
    """The page of a template in the `templates/` of a package. Every text in it is escaped."""
    return _environment(package).get_template(template).render(values)


@cache
def _environment(package: str) -> Environment:
    return Environment(
        loader=PackageLoader(package),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
