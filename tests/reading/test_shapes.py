"""The quick test of a record and the full validator must never disagree."""

from __future__ import annotations

import json
import random
import re
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from dietcheck.reading.explain import explain, validator
from dietcheck.reading.formats import FORMATS
from dietcheck.reading.kinds import KINDS, schema, shape
from dietcheck.reading.shapes import KEYWORDS, UnknownKeyword, compile_schema
from dietcheck.tables.nutrients import nutrients
from tests.reading.mutants import sound_records, spoil

SOUND = sound_records()


def parts(value: Any) -> list[dict[str, Any]]:
    """Every mapping inside a schema."""
    if isinstance(value, dict):
        return [value, *(part for one in value.values() for part in parts(one))]
    if isinstance(value, list):
        return [part for one in value for part in parts(one)]
    return []


@pytest.mark.parametrize("kind", KINDS)
def test_each_schema_is_a_sound_json_schema_that_shows_sound_examples(kind: str) -> None:
    whole = schema(kind)
    Draft202012Validator.check_schema(whole)
    assert whole["$id"] == f"urn:dietcheck:schema:{kind.replace(' ', '-')}:1"
    assert whole["title"]
    assert whole["description"]
    assert whole["examples"]
    for example in whole["examples"]:
        assert shape(kind)(example)
        assert validator(kind).is_valid(example)


@pytest.mark.parametrize("kind", KINDS)
def test_every_field_of_a_schema_is_described(kind: str) -> None:
    whole = schema(kind)
    for part in parts(whole):
        for name, field in part.get("properties", {}).items():
            target = str(field.get("$ref", "")).removeprefix("#/$defs/")
            words = {**whole["$defs"].get(target, {}), **field}
            assert words.get("description"), name


@pytest.mark.parametrize("kind", KINDS)
def test_schemas_refer_to_nothing_outside_themselves(kind: str) -> None:
    whole = schema(kind)
    assert all(
        part["$ref"].removeprefix("#/$defs/") in whole["$defs"]
        for part in parts(whole)
        if isinstance(part.get("$ref"), str)
    )


def test_a_definition_of_one_name_is_the_same_in_every_schema() -> None:
    first: dict[str, Any] = {}
    for kind in KINDS:
        for name, definition in schema(kind)["$defs"].items():
            assert first.setdefault(name, definition) == definition, (kind, name)


def test_foods_know_every_nutrient_by_its_key_and_its_label_names() -> None:
    known = {name for one in nutrients().values() for name in (one.key, *one.labels)}
    definitions = schema("foods")["$defs"]
    assert set(definitions["figures"]["properties"]) == known | {"basis", "form"}
    assert set(definitions["estimate"]["properties"]) == known | {"evidence"}


@pytest.mark.parametrize("kind", KINDS)
def test_patterns_of_schemas_cannot_run_away(kind: str) -> None:
    for part in parts(schema(kind)):
        for pattern in [part.get("pattern"), *part.get("patternProperties", ())]:
            if isinstance(pattern, str):
                for letter in ("a", "a ", " ", "-", "/", "a-"):
                    re.search(pattern, letter * 10_000 + "!\n")


@pytest.mark.parametrize(("kind", "data"), SOUND)
def test_a_line_of_ones_own_may_stand_in_a_record_and_a_strange_one_may_not(
    kind: str, data: dict[str, Any]
) -> None:
    for name, wanted in (("x-own", True), ("own", False)):
        changed = {**data, name: [1, {"a": None}]}
        assert shape(kind)(changed) is wanted
        assert validator(kind).is_valid(changed) is wanted


@settings(max_examples=400, deadline=None)
@given(st.integers(0, len(SOUND) - 1), st.integers(0, 2**32))
def test_quick_test_and_full_validator_agree_on_spoilt_records(which: int, seed: int) -> None:
    kind, data = SOUND[which]
    spoilt = spoil(data, random.Random(seed))
    accepted = shape(kind)(spoilt)
    assert accepted == validator(kind).is_valid(spoilt)
    if not accepted:
        flaws, _ = explain(kind, spoilt, b"", 20)
        assert flaws
        assert not any("cannot tell why" in flaw.message for flaw in flaws)


def test_a_keyword_the_compiler_does_not_know_is_refused() -> None:
    for keyword in ("uniqueItems", "multipleOf", "not", "if", "allOf", "prefixItems", "$anchor"):
        assert keyword not in KEYWORDS
        with pytest.raises(UnknownKeyword):
            compile_schema({"properties": {"a": {keyword: []}}}, FORMATS)


@pytest.mark.parametrize(
    "bad",
    [
        {"$ref": "https://example.org/schema"},
        {"$ref": "#/$defs/absent"},
        {"format": "email"},
        {"enum": [None]},
        {"const": 1.5},
    ],
)
def test_what_a_schema_may_not_ask_is_refused(bad: dict[str, Any]) -> None:
    with pytest.raises(UnknownKeyword):
        compile_schema(bad, FORMATS)


SMALL_SCHEMAS: tuple[dict[str, Any], ...] = (
    {},
    {"type": "integer", "minimum": 2, "maximum": 4},
    {"type": ["number", "null"], "minimum": 2},
    {"enum": ["a", 1]},
    {"const": 5},
    {"type": "boolean"},
    {"type": "string", "enum": ["a", "b"], "minLength": 1},
    {"minLength": 2, "maxLength": 3, "pattern": "^a"},
    {"type": "array", "items": {"type": "string"}, "minItems": 1, "maxItems": 2},
    {"properties": {"a": {"type": "string"}}, "patternProperties": {"^a": {"maxLength": 1}}},
    {"properties": {"a": False}, "additionalProperties": {"type": "integer"}},
    {"additionalProperties": False, "patternProperties": {"^x-": {}}},
    {"propertyNames": {"maxLength": 1}, "minProperties": 1, "maxProperties": 1},
    {"dependentRequired": {"a": ["b"]}},
    {"oneOf": [{"required": ["a"]}, {"required": ["b"]}]},
    {"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "integer"}}]},
    {"$ref": "#/$defs/d", "$defs": {"d": {"type": "object", "required": ["a"]}}},
)
LEAVES: st.SearchStrategy[Any] = (
    st.none() | st.booleans() | st.integers(-1, 6) | st.decimals(-1, 6, places=1)
)
LEAVES |= st.text("abx-\n", max_size=3)
DOCUMENTS = st.recursive(
    LEAVES,
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.text("abx-", max_size=2), inner, max_size=3)
    ),
    max_leaves=6,
)


@settings(max_examples=300, deadline=None)
@given(DOCUMENTS)
def test_each_keyword_means_what_json_schema_says(document: Any) -> None:
    for small in SMALL_SCHEMAS:
        quick = compile_schema(small, FORMATS)(document)
        assert quick == Draft202012Validator(small).is_valid(document), json.dumps(small)
