"""Finds the rule packs that a collection names, among what is installed, and asks for their rules.

Only entry points of installed distributions are looked at: no code is ever taken from the
repository under check.
"""

from __future__ import annotations

from collections.abc import Iterable
from types import FunctionType, ModuleType
from typing import Any, TypeGuard

import pluggy
from msgspec import Struct

from dietcheck.errors import JobError
from dietcheck.outside.packages import entry_points
from dietcheck.reading import read_trusted
from dietcheck.screening.hookspecs import CONTRACT, PROJECT, Hooks, Pack, Rule
from dietcheck.screening.watch import FOREIGN, Allowance, described


class LoadedRule(Struct, frozen=True):
    """A rule with its hooks, ready to be called one by one."""

    rule: Rule
    pack: Pack
    judge_group: Any | None
    judge_collection: Any | None
    about_food: Any | None = None
    food_names: Any | None = None


class PackError(JobError):
    """A pack is missing, does not load, or was written for another contract."""


def load_packs(names: Iterable[str]) -> tuple[LoadedRule, ...]:
    """The rules of the named packs in the order of the names. Raises PackError."""
    return tuple(rule for name in names for rule in rules_of(_pack(name)))


def rules_of(pack: Pack) -> tuple[LoadedRule, ...]:
    """The rules of a pack, each described and its hooks checked against the contract."""
    if pack.contract != CONTRACT:
        raise PackError(
            f'The rule pack "{pack.name}" was written for rule contract {pack.contract}; '
            f"this dietcheck has contract {CONTRACT}.",
            "Install the pack and dietcheck in versions that belong together.",
        )
    try:
        with Allowance(f"the pack {pack.name}"):
            loaded = tuple(_load_rule(pack, plugin) for plugin in pack.rules)
    except FOREIGN as error:  # whatever a pack raises must not end in a traceback
        raise PackError(
            f'A rule of the pack "{pack.name}" does not load: {described(error)}',
            "Tell the pack's authors; until it is mended nothing can be screened with it.",
        ) from error
    ids = [rule.rule.id for rule in loaded]
    if doubled := {rule_id for rule_id in ids if ids.count(rule_id) > 1}:
        raise PackError(
            f'The pack "{pack.name}" brings two rules called {", ".join(sorted(doubled))}.',
            "Tell the pack's authors.",
        )
    return loaded


def source_keys(pack: Pack) -> frozenset[str]:
    """The keys of a pack's bibliography; none when it has none that can be read."""
    if pack.sources is None:
        return frozenset()
    try:
        entries = read_trusted(pack.sources.read_bytes())["sources"]
        return frozenset(entry["key"] for entry in entries)
    except (OSError, ValueError, LookupError, TypeError):
        return frozenset()  # every citation is then found to lead nowhere


def _pack(name: str) -> Pack:
    found = tuple(entry_points(group=PROJECT, name=name))
    if len(found) != 1:
        why = "is not installed" if not found else "is installed more than once"
        raise PackError(
            f'The rule pack "{name}" {why}.',
            "Install it once beside dietcheck (in the hook: additional_dependencies), or ask for "
            "it no more where it is named: under packs in dietcheck.yaml, or with --pack.",
        )
    try:
        with Allowance(f"the pack {name}"):
            pack = _manager(found[0].load()).hook.pack()
    except FOREIGN as error:  # importing foreign code can raise anything
        raise PackError(
            f'The rule pack "{name}" does not load: {described(error)}',
            "Install it again, or tell its authors.",
        ) from error
    if not _is_pack(pack):
        raise PackError(
            f'The rule pack "{name}" does not say which rules it brings.',
            "Tell the pack's authors.",
        )
    return pack


def _is_pack(pack: object) -> TypeGuard[Pack]:
    return (
        isinstance(pack, Pack)
        and type(pack.name) is str
        and (pack.sources is None or callable(getattr(pack.sources, "read_bytes", None)))
    )


class _Manager(pluggy.PluginManager):
    """Passes over what cannot be a hook: to look closely at each name takes longer than loading."""

    def parse_hookimpl_opts(self, plugin: object, name: str) -> pluggy.HookimplOpts | None:
        """How a function is marked, or None."""
        if isinstance(plugin, ModuleType):
            found = vars(plugin).get(name)
            if isinstance(found, type) or not callable(found):
                return None
            if type(found) is FunctionType and not hasattr(found, f"{PROJECT}_impl"):
                return None
        return super().parse_hookimpl_opts(plugin, name)


def _manager(plugin: object) -> pluggy.PluginManager:
    manager = _Manager(PROJECT)
    manager.add_hookspecs(Hooks)
    manager.register(plugin)
    manager.check_pending()
    return manager


def _load_rule(pack: Pack, plugin: object) -> LoadedRule:
    manager = _manager(plugin)
    described = manager.hook.describe()
    if len(described) != 1 or not isinstance(described[0], Rule):
        raise TypeError(f"{plugin!r} does not describe exactly one rule")
    if not all(type(text) is str and text for text in (described[0].id, described[0].title)):
        raise TypeError(f"{plugin!r} describes a rule without a name or title")
    hook = manager.hook
    hooks = [hook.judge_group, hook.judge_collection, hook.about_food, hook.food_names]
    group, whole, about, names = (one if one.get_hookimpls() else None for one in hooks)
    if group is None and whole is None:
        raise TypeError(f"{described[0].id} judges nothing")
    return LoadedRule(described[0], pack, group, whole, about, names)
