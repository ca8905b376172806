"""A rule that finds nothing to measure says so: silence would count as a rule that failed."""

from collections.abc import Iterable, Iterator

from dietcheck.contract import Check, Diet, Severity, Verdict


def or_open(checks: Iterable[Check], about: str, diet: Diet) -> Iterator[Check]:
    """The checks; where there are none, that nobody can tell, for nothing could be measured."""
    spoken = False
    for check in checks:
        spoken = True
        yield check
    if not spoken:
        yield Check(
            verdict=Verdict.CANNOT_TELL,
            about=about,
            severity=Severity.LOW,
            message=f"{diet.group.called}: nothing could be worked out for the judged days, so "
            "nobody can tell.",
            advice="Look at what else is said of this group's rota, sheet and animals.",
            settles="a rota in force on days on which animals of this group are here",
            places=(diet.group.place,),
        )
