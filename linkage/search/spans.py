"""What may change at a rod: ranges of length and angle for its two arms.

Not here: trying them (`search.arms`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.records import dataclass
from linkage.search.changes import ANGLE_STEP, length_step

if TYPE_CHECKING:
    from linkage.model import Arm
    from linkage.model.columns import FloatArray

#: Coarse steps; the best are then tried again about themselves in fine ones.
COARSE_ANGLE: Final = math.radians(6)
COARSE_LENGTH: Final = 4e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Values that an arm may take about a middle.

    Parameters
    ----------
    turn : float
        How far its middle lies from where the arm stands now. [rad]
    either : float
        How far from the middle it may be turned, either way. [rad]
    shortest, longest : float
        Length as a share of what it is now; both 1 leave it. [1]
    """

    turn: float = 0.0
    either: float = 0.0
    shortest: float = 1.0
    longest: float = 1.0

    def angles(self, arm: Arm, wide: int = 1) -> FloatArray:
        """Return the angles to try, in whole degrees; the present one where fixed."""
        if self.either == 0.0 and self.turn == 0.0:
            return np.array([arm.angle])
        middle = round((arm.angle + self.turn) / ANGLE_STEP)
        step = wide * round(COARSE_ANGLE / ANGLE_STEP)
        count = math.floor(self.either / ANGLE_STEP / step + 1e-9)
        end = 0 if self.either >= math.pi - 1e-9 else 1
        return (middle + step * np.arange(-count, count + end)) * ANGLE_STEP

    def lengths(self, arm: Arm, wide: int = 1) -> FloatArray:
        """Return the lengths to try, such as can be drilled; the present where fixed."""
        if self.shortest == self.longest == 1.0:
            return np.array([arm.length])
        fine = length_step()
        count = wide * round(COARSE_LENGTH / fine)
        first = math.ceil(self.shortest * arm.length / (count * fine))
        last = math.floor(self.longest * arm.length / (count * fine))
        return np.append(np.arange(first, last + 1) * count * fine, arm.length)


KEPT: Final = Span()
CLOCKED: Final = Span(either=math.radians(60))
ANYWHERE: Final = Span(either=math.pi)
OTHER_SIDE: Final = Span(turn=math.pi, either=math.radians(84))


def sized(span: Span, shortest: float = 0.55, longest: float = 1.7) -> Span:
    """Return a span whose length may change too."""
    return replace(span, shortest=shortest, longest=longest)


@dataclass(frozen=True, slots=True, kw_only=True)
class Vary:
    """What may change at one rod.

    Parameters
    ----------
    driver, driven : Span
        Of its two arms.
    flipped : bool
        Whether its driven shaft, if an intermediate one, turns the other way.
    pull : bool, optional
        Whether it shall pull or push; None takes either.
    calm : float
        Weight of a large least angle against little change. [1]
    """

    driver: Span = KEPT
    driven: Span = KEPT
    flipped: bool = False
    pull: bool | None = None
    calm: float = 0.01
