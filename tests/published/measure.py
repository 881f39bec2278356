"""What this program gives for each kind of published case.

Every kind is a function from the inputs of a case to its values by name. They
go through the public functions: a layout is assembled and swept. A kind may
return a pair, ours and the value of a formula, where the source prints a
formula and not a number. Lengths are taken as millimetres unless a file says
otherwise; only their ratios matter to the angles.
"""

from __future__ import annotations

import math
import tomllib
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.motion import assemble, dead_centres, frame, sweep, working_travel
from linkage.motion.plate import open_area
from tests.build import arm, four_bar, rod, shaft, tree
from tests.published import measure_cams, measure_springs, measure_wires

if TYPE_CHECKING:
    from collections.abc import Callable

HERE = Path(__file__).parent
AT_REST = np.array([0.0])


def _bars(case: dict[str, Any]) -> dict[str, Any]:
    names = {"crank": "crank", "rod": "rod_mm", "lever": "lever", "ground": "ground"}
    out = {names.get(k, k): v for k, v in case.items()}
    for other in ("crank_speed", "offset", "start_deg", "side"):
        out.pop(other, None)
    return out


def _angle(vector: np.ndarray) -> float:
    return math.degrees(math.atan2(vector[1], vector[0]))


def four_bar_values(case: dict[str, Any]) -> dict[str, float]:
    motion = sweep(assemble(four_bar(**_bars(case))), AT_REST)
    link = motion.assembly.layout.links[0]
    pin, hole = frame(motion).pin(link.driver).T[0], frame(motion).pin(link.driven).T[0]
    ratio = float(frame(motion).first["lever"][0])  # the pad sits at one metre
    crank_speed = case.get("crank_speed", 1)
    pivot = np.array([case["ground"] / 1e3, 0, 0])
    square = np.array([[0, -1, 0], [1, 0, 0], [0, 0, 0]])
    pin_speed = crank_speed * square @ pin
    hole_speed = ratio * crank_speed * square @ (hole - pivot)
    line = hole - pin
    turn = np.cross(line, hole_speed - pin_speed)[2] / (line @ line)
    return {
        "rod angle [deg]": _angle(line),
        "lever angle [deg]": _angle(hole - pivot),
        "rod speed [rad/s]": float(turn),
        "lever speed [rad/s]": ratio * crank_speed,
        "torque ratio": 1 / ratio,
    }


def offset_four_bar(case: dict[str, Any]) -> dict[str, float]:
    """The same ends, 30 mm apart along the shafts, on a rod longer by Pythagoras."""
    side = case["offset"]
    flat = four_bar(**_bars(case))
    crank, lever = flat.shafts["crank"], flat.shafts["lever"]
    angle = math.degrees(lever.arms["pin"].angle)
    layout = tree(
        [
            crank,
            shaft("lever", (case["ground"], 0, 0), "upright", arm("pin", case["lever"], angle, side)),
        ],
        [rod("rod", "crank.pin", "lever.pin", math.hypot(case["rod"], side))],
        travel_mm=100,
    )  # fmt: skip
    motion = sweep(assemble(layout), AT_REST)
    hole = frame(motion).pin(layout.links[0].driven).T[0]
    return {"lever angle [deg]": _angle(hole - np.array([case["ground"] / 1e3, 0, 0]))}


def transmission_extremes(case: dict[str, Any]) -> dict[str, float]:
    motion = sweep(
        assemble(four_bar(**_bars(case), crank_deg=0)),
        np.linspace(0, 2 * np.pi, 3601),
    )
    angle = np.degrees(
        frame(motion).rod(motion.assembly.layout.links[0].rod.name).driven_angle
    )
    return {
        "least arm-rod angle at the lever [deg]": float(angle.min()),
        "greatest arm-rod angle at the lever [deg]": float(angle.max()),
    }


