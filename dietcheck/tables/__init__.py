"""Bundled facts: food composition, measures and taxonomy, one row a fact, each with a source."""
