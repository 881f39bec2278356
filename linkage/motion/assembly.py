"""Put the parts together in the rest position: rod lengths, branches, rest turns.

Not here: the travel (`motion.sweep`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from linkage import formulas
from linkage.errors import AssemblyError, LayoutError, ReachError
from linkage.model.axes import add, cross, dot, norm
from linkage.quantities import say

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.model import Hole, Layout, Link

#: Sine of the arm-rod angle at rest below which the branch cannot be told.
STRAIGHT = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Loop:
    """One rod between its two shafts, ready to be solved.

    Parameters
    ----------
    link : Link
        The rod and its two holes.
    length : float
        Centre to centre, as given or as cut to fit. [m]
    reduced : tuple of 9 floats
        Coefficients of the closure.
    parameters : tuple of float
        In the order of `formulas.PARAMETER_NAMES`, for sensitivities.
    branch : {1, -1}
        Assembly branch, fixed by the rest position: 1 where the rod leaves the
        driven pin so that pulling turns the shaft anticlockwise for its viewer.
    """

    link: Link
    length: float
    reduced: tuple[float, ...]
    parameters: tuple[float, ...]
    branch: Literal[1, -1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembly:
    """A layout put together.

    Parameters
    ----------
    layout : Layout
        What was put together.
    loops : tuple of Loop
        In driving order.
    rest : mapping of str to float
        Turn of every shaft from its measured angle with the pedal up. Zero,
        but for shafts that a rod of given length moves. [rad]
    """

    layout: Layout
    loops: tuple[Loop, ...]
    rest: Mapping[str, float]

    def loop(self, rod: str) -> Loop:
        """Return the loop of a rod by its name."""
        return next(p for p in self.loops if p.link.rod.name == rod)


def _side(layout: Layout, hole: Hole) -> tuple[float, ...]:
    shaft = layout.shafts[hole.shaft]
    arm = shaft.arms[hole.arm]
    axis = shaft.axis
    return (arm.length, arm.angle, arm.offset, *shaft.pivot, *axis.u, *axis.v, *axis.n)


def assemble(layout: Layout) -> Assembly:
    """Put a layout together with the pedal up.

    A rod without a length is cut to fit: the driven shaft stays at its measured
    angle. A rod with a length turns the driven shaft until it fits, on the
    branch that the measured angles show.

    Parameters
    ----------
    layout : Layout
        What was measured.

    Returns
    -------
    Assembly
        Rod lengths, branches and rest turns.

    Raises
    ------
    ReachError
        If a rod of given length reaches no position of the driven arm.
    AssemblyError
        If an arm and its rod lie in line, so that the branch cannot be told.
    LayoutError
        If a throttle is on the pedal's own shaft.
    """
    _driven_by_rods(layout)
    rest: dict[str, float] = {layout.pedal.shaft: 0.0}
    loops: list[Loop] = []
    for link in layout.links:
        turn = rest[link.driver.shaft]
        loop = _close_at_rest(layout, link, turn)
        loops.append(loop)
        rest[link.driven.shaft] = (
            0.0 if link.rod.length is None else _rest_turn(loop, turn)
        )
    return Assembly(layout=layout, loops=tuple(loops), rest=rest)


def _driven_by_rods(layout: Layout) -> None:
    """Refuse a throttle on the pedal's own shaft, to which no rod leads."""
    for name, throttle in layout.throttles.items():
        if throttle.shaft == layout.pedal.shaft:
            msg = f"{name} is on the pedal's own shaft `{throttle.shaft}`"
            hint = "name the spindle of the carburettor, which a rod drives"
            key = (name,) if name == "throttle" else ("throttles", name)
            raise LayoutError(msg, hint=hint, key=(*key, "shaft"))