def toggle(case: dict[str, Any]) -> dict[str, float]:
    """The dead centre of the crank nearest to a start, on one side of it."""
    assembly = assemble(four_bar(**_bars(case), crank_deg=case["start_deg"]))
    found = [
        d
        for d in dead_centres(assembly, working_travel(assembly))
        if d.side == case["side"] and d.hole.shaft == "crank"
    ]
    place = found[0].pad_travel
    line = frame(sweep(assembly, np.array([place]))).rod(
        assembly.layout.links[0].rod.name
    )
    return {
        "crank angle [deg]": case["start_deg"] + math.degrees(place),
        "arm-rod angle at the lever [deg]": math.degrees(float(line.driven_angle[0])),
    }


def andrews_file() -> dict[str, Any]:
    return tomllib.loads((HERE / "andrews.toml").read_text(encoding="utf-8"))


def andrews(_: dict[str, Any]) -> dict[str, Decimal]:
    """Three rods in a chain through the derived closed form, at 60 digits."""
    import sympy as sp

    from linkage.formulas import derivation as c

    data = andrews_file()
    size = {k: sp.Rational(v) for k, v in data["lengths"].items()}
    beta = sp.Float(data["start"]["beta"], 60)
    b, a, o = (size["xb"], size["yb"]), (size["xa"], size["ya"]), (0, 0)
    flat = ((1, 0, 0), (0, 1, 0), (0, 0, 1))
    exact = c.coefficients()

    def close(
        driver: tuple[Any, Any], turn: Any, bar: Any, driven: tuple[Any, Any], side: int
    ) -> tuple[Any, Any]:
        (centre1, r1), (centre2, r2) = driver, driven
        values = {c.R: r1, c.r: r2, c.L: bar, c.alpha1: 0, c.alpha2: 0, c.s1: 0, c.s2: 0}  # fmt: skip
        for names, numbers in (
            (c.c1, (*centre1, 0)), (c.u1, flat[0]), (c.v1, flat[1]), (c.n1, flat[2]),
            (c.c2, (*centre2, 0)), (c.u2, flat[0]), (c.v2, flat[1]), (c.n2, flat[2]),
        ):  # fmt: skip
            values.update(zip(names, numbers, strict=True))
        known = {k: v.subs(values) for k, v in exact.items()}
        known |= {c.C1: turn[0], c.S1: turn[1], c.sigma: side}
        cosine, sine, _ = c.closed_form()
        return cosine.evalf(60, subs=known), sine.evalf(60, subs=known)

    first = close((o, size["rr"]), (sp.cos(beta), sp.sin(beta)), size["d"], (b, size["ss"]), 1)  # fmt: skip
    second = close((b, size["ss"]), first, size["zt"], (a, size["e"]), 1)
    third = close((b, size["ss"]), first, size["zf"], (a, size["u"]), 1)
    quarter = sp.pi.evalf(60) / 2

    def angle(turn: tuple[Any, Any]) -> Decimal:
        return Decimal(str(sp.N(sp.atan2(turn[1], turn[0]) + quarter, 50)))

    return {
        "gamma [rad]": angle(first),
        "Phi + delta [rad]": angle(second),
        "epsilon [rad]": angle(third),
    }


def andrews_layout() -> Any:
    """Andrews' three loops as a layout, sized in metres, at rest at the start."""
    data = andrews_file()
    mm = {k: 1e3 * float(v) for k, v in data["lengths"].items()}
    start = {k: math.degrees(float(v)) for k, v in data["start"].items()}
    a, b = (mm["xa"], mm["ya"], 0), (mm["xb"], mm["yb"], 0)
    # Measured angles three degrees off: the given rods must pull them right.
    return tree(
        [
            shaft("crank", (0, 0, 0), "upright", arm("pad", 1000, 0), arm("rr", mm["rr"], start["beta"])),
            shaft("ss", b, "upright", arm("pin", mm["ss"], start["gamma"] - 93)),
            shaft("e", a, "upright", arm("pin", mm["e"], start["Phi"] + start["delta"] - 93)),
            shaft("u", a, "upright", arm("pin", mm["u"], start["epsilon"] - 93)),
        ],
        [
            rod("d", "crank.rr", "ss.pin", mm["d"]),
            rod("zt", "ss.pin", "e.pin", mm["zt"]),
            rod("zf", "ss.pin", "u.pin", mm["zf"]),
        ],
        travel_mm=100,
    )  # fmt: skip


