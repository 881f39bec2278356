"""Shape a cam so that the throttle follows the pedal as is wanted.

The roller stands on its arm and the cam turns with the pedal: so each wanted pair of turns
puts the roller at a place in the cam. Its profile is what lies a roller's radius inwards
of the way through all of them, from where cam and roller meet today to full throttle.
What comes of it as it is marked off is solved anew as any cam is, and how far that is from
the curve that was sought is told.

Not here: the curve and what speaks against a cam (`search.cam_way`), the cutting
(`search.cam_cut`), how it is told (`report.rim`), its template (`sheet.rim`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.errors import UsageError, did_you_mean
from linkage.forces.friction import bearing_of
from linkage.model import Cam
from linkage.motion import assemble
from linkage.motion.chain import Chain
from linkage.motion.stops import first_met, opens_by
from linkage.motion.working import BEGINS
from linkage.records import dataclass
from linkage.search.arm import find_hole
from linkage.search.cam_cut import edge, marked
from linkage.search.cam_way import HINTS, TRIED, Bar, Motion, bar, bent, opened
from linkage.search.fixed import why_not
from linkage.search.wanted import (
    LEAST,
    PEDAL,
    THROTTLE,
    Shaped,
    asked,
    curve_of,
    had_at,
    nearest,
    whole_check,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.connect import CamPush
    from linkage.model import Layout, Link, Throttle
    from linkage.motion.assembly import Assembly
    from linkage.motion.curve import TravelCurve


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Profile(Shaped):
    """A cam with the profile that was found; see `Shaped`.

    Parameters
    ----------
    hole, layout, plate, wanted, nearest, bounded, before, after, check
        As of `Shaped`.
    cam : Cam
        With the new profile.
    gaps : pair of float
        Between cam and roller with the pedal up, before and after; 0 where it drives
        the roller. [m]
    turns : float
        Turn of the cam from where it meets its roller to full throttle. [rad]
    leans : float
        Greatest pressure angle on that way. [rad]
    sharpest : float
        Least radius of the profile on that way. [m]
    off : float
        How far the throttle is at the most from the curve that was sought, on that way.
        [rad]
    why : Bar, optional
        What bounds it, where it is not what was asked for.
    """

    cam: Cam
    gaps: tuple[float, float]
    turns: float
    leans: float
    sharpest: float
    off: float
    why: Bar | None


def cams(layout: Layout) -> Iterator[tuple[Link, Throttle]]:
    """Yield the cams whose roller is on a throttle's spindle."""
    for link in layout.links:
        plate = layout.throttle_on(link.driven.shaft)
        if isinstance(link.rod, Cam) and plate is not None:
            yield link, plate


def is_cam(layout: Layout, text: str) -> bool:
    """Tell whether an arm is one at which a cam begins, or the pin of its roller."""
    rods = (rod for rod in layout.rods.values() if isinstance(rod, Cam))
    return any(text in {str(cam.start), str(cam.end)} for cam in rods)


def shape_cam(
    layout: Layout,
    text: str,
    throttle: float = THROTTLE,
    pedal: float = PEDAL,
    *,
    least: float = LEAST,
) -> Profile:
    """Return the profile of a cam that gives a share of the throttle at a share of the pedal.

    Parameters
    ----------
    layout : Layout
        With a cam and its roller.
    text : str
        The cam's arm, ``shaft.arm``; its roller is on a throttle's spindle.
    throttle, pedal : float
        Share of the throttle's swing, and of the pad's travel at which it is to be had.
    least : float
        Least radius of the cam about its shaft. [m]

    Raises
    ------
    UsageError
        If it is no such cam, it is fixed, the shares are none, the cam does not turn
        evenly or meet its roller before, or no profile can be cut.
    AssemblyError
        If the layout cannot be put together.
    """
    link, plate = _cam(layout, text)
    full, part = asked(layout, throttle, pedal)
    assembly = assemble(layout)
    motion, share = _motion(assembly, link, plate, (full, part))
    lean = float(layout.limits.cam_pressure_refuse)
    wanted = bent(throttle, share)

    def against(c: float) -> Bar | None:
        found = bar(motion, c, least=least, lean=lean)
        if found is None and marked(layout, link, *edge(layout, motion, c)) is None:
            return Bar("marked", 0.0, 0.0)
        return found

    why = against(wanted)
    c = nearest(wanted, TRIED, lambda one: against(one) is None)
    shaped = None
    if c is not None:
        shaped = marked(layout, link, *edge(layout, motion, c))
    if c is None or shaped is None:
        first = why or Bar("marked", 0.0, 0.0)
        msg = (
            f"no profile of {link.rod.called} pushes its roller that way or a like one"
        )
        told = f"{first.words(motion.roller)}; {HINTS[first.kind]}"
        raise UsageError(msg, hint=told)
    way = motion.way(c)
    after = curve_of(shaped)
    cam: Any = shaped.rods[link.rod.name]
    return Profile(
        hole=link.driver,
        layout=shaped,
        plate=plate.name,
        wanted=(throttle, pedal),
        nearest=had_at(layout, after, plate, throttle),
        bounded=why is not None,
        before=curve_of(layout),
        after=after,
        check=whole_check(shaped),
        cam=cam,
        gaps=(_gap(assembly, cam.name), _gap(assemble(shaped), cam.name)),
        turns=abs(motion.ends - motion.begins),
        leans=float(np.arccos(np.min(np.minimum(way.push, 1.0)))),
        sharpest=float(1 / np.max(way.bend)) - motion.roller,
        off=_off(shaped, after, plate, motion, c),
        why=why,
    )


