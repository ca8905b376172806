"""`dietcheck limits`: the limits that apply, each with its source."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator, Sequence
from difflib import get_close_matches
from functools import partial
from typing import TYPE_CHECKING

from dietcheck.commands.arguments import Usage
from dietcheck.commands.output import complain, say
from dietcheck.commands.report_files import check_targets, write_whole
from dietcheck.commands.repository import Opened, folder, open_repository, read_target_of
from dietcheck.reading.problems import listed, show
from dietcheck.reporting import words

if TYPE_CHECKING:
    from dietcheck.collection.settings import RuleSetting
    from dietcheck.reporting.limits_view import LimitsReport, Section, Subject
    from dietcheck.screening.limits import Limit
    from dietcheck.screening.packs import LoadedRule
    from dietcheck.tables.taxa import Taxon

BUNDLED = "dietcheck_rules"
KINDS = ("json",)


def arguments(parser: argparse.ArgumentParser) -> None:
    """What may be written after `dietcheck limits`."""
    parser.add_argument(
        "folder",
        metavar="DIR",
        nargs="?",
        help="a folder that holds dietcheck.yaml: its own limits and rule packs count too",
    )
    parser.add_argument(
        "--taxon",
        metavar="NAME",
        help="only for this species, group of the collection, or taxon above species; a "
        "scientific or an English name",
    )
    parser.add_argument("--rule", metavar="RULE", help="only those of this rule")
    parser.add_argument("--quantity", metavar="QUANTITY", help="only those on this quantity")
    parser.add_argument(
        "--pack",
        metavar="NAME",
        action="append",
        default=[],
        help=f"the limits of this installed rule pack; may be repeated; left out: those that "
        f"dietcheck.yaml names, without DIR {BUNDLED}",
    )
    parser.add_argument(
        "--write",
        metavar="KIND:FILE",
        type=partial(read_target_of, kinds=KINDS),
        action="append",
        default=[],
        help=f"write the limits to a file as well ({listed(KINDS)})",
    )


def run(given: argparse.Namespace) -> int:
    """Find and show. The exit status: 0 done, 2 not done, or something could not be read."""
    opened = open_repository(folder(given.folder)) if given.folder else None
    check_targets(given.write, ())
    from dietcheck.reporting import limits_json, limits_text

    status = opened.tell() if opened else 0
    report = find(opened, given)
    for fault in report.faults:
        complain(f"dietcheck: {show(fault, 400)}")
    say(limits_text.render(report))
    for target in given.write:
        write_whole(target, limits_json.render(report))
        complain(f"dietcheck: wrote {show(target.file, 300)}")
    return 2 if report.faults else status


def find(opened: Opened | None, given: argparse.Namespace) -> LimitsReport:
    """The limits that were asked for. Raises Usage and PackError."""
    from dietcheck.reporting.limits_view import LimitsReport, Section, blocks
    from dietcheck.screening.packs import load_packs
    from dietcheck.screening.screen import bibliography

    settings = opened.collection.settings if opened else None
    packs = tuple(given.pack or (settings.packs if settings else (BUNDLED,)))
    rules = load_packs(packs)
    wanted = _rules(rules, given.rule)
    tables, faults = _tables(rules, opened)
    quantity = _quantity(tables.values(), given.quantity)
    subjects = _subjects(opened, given.taxon)
    set_here = {setting.rule: setting for setting in settings.rules} if settings else {}
    sections: list[Section] = []
    for loaded in wanted:
        for subject in subjects:
            found = blocks(tables.get(loaded.rule.id, ()), subject, quantity)
            if found:
                setting = _setting(set_here.get(loaded.rule.id))
                sections.append(Section(loaded.rule, subject.called, found, setting))
    asked = {"taxon": given.taxon, "rule": given.rule, "quantity": given.quantity}
    return LimitsReport(
        asked={name: value for name, value in asked.items() if value},
        packs=packs,
        sections=tuple(sections),
        unjudged=_unjudged(opened, tables.values(), given) if opened else (),
        bibliography=bibliography(rules),
        collection=settings.name if settings else "",
        faults=faults,
    )


def _tables(
    rules: Iterable[LoadedRule], opened: Opened | None
) -> tuple[dict[str, tuple[Limit, ...]], tuple[str, ...]]:
    """The rows of each rule with the site's own beside them, and the tables that are unusable."""
    from dietcheck.screening.tables import TableError, bundled_limits, site_limits

    tables: dict[str, tuple[Limit, ...]] = {}
    faults = []
    for loaded in rules:
        rule = loaded.rule
        if not rule.has_limits:
            continue
        try:
            rows = bundled_limits(rule.folder)
        except (TableError, OSError, ValueError, LookupError, TypeError) as error:
            faults.append(
                f"the limits of {rule.id} cannot be used ({error}). Tell the pack's authors."
            )
            continue
        quantities = frozenset(row.quantity for row in rows)
        own = site_limits(opened.collection.limits, quantities) if opened else ()
        tables[rule.id] = (*rows, *own)
    return tables, tuple(faults)


