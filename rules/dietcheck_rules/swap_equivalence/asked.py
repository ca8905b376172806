"""What is asked of a swap, as the limit table or the house has it."""

from __future__ import annotations

from decimal import Decimal

from msgspec import Struct

from dietcheck.contract import Diet, Limit, Limits, exact, format_interval
from dietcheck_rules.shared.set_figures import figure
from dietcheck_rules.shared.wording import standing_words

KEY, RISE, DAYS, FEEDS = "swap-key-nutrient", "swap-rise", "swap-days", "swap-feeds"
UNITS = {KEY: "0.8 times or 1.2 times", RISE: "1.1 times", DAYS: "3 days", FEEDS: "7 feeds"}
INFINITE = Decimal("Infinity")


class Asked(Struct, frozen=True):
    """The limits on key nutrient, rise of energy and sugars, days, and feeds of a whole meal."""

    key: Limit
    rise: Limit
    days: Limit
    feeds: Limit

    @classmethod
    def of(cls, limits: Limits, diet: Diet) -> Asked:
        """What is asked for a group."""
        return cls(*(figure(limits, diet, quantity) for quantity in UNITS))

    @property
    def key_least(self) -> Decimal:
        """The least of the former nutrient, in times."""
        return self.key.at_least or Decimal(0)

    @property
    def key_most(self) -> Decimal:
        """The most of the former nutrient, in times."""
        return INFINITE if self.key.at_most is None else self.key.at_most

    @property
    def up_by(self) -> Decimal:
        """By what part energy or sugars may go up."""
        return INFINITE if self.rise.at_most is None else self.rise.at_most - 1

    @property
    def days_off(self) -> Decimal:
        """How many days after its start a swap ends at the latest."""
        return INFINITE if self.days.at_most is None else self.days.at_most

    @property
    def feeds_most(self) -> Decimal:
        """In how many feeds of a rota a meal may take the place of another."""
        return INFINITE if self.feeds.at_most is None else self.feeds.at_most

    @property
    def key_words(self) -> str:
        """`80 to 120 % of it is asked`."""
        least, most = (_percent(value) for value in (self.key_least, self.key_most))
        return f"{least} to {most} % of it is asked" if most else f"{least} % of it is asked"

    @property
    def up_words(self) -> str:
        """`at most 10 %`."""
        return f"at most {_percent(self.up_by)} %"


def habit(limit: Limit) -> str:
    """What kind of figure it is."""
    return standing_words(limit)


def _percent(part: Decimal) -> str:
    return format_interval(exact(part * 100), "") if part.is_finite() else ""
