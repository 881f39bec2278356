"""A dozen odd layouts on which pages and films have to hold: invented throughout.

Long names, several plates, inches, a jam, shafts any way round, tiny and huge.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Final

from linkage.config import load, loads
from linkage.model import Throttle
from tests.build import arm, four_bar, hauler, rod, shaft, tree
from tests.figures.odd_views import scaled, slanted, three_ways
from tests.inches import VAN, in_inches

if TYPE_CHECKING:
    from collections.abc import Callable

    from linkage.model import Layout

CONFIGS: Final = Path(__file__).parent.parent / "configs"
#: Eighty signs, as long as a name may be.
LONG: Final = (
    "the lever of the second carburettor as it came from the breaker's yard in spring"
)


def _long_names() -> Layout:
    """Return a layout whose names are as long as they may be, and alike."""
    text = (CONFIGS / "twin-side-draught.toml").read_text(encoding="utf-8")
    for old, new in (
        ("front spindle", f"{LONG[:70]} in front"),
        ("rear spindle", f"{LONG[:70]} behind"),
        ("jack shaft", "Zwischenwellenlagerungsbaugruppe" * 2),
        ("front drop", f"front {LONG[:60]}"),
        ("rear drop", f"rear {LONG[:60]}"),
    ):
        text = text.replace(old, new)
    return replace(loads(text).layout, title=f"{LONG}, {LONG}, and so on")


def _plates(count: int) -> Layout:
    """Return a layout with so many plates on its spindle."""
    layout = load(CONFIGS / "swapped-push-rod.toml").layout
    plates = {
        name: Throttle(
            name=name, shaft="spindle", opens=layout.main.opens, swing=layout.main.swing
        )
        for name in (f"barrel {k + 2}" for k in range(count - 1))
    }
    return replace(layout, throttles={**layout.throttles, **plates})


def _jams() -> Layout:
    """Return a double rocker driven to where it stretches."""
    return four_bar(90, 60, 50, 70, 40, travel_mm=1000 * math.radians(140))


def _chain(count: int = 5) -> Layout:
    """Return a row of so many shafts between pedal and spindle, all close."""
    names = ["pedal", *(f"relay {k}" for k in range(1, count + 1)), "spindle"]
    shafts = [
        shaft("pedal", (0, 250, 0), "across", arm("pad", 180, -90), arm("out", 60, 90))
    ]
    shafts += [
        shaft(n, (90 * k, 250, 0), "across", arm("in", 60, 90), arm("out", 60, 85))
        for k, n in enumerate(names[1:], 1)
    ]
    rods = [
        rod(f"rod {k}", f"{one}.out", f"{two}.in")
        for k, (one, two) in enumerate(pairwise(names), 1)
    ]
    return tree(shafts, rods, travel_mm=60, swing_deg=40, opens=-1)


#: What makes each, by what is odd in it.
ODD: Final[dict[str, Callable[[], Layout]]] = {
    "long names": _long_names,
    "three plates": lambda: _plates(3),
    "six plates": lambda: _plates(6),
    "nine plates": lambda: _plates(9),
    "inches": lambda: loads(VAN).layout,
    "shipped in inches": lambda: loads(in_inches("twin-side-draught")).layout,
    "jams": _jams,
    "three ways": three_ways,
    "slanting spindle": lambda: slanted((0.3, -1.0, 0.2)),
    "tiny": lambda: scaled(hauler(), 0.02),
    "huge": lambda: scaled(hauler(), 20),
    "chain": _chain,
    "crowd": lambda: _chain(24),
    "no springs": hauler,
}
