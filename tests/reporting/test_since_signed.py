"""What the vet's page says became of a diet since it was signed. Real git; all invented."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from dietcheck.history.digest import content_digest
from dietcheck.history.lookback import Lookback
from dietcheck.history.signed_version import signed_versions
from dietcheck.quantities import Interval, exact
from dietcheck.reading import Folder
from dietcheck.reporting import Asked, render
from dietcheck.reporting.html.pictures import calendar
from dietcheck.reporting.html.pictures.calendar import Strip
from dietcheck.screening.screen import screen
from tests import records
from tests.checkout import succeed
from tests.commands.console import write
from tests.commands.test_trail import commit, sheet

SIGN = """
record: sign-off
by: Dr Vale
role: vet
on: 2026-11-20
groups: [tapir]
content: {tapir: "%s"}
"""


@pytest.fixture
def park(tmp_path: Path) -> Path:
    """A park whose one diet is signed as it stands, all committed."""
    folder = write(tmp_path / "park", sheet=sheet(600))
    known = Lookback(Folder(folder)).collection
    assert known is not None
    (folder / "signed.yaml").write_text(SIGN % content_digest(known, "tapir", date(2026, 11, 20)))
    succeed("git", "init", "--quiet", "--initial-branch=main", cwd=folder)
    commit(folder, "2026-11-20", "Tamsin Vale", "signed")
    return folder


def page(folder: Path) -> str:
    """The page with what git knows of the signatures."""
    found = screen(Folder(folder), records.ON)
    assert found.collection is not None
    signed = signed_versions(folder, found.collection, records.ON)
    return " ".join(render("html", found, Asked(signed=signed)).split())


def test_a_diet_that_is_as_signed_is_only_counted(park: Path) -> None:
    assert "As signed: 1 group." in page(park)


def test_a_changed_diet_is_told_old_to_new_with_the_writer(park: Path) -> None:
    (park / "sheet.yaml").write_text(sheet(900))
    commit(park, "2026-11-22", "Jory Lindahl", "more for the cold")
    found = page(park)
    assert "carrot: 600 g per animal → 900 g per animal" in found
    assert "Signed by Dr Vale, 20 Nov 2026; sheet last changed by Jory Lindahl" in found
    assert "more for the cold" in found


def test_a_signed_version_that_git_lacks_is_said(park: Path) -> None:
    (park / "signed.yaml").write_text(SIGN % f"sha256:{'0' * 64}")
    assert "the signed version is not among the latest in git" in page(park)


def test_a_diet_that_nobody_signed_is_said(park: Path) -> None:
    other = records.group("malay", "Tapirus indicus", ("{id: M1}",), enclosure="Marsh")
    write(park, {"malay.yaml": other}, sheet=sheet(600))
    assert "Nobody has signed: " in page(park)


@pytest.mark.parametrize(
    ("low", "high", "mark"), [(1, 5, ""), (5, 6, "?"), (6, 7, "!"), (5, 5, ""), (0, 9, "?")]
)
def test_a_day_is_marked_as_it_stands_to_a_limit_for_a_day(low: int, high: int, mark: str) -> None:
    figure = Interval(exact(low).low, exact(high).high)
    strip = Strip("Sugar", "g", [1], [figure], None, exact(5).low, "limit", True)
    drawn = str(calendar.draw(strip))
    assert (f">{mark}</text>" in drawn) is bool(mark)
    assert "!<" not in str(calendar.draw(Strip("Sugar", "g", [1], [figure], None, exact(5).low)))
