"""Where a value stands in the records, so that any object can be followed back to its line."""

from __future__ import annotations

from msgspec import Struct


class Pointer(Struct, frozen=True, order=True):
    """A value in a file: the keys and list numbers that lead to it.

    Lines and columns are looked up from this only when a finding needs them, so a file without
    findings never pays for positions.
    """

    file: str
    path: tuple[str | int, ...] = ()

    def at(self, *steps: str | int) -> Pointer:
        """The pointer to a value further inside."""
        return Pointer(self.file, self.path + steps)
