"""What counts as concentrate, and how figures of this rule are put into words."""

from dietcheck.contract import Alike, Check, Diet, Limit, Severity, Verdict
from dietcheck_rules.shared.class_shares import Share
from dietcheck_rules.shared.wording import standing_words

CONCENTRATE = Share(
    "concentrate-share", "compound feed, grain and bread make", ("compound feed", "grain", "bakery")
)


def backing(limit: Limit) -> str:
    """Where the limit stands, and that a figure from memory is to be checked."""
    memory = "; from memory, check before use" if limit.seen == "memory" else ""
    return f"{standing_words(limit)}{memory}"


def who(diet: Diet, alike: Alike) -> str:
    """The group and the worst animal, with how many more there are."""
    more = len(alike.animals) - 1
    return f"{diet.group.called}, {alike.worst.animal.called}" + (
        f" (and {more} more)" if more else ""
    )


def not_countable(diet: Diet, limit: Limit, what: str, remedy: str) -> Check:
    """A limit, as a rule one of the house, in a unit that this rule cannot count in."""
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=f"{limit.quantity} on {limit.basis}",
        severity=Severity.MEDIUM,
        message=f"{diet.group.called}: {what} cannot be counted against the limit as it is "
        f"written ({backing(limit)}).",
        advice=remedy,
        limit=limit,
        settles="a limit in a unit that this rule can count in",
        places=(limit.place,) if limit.place else (),
    )
