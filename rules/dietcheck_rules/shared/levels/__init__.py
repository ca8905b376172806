"""How much of one nutrient a whole diet holds, set against floors and ceilings. Used by the rules
on calcium, iron, vitamin C and vitamin D, which differ in their tables and in what they add."""

from dietcheck_rules.shared.levels.cases import Case
from dietcheck_rules.shared.levels.gauge import Gauge
from dietcheck_rules.shared.levels.judge import Judge
from dietcheck_rules.shared.levels.sides import applying, sides
from dietcheck_rules.shared.levels.spans import Span, by_stage, spans

__all__ = [
    "Case",
    "Gauge",
    "Judge",
    "Span",
    "applying",
    "by_stage",
    "sides",
    "spans",
]