def _close_at_rest(layout: Layout, link: Link, turn: float) -> Loop:
    driver = layout.shafts[link.driver.shaft]
    driven = layout.shafts[link.driven.shaft]
    pin = driver.pin(link.driver.arm, turn)
    hole = driven.pin(link.driven.arm)
    gap = add(pin, hole, -1)
    length = link.rod.length if link.rod.length is not None else norm(gap)
    radius = driven.arms[link.driven.arm].length
    arm = add(hole, driven.centre(link.driven.arm), -1)
    # Twice the area that arm and gap span, seen by the driven shaft's viewer:
    # its sign is the branch, its share of the lengths the sine of their angle.
    moment = dot(cross(arm, gap), driven.axis.n)
    if abs(moment) < STRAIGHT * radius * norm(gap):
        msg = (
            f"rod `{link.rod.name}` and arm `{link.driven}` lie in line at rest, "
            "on dead centre"
        )
        hint = (
            "nothing tells which way the arm would go; turn the arm on its shaft "
            "or move its pivot, so that rod and arm make a clear angle"
        )
        raise AssemblyError(
            msg, hint=hint, key=("shafts", driven.name, "arms", link.driven.arm)
        )
    parameters = (*_side(layout, link.driver), *_side(layout, link.driven), length)
    return Loop(
        link=link,
        length=length,
        reduced=tuple(float(c) for c in formulas.coefficients(*parameters)),
        parameters=parameters,
        branch=1 if moment > 0 else -1,
    )


def solve_one(loop: Loop, turn: float) -> tuple[float, float]:
    """Return the driven turn and the reach at one turn of the driver.

    Parameters
    ----------
    loop : Loop
        The rod.
    turn : float
        Of the driver, from its measured angle. [rad]

    Returns
    -------
    turn : float
        Of the driven shaft; nan where the rod does not reach. [rad]
    reach : float
        Negative where the rod does not reach.
    """
    cos2, sin2, reach = formulas.close(
        np.array(math.cos(turn)), np.array(math.sin(turn)), loop.reduced, loop.branch
    )
    return math.atan2(float(sin2), float(cos2)), float(reach)


def reach_range(loop: Loop, turn: float) -> tuple[float, float]:
    """Return the shortest and longest rod that reaches the driven arm.

    Parameters
    ----------
    loop : Loop
        The rod; its own length plays no part.
    turn : float
        Of the driver, from its measured angle. [rad]

    Returns
    -------
    tuple of 2 floats
        Least and greatest distance from the driver's pin to the driven arm's
        circle. [m]
    """
    a0, a1, a2, b0, b1, b2, k0, k1, k2 = loop.reduced
    cos1, sin1 = math.cos(turn), math.sin(turn)
    radius = loop.parameters[formulas.PARAMETER_NAMES.index("r")]
    across = math.hypot(a0 + a1 * cos1 + a2 * sin1, b0 + b1 * cos1 + b2 * sin1)
    # k = (d² + r² - L²) / 2r, so d² + r² follows from k and the length.
    total = 2 * radius * (k0 + k1 * cos1 + k2 * sin1) + loop.length**2
    return (
        math.sqrt(max(total - 2 * radius * across, 0.0)),
        math.sqrt(total + 2 * radius * across),
    )


def short_by(loop: Loop, turn: float) -> float:
    """Return by how much a rod fails to reach: positive too short, negative too long.

    Zero where it reaches. [m]
    """
    least, most = reach_range(loop, turn)
    if loop.length > most:
        return most - loop.length
    return max(least - loop.length, 0.0)


def _rest_turn(loop: Loop, turn: float) -> float:
    rod = loop.link.rod
    driven, reach = solve_one(loop, turn)
    if reach < 0 or math.isnan(driven):
        miss = short_by(loop, turn)
        least, most = reach_range(loop, turn)
        word = "short" if miss > 0 else "long"
        msg = (
            f"rod `{rod.name}` of {say(loop.length, 'length')} is "
            f"{say(abs(miss), 'length')} too {word} to reach `{loop.link.driven}`"
        )
        hint = (
            f"any length from {say(least, 'length')} to {say(most, 'length')} reaches; "
            "leave `length` out to have it cut to fit"
        )
        raise ReachError(msg, hint=hint, key=("rods", rod.name, "length"))
    return driven
