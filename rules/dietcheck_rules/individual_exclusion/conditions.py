"""The clinical states whose foods are known here, read once from their table."""

from collections.abc import Iterator
from functools import cache
from typing import Any

from msgspec import Struct

from dietcheck.contract import Animal, Food, Severity, files, read_trusted
from dietcheck_rules.toxic_item.words import any_holds, tokens


class Condition(Struct, frozen=True):
    """A clinical state, the foods kept from an animal in it, and how well that is known."""

    id: str
    words: tuple[str, ...]
    classes: frozenset[str]
    names: tuple[str, ...]
    severity: Severity
    mark: str
    note: str

    def forbids(self, food: Food) -> bool:
        """Whether an animal in this state is not to have the food."""
        return food.food_class in self.classes or any_holds(map(tokens, food.names()), self.names)


@cache
def conditions() -> tuple[Condition, ...]:
    """Every state of the table."""
    table: Any = read_trusted(files(__package__).joinpath("conditions.yaml").read_bytes())
    return tuple(
        Condition(
            id=row["id"],
            words=tuple(row["words"]),
            classes=frozenset(row["classes"]),
            names=tuple(row["names"]),
            severity=Severity(row["severity"]),
            mark=row["mark"],
            note=row["note"],
        )
        for row in table["conditions"]
    )


def of_animal(animal: Animal) -> Iterator[tuple[str, Condition | None]]:
    """Each entry of the animal's health with the state it names; None where nothing is known."""
    for entry in animal.health:
        yield entry, next((c for c in conditions() if any_holds([tokens(entry)], c.words)), None)
