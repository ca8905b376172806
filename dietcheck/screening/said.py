"""What rules said: of one group or of more, and what went wrong with them."""

from __future__ import annotations

from msgspec import Struct, field

from dietcheck.screening.findings import Judged
from dietcheck.screening.ledger import Page


class Failure(Struct, frozen=True):
    """A rule that did not do its work. Whatever it should have seen is unscreened."""

    rule: str
    group: str | None
    what: str


class Said(Struct):
    """What rules said, one after the other."""

    judged: list[Judged] = field(default_factory=list)
    failures: list[Failure] = field(default_factory=list)

    def add(self, other: Said) -> None:
        """What was said next."""
        self.judged += other.judged
        self.failures += other.failures


class OfGroup(Struct, frozen=True):
    """What all rules said of one group.

    `named`: the words may hold the name of the version that the group was compared with. `unsure`:
    git refused something, so that another run may say otherwise.
    """

    page: Page
    failures: tuple[Failure, ...] = ()
    named: bool = False
    unsure: bool = False

    @property
    def is_lasting(self) -> bool:
        """Whether another run over the same would surely say the same."""
        return bool(self.page.packed) and not self.unsure and not self.failures
