"""Checks: what is right and wrong with a linkage, with numbers and cures."""

from linkage.checks.examine import Examined, examine
from linkage.checks.finding import Cure, Finding, Verdict, worst
from linkage.checks.fitting import Check, check

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
