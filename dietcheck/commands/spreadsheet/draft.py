"""A record that is being put together from rows, with the cell that each part came from."""

from __future__ import annotations

from typing import Any

from msgspec import Struct, field

from dietcheck.commands.spreadsheet.cells import Ref, Trouble
from dietcheck.commands.spreadsheet.flow import record_text
from dietcheck.commands.spreadsheet.layout import DIETS, KIND, ROTAS
from dietcheck.reading import Path, check_file
from dietcheck.reading.check import read_loosely
from dietcheck.reading.explain import explain
from dietcheck.reading.kinds import shape
from dietcheck.reading.problems import listed

ORDER = (
    *("record", "group", "from", "starts", "until", "reason", "written_by"),
    *("season", "stages", "heads", "meals", "days", "swaps", "supplements", "leftovers", "notes"),
)


class Draft(Struct):
    data: dict[str, Any]
    first: Ref
    at: dict[Path, Ref] = field(default_factory=dict)
    days: dict[int, tuple[dict[str, Any], Ref]] = field(default_factory=dict)
    seen: dict[str, Ref] = field(default_factory=dict)


def finish(kind: str, draft: Draft, troubles: list[Trouble], refused: set[Ref]) -> None:
    """Put a record together in its usual order, and find what the schema does not allow."""
    if kind == ROTAS and not _in_order(draft, troubles):
        return
    if kind == DIETS and "reason" not in draft.data:
        at = draft.at[("reason",)]
        if at not in refused:
            refused.add(at)
            message = "no row of this diet sheet gives its reason."
            remedy = "Write under Reason why it replaces the one before, once."
            troubles.append(Trouble(at, message, remedy))
    draft.data = {k: draft.data[k] for k in ORDER if k in draft.data} | draft.data
    raw = record_text(draft.data).encode()
    if shape(KIND[kind])(draft.data):
        _read_back(draft, raw, troubles)
    else:
        _explained(kind, draft, raw, troubles, refused)


def _in_order(draft: Draft, troubles: list[Trouble]) -> bool:
    """Lay the days of a rota one after the other; False where one is not there."""
    last = max(draft.days, default=0)
    gone = [str(n) for n in range(1, last + 1) if n not in draft.days]
    if gone:
        message = f"day {listed(gone, 'and')} of this rota is not there."
        remedy = "Write a row for each day; a fast day has “planned” under Fast."
        troubles.append(Trouble(draft.first, message, remedy))
        return False
    draft.data["days"] = [draft.days[n][0] for n in range(1, last + 1)]
    return True


def _read_back(draft: Draft, raw: bytes, troubles: list[Trouble]) -> None:
    """Refuse a record whose text would be read as something else."""
    if check_file("record", raw).data == draft.data:
        return
    message = "this record cannot be written so that it reads back."
    remedy = "Type its texts again."
    _, flaws = read_loosely(raw)
    for said in flaws[:1]:
        message, remedy = said.message, said.remedy
    troubles.append(Trouble(draft.first, message, remedy))


def _explained(
    kind: str, draft: Draft, raw: bytes, troubles: list[Trouble], refused: set[Ref]
) -> None:
    """Tell what the schema does not allow at the cells it came from."""
    rows = {(at.sheet, at.row) for at in refused}
    for flaw in explain(KIND[kind], draft.data, raw, 1000)[0]:
        path = flaw.path
        while path and path not in draft.at:
            path = path[:-1]
        at = draft.at.get(path, draft.first)
        # what is missing in a row with a refused cell is most likely that cell
        own_cell = path == flaw.path and isinstance(path[-1:] and path[-1], str)
        if at not in refused and (own_cell or (at.sheet, at.row) not in rows):
            refused.add(at)
            troubles.append(Trouble(at, flaw.message, flaw.remedy))
    if not troubles:  # nothing that is refused may be written as if it had been read
        troubles.append(
            Trouble(draft.first, "this record cannot be read.", "Compare it with the template.")
        )
