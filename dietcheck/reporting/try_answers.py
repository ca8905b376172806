"""What is answered when somebody asks whether something may be given, group by group."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Literal

from msgspec import Struct

from dietcheck.collection.animals import Animal
from dietcheck.collection.feeding import Line
from dietcheck.nutrition.diet import Diet
from dietcheck.quantities import Interval
from dietcheck.reporting.try_fortnight import Fortnight
from dietcheck.screening.checks import Severity, Verdict
from dietcheck.screening.findings import Finding
from dietcheck.screening.limits import Limit
from dietcheck.screening.report import SIGNATURE_RULE, Report
from dietcheck.screening.room import Option

Answer = Literal["yes", "no", "cannot tell"]
RANK: dict[Answer, int] = {"no": 0, "cannot tell": 1, "yes": 2}
ASKED = (Severity.HIGH, Severity.MEDIUM)

FIGURES = (
    ("as_fed", "as fed", "g"),
    ("dry_matter", "dry matter", "g"),
    ("energy", "energy", "kcal"),
    ("sugars", "sugar", "g"),
    ("fruit", "fruit", "g"),
    ("treat_share", "treats", "% of energy"),
)
"""What is shown of a day: key, title, unit."""


class Fed(Struct, frozen=True):
    """Animals with one answer and the same figures on the day; None: nothing is planned then."""

    animals: tuple[Animal, ...]
    answer: Answer
    before: tuple[Interval, ...] | None
    after: tuple[Interval, ...] | None
    fortnight: Fortnight | None


class Giving(Struct, frozen=True):
    """One line of the draft as it is given on the day: grams and pieces an animal, if shared alike.

    `size` is the limit on the size of a piece for the species; None where the rules know of none.
    """

    line: Line
    slot: str
    grams: Interval
    pieces: Interval | None
    size: Limit | None


class GroupAnswer(Struct, frozen=True):
    """The answer for the animals of one group, and all that bears on it.

    `day` is the one whose figures are shown; None where nothing is planned. `dates` are those of
    the draft's treats, `unjudged` those of them that lie outside the days that are judged.
    """

    diet: Diet
    day: date | None
    dates: tuple[date, ...]
    unjudged: tuple[date, ...]
    fed: tuple[Fed, ...]
    givings: tuple[Giving, ...]
    findings: tuple[Finding, ...]  # new or worse, the gravest first
    leave_out: Option | None
    give_less: Option | None
    open_before: tuple[Finding, ...]  # high and medium ones that stood before and stand still
    method: str

    @property
    def answer(self) -> Answer:
        """The worst of the animals' answers."""
        return worst(fed.answer for fed in self.fed)

    @property
    def is_changed(self) -> bool:
        """Whether any animal gets something else on the day."""
        return any(fed.before != fed.after for fed in self.fed)


class TryReport(Struct, frozen=True, eq=False):
    """The whole answer."""

    before: Report
    after: Report
    groups: tuple[GroupAnswer, ...]
    elsewhere: tuple[Finding, ...]  # new findings about no group, and records that cannot be read
    unread: tuple[Finding, ...]  # drafts that cannot be read

    @property
    def is_done(self) -> bool:
        """Whether the drafts could be read and every rule did its work."""
        return not self.unread and not self.after.failures and self.after.collection is not None

    @property
    def answer(self) -> Answer:
        """The worst answer of all."""
        found = [group.answer for group in self.groups]
        found += [answer_of(finding) for finding in self.elsewhere]
        return worst(found)

    @property
    def needs_signature(self) -> bool:
        """Whether a diet that was signed would have to be signed anew."""
        return any(only_unsigned(finding) for group in self.groups for finding in group.findings)

    @property
    def status(self) -> int:
        """The exit status: 0 yes, 1 no or cannot tell, 2 not done."""
        return 2 if not self.is_done else 0 if self.answer == "yes" else 1


def worst(answers: Iterable[Answer]) -> Answer:
    """The gravest of some answers; yes if there are none."""
    return min(answers, key=RANK.__getitem__, default="yes")


def answer_of(finding: Finding) -> Answer:
    """What one new finding answers."""
    if finding.accepted is not None or finding.severity not in ASKED or only_unsigned(finding):
        return "yes"
    return "no" if finding.check.verdict is Verdict.BREACH else "cannot tell"


def only_unsigned(finding: Finding) -> bool:
    """Whether all that is wrong is that nobody has signed what is only being asked about."""
    return finding.rule == SIGNATURE_RULE and finding.severity is Severity.MEDIUM
