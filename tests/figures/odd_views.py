"""Odd layouts for pictures: crowded, tiny, huge, slanted, jammed, oddly named; invented.

Each is a function of its own, so that a test makes only those that it draws.
"""

from __future__ import annotations

from dataclasses import replace
from math import radians
from typing import TYPE_CHECKING, Any

from linkage.model import (
    Axis,
    Layout,
    Shaft,
    Spring,
    Stop,
    Throttle,
    axis_from_vector,
)
from tests.build import arm, hauler, rod, shaft, tree
from tests.sprung import with_springs
from tests.unit.compared import car

if TYPE_CHECKING:
    from collections.abc import Callable

#: The longest name that a layout may have is 80 signs; this one has that many.
LONG = "the throttle lever of the second carburettor on the near side, as it was before"


def scaled(layout: Layout, factor: float) -> Layout:
    """Return a layout of which every length is so many times as great."""

    def grown(one: Shaft) -> Shaft:
        arms = {
            n: replace(a, length=a.length * factor, offset=a.offset * factor)
            for n, a in one.arms.items()
        }
        return replace(one, pivot=_times(one.pivot, factor), arms=arms)

    pedal = replace(
        layout.pedal,
        travel=layout.pedal.travel * factor,
        stop=None if layout.pedal.stop is None else layout.pedal.stop * factor,
    )
    springs = {
        n: replace(s, anchor=None if s.anchor is None else _times(s.anchor, factor))
        for n, s in layout.springs.items()
    }
    shafts = {n: grown(s) for n, s in layout.shafts.items()}
    return replace(layout, shafts=shafts, pedal=pedal, springs=springs)


def _times(point: Any, factor: float) -> Any:
    return tuple(x * factor for x in point)


def moved(layout: Layout, name: str, change: Callable[[Shaft], Shaft]) -> Layout:
    return replace(layout, shafts={**layout.shafts, name: change(layout.shafts[name])})


def mirrored() -> Layout:
    """The hauler with all shafts measured from the left, across to the other side."""
    left = axis_from_vector((0.0, 1.0, 0.0))

    def turn(one: Shaft) -> Shaft:
        x, y, z = one.pivot
        arms = {
            n: replace(a, angle=radians(180) - a.angle) for n, a in one.arms.items()
        }
        return replace(one, pivot=(x, -y, z), axis=left, arms=arms)

    layout = hauler(presses=-1, opens=-1)
    return replace(layout, shafts={n: turn(s) for n, s in layout.shafts.items()})


def spring(name: str, hook: str, anchor_mm: Any, **more: Any) -> Spring:
    on, _, at = hook.partition(".")
    anchor = None if anchor_mm is None else tuple(x / 1e3 for x in anchor_mm)
    settings = {"kind": "extension", **more}
    return Spring(name=name, shaft=on, arm=at, anchor=anchor, **settings)


def three_springs() -> Layout:
    return with_springs(
        hauler(),
        spring("main", "spindle.spring", (194, -100, 130)),
        spring("second", "cross shaft.inner", (120, 250, 400)),
        spring("twist", "spindle.", None, kind="torsion"),
    )


def crowded() -> Layout:
    """Three springs, two stops, rod and lever at one place on the spindle."""
    arms = [arm("lever", 34, -38), arm("a", 34, -38, 8), arm("b", 30, -36, -8), arm("c", 28, -40, 16)]  # fmt: skip
    layout = moved(
        hauler(), "spindle", lambda s: replace(s, arms={a.name: a for a in arms})
    )
    layout = with_springs(
        layout,
        spring("one", "spindle.a", (180, -100, 60)),
        spring("two", "spindle.b", (180, -108, 62)),
        spring("three", "spindle.c", (186, -84, 64)),
    )
    stops = {
        n: Stop(name=n, shaft="spindle", turn=radians(t))
        for n, t in (("screw", -1), ("block", 77))
    }
    return replace(layout, stops=stops)


