"""`dietcheck sign`: what it writes, what it binds, what it refuses. Records are invented."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from dietcheck.__main__ import main
from dietcheck.history.guards import guards_digest
from dietcheck.history.signed import unchanged
from dietcheck.reading import check_file
from tests import records
from tests.checkout import environment, succeed
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


def test_a_signature_lets_the_commit_pass_that_an_old_unsigned_change_stopped(park: Path) -> None:
    """Screened as the hook does it: what is staged."""

    def commit(on: str) -> None:
        stamp = f"{on}T09:00:00+00:00"
        env = environment(GIT_AUTHOR_DATE=stamp, GIT_COMMITTER_DATE=stamp)
        succeed("git", "add", "--all", cwd=park, env=env)
        succeed("git", "commit", "--quiet", "--no-verify", "--message", on, cwd=park, env=env)

    def hook() -> int:
        succeed("git", "add", "--all", cwd=park)
        return main(["screen", str(park), "--staged", "--on", DAY])

    succeed("git", "init", "--quiet", "--initial-branch=main", cwd=park)
    rota = records.rota(["{morning: roots, afternoon: roots}"] * 2, start="2026-11-02")
    (park / "rota.yaml").write_text(rota, encoding="utf-8")
    assert sign(park, on="2026-11-10") == 0
    commit("2026-11-10")
    sheet = records.sheet({"roots": ["{food: carrot, amount: 601 g per animal}"]})
    (park / "sheet.yaml").write_text(sheet, encoding="utf-8")
    commit("2026-11-12")
    (park / "note.yaml").write_text(records.foods(leek="{same_as: leek}"), encoding="utf-8")
    assert hook() == 1  # whatever is committed, after 13 days
    assert sign(park) == 0
    assert hook() == 0


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
    name = f"sign-offs/{signed(park).name}"
    before = listing(park)
    assert sign(park, "--to", name) == 2
    assert listing(park) == before
    assert sign(park) == 0
    assert len(listing(park)) == len(before) + 1


def test_what_is_renewed_keeps_its_conditions_and_what_is_signed_is_left_alone(
    park: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert sign(park, "--condition", "weigh her", "--next-review", "2027-05-01") == 0
    assert sign(park, "--renew") == 2
    assert "signed as it stands" in capsys.readouterr().err
    first = signed(park)
    write(park, sheet=records.sheet({"roots": ["{food: carrot, amount: 601 g per animal}"]}))
    assert sign(park, "--renew") == 0
    (new,) = set((park / "sign-offs").iterdir()) - {first}
    data = check_file("s.yaml", new.read_bytes()).data
    assert data is not None
    assert (data["conditions"], data["next_review"]) == (["weigh her"], "2027-05-01")
    assert sign(park, "--renew") == 2


def found(park: Path, capsys: pytest.CaptureFixture[str], rule: str) -> dict[str, Any]:
    """The one finding of a rule, as the JSON report has it."""
    out = park.parent / "found.json"
    main(["screen", str(park), "--on", DAY, "--write", f"json:{out}"])
    capsys.readouterr()
    (one,) = [f for f in json.loads(out.read_text())["findings"] if f["rule"] == rule]
    return one  # type: ignore[no-any-return]


LATER = ("--reason", "she refuses all else", "--until", "2026-12-24")


def test_a_high_finding_is_accepted_with_a_reason_an_end_and_what_it_rests_on(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A tapir that must not have carrots gets them. Invented."""
    animal = "{id: T1, never: [carrot], weighings: [{on: 2026-11-20, mass: 200 kg}]}"
    park = write(tmp_path / "park", group=records.group(animals=(animal,)))
    assert sign(park) == 2
    one = found(park, capsys, "individual-exclusion")
    accept = ("--accept", one["id"], *LATER)
    assert sign(park, *accept) == 2  # it is about a food: how much of it?
    assert sign(park, *accept, "--up-to", "1200 g", role="keeper") == 2
    assert sign(park, *accept, "--up-to", "1200 g") == 0
    data = check_file("s.yaml", signed(park).read_bytes()).data
    assert data is not None
    (entry,) = data["accepts"]
    assert (entry["heads"], entry["weights"]) == (1, {"T1": "180000 to 220000 g"})
    assert entry["content"].startswith("sha256:")
    accepted = found(park, capsys, "individual-exclusion")["accepted"]
    assert (accepted["days_left"], accepted["not_bound_to"]) == (29, [])
    heavy = animal.replace("200 kg", "221 kg")
    write(park, group=records.group(animals=(heavy,)))
    voided = found(park, capsys, "individual-exclusion")
    assert voided["accepted"] is None
    assert "221000 g" in voided["message"]


@pytest.mark.parametrize("more", [LATER[:2], LATER[2:], ("--reason", "x", "--until", "2026-11-24")])
def test_an_acceptance_without_reason_or_end_is_refused(park: Path, more: tuple[str, ...]) -> None:
    before = listing(park)
    assert sign(park, "--accept", "0" * 12, *more) == 2
    assert sign(park, *more) == 2
    assert listing(park) == before


def test_an_unknown_food_is_never_accepted(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet = records.sheet({"roots": ["{food: hedge, amount: 600 g per animal}"]})
    park = write(tmp_path / "park", sheet=sheet)
    before = listing(park)
    one = found(park, capsys, "unknown-food")
    assert sign(park, "--accept", one["id"], *LATER, "--up-to", "600 g") == 2
    assert "never be accepted" in capsys.readouterr().err
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


def test_limits_are_signed_by_themselves(park: Path) -> None:
    assert sign(park, "--limits", "--groups", "tapir") == 2
    assert sign(park, "--limits", by="Dr Nobody") == 2
    assert sign(park, "--limits") == 0
    data = check_file("s.yaml", signed(park).read_bytes()).data
    assert data is not None
    assert "groups" not in data
    again = {p: raw.decode() for p, raw in listing(park).items() if raw is not None}
    assert data["limits"] == guards_digest(records.linked(again))
