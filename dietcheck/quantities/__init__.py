"""Quantities as records write them: ranges, units, and the readers of amounts, limits and dates."""

from dietcheck.quantities.amounts import (
    Amount,
    Per,
    read_amount,
    read_count,
    read_density,
    read_mass,
    read_share,
)
from dietcheck.quantities.bound import Basis, Bound, read_bound
from dietcheck.quantities.content import Content, read_content
from dietcheck.quantities.dates import (
    Period,
    read_born,
    read_date,
    read_month_day,
    read_period,
)
from dietcheck.quantities.grammar import QuantityError
from dietcheck.quantities.interval import (
    UNKNOWN,
    ZERO,
    Interval,
    Standing,
    between,
    exact,
    total,
    total_of_products,
)
from dietcheck.quantities.ratio import ratio
from dietcheck.quantities.show import format_bound, format_interval, format_mass
from dietcheck.quantities.units import BASE_UNIT, UNITS, Dimension, Unit

__all__ = [
    "BASE_UNIT",
    "UNITS",
    "UNKNOWN",
    "ZERO",
    "Amount",
    "Basis",
    "Bound",
    "Content",
    "Dimension",
    "Interval",
    "Per",
    "Period",
    "QuantityError",
    "Standing",
    "Unit",
    "between",
    "exact",
    "format_bound",
    "format_interval",
    "format_mass",
    "ratio",
    "read_amount",
    "read_born",
    "read_bound",
    "read_content",
    "read_count",
    "read_date",
    "read_density",
    "read_mass",
    "read_month_day",
    "read_period",
    "read_share",
    "total",
    "total_of_products",
]
