"""dietcheck screens the written diets of an animal collection before they reach a bowl."""

__version__ = "0.1.0"
