"""The kitchen's sheet in a real browser: alone, without barriers, and a page a section on paper."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, sync_playwright

from dietcheck.commands.prep import make
from dietcheck.nutrition.kitchen_store import KitchenDay
from dietcheck.reporting import prep_html
from dietcheck.reporting.prep import PrepReport, sections
from tests.checkout import CHECKOUT, EXAMPLE_DAY

DESKTOP, PHONE = 1280, 375
SHEET = 297 - 2 * 12  # mm of an A4 page between the margins of the style sheet
PX = 96 / 25.4  # CSS pixels in a millimetre


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    found = shutil.which("chromium")
    assert found, "these tests need Chromium: apt-get install chromium"
    with sync_playwright() as player:
        opened = player.chromium.launch(executable_path=found, args=["--no-sandbox"])
        yield opened
        opened.close()


@pytest.fixture(scope="module")
def day() -> KitchenDay:
    return make(CHECKOUT / "example_repo", date.fromisoformat(EXAMPLE_DAY), 1, ()).days[0]


@pytest.fixture(scope="module")
def sheet(day: KitchenDay, tmp_path_factory: pytest.TempPathFactory) -> Path:
    report = PrepReport("Park", day.on, "the folder", (day,), (), {}, ("morning", "afternoon"))
    file = tmp_path_factory.mktemp("page") / "prep.html"
    file.write_text(prep_html.render(report), encoding="utf-8")
    return file


@pytest.mark.parametrize("width", [DESKTOP, PHONE])
def test_it_stands_alone_and_fits_the_window(browser: Browser, sheet: Path, width: int) -> None:
    page = browser.new_page(viewport={"width": width, "height": 900})
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(sheet.as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.close()
    assert (asked, said) == ([sheet.as_uri()], [])


@pytest.mark.parametrize("width", [DESKTOP, PHONE])
def test_no_barrier_is_found(browser: Browser, sheet: Path, width: int) -> None:
    # The page itself allows no script; the checker gets in by a page that does.
    context = browser.new_context(bypass_csp=True, viewport={"width": width, "height": 900})
    page = context.new_page()
    page.goto(sheet.as_uri())
    found = Axe().run(page)
    context.close()
    assert len(found.response["passes"]) > 10  # it has looked
    assert found.violations_count == 0, found.generate_report()


def test_on_paper_each_section_has_its_page_and_no_feed_is_torn(
    browser: Browser, sheet: Path, day: KitchenDay
) -> None:
    page = browser.new_page(viewport={"width": round((210 - 24) * PX), "height": 900})
    page.goto(sheet.as_uri())
    page.emulate_media(media="print")
    breaks = page.evaluate(
        "[...document.querySelectorAll('.page')].map(p => getComputedStyle(p).breakBefore)"
    )
    assert breaks[1:] == ["page"] * len(sections(day))
    feeds = page.evaluate(
        "[...document.querySelectorAll('.feed')]"
        ".map(f => [f.getBoundingClientRect().height, getComputedStyle(f).breakInside])"
    )
    assert len(feeds) > len(sections(day))
    assert all(height < SHEET * PX and rule == "avoid" for height, rule in feeds)
    type_size = page.evaluate(
        "parseFloat(getComputedStyle(document.querySelector('.portion .big')).fontSize)"
    )
    assert type_size >= 12 * 96 / 72  # read at arm's length: 12 points or more
    assert page.locator(".tick").count() > 100
    page.close()
