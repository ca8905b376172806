"""A schema as a chain of plain functions: says fast whether a document is right, not why not.

Only the keywords of the tables below are known; any other stops the compiler, so that no schema
can ask for something that would go unchecked. Agrees with jsonschema on every document (tested).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

Test = Callable[[Any], bool]
Formats = Mapping[str, Callable[[str], object]]

REMEMBERED = 4096
"""Texts remembered for each place in a schema."""

_SAY_NOTHING = frozenset(
    ("$schema", "$id", "$defs", "$comment", "title", "description", "examples", "default")
)
_TYPES: Mapping[str, Test] = {
    "string": lambda v: v.__class__ is str,
    "integer": lambda v: v.__class__ is int,
    "number": lambda v: v.__class__ is int or v.__class__ is Decimal,
    "boolean": lambda v: v.__class__ is bool,
    "null": lambda v: v is None,
    "array": lambda v: v.__class__ is list,
    "object": lambda v: v.__class__ is dict,
}
_OBJECT_WORDS = frozenset(
    ("properties", "patternProperties", "additionalProperties", "required", "dependentRequired",
     "minProperties", "maxProperties", "propertyNames")
)  # fmt: skip
_ARRAY_WORDS = frozenset(("items", "minItems", "maxItems"))
_TEXT_WORDS = frozenset(("minLength", "maxLength", "pattern", "format"))
_NUMBER_WORDS = frozenset(("minimum", "maximum"))
_OTHER_WORDS = frozenset(("type", "enum", "const", "$ref", "anyOf", "oneOf"))
KEYWORDS = _SAY_NOTHING | _OBJECT_WORDS | _ARRAY_WORDS | _TEXT_WORDS | _NUMBER_WORDS | _OTHER_WORDS


class UnknownKeyword(Exception):
    """A schema of ours asks for what the compiler does not do: a mistake of ours, not a user's."""


def compile_schema(schema: Mapping[str, Any], formats: Formats) -> Test:
    """The test of a whole schema. `$ref` may only point to its own `$defs`."""
    return _Compiler(schema.get("$defs", {}), formats).test(schema)


