"""The vet's report in a real browser: nothing fetched, nothing in the console, readable by all."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from shutil import copytree, ignore_patterns

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, sync_playwright

from dietcheck.reading import Folder
from dietcheck.reporting import Asked, render, trail
from dietcheck.reporting.trail_gather import gather
from dietcheck.screening.screen import screen
from tests.checkout import commit_all

PARK = Path(__file__).parents[2] / "example_repo"
BAD = (
    "b01-tapir-pellet-13-kg.yaml",
    "b06-pip-banana-twice.yaml",
    "b09-tortoise-leek-tops.yaml",
    "b13-red-panda-grapes",
    "decoy-rhea-2-carrots.yaml",
)
SHEET = 297 - 13 - 15  # mm of an A4 page between the margins of the style sheet
PX = 96 / 25.4  # CSS pixels in a millimetre
DESKTOP, PHONE = 1280, 375


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    found = shutil.which("chromium")
    assert found, "these tests need Chromium: apt-get install chromium"
    with sync_playwright() as player:
        # The sandbox needs rights that a container seldom has; the pages are our own.
        opened = player.chromium.launch(executable_path=found, args=["--no-sandbox"])
        yield opened
        opened.close()


@pytest.fixture(scope="module", params=["good", "bad", "trail"])
def report(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page of the example park as it stands, and with several mistakes laid over it."""
    if request.param == "trail":
        return _trail(tmp_path_factory.mktemp("trail"))
    names = BAD if request.param == "bad" else ()
    paths = [p for name in names for p in _files(PARK / "drafts" / name)]
    drafts = [(p.relative_to(PARK).as_posix(), p.read_bytes()) for p in paths]
    found = screen(Folder(PARK), date(2026, 11, 25), drafts)
    file = tmp_path_factory.mktemp("page") / f"{request.param}.html"
    file.write_text(render("html", found, Asked()), encoding="utf-8")
    return file


def _trail(folder: Path) -> Path:
    """The inspector's page of one animal."""
    copytree(PARK, folder / "park", ignore=ignore_patterns("drafts", "*.png", ".*"))
    commit_all(folder / "park")
    on = date(2026, 11, 25)
    file = folder / "trail.html"
    text = trail.render("html", gather(folder / "park", "Pip", None, on, on))
    file.write_text(text, encoding="utf-8")
    return file


def _files(path: Path) -> list[Path]:
    return sorted(path.rglob("*.yaml")) if path.is_dir() else [path]


@contextmanager
def opened(browser: Browser, file: Path, width: int) -> Iterator[Page]:
    """The page in a window; whatever it asks of anybody or says to the console is an error."""
    page = browser.new_page(viewport={"width": width, "height": 900})
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(file.as_uri())
    yield page
    page.close()
    assert asked == [file.as_uri()]
    assert said == []


@pytest.mark.parametrize("width", [DESKTOP, PHONE])
def test_it_stands_alone_and_fits_the_window(browser: Browser, report: Path, width: int) -> None:
    with opened(browser, report, width) as page:
        page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("width", [DESKTOP, PHONE])
def test_no_barrier_is_found(browser: Browser, report: Path, width: int) -> None:
    # The page itself allows no script; the checker gets in by a page that does.
    context = browser.new_context(bypass_csp=True, viewport={"width": width, "height": 900})
    page = context.new_page()
    page.goto(report.as_uri())
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    found = Axe().run(page)
    context.close()
    assert len(found.response["passes"]) > 20  # it has looked
    assert found.violations_count == 0, found.generate_report()


def test_the_keyboard_reaches_the_decisions_first(browser: Browser, report: Path) -> None:
    if report.stem == "trail":  # read from its top
        return
    with opened(browser, report, DESKTOP) as page:
        page.keyboard.press("Tab")
        page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.id") == "decisions"


def test_it_is_read_without_scripts(browser: Browser, report: Path) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(report.as_uri())
    trail_heads = ("What it was offered", "Findings that stood open")
    heads = trail_heads if report.stem == "trail" else ("Decisions for you", "Cautions")
    for head in heads:
        assert page.get_by_role("heading", name=head).is_visible()
    context.close()


def test_it_prints_on_few_pages_and_every_card_fits_one(browser: Browser, report: Path) -> None:
    with opened(browser, report, round((210 - 28) * PX)) as page:
        page.emulate_media(media="print")
        heights = page.evaluate(
            "[...document.querySelectorAll('.card, figure, .one')]"
            ".map(c => [c.getBoundingClientRect().height, getComputedStyle(c).breakInside])"
        )
        assert all(height < SHEET * PX and rule == "avoid" for height, rule in heights)
        printed = page.pdf(prefer_css_page_size=True)
    sheets = printed.count(b"/Type /Page\n") or printed.count(b"/Type /Page ")
    assert 1 <= sheets <= 4 + len(heights)  # the weights of every animal are printed too
