"""What a throttle does where the engine goes some way off, in each direction.

Along a rod from the body to the engine all of it counts, across one hardly any: so the
direction tells whether mounts that give work the throttle.

Not here: where the moved engine holds its parts (`motion.rock`), what is asked of the
engine's own roll and lift (`rules.rock`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.errors import UsageError
from linkage.motion.rock import rocked
from linkage.motion.sweep import sweep
from linkage.quantities import say
from linkage.records import dataclass
from linkage.tabular import Tabular

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.motion.assembly import Assembly

    FloatArray = NDArray[np.float64]

#: Ways in which an engine goes, in vehicle axes.
WAYS: Final = ("forward", "back", "left", "right", "up", "down")
#: How far: soft mounts give so much, common practice, no source. [m]
USUAL: Final = 10e-3
#: Further than any mount lets it go, and than the parts beside it; likewise. [m]
FURTHEST: Final = 50e-3
#: A throttle that turns less does nothing. [rad]
LEAST: Final = np.radians(0.05)
#: By how much it is moved to see in which direction it counts most. [m]
A_LITTLE: Final = 1e-5


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Drift(Tabular):
    """What the main throttle does with the engine moved; see `drift`.

    Parameters
    ----------
    title : str
        Of the layout.
    by : float
        How far the engine goes. [m]
    idle, full : ndarray, shape (6,)
        By way of `WAYS`, with the pedal up and down: by how much the throttle is
        opened, nan where a rod does not reach. Plates rest on no stop. [rad]
    most : ndarray, shape (3,)
        With the pedal up, the direction in which the throttle is opened most, of
        length one; zeros where going a little way does nothing. [1]
    rate : float
        How much, by a unit of going that way. [rad/m]
    """

    title: str
    by: float
    idle: FloatArray
    full: FloatArray
    most: FloatArray
    rate: float

    @property
    def nothing(self) -> bool:
        """Whether going any way does nothing, with the pedal up or down."""
        both = np.concatenate([self.idle, self.full])
        return bool((np.abs(both) < LEAST).all())

    def __repr__(self) -> str:
        worst = np.degrees(np.nanmax(np.abs(self.idle)))
        return f"<Drift of {self.title!r}: {worst:.1f} degrees at most>"

    def columns(self) -> dict[str, Any]:
        """Return one row a way, in shown units."""
        return {
            "engine_goes": list(WAYS),
            "idle_opens_deg": np.degrees(self.idle),
            "full_opens_deg": np.degrees(self.full),
        }


def opens(turn: float) -> str:
    """Return what a throttle does, in words.

    >>> opens(math.radians(3)), opens(-math.radians(3)), opens(math.nan), opens(0.0)
    ('opens 3.0°', 'shuts 3.0°', 'tears or jams', 'nothing')
    """
    if not math.isfinite(turn):
        return "tears or jams"
    if abs(turn) < LEAST:
        return "nothing"
    return f"{'opens' if turn > 0 else 'shuts'} {say(abs(turn), 'angle')}"


def drift(assembly: Assembly, end: float, by: float = USUAL) -> Drift:
    """Return what the main throttle does with the engine some way off.

    Parameters
    ----------
    assembly : Assembly
        Of one layout, at rest: every rod keeps its length.
    end : float
        Pad travel at which all is full or stopped. [m]
    by : float
        How far the engine goes. [m]

    Raises
    ------
    UsageError
        If the engine carries nothing of the layout, or goes no way or too far, or the
        layout is that of a governed engine, whose throttle shuts as its governor drives.
    """
    layout = assembly.layout
    if layout.governed:
        msg = "`rock` does not know of governed engines"
        raise UsageError(
            msg, hint="its governor goes with the engine; `check` judges it"
        )
    if not set(layout.engine.carries) & set(layout.shafts):
        msg = "the engine carries no shaft of this layout, so that its moving does nothing"
        hint = 'name what is on the engine: [engine] with `carries = ["spindle"]`'
        raise UsageError(msg, hint=hint)
    if not 0 < by <= FURTHEST:
        msg = f"an engine that goes {1e3 * by:g} mm"
        raise UsageError(msg, hint="more than nothing, and 50 mm at most")
    ends = np.array([0.0, end])
    still = np.asarray(sweep(assembly, ends).opening(layout.main.name))
    little = _opened(assembly, A_LITTLE, ends) - still
    slopes = (little[0::2, 0] - little[1::2, 0]) / (2 * A_LITTLE)
    rate = float(np.linalg.norm(slopes))
    there = _opened(assembly, by, ends) - still
    return Drift(
        title=layout.title,
        by=by,
        idle=there[:, 0],
        full=there[:, 1],
        most=slopes / rate if rate > 0 else np.zeros(3),
        rate=rate,
    )


def _opened(assembly: Assembly, by: float, ends: FloatArray) -> FloatArray:
    """Return the main throttle's opening in each way, shape (6, positions). [rad]."""
    steps = np.repeat(np.eye(3), 2, axis=0) * by
    steps[1::2] *= -1
    x, y, z = (steps[:, i : i + 1] for i in range(3))
    moved = rocked(assembly, aside=(x, y, z))
    opening = sweep(moved, ends).opening(assembly.layout.main.name)
    return np.array(np.broadcast_to(opening, (len(WAYS), len(ends))))
