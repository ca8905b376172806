"""The result of a screen, whole: what every output is made from."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from msgspec import Struct

from dietcheck.collection.collection import Collection
from dietcheck.collection.places import Pointer
from dietcheck.collection.settings import RuleSetting
from dietcheck.nutrition.diet import Diet
from dietcheck.reading import Place
from dietcheck.screening.checks import Severity, Verdict
from dietcheck.screening.findings import Finding
from dietcheck.screening.hookspecs import Rule
from dietcheck.screening.ledger import Ledger
from dietcheck.screening.limits import Limit
from dietcheck.screening.said import Failure

# Printed with every report, whatever was found.
CAUTIONS = (
    "This is a screening aid on written diets. It is not veterinary advice and prescribes nothing.",
    "It is worked out from the amounts that are written, not from what is eaten.",
    "Composition comes from tables and labels, not from the batch in the store.",
    "Published limits may come from other species; common practice has no source.",
    "No finding is not proof of safety. Local codes and licensed vets decide.",
)

# What no check of files can see, printed with every report.
NOT_VISIBLE = (
    "mouldy hay and spoiled food",
    "hygiene of the feed kitchen",
    "what the boss animal really ate",
    "plants that reach over the fence",
    "contamination at the mill",
    "feeding that was not written down",
)


class Citation(Struct, frozen=True):
    """One work of a pack's bibliography. `seen` says in what form it was read."""

    key: str
    citation: str
    url: str | None = None
    doi: str | None = None
    seen: str = ""
    note: str = ""


class Report(Struct, frozen=True, eq=False):
    """One screen of one repository.

    `drafts` are the files laid over what was read. `places` leads from each pointer in a finding
    to its line and column. `diets` and `collection` are None when the settings could not be read,
    and then nothing but the records was judged.
    """

    name: str
    on: date
    read_from: str
    drafts: tuple[str, ...]
    tool_version: str
    files: int
    left_out: tuple[str, ...]
    findings: tuple[Finding, ...]
    judged: Ledger
    failures: tuple[Failure, ...]
    switched_off: tuple[RuleSetting, ...]
    rules: Mapping[str, Rule]
    limits: Mapping[str, tuple[Limit, ...]]
    bibliography: Mapping[str, Citation]
    places: Mapping[Pointer, Place]
    collection: Collection | None = None
    diets: Mapping[str, Diet] | None = None

    @property
    def not_compared(self) -> str:
        """Why the rules that look back had nothing to compare with; empty if they had."""
        diets = (self.diets or {}).values()
        return next((diet.earlier.nothing_there for diet in diets), "")

    def blocking(self, on: Severity) -> tuple[Finding, ...]:
        """The findings that stop a commit when findings of that severity and graver do."""
        return tuple(finding for finding in self.findings if finding.blocks(on))

    def status(self, block_on: Severity) -> int:
        """The exit status: 2 a rule failed, 1 something blocks, 0 neither."""
        if self.failures or self.collection is None:
            return 2
        return 1 if self.blocking(block_on) else 0

    def count(self, verdict: Verdict) -> int:
        """How many checks came out so."""
        return self.judged.count(verdict)

    def group_called(self, group: str | None) -> str:
        """What keepers call the group of a finding."""
        if group is None:
            return self.name
        known = self.collection.groups.get(group) if self.collection else None
        return known.called if known else group

    def title(self, rule: str) -> str:
        """The rule's title in words."""
        return self.rules[rule].title if rule in self.rules else RECORDS_TITLE


RECORDS_RULE = "records-readable"
SIGNATURE_RULE = "sign-off"
"""The bundled rule that asks for a signature; a diet that is only tried has none yet."""
RECORDS_TITLE = "Every record can be read"
