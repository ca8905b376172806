"""What several rules need alike: words for limits, reach, shares by class, nutrient levels.

No rule lives here. A rule imports from here and from the contract, and from no other rule.
"""
