"""The hooks of a rule pack, in the order in which they are called. This file is the manual.

A pack is an installed distribution with an entry point in the group `dietcheck`; the name of the
entry point is the name that a collection writes under `packs`, and it leads to a module or object
with a `pack` hook. Nothing is ever loaded from the repository under check.

A rule is a module or object with the hooks `describe` and one of the two `judge_…` hooks. It
reads servings, rations and records through the objects it is given, and yields checks. It never
reads files, never prints and keeps nothing between calls: the same diet always gives the same
checks.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Literal

import pluggy
from msgspec import Struct

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

    from dietcheck.collection.foods import Food
    from dietcheck.nutrition.diet import Diet
    from dietcheck.screening.checks import Check, Severity
    from dietcheck.screening.limits import Limits, SourceRef
    from dietcheck.screening.world import World

PROJECT = "dietcheck"
CONTRACT = 1  # raised when a rule written for the older contract would no longer work

hookspec = pluggy.HookspecMarker(PROJECT)
hookimpl = pluggy.HookimplMarker(PROJECT)


class Pack(Struct, frozen=True):
    """A set of rules that is installed together.

    `contract` is the CONTRACT number the rules were written for. `sources` is the YAML
    bibliography that the keys in the rules' tables lead to.
    """

    name: str
    version: str
    contract: int
    rules: tuple[object, ...]
    sources: Traversable | None = None


class Rule(Struct, frozen=True):
    """What a rule is.

    `id` is its folder's name with hyphens. `title` names what it guards, in a few words. `folder`
    holds its `limits.yaml` (when `has_limits`) and `about.md`, the explanation for a vet. A rule
    with `always_on` guards the tool's own honesty and can neither be switched off nor re-graded,
    and what it finds can never be accepted.
    """

    id: str
    title: str
    folder: Traversable
    has_limits: bool = False
    always_on: bool = False


Topic = Literal[
    "harm",  # what the food is or may be that harms, how, and in which part and form
    "no harm in this form",  # the same, where the food as it stands is not the part or form
    "harmed",  # a taxon that it harms, under the last harm
    "less affected",  # a taxon that it harms less
    "dose",  # a published dose
    "content",  # how much of a substance a product holds
    "note",  # what else to know of the last harm
    "claim",  # something said about it that is more, or less, than is known
    "meaning",  # one of several things that the word may mean
]


class Knowledge(Struct, frozen=True, kw_only=True):
    """Something a rule knows about a food apart from any diet: told on request, never judged.

    `about` names the harm, the claim or the word; what belongs together bears the same one.
    `taxon` and `whom` are the animals, by scientific and by English name. `severity` is the
    gravest a finding can have, `evidence` the rule's own grade, `question` what has to be known
    before it is certain. `seen` tells how the sources were read; without sources it is memory.
    """

    topic: Topic
    about: str
    text: str
    taxon: str = ""
    whom: str = ""
    severity: Severity | None = None
    evidence: str = ""
    advice: str = ""
    question: str = ""
    sources: tuple[SourceRef, ...] = ()
    seen: str = ""


class Hooks:
    """The hook specifications."""

    @hookspec(firstresult=True)
    def pack(self) -> Pack:  # type: ignore[empty-body]
        """Called once, when the pack is loaded, on the pack alone."""

    @hookspec
    def describe(self) -> Rule:  # type: ignore[empty-body]
        """Called once on each rule, before anything is judged."""

    @hookspec
    def judge_group(self, diet: Diet, limits: Limits) -> Iterable[Check]:  # type: ignore[empty-body]
        """Called once for each group. Yield at least one check for every group.

        When there is nothing to judge say so with `not_applicable`; a rule that stays silent
        about a group is reported as a fault of the rule.
        """

    @hookspec
    def judge_collection(self, world: World, limits: Limits) -> Iterable[Check]:  # type: ignore[empty-body]
        """Called once a run, for what no single group shows. Yield at least one check.

        A check that is about one group after all names it in `group`.
        """

    @hookspec
    def about_food(self, food: Food) -> Iterable[Knowledge]:  # type: ignore[empty-body]
        """Optional. Called when somebody looks a food up; yield what the rule knows of it.

        A word that no list holds comes as a food with `known` False and that word as its name.
        """

    @hookspec
    def food_names(self) -> Iterable[str]:  # type: ignore[empty-body]
        """Optional. The names that `about_food` knows, to find what a slip of the pen meant."""


Scope = Literal["group", "collection"]
