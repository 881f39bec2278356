"""What this program gives for published wires in bends, and for ropes.

A cable between two levers, smooth in all else, is put together and its foot's force
solved; so the pulls at both of its ends are those of the whole balance.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.connect.wire import breaking_load, wire_mass, wire_stretch
from linkage.forces import statics
from linkage.model import Cable, Hole, SheathEnd
from linkage.motion import assemble, frame, sweep
from tests.build import arm, shaft, tree
from tests.sprung import bare, torsion_spring, with_springs

if TYPE_CHECKING:
    from collections.abc import Callable

PAD = 0.2


def _cable(**more: Any) -> Cable:
    return Cable(
        name="wire",
        start=Hole(shaft="pedal", arm="wire"),
        end=Hole(shaft="spindle", arm="wire"),
        ends=(SheathEnd(point=(0.1, 0, 0.1)), SheathEnd(point=(0.4, 0, 0.13))),
        only="pull",
        **more,
    )


def _pulls(friction: float, bend: float, behind: float) -> tuple[float, float]:
    """Return the pull at the foot's end of a wire, and that at the spindle. [N]."""
    pedal = shaft("pedal", (0, 0, 0), "across", arm("pad", 1e3 * PAD, -90), arm("wire", 100, 90))  # fmt: skip
    spindle = shaft("spindle", (500, 0, 100), "across", arm("wire", 30, 90))
    cable = _cable(bend=bend, sheath_friction=friction)
    layout = bare(tree([pedal, spindle], [cable], travel_mm=60))
    shut = torsion_spring("back", "spindle", -1, 1e-9, behind * 0.03)
    motion = sweep(assemble(with_springs(layout, shut)), np.array([0.0]))
    found = statics(motion)
    lever = abs(frame(motion).rod("wire").arms["pedal"][0])
    return found.pad_force_pressing[0] * PAD / lever, found.rod_pressing["wire"][0]


def capstan(case: dict[str, Any]) -> dict[str, float]:
    ahead, behind = _pulls(case["friction"], math.radians(case["wrap_deg"]), 10.0)
    return {"pull ahead over pull behind": ahead / behind}


def capstan_ahead(case: dict[str, Any]) -> dict[str, float]:
    bend = math.radians(case["wrap_deg"])
    ahead, behind = _pulls(case["friction"], bend, case["behind"])
    return {"pull ahead": ahead * case["behind"] / behind}


def capstan_behind(case: dict[str, Any]) -> dict[str, float]:
    bend = math.radians(case["wrap_deg"])
    ahead, behind = _pulls(case["friction"], bend, case["ahead"])
    return {"pull behind": case["ahead"] * behind / ahead}


def rope(case: dict[str, Any]) -> dict[str, float]:
    wire = replace(_cable(), wire=case["d_mm"] / 1e3)
    return {
        "stretch of 1 m under 100 N [mm]": 1e3 * 100 * wire_stretch(wire, 1.0),
        "mass of 1 m [g]": 1e3 * wire_mass(wire, 1.0),
        "breaking force [kN]": breaking_load(wire) / 1e3,
    }


KINDS: dict[str, Callable[[dict[str, Any]], dict[str, Any]]] = {
    "capstan": capstan,
    "capstan, pull ahead": capstan_ahead,
    "capstan, pull behind": capstan_behind,
    "rope": rope,
}
