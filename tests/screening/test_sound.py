"""What a rule may yield: a check wholly made of what a check is made of."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import fields, replace

from dietcheck.contract import Check, SourceRef, Verdict, When
from dietcheck.screening.sound import sound_check
from tests import records
from tests.reporting.reports import breach, limit

CHECK = Check(verdict=Verdict.BREACH, about="thing", message="a thing", animals=("a",))
NAMES = [field.name for field in fields(Check) if field.name != "never_accepted"]
RUBBISH: tuple[Any, ...] = (5, 1.5, b"x", ["x"], {"x"}, object, (5,), ("x", None))


WHOLE = breach(others=(limit(),), sources=(SourceRef("Renn2020"),), group="tapir", settles="x")


@pytest.mark.parametrize("check", [CHECK, WHOLE], ids=["bare", "whole"])
def test_a_sound_check_is_taken_as_it_is(check: Check) -> None:
    assert sound_check(check) is check


@pytest.mark.parametrize("when", [When(records.ON, "1"), When("2026-11-25", 1)])  # type: ignore[arg-type]
def test_an_occasion_without_a_day_is_refused(when: When) -> None:
    with pytest.raises(TypeError, match="no day"):
        sound_check(replace(WHOLE, occasions=(*WHOLE.occasions, when)))


def test_a_check_that_says_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="says nothing"):
        sound_check(replace(CHECK, message=""))


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("value", RUBBISH, ids=repr)
def test_rubbish_in_any_part_is_refused(name: str, value: Any) -> None:
    with pytest.raises((TypeError, ValueError)):
        sound_check(replace(CHECK, **{name: value}))


@pytest.mark.parametrize("value", [None, 5, "kept", Check, (CHECK,)], ids=repr)
def test_what_is_no_check_is_refused(value: object) -> None:
    with pytest.raises(TypeError):
        sound_check(value)


@given(st.text(min_size=1, max_size=50))
def test_any_text_can_be_said(text: str) -> None:
    sound_check(replace(CHECK, message=text, advice=text, about=text, working=(text,)))


def test_a_text_without_end_is_refused() -> None:
    sound_check(replace(CHECK, message="x" * 20_000))
    with pytest.raises(ValueError, match="20,001 characters"):
        sound_check(replace(CHECK, message="x" * 20_001))
