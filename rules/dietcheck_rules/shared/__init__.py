"""What several rules need alike: words for limits, reach, shares by class, nutrient levels.

No rule lives here. A rule imports from here and from the contract. The one rule that others read
from is `toxic_item`: how it splits names into words and where an animal meets a food serve every
rule that asks what something is.
"""
