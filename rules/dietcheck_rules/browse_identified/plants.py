"""What is known of a plant as browse: accepted, refused on a list, disputed, or nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from dietcheck.contract import Check, Severity, Verdict, files, read_trusted
from dietcheck_rules.browse_identified.lines import Fed
from dietcheck_rules.toxic_item.register import scientific_name
from dietcheck_rules.toxic_item.states import Fit, fits, state_of

Row = Mapping[str, Any]
KINDS = {
    "feeding-trial": "a feeding trial",
    "fodder-study": "a fodder study",
    "author-record": "a veterinary author's plant record",
    "published-list": "a published list",
    "practice": "usual practice, no source",
}
# A published list is not evidence; an author's record is that of a handbook.
REFUSAL = {"published-list": Severity.LOW, "author-record": Severity.MEDIUM}
HARM = "What the plant does is judged by toxic-item."


def plant_check(fed: Fed, *, complete: bool) -> Check:
    """What the table says of the plant. `complete`: its record leaves nothing else to ask."""
    taxon = fed.diet.group.taxon
    for row in _rows("refused", fed):
        if (part := _part(fed, row)) != "no" and taxon.is_in(row["taxon"]):
            return _refused(fed, row, part)
    for row in _rows("accepted", fed):
        if (part := _part(fed, row)) != "no":
            return _accepted(fed, row, part, complete=complete)
    for row in _rows("conflicts", fed):
        against = not row.get("against_for") or taxon.is_in(row["against_for"])
        return _disputed(fed, row) if against else _wanted(fed, row)
    return _unlisted(fed)


@cache
def table() -> Mapping[str, Any]:
    """The table of browse plants."""
    data: Mapping[str, Any] = read_trusted(files(__package__).joinpath("browse.yaml").read_bytes())
    return data


def _rows(kind: str, fed: Fed) -> Iterator[Row]:
    """The rows of the plant's species or genus."""
    own = scientific_name(fed.food.organism)
    for row in table()[kind]:
        listed = row["organisms"] if "organisms" in row else [row["organism"]]
        if any(own == one or own.startswith(f"{one} ") for one in listed):
            yield row


def _part(fed: Fed, row: Row) -> Fit:
    return fits(state_of(fed.food).parts, row["part"], "parts") if "part" in row else "yes"


def _refused(fed: Fed, row: Row, part: Fit) -> Check:
    severity = REFUSAL[row["kind"]]
    sure = part == "yes"
    return fed.check(
        Verdict.BREACH if sure else Verdict.CANNOT_TELL,
        "browse that a list refuses",
        f"{'is' if sure else 'may be'} {row['plant']}, refused for {row['refused_for']} in "
        f"{KINDS[row['kind']]} ({', '.join(row['sources'])}). {HARM}",
        severity if sure else severity.one_lower(),
        advice="Leave it out and cut an accepted plant; ask the vet before feeding it.",
        settles="" if sure else "which part of the plant it is",
        working=(f"listed as refused: {row['organism']}, read as {row['seen']}",),
        sources=row["sources"],
    )


def _accepted(fed: Fed, row: Row, part: Fit, *, complete: bool) -> Check:
    best = min(row["evidence"], key=lambda one: list(KINDS).index(one["kind"]))
    said = f"{KINDS[best['kind']]}" + (f" in {best['taxon']}" if best.get("taxon") else "")
    known = complete and part == "yes"
    working, weak = tuple(_working(row)), tuple(_weak(fed, row))
    sources = [key for one in row["evidence"] for key in one.get("sources", ())]
    if part == "unknown":
        return fed.check(
            Verdict.CANNOT_TELL,
            "which part of the browse",
            f"is accepted only as {', '.join(row['part'])} ({said}), and no part is written.",
            advice="Write the part into its food record.",
            settles="which part of the plant it is (part)",
            working=working,
            weak=weak,
            sources=sources,
        )
    record = fed.food.record
    where = f", cut at {record['cut_at']}, not sprayed" if known else ""
    return fed.check(
        Verdict.KEPT,
        "browse identified and accepted" if known else "browse plant accepted",
        f"is accepted browse ({said}){where}. Conditions: {', '.join(table()['conditions'])}.",
        working=working,
        weak=weak,
        sources=sources,
    )


def _working(row: Row) -> Iterator[str]:
    for one in row["evidence"]:
        cited = ", ".join(one.get("sources", ())) or "no source, from memory"
        yield f"{KINDS[one['kind']]}: {one['basis']} ({cited}, read as {one['seen']})"
    for one in row.get("cautions", ()):
        yield f"caution: {one['text']} ({', '.join(one.get('sources', ())) or 'from memory'})"
    for one in row.get("not_to_be_confused_with", ()):
        yield f"not to be confused with {one}"


def _weak(fed: Fed, row: Row) -> Iterator[str]:
    kinds = {one["kind"] for one in row["evidence"]}
    if kinds == {"practice"}:
        yield "accepted by usual practice only, from memory"
    elif kinds <= {"practice", "published-list"}:
        yield "accepted on a published list only, which is not evidence"
    about = [one["taxon"] for one in row["evidence"] if one.get("taxon")]
    if about and not any(fed.diet.group.taxon.is_in(one) for one in about):
        yield f"the evidence is about {', '.join(dict.fromkeys(about))}, not about this species"


def _disputed(fed: Fed, row: Row) -> Check:
    against = f"; warned of by {', '.join(row['against'])}" if row["against"] else ""
    return fed.check(
        Verdict.CANNOT_TELL,
        "browse that lists disagree on",
        f"is wanted by one published list ({', '.join(row['wanted_by'])}){against}: {row['why']}. "
        f"{HARM}",
        advice="Cut an accepted plant, or ask the vet.",
        settles="the vet's word on this plant for this species",
        sources=(*row["wanted_by"], *row["against"]),
    )


def _wanted(fed: Fed, row: Row) -> Check:
    return fed.check(
        Verdict.KEPT,
        "browse plant accepted",
        f"is wanted by one published list ({', '.join(row['wanted_by'])}); others disagree: "
        f"{row['why']} ({', '.join(row['against'])}). {HARM}",
        weak=("accepted on a published list only, which is not evidence",),
        sources=(*row["wanted_by"], *row["against"]),
    )


def _unlisted(fed: Fed) -> Check:
    return fed.check(
        Verdict.CANNOT_TELL,
        "no source for this browse",
        "stands on no list of browse: no source known to us. That is no breach.",
        advice="Ask the vet once and note the answer, or cut an accepted plant.",
        settles="a source for this plant and species",
    )
