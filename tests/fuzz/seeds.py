"""What a fuzzer begins with: sound quantities and records, and the words that they are made of."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from dietcheck.quantities.units import UNITS

EXAMPLE = Path(__file__).resolve().parents[2] / "example_repo"

QUANTITIES = (
    "45 g per animal", "20 to 30 g per group", "3 % of body mass",
    "ad lib, expected 2 kg per group", "1,5 g per animal", "½ tsp", "1 1/2 g", "4.9 kg", "60 %",
    "90 days", "1.03 g/ml", "25 to 35",
    ">= 14 %", "<= 3 % of dry matter", "about 5 %", "120 mg/kg", "2026-11-25", "25/11/2026",
    "1e400 g", "9**9**9 g", "five g", "-5 g", "5 ± 1 g", "5 μg per kg body mass", "2 to 1 g",
)  # fmt: skip

WORDS = (
    *(unit for unit in UNITS if unit.isascii() and unit.isalnum()),
    " per animal", " per group", " per kg body mass", " to ", "ad lib, expected ", " of body mass",
    ">= ", "<= ", "about ", " of dry matter", "record: ", "diet sheet", "collection", "group",
    "foods", "rota", "treats", "limits", "sign-off", "meals:", "food: ", "amount: ", "days:",
    "\\x0a  - ", "{", "}", "[", "]", ": ", ", ", "animals:", "weighings:", "mass: ", "same_as: ",
    "mix: ", "&a", "*a", "!!str", "<<: ", "%YAML", "---", "\\xef\\xbb\\xbf", "\\xe2\\x80\\xae",
)  # fmt: skip


def seeds(target: str) -> Iterator[bytes]:
    """Sound inputs of a target."""
    if target == "quantity":
        yield from (text.encode() for text in QUANTITIES)
        return
    for path in sorted(EXAMPLE.rglob("*.yaml")):
        if path.stat().st_size < 4000:
            yield path.read_bytes()
