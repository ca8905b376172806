"""What somebody might write so that a dog's onion is not found: each try ends in a high finding.

That onion harms dogs stands in the rule's own table with its sources; the rest is invented.
"""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from dietcheck.screening.checks import Severity
from tests import records
from tests.fuzz.targets import judged

DOG = "{id: T1, weighings: [{on: 2026-11-20, mass: 25 kg}]}"
DAYS = ["{morning: roots, afternoon: roots}"] * 2
NAMES = (
    "\u043enion", "\uff4fnion", "on\u200dion", "on\u00adion", "o\u0301nion", "red\u00a0onion",
    "ONION", "\u03bfnion", "on\ufeffion", "on\u0131on", "spring\u2011onion",
)  # fmt: skip
AMOUNTS = (
    "0 g", "0.0 g", "-5 g", "0.0000001 g", "\u0665 g", "\uff15 g", "5\u00a0g", "5\tg", "1e-9 g",
    "0 to 5 g", "999999999 g", "00005 g", "5 \u200dg", "5 g\u0000", "5 mg to 3 mg", "NaN g",
)  # fmt: skip


def _line(food: str = "onion", amount: str = "50 g per animal", more: str = "") -> str:
    return f'{{food: "{food}", amount: "{amount}"{more}}}'


def _sheet(line: str = _line(), start: str = "2026-01-01", more: str = "") -> str:
    return records.sheet({"roots": [line]}, start=start, more=more)


def _foods(**more: str) -> str:
    return records.foods(carrot="{same_as: carrot}", **{"onion": "{same_as: onion}", **more})


def _group(*animals: str) -> str:
    return records.group(species="Lycaon pictus", animals=animals)


def _accepted(by: str, more: str) -> str:
    return (
        f"record: sign-off\nby: {by}\nrole: vet\non: 2026-11-03\ngroups: [tapir]\nstatement: I\n"
        f"accepts:\n  - {{rule: toxic-item, group: tapir, food: onion, reason: fine, {more}}}\n"
    )


def _settings(more: str) -> dict[str, str]:
    return {"dietcheck": records.settings(more=more)}


OTHER_FOOD = "record: foods\nfoods:\n  onion: {same_as: carrot}\n"
TREAT = (
    "record: treats\ntreats:\n  - {on: 2026-11-25, group: tapir, purpose: training, "
    "items: [{food: onion, amount: 5 g per animal}]}\n"
)
BY = "set_by: Dr Vale, on: 2026-11-01"
TRIES: Mapping[str, Mapping[str, str]] = {
    "as it is": {},
    "another name": {"foods": _foods(tasty="{same_as: onion}"), "sheet": _sheet(_line("tasty"))},
    "in a mix": {
        "foods": _foods(m="{mix: {carrot: 90 %, onion: 10 %}}"),
        "sheet": _sheet(_line("m")),
    },
    "in a mix of a mix": {
        "foods": _foods(m="{mix: {carrot: 90 %, onion: 10 %}}", n="{mix: {carrot: 50 %, m: 50 %}}"),
        "sheet": _sheet(_line("n")),
    },
    **{
        f"name {name!a}": {
            "foods": f'record: foods\nfoods:\n  "{name}": {{same_as: onion}}\n',
            "sheet": _sheet(_line(name)),
        }
        for name in NAMES
    },
    **{f"amount {a!a}": {"sheet": _sheet(_line(amount=f"{a} per animal"))} for a in AMOUNTS},
    "for a stranger": {"sheet": _sheet(_line(more=", for: [T9]"))},
    "an empty rota": {"rota": records.rota(["{morning: [], afternoon: []}"] * 2)},
    "a rota of fasts": {"rota": records.rota(["{morning: fast}"] * 2)},
    "a rota of next year": {"rota": records.rota(DAYS, start="2027-11-16")},
    "a rota of the year 9999": {"rota": records.rota(DAYS, start="9999-12-31")},
    "a rota that has ended": {"rota": records.rota(DAYS, more="until: 2026-11-24")},
    "a second rota": {"rota-2": records.rota(["{morning: x}"] * 2, start="2026-11-25")},
    "a sheet of the year 9999": {"sheet": _sheet(start="9999-12-31")},
    "a sheet that has ended": {"sheet": _sheet(more="until: 2026-11-24")},
    "a second sheet of the day": {"sheet-2": _sheet(_line("carrot"))},
    "a second group of that name": {"group-2": records.group()},
    "a second food of that name": {"foods-2": OTHER_FOOD},
    "settings twice": {"sub/dietcheck": records.settings()},
    "settings in capitals": {"Dietcheck": records.settings()},
    "head: 0": {"group": _group().replace("animals:\n", "colony: {head: 0}\n")},
    "no animal": {"group": _group().replace("animals:\n", "animals: []\n")},
    "born in the year 9999": {"group": _group("{id: T1, born: 9999-01-01}")},
    "as a treat": {"sheet": _sheet(_line("carrot")), "treats": TREAT},
    "the sheet left out": _settings("leave_out: [sheet.yaml]"),
    "the rule set to low": _settings(f"rules: [{{rule: toxic-item, set: off, {BY}}}]"),
    "a key that is none": _settings("skip: [toxic-item]"),
    "no pack": _settings("packs: []"),
    "accepted for ever": {"accepted": _accepted("Dr Vale", "until: 9999-12-31")},
    "accepted by a stranger": {
        "accepted": _accepted("Nobody", "until: 2026-12-31, up_to: 900 g, animals: [T1]")
    },
    "accepted before the diet": {
        "accepted": _accepted("Dr Vale", "until: 2026-12-31, up_to: 1 g, animals: [T1]")
    },
}


@pytest.mark.parametrize("way", TRIES)
def test_the_onion_does_not_vanish(way: str) -> None:
    files = {"group": _group(DOG), "foods": _foods(), "sheet": _sheet(), **TRIES[way]}
    texts = {name: text.encode() for name, text in records.small(**files).items()}
    report = judged(texts, {})
    assert report.status(Severity.HIGH) != 0
    assert any(finding.severity is Severity.HIGH for finding in report.findings)
