"""What one of two inputs does to the other, that is to stay where it is.

Where both meet the further on wins: each rod only carries its own way, so that the plate
is where the one or the other would have it, whichever opens more.

Not here: whether that is in order, in words (`rules.two_inputs`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.connect import LostMotion
from linkage.model.columns import at, is_column, least, lesser, most, pick, where_least
from linkage.model.refs import Ref
from linkage.motion.events import closer
from linkage.rules.rule import Outcome, graded, ranked

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.model import Hole
    from linkage.model.columns import Number, Positions
    from linkage.motion.chain import Solved
    from linkage.rules.examine import Examined

    IntArray = NDArray[np.intp]

#: Way of a lever's end below which it stands still. [m]
STILL: Final = 1e-7


def dragged(x: Examined) -> Outcome:
    """Return how near one input comes to moving the other, and how far it moves it.

    Parameters
    ----------
    x : Examined
        One layout, or many as rows, with two inputs; the one that drives in it.

    Returns
    -------
    Outcome
        Its value is the way that is left in the slot next to where both meet, below 0
        by how much it is too short; of a rod that carries both ways how far the end of
        the other is moved. [m] Facts: ``lever``, that end; ``moved``, how far along its
        arc [m]; ``slot``, that of the rod, None where it carries both ways; ``need``,
        the slot that it would need then [m].
    """
    waits = x.layout.waits
    if waits is None:
        msg = "the layout has one input"
        raise ValueError(msg)
    facts = {"lever": Ref("arm", waits.shaft, waits.arm), "moved": _moved(x, waits)}
    loops = [x.assembly.loop(k.rod.name) for k in x.layout.links if k.own is not None]
    loose = next((loop for loop in loops if isinstance(loop, LostMotion)), None)
    if loose is not None:
        return _through_slot(x, loose, facts)
    about = Ref("shaft", waits.shaft)
    if loops:
        about = Ref("rod", loops[0].link.rod.name)
        facts |= {"need": _need(x, loops[0])}
    return Outcome(
        about=about,
        rank=ranked(facts["moved"] <= STILL),
        value=facts["moved"],
        limit=0.0,
        kind="length",
        digits=1,
        at=math.nan,
        facts={"need": 0.0, "slot": None, **facts},
    )


def _moved(x: Examined, waits: Hole) -> Number:
    """Return how far the end of the input that waits is moved, along its arc. [m]."""
    turn = x.motion.turns[waits.shaft]
    far = most(np.abs(turn - x.assembly.rest[waits.shaft]))
    return far * x.layout.shafts[waits.shaft].arms[waits.arm].length


def _through_slot(x: Examined, loop: LostMotion, facts: dict[str, Any]) -> Outcome:
    room = _left(loop, x.motion.pair(loop.link.driver.shaft))
    clear = x.layout.limits.idle_clearance
    value = pick(facts["moved"] <= STILL, least(room), lesser(least(room), 0.0))
    stays = (value >= 0) & (facts["moved"] <= STILL)
    there = at(x.motion.pad_travel, where_least(room))
    part = loop.link.part
    return Outcome(
        about=Ref("rod", part.name),
        rank=graded(value >= clear, stays),
        value=value,
        limit=pick(stays, clear, 0.0),
        kind="length",
        digits=1,
        at=pick(stays, there, _used_up(x, loop)),
        facts={"need": 0.0, "slot": part.slot, "only": part.only, **facts},
    )


def _left(loop: LostMotion, driver: Any) -> Positions:  # noqa: ANN401
    """Return the way left in a slot before it moves what waits; below 0 it would. [m]."""
    still = np.cos(loop.rest), np.sin(loop.rest)
    left: Positions = loop.carries * (loop.length - loop.rod.apart(driver, still))
    return left


def _used_up(x: Examined, loop: LostMotion) -> Number:
    """Return the travel at which a slot is used up; nan where it never is. [m]."""
    coarse, name = x.working.coarse, loop.link.rod.name

    def measure(solved: Solved, _: IntArray) -> Positions:
        some: Any = solved.chain.by_rod[name]
        return -_left(some, solved.pair(loop.link.driver.shaft))

    rows = np.arange(len(coarse.travel))
    values = measure(coarse.solved, rows)
    _, place = closer(coarse.chain, measure, rows, coarse.travel, values)
    return place[:, None] if is_column(x.ok) else float(place[0])


def _need(x: Examined, loop: Any) -> Number:  # noqa: ANN401
    """Return the slot with which a rod would let what it drives stay at rest. [m]."""
    still = np.cos(loop.rest), np.sin(loop.rest)
    apart = loop.apart(x.motion.pair(loop.link.driver.shaft), still)
    return most(np.abs(apart - loop.length))


def held_by(y: Examined, moved: Number) -> Number:
    """Return how far the hand lever, left so far from home, holds the plate open. [rad]."""
    opening = np.atleast_2d(y.motion.opening(y.layout.main.name))
    travel = np.broadcast_to(y.motion.pad_travel, opening.shape)
    far = np.broadcast_to(np.ravel(moved), len(opening))
    held = np.array([np.interp(*row) for row in zip(far, travel, opening, strict=True)])
    return held[:, None] if y.rows > 1 else float(held[0])
