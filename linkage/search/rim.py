r"""Shape the rim of a drum so that the throttle follows the pedal as is wanted.

A wire's torque arm about the spindle is what its run gets less with the turn. So a part
of the pedal's travel opens the throttle the less, the longer the arm there. What is
sought is an arm that falls evenly in share, from rest to full,

.. math:: p(\psi) = A\,e^{-k \psi / \Psi}

which no hollow can come of: A by the wire that the pedal pulls in all, k by the share of
the throttle that is wanted at a share of the pedal. The rim is what the lines of the wire
touch, seen from the turning drum.

Not here: a cam's profile (`search.cam_profile`), rims as a wire lies on them
(`connect.snail`), how it is told (`report.rim`), its template (`sheet.rim`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage import formulas
from linkage.connect.cable import sheath_ends
from linkage.connect.run import placed
from linkage.errors import UsageError, did_you_mean
from linkage.model import Cable, Hole
from linkage.motion import assemble
from linkage.motion.chain import Chain
from linkage.quantities import say
from linkage.records import dataclass
from linkage.search.arm import find_hole
from linkage.search.cam_profile import cams
from linkage.search.wanted import (
    HALVES,
    LEAST,
    PEDAL,
    THROTTLE,
    Shaped,
    asked,
    between,
    curve_of,
    had_at,
    whole_check,
)

if TYPE_CHECKING:
    from linkage.connect import CableConnector
    from linkage.model import Layout, Link, Throttle
    from linkage.motion.assembly import Assembly

#: Most radius that a drum has: common practice, no source. [m]
MOST: Final = 0.080
#: Turn by which a rim goes on before rest, and beyond full up to the nipple. [rad]
BEFORE: Final = math.radians(5)
BEYOND: Final = math.radians(15)
#: Points that a rim is given by, and those that it is worked out at.
POINTS: Final = 25
FINE: Final = 2001
#: Steepest fall of the arm that is tried, k.
STEEPEST: Final = 50.0


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Rim(Shaped):
    """A drum with the rim that was found; see `Shaped`.

    Parameters
    ----------
    hole, layout, plate, wanted, nearest, bounded, before, after, check
        As of `Shaped`.
    arms : pair of float
        Torque arm of the wire at rest and at full. [m]
    """

    arms: tuple[float, float]


def shape_rim(
    layout: Layout,
    text: str,
    throttle: float = THROTTLE,
    pedal: float = PEDAL,
    *,
    least: float = LEAST,
    most: float = MOST,
) -> Rim:
    """Return the rim of a drum that gives a share of the throttle at a share of the pedal.

    Parameters
    ----------
    layout : Layout
        With a cable to the drum.
    text : str
        The drum, ``shaft.arm``, on a throttle's spindle.
    throttle, pedal : float
        Share of the throttle's swing, and of the pad's travel at which it is to be had.
    least, most : float
        Bounds of the torque arm. [m]

    Raises
    ------
    UsageError
        If it is no such drum, its wire has a length, the shares are none, the linkage is
        stopped before it opens so much of the throttle, or has a governor.
    AssemblyError
        If the layout cannot be put together.
    """
    if layout.governed:
        msg = "a governor moves the throttle both ways, and a wire on a drum only pulls"
        raise UsageError(msg, hint="`check`, `arm` and `compare` know governed engines")
    hole, link, plate = _drum(layout, text)
    full, at = asked(layout, throttle, pedal)
    if not 0 < least < most:
        msg = f"a least radius of {say(least, 'length')} leaves none up to {say(most, 'length')}"
        raise UsageError(msg, hint=f"less than {say(most, 'length')}")
    assembly = assemble(layout)
    whole, part = _pulled(assembly, link, np.array([full, at]))
    if not 0 < part < whole:
        msg = "the pedal does not pull the wire out evenly, so no rim is sought for it"
        raise UsageError(msg, hint="see to the arm that pulls the wire: `check`")
    k, bounded = _fall(part / whole, throttle, whole / plate.swing, (least, most))
    begins = _arm_at_rest(k, whole / plate.swing)
    shaped = _shaped(layout, link, plate, (begins, k))
    after = curve_of(shaped)
    return Rim(
        hole=hole,
        layout=shaped,
        plate=plate.name,
        arms=(begins, begins * math.exp(-k)),
        wanted=(throttle, pedal),
        nearest=had_at(layout, after, plate, throttle),
        bounded=bounded,
        before=curve_of(layout),
        after=after,
        check=whole_check(shaped),
    )


def _drum(layout: Layout, text: str) -> tuple[Hole, Link, Throttle]:
    """Return a drum on a throttle's spindle by its name, and the cable to it."""
    hole = find_hole(layout, text)
    link = next((k for k in layout.links if k.driven == hole), None)
    plate = layout.throttle_on(hole.shaft)
    if link is None or plate is None or not isinstance(link.rod, Cable):
        drums = [
            str(k.driven)
            for k in layout.links
            if isinstance(k.rod, Cable) and layout.throttle_on(k.driven.shaft)
        ]
        drums += [str(k.driver) for k, _ in cams(layout)]
        msg = f"`{text}` is no drum of a throttle's spindle that a cable pulls"
        hint = did_you_mean(text, drums) if drums else "there is none in the layout"
        raise UsageError(msg, hint=hint)
    arm = layout.shafts[hole.shaft].arms[hole.arm]
    if arm.wound != plate.opens:
        way = {0: "has no wire round it: `wound` says in which sense"}
        why = way.get(arm.wound, f"is wound so that a pull shuts `{plate.name}`")
        msg = f"`{text}` {why}"
        raise UsageError(msg, hint="`wound` is the sense in which the throttle opens")
    if link.rod.length is not None:
        msg = (
            f"the wire of {link.rod.called} has a length, and another rim needs another"
        )
        hint = "leave `wire_length` out: its adjuster sets it to the new rim"
        raise UsageError(msg, hint=hint)
    return hole, link, plate


