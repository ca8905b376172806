"""Changes of which nothing grave may come."""

from __future__ import annotations

from random import Random

from tests.seeded.amounts import WEIGHT
from tests.seeded.park import Park, lines
from tests.seeded.registry import Broken, file_of_sheet, harmless


@harmless
def nothing(park: Park, rng: Random) -> Broken:
    return Broken("", "nothing")


@harmless
def other_order(park: Park, rng: Random) -> Broken:
    names = list(park.files)
    rng.shuffle(names)
    park.files = {name: dict(reversed(park.files[name].items())) for name in names}
    return Broken("", "records and keys in another order")


@harmless
def other_words(park: Park, rng: Random) -> Broken:
    for sheet in park.sheets().values():
        sheet["reason"] = "reviewed, nothing changed"
    return Broken("", "other reasons")


@harmless
def a_little_more_or_less(park: Park, rng: Random) -> Broken:
    """One line of a sheet by up to 3 %: less than a kitchen scale and a spoon differ.

    But not the banana that is accepted for a sick animal: that is bound to the amount as written,
    so that changing it ends the acceptance is right and no false alarm.
    """
    group = rng.choice(sorted(park.sheets()))
    accepted = {
        one["food"]
        for signed in park.of("sign-off").values()
        for one in signed.get("accepts", ())
        if one["group"] == group
    }
    found = [
        line
        for _, line in lines(park.sheets()[group])
        if WEIGHT.match(line["amount"]) and line["food"] not in accepted
    ]
    if not found:
        return Broken("", "nothing")
    line = rng.choice(found)
    told = WEIGHT.match(line["amount"])
    assert told
    line["amount"] = f"{float(told[1]) * rng.uniform(0.97, 1.03):.4g} {told[2]} per {told[3]}"
    return Broken(file_of_sheet(park, group), line["food"])


@harmless
def meals_written_in_another_order(park: Park, rng: Random) -> Broken:
    for sheet in park.sheets().values():
        for held in sheet["meals"].values():
            rng.shuffle(held)
    return Broken("", "lines in another order")


@harmless
def a_spoon_of_a_plain_vegetable(park: Park, rng: Random) -> Broken:
    """A vegetable that the park has and these animals know, 1 % more of the day's food."""
    group, food, amount = rng.choice(
        [("tapir", "carrot", "20 g"), ("capybara", "celery", "20 g"), ("wallaby", "romaine", "5 g")]
    )
    meal = next(iter(park.sheets()[group]["meals"].values()))
    meal.append({"food": food, "amount": f"{amount} per animal", "cut": "grated"})
    return Broken(file_of_sheet(park, group), f"{group}: {amount} of {food} more")
