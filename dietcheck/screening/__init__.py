"""The rule contract, the limits, running the rules, and what they find."""