def _pulled(assembly: Assembly, link: Link, pads: Any) -> tuple[float, ...]:  # noqa: ANN401
    """Return how much wire is pulled off a drum at pad positions, from rest. [m]."""
    loop: Any = assembly.loop(link.rod.name)
    cable: CableConnector = getattr(loop, "rod", loop)
    solved = Chain.of(assembly).solve(np.concatenate(([0.0], pads)))
    runs = cable.runs[0].length(solved.pair(link.driver.shaft))
    slack = cable.length - float(runs[0]) - float(cable.runs[1].length((1.0, 0.0)))
    return tuple(float(run - runs[0]) - max(slack, 0.0) for run in runs[1:])


def _share(k: float, throttle: float) -> float:
    """Return the share of the wire that a share of the throttle takes."""
    if abs(k) < 1e-9:
        return throttle
    return math.expm1(-k * throttle) / math.expm1(-k)


def _arm_at_rest(k: float, mean: float) -> float:
    """Return A, from the mean of the arm over the swing."""
    return mean if abs(k) < 1e-9 else -mean * k / math.expm1(-k)


def _fall(
    part: float, throttle: float, mean: float, bounds: tuple[float, float]
) -> tuple[float, bool]:
    """Return k for a share of the wire at a share of the throttle, within bounds."""

    def within(k: float) -> bool:
        begins = _arm_at_rest(k, mean)
        ends = begins * math.exp(-k)
        return min(begins, ends) >= bounds[0] and max(begins, ends) <= bounds[1]

    if not within(0.0):
        msg = f"a round drum of {say(mean, 'length')} is not within the radii asked for"
        hint = f"they are {say(bounds[0], 'length')} to {say(bounds[1], 'length')}"
        raise UsageError(msg, hint=hint)
    low, high = -STEEPEST, STEEPEST
    for _ in range(HALVES):
        k = (low + high) / 2
        low, high = (k, high) if _share(k, throttle) < part else (low, k)
    k = (low + high) / 2
    return (k, False) if within(k) else (between(0.0, k, within), True)


def _shaped(
    layout: Layout, link: Link, plate: Throttle, law: tuple[float, float]
) -> Layout:
    """Return the layout with a drum whose wire has the arm A e^(-k ψ/Ψ)."""
    begins, k = law
    shaft = layout.shafts[link.driven.shaft]
    arm = shaft.arms[link.driven.arm]
    sense, end = arm.wound, sheath_ends(link)[1]
    opened = np.linspace(-BEFORE, plate.swing + BEYOND, FINE)
    arms = begins * np.exp(-k * opened / plate.swing)
    bare = replace(arm, rim=())
    _, leaves, clear = formulas.drum_at_rest(
        *placed(shaft, replace(bare, length=arms), end), sense
    )
    if not np.all(clear > 0):
        msg = f"the sheath of cable `{link.rod.name}` ends within such a rim"
        hint = "move the end of the sheath away from the drum, or ask for less"
        raise UsageError(msg, hint=hint)
    # Direction of the line's foot, seen from the drum in the sense of its winding; the
    # rim touches the line as far from the foot as the arm changes with that direction.
    seen = np.unwrap(sense * leaves) - opened
    ahead = np.gradient(arms, opened) / np.gradient(seen, opened)
    turns = seen + np.arctan2(ahead, arms)
    radii = np.hypot(arms, ahead)
    if not (np.all(np.diff(seen) < 0) and np.all(np.diff(turns) < 0)):
        msg = "no rim without a hollow gives so steep a change"
        raise UsageError(msg, hint="ask for a share nearer to that of a round drum")
    nipple = float(turns[-1])
    at = np.linspace(0.0, float(turns[0]) - nipple, POINTS)
    around = np.interp(at, turns[::-1] - nipple, radii[::-1])
    shaped = replace(
        arm,
        length=float(around[0]),
        angle=math.remainder(arm.angle + sense * nipple, 2 * math.pi),
        rim=tuple(zip(map(float, at), map(float, around), strict=True)),
    )
    return layout.with_shaft(shaft.with_arm(shaped))
