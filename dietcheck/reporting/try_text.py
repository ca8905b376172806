"""The answer to “may I give this?”, for a terminal of 80 columns; in keeper's words."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from dietcheck.nutrition.shares import ADDED
from dietcheck.quantities import BASE_UNIT, Interval, format_interval
from dietcheck.quantities.show import plain
from dietcheck.reporting import words
from dietcheck.reporting.layout import WIDTH, listed, paragraph, shown, width
from dietcheck.reporting.try_answers import (
    FIGURES,
    Answer,
    Fed,
    Giving,
    GroupAnswer,
    TryReport,
    answer_of,
)
from dietcheck.reporting.try_fortnight import Fortnight
from dietcheck.screening.checks import Severity, Verdict
from dietcheck.screening.findings import Finding
from dietcheck.screening.report import Report
from dietcheck.screening.room import Option

ANIMALS, FINDINGS, GIVINGS, LOW = 4, 4, 4, 2
"""Told one by one; the rest is counted."""
LABEL = 8
COLUMN = (WIDTH - LABEL) // len(FIGURES)

SAID: dict[Answer, str] = {
    "yes": "Yes: nothing in what is written speaks against it.",
    "no": "No, not as it is written.",
    "cannot tell": "Cannot tell, so it is not cleared to be given.",
}
SIGNED = "Yes, once it is signed: nothing else in what is written speaks against it."
CAUTION = (
    "Worked out from the amounts that are written. It informs and prescribes nothing; no finding "
    "is not proof of safety. Whoever is in charge of the diet decides."
)


def render(report: TryReport, colour: bool = False) -> str:
    """The whole screen."""
    lines = [*_head(report)]
    if report.unread:
        lines += _unread(report)
    for group in report.groups:
        lines += _group(group, report.after)
    lines += _elsewhere(report)
    lines += ["", *paragraph(CAUTION), ""]
    last = list(paragraph(_last(report), whole=True))
    lines += [f"\033[1m{line}\033[0m" for line in last] if colour else last
    return "\n".join(lines) + "\n"


def _head(report: TryReport) -> Iterator[str]:
    after = report.after
    yield from paragraph(
        f"{shown(after.name, 120)}, as at {words.day(after.on)}: may this be given?"
    )
    drafts = listed((shown(name, 200) for name in after.drafts), 5)
    yield from paragraph(f"Tried: {drafts}", whole=True)


def _unread(report: TryReport) -> Iterator[str]:
    yield ""
    for finding in report.unread[:FINDINGS]:
        where = next(iter(words.places(finding, report.after)), "")
        yield from paragraph(f"{where}: {shown(finding.check.message)}", whole=True)
        yield from paragraph(shown(finding.check.advice), 2)


def _last(report: TryReport) -> str:
    after = report.after
    if report.unread:
        return "Not done: the draft could not be read, so nothing here is cleared to be given."
    if after.collection is None:
        return "Not done: dietcheck.yaml cannot be read. “dietcheck screen” tells why."
    if after.failures:
        titles = listed((f"“{shown(after.title(f.rule), 80)}”" for f in after.failures), 2)
        return f"Not done: a rule failed ({titles}), so nothing here is cleared to be given."
    if not any(group.is_changed for group in report.groups):
        start = "This changes nothing that is fed on a judged day."
        return start if report.answer == "yes" else f"{start} {SAID[report.answer]}"
    if report.answer == "yes":
        return SIGNED if report.needs_signature else SAID["yes"]
    return f"{SAID[report.answer]} Until it is settled feed what was approved last."


def _group(group: GroupAnswer, report: Report) -> Iterator[str]:
    called = shown(group.diet.group.called, 60)
    told = {fed.answer for fed in group.fed}
    answers = [
        f"{answer.upper()} for {_who(group, [fed for fed in group.fed if fed.answer == answer])}"
        for answer in ("no", "cannot tell", "yes")
        if answer in told
    ]
    yield ""
    yield from paragraph(f"{called}: {'; '.join(answers) or 'no animals'}")
    yield "-" * WIDTH
    yield from _what(group)
    if group.is_changed:
        yield from _table(group)
    elif not group.unjudged:
        yield "What each animal gets stays the same."
    yield from _fortnights(group)
    yield from _findings(group, report)
    yield from _hints(group)
    if group.open_before:
        yield from paragraph(_open(group))


def _who(group: GroupAnswer, fed: list[Fed]) -> str:
    animals = [animal for one in fed for animal in one.animals]
    everyone = sum(len(one.animals) for one in group.fed)
    if len(animals) == everyone:
        if group.diet.group.is_colony:
            return "the colony"
        names = {1: shown(animals[0].called, 60), 2: "both animals"}
        return names.get(everyone, f"all {everyone} animals")
    return listed((shown(animal.called, 40) for animal in animals), 4)


def _what(group: GroupAnswer) -> Iterator[str]:
    """What is given, how much of it is for each animal, and how it is shared."""
    dates = group.dates
    if dates:
        more = f" and on {len(dates) - 1} more days" if len(dates) > 1 else ""
        on = group.day or dates[0]
        yield from paragraph(f"Given on {words.day(on)}{more}:")
    for giving in group.givings[:GIVINGS]:
        yield from paragraph(_giving(giving), 4, "  -")
    if (left := len(group.givings) - GIVINGS) > 0:
        yield f"    and {left} more lines"
    if group.givings:
        kept = group.diet.group
        present = len(group.diet.present(group.day)) if group.day else len(kept.animals)
        stations = f" at {kept.stations} stations" if kept.stations else ""
        animals = "1 animal" if present == 1 else f"{present} animals"
        yield from paragraph(f"{animals}, fed {kept.fed}{stations}. {_sizes(group)}", 2)
    if group.day is None:
        yield from paragraph("Nothing is planned for this group, so nothing can be worked out.")
    elif group.unjudged:
        days = listed((words.day(on) for on in group.unjudged), 3)
        yield from paragraph(
            f"Not judged: {days}. That is not among the days that are judged; name a day near it "
            "with --on."
        )


def _giving(giving: Giving) -> str:
    line = giving.line
    parts = [f"{shown(line.food.name, 60)}, {shown(line.amount.text, 60)}"]
    each = []
    if giving.pieces is not None and (line.amount.dimension, line.amount.per) != (
        "piece",
        "animal",
    ):
        one = giving.pieces.is_exact and giving.pieces.low == 1
        each.append(format_interval(giving.pieces, "piece" if one else "pieces", 2))
    if line.amount.per != "animal" or line.amount.dimension != "mass":
        unknown = "of unknown mass" if each else "an unknown mass"
        each.append(
            ("= " if each else "") + format_interval(giving.grams, "g")
            if giving.grams.is_bounded
            else unknown
        )
    if each:
        parts.append(f"{' '.join(each)} for each animal")
    if line.cut:
        parts.append(shown(f"cut: {line.cut}", 80))
    elif line.food.food_class not in ADDED:
        parts.append("how it is cut is not written")
    if line.treat:
        parts.append(shown(line.treat, 40))
    parts.append(shown(giving.slot, 40))
    return ", ".join(parts)


def _sizes(group: GroupAnswer) -> str:
    """What size of piece the species can handle, as far as any limit says so."""
    limit = group.givings[0].size
    if limit is None or limit.standing.is_absence:
        return "What size of piece they can handle: no figure is published, so look at the cut."
    standing = words.STANDING.get(limit.standing, limit.standing.value)
    return f"Size of a piece: {shown(words.bounds(limit), 80)} ({standing})."


def _table(group: GroupAnswer) -> Iterator[str]:
    """The day before and after, for animals fed alike."""
    assert group.day is not None
    yield ""
    heads = [title if key != "treat_share" else "treats %" for key, title, _ in FIGURES]
    units = [unit if key != "treat_share" else "of energy" for key, _, unit in FIGURES]
    yield _row(words.day(group.day)[:-5], heads)
    yield _row("", units)
    shown_of = [fed for fed in group.fed if fed.after is not None and fed.before != fed.after]
    for fed in shown_of[:ANIMALS]:
        if len(group.fed) > 1:
            yield from paragraph(f"{_who(group, [fed])}: {fed.answer}")
        yield _row("before", _cells(fed.before))
        yield _row("after", _cells(fed.after))
    if (left := sum(len(fed.animals) for fed in shown_of[ANIMALS:])) > 0:
        yield f"{left} more animals are fed otherwise; --write json:FILE holds them all."
    yield from paragraph(f"Energy by {shown(group.method, 200)}.")


def _row(label: str, cells: list[str]) -> str:
    line = f"{label:<{LABEL}}"
    for cell in cells:
        line += " " * max(COLUMN - width(cell), 1) + cell
    return line.rstrip()


def _cells(values: tuple[Interval, ...] | None) -> list[str]:
    if values is None:
        return ["-"] * len(FIGURES)
    return [cell(value) for value in values]


def cell(value: Interval) -> str:
    """A range as narrow as it can be written: `410-640`, `?` where nothing is known."""
    text = format_interval(value, "", 3)
    if text == "unknown":
        return "?"
    return text.replace(" to ", "-").replace("at least ", ">=").replace("at most ", "<=")


def _fortnights(group: GroupAnswer) -> Iterator[str]:
    """The allowance of the animal that has least left of it."""
    found = [fed for fed in group.fed if fed.fortnight is not None]
    if not found:
        return
    fed = min(found, key=lambda one: _left(one.fortnight))
    fortnight = fed.fortnight
    assert fortnight is not None
    who = "" if len(group.fed) == 1 else f", least for {_who(group, [fed])}"
    before = "" if fortnight.before is None else f", before {cell(fortnight.before)} %"
    limit = fortnight.limit
    yield ""
    yield from paragraph(
        f"Fortnight {words.day(fortnight.first)} to {words.day(fortnight.last)}{who}: treats "
        f"{cell(fortnight.after)} % of the energy{before}; {words.bounds(limit)} "
        f"({words.STANDING.get(limit.standing, limit.standing.value)}). {_what_is_left(fortnight)}"
        f"{_fruit_feeds(fortnight)}"
    )


def _left(fortnight: Fortnight | None) -> Decimal:
    if fortnight is None or fortnight.left is None:
        return Decimal("-Infinity")
    return fortnight.left


def _what_is_left(fortnight: Fortnight) -> str:
    left = fortnight.left
    if left is None:
        return "What is left of it cannot be told."
    if left <= 0:
        return f"Nothing is left: up to {_rough(-left)} kcal too much."
    food = fortnight.food
    of = f", as in {_mass(fortnight.grams)} of {food.name}" if food and fortnight.grams else ""
    return f"By this limit alone {_rough(left)} kcal are left{shown(of, 90)}."


def _fruit_feeds(fortnight: Fortnight) -> str:
    feeds = fortnight.fruit_feeds
    if not feeds:
        return ""
    return f" Fruit as a treat in {feeds} {'feed' if feeds == 1 else 'feeds'}."


def _mass(grams: Decimal) -> str:
    return f"{_rough(grams / 1000)} kg" if grams >= 1000 else f"{_rough(grams)} g"


def _rough(value: Decimal) -> str:
    return format_interval(Interval(value, value), "", 2)


def _findings(group: GroupAnswer, report: Report) -> Iterator[str]:
    full = [f for f in group.findings if f.severity is not Severity.LOW]
    low = [f for f in group.findings if f.severity is Severity.LOW]
    if group.findings:
        yield ""
        yield "What it brings with it"
    for number, finding in enumerate(full[:FINDINGS], 1):
        yield from _finding(number, finding, report)
    if (left := len(full) - FINDINGS) > 0:
        yield f"    and {left} more: “dietcheck screen --draft” tells all of them."
    for finding in low[:LOW]:
        yield from paragraph(f"low: {shown(finding.check.message, 240)}", 4, "  -")
    if (left := len(low) - LOW) > 0:
        yield f"    and {left} more for the keeper to look at."


def _finding(number: int, finding: Finding, report: Report) -> Iterator[str]:
    check = finding.check
    accepted = f", {words.accepted(finding.accepted, report.on)}" if finding.accepted else ""
    heading = f"{finding.severity.value.upper()}, {words.VERDICT[check.verdict]}{accepted}: "
    yield from paragraph(heading + shown(check.message), 4, f"{number}.")
    if check.verdict is Verdict.CANNOT_TELL and check.settles:
        yield from paragraph(f"needed: {shown(check.settles, 160)}", 4)
    cited = (*(check.limit.sources if check.limit else ()), *check.sources)
    if cited and (found := words.sources(check, report)):
        yield from paragraph(f"source: {listed(found, 2, '; ')}", 4)
    for place in words.places(finding, report)[:1]:
        yield from paragraph(f"where: {place}", 4, whole=True)


def _hints(group: GroupAnswer) -> Iterator[str]:
    hints = [hint for hint in (group.leave_out, group.give_less) if hint is not None]
    for number, hint in enumerate(hints):
        start = "To stay inside" if not number else "Or"
        yield from paragraph(f"{start}: {hinted(hint)}.")
    open_ = [
        f
        for f in group.findings
        if f.accepted is None and (f.check.limit is not None or answer_of(f) != "yes")
    ]
    if open_ and not hints:
        yield from paragraph(
            "No single line of the day that is left out or made smaller would make it fit."
        )


def hinted(hint: Option) -> str:
    """What could be left out, or given instead: `leave out 40 g of Carrot per animal (…)`."""
    line = hint.line
    unit = BASE_UNIT[line.amount.dimension]
    whole = line.amount.quantity.high
    name, per = shown(line.food.name, 60), f"per {line.amount.per}"
    slots = list(dict.fromkeys(shown(slot, 40) for slot in hint.slots))
    each = "each time: " if len(hint.slots) > 1 else ""
    where = f"{each}{listed(slots, 4, ' and ')}, {shown(hint.meal, 60)}"
    if hint.kind == "leave out":
        if hint.by >= whole:
            return f"leave out the {name} ({where}), {plain(whole)} {unit} {per}"
        of = f"of the {plain(whole)} {unit} of {name} {per} ({where})"
        return f"leave out {plain(hint.by)} {unit} {of}"
    if hint.by >= whole:
        return f"give no {name} at all"
    return (
        f"give at most {plain(hint.left)} {unit} of {name} {per} instead of {plain(whole)} {unit}"
    )


def _open(group: GroupAnswer) -> str:
    count = len(group.open_before)
    things = "finding was" if count == 1 else "findings were"
    grave = sum(f.severity is Severity.HIGH for f in group.open_before)
    high = f", {grave} of them high" if grave else ""
    return (
        f"{count} {things} open for this group before{high}; this draft does not settle "
        f"{'it' if count == 1 else 'them'}: “dietcheck screen” tells."
    )


def _elsewhere(report: TryReport) -> Iterator[str]:
    if report.elsewhere:
        yield from ("", "For the whole collection", "-" * WIDTH)
    for number, finding in enumerate(report.elsewhere[:FINDINGS], 1):
        yield from _finding(number, finding, report.after)
