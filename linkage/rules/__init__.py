"""Checks: what is right and wrong with a linkage, with numbers and cures."""

from linkage.rules.examine import Examined, examine
from linkage.rules.finding import Cure, Finding, Verdict, worst
from linkage.rules.fitting import Check, check

__all__ = [
    "Check",
    "Cure",
    "Examined",
    "Finding",
    "Verdict",
    "check",
    "examine",
    "worst",
]
