"""Lines of force at some of the positions of others, where they are worked out.

Not here: the lines themselves (`lines`).
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from linkage.forces.lines import Lines
from linkage.forces.spring_line import SpringLine

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.model.columns import Positions
    from linkage.model.refs import Ref
    from linkage.motion import Motion


class LinesPart(Lines):
    """Lines of force at some of the positions of others, where they are worked out.

    Parameters
    ----------
    whole : Lines
        Of all positions.
    which : slice
        Which of them.
    motion : Motion, optional
        At just these, where it is known already.
    """

    def __init__(
        self, whole: Lines, which: slice, motion: Motion | None = None
    ) -> None:
        motion = whole.motion.part(which) if motion is None else motion
        super().__init__(motion, whole.laws, whole.hanging, whole.rows)
        self.whole = whole
        self._which = which

    def cut(self, values: Positions) -> Positions:
        """Return of an array over all positions those at these; a number stays."""
        over = isinstance(values, np.ndarray) and values.ndim and values.shape[-1] > 1
        return values[..., self._which] if over else values

    @cached_property
    def first(self) -> Mapping[str, Positions]:
        """By shaft: turn a metre of pad gives, dq/ds. [rad/m]."""
        return {name: self.cut(a) for name, a in self.whole.first.items()}

    @cached_property
    def springs(self) -> Mapping[str, SpringLine]:
        """By spring, in the layout's order."""
        return {
            name: SpringLine(
                law=line.law,
                shaft=line.shaft,
                load=self.cut(line.load),
                torque=self.cut(line.torque),
                length=self.cut(line.length),
                arm=self.cut(line.arm),
                force=self.cut(line.force),
            )
            for name, line in self.whole.springs.items()
        }

    @cached_property
    def shape(self) -> tuple[int, ...]:
        """Shape of all that is told over positions, (n,) or (rows, n)."""
        return (*self.whole.shape[:-1], self.motion.pad_travel.shape[-1])

    @cached_property
    def spring_work(self) -> Mapping[str, Positions]:
        """By spring: its torque as felt at the pad, positive opening. [N]."""
        return {name: self.cut(a) for name, a in self.whole.spring_work.items()}

    def weight_work(self, shaft: str, gone: frozenset[Ref]) -> Positions:
        """Return the torque of the weight on a shaft as felt at the pad. [N]."""
        return self.cut(self.whole.weight_work(shaft, gone))
