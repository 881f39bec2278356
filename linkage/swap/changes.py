"""What differs between two layouts, as things to make and things to do.

Not here: whether it helps (`swap.cures`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from linkage.model.axes import add, norm
from linkage.motion import assemble
from linkage.quantities import say, say_point

if TYPE_CHECKING:
    from linkage.model import Arm, Layout, Shaft

#: Differences under these are none. [m], [rad]
SAME_LENGTH = 1e-6
SAME_ANGLE = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Changes:
    """What it takes to come from one layout to another.

    Parameters
    ----------
    parts : tuple of str
        New parts to be made.
    work : tuple of str
        What is turned, moved or cut anew, rods last.
    """

    parts: tuple[str, ...]
    work: tuple[str, ...]


def _turned(old: Arm, new: Arm) -> bool:
    return abs(math.remainder(new.angle - old.angle, 2 * math.pi)) > SAME_ANGLE


def _angle_between(shaft: Shaft, names: list[str]) -> list[float]:
    first = shaft.arms[names[0]].angle
    return [math.remainder(shaft.arms[n].angle - first, 2 * math.pi) for n in names[1:]]


def _one_piece(old: Shaft, new: Shaft, layout: Layout) -> bool:
    """Tell whether the angle changed between arms of a crank that carries two rods."""
    ends = [h for link in layout.links for h in link.holes]
    names = list(dict.fromkeys(h.arm for h in ends if h.shaft == new.name))
    known = [n for n in names if n in old.arms]
    is_end = layout.throttle_on(new.name) is not None
    if len(known) < 2 or is_end:
        return False
    return any(
        abs(math.remainder(a - b, 2 * math.pi)) > SAME_ANGLE
        for a, b in zip(
            _angle_between(old, known), _angle_between(new, known), strict=True
        )
    )


def changes(old: Layout, new: Layout, *, clamped: str) -> Changes:
    """Return what it takes to come from one layout to another.

    Parameters
    ----------
    old, new : Layout
        Both can be put together, the new one for certain.
    clamped : str
        The shaft whose arms are set on it one by one; another that carries two
        rods is one piece, and a new part when the angle between them changes.
    """
    parts: list[str] = []
    work: list[str] = []
    for name, shaft in new.shafts.items():
        if name not in old.shafts:
            sizes = " and ".join(
                f"`{a.name}` {say(a.length, 'length')} at {say(a.angle, 'angle', 0)}"
                for a in shaft.arms.values()
            )
            parts.append(f"{name}, pivot at {say_point(shaft.pivot, 1)}, arms {sizes} seen from {shaft.axis.seen_from}")  # fmt: skip
            continue
        was = old.shafts[name]
        piece = name != clamped and _one_piece(was, shaft, new)
        more, done = _arms(was, shaft, piece=piece)
        parts += more
        work += done
    work += _springs(old, new)
    rods, cut = _rods(old, new)
    return Changes(parts=(*parts, *rods), work=(*work, *cut))


def _arms(old: Shaft, new: Shaft, *, piece: bool) -> tuple[list[str], list[str]]:
    parts, work = [], []
    told = []
    for name, arm in new.arms.items():
        was = old.arms.get(name)
        if was is None:
            parts.append(f"arm `{new.name}.{name}`, {say(arm.length, 'length')} at {say(arm.angle, 'angle', 0)}")  # fmt: skip
            continue
        told.append(
            f"`{name}` {say(arm.length, 'length')} at {say(arm.angle, 'angle', 0)}"
        )
        if piece:
            continue
        size = f"{say(arm.length, 'length')} instead of {say(was.length, 'length')}"
        turn = f"{say(arm.angle, 'angle', 0)} instead of {say(was.angle, 'angle', 0)}"
        if abs(arm.length - was.length) > SAME_LENGTH:
            end = f", at {turn}" if _turned(was, arm) else ""
            parts.append(f"arm `{new.name}.{name}` of {size}{end}")
        elif _turned(was, arm):
            work.append(f"set arm `{new.name}.{name}` at {turn}, seen from {new.axis.seen_from}")  # fmt: skip
        if abs(arm.offset - was.offset) > SAME_LENGTH:
            work.append(f"slide arm `{new.name}.{name}` to {say(arm.offset, 'length')} along its shaft")  # fmt: skip
    if piece:
        parts.append(f"{new.name} with arms {', '.join(told)}, seen from {new.axis.seen_from}")  # fmt: skip
    return parts, work


def _springs(old: Layout, new: Layout) -> list[str]:
    out = []
    for name, spring in new.springs.items():
        was = old.springs[name]
        if spring.anchor is not None and was.anchor is not None:
            if norm(add(spring.anchor, was.anchor, -1)) > SAME_LENGTH:
                out.append(f"anchor spring `{name}` at {say_point(spring.anchor)}")
        elif spring.known != was.known:
            out.append(f"fit spring `{name}` of the other hand")
    if new.pedal.stop is not None and new.pedal.stop != old.pedal.stop:
        out.append(
            f"set the pedal stop to {say(new.pedal.stop, 'length')} of pad travel"
        )
    return out


def _rods(old: Layout, new: Layout) -> tuple[list[str], list[str]]:
    lengths = {p.link.rod.name: p.length for p in assemble(new).loops}
    try:
        before = {p.link.rod.name: p.length for p in assemble(old).loops}
    except ValueError:
        before = {}
    parts, cut = [], []
    for name, rod in new.rods.items():
        size = say(lengths[name], "length")
        if name not in old.rods:
            parts.append(f"rod `{name}` of {size}, from {rod.start} to {rod.end}")
        elif name not in before:
            cut.append(f"cut rod `{name}` to {size}")
        elif abs(lengths[name] - before[name]) > SAME_LENGTH:
            cut.append(f"cut rod `{name}` to {size} instead of {say(before[name], 'length')}")  # fmt: skip
    return parts, cut
