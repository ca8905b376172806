"""What is told of names that are mixed up: how many, of whom, at which line. All is invented."""

from __future__ import annotations

import pytest

from dietcheck.contract import Verdict
from dietcheck_rules.look_alike_food.pairs import _is_one_slip
from tests.rules import test_look_alike_food as alike
from tests.rules.told import figures, places

BREACH, UNSURE, KEPT = Verdict.BREACH, Verdict.CANNOT_TELL, Verdict.KEPT


@pytest.mark.parametrize(
    ("one", "other", "slip"),
    [("leek", "leak", True), ("carp", "crap", True), ("pear", "pea", True), ("pea", "pear", True),
     ("leek", "laek", True), ("leek", "look", False), ("abcd", "badc", False),
     ("acorn", "corn", True), ("pear", "pears", True), ("pear", "peares", False),
     ("mix 1", "mix 2", False), ("mix 1", "mix", False), ("leek", "leek", False),
     ("abcd", "cbad", False), ("abcd", "axcy", False), ("abca", "acba", True)],
)  # fmt: skip
def test_one_letter_is_a_slip_and_two_are_none_unless_neighbours(
    one: str, other: str, slip: bool
) -> None:
    assert _is_one_slip(one, other) is slip


def test_a_pair_tells_why_and_whom_the_other_one_harms() -> None:
    """Grapes harm dogs by the table of toxic-item; blackcurrants do not."""
    foods = {
        "blackcurrant": alike.plant("Ribes nigrum", "part: fruit, also_called: [currant]"),
        "vine-fruit": alike.plant("Vitis vinifera", "part: fruit, also_called: [currants]"),
    }
    (check,) = alike.said(foods, "blackcurrant", "Canis lupus familiaris")
    assert '"currant" and "currants" differ only by capitals' in check.message
    assert 'dog are fed "blackcurrant", and "vine-fruit" harms them (' in check.message
    assert [step.partition(": ")[0] for step in check.working] == ["dog"]
    assert places(check) == ["foods foods blackcurrant", "foods foods vine-fruit"]
    assert (check.food, check.about) == ("blackcurrant", "look-alike of vine-fruit")
    (plain,) = alike.said(foods)
    assert (plain.working, "harms" in plain.message) == ((), False)
    (kept,) = alike.said({"kale": alike.plant()})
    assert figures(kept.message) == "2"  # kale, and the hay of the test


@pytest.mark.parametrize(
    ("one", "other", "why"),
    [
        ({"weed-mix": "also_called: [green mix]"}, {"lamb-mix": "also_called: [green mix]"},
         'both go by "green mix"'),
        ({"beetroot": ""}, {"beet-root": ""}, "differ only by capitals, hyphens"),
        ({"leek": ""}, {"leak": ""}, '"leek" and "leak" differ by one letter'),
        ({"pear": "organism: Pyrus communis"}, {"pear-tree-leaf": "organism: Malus sylvestris"},
         'is not "pear"'),
    ],
)  # fmt: skip
def test_each_kind_of_mix_up_says_why(one: dict[str, str], other: dict[str, str], why: str) -> None:
    foods = {name: alike.plant(more=more) for name, more in {**one, **other}.items()}
    (check,) = alike.said(foods)
    assert why in check.message
