"""A small invented park that holds one record of every kind, and every way to ask about it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from tests import records

KINDS: Mapping[str, str] = {  # the kind of record → the file of the park that holds it
    "collection": "dietcheck.yaml",
    "group": "group.yaml",
    "foods": "foods.yaml",
    "diet sheet": "sheet.yaml",
    "rota": "rota.yaml",
    "treats": "treats.yaml",
    "limits": "limits.yaml",
    "sign-off": "signed.yaml",
}

TREATS = (
    "record: treats\ntreats:\n  - {on: 2026-11-20, group: tapir, purpose: training, "
    "items: [{food: carrot, amount: 5 g per animal}]}\n"
)
LIMITS = (
    "record: limits\nlimits:\n  - {taxon: Tapirus terrestris, quantity: sugars, "
    "at_most: 30 % of dry matter, over: day, severity: low, why: invented, set_by: Dr Vale, "
    "on: 2026-01-01}\n"
)
SIGNED = (
    "record: sign-off\nby: Dr Vale\nrole: vet\non: 2026-11-03\ngroups: [tapir]\n"
    "statement: I approve them.\n"
)

DAY = ("--on", records.ON.isoformat())
COMMANDS: Mapping[str, tuple[str, ...]] = {
    "screen": ("screen", *DAY, "--block-on", "low"),
    "ration": ("ration", ".", "tapir", *DAY),
    "foods": ("foods", "carrot", "."),
    "limits": ("limits", "."),
    "sign": ("sign", "--by", "Dr Vale", "--role", "vet", *DAY),
    "prep": ("prep", *DAY),
    "order": ("order", *DAY),
    "schema": ("schema", ".", "--all", ".editor"),
    "try": ("try", ".", "drafts/treat.yaml", *DAY),
    "change": ("change", "--since", "HEAD", *DAY),
    "trail": ("trail", "--animal", "T1", *DAY),
    "sheets": ("sheets", ".", "--write", "../drawn", "--replace"),
}
"""How each command that reads a collection is asked about the park."""


def whole() -> dict[str, str]:
    """The texts of the park: file name → text."""
    more = {"treats.yaml": TREATS, "limits.yaml": LIMITS, "signed.yaml": SIGNED}
    return {**records.small(), **more}


def lay(folder: Path, files: Mapping[str, str | bytes]) -> Path:
    """Write files into a folder, which is made; the folder."""
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode() if isinstance(text, str) else text)
    return folder
