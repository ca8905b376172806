"""Why a document does not fit its schema: finds each fault and the place to show it.

jsonschema is loaded here and nowhere else, for documents that the quick test has refused. Its
own sentences are never shown; wording.py says the same in the words of a diet kitchen.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from decimal import Decimal
from functools import lru_cache, partial
from itertools import islice
from typing import Any

from jsonschema import Draft202012Validator, FormatChecker
from jsonschema.exceptions import ValidationError
from msgspec import Struct
from referencing import Registry

from dietcheck.reading import wording
from dietcheck.reading.formats import FORMATS
from dietcheck.reading.kinds import schema
from dietcheck.reading.positions import locate
from dietcheck.reading.problems import Flaw, Path, Place

ERROR_LIMIT = 5_000
LONGEST_READ = 120
"""Longest text given to a reader; a longer one is refused for its length alone."""


class Fault(Struct, frozen=True):
    """A fault that is found but not yet put into words, which takes longer than finding it."""

    path: Path
    say: Callable[[], wording.Words]
    at_name: bool = False


def explain(kind: str, data: Any, raw: bytes, most: int) -> tuple[list[Flaw], int]:
    """The first `most` flaws in order of place, and the number of those left over."""
    judge = validator(kind)
    defs = schema(kind)["$defs"]
    faults: list[Fault] = []
    for error in islice(judge.iter_errors(data), ERROR_LIMIT):
        faults.extend(faults_of(_found(error, defs)))
    placed = [(locate(raw, fault.path, key=fault.at_name), fault) for fault in faults]
    placed.sort(key=lambda pair: (pair[0].line, pair[0].column))
    flaws = [Flaw(place, *fault.say(), fault.path) for place, fault in placed[:most]]
    if not flaws:  # the two readings of the schema disagree: a mistake of ours, never a pass
        flaws.append(
            Flaw(
                Place(),
                "this record does not fit, and the program cannot tell why.",
                "Compare it with a record that works, and report this as a mistake of the program.",
            )
        )
    return flaws, max(0, len(placed) - most)


@lru_cache(maxsize=8)
def validator(kind: str) -> Draft202012Validator:
    """The validator of a kind. The empty registry makes sure that nothing is ever fetched."""
    checker = FormatChecker(formats=())
    for name, read in FORMATS.items():
        checker.checks(name, raises=ValueError)(partial(_readable, read))
    return Draft202012Validator(schema(kind), format_checker=checker, registry=Registry())


def _readable(read: Callable[[str], object], value: object) -> bool:
    if isinstance(value, str) and len(value) <= LONGEST_READ:
        read(value)
    return True


class _Found(Struct, frozen=True):
    """One error of jsonschema with what is used of it."""

    path: Path
    word: str  # the keyword that is not met
    asked: Any  # its value in the schema
    value: Any  # what was written
    field: Mapping[str, Any]  # the part of the schema around the keyword
    defs: Mapping[str, Any]
    of_name: bool
    said: str
    branches: Sequence[tuple[int, _Found]]

    def described(self, part: Any) -> Mapping[str, Any]:
        """A part of the schema with what it refers to, its own words first."""
        if isinstance(part, Mapping) and "$ref" in part:
            return {**self.defs[part["$ref"].removeprefix("#/$defs/")], **part}
        return part if isinstance(part, Mapping) else {}

    def known(self) -> list[str]:
        """The names a mapping may have."""
        return list(self.field.get("properties", ()))

    def unknown(self) -> list[str]:
        """Names in the mapping that the schema neither lists nor lets through by their form."""
        if self.field.get("additionalProperties") is not False:
            return []
        known, forms = set(self.known()), self.field.get("patternProperties", ())
        return [
            name
            for name in self.value
            if name not in known and not any(re.search(form, name) for form in forms)
        ]

    def misspelt(self, name: str) -> bool:
        """Whether a missing name stands there misspelt, which is told already."""
        return any(wording.nearest(one, self.known()) == [name] for one in self.unknown()[:25])


def _found(error: ValidationError, defs: Mapping[str, Any]) -> _Found:
    context = error.context or ()
    return _Found(
        path=tuple(error.absolute_path),
        word=str(error.validator),
        asked=error.validator_value,
        value=error.instance,
        field=error.schema if isinstance(error.schema, Mapping) else {},
        defs=defs,
        of_name="propertyNames" in error.absolute_schema_path,
        said=error.message,
        branches=[(int(one.schema_path[0]), _found(one, defs)) for one in context],
    )


def faults_of(found: _Found) -> Iterator[Fault]:
    """The faults that one error of jsonschema stands for: several, one, or none of its own."""
    yield from _FINDERS.get(found.word, _of_form)(found)


def _of_unknown(found: _Found) -> Iterator[Fault]:
    known = found.known()
    for name in found.unknown():
        say = partial(wording.unknown_name, name, known, found.value)
        yield Fault((*found.path, name), say, at_name=True)


def _of_missing(found: _Found) -> Iterator[Fault]:
    for name in found.asked:
        # jsonschema gives one error for each name, and says which only in its sentence
        if found.said == f"{name!r} is a required property" and not found.misspelt(name):
            field = found.described(found.field.get("properties", {}).get(name))
            yield Fault(found.path, partial(wording.missing, name, field), at_name=True)


def _of_company(found: _Found) -> Iterator[Fault]:
    for name, others in found.asked.items():
        absent = [one for one in others if one not in found.value]
        if name in found.value and absent:
            say = partial(wording.needs_beside, name, absent)
            yield Fault((*found.path, name), say, at_name=True)


def _of_choice(found: _Found) -> Iterator[Fault]:
    """Either a choice of names that must be there, or a value that may be built in several ways."""
    if all(set(branch) == {"required"} for branch in found.asked):
        yield from _of_named_choice(found)
        return
    fits = {
        number
        for number, branch in enumerate(found.asked)
        if _fits_type(found.value, found.described(branch))
    }
    inner = [one for number, one in found.branches if number in fits]
    if not inner:
        yield Fault(found.path, partial(_not_built, found.path, found.value, found.field))
    for one in inner:
        yield from faults_of(one)


def _of_named_choice(found: _Found) -> Iterator[Fault]:
    if not isinstance(found.value, dict):
        return  # that it is no mapping is told by its type
    choices = [name for branch in found.asked for name in branch["required"]]
    present = [name for name in choices if name in found.value]
    if not present and any(found.misspelt(name) for name in choices):
        return
    only = found.word == "oneOf"
    say = partial(wording.one_of_names, found.path, present, choices, only)
    yield Fault(found.path, say, at_name=True)


def _fits_type(value: object, branch: wording.Schema) -> bool:
    if "enum" in branch:
        return isinstance(value, str)
    kinds = {"string": str, "array": list, "object": dict}
    return isinstance(value, kinds.get(str(branch.get("type")), ()))


def _not_built(path: Path, value: object, field: wording.Schema) -> wording.Words:
    if value is None:
        return wording.wrong_type(path, value, ("string",), field)
    message = f"{wording.subject(path)} cannot be {wording.value_words(value)}."
    return message, wording.described(field)


def _of_type(found: _Found) -> Iterator[Fault]:
    kinds = [found.asked] if isinstance(found.asked, str) else list(found.asked)
    path, value = found.path, found.value
    number = isinstance(value, (int, Decimal)) and not isinstance(value, bool)
    if number and kinds == ["string"] and "format" in found.field:
        read = FORMATS[found.field["format"]]  # `mass: 5` lacks its unit, and the reader says so
        if not _reads(read, str(value)):
            yield Fault(path, partial(wording.unreadable, path, str(value), read))
            return
    yield Fault(path, partial(wording.wrong_type, path, value, kinds, found.field))


def _reads(read: Callable[[str], object], text: str) -> bool:
    try:
        read(text)
    except ValueError:
        return False
    return True


def _of_value(found: _Found) -> Iterator[Fault]:
    allowed = found.asked if found.word == "enum" else [found.asked]
    yield Fault(found.path, partial(wording.unknown_value, found.path, found.value, allowed))


def _of_format(found: _Found) -> Iterator[Fault]:
    read = FORMATS[found.asked]
    yield Fault(found.path, partial(wording.unreadable, found.path, found.value, read))


def _of_form(found: _Found) -> Iterator[Fault]:
    """Forms and sizes, of values and of names."""
    path = (*found.path, found.value) if found.of_name else found.path
    if found.word != "pattern":
        say = partial(wording.out_of_range, path, found.value, found.word, found.asked)
        yield Fault(path, say, found.of_name)
    elif found.value or "minLength" not in found.field:  # else an empty text is told for its length
        form = partial(wording.wrong_form, path, found.value, found.asked, found.field)
        yield Fault(path, partial(form, name=found.of_name), found.of_name)


_FINDERS: Mapping[str, Callable[[_Found], Iterator[Fault]]] = {
    "additionalProperties": _of_unknown,
    "required": _of_missing,
    "dependentRequired": _of_company,
    "anyOf": _of_choice,
    "oneOf": _of_choice,
    "type": _of_type,
    "enum": _of_value,
    "const": _of_value,
    "format": _of_format,
}
