"""Sheets and their seasons. Everything is invented."""

from __future__ import annotations

from datetime import date

import pytest

from dietcheck.contract import Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import season_window
from tests import records

LINES = {"roots": ["{food: carrot, amount: 600 g per animal}"]}
LOW, UNSURE = (Verdict.BREACH, Severity.LOW), (Verdict.CANNOT_TELL, Severity.MEDIUM)


def found(
    on: str,
    sheet: str = "season: winter",
    seasons: str = "{from: 10-01, until: 03-31}",
    **more: str,
) -> list[tuple[str, tuple[Verdict, Severity]]]:
    """What is said of a tapir sheet from 2026-01-01 with one season, winter."""
    files = records.small(
        dietcheck=records.settings(more=f"seasons: {{winter: {seasons}}}"),
        sheet=records.sheet(LINES, more=sheet),
        rota=records.rota(["{morning: roots, afternoon: roots}"] * 2, start="2026-01-01"),
        **more,
    )
    outcome = outcome_of(season_window, files, date.fromisoformat(on))
    return [
        (one.check.about.partition(":")[0], (one.check.verdict, one.check.severity))
        for one in outcome.judged
        if one.check.verdict in (Verdict.BREACH, Verdict.CANNOT_TELL)
    ]


@pytest.mark.parametrize(
    ("on", "expected"),
    [
        ("2026-02-10", []),
        ("2026-03-29", []),  # a rota of two days: the 29th and 30th
        ("2026-03-30", []),
        ("2026-03-31", [("out of season", LOW)]),  # the next day is the first outside
        ("2026-06-10", [("out of season", LOW)]),
        ("2026-09-29", [("out of season", LOW)]),
        ("2026-10-01", []),
        ("2027-01-01", []),  # over new year
    ],
)
def test_a_winter_sheet_is_fed_in_winter(
    on: str, expected: list[tuple[str, tuple[Verdict, Severity]]]
) -> None:
    assert found(on) == expected


@pytest.mark.parametrize(
    ("on", "out"),
    [("2028-02-27", False), ("2028-02-28", False), ("2028-02-29", True), ("2027-02-28", True),
     ("2027-02-27", False)],
)  # fmt: skip
def test_the_end_of_february_is_the_end_in_every_year(on: str, out: bool) -> None:
    """Two days are looked at: the judged one and the next."""
    assert bool(found(on, seasons="{from: 10-01, until: 02-29}")) is out


def test_a_season_nobody_knows_is_asked_about() -> None:
    assert ("unknown season", UNSURE) in found("2026-02-10", "season: wintr")


def test_a_season_that_needs_a_sheet_and_has_another() -> None:
    needed = "{from: 10-01, until: 03-31, for: [tapir]}"
    by_taxon = "{from: 10-01, until: 03-31, for: [Tapirus]}"
    for seasons in (needed, by_taxon):
        assert ("no sheet for the season", LOW) in found("2026-02-10", "", seasons)
        assert found("2026-02-10", "season: winter", seasons) == []
        assert "no sheet for the season" not in {f for f, _ in found("2026-06-10", "", seasons)}


def test_a_name_under_for_that_leads_nowhere() -> None:
    seasons = "{from: 10-01, until: 03-31, for: [tapirs]}"
    assert found("2026-02-10", seasons=seasons) == [("season for nobody", UNSURE)]


def test_a_season_without_a_sheet_is_said_and_a_sheet_without_a_season_is_none() -> None:
    assert found("2026-02-10", "") == [("season without a sheet", LOW)]


def test_a_sheet_to_come_that_starts_out_of_season() -> None:
    late = records.sheet(LINES, start="2026-05-01", more="season: winter")
    assert found("2026-02-10", summer=late) == [("out of season", LOW)]


@pytest.mark.parametrize("text", ["13-01", "02-30", "1-10", "winter", "2026-10-01"])
def test_what_is_no_day_of_the_year_is_refused(text: str) -> None:
    with pytest.raises(AssertionError, match="month"):
        found("2026-02-10", seasons=f"{{from: {text}, until: 03-31}}")


