"""The caution in one line that goes with every result, printed or drawn.

Not here: all cautions (`report.cautions`).
"""

from typing import Final

CAUTION: Final = (
    "Estimate from measurements. Prove it on the vehicle, engine off, before it runs."
)
