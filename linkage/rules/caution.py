"""What goes in one line with every result, printed or drawn.

Not here: all cautions (`report.cautions`).
"""

from typing import Final

CAUTION: Final = (
    "Estimate from measurements. Prove it on the vehicle, engine off, before it runs."
)
#: What goes with the verdict where no force was asked for.
FORCES_LEFT_OUT: Final = "forces and springs were NOT judged"
GEOMETRY_ALONE: Final = f"geometry alone: {FORCES_LEFT_OUT}"
#: What stands under tables of a layout that has a hand lever too.
PEDALS: Final = (
    "The numbers are with the pedal, the hand lever pushed home; what fits is judged with "
    "both, and `check` tells what the hand lever does."
)