def andrews_four_bar(_: dict[str, Any]) -> dict[str, float]:
    motion = sweep(assemble(andrews_layout()), AT_REST)
    layout = motion.assembly.layout
    link = next(k for k in layout.links if k.rod.name == "d")
    pivot = np.array(layout.shafts["ss"].pivot)
    hole = frame(motion).pin(link.driven).T[0]
    return {
        "ground [mm]": 1e3 * float(np.linalg.norm(pivot)),
        "lever from +x [deg]": _angle(hole - pivot),
        "arm-rod angle at the lever [deg]": math.degrees(
            float(frame(motion).rod(link.rod.name).driven_angle[0])
        ),
    }


def spatial_slider_symbols(_: dict[str, Any]) -> dict[str, float]:
    """Solve the derived loop for the driven pin's place along its shaft."""
    import sympy as sp

    from linkage.formulas import derivation as c

    half, tenth = sp.Rational(1, 2), sp.Rational(1, 10)
    arm_length = sp.sqrt(half**2 + tenth**2)
    # Crank about +x: pin at y = 0.5, z = 0.1. Slider: shaft along x, pin at y = 0.2.
    values = {c.R: arm_length, c.alpha1: sp.atan2(tenth, half), c.s1: 0, c.C1: 1, c.S1: 0}  # fmt: skip
    values |= {c.r: sp.Rational(1, 5), c.alpha2: 0, c.C2: 1, c.S2: 0}
    values |= {c.L: sp.sqrt(1 + sp.Rational(9, 100) + sp.Rational(1, 100))}
    for names in ((c.c1, c.u1, c.v1, c.n1), (c.c2, c.u2, c.v2, c.n2)):
        basis = ((0, 0, 0), (0, 1, 0), (0, 0, 1), (1, 0, 0))
        for symbols, numbers in zip(names, basis, strict=True):
            values.update(zip(symbols, numbers, strict=True))
    equation = sp.expand(c.loop().subs(values))
    roots = sp.solve(equation, c.s2)
    near = max(roots)  # the slider lies ahead of the crank
    return {"s at crank angle 0 [m]": float(near - sp.Rational(12, 10))}


def spatial_slider_long_lever(case: dict[str, Any]) -> dict[str, float]:
    lever = case["lever"]
    crank = math.hypot(500, 100)
    from linkage.model import axis_from_vector

    # Seen from the front u is left (+y) and v is up: the crank's angle from y.
    axis = axis_from_vector((1.0, 0.0, 0.0))
    start = math.degrees(math.atan2(100, 500))
    layout = tree(
        [
            shaft("crank", (0, 0, 0), axis, arm("pad", 1000, 0), arm("pin", crank, start)),
            shaft("slider", (1200, 200 - lever, 0), "upright", arm("pin", lever, 90)),
        ],
        [rod("rod", "crank.pin", "slider.pin", 1e3 * math.sqrt(1.1))],
        travel_mm=100,
    )  # fmt: skip
    motion = sweep(assemble(layout), AT_REST)
    return {"s at crank angle 0 [m]": float(frame(motion).pin(layout.links[0].driven).T[0][0] - 1.2)}  # fmt: skip


def freudenstein(case: dict[str, Any]) -> dict[str, tuple[float, float]]:
    a, b, c, d = (case[k] for k in ("crank", "rod", "lever", "ground"))
    q2 = math.radians(case["crank_deg"])
    q4 = math.radians(four_bar_values(case)["lever angle [deg]"])
    k1, k2, k3 = d / a, d / c, (a**2 - b**2 + c**2 + d**2) / (2 * a * c)
    left = k1 * math.cos(q4) - k2 * math.cos(q2) + k3
    return {"left side less right side": (left - math.cos(q2 - q4), 0.0)}


