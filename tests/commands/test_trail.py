"""`dietcheck trail` in real git repositories: one animal, one day, on whose word.

The park, its people and its amounts are invented.
"""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from dietcheck.history.digest import content_digest
from dietcheck.history.lookback import Lookback
from dietcheck.reading import Folder
from dietcheck.reporting.trail_json import schema
from tests import records
from tests.checkout import environment, succeed
from tests.commands.console import Done, call, listing, write
from tests.hostile.test_output import NASTY, harmless

WEIGHED = "{id: T1, name: Tuk, weighings: [{on: 2026-09-30, mass: 200 kg}%s]}"
SIGN = """
record: sign-off
by: Dr Vale
role: vet
on: 2026-10-10
groups: [tapir]
content: {tapir: "%s"}
conditions: [weigh her monthly]
next_review: 2027-10-10
accepts:
  - {rule: sugar-ceiling, group: tapir, reason: until the hay is cut, until: 2026-11-30}
"""


def group(*more: str) -> str:
    """The tapir with its weighing and more of them."""
    return records.group(animals=(WEIGHED % "".join(f", {one}" for one in more),))


def sheet(grams: int) -> str:
    """A sheet that tells versions apart by its amount."""
    line = f"{{food: carrot, amount: {grams} g per animal}}"
    return records.sheet({"roots": [line]}, start="2026-10-01")


