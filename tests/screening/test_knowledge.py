"""What rules tell of a food that somebody looks up, each behind a fence. The rules are invented."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from dietcheck.contract import Check, Diet, Food, Knowledge, Rule, hookimpl, not_applicable
from dietcheck.screening.hookspecs import CONTRACT, Pack
from dietcheck.screening.knowledge import Told, ask, names_known
from dietcheck.screening.packs import LoadedRule, rules_of
from dietcheck.screening.said import Failure
from tests import records

CARROT = records.linked(records.small()).foods["carrot"]
SWEET = Knowledge(topic="note", about="sugar", text="sweet")
ROOT = Knowledge(topic="meaning", about="carrot", text="the root")


class Silent:
    """A rule that is never asked about food."""

    def __init__(self, id: str) -> None:
        self._id = id

    @hookimpl
    def describe(self) -> Rule:
        """What it is."""
        return Rule(id=self._id, title=self._id, folder=Path())

    @hookimpl
    def judge_group(self, diet: Diet) -> Iterable[Check]:
        """Nothing to judge."""
        return [not_applicable("x", diet.group.id)]


class Knowing(Silent):
    """A rule that knows something of any food, and names."""

    def __init__(self, id: str, knows: Callable[[], Iterable[Any]]) -> None:
        super().__init__(id)
        self._knows = knows

    @hookimpl
    def about_food(self, food: Food) -> Iterable[Knowledge]:
        """What it knows of the carrot."""
        assert food is CARROT
        return self._knows()

    @hookimpl
    def food_names(self) -> Iterable[str]:
        """The same as names."""
        return self._knows()


def asked(*rules: Silent) -> tuple[LoadedRule, ...]:
    """The rules, loaded, after one that knows nothing of food."""
    return rules_of(Pack("test", "0", CONTRACT, (Silent("silent"), *rules)))


def test_each_thing_is_told_once_in_the_order_in_which_it_was_said() -> None:
    rules = asked(Knowing("one", lambda: [ROOT, SWEET]), Knowing("two", lambda: [SWEET]))
    assert ask(CARROT, rules) == Told((ROOT, SWEET), ())


def test_of_a_rule_that_fails_what_it_had_said_is_told_and_that_it_failed() -> None:
    rules = asked(
        Knowing("rubbish", lambda: [ROOT, "sweet", SWEET]),
        Knowing("broken", lambda: [][0]),
        Knowing("sound", lambda: [SWEET]),
    )
    assert ask(CARROT, rules) == Told(
        (ROOT, SWEET),
        (
            Failure("rubbish", None, "TypeError: it yielded str instead of knowledge"),
            Failure("broken", None, "IndexError: list index out of range"),
        ),
    )


def test_each_name_is_known_once_and_a_rule_that_fails_is_passed_over() -> None:
    rules = asked(
        Knowing("one", lambda: ["yew", "ivy"]),
        Knowing("broken", lambda: [][0]),
        Knowing("two", lambda: ["ivy", "box"]),
    )
    assert names_known(rules) == ("yew", "ivy", "box")