class _Compiler:
    def __init__(self, defs: Mapping[str, Any], formats: Formats) -> None:
        self.defs = defs
        self.formats = formats
        self.done: dict[str, Test] = {}

    def test(self, schema: Any) -> Test:
        if schema is True or schema == {}:
            return _anything
        if schema is False:
            return _nothing
        if unknown := schema.keys() - KEYWORDS:
            raise UnknownKeyword(f"the schema uses {sorted(unknown)}")
        return _both(list(self._tests(schema)))

    def _tests(self, schema: Mapping[str, Any]) -> list[Test]:
        words = schema.keys()
        tests: list[Test] = []
        if "$ref" in words:
            tests.append(self._reference(schema["$ref"]))
        if schema.get("type") == "string" and words <= _SAY_NOTHING | _TEXT_WORDS | {"type"}:
            return [_remembering(self._text(schema))]
        if "type" in words:
            tests.append(_type(schema["type"]))
        if "enum" in words or "const" in words:
            tests.append(_one_of_values(schema.get("enum", [schema.get("const")])))
        if words & _OBJECT_WORDS:
            tests.append(self._object(schema))
        if words & _ARRAY_WORDS:
            tests.append(self._array(schema))
        if words & _TEXT_WORDS:
            tests.append(self._text(schema))
        if words & _NUMBER_WORDS:
            tests.append(_number(schema.get("minimum"), schema.get("maximum")))
        if "anyOf" in words:
            branches = [self.test(one) for one in schema["anyOf"]]
            tests.append(lambda v: any(branch(v) for branch in branches))
        if "oneOf" in words:
            ways = [self.test(one) for one in schema["oneOf"]]
            tests.append(lambda v: sum(way(v) for way in ways) == 1)
        return tests

    def _reference(self, target: str) -> Test:
        prefix, name = target[:8], target[8:]
        if prefix != "#/$defs/" or name not in self.defs:
            raise UnknownKeyword(f"the schema refers to {target}")
        if name not in self.done:
            self.done[name] = self.test(self.defs[name])  # no definition may contain itself
        return self.done[name]

    def _object(self, schema: Mapping[str, Any]) -> Test:
        patterns = [
            (re.compile(pattern).search, self.test(one))
            for pattern, one in schema.get("patternProperties", {}).items()
        ]
        # A listed name that also has the form of a pattern must pass both.
        known = {
            name: _both([self.test(one), *(also for search, also in patterns if search(name))])
            for name, one in schema.get("properties", {}).items()
        }
        rest = self.test(schema.get("additionalProperties", True))
        names = self.test(schema.get("propertyNames", True))
        check_names = "propertyNames" in schema
        required = frozenset(schema.get("required", ()))
        together = [(a, frozenset(b)) for a, b in schema.get("dependentRequired", {}).items()]
        least, most = schema.get("minProperties", 0), schema.get("maxProperties")

        def judge(value: Any) -> bool:
            if value.__class__ is not dict:
                return True
            if not required <= value.keys() or len(value) < least:
                return False
            if most is not None and len(value) > most:
                return False
            for name, one in value.items():
                if check_names and not names(name):
                    return False
                test = known.get(name)
                if test is None:
                    test = by_form(name)
                if not test(one):
                    return False
            return all(b <= value.keys() for a, b in together if a in value)

        def by_form(name: str) -> Test:
            met = [also for search, also in patterns if search(name)]
            return _both(met) if met else rest

        return judge

    def _array(self, schema: Mapping[str, Any]) -> Test:
        item = self.test(schema.get("items", True))
        least, most = schema.get("minItems", 0), schema.get("maxItems")

        def judge(value: Any) -> bool:
            if value.__class__ is not list:
                return True
            if len(value) < least or (most is not None and len(value) > most):
                return False
            return all(map(item, value))

        return judge

    def _text(self, schema: Mapping[str, Any]) -> Test:
        least, most = schema.get("minLength", 0), schema.get("maxLength")
        search = re.compile(schema["pattern"]).search if "pattern" in schema else None
        read = None
        if "format" in schema:
            if schema["format"] not in self.formats:
                raise UnknownKeyword(f"the schema uses the format {schema['format']}")
            read = self.formats[schema["format"]]

        def judge(value: Any) -> bool:
            if value.__class__ is not str:
                return True
            if len(value) < least or (most is not None and len(value) > most):
                return False
            if search is not None and search(value) is None:
                return False
            if read is not None:
                try:
                    read(value)
                except ValueError:
                    return False
            return True

        return judge


def _anything(_: Any) -> bool:
    return True


def _nothing(_: Any) -> bool:
    return False


def _remembering(judge: Test) -> Test:
    """A test of texts that remembers those it has let through: most come many times over."""
    passed: set[str] = set()

    def test(value: Any) -> bool:
        if value.__class__ is not str:
            return False
        if value in passed:
            return True
        if not judge(value):
            return False
        if len(passed) < REMEMBERED and len(value) <= 80:
            passed.add(value)
        return True

    return test


def _both(tests: list[Test]) -> Test:
    """All of the tests in turn; one test stays itself, so that chains stay short."""
    if not tests:
        return _anything
    if len(tests) == 1:
        return tests[0]
    if len(tests) == 2:
        first, second = tests
        return lambda v: first(v) and second(v)
    first, *rest = tests
    others = _both(rest)
    return lambda v: first(v) and others(v)


def _type(wanted: str | list[str]) -> Test:
    if isinstance(wanted, str):
        return _TYPES[wanted]
    tests = [_TYPES[name] for name in wanted]
    return lambda v: any(test(v) for test in tests)


def _one_of_values(values: list[Any]) -> Test:
    if any(value.__class__ not in (str, int) for value in values):
        raise UnknownKeyword("only texts and whole numbers can be listed as values")
    allowed = frozenset(values)
    return lambda v: v.__class__ in (str, int, Decimal) and v in allowed


def _number(least: int | None, most: int | None) -> Test:
    def judge(value: Any) -> bool:
        if value.__class__ not in (int, Decimal):
            return True
        return (least is None or value >= least) and (most is None or value <= most)

    return judge
