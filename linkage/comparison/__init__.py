"""Two layouts side by side: what changed, at which part the sense turns round, and why."""

from linkage.comparison.change import Change
from linkage.comparison.compared import Comparison, Side, compare
from linkage.comparison.match import Matching, Pair, match
from linkage.comparison.senses import Way
from linkage.comparison.trials import Trial, Tried
from linkage.comparison.turned import Turn, Turned
from linkage.comparison.units import Unit

__all__ = [
    "Change",
    "Comparison",
    "Matching",
    "Pair",
    "Side",
    "Trial",
    "Tried",
    "Turn",
    "Turned",
    "Unit",
    "Way",
    "compare",
    "match",
]
