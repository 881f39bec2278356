"""The engine's movements as rows: rolled either way, up or down, and the corners.

Every layout is solved anew at every one of them, with rods as they were cut and
springs anchored where `anchored_on` says.

Not here: the verdict (`rules.rock`, `rules.moved`), where the engine holds its parts
(`motion.rock`).
"""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from itertools import product
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model import Cable, turning
from linkage.model.columns import column, lesser, pick, some
from linkage.motion import working_travel
from linkage.motion.rock import rocked
from linkage.motion.sweep import sweep_up_to
from linkage.quantities import say
from linkage.rules.examine import Examined, Grain
from linkage.rules.in_states import InStates

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.model.columns import Positions
    from linkage.motion import Assembly, Motion
    from linkage.rules.judged import Judged

#: Part of the positions of the layout at rest that is looked at.
COARSER: Final = 2
#: Rows from which on it takes less to look at some of the movements again.
MANY: Final = 24


def moves_some(layout: Layout) -> bool:
    """Tell whether the engine holds a part of the linkage: a shaft, or a sheath's end."""
    sheaths = (r for r in layout.rods.values() if isinstance(r, Cable))
    held = {end.on for cable in sheaths for end in cable.ends}
    return bool(layout.engine.carries) or "engine" in held


def movements(layout: Layout) -> list[tuple[int, int]]:
    """Return the engine's movements as senses of roll and of lift, rest left out.

    None where nothing that matters is on the engine, or it does not move.
    """
    engine = layout.engine
    on_it = {spring.anchored_on for spring in layout.springs.values()}
    on_it |= {obstacle.on for obstacle in layout.obstacles.values()}
    if not moves_some(layout) and "engine" not in on_it:
        return []
    rolls = (0, 1, -1) if engine.axis is not None and some(engine.roll > 0) else (0,)
    lifts = (0, 1, -1) if some(engine.lift > 0) else (0,)
    return [both for both in product(rolls, lifts) if both != (0, 0)]


def looked_at(layout: Layout, grain: Grain) -> list[tuple[int, int]]:
    """Return the movements at which a layout is looked at so closely.

    In a search those with the engine rolled, where it rolls, as well as risen or sunk:
    what moves the linkage both ways moves it further than either. Near an obstacle it
    may be nearest between two of them, so there it is looked at in all.
    """
    every = movements(layout)
    rolled = [move for move in every if move[0]]
    few = rolled and not grain.all_moves and not layout.obstacles
    return rolled if few else every


def coarser(grain: Grain) -> Grain:
    """Return how closely a layout is looked at with its engine moved."""
    return replace(
        grain,
        positions=grain.positions // COARSER + 1,
        samples=grain.samples,
        nodes=3,  # nobody asks how fast it shuts
    )


class States(InStates):
    """A layout, one or many, with its engine moved; see `states`.

    Rows are those of the first movement, then of the next.

    Parameters
    ----------
    x : Examined
        The layout with its engine at rest.
    moves : sequence of (int, int), optional
        Some of the movements; those of `looked_at` where not given.
    """

    def __init__(
        self, x: Examined, moves: Sequence[tuple[int, int]] | None = None
    ) -> None:
        self.rest = x
        #: Whether others were looked at before, of which these are some.
        self.some = moves is not None
        self.moves = moves = looked_at(x.layout, x.grain) if moves is None else moves
        super().__init__(x, len(moves))
        rolls, lifts = (np.repeat([m[i] for m in moves], x.rows) for i in (0, 1))
        assembly = self.again(x)
        layout, engine = assembly.layout, assembly.layout.engine
        self.roll = column(rolls) * engine.roll
        self.lift = column(lifts) * engine.lift
        #: Whether a mount has gone, shape (count * rows, 1).
        self.lifted = column(lifts) != 0
        limits = layout.limits
        # With a mount gone no more is asked than with any one part failed.
        lost = replace(
            limits,
            closing_ratio=pick(
                self.lifted,
                limits.closing_ratio_one_off * limits.dirt_factor,
                limits.closing_ratio,
            ),
            closing_least=pick(
                self.lifted, limits.closing_least_one_off, limits.closing_least
            ),
            closing_look=pick(
                self.lifted, limits.closing_least_one_off, limits.closing_look
            ),
        )
        at_rest = replace(assembly, layout=replace(layout, limits=lost))
        #: What the rules find of them, once they were asked; kept by `rules.moved`.
        self.judged: list[Judged] = []
        #: Rods, shafts and springs where the moved engine holds them.
        self.assembly: Assembly = rocked(at_rest, roll=self.roll, lift=self.lift)

    @cached_property
    def x(self) -> Examined:
        """Through the working travel of every movement."""
        grain = coarser(self.rest.grain)
        working = working_travel(self.assembly, samples=grain.samples)
        moved = Examined.of(self.assembly, working, grain)
        moved.forces.parts_fail = self.rolled is self
        return moved

    @cached_property
    def rolled(self) -> States | None:
        """Those of the movements with every mount whole, None where there are none.

        Of these alone it is asked what any one part more does that fails: a lost mount is
        the one failure. Itself where no mount is lost in any, or where all are as soon
        looked at as some.
        """
        moves = [move for move in self.moves if not move[1]]
        if len(moves) == self.count or self.rows < MANY:
            return self
        return States(self.rest, moves) if moves else None

    def forget(self) -> None:
        """Let go of what can be worked out again, of the moved engine too."""
        for name in ("x", "rolled"):
            kept = self.__dict__.get(name)
            if kept is not None and kept is not self:
                kept.forget()

    @property
    def held(self) -> Motion:
        """With the pad where it is at rest, or pushed back as far as a stop is met.

        A plate on its full stop holds the pad there, so that the rods do not tear.
        """
        travel = self.rest.motion.pad_travel
        if travel.ndim > 1:
            travel = np.tile(travel, (self.count, 1))
        end = self.x.working.end
        back = self.x.working.is_stopped_by("full stop")
        travel = pick(back, lesser(travel, end), travel)
        return sweep_up_to(self.assembly, travel, self.x.working.jam_at)

    def positions(self, values: Positions) -> NDArray[Any]:
        """Return arrays over positions as shape (count, rows, n)."""
        shape = (self.count * self.rows, values.shape[-1])
        return np.broadcast_to(values, shape).reshape(self.count, self.rows, -1)


def states(x: Examined) -> States | None:
    """Return a layout with its engine moved, worked out once; None where it is not."""
    if not x.kept and movements(x.layout):
        x.kept.append(States(x))
    return x.kept[0] if x.kept else None


def seen(x: Examined) -> str:
    """Return where the viewer of the roll axis stands; empty without one."""
    axis = x.layout.engine.axis
    return "" if axis is None else axis.seen_from


def movement(roll: float, lift: float, seen_from: str) -> str:
    """Say where a moved engine is.

    Parameters
    ----------
    roll, lift : float
        Of the engine. [rad], [m]
    seen_from : str
        Where the viewer of its roll axis stands.
    """
    words = []
    if roll:
        way = turning(1 if roll > 0 else -1)
        words.append(f"rolled {say(abs(roll), 'angle')} {way} seen from {seen_from}")
    if lift:
        how = "risen" if lift > 0 else "sunk"
        words.append(f"{how} {say(abs(lift), 'length')} off a lost mount")
    return " and ".join(words)
