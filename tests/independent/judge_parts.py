"""What can fail alone, by parts and not by names, and all that goes with it.

A pin takes what hangs on holes within 5 mm of it; an arm takes what hangs on the
same lever (within 5 mm along the shaft and 10 degrees); an anchor takes springs
anchored within 10 mm on the same thing; a shaft off its pivot takes all its rods
and springs.

Not here: what still shuts the plate then (`judge`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

PIN_APART = 5e-3
ANCHOR_APART = 10e-3
LEVER_APART = 5e-3
LEVER_ANGLE = math.radians(10)


@dataclass(frozen=True)
class Loss:
    """One part that has failed, and the rods and springs it takes."""

    part: str
    gone: frozenset[tuple[str, str]]


def _hung(layout, shaft: str, arms) -> frozenset[tuple[str, str]]:
    """Rods and springs on some arms of a shaft."""
    rods = {
        ("rod", n)
        for n, r in layout.rods.items()
        if any(h.shaft == shaft and h.arm in arms for h in (r.start, r.end))
    }
    springs = {
        ("spring", n)
        for n, s in layout.springs.items()
        if s.shaft == shaft and s.arm and s.arm in arms
    }
    return frozenset(rods | springs)


def _turned_apart(one, two) -> float:
    away = (one.angle - two.angle + math.pi) % (2 * math.pi) - math.pi
    return abs(away)


def _of_arms(layout):
    for name, shaft in layout.shafts.items():
        for a in shaft.arms.values():
            near = {
                b.name
                for b in shaft.arms.values()
                if math.dist(shaft.pin(a.name), shaft.pin(b.name)) <= PIN_APART
            }
            yield Loss(f"pin at {name}.{a.name}", _hung(layout, name, near))
            lever = {
                b.name
                for b in shaft.arms.values()
                if abs(a.offset - b.offset) <= LEVER_APART
                and _turned_apart(a, b) <= LEVER_ANGLE
            }
            yield Loss(f"arm {name}.{a.name}", _hung(layout, name, lever))


def _of_anchors(layout):
    fixed = {n: s for n, s in layout.springs.items() if s.anchor is not None}
    for name, s in fixed.items():
        near = {
            ("spring", n)
            for n, t in fixed.items()
            if t.anchored_on == s.anchored_on
            and math.dist(s.anchor, t.anchor) <= ANCHOR_APART
        }
        yield Loss(f"anchor of {name}", frozenset(near))


def losses(layout) -> list[Loss]:
    """Return every part that can fail and takes anything with it."""
    found = [Loss(f"spring {n}", frozenset({("spring", n)})) for n in layout.springs]
    found += [Loss(f"rod {n}", frozenset({("rod", n)})) for n in layout.rods]
    found += _of_arms(layout)
    found += _of_anchors(layout)
    ends = {layout.pedal.shaft, *(t.shaft for t in layout.plates)}
    for name, shaft in layout.shafts.items():
        if name not in ends:
            turned = {
                ("spring", n) for n, s in layout.springs.items() if s.shaft == name
            }
            gone = _hung(layout, name, set(shaft.arms)) | turned
            found.append(Loss(f"shaft {name} off its pivot", gone))
    return [x for x in found if x.gone]


def together(layout, shaft: str, gone) -> set[str]:
    """Return the shafts that still hang together with one."""
    found = {shaft}
    while True:
        more = {
            end
            for k in layout.links
            if ("rod", k.rod.name) not in gone
            and {k.driver.shaft, k.driven.shaft} & found
            for end in (k.driver.shaft, k.driven.shaft)
        }
        if more <= found:
            return found
        found |= more
