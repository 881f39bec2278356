"""Rules about loads: pad force, rods that push, the stamped foot.

Not here: shutting (`checks.shutting`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.finding import Finding, Verdict

if TYPE_CHECKING:
    from linkage.forces import RodSense, Stamp
    from linkage.rules.loaded import Loaded

#: Push below which a rod's diameter does not matter. [N]
SLIGHT = 1.0


def pad_force(y: Loaded) -> list[Finding]:
    """Hold the pad force against what a foot likes."""
    limits = y.examined.layout.limits
    force = y.statics.pad_force_pressing
    if np.isnan(force).any():
        at = int(np.argmax(np.isnan(force)))
        place = say(float(y.statics.pad_travel[at]), "length")
        return [
            Finding(
                code="pad-force",
                verdict="do not fit",
                where=f"pedal, at pad {place}",
                text=f"friction in a bearing locks the linkage at pad {place}: the rod "
                "pulls almost through the shaft it should turn",
            )
        ]
    return [_light(y, limits.pad_force_light), _heavy(y)]


def _light(y: Loaded, limit: float) -> Finding:
    value = float(y.statics.pad_force_pressing[0])
    fits = value >= limit
    text = f"pad force {say(value, 'force')} at the start; "
    text += f"under {say(limit, 'force')} the foot has no feel"
    return Finding(
        code="pad-force-light",
        verdict="fits" if fits else "look",
        where=f"pedal, at pad {say(float(y.statics.pad_travel[0]), 'length')}",
        value=value,
        limit=limit,
        kind="force",
        text=text,
    )


def _heavy(y: Loaded) -> Finding:
    limits = y.examined.layout.limits
    s = y.statics
    at = int(np.argmax(s.pad_force_pressing))
    value = float(s.pad_force_pressing[at])
    verdict: Verdict = "fits"
    limit = limits.pad_force_look
    if value > limits.pad_force_refuse:
        verdict, limit = "do not fit", limits.pad_force_refuse
    elif value > limits.pad_force_look:
        verdict = "look"
    place = say(float(s.pad_travel[at]), "length")
    shares = ", ".join(
        f"`{n}` {say(float(f[at]), 'force')}" for n, f in s.split.items()
    )
    friction = say(float(s.pad_force_pressing[at] - s.pad_force[at]), "force")
    weight = float(s.weight_share[at])
    shares += f", friction {friction}"
    if weight:
        shares += f", weight {say(weight, 'force')}"
    text = (
        f"pad force at most {say(value, 'force')} pressing, at pad {place} "
        f"({shares}), {say(float(s.pad_force_releasing[at]), 'force')} releasing there; "
        f"over {say(limits.pad_force_look, 'force')} is heavy, over "
        f"{say(limits.pad_force_refuse, 'force')} bad"
    )
    return Finding(
        code="pad-force",
        verdict=verdict,
        where=f"pedal, at pad {place}",
        value=value,
        limit=limit,
        kind="force",
        text=text,
    )


def pull_changes(y: Loaded) -> list[Finding]:
    """Name the rods that turn between pull and push under load."""
    out = []
    for r in y.rods:
        if r.turns_over:
            place = say(r.turns_at, "length")
            other = "push" if r.pressing == "pull" else "pull"
            text = (
                f"rod `{r.rod}` turns from {r.pressing} to {other} at pad {place} under "
                "load: its joints knock through their play there"
            )
        else:
            place = "whole travel"
            text = f"rod `{r.rod}`: {_carried(r)}"
        out.append(
            Finding(
                code="pull-changes",
                verdict="look" if r.turns_over else "fits",
                where=f"rod {r.rod}, {'at pad ' + place if r.turns_over else place}",
                value=max(r.most_pull, r.most_push),
                kind="force",
                text=text,
            )
        )
    return out


def _carried(r: RodSense) -> str:
    if r.pressing == "nothing":
        return "carries nothing"
    most = r.most_pull if r.pressing == "pull" else r.most_push
    return f"{r.pressing}, {say(most, 'force')} at most while pressing"


def rod_push(y: Loaded) -> list[Finding]:
    """Hold every push against buckling, a stamped foot included."""
    out = []
    share = y.examined.layout.limits.euler_share
    for r in y.rods:
        stamped = max(-y.stamp.real.rods[r.rod], 0.0)
        push = max(r.most_push, stamped)
        if push <= SLIGHT:
            continue
        by_foot = stamped >= r.most_push
        travel = y.stamp.pad_travel if by_foot else r.most_push_at
        place = say(travel, "length")
        euler = y.stamp.euler[r.rod]
        cause = " under a stamped foot" if by_foot and not y.stamp.by_pedal else ""
        text = (
            f"rod `{r.rod}` is pushed with {say(push, 'force')}{cause} at pad {place}"
        )
        verdict: Verdict = "fits"
        limit = None
        if euler is None:
            verdict = "look"
            text += "; its `diameter` is not given, so buckling was not checked"
        else:
            limit = share * euler
            text += (
                f"; it buckles at {say(euler, 'force', 0)} (Euler, pin-ended, straight), "
                f"and {say(share, 'fraction', 0)} of that is allowed"
            )
            verdict = "fits" if push <= limit else "do not fit"
        out.append(
            Finding(
                code="rod-push",
                verdict=verdict,
                where=f"rod {r.rod}, at pad {place}",
                value=push,
                limit=limit,
                kind="force",
                text=text,
            )
        )
    return out


def _stop(s: Stamp) -> str:
    """Return what takes the foot without a pedal stop, in words."""
    of = " of " if s.taken_by.kind == "full stop" else " "
    return f"{s.taken_by.kind}{of}{s.taken_by.name}"


def stamp(y: Loaded) -> list[Finding]:
    """Tell what takes a stamped foot at the end of the travel."""
    s = y.stamp
    place = say(s.pad_travel, "length")
    foot = say(s.load, "force", 0)
    through = s.plate_stop
    rods = ", ".join(
        f"rod `{n}` {'pulled' if f >= 0 else 'pushed'} with {say(abs(f), 'force', 0)}"
        for n, f in through.rods.items()
    )
    pedal = y.examined.layout.pedal.shaft
    clamp, torque = max(
        (pair for pair in through.clamps.items() if pair[0].name != pedal),
        key=lambda pair: float(f"{pair[1]:.9g}"),  # the first of those alike
    )
    load = (
        f"{rods}; {say(torque, 'torque', 1)} on the clamp of `{clamp.name}.{clamp.part}`, "
        f"{say(through.stop_torque, 'torque', 1)} on the {_stop(s)}"
    )
    if s.by_pedal:
        stop = y.examined.working.stopped_by
        stop = Ref("pedal stop") if stop.kind == "full stop" else stop
        text = (
            f"a foot of {foot} at pad {place} is taken by the {stop}, "
            f"{say(s.pedal_stop.pedal_stop, 'force', 0)} on it; without it: {load}"
        )
    else:
        text = (
            f"no pedal stop takes a foot of {foot} at pad {place}; the "
            f"{y.examined.working.stopped_by} does: {load}"
        )
    return [
        Finding(
            code="stamp-load",
            verdict="fits" if s.by_pedal else "look",
            where=f"pedal, at pad {place}",
            value=s.real.stop_torque,
            kind="torque",
            text=text,
        )
    ]
