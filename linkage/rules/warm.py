"""A layout cold and hot as rows: in a cold start, warming up, hot, and stopped hot.

Every layout is put together as it was set, then grown, and solved anew in every state.

Not here: the verdict (`rules.heat`), where grown parts stand (`motion.grown`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.connect import LostMotion
from linkage.model.columns import column, first, last, pick
from linkage.model.heat import PARTS, coldest
from linkage.motion import working_travel
from linkage.motion.grown import grown
from linkage.rules.examine import Examined, Grain
from linkage.rules.in_states import InStates
from linkage.rules.play import lever_radius
from linkage.rules.rest import RESTS
from linkage.rules.slack import left as slack_left

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.model.columns import Number
    from linkage.model.heat import Heat, State

    FloatArray = NDArray[np.float64]

#: Positions over the working travel: of a warm layout both its ends are asked for.
ENDS: Final = 3


class Warm(InStates):
    """A layout, one or many, as it was set and in every state; see `warmed`.

    Rows are those of the layout as it was set, its free play given back, then those of
    the first state, and of the next.

    Parameters
    ----------
    x : Examined
        As it was set.
    heat : Heat
        Of its layout.
    """

    def __init__(self, x: Examined, heat: Heat) -> None:
        self.states: tuple[State, ...] = heat.states
        super().__init__(x, 1 + len(self.states))
        assembly = self.again(x)
        layout = assembly.layout
        #: Its own in every row.
        self.heat = heat = layout.heat or heat
        cold, still = coldest(layout, heat), heat.when_set
        not_hot = np.zeros(x.rows, dtype=bool)
        as_set = column(np.repeat(np.arange(self.count) == 0, x.rows)) > 0
        #: Temperature of every part in every row. [°C]
        self.degrees: dict[str, Number] = {}
        for part in PARTS:
            states = [np.full(x.rows, part in state.hot) for state in self.states]
            hot = np.concatenate([not_hot, *states])[:, None]
            warm = np.where(hot, heat.when_hot(part), cold)
            self.degrees[part] = np.where(as_set, still, warm)
        self.assembly = grown(assembly, self.degrees)  # type: ignore[arg-type]
        self.grain = Grain(ENDS, x.grain.samples, ENDS)
        working = working_travel(self.assembly, samples=self.grain.samples)
        #: Through the working travel of every state.
        self.x = Examined.of(self.assembly, working, self.grain)

    def off(self, throttle: str) -> FloatArray:
        """Return how far a throttle is held off its idle stop, shape (count, rows). [rad].

        nan where a rod does not reach.
        """
        return self.over(self.x.working.opening_at_start[throttle])

    def left(self, throttle: str) -> FloatArray:
        """Return the way left before a throttle is held off, shape (count, rows). [m].

        At its lever; of a linkage that loses motion on the way that of the pin which has
        most. Below 0 how far it is held off.
        """
        x, t = self.x, self.x.layout.throttles[throttle]
        rest = x.working.opening_at_rest[throttle]
        off = x.working.opening_at_start[throttle]
        radius = lever_radius(x.layout, t)
        way: Number = -rest * radius
        for link in x.layout.path_to(t.shaft):
            loop = x.assembly.loop(link.rod.name)
            if isinstance(loop, LostMotion):
                # Where the linkage stands: a plate before it may hold that on its stop.
                way = np.maximum(way, first(slack_left(x, loop)))
        return self.over(pick(off > 0, -off * radius, way))

    def fellow_holds(self, throttle: str) -> NDArray[np.bool_]:
        """Tell where another throttle's stop holds it off its own, shape (count, rows).

        Then that one bears the linkage, and what is left is told of it.
        """
        return (self.over(self.x.working.start) > 0) & (self.off(throttle) > RESTS)

    def moved(self, throttle: str) -> tuple[FloatArray, FloatArray]:
        """Return how far heat moves a throttle with the pedal up, and with it down.

        Shapes (states, rows), positive opening, stops of it set aside. [rad]
        """
        rest = self.over(self.x.working.opening_at_rest[throttle])
        down = self.over(last(self.x.unstopped.opening(throttle)))
        return rest[1:] - rest[0], down[1:] - down[0]


def warmed(x: Examined) -> Warm | None:
    """Return a layout cold and hot, worked out once; None where no heat is told."""
    heat = x.layout.heat
    if not x.warmed and heat is not None:
        x.warmed.append(Warm(x, heat))
    return x.warmed[0] if x.warmed else None
