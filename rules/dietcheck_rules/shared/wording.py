"""How the limits of several rules are put into words: the bound, its basis, where it stands."""

from dietcheck.contract import Interval, Limit, Standing, format_bound, format_interval

_PER = {
    "dry matter": "of dry matter",
    "as fed": "as fed",
    "unstated": "as fed",  # the source leaves it open: what is compared is said in standing_words
    "body mass": "of body mass",
    "energy": "of energy",
}
_SPANS = {
    "meal": "in one meal",
    "day": "in a day",
    "7 days": "over 7 days",
    "14 days": "over 14 days",
    "rota": "over the rota",
    "two feeds": "running",
}


def figure_words(value: Interval, limit: Limit) -> str:
    """A figure in the limit's own unit and basis, never rounded across the limit."""
    against = [bound for bound in (limit.at_least, limit.at_most) if bound is not None]
    unit = unit_words(limit)
    if limit.basis == "count" and value.is_exact and value.low == 1:
        unit = unit.removesuffix("s")
    return format_interval(value, unit, against=against)


def unit_words(limit: Limit) -> str:
    """The unit with its basis: `g per kg body mass`, `% of dry matter`."""
    top, _, below = limit.unit.partition("/")
    if top == "%":
        return f"% {_PER.get(limit.basis, limit.basis)}"
    if not below or below == "animal":
        return top
    basis = {"body mass": "kg body mass", "metabolic body mass": "kg^0.75"}.get(limit.basis)
    of_food = "as fed" if limit.basis == "unstated" else limit.basis
    return f"{top} per {basis or f'{below} {of_food}'}"


def span_words(limit: Limit) -> str:
    """Over how long the limit is reckoned."""
    return _SPANS.get(limit.over, f"over {limit.over}")


def limit_words(limit: Limit) -> str:
    """The limit itself: `at most 6 g per kg body mass`."""
    parts = [("at least", limit.at_least), ("at most", limit.at_most)]
    said = [f"{word} {format_bound(bound)}" for word, bound in parts if bound is not None]
    unit = unit_words(limit)
    if limit.basis == "count" and limit.at_most == 1:
        unit = unit.removesuffix("s")
    return f"{' and '.join(said)} {unit}".rstrip()


def bound_words(limit: Limit) -> str:
    """The limit with what it stands on."""
    return f"{limit_words(limit)} ({standing_words(limit)})"


def standing_words(limit: Limit) -> str:
    """What kind of figure the limit is, so that habit never poses as print."""
    if limit.standing is Standing.SITE_RULE:
        return f"site rule of {limit.set_by}, {limit.on}"
    if limit.standing is Standing.PUBLISHED:
        cited = ", ".join(source.key for source in limit.sources)
        open_basis = "; basis not stated, compared as fed" if limit.basis == "unstated" else ""
        return f"published, {cited}{open_basis}"
    if limit.standing is Standing.COMMON_PRACTICE:
        return "common practice, no source; the vet sets this"
    return limit.standing.value