def test_a_season_sheet_that_is_long_over_is_nothing_to_judge() -> None:
    """No season asks for a sheet of its own, and what is fed now is for none."""
    summer = records.sheet(
        {"roots": ["{food: carrot, amount: 600 g per animal}"]},
        start="2025-06-01",
        more="until: 2025-08-31\nseason: summer",
    )
    files = records.small(
        summer=summer,
        dietcheck=records.settings(more="seasons: {summer: {from: 06-01, until: 08-31}}"),
    )
    checks = checks_of(outcome_of(season_window, files, records.ON), "tapir")
    assert [check.verdict for check in checks] == [Verdict.NOT_APPLICABLE]


def messages(on: str, sheet: str, seasons: str, **more: str) -> list[str]:
    """What is told of the tapirs and of the whole collection."""
    files = records.small(
        dietcheck=records.settings(more=f"seasons: {{winter: {seasons}}}"),
        sheet=records.sheet(LINES, more=sheet),
        rota=records.rota(["{morning: roots, afternoon: roots}"] * 2, start="2026-01-01"),
        **more,
    )
    outcome = outcome_of(season_window, files, date.fromisoformat(on))
    bad = (Verdict.BREACH, Verdict.CANNOT_TELL)
    found_ = [one.check for one in outcome.judged if one.check.verdict in bad]
    return [f"{check.message} {check.advice}" for check in found_]


def test_the_first_day_out_of_season_and_the_days_of_the_season_are_told() -> None:
    (told,) = messages("2026-03-31", "season: winter", "{from: 10-01, until: 03-31}")
    assert "on 2026-04-01, outside its season (1 Oct to 31 Mar)" in told
    (leap,) = messages("2027-03-01", "season: winter", "{from: 10-01, until: 02-29}")
    assert "29 Feb" in leap
    (needs, *_) = messages("2026-02-10", "", "{from: 10-01, until: 03-31, for: [tapir]}")
    assert "on 2026-02-10 it is winter (1 Oct to 31 Mar)" in needs
    assert "from 2026-01-01" in needs


def test_the_nearest_word_is_offered_where_there_is_one() -> None:
    seasons = "{from: 10-01, until: 03-31}"
    assert any(
        "Nearest: winter." in one for one in messages("2026-02-10", "season: wintr", seasons)
    )
    far = messages("2026-02-10", "season: zzz", seasons)
    assert far
    assert not any("Nearest" in one for one in far)
    group = messages("2026-02-10", "season: winter", seasons.replace("}", ", for: [tapirs]}"))
    assert any("Nearest: tapir." in one for one in group)
    nobody = messages("2026-02-10", "season: winter", seasons.replace("}", ", for: [qqq]}"))
    assert nobody
    assert not any("Nearest" in one for one in nobody)


def test_a_sheet_that_starts_today_in_its_season_is_in_season() -> None:
    now = records.sheet(LINES, start="2026-03-30", more="season: winter")
    assert found("2026-03-30", "until: 2026-03-29", now=now) == []


def test_a_stand_in_with_an_end_is_no_lack_of_a_season_s_sheet() -> None:
    needed = "{from: 10-01, until: 03-31, for: [tapir]}"
    stand_in = records.sheet(LINES, start="2026-02-09", more="until: 2026-02-20")
    assert "no sheet for the season" not in {
        about for about, _ in found("2026-02-10", "season: winter", needed, stand_in=stand_in)
    }
    other = records.sheet(LINES, start="2026-02-09", more="until: 2026-02-20\nseason: summer")
    assert "no sheet for the season" in {
        about for about, _ in found("2026-02-10", "season: winter", needed, stand_in=other)
    }


def test_a_sheet_that_began_before_its_season_is_in_season_now() -> None:
    files = records.small(
        dietcheck=records.settings(more="seasons: {winter: {from: 10-01, until: 03-31}}"),
        sheet=records.sheet(LINES, start="2025-09-15", more="season: winter"),
        rota=records.rota(["{morning: roots, afternoon: roots}"] * 2, start="2025-09-15"),
    )
    outcome = outcome_of(season_window, files, date(2026, 1, 10))
    bad = (Verdict.BREACH, Verdict.CANNOT_TELL)
    assert not [one for one in outcome.judged if one.check.verdict in bad]


def test_a_treat_to_come_makes_the_look_ahead_no_longer() -> None:
    """The round of two days ends on the last day of the season; the treat is in April."""
    treats = (
        "record: treats\ntreats:\n  - {on: 2026-04-10, group: tapir, purpose: training, "
        "items: [{food: carrot, amount: 1 g per animal}]}\n"
    )
    assert found("2026-03-30", treats=treats) == []
