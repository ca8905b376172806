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
from dataclasses import dataclass
from importlib.resources.abc import Traversable
from typing import TYPE_CHECKING, Literal

import pluggy

if TYPE_CHECKING:
    from dietcheck.nutrition.diet import Diet
    from dietcheck.screening.checks import Check
    from dietcheck.screening.limits import Limits
    from dietcheck.screening.world import World

PROJECT = "dietcheck"
CONTRACT = 1  # raised when a rule written for the older contract would no longer work

hookspec = pluggy.HookspecMarker(PROJECT)
hookimpl = pluggy.HookimplMarker(PROJECT)


@dataclass(frozen=True, slots=True)
class Pack:
    """A set of rules that is installed together.

    `contract` is the CONTRACT number the rules were written for. `sources` is the YAML
    bibliography that the keys in the rules' tables lead to.
    """

    name: str
    version: str
    contract: int
    rules: tuple[object, ...]
    sources: Traversable | None = None


@dataclass(frozen=True, slots=True)
class Rule:
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
        """Called once a run, for what no single group shows. Yield at least one check."""


Scope = Literal["group", "collection"]
