"""The report for the vet: one self-contained page to read, print and sign."""

from dietcheck.reporting.html.page import render

__all__ = ["render"]
