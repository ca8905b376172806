"""A case: figures that stand alike against one limit."""

from msgspec import Struct

from dietcheck.contract import Alike, Applied, Food, Limit
from dietcheck_rules.shared.levels.gauge import Gauge
from dietcheck_rules.shared.levels.spans import Span


class Case(Struct, frozen=True, eq=False):
    """Figures that stand alike against one limit, the worst first, with the worst one's days.

    `silent` are the foods of those days that do not state what is measured.
    """

    gauge: Gauge
    applied: Applied
    alike: Alike
    span: Span
    silent: tuple[Food, ...]

    @property
    def limit(self) -> Limit:
        """The limit they are held against."""
        return self.applied.limit

    @property
    def is_floor(self) -> bool:
        """Whether too little is what the limit guards against."""
        return self.limit.at_least is not None
