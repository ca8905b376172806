"""The report of a collection of 300 groups: small enough to send, and its decisions come first."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from dietcheck.reporting import Asked, render
from dietcheck.screening.screen import screen
from dietcheck.testing import Memory
from tests.browser.many import collection
from tests.browser.test_report import DESKTOP, browser, opened

__all__ = ["browser"]
GROUPS = 300


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page of 300 groups that nobody has signed, so that every group has something open."""
    found = screen(Memory(collection(GROUPS)), date(2026, 11, 25))
    assert found.collection is not None
    assert len(found.collection.groups) == GROUPS
    file = tmp_path_factory.mktemp("large") / "report.html"
    file.write_text(render("html", found, Asked()), encoding="utf-8")
    return file


def test_it_stays_under_five_megabytes(page: Path) -> None:
    assert 100_000 < page.stat().st_size < 5_000_000


def test_the_first_screen_holds_the_decisions(browser: Browser, page: Path) -> None:
    with opened(browser, page, DESKTOP) as shown:
        height = shown.evaluate("window.innerHeight")
        tops = {
            name: shown.evaluate(f"document.getElementById('{name}').getBoundingClientRect().top")
            for name in ("decisions", "cannot-tell", "passed", "low")
        }
        card = shown.evaluate("document.querySelector('.card').getBoundingClientRect().top")
    assert tops["decisions"] < card < height
    assert all(tops[name] > height for name in ("cannot-tell", "passed", "low"))
