"""Which groups a draft can matter to, so that a question is answered without judging the others.

Sheets, rotas and treats are about their own group, those it can get at or that can get at its food,
and whatever group they name. A record of any other kind can matter to everybody.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from dietcheck.collection.collection import Collection
from dietcheck.reading import Repository

OF_ONE_GROUP = frozenset({"diet sheet", "rota", "treats"})


def concerned(repository: Repository, *collections: Collection) -> frozenset[str]:
    """The groups; `collections` are the versions with the drafts and without them."""
    drafts = [facts for facts in repository.files if facts.draft]
    everyone = frozenset(name for one in collections for name in one.groups)
    if any(facts.data is None or facts.kind not in OF_ONE_GROUP for facts in drafts):
        return everyone
    found: set[str] = set()
    to_look_at = {word for facts in drafts for word in _words(facts.data)} & everyone
    while to_look_at:
        found |= to_look_at
        near = {name for one in collections for name in _near(one, to_look_at)}
        to_look_at = (near & everyone) - found
    return frozenset(found)


def _near(collection: Collection, names: set[str]) -> Iterator[str]:
    """Groups within reach of some groups, either way, and all words in those groups' sheets."""
    for name, reached in collection.neighbours.items():
        reached_names = {group.id for group in reached}
        if name in names:
            yield from reached_names
        elif reached_names & names:
            yield name
    for name in names:
        for sheet in collection.sheets.get(name, ()):
            yield from _words(sheet.record)


def _words(data: object) -> Iterator[str]:
    if isinstance(data, str):
        yield data
    elif isinstance(data, Mapping):
        for value in data.values():
            yield from _words(value)
    elif isinstance(data, Sequence):
        for value in data:
            yield from _words(value)