def _cam(layout: Layout, text: str) -> tuple[Link, Throttle]:
    """Return a cam by the name of its arm, and the throttle that its roller turns."""
    hole = find_hole(layout, text)
    known = {str(link.driver): (link, plate) for link, plate in cams(layout)}
    if text not in known:
        msg = f"`{text}` is no cam whose roller is on a throttle's spindle"
        hint = did_you_mean(text, known) if known else "there is none in the layout"
        raise UsageError(msg, hint=hint)
    link, plate = known[text]
    if link.rod.fixed:
        msg = f"{link.rod.called} is fixed: bought, or not to be touched"
        raise UsageError(
            msg, hint="take `fixed` out of the file if it may be made anew"
        )
    if why := why_not(layout, hole, turned=True):
        hint = "another profile begins elsewhere: take `clocking` out of the file"
        raise UsageError(why, hint=hint)
    others = [
        rod.called
        for rod in layout.rods.values()
        if hole in {rod.start, rod.end} and rod is not link.rod
    ]
    others += [
        f"spring `{s.name}`"
        for s in layout.springs.values()
        if s.arm and (s.shaft, s.arm) == (hole.shaft, hole.arm)
    ]
    if others:
        msg = f"{others[0]} is at `{text}`, and would go elsewhere with another profile"
        raise UsageError(msg, hint="give it an arm of its own on that shaft")
    return link, plate


def _motion(
    assembly: Assembly, link: Link, plate: Throttle, pads: tuple[float, float]
) -> tuple[Motion, float]:
    """Return how cam and roller turn, and the share of that at which it is wanted."""
    layout = assembly.layout
    loop: Any = assembly.loop(link.rod.name)
    push: CamPush = loop
    end = float(layout.pedal.end)
    meets = first_met(assembly, opens_by(layout, plate.name, BEGINS), end)
    meets = max(float(meets), 0.0)
    if not meets < min(pads):  # nan, where it never does
        msg = (
            f"{link.rod.called} does not meet its roller before what is asked for, so that "
            "it is not known from where on to shape it"
        )
        hint = (
            "give it a profile that meets the roller at rest, or nearly: `check` tells how "
            "much motion is lost before it"
        )
        raise UsageError(msg, hint=hint)
    solved = Chain.of(assembly).solve(np.linspace(meets, pads[0], 101))
    turns = solved.turn(link.driver.shaft)
    steps = np.diff(turns)
    if not np.all(steps * np.sign(turns[-1] - turns[0]) > 0):  # nan too
        shaft = link.driver.shaft
        msg = (
            f"the pedal does not turn `{shaft}` evenly, so no profile is sought for it"
        )
        raise UsageError(msg, hint=f"see to what turns `{shaft}`: `check`")
    begins, ends = float(turns[0]), float(turns[-1])
    part = float(
        Chain.of(assembly).solve(np.array([pads[1]])).turn(link.driver.shaft)[0]
    )
    share = (part - begins) / (ends - begins)
    if not 0 < share < 1:
        msg = "full throttle comes before the share of the pedal that is asked for"
        raise UsageError(msg, hint="ask for a smaller share of the pedal")
    cam: Any = link.rod
    found = Motion(
        face=push.rod.face,
        roller=float(cam.roller),
        rest=float(push.rod.driver_rest),
        begins=begins,
        ends=ends,
        swing=float(plate.opens * plate.swing),
        spindle=float(bearing_of(layout, link.driven.shaft)) / 2,
    )
    return found, share


def _gap(assembly: Assembly, name: str) -> float:
    """Return how far a cam is clear of its roller with the pedal up. [m]."""
    push: Any = assembly.loop(name)
    turn = float(push.rod.driver_rest)
    at_rest = (math.cos(turn), math.sin(turn)), (1.0, 0.0)
    return max(float(push.rod.face.clear(*at_rest)), 0.0)


def _off(
    layout: Layout, curve: TravelCurve, plate: Throttle, motion: Motion, c: float
) -> float:
    """Return how far the throttle is from the curve that was sought, at the most. [rad]."""
    solved = Chain.of(assemble(layout)).solve(curve.pad_travel)
    link = next(one for one, its in cams(layout) if its.name == plate.name)
    turns = solved.turn(link.driver.shaft)
    share = (turns - motion.begins) / (motion.ends - motion.begins)
    there = (share > 0) & (share < 1)
    theirs = opened(c, share[there])
    ours = curve.throttles[plate.name].throttle_share[there]
    return float(np.max(np.abs(ours - theirs)) * plate.swing)
