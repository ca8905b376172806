"""One server for all runs of a module."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.cage import Cage


@pytest.fixture(scope="module")
def cage() -> Iterator[Cage]:
    """The cage."""
    with Cage() as cage:
        yield cage