def three_ways() -> Layout:
    """Pedal across, bell crank upright, spindle along."""
    return tree(
        [
            shaft("pedal", (0, 250, 0), "across", arm("pad", 180, -90), arm("rod", 70, 80)),
            shaft("bell crank", (250, 200, 60), "upright", arm("in", 50, 95), arm("out", 60, -5, 10)),
            shaft("spindle", (290, -20, 40), "along", arm("lever", 34, 80)),
        ],
        [
            rod("first", "pedal.rod", "bell crank.in"),
            rod("last", "bell crank.out", "spindle.lever", joints=("clevis", "clevis")),
        ],
        travel_mm=60,
        swing_deg=76,
        opens=1,
    )  # fmt: skip


def plates(many: int, axis: str = "across", step: float = 90.0) -> Layout:
    """A row of carburettors, each driving the next."""
    along = (1, 0, 0) if axis == "across" else (0, -1, 0)
    shafts = [
        shaft("pedal", (0, 250, 0), "across", arm("pad", 180, -90), arm("rod", 70, -11))
    ]
    rods, throttles = [], {}
    for i in range(many):
        at = [200 + step * i * along[0], 100 + step * i * along[1], 260]
        on = f"spindle {i + 1}"
        shafts.append(shaft(on, at, axis, arm("lever", 45, -12), arm("to", 40, 70)))
        before = "pedal.rod" if i == 0 else f"spindle {i}.to"
        rods.append(rod(f"rod {i + 1}", before, f"{on}.{'lever' if i == 0 else 'to'}"))
        throttles[f"carb {i + 1}"] = Throttle(
            name=f"carb {i + 1}", shaft=on, opens=1, swing=radians(76)
        )
    layout = tree(shafts, rods, travel_mm=60, swing_deg=76)
    return replace(layout, throttles=throttles)


def chain(many: int, lean: float = 0.0) -> Layout:
    """A chain of shafts one after the other."""
    shafts = [
        shaft("pedal", (0, 200, 0), "across", arm("pad", 180, -90), arm("rod", 60, 80))
    ]
    rods = []
    for i in range(many):
        place = (130 * (i + 1), 200 - lean * i, 60 * (i % 2))
        shafts.append(shaft(f"shaft {i + 1}", place, "across", arm("in", 60, 85), arm("out", 58, 95)))  # fmt: skip
        before = "pedal.rod" if i == 0 else f"shaft {i}.out"
        rods.append(rod(f"rod {i + 1}", before, f"shaft {i + 1}.in"))
    return tree(shafts, rods, travel_mm=50, swing_deg=60, opens=-1)


def named(shaft_name: str, title: str, rod_name: str = "first") -> Layout:
    return replace(
        tree(
            [
                shaft("pedal", (0, 250, 0), "across", arm("pad", 180, -90), arm("rod", 70, -11)),
                shaft(shaft_name, (20, 100, 330), "across", arm(f"{shaft_name[:60]} arm", 50, -17), arm("spring", 40, 60)),
            ],
            [rod(rod_name, "pedal.rod", f"{shaft_name}.{shaft_name[:60]} arm")],
            travel_mm=75,
            swing_deg=40,
        ),
        title=title,
    )  # fmt: skip


def held() -> Layout:
    """The spindle of the hauler opens the other way: its lever is pushed on its stop."""
    return replace(hauler(), throttles={"throttle": replace(hauler().main, opens=-1)})


def held_first_of_two() -> Layout:
    """Two plates in a row, the first of which opens the wrong way."""
    layout = plates(2)
    first = replace(layout.throttles["carb 1"], opens=-1)
    return replace(layout, throttles={**layout.throttles, "carb 1": first})


def jammed() -> Layout:
    """A spindle so far away that its rod comes in line and stops the pedal."""
    return moved(
        hauler(),
        "spindle",
        lambda s: replace(
            s, arms={"lever": arm("lever", 18, -38), "spring": arm("spring", 30, 60)}
        ),
    )


