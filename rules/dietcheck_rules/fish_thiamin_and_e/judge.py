"""How the days with fish stand against the advice: missing, too little, open, enough."""

from collections.abc import Iterable, Iterator

from msgspec.structs import replace

from dietcheck.contract import Applied, Check, Diet, Figure, Limit, Limits, Verdict, exact, hold
from dietcheck_rules.fish_thiamin_and_e import reports
from dietcheck_rules.fish_thiamin_and_e.fish import THIAMIN, VITAMINS, Fished, Given, Vitamin
from dietcheck_rules.shared.levels.spans import spans


def judge(diet: Diet, limits: Limits, stage: str | None, fished: list[Fished]) -> Iterator[Check]:
    """Every limit on fish, for the animals of one stage of life that get any."""
    fished = [one for one in fished if one.days]
    if not fished:
        return
    main = limits.applying(diet.group, "fish-share", stage=stage)
    assert main is not None
    assert main.limit.at_most is not None
    little = all((one.share * 100).stands(at_most=main.limit.at_most) == "inside" for one in fished)
    missing: dict[int, list[Given]] = {}
    for vitamin in VITAMINS:
        known: dict[int, Given] = {}
        days = [given for one in fished for given in one.given(vitamin, known)]
        floor = limits.applying(diet.group, vitamin.per_fish, stage=stage)
        assert floor is not None  # a default for every animal
        bare = [given for given in days if _is_missing(given, floor.limit)]
        for given in bare:
            missing.setdefault(id(given.span), []).append(given)
        left = [given for given in days if given not in bare]
        yield from _against(diet, _milder(floor, little), vitamin, left)
        if dose := limits.applying(diet.group, vitamin.dose, stage=stage):
            yield from _against(diet, _milder(dose, little), vitamin, left)
    yield from _missing(diet, limits, stage, missing.values(), little)
    yield from _of_dry_matter(diet, limits, stage, fished, main)


def _is_missing(given: Given, floor: Limit) -> bool:
    """Nothing is added, and what other feeds state does not reach the floor either."""
    if given.carriers or floor.at_least is None:
        return False
    stated = exact(given.other.low) / given.fish
    return stated.low < floor.at_least


def _milder(applied: Applied, little: bool) -> Applied:
    return replace(applied, limit=replace(applied.limit, severity="low")) if little else applied


def _against(diet: Diet, applied: Applied, vitamin: Vitamin, days: list[Given]) -> Iterator[Check]:
    per_animal = applied.limit.basis == "animal"
    by_figure = {}
    for given in days:
        value = given.in_all if per_animal else given.per_kg_fish
        figure = Figure(given.animal, value, given.span.occasions())
        by_figure[id(figure)] = (figure, given)
    for alike in hold((figure for figure, _ in by_figure.values()), applied.limit):
        given = by_figure[id(alike.worst)][1]
        if alike.verdict is Verdict.CANNOT_TELL:
            yield reports.open_question(diet, applied, vitamin, alike, given)
        else:
            yield reports.amount(diet, applied, vitamin, alike, given)


def _missing(
    diet: Diet,
    limits: Limits,
    stage: str | None,
    missing: Iterable[list[Given]],
    little: bool,
) -> Iterator[Check]:
    """One check for the days that lack the same: both vitamins, or one of them."""
    by_lack: dict[tuple[str, ...], list[Given]] = {}
    for several in missing:
        lack = tuple(dict.fromkeys(given.vitamin.title for given in several))
        by_lack.setdefault(lack, []).extend(several)
    for lack, days in by_lack.items():
        quantity = "fish-without-thiamin" if THIAMIN.title in lack else "fish-without-vitamin-e"
        applied = limits.applying(diet.group, quantity, stage=stage)
        assert applied is not None  # a default for every animal
        yield reports.missing(diet, _milder(applied, little), lack, days)


def _of_dry_matter(
    diet: Diet, limits: Limits, stage: str | None, fished: list[Fished], main: Applied
) -> Iterator[Check]:
    """The floor for the whole diet of taxa where more than some share of it is fish."""
    applied = limits.applying(diet.group, "thiamin-on-fish", stage=stage)
    if applied is None:
        return
    figures = []
    rations = {}
    for one in fished:
        for span in spans(diet, one.animal, "rota"):
            if (one.share * 100).stands(at_most=main.limit.at_most) != "past":
                continue
            value = span.ration.density(THIAMIN.key) * 1_000_000
            figure = Figure(one.animal, value, span.occasions())
            figures.append(figure)
            rations[id(figure)] = span.ration
    for alike in hold(figures, applied.limit):
        yield reports.dry_matter(diet, applied, alike, rations[id(alike.worst)])
