"""What this program gives for published springs.

Inputs are in inches, pounds-force and degrees, as the books print them. Rates,
lengths and turns go through the force law of a spring of a layout; stresses
through `stresses`.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from linkage.connect.bar import euler_load
from linkage.model import Hole, Known, Rod, Spring
from linkage.springs import WIRES, spring_law, stresses, wire, wire_named

if TYPE_CHECKING:
    from collections.abc import Callable

INCH = 0.0254
LBF = 4.4482216152605
KPSI = 6894757.293168


def _spring(case: dict[str, Any], kind: str, **more: float) -> Spring:
    data = {"wire": case["d"] * INCH, "coil": case["od"] * INCH, "turns": case["turns"]}
    return Spring(
        name="book",
        kind=kind,
        shaft="s",
        arm="" if kind == "torsion" else "a",
        known=Known(**data, **more),
        material=case["material"],
    )


def _sizes(case: dict[str, Any]) -> tuple[float, float, float, float]:
    d = case["d"] * INCH
    young, shear = wire_named(case["material"]).elastic(d)
    return d, case["od"] * INCH - d, young, shear


def extension(case: dict[str, Any]) -> dict[str, float]:
    d, mean, young, shear = _sizes(case)
    spring = _spring(
        case,
        "extension",
        initial_tension=case["initial"] * LBF,
        hook_bend_radius=case.get("r1", 0.0) * INCH,
        hook_twist_radius=case.get("r2", 0.0) * INCH,
    )
    law = spring_law(spring)
    load = case["load"] * LBF
    found = {s.place: s.value / KPSI for s in stresses(spring, load)}
    values = {
        "index": mean / d,
        "Bergsträsser's factor": wire.bergstraesser(mean / d),
        "working turns": wire.extension_turns(case["turns"], young, shear),
        "rate [lbf/in]": law.rate / LBF * INCH,
        "free length [in]": law.free_length / INCH,
        "coil shear [kpsi]": found["coils"],
        "hook bending [kpsi]": found["hook bend"],
        "deflection [in]": (load - law.initial) / law.rate / INCH,
        "tensile strength [kpsi]": wire_named(case["material"]).tensile(d) / KPSI,
    }
    if "r2" in case:
        plain = 8 * load * mean / (math.pi * d**3) / KPSI
        factor = found["hook root"] / plain
        values["hook torsion factor KB"] = factor
        # The book rounds the factor before it goes on.
        values["hook torsion with KB as printed [kpsi]"] = plain * round(factor, 2)
    return values


def extension_geometry(case: dict[str, Any]) -> dict[str, float]:
    """A spring of the formulas alone, with the moduli that the book used."""
    d, mean = case["d"] * INCH, (case["od"] - case["d"]) * INCH
    turns = wire.extension_turns(case["turns"], case["young"], case["shear"])
    rate = wire.coil_rate(d, mean, turns, case["shear"] * KPSI * 1e3)
    return {
        "index": mean / d,
        "working turns": turns,
        "rate [lbf/in]": rate / LBF * INCH,
        "free length [in]": wire.extension_free_length(d, mean, case["turns"]) / INCH,
        "Bergsträsser's factor": wire.bergstraesser(mean / d),
    }


def torsion(case: dict[str, Any]) -> dict[str, float]:
    d, mean, _, _ = _sizes(case)
    turns = wire.torsion_turns(case["turns"], case["legs"] * INCH, mean)
    spring = _spring({**case, "turns": turns}, "torsion", preload=0.0, shuts=1.0)
    rate = spring_law(spring).rate / (LBF * INCH) * 2 * math.pi
    factor = wire.wound_bending(1.0, d, mean) * math.pi * d**3 / 32
    return {
        "index": mean / d,
        "working turns": turns,
        "curvature factor Ki": factor,
        "tensile strength [kpsi]": wire_named(case["material"]).tensile(d) / KPSI,
        # The book's 10.8 counts the rubbing of the coils, 64/2π does not.
        "rate with the book's 10.8 [lbf·in/turn]": rate * 64 / (2 * math.pi) / 10.8,
    }


def compression(case: dict[str, Any]) -> dict[str, float]:
    d, mean, _, _ = _sizes(case)
    law = spring_law(_spring(case, "compression", free_length=case["free"] * INCH))
    return {
        "index": mean / d,
        "Bergsträsser's factor": wire.bergstraesser(mean / d),
        "rate [lbf/in]": law.rate / LBF * INCH,
        "solid length [in]": law.shortest / INCH,
        "tensile strength [kpsi]": wire_named(case["material"]).tensile(d) / KPSI,
    }


def permissible(case: dict[str, Any]) -> dict[str, float]:
    shares = WIRES[case["material"]].shares
    return {
        "extension, coils": shares.body,
        "compression, coils": shares.pressed,
        "torsion spring": shares.wound,
        "hook, torsion": shares.hook_torsion,
        "hook, bending": shares.hook_bending,
    }


def euler(case: dict[str, Any]) -> dict[str, tuple[float, float]]:
    end = Hole(shaft="s", arm="a")
    rod = Rod(name="r", start=end, end=end, diameter=case["d_mm"] / 1e3, bore=case["bore_mm"] / 1e3)  # fmt: skip
    ours = euler_load(rod, case["length_mm"] / 1e3)
    assert ours is not None
    inertia = math.pi * (case["d_mm"] ** 4 - case["bore_mm"] ** 4) / 64
    formula = math.pi**2 * case["young_gpa"] * 1e3 * inertia / case["length_mm"] ** 2
    return {"critical push [N]": (ours, formula)}


KINDS: dict[str, Callable[[dict[str, Any]], dict[str, Any]]] = {
    "extension spring": extension,
    "extension spring, formulas": extension_geometry,
    "torsion spring": torsion,
    "compression spring": compression,
    "permissible shares": permissible,
    "euler": euler,
}
