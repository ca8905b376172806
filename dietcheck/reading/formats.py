"""The formats of texts in records: each is read by the function that will use it later."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from dietcheck.quantities import (
    read_amount,
    read_born,
    read_bound,
    read_content,
    read_count,
    read_date,
    read_density,
    read_mass,
    read_month_day,
    read_period,
    read_share,
)

FORMATS: Mapping[str, Callable[[str], object]] = {
    "amount": read_amount,
    "born": read_born,
    "bound": read_bound,
    "content": read_content,
    "count": read_count,
    "date": read_date,
    "density": read_density,
    "mass": read_mass,
    "month-day": read_month_day,
    "period": read_period,
    "share": read_share,
}