def _rules(rules: Sequence[LoadedRule], name: str | None) -> tuple[LoadedRule, ...]:
    if name is None:
        return tuple(rules)
    wanted = name.strip().casefold().replace("_", "-").replace(" ", "-")
    known = {loaded.rule.id: loaded for loaded in rules}
    if wanted not in known:
        near = get_close_matches(wanted[:60], known, n=3)
        raise Usage(
            f"there is no rule {show(name)}.", f"Here are {listed(near or sorted(known), 'and')}."
        )
    if not known[wanted].rule.has_limits:
        raise Usage(
            f"the rule {wanted} has no limits.",
            "Rules with limits: "
            + listed(sorted(id_ for id_, one in known.items() if one.rule.has_limits), "and")
            + ".",
        )
    return (known[wanted],)


def _quantity(tables: Iterable[Sequence[Limit]], name: str | None) -> str | None:
    if name is None:
        return None
    known = {row.quantity.casefold(): row.quantity for rows in tables for row in rows}
    wanted = " ".join(name.split()).casefold()
    for tidy in (wanted, wanted.replace(" ", "-"), wanted.replace("_", "-")):
        if tidy in known:
            return known[tidy]
    near = get_close_matches(wanted[:60], known, n=3)
    raise Usage(
        f"no limit is held on {show(name)}.",
        f"Limits are held on {listed((show(known[n]) for n in near or sorted(known)), 'and')}.",
    )


def _subjects(opened: Opened | None, name: str | None) -> tuple[Subject, ...]:
    """Whom the limits are asked for. Raises Usage with the nearest names."""
    from dietcheck.reporting.limits_view import Subject, higher, species
    from dietcheck.tables.taxa import find_taxon, known_taxon_name, near_taxa

    groups = opened.collection.groups if opened else {}
    if name is None:
        return (Subject(),)
    tidy = " ".join(name.split())
    for group in groups.values():
        if tidy.casefold() in (group.id.casefold(), group.called.casefold()):
            return (species(group.taxon, group),)
    taxon = find_taxon(tidy) or find_taxon(tidy.capitalize()) or _by_english_name(tidy)
    if taxon is not None:
        same = [g for g in groups.values() if g.taxon.scientific_name == taxon.scientific_name]
        return tuple(species(taxon, group) for group in same) or (species(taxon),)
    for written in (tidy, tidy.capitalize()):
        if known_taxon_name(written):
            return (higher(written, groups.values()),)
    near = [*near_taxa(tidy), *get_close_matches(tidy[:60], groups, n=2)] or _sharing_a_word(tidy)
    raise Usage(
        f"there is no animal {show(name)} in the table of taxa.",
        f"Nearest: {listed(map(show, near))}."
        if near
        else "Write a scientific name, of a species or of a family or order above it.",
    )


def _by_english_name(name: str) -> Taxon | None:
    """The species of exactly that English name."""
    from dietcheck.tables.taxa import find_taxon

    found = (find_taxon(one) for one, english in _english_names() if english == name.casefold())
    return next(found, None)


def _sharing_a_word(name: str) -> list[str]:
    """A few English names with the last word of one that is not known: `tapirs`, `tapir`."""
    last = name.casefold().rpartition(" ")[2].removesuffix("s")
    hits = (english for _, english in _english_names() if len(last) > 2 and last in english.split())
    return [english.capitalize() for english in dict.fromkeys(hits)][:4]


def _english_names() -> Iterator[tuple[str, str]]:
    from dietcheck.tables.csv_table import table

    for part in ("taxa", "more_taxa"):
        for row in table(part).all_rows():
            for english in (row["english_name"], row.get("avilist_common_name", "")):
                if english:
                    yield row["scientific_name"], english.casefold()


def _unjudged(
    opened: Opened, tables: Iterable[Sequence[Limit]], given: argparse.Namespace
) -> tuple[Limit, ...]:
    """The site's limits that no rule reads; only where nothing special was asked for."""
    from dietcheck.screening.tables import site_limits

    if given.taxon or given.rule or given.quantity:
        return ()
    read = {row.quantity for rows in tables for row in rows}
    every = frozenset(limit.quantity for limit in opened.collection.limits)
    return tuple(site_limits(opened.collection.limits, every - read))


def _setting(setting: RuleSetting | None) -> str:
    if setting is None:
        return ""
    what = "switched off" if setting.to == "off" else f"its findings count as {setting.to}"
    who = f"{show(setting.set_by)} on {words.day(setting.on)}"
    return f"Here {what}, by {who}: {show(setting.why, 200)}"
