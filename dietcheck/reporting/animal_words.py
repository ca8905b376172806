"""Who an animal is, in a line: what a vet and an inspector look at first."""

from __future__ import annotations

from dietcheck.collection.animals import Animal
from dietcheck.nutrition.diet import Diet
from dietcheck.quantities import format_interval
from dietcheck.reporting import words


def animal_line(animal: Animal, diet: Diet) -> str:
    """Who the animal is: stage, birth, health, what it must never have, weight and condition."""
    weighing = animal.weighed(diet.on)
    said = [animal.stage or "adult"]
    if animal.sex:
        said.append(animal.sex)
    if animal.born:
        said.append(f"born {animal.born}")
    said.extend(animal.health)
    if animal.plan is not None:
        said.append(f"on a {animal.plan.kind} plan")
    if weighing is None:
        said.append("no weight on file")
    else:
        days = (diet.on - weighing.on).days
        old = ", too old to count" if diet.mass_of(animal) is None else ""
        kilos = format_interval(weighing.mass / 1000, "kg", 4)
        ago = f"{days} {'day' if days == 1 else 'days'} ago{old}"
        said.append(f"{kilos} on {words.day(weighing.on)} ({ago})")
    condition = animal.condition
    if condition is not None and condition.on <= diet.on:
        score = f"{condition.score.normalize():f}/{condition.of}"
        said.append(f"condition {score} on {words.day(condition.on)}")
    if animal.never:
        said.append(f"never: {', '.join(animal.never[:6])}")
    return ", ".join(said)
