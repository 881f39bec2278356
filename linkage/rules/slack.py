"""What rods that lose motion do: from where they drive, how much slot they need.

Not here: whether that is in order (`rules.slots`), the rods (`connect.lost_motion`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.connect import LostMotion
from linkage.model.columns import any_of, at, is_column, pick, where_most
from linkage.motion.events import closer
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from linkage.model import Layout, Link
    from linkage.model.columns import Number, Positions, Truth
    from linkage.motion import Assembly
    from linkage.motion.chain import Solved
    from linkage.rules.examine import Examined

    IntArray = NDArray[np.intp]

#: Shares of its full turn at which a lever is taken to stick.
STUCK: Final = tuple(np.linspace(0, 1, 9)[1:])


def loose(assembly: Assembly) -> Iterator[LostMotion]:
    """Yield the rods that drive one way only, in driving order."""
    for loop in assembly.loops:
        if isinstance(loop, LostMotion):
            yield loop


def left(x: Examined, loop: LostMotion) -> Positions:
    """Return the way that a pin has left before it drives, 0 where it does. [m].

    Shape (n,) or (rows, n), over the working travel.
    """
    driver, driven = loop.link.holes
    return loop.slack(x.motion.pair(driver.shaft), x.motion.pair(driven.shaft))


def _way_left(solved: Solved, rod: str) -> Positions:
    """Return the same as if what it drives stayed at rest throughout. [m]."""
    loop = solved.chain.by_rod[rod]
    still = np.cos(loop.rest), np.sin(loop.rest)
    way: Positions = loop.slack(solved.pair(loop.link.driver.shaft), still)
    return way


def drives(x: Examined, loop: LostMotion) -> Truth:
    """Tell whether a rod drives anywhere in the working travel, past its start."""
    # One that can but do the other thing may touch what it is to drive at rest.
    return any_of(left(x, loop)[..., 1:] <= 0)


def drives_from(x: Examined, loop: LostMotion) -> Number:
    """Return the pad travel from which a rod drives; nan where it never does. [m]."""
    name, coarse = loop.link.rod.name, x.working.coarse

    def measure(solved: Solved, _: IntArray) -> Positions:
        return -_way_left(solved, name)

    rows = np.arange(len(coarse.travel))
    values = measure(coarse.solved, rows)
    _, place = closer(coarse.chain, measure, rows, coarse.travel, values)
    found = place[:, None] if is_column(x.ok) else float(place[0])
    return pick(drives(x, loop), found, np.nan)


def opens_from(x: Examined, throttle: str) -> Number:
    """Return the pad travel from which a throttle is driven; nan if never. [m].

    0 where no rod on its way loses motion.
    """
    found: Number = 0.0
    for link in x.layout.path_to(x.layout.throttles[throttle].shaft):
        loop = x.assembly.loop(link.rod.name)
        if isinstance(loop, LostMotion):
            found = np.maximum(found, drives_from(x, loop))  # keeps nan
    return found if is_column(found) else float(found)


def used_up(x: Examined, loop: LostMotion) -> Number:
    """Return by how much more slot a rod would go on to the pedal's end. [m].

    0 where its slot is not used up, nan where its driver is gone before.
    """
    solved = x.working.coarse.solved
    way = _way_left(solved, loop.link.rod.name)
    most = np.fmax.reduce(np.atleast_2d(way), axis=-1)[:, None]
    over = np.maximum(most - loop.slot, 0.0)
    return over if is_column(x.ok) else float(over[0, 0])


def used_up_at_rest(assembly: Assembly) -> dict[str, Number]:
    """Return by rod how much more slot it would need with the pedal up. [m].

    0 where its pin is in its slot, nan where its driver is gone.
    """
    found: dict[str, Number] = {}
    for loop in loose(assembly):
        driver, still = loop.rod.driver_rest, loop.rod.rest
        one, two = ((np.cos(turn), np.sin(turn)) for turn in (driver, still))
        found[loop.link.rod.name] = np.maximum(loop.slack(one, two) - loop.slot, 0.0)
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Branch:
    """A lever that is no plate, and what would part it from the plates if it stuck.

    Parameters
    ----------
    lever : str
        Its shaft.
    link : Link
        The last rod on its way that lets go; where there is none the one that leads
        away from the plates.
    """

    lever: str
    link: Link


def branches(layout: Layout) -> Iterator[Branch]:
    """Yield the levers at the ends of what leads to no plate."""
    plates = {layout.pedal.shaft}
    if layout.waits is not None:
        plates.add(layout.waits.shaft)  # what that holds open is told of it
    for plate in layout.plates:
        plates |= {link.driven.shaft for link in layout.path_to(plate.shaft)}
    drivers = {link.driver.shaft for link in layout.links}
    for link in layout.links:
        lever = link.driven.shaft
        if lever in plates or lever in drivers:
            continue
        way = [k for k in layout.path_to(lever) if k.driven.shaft not in plates]
        yield Branch(
            lever=lever, link=next((k for k in reversed(way) if k.rod.loose), way[0])
        )


def needed(x: Examined, link: Link, carries: Number) -> Positions:
    """Return how much slot lets a driver go back while what it drives is stuck. [m].

    Parameters
    ----------
    x : Examined
        One layout, or many as rows.
    link : Link
        Of the rod; what it drives is stuck anywhere up to its full turn.
    carries : {1, -1} or column
        Whether the rod drives by pulling or by pushing.

    Returns
    -------
    ndarray, shape (n,) or (rows, n)
        At the positions of ``x`` to which the driver comes back.
    """
    loop = x.assembly.loop(link.rod.name)
    rod: Any = getattr(loop, "rod", loop)
    driver, driven = link.holes
    throttle = x.layout.throttle_on(driven.shaft)
    turn = x.motion.turns[driven.shaft][..., -1:]
    if throttle is not None:
        turn = throttle.opens * np.maximum(throttle.opens * turn, throttle.swing)
    one, rest = x.motion.pair(driver.shaft), loop.rest
    ways = []
    for share in STUCK:
        stuck = rest + share * (turn - rest)
        apart = rod.apart(one, (np.cos(stuck), np.sin(stuck)))
        ways.append(carries * (loop.length - apart))
    return np.maximum.reduce(ways)


def held_at(need: Positions, slot: Number, opening: Positions) -> Number:
    """Return how far open a plate is held where a slot is used up on the way back. [rad].

    Parameters
    ----------
    need : ndarray, shape (n,) or (rows, n)
        From `needed`. [m]
    slot : float or column
        What there is. [m]
    opening : ndarray, shape (n,) or (rows, n)
        Of the plate. [rad]
    """
    index = where_most(need <= slot)
    before = np.maximum(index - 1, 0)
    one, two = at(need, before), at(need, index)
    with np.errstate(invalid="ignore", divide="ignore"):
        share = np.clip(np.nan_to_num((one - slot) / (one - two)), 0.0, 1.0)
    low, high = at(opening, before), at(opening, index)
    found = pick(any_of(need <= slot), low + share * (high - low), opening[..., -1:])
    return found if is_column(found) and found.ndim > 1 else float(np.ravel(found)[0])
