"""Shares of the diet by food class against floors and ceilings. Used by the rules on roughage,
concentrate and the balance of the diet, which differ in their tables and in what they add."""

from dietcheck_rules.shared.class_shares.judge import by_stage, judge_shares
from dietcheck_rules.shared.class_shares.shares import Share
from dietcheck_rules.shared.class_shares.spans import OVER, Span, spans

__all__ = ["OVER", "Share", "Span", "by_stage", "judge_shares", "spans"]
