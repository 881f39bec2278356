"""Layouts for tests, built in code: millimetres and degrees in, SI out.

All sizes are invented unless the test that uses them names a source.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from linkage.model import (
    NAMED,
    Arm,
    Axis,
    Hole,
    Layout,
    Pedal,
    Rod,
    Shaft,
    Throttle,
)


def arm(name: str, length_mm: float, angle_deg: float, offset_mm: float = 0.0) -> Arm:
    return Arm(
        name=name,
        length=length_mm / 1e3,
        angle=math.radians(angle_deg),
        offset=offset_mm / 1e3,
    )


def shaft(name: str, pivot_mm: Any, axis: str | Axis, *arms: Arm) -> Shaft:
    return Shaft(
        name=name,
        pivot=tuple(float(x) / 1e3 for x in pivot_mm),
        axis=NAMED[axis] if isinstance(axis, str) else axis,
        arms={a.name: a for a in arms},
    )


def hole(text: str) -> Hole:
    name, _, arm_name = text.partition(".")
    return Hole(shaft=name, arm=arm_name)


def rod(
    name: str, start: str, end: str, length_mm: float | None = None, **more: Any
) -> Rod:
    return Rod(
        name=name,
        start=hole(start),
        end=hole(end),
        length=None if length_mm is None else length_mm / 1e3,
        **more,
    )


def tree(
    shafts: list[Shaft],
    rods: list[Rod],
    *,
    travel_mm: float,
    swing_deg: float = 170.0,
    presses: int = 1,
    opens: int = 1,
    pedal: dict[str, Any] | None = None,
    **more: Any,
) -> Layout:
    """Return a layout whose pedal is the first shaft and whose plate is the last."""
    return Layout(
        title="built in a test",
        shafts={s.name: s for s in shafts},
        rods={r.name: r for r in rods},
        pedal=Pedal(
            shaft=shafts[0].name,
            pad="pad",
            travel=travel_mm / 1e3,
            presses=presses,
            **(pedal or {}),
        ),
        throttles={
            "throttle": Throttle(
                name="throttle",
                shaft=shafts[-1].name,
                opens=opens,
                swing=math.radians(swing_deg),
            )
        },
        **more,
    )


def four_bar(
    crank: float,
    rod_mm: float,
    lever: float,
    ground: float,
    crank_deg: float,
    branch: int = 1,
    **more: Any,
) -> Layout:
    """Return a planar four-bar at rest at a crank angle, on one branch.

    The crank turns about the origin, the lever about (ground, 0), both seen
    from above; angles from the line of the two, anticlockwise. The pad sits on
    the crank at one metre, so pad travel in metres is crank turn in radians.
    Branch 1 is the open assembly, -1 the crossed one. The rod has its length,
    so the lever finds its own place from a measured angle on the right side.
    """
    at = math.radians(crank_deg)
    toward = math.atan2(crank * math.sin(at), crank * math.cos(at) - ground)
    lever_deg = math.degrees(toward) - 90.0 * branch
    travel_mm = more.pop("travel_mm", 100.0)
    return tree(
        [
            shaft(
                "crank",
                (0, 0, 0),
                "upright",
                arm("pad", 1000.0, crank_deg),
                arm("pin", crank, crank_deg),
            ),
            shaft("lever", (ground, 0, 0), "upright", arm("pin", lever, lever_deg)),
        ],
        [rod("rod", "crank.pin", "lever.pin", rod_mm)],
        travel_mm=travel_mm,
        **more,
    )


def hauler(**more: Any) -> Layout:
    """Return an invented two-rod layout: pedal, cross shaft, spindle, all across."""
    settings = {"travel_mm": 75.0, "swing_deg": 76.0, **more}
    return tree(
        [
            shaft("pedal", (0, 250, 0), "across", arm("pad", 180, -90), arm("rod", 70, -11)),
            shaft("cross shaft", (20, 100, 330), "across", arm("inner", 50, -17, -150), arm("outer", 76, -16, 200)),
            shaft("spindle", (64, -100, 120), "across", arm("lever", 34, -38), arm("spring", 30, 60)),
        ],
        [
            rod("first", "pedal.rod", "cross shaft.inner"),
            rod("last", "cross shaft.outer", "spindle.lever"),
        ],
        **settings,
    )  # fmt: skip


def random_basis(rng: np.random.Generator) -> np.ndarray:
    """Return rows u, v, n of a right-handed basis in any direction."""
    q, _ = np.linalg.qr(rng.normal(size=(3, 3)))
    if np.linalg.det(q) < 0:
        q[:, 2] *= -1
    return q.T


def axis_of(basis: np.ndarray) -> Axis:
    """Return an axis with exactly this basis."""
    u, v, n = (tuple(float(x) for x in row) for row in basis)
    return Axis(name="vector", u=u, v=v, n=n, seen_from="the tip of its axis")


def pedalled(folder, pattern="*.toml"):
    """Return the layout files with a pedal, sorted: pictures and searches are of those."""
    files = sorted(folder.glob(pattern))
    return [p for p in files if "\n[governor]" not in p.read_text(encoding="utf-8")]
