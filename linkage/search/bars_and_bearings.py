"""Changes to rods' bars, to springs in them and to bearings, for findings of force.

Not here: return springs (`search.spring_changes`), arms (`search.changes`), which of them
mends a finding (`search.cures`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.connect.bar import YOUNG
from linkage.model.refs import Ref
from linkage.rules.examine import STOP_STEP, stop_before
from linkage.search.family import Family, Step
from linkage.shown_units import in_inches

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.model.paths import Path

    FloatArray = NDArray[np.float64]

#: Sizes of round bar that rods are made of, for those who measure in millimetres and in
#: inches; common practice, no source. [m]
BARS: Final = (5e-3, 6e-3, 8e-3, 10e-3, 12e-3)
INCH_BARS: Final = tuple(0.0254 / 16 * n for n in (3, 4, 5, 6, 7, 8))
#: Step in which the load of an over-travel spring is set. [N]
_NEWTONS: Final = 5.0
#: Step in which its way is. [m]
_MILLIMETRES: Final = 1e-3
#: Places that are tried for a pedal stop before it is used up.
_SOONER: Final = 20
#: What is left of a bearing's friction when it is freed, bushed or greased.
FREER: Final = np.array([0.75, 0.5, 0.35, 0.25, 0.15, 0.1])


def thicker(layout: Layout, rod: str, length: float, push: float) -> Iterator[Family]:
    """Yield a rod of the bars that stand a push by Euler. [m], [N]."""
    old = layout.rods[rod]
    area_moment = push / layout.limits.euler_share * length**2
    area_moment /= math.pi**2 * YOUNG[old.material]
    least = (64 * area_moment / math.pi) ** 0.25
    sold = INCH_BARS if in_inches() else BARS
    bars = np.array([b for b in sold if b >= least and b > old.diameter])
    about, more = Ref("rod", rod), {"material": old.material}
    yield Family(
        base=layout,
        sets={("rods", rod, "diameter"): bars, ("rods", rod, "bore"): 0 * bars},
        effort=bars / 0.01,
        step=lambda i: Step(
            kind="rod bar", about=about, old=old.diameter, new=float(bars[i]), more=more
        ),
        moves_stroke=False,
    )


def firmer(layout: Layout, rod: str) -> Iterator[Family]:
    """Yield a rod whose over-travel spring is put in with more load."""
    old = layout.rods[rod].over_travel_load
    loads = _NEWTONS * (np.floor(old / _NEWTONS) + np.arange(1, 61))
    yield Family(
        base=layout,
        sets={("rods", rod, "over_travel_load"): loads},
        effort=loads / old,
        step=_load_step(rod, old, loads),
        moves_stroke=False,
    )


def softer(layout: Layout) -> Iterator[Family]:
    """Yield rods whose over-travel spring is put in with less load."""
    for name, rod in layout.rods.items():
        old = rod.over_travel_load
        count = math.ceil(old / _NEWTONS - 1e-6) - 1
        if not rod.over_travel or count < 1:
            continue
        loads = _NEWTONS * np.arange(count, 0, -1.0)
        yield Family(
            base=layout,
            sets={("rods", name, "over_travel_load"): loads},
            effort=old / loads,
            step=_load_step(name, old, loads),
            moves_stroke=False,
        )


def _load_step(rod: str, old: float, loads: FloatArray) -> Callable[[int], Step]:
    return lambda i: Step(
        kind="over-travel load", about=Ref("rod", rod), old=old, new=float(loads[i])
    )


def farther(layout: Layout, rod: str, end: float) -> Iterator[Family]:
    """Yield a rod with an over-travel spring of more way, and a stop before its end.

    Parameters
    ----------
    layout : Layout
        As it is.
    rod : str
        The rod; none of one without such a spring.
    end : float
        Pad travel at which its spring is used up. [m]
    """
    old = layout.rods[rod].over_travel
    if not old:
        return
    ways = _MILLIMETRES * (np.floor(old / _MILLIMETRES + 1e-6) + np.arange(1, 41))
    yield Family(
        base=layout,
        sets={("rods", rod, "over_travel"): ways},
        effort=1.0 + ways / old,
        step=lambda i: Step(
            kind="over-travel way", about=Ref("rod", rod), old=old, new=float(ways[i])
        ),
        moves_stroke=False,
    )
    # Where the engine moves it is used up sooner.
    stops = np.round(stop_before(end) - STOP_STEP * np.arange(_SOONER), 9)
    stops = stops[stops > 0]
    yield Family(
        base=layout,
        sets={("pedal", "stop"): stops},
        effort=np.linspace(0.0, 1e-3, len(stops)),
        step=lambda i: Step(
            kind="pedal stop",
            about=Ref("pedal stop"),
            old=layout.pedal.stop,
            new=float(stops[i]),
        ),
        moves_stroke=False,
    )


def freed(layout: Layout) -> Iterator[Family]:
    """Yield shafts that turn more freely: each by itself, then all of them."""
    shafts = {n: s for n, s in layout.shafts.items() if not s.slides}
    rubbing = [n for n, s in shafts.items() if s.bearing or s.drag]
    for names in [[n] for n in rubbing] + [rubbing] * (len(rubbing) > 1):
        sets: dict[Path, FloatArray] = {}
        for name in names:
            old = layout.shafts[name]
            coefficient = layout.friction if old.friction is None else old.friction
            sets["shafts", name, "friction"] = FREER * coefficient
            if old.drag is not None:
                sets["shafts", name, "drag"] = FREER * old.drag
        yield Family(
            base=layout,
            sets=sets,
            effort=2 + len(names) - np.log(FREER),
            step=_freed_step(layout, names, sets),
            moves_stroke=False,
        )


def _freed_step(
    layout: Layout, names: list[str], sets: dict[Path, FloatArray]
) -> Callable[[int], Step]:
    def step(i: int) -> Step:
        left: dict[str, tuple[float | None, float | None]] = {}
        for name in names:
            shaft = layout.shafts[name]
            friction = float(sets["shafts", name, "friction"][i])
            drags = sets.get(("shafts", name, "drag"))
            left[name] = (
                friction if shaft.bearing else None,
                float(drags[i]) if drags is not None and shaft.drag else None,
            )
        return Step(kind="bearing", about=Ref("shaft", names[0]), more={"shafts": left})

    return step
