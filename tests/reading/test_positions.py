"""Places are where an editor would show them."""

from __future__ import annotations

from typing import Any

import pytest
import yaml

from dietcheck.reading import Place, locate
from tests.reading.mutants import EXAMPLE

TEXT = """\
record: group
id: red-panda   # é
animals:
  - id: RP-01
    weighings: [{on: 2026-11-09, mass: 4.9 kg}]
  - {name: "Éé 😀", never: [grape]}
""".encode()


@pytest.mark.parametrize(
    ("path", "key", "place"),
    [
        ((), False, Place(1, 1)),
        (("record",), False, Place(1, 9)),
        (("record",), True, Place(1, 1)),
        (("animals",), False, Place(4, 3)),
        (("animals",), True, Place(3, 1)),
        (("animals", 0), False, Place(4, 5)),
        (("animals", 0, "weighings", 0, "mass"), False, Place(5, 40)),
        (("animals", 0, "weighings", 0, "mass"), True, Place(5, 34)),
        (("animals", 1, "never", 0), False, Place(6, 28)),  # columns count é and 😀 as one each
    ],
)
def test_a_value_and_its_name_are_found(
    path: tuple[str | int, ...], key: bool, place: Place
) -> None:
    assert locate(TEXT, path, key=key) == place


def test_a_byte_order_mark_takes_no_column() -> None:
    assert locate(b"\xef\xbb\xbf" + TEXT, ("record",)) == Place(1, 9)


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("absent",), 1),
        (("animals", 0, "mass"), 4),
        (("animals", 9, "mass"), 3),
        (("animals", 0, "weighings", 0, "absent", 5), 5),
    ],
)
def test_what_is_not_there_gets_the_line_of_what_should_hold_it(
    path: tuple[str | int, ...], line: int
) -> None:
    assert locate(TEXT, path).line == line


@pytest.mark.parametrize("raw", [b"", b"\xff\xfe", b"a: [", b"a: *x", b"\x00", b"- " * 10_000])
def test_a_place_is_given_for_whatever_lies_there(raw: bytes) -> None:
    place = locate(raw, ("a", 0, "b"))
    assert place.line >= 1
    assert place.column >= 1


def nodes(node: Any, path: tuple[str | int, ...] = ()) -> list[tuple[tuple[str | int, ...], Any]]:
    """Every value of a composed document with its path."""
    found = [(path, node)]
    if isinstance(node, yaml.MappingNode):
        for name, value in node.value:
            found += nodes(value, (*path, name.value))
    elif isinstance(node, yaml.SequenceNode):
        for number, value in enumerate(node.value):
            found += nodes(value, (*path, number))
    return found


def test_places_are_those_of_the_composer() -> None:
    for file in sorted(EXAMPLE.rglob("*.yaml"))[::3]:
        raw = file.read_bytes()
        if "rota-double" in file.name:
            continue  # a name stands there twice
        for path, node in nodes(yaml.compose(raw, yaml.SafeLoader)):
            mark = node.start_mark
            assert locate(raw, path) == Place(mark.line + 1, mark.column + 1)
