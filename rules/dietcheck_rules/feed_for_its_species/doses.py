"""How much of a medicine an animal would get, against published harmful doses. Shown, never used
to clear: no dose makes a medicated feed right for an animal it is not made for.
"""

from __future__ import annotations

from msgspec import Struct

from dietcheck.contract import Diet, Interval, Taxon, exact, find_taxon, format_interval
from dietcheck_rules.feed_for_its_species.feeds import Medicine
from dietcheck_rules.feed_for_its_species.substances import Dose
from dietcheck_rules.toxic_item.exposure import Exposure
from dietcheck_rules.toxic_item.words import any_holds, tokens

_IN_FEED = "mg/kg feed"
_IN_BODY = ("mg/kg body mass", "mg/kg body mass/day")


class Reckoning(Struct, frozen=True):
    """What could be reckoned, in a few words and in steps, with the doses it was held against."""

    said: str
    working: tuple[str, ...] = ()
    doses: tuple[Dose, ...] = ()


def reckon(diet: Diet, exposure: Exposure, medicine: Medicine) -> Reckoning:
    """The medicine in the feed and on the worst plate, or why neither can be reckoned."""
    if medicine.strength is None:
        return Reckoning("no strength is written, so no dose can be reckoned")
    strength = exact(medicine.strength)
    written = f"{format_interval(strength, 'mg')} per kg of feed"
    dose_lines: list[str] = []
    used: list[Dose] = []
    said = written
    in_feed = _lowest(diet.group.taxon, medicine, (_IN_FEED,))
    if in_feed is not None:
        used.append(in_feed)
        share = format_interval(strength / exact(in_feed.low) * 100, "%")
        dose_lines.append(f"{written} = {share} of {_dose_words(in_feed)}")
    if (per_kg := _most_per_kg(diet, exposure, strength)) is not None:
        value, line = per_kg
        dose_lines.append(line)
        said += f", up to {format_interval(Interval(value.high, value.high), 'mg')} per kg of body"
        said += " mass a day"
        if (in_body := _lowest(diet.group.taxon, medicine, _IN_BODY)) is not None:
            used.append(in_body)
            share = format_interval(value / exact(in_body.low) * 100, "%")
            dose_lines.append(f"= {share} of {_dose_words(in_body)}")
    else:
        said += "; without a current weighing no dose per kg of body mass can be reckoned"
    return Reckoning(said, tuple(dose_lines), tuple(used))


def _most_per_kg(diet: Diet, exposure: Exposure, strength: Interval) -> tuple[Interval, str] | None:
    worst: tuple[Interval, str] | None = None
    for animal in exposure.animals(diet):
        mass, grams = diet.mass_of(animal), exposure.worst_day(diet, animal)
        if mass is None or mass.low <= 0 or not grams.is_bounded:
            continue
        value = grams * strength / mass  # g × mg/kg ÷ g = mg per kg
        if worst is None or value.high > worst[0].high:
            line = (
                f"{animal.called}: {format_interval(grams, 'g')} × "
                f"{format_interval(strength, 'mg')} per kg ÷ {format_interval(mass / 1000, 'kg')} "
                f"= {format_interval(value, 'mg')} per kg of body mass on the worst day"
            )
            worst = value, line
    return worst


def _lowest(taxon: Taxon, medicine: Medicine, units: tuple[str, ...]) -> Dose | None:
    """The lowest harmful dose: of the animal's own kin where there is one, else of any other."""
    if medicine.substance is None:
        return None
    name = (tokens(medicine.name),)
    fitting = [
        dose
        for dose in medicine.substance.doses
        if dose.unit in units and any_holds(name, (dose.substance,))
    ]
    own = [dose for dose in fitting if taxon.is_in(dose.taxon)]
    return min(own or fitting, key=lambda dose: dose.low, default=None)


def _dose_words(dose: Dose) -> str:
    kin = find_taxon(dose.taxon)
    whose = kin.english_name if kin else dose.taxon
    cited = ", ".join(dose.sources) or "from memory"
    return (
        f"the lowest {dose.kind} dose to compare, {dose.low} {dose.unit} in {whose} "
        f"({dose.effect}; {cited}, read as {dose.seen})"
    )