def transmission_angle(case: dict[str, Any]) -> dict[str, tuple[float, float]]:
    a, b, c, d = (case[k] for k in ("crank", "rod", "lever", "ground"))
    motion = sweep(assemble(four_bar(**_bars(case))), AT_REST)
    ours = frame(motion).rod(motion.assembly.layout.links[0].rod.name).driven_angle[0]
    top = b**2 + c**2 - a**2 - d**2 + 2 * a * d * math.cos(math.radians(case["crank_deg"]))  # fmt: skip
    formula = math.acos(top / (2 * b * c))
    return {"arm-rod angle at the lever [deg]": (math.degrees(float(ours)), math.degrees(formula))}  # fmt: skip


def input_limit(case: dict[str, Any]) -> dict[str, tuple[float, float]]:
    a, b, c, d = (case[k] for k in ("crank", "rod", "lever", "ground"))
    layout = four_bar(**_bars(case), travel_mm=1500)
    jam = working_travel(assemble(layout)).jam
    assert jam is not None
    ours = case["crank_deg"] + math.degrees(jam.pad_travel)
    formula = math.degrees(math.acos((a**2 + d**2 - (b + c) ** 2) / (2 * a * d)))
    return {"crank angle where the rod is stretched [deg]": (ours, formula)}


def torque_ratio(case: dict[str, Any]) -> dict[str, tuple[float, float]]:
    motion = sweep(assemble(four_bar(**_bars(case))), AT_REST)
    line = frame(motion).rod(motion.assembly.layout.links[0].rod.name)
    mu, nu = float(line.driven_angle[0]), float(line.driver_angle[0])
    formula = case["lever"] * math.sin(mu) / (case["crank"] * math.sin(nu))
    return {"crank turn a turn of the lever": (1 / float(frame(motion).first["lever"][0]), formula)}  # fmt: skip


def turns_right_round(case: dict[str, Any]) -> dict[str, tuple[float, float]]:
    """Share of a whole turn that can be reached, against Grashof's rule."""
    start = 45.0
    assembly = assemble(four_bar(**_bars(case), crank_deg=start))
    motion = sweep(assembly, np.linspace(-np.pi, np.pi, 7201))
    ours = float(np.mean(motion.reach["rod"] >= 0))
    sizes = sorted(case[k] for k in ("crank", "rod", "lever", "ground"))
    short = case["crank"] == sizes[0]
    if short and sizes[0] + sizes[3] < sizes[1] + sizes[2]:
        return {"share of the turn that is reached": (ours, 1.0)}
    a, b, c, d = (case[k] for k in ("crank", "rod", "lever", "ground"))
    most = math.acos((a**2 + d**2 - (b + c) ** 2) / (2 * a * d))
    count = np.linspace(-np.pi, np.pi, 7201) + math.radians(start)
    inside = np.cos(count) >= math.cos(most)
    return {"share of the turn that is reached": (ours, float(np.mean(inside)))}


def plate_area(case: dict[str, Any]) -> dict[str, float]:
    area = open_area(
        math.radians(case["plate_deg"]),
        math.radians(case["closed_deg"]),
        case["spindle"],
    )
    return {"open area over bore area": float(area)}


def thin_spindle(case: dict[str, Any]) -> dict[str, tuple[float, float]]:
    plate, closed = math.radians(case["plate_deg"]), math.radians(case["closed_deg"])
    formula = 1 - math.cos(plate) / math.cos(closed)
    return {"open area over bore area": (float(open_area(plate, closed)), formula)}


KINDS: dict[str, Callable[[dict[str, Any]], dict[str, Any]]] = {
    "four-bar": four_bar_values,
    "offset four-bar": offset_four_bar,
    "transmission extremes": transmission_extremes,
    "toggle": toggle,
    "andrews": andrews,
    "andrews four-bar": andrews_four_bar,
    "spatial slider, symbols": spatial_slider_symbols,
    "spatial slider, long lever": spatial_slider_long_lever,
    "freudenstein": freudenstein,
    "transmission angle": transmission_angle,
    "input limit": input_limit,
    "torque ratio": torque_ratio,
    "turns right round": turns_right_round,
    "plate area": plate_area,
    "thin spindle": thin_spindle,
    **measure_springs.KINDS,
    **measure_wires.KINDS,
    **measure_cams.KINDS,
}
