"""The whole table: every spoilt record of every kind before every command (some minutes)."""

from __future__ import annotations

import pytest

from tests.hostile.laws import orderly
from tests.hostile.park import COMMANDS, KINDS, whole
from tests.hostile.spoilt import NAMES, QUANTITIES, WHOLE, with_quantity
from tests.hostile.test_records import Ground, cage, ground, unmoved

__all__ = ["cage", "ground"]
NOUGHT = "0 g per animal"


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("kind", KINDS)
def test_spoilt_files(ground: Ground, kind: str, command: str) -> None:
    file = KINDS[kind]
    for spoil in WHOLE.values():
        orderly(ground.run(command, {file: spoil(whole()[file])}), 1, 2, *unmoved(kind, command))


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("kind", KINDS)
def test_quantities_and_names(ground: Ground, kind: str, command: str) -> None:
    file = KINDS[kind]
    for quantity in QUANTITIES:
        if changed := with_quantity(whole()[file], quantity):
            # no amount of food is nothing, but a limit may well be: none of it at all
            allowed = (0,) if (kind, quantity) == ("limits", NOUGHT) else unmoved(kind, command)
            orderly(ground.run(command, {file: changed.encode()}), 1, 2, *allowed)
    for name in NAMES:
        for old in ("carrot", "tapir", "roots", "Dr Vale", "T1", "sugars"):
            changed = whole()[file].replace(f" {old}", f' "{name}"', 1)
            if changed != whole()[file]:
                orderly(ground.run(command, {file: changed.encode()}), 0, 1, 2)
