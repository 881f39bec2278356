"""Rules: what is right and wrong with a linkage, with numbers and cures."""

from linkage.rules.engine import Judged, judge
from linkage.rules.examine import Examined, examine
from linkage.rules.finding import Cure, Finding, Verdict, worst
from linkage.rules.fitting import Check, check
from linkage.rules.rule import Outcome, Rule, Silence

__all__ = [
    "Check",
    "Cure",
    "Examined",
    "Finding",
    "Judged",
    "Outcome",
    "Rule",
    "Silence",
    "Verdict",
    "check",
    "examine",
    "judge",
    "worst",
]
