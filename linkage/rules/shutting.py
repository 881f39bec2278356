"""Rules about shutting: torque against friction, single failures, time to idle.

Not here: each spring by itself (`checks.spring_rules`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from linkage.forces import INTACT, return_limit
from linkage.quantities import say
from linkage.rules.finding import Cure, Finding, Verdict

if TYPE_CHECKING:
    from linkage.forces import Fall, Return
    from linkage.rules.loaded import Loaded

#: Sources of energy asked for, 49 CFR 571.124 S5.1.
SOURCES = 2


def _torque(r: Return, y: Loaded) -> tuple[str, str]:
    """Return torque against friction at the worst position, and its place."""
    at = r.worst
    torque, lost = float(r.closing_torque[at]), float(r.friction_torque[at])
    place = say(float(y.statics.pad_travel[at]), "length")
    if math.isinf(lost):
        return "friction locks it", place
    against = (
        f"against {say(lost, 'torque')} of friction" if lost else "and no friction"
    )
    word = "closing torque" if torque > 0 else "torque, which does not shut it"
    return f"{say(torque, 'torque')} of {word} {against}", place


def _ratio(value: float) -> str:
    return "" if math.isinf(value) else f", {say(value, 'ratio', 1)} times it"


def closing_torque(y: Loaded) -> list[Finding]:
    """Hold the closing torque of all springs together against friction."""
    out = []
    limit = y.examined.layout.limits.closing_ratio
    for r in y.intact:
        value = float(r.ratio[r.worst])
        verdict: Verdict = "fits" if value >= limit else "do not fit"
        words, place = _torque(r, y)
        loose, cure = "", None
        if verdict == "fits" and y.statics.frictionless:
            verdict = "look"
            names = ", ".join(f"`{name}`" for name in y.statics.frictionless)
            loose = f"; friction was NOT counted in {names}"
            cure = Cure(text=f"give `bearing` or `drag` of {names}, and check again")
        out.append(
            Finding(
                code="closing-torque",
                verdict=verdict,
                where=f"{r.throttle}, at pad {place}",
                value=value,
                limit=limit,
                text=f"{r.throttle}: {words} at pad {place}, where least is left"
                f"{_ratio(value)}; at least {say(limit, 'ratio', 1)} times is asked{loose}",
                cure=cure,
            )
        )
    return out


def one_off(y: Loaded) -> list[Finding]:
    """Hold the closing torque against friction with any one spring off or rod parted.

    A failure that leaves no spring at all is named by another rule.
    """
    out = []
    limit = y.examined.layout.limits.closing_ratio_one_off
    for r in y.returns:
        if r.failure == INTACT or r.unsprung:
            continue
        value = float(r.ratio[r.worst])
        words, place = _torque(r, y)
        out.append(
            Finding(
                code="closing-torque-one-off",
                verdict="fits" if value >= limit else "do not fit",
                where=f"{r.throttle} with {r.failure.text}, at pad {place}",
                value=value,
                limit=limit,
                text=f"{r.throttle} with {r.failure.text}: {words} at pad {place}"
                f"{_ratio(value)}; at least {say(limit, 'ratio', 1)} times is asked",
            )
        )
    return out


def energy_sources(y: Loaded) -> list[Finding]:
    """Count the sources of energy: two, one of them at the spindle."""
    out = []
    for s in y.sources:
        count = len(s.shutting)
        names = ", ".join(f"`{n}`" for n in s.shutting) or "none"
        verdict: Verdict = "fits"
        text = f"springs that shut {s.throttle} at every position: {names}"
        if count < SOURCES:
            verdict = "do not fit"
            text += f"; {SOURCES} are asked, so that one may break"
        elif not s.on_spindle and not _bare(y, s.throttle):
            verdict = "look"
            text += "; none of them acts on the spindle itself"
        elif s.shared:
            one, two = s.shared[0]
            verdict = "look"
            text += f"; `{one}` and `{two}` share a hook or an anchor, and one fault may take both"
        elif s.on_spindle:
            text += "; on the spindle: " + ", ".join(f"`{n}`" for n in s.on_spindle)
        out.append(
            Finding(
                code="energy-sources",
                verdict=verdict,
                where=f"{s.throttle}, whole travel",
                value=float(count),
                limit=float(SOURCES),
                text=f"{text} (49 CFR 571.124 S5.1)",
            )
        )
    return out


def _bare(y: Loaded, throttle: str) -> list[str]:
    """Return the rods whose parting leaves a plate without a spring."""
    return [
        r.failure.ref.name
        for r in y.returns
        if r.throttle == throttle and r.failure.kind == "rod" and r.unsprung
    ]


def unsprung(y: Loaded) -> list[Finding]:
    """Name the parted rods that leave a plate without a spring."""
    out = []
    for intact in y.intact:
        bare = _bare(y, intact.throttle)
        if bare and intact.unsprung:
            continue  # no spring at all: the sources say so
        text = f"{intact.throttle} keeps a spring whichever rod or joint parts"
        if bare:
            rods = " or ".join(f"`{name}`" for name in bare)
            text = f"if rod {rods} or a joint of it parts, no spring is left on {intact.throttle}"
        out.append(
            Finding(
                code="unsprung-if-parted",
                verdict="do not fit" if bare else "fits",
                where=f"{intact.throttle}, whole travel",
                value=float(len(bare)),
                limit=0.0,
                text=f"{text} (49 CFR 571.124 S5.2)",
            )
        )
    return out


def _hopeless(y: Loaded, f: Fall) -> bool:
    """Tell whether another rule says already that the plate does not shut."""
    r = next(
        r for r in y.returns if r.failure == f.failure and r.throttle == f.throttle
    )
    return r.unsprung or not np.all(r.ratio > 1)


def time_to_idle(y: Loaded) -> list[Finding]:
    """Hold the time to idle, with any one part failed, against the regulation."""
    limit, why = return_limit(y.examined.layout)
    out = []
    for plate in dict.fromkeys(f.throttle for f in y.falls):
        mine = [f for f in y.falls if f.throttle == plate and not _hopeless(y, f)]
        if not mine:
            continue
        worst = max(mine, key=lambda f: f.time)
        whole = next((f.time for f in mine if f.failure == INTACT), math.inf)
        fits = worst.time <= limit
        slow = (
            f"comes to rest at pad {say(worst.stuck_at, 'length')}"
            if math.isinf(worst.time)
            else f"is at idle after {say(worst.time, 'time', 2)}"
        )
        besides = (
            ""
            if worst.failure == INTACT
            else f" ({say(whole, 'time', 2)} with nothing failed)"
        )
        text = (
            f"let go at full, {plate} {slow} with {worst.failure.text}"
            f"{besides}; "
            f"up to {say(limit, 'time', 1)} is allowed, {why} (49 CFR 571.124 S5.3)"
        )
        if worst.estimated:
            text += "; inertia estimated from sizes"
        out.append(
            Finding(
                code="time-to-idle",
                verdict="fits" if fits else "do not fit",
                where=f"{plate}, from full",
                value=worst.time,
                limit=limit,
                kind="time",
                text=text,
            )
        )
    return out
