"""Where the feeds of a day lie in it: in the order of the settings, extra ones by their names."""

from collections.abc import Iterable, Sequence

CLOCK = (
    "dawn", "early morning", "breakfast", "am", "morning", "mid-morning", "noon", "midday",
    "lunch", "mid-afternoon", "pm", "afternoon", "late afternoon", "evening", "dusk", "night",
)  # fmt: skip
# Slot → its place in the day; slots without one are left out.
SlotOrder = dict[str, tuple[int, int]]


def slot_order(feeds: Sequence[str], extra: Iterable[str]) -> SlotOrder:
    """Where each slot lies in the day, as far as the settings and the names tell."""
    order = {slot: (number, 0) for number, slot in enumerate(feeds)}
    hours = [_hour(slot) for slot in feeds]
    if -1 in hours or hours != sorted(set(hours)):
        return order
    for slot in extra:
        hour = _hour(slot)
        if hour >= 0 and slot not in order:
            earlier = sum(known <= hour for known in hours)
            order[slot] = (earlier - 1, 1 + hour)
    return order


def _hour(slot: str) -> int:
    return CLOCK.index(slot.casefold()) if slot.casefold() in CLOCK else -1
