"""Rules about angles: arm to rod, dead centre, lean of joints, springs' lines.

Not here: the travel (`checks.travel`), forces (`checks.forces`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from linkage.model import JOINT_TILT, Hole
from linkage.motion import frame
from linkage.motion.dead_centre import SEARCH
from linkage.motion.frame import dot
from linkage.quantities import say
from linkage.rules.finding import Finding, Verdict

if TYPE_CHECKING:
    from linkage.model import Joint, Spring
    from linkage.model.columns import FloatArray
    from linkage.motion import DeadCentre
    from linkage.rules.examine import Examined

#: Share of a joint's lean above which to look: a fifth is kept in hand.
TILT_SHARE = 0.8
#: Distance under which a spring's line goes through its spindle. [m]
THROUGH = 1e-5
#: Distance that is but rounding. [m]
ROUNDING = 1e-12


def square(angle: FloatArray) -> FloatArray:
    """Return arm-rod angles folded to 0-90°, 90° being square. [rad]."""
    return np.minimum(angle, np.pi - angle)


def least_angle(x: Examined) -> float:
    """Return the least arm-rod angle from being in line, of all rods. [rad]."""
    return min(
        float(np.nanmin(square(angle)))
        for line in x.lines.values()
        for angle in (line.driver_angle, line.driven_angle)
    )


def _arm_verdict(x: Examined, least: float) -> tuple[Verdict, float, str]:
    limits = x.layout.limits
    if least < limits.arm_rod_refuse:
        return "do not fit", limits.arm_rod_refuse, "it is too near to dead centre"
    if least < limits.arm_rod_strong:
        return "look", limits.arm_rod_strong, "look hard: wear eats what is left"
    if least < limits.arm_rod_look:
        return "look", limits.arm_rod_look, "look: it gets heavy and sensitive there"
    return "fits", limits.arm_rod_look, "in order"


def arm_rod(x: Examined) -> list[Finding]:
    """Judge the arm-rod angle at both ends of every rod against 0 and 180°."""
    out = []
    for link in x.layout.links:
        line = x.lines[link.rod.name]
        for hole, angle in (
            (link.driver, line.driver_angle),
            (link.driven, line.driven_angle),
        ):
            folded = square(angle)
            at = int(np.argmin(folded))
            least = float(folded[at])
            verdict, limit, word = _arm_verdict(x, least)
            place = say(float(x.motion.pad_travel[at]), "length")
            text = (
                f"between rod `{link.rod.name}` and arm `{hole}`: "
                f"{say(float(angle[0]), 'angle')} at the start, "
                f"{say(float(angle[-1]), 'angle')} at the end; least "
                f"{say(least, 'angle')} from being in line, at pad {place}; {word}"
            )
            out.append(
                Finding(
                    code="arm-rod-angle",
                    verdict=verdict,
                    where=f"rod {link.rod.name} at {hole}, at pad {place}",
                    value=least,
                    limit=limit,
                    kind="angle",
                    text=text,
                )
            )
    return out


def dead_centre(x: Examined) -> list[Finding]:
    """Judge how far beyond either stop the nearest dead centres lie."""
    found = x.dead_centres()
    if not found:
        text = (
            f"no arm comes into line with its rod within {say(SEARCH, 'angle', 0)} of "
            "pedal beyond either stop"
        )
        return [
            Finding(code="dead-centre", verdict="fits", where="all rods", text=text)
        ]
    return [_dead_finding(x, d) for d in found]


def _dead_finding(x: Examined, d: DeadCentre) -> Finding:
    limit = x.layout.limits.dead_centre
    shaft = d.hole.shaft
    near = d.margin < limit
    place = say(d.pad_travel, "length")
    arm = f"arm `{d.hole}` comes into line with rod `{d.rod}`"
    verdict: Verdict
    if d.side == "inside":
        verdict = "do not fit"
        text = f"{arm} within the travel, at pad {place}: it can lock there"
    else:
        stop = "full" if d.side == "full" else "idle"
        verdict = "fits" if not near else "do not fit" if d.side == "full" else "look"
        text = (
            f"{arm} {say(d.margin, 'angle')} of {shaft} or {say(d.pad_margin, 'length')} "
            f"of pad beyond the {stop} end, stops removed; at least "
            f"{say(limit, 'angle')} is asked"
        )
    return Finding(
        code="dead-centre",
        verdict=verdict,
        where=f"rod {d.rod} at {d.hole} {d.side}, at pad {place}",
        value=d.margin,
        limit=limit,
        kind="angle",
        text=text,
    )


def joint_tilt(x: Examined) -> list[Finding]:
    """Judge how far every joint leans against what it allows."""
    out = []
    for link in x.layout.links:
        rod = link.rod
        line = x.lines[rod.name]
        kinds = dict(zip((str(rod.start), str(rod.end)), rod.joints, strict=True))
        for hole, tilt in (
            (link.driver, line.driver_tilt),
            (link.driven, line.driven_tilt),
        ):
            out.append(_tilt(x, rod.name, hole, (kinds[str(hole)], tilt)))
    return out


def _tilt(
    x: Examined, rod: str, hole: Hole, joint: tuple[Joint, FloatArray]
) -> Finding:
    kind, tilt = joint
    at = int(np.argmax(tilt))
    most, limit = float(tilt[at]), JOINT_TILT[kind]
    verdict: Verdict = "fits"
    if most > limit:
        verdict = "do not fit"
    elif most > TILT_SHARE * limit:
        verdict = "look"
    place = say(float(x.motion.pad_travel[at]), "length")
    return Finding(
        code="joint-tilt",
        verdict=verdict,
        where=f"rod {rod} at {hole}, at pad {place}",
        value=most,
        limit=limit,
        kind="angle",
        text=f"the {kind} of rod `{rod}` at `{hole}` leans {say(most, 'angle')} at most, "
        f"at pad {place}; it allows {say(limit, 'angle')}",
    )


def closing_arm(x: Examined, spring: Spring) -> FloatArray:
    """Return a spring's torque arm about its shaft, positive closing.

    Closing is against the way in which pressing turns the shaft at the start;
    a spring on a throttle's spindle closes against its opening sense.

    Returns
    -------
    ndarray, shape (n,)
        Distance of the spring's line from the centre line, signed. [m]
    """
    shaft = x.layout.shafts[spring.shaft]
    hole = Hole(shaft=spring.shaft, arm=spring.arm)
    here = frame(x.motion)
    line = here.vector(spring.anchor or (0, 0, 0)) - here.pin(hole)
    along = line / np.sqrt(dot(line, line))
    if spring.kind == "compression":
        along = -along
    arm = shaft.arms[spring.arm].length * dot(here.tangent(hole), along)
    throttle = x.layout.throttle_on(shaft.name)
    opening = np.sign(x.speeds.first[shaft.name][0]) if throttle is None else throttle.opens  # fmt: skip
    return np.asarray(-opening * arm)


def spring_line(x: Examined) -> list[Finding]:
    """Judge how near every spring's line comes to its spindle, and on which side."""
    out = []
    limit = x.layout.limits.spring_line
    for name, spring in x.layout.springs.items():
        if spring.anchor is None or not spring.arm:
            continue
        arm = closing_arm(x, spring)
        at = int(np.argmin(arm))
        least = float(arm[at])
        place = say(float(x.motion.pad_travel[at]), "length")
        crosses = least <= ROUNDING
        verdict: Verdict = (
            "do not fit" if crosses else "look" if least < limit else "fits"
        )
        if crosses and arm[0] <= ROUNDING:
            word = "works the opening way from the start: it is on the wrong side"
            if arm[0] > -THROUGH:
                word = f"passes through {spring.shaft} at the start"
            if arm[-1] > 0:
                first = float(x.motion.pad_travel[int(np.argmax(arm > 0))])
                word += f" and shuts only from pad {say(first, 'length')} on"
        elif crosses:
            first = float(x.motion.pad_travel[int(np.argmax(arm <= 0))])
            word = f"crosses {spring.shaft} at pad {say(first, 'length')} and holds it open from there"
        else:
            word = f"keeps {say(least, 'length')} of torque arm about {spring.shaft}, least at pad {place}"
        out.append(
            Finding(
                code="spring-line",
                verdict=verdict,
                where=f"spring {name}, at pad {place}",
                value=least,
                limit=limit,
                kind="length",
                text=f"spring `{name}` {word}; at least {say(limit, 'length')} is asked",
            )
        )
    return out
