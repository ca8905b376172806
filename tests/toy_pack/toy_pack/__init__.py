"""Somebody else's rules: one that works, one that raises, one that says nothing. All invented."""

from __future__ import annotations

from collections.abc import Iterable
from importlib.resources import files

from dietcheck.contract import CONTRACT, Check, Diet, Pack, Rule, Severity, Verdict, hookimpl


class NoCarrots:
    """Objects at carrots, which are harmless: whatever it finds can only come from this pack."""

    @hookimpl
    def describe(self) -> Rule:
        """What this rule is."""
        return Rule("toy-no-carrots", "No carrots", files(__name__))

    @hookimpl
    def judge_group(self, diet: Diet) -> Iterable[Check]:
        """A breach where a carrot is offered."""
        places = tuple(o.line.place for o in diet.offers() if o.line.food.id == "carrot")
        yield Check(
            verdict=Verdict.BREACH if places else Verdict.KEPT,
            about="carrots",
            message=f"{diet.group.called}: carrots.",
            severity=Severity.HIGH,
            places=places,
        )


class Raises(NoCarrots):
    """A rule with a mistake in it."""

    @hookimpl
    def describe(self) -> Rule:
        """What this rule is."""
        return Rule("toy-raises", "Raises", files(__name__))

    @hookimpl
    def judge_group(self, diet: Diet) -> Iterable[Check]:
        """Fails on every group."""
        raise RuntimeError(f"toy mistake over {diet.group.id}")


class SaysNothing(NoCarrots):
    """A rule that forgets to answer."""

    @hookimpl
    def describe(self) -> Rule:
        """What this rule is."""
        return Rule("toy-says-nothing", "Says nothing", files(__name__))

    @hookimpl
    def judge_group(self, diet: Diet) -> Iterable[Check]:  # noqa: ARG002
        """No check, whatever the diet."""
        return ()


class Older:
    """A pack that was written for an older contract."""

    @hookimpl
    def pack(self) -> Pack:
        """What it brings."""
        return Pack("toy_of_an_older_contract", "1.0", CONTRACT - 1, (NoCarrots(),))


class Faulty:
    """A pack of which two rules fail and one works."""

    @hookimpl
    def pack(self) -> Pack:
        """What it brings."""
        return Pack("toy_with_faults", "1.0", CONTRACT, (Raises(), SaysNothing(), NoCarrots()))


@hookimpl
def pack() -> Pack:
    """What the sound pack brings."""
    return Pack("toy_pack", "1.0", CONTRACT, (NoCarrots(),))


older = Older()
faulty = Faulty()
