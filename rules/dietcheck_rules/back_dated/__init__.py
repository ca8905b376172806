"""Records of days gone by that were changed, or written down, after the fact.

Most of it is honest: yesterday's weights typed in today. It is told all the same, always and
mildly, because an inspector has to see which records were made later than the days they tell of.
"""

from collections.abc import Iterable

from dietcheck.contract import (
    LATER_KINDS,
    Check,
    Diet,
    Later,
    Rule,
    Severity,
    Verdict,
    files,
    hookimpl,
    later_entries,
    not_applicable,
)

ABOUT = "records of past days"
MOST = 4  # entries named in one message


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="back-dated",
        title="What was written later about past days is shown",
        folder=files(__name__),
    )


@hookimpl
def judge_group(diet: Diet) -> Iterable[Check]:
    """One finding a kind of record; kept where no past record of the group was touched."""
    if why := diet.earlier.why_not:
        yield not_applicable(ABOUT, f"{diet.group.called}: could not be compared: {why}.")
        return
    earlier = diet.earlier.collection
    assert earlier is not None  # it was asked why not
    found = list(
        later_entries(earlier, diet.collection, diet.group.id, diet.on, diet.earlier.written_on)
    )
    for kind in LATER_KINDS:
        entries = [entry for entry in found if entry.kind == kind]
        if entries:
            yield _said(diet, kind, entries)
    if not found:
        yield Check(
            verdict=Verdict.KEPT,
            about=ABOUT,
            severity=Severity.LOW,
            message=f"{diet.group.called}: no record of a past day differs from "
            "the earlier version.",
        )


def _said(diet: Diet, kind: str, entries: list[Later]) -> Check:
    written = diet.earlier.written_on
    named = "; ".join(entry.words for entry in entries[:MOST])
    more = f"; and {len(entries) - MOST} more" if len(entries) > MOST else ""
    since = f" The version before is of {written}." if written else ""
    return Check(
        verdict=Verdict.BREACH,
        about=f"{kind} of past days",
        severity=Severity.LOW,
        message=f"{diet.group.called}: {named}{more}.{since}",
        advice="Nothing to do if that is how it was. If not, put the record back.",
        animals=tuple(dict.fromkeys(entry.animal for entry in entries if entry.animal)),
        working=tuple(entry.words for entry in entries),
        places=tuple(entry.place for entry in entries if entry.place) or (diet.group.place,),
    )
