"""Springs: wire, force laws and stresses."""

from linkage.springs.law import SpringLaw, spring_law
from linkage.springs.materials import WIRES, Shares, Wire, wire_named
from linkage.springs.numbers import LEAST_INDEX
from linkage.springs.place import law_in, rated, spring_laws
from linkage.springs.stress import Stress, stresses

__all__ = [
    "LEAST_INDEX",
    "WIRES",
    "Shares",
    "SpringLaw",
    "Stress",
    "Wire",
    "law_in",
    "rated",
    "spring_law",
    "spring_laws",
    "stresses",
    "wire_named",
]
