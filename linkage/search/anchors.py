"""Places to which a spring's anchor may be moved, in steps of 1 mm or 1/32 in.

Not here: other springs (`search.spring_changes`), which of them mends a finding
(`search.sources`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal, cast

import numpy as np

from linkage.model import Hole
from linkage.model.refs import Ref
from linkage.motion import frame
from linkage.search.changes import measured_off, place_step
from linkage.search.family import Family, Step, always

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]


def moved(layout: Layout, name: str, targets: FloatArray) -> Iterator[Family]:
    """Yield a spring's anchor moved to each of some places, shape (k, 3)."""
    anchor = layout.springs[name].anchor
    if anchor is None:
        return
    targets = measured_off(np.asarray(targets, dtype=float))
    way = np.sqrt(((targets - np.array(anchor)) ** 2).sum(axis=1))
    elsewhere = way >= place_step() / 2
    targets, way = targets[elsewhere], way[elsewhere]
    about = Ref("spring", name)

    def step(i: int) -> Step:
        new = tuple(targets[i].tolist())
        return Step(
            kind="spring anchor",
            about=about,
            old=anchor,
            new=new,
            more={"way": float(way[i])},
        )

    yield Family(
        base=layout,
        sets={("springs", name, "anchor", k): targets[:, k] for k in range(3)},
        effort=way / 0.1,
        step=step,
        moves_stroke=False,
    )


def carried(layout: Layout) -> Iterator[Family]:
    """Yield anchors put where they move with their hooks: each spring's, then all.

    On the engine where the shaft is on it, and else on the body.
    """
    moves = {}
    for name, spring in layout.springs.items():
        on = "engine" if spring.shaft in layout.engine.carries else "body"
        if spring.anchor is not None and spring.anchored_on != on:
            moves[name] = cast("Literal['engine', 'body']", on)
    for some in [[name] for name in moves] + [list(moves)] * (len(moves) > 1):
        base = layout
        for name in some:
            base = base.with_spring(
                replace(layout.springs[name], anchored_on=moves[name])
            )
        told = {name: moves[name] for name in some}
        yield Family(
            base=base,
            sets={},
            effort=np.array([0.5 * len(some)]),
            step=always(
                Step(
                    kind="spring carried",
                    about=Ref("spring", some[0]),
                    more={"springs": told},
                )
            ),
            moves_stroke=False,
        )


class Hook:
    """A spring's hook through the travel, and its line at idle.

    Parameters
    ----------
    motion : Motion
        Of one layout.
    name : str
        The spring, which has an anchor.
    """

    def __init__(self, motion: Motion, name: str) -> None:
        layout = motion.assembly.layout
        spring = layout.springs[name]
        hole = Hole(shaft=spring.shaft, arm=spring.arm)
        table = frame(motion)
        self.pins = table.pin(hole).T
        self.tangents = table.tangent(hole).T
        self.normal = np.array(layout.shafts[spring.shaft].across, dtype=float)
        self.anchor = np.array(spring.anchor, dtype=float)
        self.line = self.anchor - self.pins[0]
        self.unit = self.line / np.sqrt(self.line @ self.line)


def mirrored(motion: Motion, name: str) -> Iterator[Family]:
    """Yield an anchor across its hook's arm, as it stands through the travel."""
    layout = motion.assembly.layout
    if layout.springs[name].anchor is None:
        return
    hook = Hook(motion, name)
    picked = np.round(np.linspace(0, 1, 5) * (len(hook.pins) - 1)).astype(int)
    away = hook.anchor - hook.pins[picked]
    across = hook.tangents[picked]
    aside = (away * across).sum(axis=1, keepdims=True)
    yield from moved(layout, name, hook.pins[picked] + away - 2 * aside * across)


def across(motion: Motion, name: str) -> Step | None:
    """Return a spring's anchor across its hook's arm at rest; None where it has none.

    Where its shaft turns the other way then, it is worked as it was before.
    """
    spring = motion.assembly.layout.springs[name]
    if spring.anchor is None or not spring.arm:
        return None
    hook = Hook(motion, name)
    away, tangent = hook.anchor - hook.pins[0], hook.tangents[0]
    place = measured_off(hook.anchor - 2 * (away @ tangent) * tangent)
    far = place - hook.anchor
    more = {"way": float(np.sqrt(far @ far))}
    new = tuple(place.tolist())
    about = Ref("spring", name)
    return Step(
        kind="spring anchor", about=about, old=spring.anchor, new=new, more=more
    )


def along(motion: Motion, name: str, steps: Sequence[int] | range) -> Iterator[Family]:
    """Yield an anchor moved along the spring's line at idle, away from its hook."""
    layout = motion.assembly.layout
    if layout.springs[name].anchor is not None:
        hook = Hook(motion, name)
        way = np.array(steps)[:, None] * place_step()
        yield from moved(layout, name, hook.anchor + way * hook.unit)


def turned(motion: Motion, name: str) -> Iterator[Family]:
    """Yield an anchor swung about its hook at idle, up to 90° either way."""
    layout = motion.assembly.layout
    if layout.springs[name].anchor is None:
        return
    hook = Hook(motion, name)
    flat = hook.line - (hook.line @ hook.normal) * hook.normal
    out = hook.line - flat
    swung = np.radians(5.0 * np.arange(1, 19))
    swung = np.stack([swung, -swung], axis=1).ravel()[:, None]
    around = np.cos(swung) * flat + np.sin(swung) * np.cross(hook.normal, flat)
    yield from moved(layout, name, hook.pins[0] + around + out)
