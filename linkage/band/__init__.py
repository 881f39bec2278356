"""How sure a layout is: what measuring errors and wear make of its findings."""

from linkage.band.effects import Effect, Effects, effects
from linkage.band.found import Answer, Band, Chance
from linkage.band.sampled import band

__all__ = ["Answer", "Band", "Chance", "Effect", "Effects", "band", "effects"]
