"""One browse as it is fed to a group, ready to be reported on."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from dietcheck.contract import Check, Diet, Food, Offer, Severity, SourceRef, Verdict, When


class Fed(Struct, frozen=True, eq=False):
    """A browse and the lines of one group that bring it."""

    diet: Diet
    food: Food
    offers: tuple[Offer, ...]

    @property
    def called(self) -> str:
        """The group and the browse, for the start of a message."""
        mixes = dict.fromkeys(
            offer.line.food.id for offer in self.offers if offer.line.food is not self.food
        )
        inside = f" in {', '.join(mixes)}" if mixes else ""
        plant = f" ({self.food.organism})" if self.food.organism else ""
        return f'{self.diet.group.called}: "{self.food.id}"{inside}{plant}'

    def check(
        self,
        verdict: Verdict,
        about: str,
        message: str,
        severity: Severity = Severity.LOW,
        *,
        advice: str = "",
        settles: str = "",
        working: Iterable[str] = (),
        weak: Iterable[str] = (),
        sources: Iterable[str] = (),
    ) -> Check:
        """A check on this browse: who gets it, when, on which lines."""
        occasions = {
            When(o.on, o.number, o.slot, o.meal) for one in self.offers for o in one.occasions
        }
        record = (self.food.place,) if self.food.known else ()
        return Check(
            verdict=verdict,
            about=about,
            food=self.food.id,
            severity=severity,
            message=f"{self.called} {message}",
            advice=advice,
            animals=tuple(animal.id for animal in self.diet.animals),
            occasions=tuple(sorted(occasions)),
            settles=settles,
            working=tuple(working),
            weak=tuple(weak),
            places=(*(one.line.place.at("food") for one in self.offers), *record),
            sources=tuple(SourceRef(key) for key in dict.fromkeys(sources)),
        )
