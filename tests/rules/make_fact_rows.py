"""Writes rules/dietcheck_rules/fact-rows.csv: for every row of the collected facts which rule
judges it, or why none does.

Run by hand after a change to a rule's limits.yaml or left-out.yaml. The facts are no part of the
repository: without the fact file as an argument, what they say of each row is taken from the
register as it stands. tests/rules/test_fact_rows.py checks the register against the rules.
"""

from __future__ import annotations

import csv
import re
import sys
from collections import defaultdict
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import yaml

import dietcheck_rules

RULES = Path(__file__).parents[2] / "rules" / "dietcheck_rules"
REGISTER = RULES / "fact-rows.csv"
TOLD = Path(__file__).with_name("fact_rows_told.yaml")
COLUMNS = (
    "row",
    "quantity",
    "taxon",
    "bound",
    "evidence",
    "seen",
    "judged_by",
    "limits",
    "why_not",
)
_PREFIX = re.compile(r"([a-z]\d{3}[a-z]?)(?:-|$)")
# A reason that sends the reader to another rule says less than that rule's own.
_ELSEWHERE = re.compile("judged (or left out )?by|among the rows of")


def fact_of(limit: str) -> str | None:
    """The fact row that a limit row is made from, by the beginning of its id."""
    found = _PREFIX.match(limit.lower())
    return found[1].upper()[:4] + found[1][4:] if found else None


def folders() -> dict[str, Path]:
    """Rule id → its folder, of every registered rule."""
    found = [rule.describe().id for rule in dietcheck_rules.RULES]
    return {rule: RULES / rule.replace("-", "_") for rule in sorted(found)}


def judged(facts: set[str]) -> Mapping[str, list[tuple[str, str]]]:
    """Fact row → the rules with their limit rows."""
    found: dict[str, list[tuple[str, str]]] = defaultdict(list)
    for rule, folder in folders().items():
        if (folder / "limits.yaml").is_file():
            for limit in _read(folder / "limits.yaml")["limits"]:
                if (fact := fact_of(limit["id"])) in facts and fact:
                    found[fact].append((rule, limit["id"]))
    for entry in _read(TOLD)["judged"]:
        for row in entry["rows"]:
            found[row].append((entry["rule"], entry["limit"]))
    return found


def left_out() -> Mapping[str, str]:
    """Fact row → why it is not judged: what is told here, else what the rules say."""
    found: dict[str, list[str]] = defaultdict(list)
    for entry in _read(TOLD)["why_not"]:
        for row in entry["rows"]:
            found[row].append(entry["why"])
    for folder in folders().values():
        table = folder / "left-out.yaml"
        for entry in _read(table)["left_out"] if table.is_file() else ():
            for row in entry.get("rows") or [entry.get("row")]:
                found[row].append(entry["why"])
    return {
        row: min(whys, key=lambda why: bool(_ELSEWHERE.search(why))) for row, whys in found.items()
    }


def rows(facts: list[dict[str, Any]]) -> Iterator[dict[str, str]]:
    """The rows of the register, in the order of the facts."""
    by_rule, reasons = judged({fact["id"] for fact in facts}), left_out()
    for fact in facts:
        limits = by_rule.get(fact["id"], [])
        yield {
            "row": fact["id"],
            "quantity": fact["quantity"],
            "taxon": ", ".join(fact["taxon"]) or f"({fact['rank']})",
            "bound": fact["bound"],
            "evidence": fact["evidence"],
            "seen": fact["seen"],
            "judged_by": " ".join(dict.fromkeys(rule for rule, _ in limits)),
            "limits": " ".join(limit for _, limit in limits),
            "why_not": ""
            if limits
            else " ".join(reasons.get(fact["id"], "not yet claimed").split()),
        }


def registered() -> list[dict[str, Any]]:
    """What the facts say of each row, as the register keeps it."""
    with REGISTER.open(encoding="utf-8", newline="") as file:
        return [
            {
                "id": row["row"],
                "quantity": row["quantity"],
                "taxon": [] if row["taxon"].startswith("(") else row["taxon"].split(", "),
                "rank": row["taxon"].strip("()"),
                "bound": row["bound"],
                "evidence": row["evidence"],
                "seen": row["seen"],
            }
            for row in csv.DictReader(file)
        ]


def main(facts_file: str | None = None) -> None:
    """Write the register and say which rows are not yet claimed."""
    made = list(rows(_read(Path(facts_file))["limits"] if facts_file else registered()))
    with REGISTER.open("w", encoding="utf-8", newline="") as out:
        writer = csv.DictWriter(out, COLUMNS, lineterminator="\n")
        writer.writeheader()
        writer.writerows(made)
    open_ = [row["row"] for row in made if row["why_not"] == "not yet claimed"]
    print(f"{len(made)} rows, not yet claimed: {', '.join(open_) or 'none'}")


def _read(file: Path) -> Any:
    return yaml.safe_load(file.read_text(encoding="utf-8"))


if __name__ == "__main__":
    main(*sys.argv[1:])