def slanted(vector: Any) -> Layout:
    axis: Axis = axis_from_vector(vector)
    return moved(hauler(), "spindle", lambda s: replace(s, axis=axis))


def many_arms() -> Layout:
    more = [arm(f"hole {i + 1}", 30 + 4 * i, -38 + 14 * i) for i in range(9)]
    return moved(
        hauler(),
        "spindle",
        lambda s: replace(s, arms={**s.arms, **{a.name: a for a in more}}),
    )


def one_way(axis: str) -> Layout:
    """Pedal and spindle in one plane, seen from behind or from above."""
    return tree(
        [
            shaft("pedal", (0, 0, 0), axis, arm("pad", 180, -90), arm("rod", 70, 10)),
            shaft("spindle", (30, -240, 210), axis, arm("lever", 40, 5), arm("spring", 30, 80)),
        ],
        [rod("only", "pedal.rod", "spindle.lever")],
        travel_mm=60,
    )  # fmt: skip


def long_rods() -> Layout:
    """A carburettor at the back, three metres away, and a wide cross shaft."""
    return tree(
        [
            shaft("pedal", (0, 250, 0), "across", arm("pad", 180, -90), arm("rod", 70, -11)),
            shaft("cross shaft", (20, 100, 330), "across", arm("inner", 50, -17, -150), arm("outer", 76, 76, 900)),
            shaft("spindle", (-2900, -800, 340), "across", arm("lever", 60, 80)),
        ],
        [rod("first", "pedal.rod", "cross shaft.inner"), rod("last", "cross shaft.outer", "spindle.lever")],
        travel_mm=70,
    )  # fmt: skip


ODD: dict[str, Callable[[], Layout]] = {
    "hauler": hauler,
    "three springs": three_springs,
    "crowded spindle": crowded,
    "three ways": three_ways,
    "two plates": lambda: plates(2),
    "four plates": lambda: plates(4),
    "eight plates": lambda: plates(8, step=60),
    "three plates along": lambda: plates(3, "along", 60),
    "six shafts": lambda: chain(6),
    "nine shafts leaning": lambda: chain(9, 25),
    "eighteen shafts": lambda: chain(17),
    "long names": lambda: named(LONG[:76], LONG + " " + LONG, LONG[:78]),
    "other letters": lambda: named("вал дросселя", "Ångström, Δοκιμή №7", "тяга €"),
    "signs": lambda: named("$x_1$ {a} \\b", "$\\frac{1}{2}$ & <b> %", "a_b^c"),
    "one letter": lambda: named("s", "t", "r"),
    "held": held,
    "held, first of two": held_first_of_two,
    "jammed": jammed,
    "mirrored": mirrored,
    "slanted": lambda: slanted((0.3, -1.0, 0.2)),
    "slanted much": lambda: slanted((1.0, -1.0, 0.4)),
    "many arms": many_arms,
    "tiny": lambda: scaled(three_springs(), 0.1),
    "huge": lambda: scaled(three_springs(), 6.0),
    "from behind": lambda: one_way("along"),
    "from above": lambda: one_way("upright"),
    "long rods": long_rods,
    "twins close": lambda: scaled(car("twin-side-draught"), 0.6),
    "spring far away": lambda: with_springs(
        hauler(), spring("far", "spindle.spring", (1800, -100, 900))
    ),
    "anchor on a shaft": lambda: with_springs(
        hauler(), spring("over", "spindle.spring", (20, -100, 330))
    ),
    "torsion alone": lambda: with_springs(
        hauler(),
        spring("twist", "spindle.", None, kind="torsion"),
        spring("pull", "cross shaft.outer", None, kind="measured"),
    ),
    "down-pull, twice": lambda: scaled(car("down-pull-side-draught"), 2.0),
}
