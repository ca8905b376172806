"""A medicine given in food has a prescriber, an animal, a dose and an end, and nobody else eats it.

The food that carries it is a line like any other, so the sums of the ration count it. Whether the
carrying food itself is kept from the animal is judged by individual-exclusion.
"""

from collections.abc import Iterable, Iterator

from dietcheck.contract import (
    Check,
    Diet,
    Medicine,
    Offer,
    Rule,
    Severity,
    Verdict,
    When,
    files,
    hookimpl,
    not_applicable,
)

VEHICLE = "medicine vehicle"
PRESCRIBES = "vet"  # the role under may_sign


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="medicine-in-food",
        title="Medicine in food is ordered, running, and eaten by its patient alone",
        folder=files(__name__),
    )


@hookimpl
def judge_group(diet: Diet) -> Iterable[Check]:
    """What is wrong or open about each line that carries a medicine; kept where nothing is."""
    carrying = [offer for offer in diet.offers() if _carries(offer)]
    if not carrying:
        yield not_applicable(
            "medicine in food", f"{diet.group.called}: no line carries a medicine."
        )
        return
    for offer in carrying:
        medicine = offer.line.medicine
        found = [_not_said(diet, offer)] if medicine is None else [*_judge(diet, offer, medicine)]
        yield from found or [_kept(diet, offer, medicine)]


def _carries(offer: Offer) -> bool:
    line = offer.line
    return line.medicine is not None or line.treat == VEHICLE or line.food.food_class == "medicine"


def _judge(diet: Diet, offer: Offer, medicine: Medicine) -> Iterator[Check]:
    yield from _out_of_course(diet, offer, medicine)
    if not _may_prescribe(diet, medicine):
        yield _said(
            diet,
            offer,
            about="prescriber",
            severity=Severity.HIGH,
            message=f'{_whom(diet, offer)}: {medicine.drug} in "{offer.line.food.id}" was ordered '
            f"by {medicine.by}, who is no vet under may_sign on {medicine.start}.",
            advice="Do not give it before a vet of this collection has ordered it.",
            at="by",
        )
    if not medicine.dose:
        yield _open(
            diet,
            offer,
            about="dose",
            message=f"{_whom(diet, offer)}: no dose is written for {medicine.drug} in "
            f'"{offer.line.food.id}".',
            settles="the dose, how often, as the vet ordered it",
        )
    if not offer.line.for_animals and len(diet.animals) > 1:
        yield _open(
            diet,
            offer,
            about="patient",
            message=f'{diet.group.called}: {medicine.drug} in "{offer.line.food.id}" names no '
            "animal, so all of the group are offered it.",
            settles="the animals it was ordered for, under for",
        )
    yield from _others(diet, offer, medicine)


def _out_of_course(diet: Diet, offer: Offer, medicine: Medicine) -> Iterator[Check]:
    """Givings after the last day of the course, or before its first."""
    late = [o for o in offer.occasions if o.on > medicine.until]
    early = [o for o in offer.occasions if diet.on <= o.on < medicine.start]
    name = f'{medicine.drug} in "{offer.line.food.id}"'
    if late and diet.on > medicine.until:
        days = (diet.on - medicine.until).days
        yield _said(
            diet,
            offer,
            about="course has ended",
            severity=Severity.HIGH,
            message=f"{_whom(diet, offer)}: the course of {name} ended on {medicine.until}, "
            f"{days} {'day' if days == 1 else 'days'} ago, and it is still being given.",
            advice="Stop giving it and ask the vet whether the course goes on.",
            at="until",
        )
    elif late:
        yield _said(
            diet,
            offer,
            about="course ends within the rota",
            severity=Severity.LOW,
            message=f"{_whom(diet, offer)}: the course of {name} ends on {medicine.until}, and "
            f"the rota gives it still on {late[0].on}.",
            advice="Write the sheet that follows, or ask the vet whether the course goes on.",
            at="until",
        )
    if early:
        yield _said(
            diet,
            offer,
            about="course has not begun",
            severity=Severity.HIGH,
            message=f"{_whom(diet, offer)}: the course of {name} begins on {medicine.start}, and "
            f"it is planned for {early[0].on}.",
            advice="Do not give it before the day the vet ordered.",
            at="from",
        )


