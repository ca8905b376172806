"""What is said about the energy offered: the animal, the figure, the span, the arithmetic."""

from msgspec import Struct

from dietcheck.contract import (
    Animal,
    Check,
    Diet,
    EnergyNeed,
    Interval,
    Measure,
    Severity,
    Verdict,
    When,
    format_interval,
)
from dietcheck_rules.energy_for_maintenance import offer as offers
from dietcheck_rules.energy_for_maintenance.offer import Offered
from dietcheck_rules.energy_for_maintenance.yardsticks import AROUND, PLAUSIBLE, SPAN, Yardstick

PRACTICE = "common practice, no source; the vet sets this"


class Said(Struct, frozen=True, eq=False):
    """The check for some animals that stand alike; the offer and the yardstick are the worst's."""

    diet: Diet
    offer: Offered
    yardstick: Yardstick
    standing: str
    more: int

    def check(
        self,
        verdict: Verdict,
        severity: Severity,
        animals: tuple[str, ...],
        occasions: tuple[When, ...],
    ) -> Check:
        """The check with everything that a reader needs."""
        kept = verdict is Verdict.KEPT
        untold = verdict is Verdict.CANNOT_TELL
        return Check(
            verdict=verdict,
            about=_about(self.yardstick.kind, self.standing),
            severity=severity,
            message=self._message(),
            advice="" if kept else self._advice(),
            animals=animals,
            occasions=() if kept else occasions,
            measured=Measure(self.offer.kcal, "kcal a day", "metabolisable energy offered"),
            limit=self.yardstick.limit,
            others=self.yardstick.rows if len(self.yardstick.rows) > 1 else (),
            working=() if kept else self._working(),
            settles=offers.settles(self.offer) if untold else "",
            weak=() if kept else offers.weak(self.offer),
            places=() if kept else offers.places(self.diet, self.offer),
        )

    def _message(self) -> str:
        animal = self.offer.animal.called
        who = f"{self.diet.group.called}, {animal}{f' (and {self.more} more)' if self.more else ''}"
        said = f"{who}: {self._kcal()} a day offered"
        span, backing = self._span(), self._backing()
        match self.standing:
            case "inside":
                return f"{said}, within {span} ({backing})."
            case "across":
                return f"{said}; whether that keeps {span} ({backing}) cannot be told."
        far = self.standing.startswith("far")
        side = self.standing.removeprefix("far ")
        step = ""
        if far and self.yardstick.far is not None:
            bound = self.yardstick.far_above if side == "above" else self.yardstick.far_below
            assert bound is not None
            shown = format_interval(Interval(bound, bound), "kcal")
            step = f" It is {side} {shown} too, where a slip is likely ({PRACTICE})."
        return f"{said}, {side} {span} ({backing}).{step}"

    def _kcal(self) -> str:
        bounds = (
            self.yardstick.least,
            self.yardstick.most,
            self.yardstick.far_above,
            self.yardstick.far_below,
        )
        against = [bound for bound in bounds if bound is not None]
        return format_interval(self.offer.kcal, "kcal", against=against)

    def _span(self) -> str:
        least, most = self.yardstick.least, self.yardstick.most
        if least is None or most is None:
            only = most if least is None else least
            assert only is not None
            side = "at most" if least is None else "at least"
            return f"{side} {format_interval(Interval(only, only), 'kcal')}"
        return format_interval(Interval(least, most), "kcal")

    def _backing(self) -> str:
        if self.yardstick.kind == PLAUSIBLE:
            return (
                "limit not yet sourced: from resting use to twice the use of free-living animals, "
                f"{PRACTICE}{self._memory()}"
            )
        keys = ", ".join(source.key for source in self.yardstick.limit.sources)
        if self.yardstick.kind == AROUND:
            return f"60 to 150 % of one figure for many species, {keys}; the band is {PRACTICE}"
        spans = (
            "all that is published for the taxon" if len(self.yardstick.needs) > 1 else "published"
        )
        return f"{spans}, {keys}{self._memory()}"

    def _memory(self) -> str:
        used = [need for need in self.yardstick.needs if need.row.seen == "memory"]
        return "; partly from memory, check before use" if used else ""

    def _advice(self) -> str:
        if self.standing == "across":
            return "Get the figure named below, or ask the nutrition lead."
        if self.standing.startswith("far"):
            return (
                "Read the amounts and the weight again, then ask the vet before the sheet is fed."
            )
        return "Look at body condition and left-overs; ask the nutrition lead if they agree."

    def _working(self) -> tuple[str, ...]:
        mass = self.diet.mass_of(self.offer.animal)
        steps = offers.steps(self.offer)
        assert mass is not None  # else there is no yardstick
        per = self.offer.kcal / (mass / 1000).power34()
        steps.append(
            f"body mass {format_interval(mass / 1000, 'kg')}: "
            f"{format_interval(per, 'kcal per kg^0.75')}"
        )
        steps.extend(map(_formula, self.yardstick.needs))
        steps.append(f"held against: {self._span()} ({self._backing()})")
        notes = {row.note: row.id for row in self.yardstick.rows if row.note}
        steps.extend(f"{row}: {note}" for note, row in notes.items())
        return tuple(steps)


def no_mass(diet: Diet, animals: list[Animal]) -> Check:
    """Animals without a weighing that counts: no formula can be reckoned for them."""
    names = ", ".join(animal.called for animal in animals)
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about="energy without a body mass",
        severity=Severity.LOW,
        message=f"{diet.group.called}, {names}: no current weighing, so the energy offered cannot "
        "be held against a need.",
        advice="Weigh the animal and look again.",
        animals=tuple(animal.id for animal in animals),
        settles="a weighing that still counts as current",
        places=tuple(animal.place for animal in animals),
    )


def _about(kind: str, standing: str) -> str:
    what = {
        SPAN: "energy against the taxon's formulas",
        AROUND: "energy against one figure for many species",
        PLAUSIBLE: "energy for plausibility",
    }[kind]
    return what if standing == "inside" else f"{what}: {standing.removeprefix('far ')}"


def _formula(need: EnergyNeed) -> str:
    return f"{need.row.id} {need.described} = {format_interval(need.per_day, 'kcal')} a day"
