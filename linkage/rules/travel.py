"""Rules about the travel: full throttle, idle, what is left over, twins, tip-in.

Not here: angles and dead centres (`checks.angles`), senses (`checks.senses`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from linkage.motion import sweep
from linkage.motion.setting import set_full_first
from linkage.motion.tip_in import first_move
from linkage.motion.tip_in import tip_in as start_of
from linkage.quantities import say
from linkage.rules.finding import Finding

if TYPE_CHECKING:
    from linkage.model import Throttle
    from linkage.rules.examine import Examined


def reach(x: Examined) -> list[Finding]:
    """Judge whether every rod reaches through the whole travel."""
    jam = x.working.jam
    if jam is None:
        text = "every rod reaches through the whole travel"
        return [Finding(code="reach", verdict="fits", where="all rods", text=text)]
    word = "short" if jam.miss > 0 else "long"
    extra = (
        f"; at the pedal's end it is {say(abs(jam.miss), 'length')} too {word}"
        if jam.miss
        else ""
    )
    text = (
        f"rod `{jam.rod}` jams with the pad at {say(jam.pad_travel, 'length')}: it goes "
        f"no further, {say(x.layout.pedal.end - jam.pad_travel, 'length')} before "
        f"the pedal's end{extra}"
    )
    return [
        Finding(
            code="reach",
            verdict="do not fit",
            where=f"rod {jam.rod}, at pad {say(jam.pad_travel, 'length')}",
            value=jam.pad_travel,
            limit=x.layout.pedal.end,
            kind="length",
            text=text,
        )
    ]


def play_loss(x: Examined, throttle: Throttle) -> float:
    """Return the opening that the play of all rods on the way takes away. [rad].

    A rod with play p acts as one that is longer or shorter by p before it
    moves its arm; each is carried on to the plate by the later ratios.
    """
    loss = 0.0
    path = x.layout.path_to(throttle.shaft)
    for i, link in enumerate(path):
        if not link.rod.play:
            continue
        loop = x.assembly.loop(link.rod.name)
        one, two = x.motion.pair(link.driver.shaft), x.motion.pair(link.driven.shaft)
        by_length = loop.by_length(
            (one[0][-1:], one[1][-1:]), (two[0][-1:], two[1][-1:])
        )[0]
        onward = math.prod(
            float(x.speeds.ratios[p.rod.name][-1]) for p in path[i + 1 :]
        )
        loss += abs(by_length * onward) * link.rod.play
    return loss


def full_throttle(x: Examined) -> list[Finding]:
    """Judge whether every plate reaches its full stop within the pedal's travel."""
    out = []
    limit = x.layout.limits.full_throttle
    for name, throttle in x.layout.throttles.items():
        loss = play_loss(x, throttle)
        reached = x.working.opening_at_end[name] - loss
        if x.working.is_stopped_by("full stop", name):
            reached = max(reached, _driven_on(x, throttle) - loss)
            reached = min(reached, throttle.swing)
        share = reached / throttle.swing
        fits = share >= limit
        where = f"{name}, at pad {say(x.working.end, 'length')}"
        missing = throttle.swing - reached
        play = f" less {say(loss, 'angle')} of play" if loss else ""
        text = (
            f"{name} reaches {say(reached, 'angle')} of {say(throttle.swing, 'angle')}"
            f" ({say(share, 'fraction')}){play}, stopped by the "
            f"{x.working.stopped_by}; at least {say(limit, 'fraction')} is asked"
        )
        if not fits:
            radius = _lever_radius(x, throttle)
            text += f"; {say(missing, 'angle')} or {say(missing * radius, 'length')} at its lever are missing"
        out.append(
            Finding(
                code="full-throttle",
                verdict="fits" if fits else "do not fit",
                where=where,
                value=share,
                limit=limit,
                kind="fraction",
                text=text,
            )
        )
    return out


