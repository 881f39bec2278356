"""The line of force of one spring: length, load, torque arm.

Not here: all lines of force together (`lines`), force laws (`springs`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

import numpy as np

from linkage.model import Hole
from linkage.motion.frame import dot
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.forces.lines import Lines
    from linkage.model import Vector
    from linkage.model.columns import Positions
    from linkage.motion.frame import Vectors
    from linkage.springs import SpringLaw


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class SpringLine:
    """What a spring does at every position.

    Parameters
    ----------
    law : SpringLaw
        Its law.
    shaft : str
        On which it acts.
    load : ndarray, shape (n,) or (rows, n)
        Pull positive, push negative [N]; torque about a shaft [N·m].
    torque : ndarray, shape (n,) or (rows, n)
        About its shaft, anticlockwise positive. [N·m]
    length : ndarray, shape (n,) or (rows, n), optional
        From hook to anchor; None about a shaft. [m]
    arm : ndarray, shape (n,) or (rows, n), optional
        Torque of 1 N of its force, anticlockwise positive, in its own working
        direction; None about a shaft. [m]
    force : ndarray, shape (3, n) or (3, rows, n), optional
        On its hook; None about a shaft. [N]
    """

    law: SpringLaw
    shaft: str
    load: Positions
    torque: Positions
    length: Positions | None = None
    arm: Positions | None = None
    force: Vectors | None = None


def spring_line(lines: Lines, name: str, law: SpringLaw) -> SpringLine:
    """Return what a spring does at every position."""
    motion, frame = lines.motion, lines.frame
    spring = lines.layout.springs[name]
    if not law.along_line:
        torque = law.torque(motion.turns[spring.shaft])
        return SpringLine(law=law, shaft=spring.shaft, load=torque, torque=torque)
    hook = frame.hole(Hole(shaft=spring.shaft, arm=spring.arm))
    anchor = lines.vectors(frame.vector(cast("Vector", spring.anchor)))
    line = anchor - lines.vectors(hook.pin)
    length = np.sqrt(dot(line, line))
    line /= length
    arm = hook.length * dot(lines.vectors(hook.tangent), line)
    load = law.pull(length)
    return SpringLine(
        law=law,
        shaft=spring.shaft,
        length=length,
        arm=-arm if law.kind == "compression" else arm,
        load=load,
        torque=load * arm,
        force=load * line,
    )
