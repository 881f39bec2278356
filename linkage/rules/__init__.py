"""Rules: what is right and wrong with a linkage, with its numbers."""

from linkage.rules.engine import judge
from linkage.rules.examine import Examined, examine
from linkage.rules.finding import Cure, Finding, Verdict, worst
from linkage.rules.judged import Judged
from linkage.rules.rule import Outcome, Rule, Silence

__all__ = [
    "Cure",
    "Examined",
    "Finding",
    "Judged",
    "Outcome",
    "Rule",
    "Silence",
    "Verdict",
    "examine",
    "judge",
    "worst",
]
