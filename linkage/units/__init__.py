"""Units at the edge: text with a unit in, SI out, and back for people."""

from linkage.units.convert import from_si, to_si
from linkage.units.grammar import Parsed, number_pattern, parse
from linkage.units.say import inch_fraction, say_in, spoken_words
from linkage.units.table import KINDS, UNITS, canonical, words

__all__ = [
    "KINDS",
    "UNITS",
    "Parsed",
    "canonical",
    "from_si",
    "inch_fraction",
    "number_pattern",
    "parse",
    "say_in",
    "spoken_words",
    "to_si",
    "words",
]