def _driven_on(x: Examined, throttle: Throttle) -> float:
    """Return the opening the pedal would give at its own end with no full stop."""
    at_end = sweep(x.assembly, np.array([0.0, x.layout.pedal.end]))
    opening = float(at_end.opening(throttle.name)[1])
    return opening if math.isfinite(opening) else throttle.swing


def _lever_radius(x: Examined, throttle: Throttle) -> float:
    link = x.layout.path_to(throttle.shaft)[-1]
    return x.layout.shafts[throttle.shaft].arms[link.driven.arm].length


def left_over(x: Examined) -> list[Finding]:
    """Judge how much pad travel is left after the carburettor stop."""
    if not x.working.is_stopped_by("full stop"):
        return []
    limit = x.layout.limits.left_over_travel
    left = x.working.left_over
    fits = left <= limit
    text = (
        f"the {x.working.stopped_by} is met with {say(left, 'length')} of pad travel "
        f"left; up to {say(limit, 'length')} is in order"
    )
    if not fits:
        text += ", past that the foot loads rods and carburettor stop"
    return [
        Finding(
            code="left-over-travel",
            verdict="fits" if fits else "look",
            where=f"pedal, at pad {say(x.working.end, 'length')}",
            value=left,
            limit=limit,
            kind="length",
            text=text,
        )
    ]


def idle(x: Examined) -> list[Finding]:
    """Judge whether every lever rests on its idle stop with the pedal up."""
    out = []
    limit = x.layout.limits.idle_gap
    for name, throttle in x.layout.throttles.items():
        off = x.working.opening_at_start[name]
        held = off > limit
        radius = _lever_radius(x, throttle)
        if held:
            text = (
                f"{name} is held {say(off, 'angle')} off its idle stop with the pedal "
                f"up, {say(off * radius, 'length', 2)} at its lever{_held_by(x)}"
            )
        else:
            text = f"{name} rests on its idle stop with the pedal up"
        out.append(
            Finding(
                code="idle",
                verdict="do not fit" if held else "fits",
                where=f"{name}, at pad {say(0.0, 'length')}",
                value=max(off, 0.0) if off > 1e-9 else 0.0,
                limit=limit,
                kind="angle",
                text=text,
            )
        )
    return out


def _held_by(x: Examined) -> str:
    """Say which other lever meets its idle stop first and so holds this one off."""
    if x.working.start == 0:
        return ""
    first = min(x.working.opening_at_start, key=x.working.opening_at_start.__getitem__)
    return f": {first} is on its own idle stop first and holds the linkage there"


def lost_travel(x: Examined) -> list[Finding]:
    """Judge how much of the pedal's travel goes before the plate moves."""
    limit = x.layout.limits.lost_travel
    lost = first_move(x.layout, x.working)
    fits = lost <= limit
    text = (
        f"{say(lost, 'length')} of pad travel go before {x.layout.main.name} moves; "
        f"up to {say(limit, 'length')} is in order"
    )
    return [
        Finding(
            code="lost-travel",
            verdict="fits" if fits else "look",
            where=f"pedal, at pad {say(lost, 'length')}",
            value=lost,
            limit=limit,
            kind="length",
            text=text,
        )
    ]


def setting(x: Examined) -> list[Finding]:
    """Set full first, then prove idle: the trade's order, in numbers."""
    s = set_full_first(x.assembly)
    main = x.layout.main
    short = x.working.opening_at_end[main.name] - play_loss(x, main)
    if s is None or short / main.swing < x.layout.limits.full_throttle:
        return []  # not full is a finding of its own
    off = s.opening_at_rest
    held = off > x.layout.limits.idle_gap
    if held:
        outcome = f"then holds {x.layout.main.name} {say(off, 'angle')} off its idle stop: the linkage moves the lever less than its swing"
    else:
        outcome = f"then rests on its idle stop at the first {say(s.start, 'length')} of pad, so idle is proven"
    text = (
        f"set full first: rod `{s.rod}` at {say(s.length, 'length')} centre to centre "
        f"meets the full stop with the pad at {say(s.pad_travel, 'length')}; the lever "
        f"{outcome}"
    )
    return [
        Finding(
            code="full-then-idle",
            verdict="look" if held else "fits",
            where=f"rod {s.rod}, at pad {say(0.0, 'length')}",
            value=off,
            limit=x.layout.limits.idle_gap,
            kind="angle",
            text=text,
        )
    ]


