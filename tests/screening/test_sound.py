"""What a rule may yield: a check wholly made of what a check is made of."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import fields, replace

from dietcheck.contract import Check, Verdict
from dietcheck.screening.sound import LONGEST, sound_check

CHECK = Check(verdict=Verdict.BREACH, about="thing", message="a thing", animals=("a",))
NAMES = [field.name for field in fields(Check) if field.name != "never_accepted"]
RUBBISH: tuple[Any, ...] = (5, 1.5, b"x", ["x"], {"x"}, object, (5,), ("x", None))


def test_a_sound_check_is_taken_as_it_is() -> None:
    assert sound_check(CHECK) is CHECK


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
    with pytest.raises(ValueError, match="characters"):
        sound_check(replace(CHECK, message="x" * (LONGEST + 1)))
