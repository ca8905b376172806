"""`dietcheck sign`: what it writes, what it binds, what it refuses. Records are invented."""

from __future__ import annotations

from pathlib import Path

import pytest

from dietcheck.__main__ import main
from dietcheck.history.signed import unchanged
from dietcheck.reading import check_file
from tests import records
from tests.commands.console import listing, write

DAY = records.ON.isoformat()


@pytest.fixture
def park(tmp_path: Path) -> Path:
    """The small tapir park on disk."""
    return write(tmp_path / "park")


def sign(park: Path, *more: str, by: str = "Dr Vale", role: str = "vet", on: str = DAY) -> int:
    """The exit status of a signature."""
    return main(["sign", str(park), "--by", by, "--role", role, "--on", on, *more])


def signed(park: Path) -> Path:
    """The one file that was written."""
    (file,) = (park / "sign-offs").iterdir()
    return file


def test_the_record_holds_who_when_and_the_digest_and_can_be_read_again(
    park: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert sign(park, "--next-review", "2027-05-01", "--condition", 'odd: "x" {') == 0
    file = signed(park)
    facts = check_file(f"sign-offs/{file.name}", file.read_bytes())
    assert not facts.problems
    assert facts.data is not None
    assert (facts.data["by"], facts.data["role"], facts.data["on"]) == ("Dr Vale", "vet", DAY)
    assert facts.data["conditions"] == ['odd: "x" {']
    digest = facts.data["content"]["tapir"]
    assert digest in capsys.readouterr().out
    again = {path: raw.decode() for path, raw in listing(park).items() if raw is not None}
    collection = records.linked(again)
    (sign_off,) = collection.sign_offs
    assert sign_off.content == {"tapir": digest}
    assert unchanged(collection, sign_off, "tapir")


def test_a_changed_diet_is_no_longer_the_signed_one(park: Path) -> None:
    assert sign(park) == 0
    sign_off = signed(park).read_text(encoding="utf-8")
    sheet = records.sheet({"roots": ["{food: carrot, amount: 601 g per animal}"]})
    collection = records.linked({**records.small(sheet=sheet), "signed.yaml": sign_off})
    assert not unchanged(collection, collection.sign_offs[0], "tapir")


@pytest.mark.parametrize(
    ("who", "more"),
    [
        ({"by": "Dr Nobody"}, ()),
        ({"role": "keeper"}, ()),
        ({"on": "2023-12-31"}, ()),  # the day before Dr Vale's authority began
        ({}, ("--groups", "unicorn")),
        ({}, ("--next-review", DAY)),
        ({}, ("--to", "../outside.yaml")),
        ({}, ("--to", "sign-offs/record.txt")),
        ({}, ("--condition", "")),
    ],
)
def test_what_would_not_stand_is_refused_and_nothing_is_written(
    park: Path,
    capsys: pytest.CaptureFixture[str],
    who: dict[str, str],
    more: tuple[str, ...],
) -> None:
    before = listing(park.parent)
    assert sign(park, *more, **who) == 2
    assert "Traceback" not in capsys.readouterr().err
    assert listing(park.parent) == before


def test_a_signature_is_never_written_over(park: Path) -> None:
    assert sign(park) == 0
    before = listing(park)
    assert sign(park, "--next-review", "2027-05-01") == 2
    assert listing(park) == before


def test_a_high_finding_is_not_signed_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet = records.sheet({"roots": ["{food: hedge, amount: 600 g per animal}"]})
    park = write(tmp_path / "park", sheet=sheet)
    before = listing(park)
    assert sign(park) == 2
    assert "hedge" in capsys.readouterr().err
    assert listing(park) == before


def test_nobody_signs_the_own_diet(park: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sheet = records.sheet(
        {"roots": ["{food: carrot, amount: 600 g per animal}"]}, more="written_by: Dr Vale"
    )
    write(park, sheet=sheet)
    before = listing(park)
    assert sign(park) == 2
    assert "Dr Vale" in capsys.readouterr().err
    assert listing(park) == before


def test_records_that_cannot_be_read_are_not_signed_over(park: Path) -> None:
    (park / "torn.yaml").write_text("record: group\nid: [", encoding="utf-8")
    before = listing(park)
    assert sign(park) == 2
    assert listing(park) == before