def stop_gaps(x: Examined) -> list[Finding]:
    """Tell what gap is left at either stop."""
    out = []
    for name, throttle in x.layout.throttles.items():
        radius = _lever_radius(x, throttle)
        at_idle = max(x.working.opening_at_start[name], 0.0)
        at_full = max(throttle.swing - x.working.opening_at_end[name], 0.0)
        text = (
            f"{name}: gap at the lever {say(at_idle * radius, 'length', 2)} at the idle "
            f"stop with the pedal up, {say(at_full * radius, 'length', 2)} at the full "
            f"stop with the pad at {say(x.working.end, 'length')}"
        )
        out.append(
            Finding(
                code="stop-gap",
                verdict="fits",
                where=f"{name}, both stops",
                value=at_full * radius,
                kind="length",
                text=text,
            )
        )
    return out


def tip_in(x: Examined) -> list[Finding]:
    """Judge how much throttle the first tenth of the travel gives."""
    first = start_of(x.assembly, x.working)
    if first.end <= first.start:
        return []
    limit = x.layout.limits.tip_in
    fits = first.ratio <= limit
    text = (
        f"the first tenth of the travel gives {say(first.ratio, 'angle per travel')} of "
        f"throttle; more than {say(limit, 'angle per travel')} is touchy"
    )
    return [
        Finding(
            code="tip-in",
            verdict="fits" if fits else "look",
            where=f"{x.layout.main.name}, at pad {say(first.start, 'length')} to {say(first.end, 'length')}",
            value=first.ratio,
            limit=limit,
            kind="angle per travel",
            text=text,
        )
    ]


def spread(x: Examined) -> list[Finding]:
    """Judge whether several throttles open together, and the kickdown never first."""
    plates = x.layout.plates
    out = [_differ(x, plates[0], other) for other in plates[1:]]
    for lever in x.layout.throttles.values():
        if lever.kind != "kickdown":
            continue
        first = x.working.is_stopped_by("full stop", lever.name)
        main, short = x.layout.main, x.throttle_share
        bad = first and short < x.layout.limits.full_throttle
        text = (
            f"kickdown lever {lever.name} meets its end first, with {main.name} at "
            f"{say(short, 'fraction')}: it keeps the plate from opening"
            if bad
            else f"kickdown lever {lever.name} never stops the plate"
        )
        out.append(
            Finding(
                code="kickdown",
                verdict="do not fit" if bad else "fits",
                where=f"{lever.name}, at pad {say(x.working.end, 'length')}",
                value=short,
                limit=x.layout.limits.full_throttle,
                kind="fraction",
                text=text,
            )
        )
    return out


def _differ(x: Examined, one: Throttle, two: Throttle) -> Finding:
    gap = np.abs(x.motion.opening(one.name) - x.motion.opening(two.name))
    at = int(np.argmax(gap))
    limit = x.layout.limits.throttle_spread
    value = float(gap[at])
    place = say(float(x.motion.pad_travel[at]), "length")
    return Finding(
        code="throttle-spread",
        verdict="fits" if value <= limit else "look",
        where=f"{one.name} and {two.name}, at pad {place}",
        value=value,
        limit=limit,
        kind="angle",
        text=f"{one.name} and {two.name} differ by {say(value, 'angle')} at most, with "
        f"the pad at {place}; up to {say(limit, 'angle')} is in order",
    )
