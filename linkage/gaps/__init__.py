"""How near a linkage comes to what is near it, and to itself.

Not here: what may be so near (`rules.gaps`), how it is drawn (`drawing.obstacles`).
"""

from linkage.gaps.found import Asked, Gaps, asked_of, gaps_of
from linkage.gaps.parts import Part

__all__ = ["Asked", "Gaps", "Part", "asked_of", "gaps_of"]
