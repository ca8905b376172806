"""Whether the sheet before gave a supplement that the present one leaves out."""

from dietcheck.contract import Diet, DietSheet

ADDED = frozenset({"supplement", "mineral"})


def former_words(diet: Diet, sheet: DietSheet | None) -> str:
    """Names the supplements of the sheet before this one that are gone, in a sentence."""
    if sheet is None:
        return ""
    before = [s for s in diet.collection.sheets.get(diet.group.id, ()) if s.start < sheet.start]
    if not before:
        return ""
    now = {line.food.id for meal in sheet.meals.values() for line in meal.lines}
    gone = dict.fromkeys(
        line.food.name
        for meal in before[-1].meals.values()
        for line in meal.lines
        if line.food.food_class in ADDED and line.food.id not in now
    )
    return f" The sheet of {before[-1].start} had {', '.join(gone)}." if gone else ""