def _may_prescribe(diet: Diet, medicine: Medicine) -> bool:
    return any(
        (signer.name, signer.role) == (medicine.by, PRESCRIBES)
        and signer.start <= medicine.start
        and (signer.until is None or medicine.start <= signer.until)
        for signer in diet.settings.signers
    )


def _others(diet: Diet, offer: Offer, medicine: Medicine) -> Iterator[Check]:
    """Animals of this group, or of others, that can eat what was not ordered for them."""
    named = offer.line.for_animals
    able = []
    if named and diet.group.fed != "singly":
        able = [animal.called for animal in diet.animals if animal.id not in named]
    able += [
        group.called
        for group in diet.collection.groups.values()
        if diet.group in diet.collection.reaching(group)
    ]
    if able:
        yield _said(
            diet,
            offer,
            about="others can eat it",
            severity=Severity.MEDIUM,
            message=f'{", ".join(able)}: can eat {medicine.drug} in "{offer.line.food.id}", '
            f"which was ordered for {_whom(diet, offer)}.",
            advice="Give it from the hand or behind a door, and write fed: singly once that is "
            "how it is done.",
            at="drug",
        )


# -- what is said ----------------------------------------------------------------------------------


def _not_said(diet: Diet, offer: Offer) -> Check:
    return _open(
        diet,
        offer,
        about="medicine not written down",
        message=f'{_whom(diet, offer)}: "{offer.line.food.id}" carries a medicine, and the line '
        "does not say which, by whose order and until when.",
        settles="medicine: {drug, by, dose, from, until} on the line",
    )


def _open(diet: Diet, offer: Offer, *, about: str, message: str, settles: str) -> Check:
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=about,
        food=offer.line.food.id,
        severity=Severity.MEDIUM,
        message=message,
        advice="Ask the vet, and write it into the line.",
        animals=_patients(diet, offer),
        occasions=_when(offer),
        settles=settles,
        places=(offer.line.place,),
    )


def _said(
    diet: Diet,
    offer: Offer,
    *,
    about: str,
    severity: Severity,
    message: str,
    advice: str,
    at: str,
) -> Check:
    return Check(
        verdict=Verdict.BREACH,
        about=about,
        food=offer.line.food.id,
        severity=severity,
        message=message,
        advice=advice,
        animals=_patients(diet, offer),
        occasions=_when(offer),
        places=(offer.line.place.at("medicine", at), offer.line.place.at("food")),
    )


def _kept(diet: Diet, offer: Offer, medicine: Medicine | None) -> Check:
    assert medicine is not None
    return Check(
        verdict=Verdict.KEPT,
        about="medicine in food",
        food=offer.line.food.id,
        severity=Severity.LOW,
        message=f'{_whom(diet, offer)}: {medicine.drug} in "{offer.line.food.id}", ordered by '
        f"{medicine.by}, runs until {medicine.until}.",
        animals=_patients(diet, offer),
        places=(offer.line.place,),
    )


def _whom(diet: Diet, offer: Offer) -> str:
    named = offer.line.for_animals
    called = [animal.called for animal in diet.animals if animal.id in named]
    return ", ".join(called) or ", ".join(named) or diet.group.called


def _patients(diet: Diet, offer: Offer) -> tuple[str, ...]:
    return offer.line.for_animals or tuple(animal.id for animal in diet.animals)


def _when(offer: Offer) -> tuple[When, ...]:
    return tuple(sorted({When(o.on, o.number, o.slot, o.meal) for o in offer.occasions}))