def commit(folder: Path, on: str, by: str, message: str) -> None:
    """Commit everything on a day in somebody's name."""
    stamp = f"{on}T12:00:00+00:00"
    env = environment(GIT_AUTHOR_DATE=stamp, GIT_COMMITTER_DATE=stamp, GIT_AUTHOR_NAME=by)
    succeed("git", "add", "--all", cwd=folder, env=env)
    succeed("git", "commit", "--quiet", "--no-verify", "-m", message, cwd=folder, env=env)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small park: the start, a signature, a bigger ration, a weight put back in time."""
    park = tmp_path_factory.mktemp("park") / "diets"
    rota = records.rota(["{morning: roots, afternoon: roots}"] * 2, start="2026-10-01")
    write(park, group=group(), sheet=sheet(600), rota=rota)
    succeed("git", "init", "--quiet", "--initial-branch=main", cwd=park)
    commit(park, "2026-10-01", "Mina Okoro", "the first sheet")
    known = Lookback(Folder(park)).collection
    assert known is not None
    (park / "signed.yaml").write_text(SIGN % content_digest(known, "tapir", date(2026, 10, 10)))
    commit(park, "2026-10-10", "Tamsin Vale", "signed")
    write(park, group=group(), sheet=sheet(900), rota=rota)
    commit(park, "2026-10-20", "Jory Lindahl", "more for the cold")
    write(park, group=group("{on: 2026-10-05, mass: 190 kg}"), sheet=sheet(900), rota=rota)
    commit(park, "2026-11-05", "Mina Okoro", "weights")
    return park


def trail(park: Path, on: str, *more: str | Path) -> Done:
    """Run the command for the one animal."""
    return call("trail", park, "--animal", "tuk", "--on", on, *more)


def answer(park: Path, on: str, tmp_path: Path, *more: str) -> Any:
    """The answer as a program reads it, as its schema says."""
    done = trail(park, on, *more, "--write", f"json:{tmp_path / 'trail.json'}")
    assert done.status == 0, done.err
    found = json.loads((tmp_path / "trail.json").read_text("ascii"))
    Draft202012Validator(schema(), format_checker=Draft202012Validator.FORMAT_CHECKER).validate(
        found
    )
    return found


@pytest.mark.parametrize(
    ("on", "by", "grams"),
    [("2026-10-09", "Mina Okoro", 600), ("2026-10-19", "Tamsin Vale", 600),
     ("2026-10-20", "Jory Lindahl", 900), ("2026-11-04", "Jory Lindahl", 900)],
)  # fmt: skip
def test_the_version_of_the_day_is_shown(
    made: Path, tmp_path: Path, on: str, by: str, grams: int
) -> None:
    found = answer(made, on, tmp_path)
    assert found["version"]["by"] == by
    assert [one["amount"] for one in found["offered"]] == [f"{grams} g per animal"] * 2
    assert found["offered"][0]["grams"]["low"] == grams
    assert found["ration"][0]["day"]["low"] == 2 * grams


def test_what_others_may_have_left_is_shown_and_adds_up(tmp_path: Path) -> None:
    park = tmp_path / "diets"
    goat = "{id: G1, weighings: [{on: 2026-09-30, mass: 40 kg}]}"
    write(
        park, group=group(), sheet=sheet(600), goats=records.group(id="goats", animals=(goat,)),
        theirs=records.sheet(
            {"rest": ["{food: carrot, amount: 300 g per group}"]}, "goats", "2026-10-01",
            more="leftovers: [{to: tapir, foods: [carrot], share: 10 %}]",
        ),
        rota2=records.rota(
            ["{morning: rest, afternoon: no feed}"] * 2, "goats", start="2026-10-01"
        ),
    )  # fmt: skip
    succeed("git", "init", "--quiet", "--initial-branch=main", cwd=park)
    commit(park, "2026-11-17", "Mina Okoro", "leftovers")
    found = answer(park, "2026-11-18", tmp_path)
    grams = [(one["grams"]["low"], one["grams"]["high"]) for one in found["offered"]]
    assert grams == [(600, 600), (600, 600), (0, 30)]  # 300 g × 10 %, for one tapir
    assert found["offered"][-1]["place"].startswith("theirs.yaml:")
    day = found["ration"][0]["day"]
    assert (day["low"], day["high"]) == tuple(sum(ends) for ends in zip(*grams, strict=True))
    assert "theirs.yaml" in {one["file"] for one in found["files"]}


def test_a_signature_says_what_it_covers_and_rests_on(made: Path, tmp_path: Path) -> None:
    before = answer(made, "2026-10-15", tmp_path)["signatures"]
    after = answer(made, "2026-10-25", tmp_path)["signatures"]
    (one,), (other,) = before, after
    assert "was put under the diet that was fed" in one["covers"]
    assert "is not the one it was put under" in other["covers"]
    assert one["weight"] == "200 kg on 30 Sep 2026, 10 days before"
    assert one["conditions"] == ["weigh her monthly"]
    assert answer(made, "2026-10-09", tmp_path)["signatures"] == []


def test_risks_stand_from_the_signature_to_their_end(made: Path, tmp_path: Path) -> None:
    found = {
        on: [one["days_left"] for one in answer(made, on, tmp_path)["accepted_risks"]]
        for on in ("2026-10-09", "2026-10-10", "2026-11-30", "2026-12-01")
    }
    assert found == {"2026-10-09": [], "2026-10-10": [51], "2026-11-30": [0], "2026-12-01": []}


def test_findings_are_those_of_the_day(made: Path, tmp_path: Path) -> None:
    def signed(on: str) -> list[str]:
        findings = answer(made, on, tmp_path)["findings"]
        return [f["message"] for f in findings if f["rule"] == "sign-off"]

    assert "no sign-off covers this diet" in signed("2026-10-09")[0]
    assert signed("2026-10-15") == []
    assert any(
        "no longer what was signed" in one or "changed since" in one for one in signed("2026-10-25")
    )


def test_the_change_log_is_in_plain_words_and_stops_at_the_day(made: Path) -> None:
    page = " ".join(trail(made, "2026-10-25").out.split())
    assert "20 Oct 2026, Jory Lindahl: more for the cold" in page
    assert "carrot: 600 g per animal → 900 g per animal (roots)" in page
    assert "signed by Dr Vale (vet), 10 Oct 2026, with 1 accepted risk" in page
    assert "more for the cold" not in trail(made, "2026-10-19").out


def test_what_was_put_back_in_time_is_told_even_of_later(made: Path, tmp_path: Path) -> None:
    found = answer(made, "2026-10-25", tmp_path)["written_later"]
    (late,) = [one for one in found if one["kind"] == "weighings"]
    assert (late["kind"], late["on"], late["days_after"]) == ("weighings", "2026-10-05", 31)
    assert late["version"]["by"] == "Mina Okoro"
    shown, _, _ = trail(made, "2026-10-25").out.partition("\nWritten after its day\n")
    assert "190 kg" not in shown
    early = answer(made, "2026-10-04", tmp_path)["written_later"]
    assert [one["kind"] for one in early] == ["diet sheets"]  # of 1 October, written over in place


def test_a_day_before_the_first_version_is_said_plainly(made: Path, tmp_path: Path) -> None:
    (said, *_) = answer(made, "2026-09-01", tmp_path)["cannot_be_known"]
    assert "No version of 1 Sep 2026 is here" in said


def test_a_copy_that_was_cut_short_says_so(made: Path, tmp_path: Path) -> None:
    succeed("git", "clone", "--quiet", "--depth=1", made.as_uri(), tmp_path / "c", cwd=tmp_path)
    said = " ".join(answer(tmp_path / "c", "2026-11-06", tmp_path)["cannot_be_known"])
    assert "was cut short" in said
    assert "No version of 15 Oct 2026 is here" in trail(tmp_path / "c", "2026-10-15").out


def test_without_git_nobody_can_tell_by_whom(tmp_path: Path) -> None:
    write(tmp_path / "plain", group=group())
    found = answer(tmp_path / "plain", "2026-11-25", tmp_path)
    assert found["version"] is None
    assert "in no git repository" in found["cannot_be_known"][0]


def test_what_is_not_committed_is_named_and_not_shown(made: Path, tmp_path: Path) -> None:
    succeed("git", "clone", "--quiet", made, tmp_path / "c", cwd=tmp_path)
    write(tmp_path / "c", group=group("{on: 2026-10-05, mass: 190 kg}"), sheet=sheet(5000))
    found = answer(tmp_path / "c", "2026-11-25", tmp_path)
    assert found["offered"][0]["grams"]["low"] == 900
    assert any("sheet.yaml" in one for one in found["cannot_be_known"])
    assert found["changes"][0]["version"] is None
    assert "5000" not in json.dumps(answer(tmp_path / "c", "2026-10-25", tmp_path)["changes"])


def test_a_merge_counts_from_its_day_and_names_the_writer(made: Path, tmp_path: Path) -> None:
    park = tmp_path / "c"
    succeed("git", "clone", "--quiet", made, park, cwd=tmp_path)
    succeed("git", "checkout", "--quiet", "-b", "swap", cwd=park)
    (park / "sheet.yaml").write_text(sheet(700))
    commit(park, "2026-11-10", "Pia Renn", "less again")
    succeed("git", "checkout", "--quiet", "main", cwd=park)
    stamp = "2026-11-15T12:00:00+00:00"
    env = environment(GIT_AUTHOR_DATE=stamp, GIT_COMMITTER_DATE=stamp, GIT_AUTHOR_NAME="Jory")
    succeed("git", "merge", "--quiet", "--no-ff", "-m", "merged", "swap", cwd=park, env=env)
    assert answer(park, "2026-11-14", tmp_path)["offered"][0]["amount"] == "900 g per animal"
    found = answer(park, "2026-11-15", tmp_path)
    assert found["offered"][0]["amount"] == "700 g per animal"
    assert found["version"]["writers"] == ["Pia Renn"]
    assert "Pia Renn; merged by Jory" in trail(park, "2026-11-15").out


def test_a_date_that_runs_backwards_is_told(made: Path, tmp_path: Path) -> None:
    succeed("git", "clone", "--quiet", made, tmp_path / "c", cwd=tmp_path)
    (tmp_path / "c" / "sheet.yaml").write_text(sheet(50))
    commit(tmp_path / "c", "2026-10-02", "Somebody", "as if it had always been so")
    assert answer(tmp_path / "c", "2026-10-03", tmp_path)["offered"][0]["grams"]["low"] == 600
    said = " ".join(answer(tmp_path / "c", "2026-11-25", tmp_path)["cannot_be_known"])
    assert "earlier date than a version it follows" in said


@pytest.mark.parametrize(
    ("asked", "said"),
    [(("--animal", "Tukk"), "Nearest: Tuk"), (("--animal", "Tuk", "--group", "tapirs"), "tapir"),
     ((), "--animal"), (("--animal", "Tuk", "--on", "yesterday"), "--on")],
)  # fmt: skip
def test_a_mistake_is_told_with_what_to_write(
    made: Path, asked: tuple[str, ...], said: str
) -> None:
    done = call("trail", made, *asked)
    assert (done.status, done.out) == (2, "")
    assert said in done.err


def test_the_same_history_gives_the_same_bytes_and_changes_nothing(
    made: Path, tmp_path: Path
) -> None:
    before, runs = listing(made), []
    for seed in ("1", "2"):
        (tmp_path / seed).mkdir()
        more = [f"--write={kind}:{tmp_path / seed / kind}.txt" for kind in ("html", "json")]
        done = call("trail", made, "--animal", "Tuk", "--on", "2026-11-06", *more,
                    env={"PYTHONHASHSEED": seed})  # fmt: skip
        runs.append((done.out, listing(tmp_path / seed)))
    assert runs[0] == runs[1]
    assert listing(made) == before


@pytest.mark.parametrize("text", [NASTY["markup"], NASTY["log command"], NASTY["escape"]])
def test_no_name_in_git_or_records_harms_the_reader(tmp_path: Path, text: str) -> None:
    park = tmp_path / "park"
    nasty = json.dumps(text if text.isprintable() else "<b>{{ 7 * 7 }}</b>")  # others are refused
    animal = f"{{id: T1, name: {nasty}, weighings: [{{on: 2026-09-30, mass: 200 kg}}]}}"
    reason = records.sheet({nasty: ["{food: carrot, amount: 6 g per animal}"]})
    rota = records.rota([f"{{morning: {nasty}, afternoon: {nasty}}}"] * 2)
    write(park, group=records.group(animals=(animal,)), sheet=reason, rota=rota)
    succeed("git", "init", "--quiet", "--initial-branch=main", cwd=park)
    commit(park, "2026-11-20", text.replace("\n", " "), text)
    done = call("trail", park, "--animal", "T1", "--on", "2026-11-25", "--write", "html:t.html",
                cwd=tmp_path)  # fmt: skip
    assert done.status == 0, done.err
    harmless(done.out)
    page = (tmp_path / "t.html").read_text("utf-8")
    assert "<script" not in page
    assert "\x1b" not in page
