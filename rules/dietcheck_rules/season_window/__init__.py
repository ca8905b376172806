"""A season's sheet is in force in its season, and a season that needs a sheet has one.

The seasons and their days are the collection's own (`seasons` in dietcheck.yaml); no figure is
bundled.
"""

from collections.abc import Iterable, Iterator
from datetime import date
from difflib import get_close_matches

from dietcheck.contract import (
    Check,
    Diet,
    DietSheet,
    PlannedDay,
    Rule,
    Season,
    Severity,
    Verdict,
    When,
    World,
    files,
    hookimpl,
    known_taxon_name,
    not_applicable,
)


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="season-window", title="A season's sheet is fed in its season", folder=files(__name__)
    )


@hookimpl
def judge_group(diet: Diet) -> Iterable[Check]:
    """Each sheet of the coming days against its season; each season that needs a sheet."""
    called = diet.group.called
    seasons = diet.settings.seasons
    needed = [season for season in seasons.values() if _needs(diet, season)]
    days = [
        day
        for day in diet.lived(0, 0)
        if day.sheet is not None and (day.on - diet.on).days < diet.settings.rota_days
    ]
    sheets = dict.fromkeys(day.sheet for day in days if day.sheet is not None)
    coming = [s for s in diet.collection.sheets.get(diet.group.id, ()) if s.start > diet.on]
    tagged = [sheet for sheet in dict.fromkeys([*sheets, *coming]) if sheet.season]
    if not tagged and not needed:
        yield not_applicable("season", f"{called}: no sheet of theirs is for a season.")
        return
    found = [
        *(check for sheet in tagged for check in _of_sheet(diet, sheet, days)),
        *(check for season in needed for check in _lacking(diet, season, days)),
    ]
    yield from found
    if not found:
        yield Check(
            verdict=Verdict.KEPT,
            about="season",
            severity=Severity.LOW,
            message=f"{called}: the sheets in force are in season.",
        )


def _needs(diet: Diet, season: Season) -> bool:
    return any(name == diet.group.id or diet.group.taxon.is_in(name) for name in season.needed_by)


def _of_sheet(diet: Diet, sheet: DietSheet, days: list[PlannedDay]) -> Iterator[Check]:
    name = sheet.season or ""
    season = diet.settings.seasons.get(name)
    if season is None:
        known = tuple(diet.settings.seasons)
        near = get_close_matches(name, known, n=1, cutoff=0.5)
        yield Check(
            verdict=Verdict.CANNOT_TELL,
            about=f"unknown season: {name}",
            severity=Severity.MEDIUM,
            message=f'{diet.group.called}: the sheet from {sheet.start} is for "{name}", a season '
            "that dietcheck.yaml does not have, so nobody can tell when it ends.",
            advice=(f"Nearest: {near[0]}. " if near else "")
            + "Correct the word, or add the season with its first and last day.",
            settles="the first and the last day of the season",
            places=(sheet.place.at("season"),),
        )
        return
    outside = [day for day in days if day.sheet is sheet and not season.holds(day.on)]
    if sheet.start > diet.on and not season.holds(sheet.start):
        outside = outside or [diet.day(sheet.start)]
    if outside:
        first = outside[0].on
        until = _words(season.until)
        yield Check(
            verdict=Verdict.BREACH,
            about=f"out of season: {name}",
            severity=Severity.LOW,
            message=f"{diet.group.called}: the {name} sheet from {sheet.start} is in force on "
            f"{first}, outside its season ({_words(season.start)} to {until}).",
            advice="Write the sheet for the time after it, or give this one an until.",
            occasions=tuple(When(day.on, day.number) for day in outside),
            places=(sheet.place.at("season"), season.place),
        )


def _lacking(diet: Diet, season: Season, days: list[PlannedDay]) -> Iterator[Check]:
    lacking = [
        day
        for day in days
        if season.holds(day.on)
        and day.sheet is not None
        and day.sheet.season != season.name
        # a stand-in with an end of its own is meant so
        and (day.sheet.until is None or day.sheet.season is not None)
    ]
    if lacking:
        first = lacking[0]
        assert first.sheet is not None
        yield Check(
            verdict=Verdict.BREACH,
            about=f"no sheet for the season: {season.name}",
            severity=Severity.LOW,
            message=f"{diet.group.called}: on {first.on} it is {season.name} "
            f"({_words(season.start)} to {_words(season.until)}), but the sheet in force, from "
            f"{first.sheet.start}, is not for that season.",
            advice=f"Write a sheet with season: {season.name}, or put the word on this one.",
            occasions=tuple(When(day.on, day.number) for day in lacking),
            places=(first.sheet.place, season.place.at("for")),
        )


def _words(day: tuple[int, int]) -> str:
    on = date(2024, *day)  # a leap year, so that 29 February has words too
    return f"{on.day} {on:%b}"


@hookimpl
def judge_collection(world: World) -> Iterable[Check]:
    """Names under `for` that lead nowhere, and seasons that no sheet is for."""
    collection = world.collection
    worn = {sheet.season for sheets in collection.sheets.values() for sheet in sheets}
    found = []
    for season in collection.settings.seasons.values():
        for number, name in enumerate(season.needed_by):
            if name not in collection.groups and not known_taxon_name(name):
                near = get_close_matches(name, collection.groups, n=1, cutoff=0.5)
                found.append(
                    Check(
                        verdict=Verdict.CANNOT_TELL,
                        about=f"season for nobody: {season.name}: {name}",
                        severity=Severity.MEDIUM,
                        message=f'The season {season.name} is needed by "{name}", which is no '
                        "group and no taxon here.",
                        advice=(f"Nearest: {near[0]}. " if near else "") + "Correct the name.",
                        settles="the group or taxon that is meant",
                        places=(season.place.at("for", number),),
                    )
                )
        if season.name not in worn:
            found.append(
                Check(
                    verdict=Verdict.BREACH,
                    about=f"season without a sheet: {season.name}",
                    severity=Severity.LOW,
                    message=f"No diet sheet is for the season {season.name}.",
                    advice="Write one, or take the season out of dietcheck.yaml.",
                    places=(season.place,),
                )
            )
    yield from found
    if not found:
        yield not_applicable("seasons", "Every season here has a sheet, or there are none.")
