"""The spring card as text and as plain data.

Not here: the numbers (`forces.summary`), the picture (`drawing.springs`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from linkage.quantities import say, shown
from linkage.report.tables import evenly, plain, table
from linkage.rules.caution import CAUTION

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from linkage.forces.summary import SpringCard

    FloatArray = NDArray[np.float64]


def number(value: float, decimals: int) -> str:
    """Return a number for a table, and in words what is none.

    >>> number(1.26, 1), number(math.nan, 1), number(math.inf, 1)
    ('1.3', '-', 'no friction')
    """
    if math.isnan(value):
        return "-"
    if math.isinf(value):
        return "no friction" if value > 0 else "-"
    return f"{round(value, decimals) + 0.0:.{decimals}f}"


def _springs(card: SpringCard) -> list[str]:
    head = [
        "spring",
        "kind",
        "rate",
        "at idle\nlength mm",
        "at idle\nload",
        "at end\nlength mm",
        "at end\nload",
        "torque arm mm\nidle",
        "torque arm mm\nend",
        "made from",
    ]
    rows = []
    s = card.together
    for name, law in card.laws.items():
        turning = law.kind in {"torsion", "measured"}
        load = s.spring_load[name]
        unit = "torque" if turning else "force"
        rate = say(law.rate, "torsion rate" if turning else "rate")
        length, arm = s.spring_length.get(name), s.spring_arm.get(name)
        at = ["-" if length is None else f"{length[i] * 1e3:.1f}" for i in (0, -1)]
        arms = ["-" if arm is None else f"{arm[i] * 1e3:.1f}" for i in (0, -1)]
        loads = [say(float(load[i]), unit) for i in (0, -1)]
        rows.append(
            [name, law.kind, rate, at[0], loads[0], at[1], loads[1], *arms, law.origin]
        )
    return table(head, rows, left=2)


_WORDS = {
    "pad_travel_mm": "pad\nmm",
    "throttle_angle_deg": "throttle\n°",
    "closing_torque_N_m": "closing\nN·m",
    "friction_torque_N_m": "friction\nN·m",
    "pad_force_pressing_N": "pad N\npressing",
    "pad_force_releasing_N": "pad N\nreleasing",
}


def _heading(key: str) -> str:
    if key in _WORDS:
        return _WORDS[key]
    if key.startswith("closing_torque_"):
        return key.removeprefix("closing_torque_").removesuffix("_only_N_m") + "\nonly"
    if key.startswith("rod_force_"):
        return f"rod N\n{key.removeprefix('rod_force_').removesuffix('_N')}"
    return f"pad N\nby {key.removeprefix('pad_force_').removesuffix('_N')}"


def _travel(card: SpringCard, rows: int) -> list[str]:
    found = card.columns()
    n = len(card.motion.pad_travel)
    picked = evenly(n, rows)
    body = [
        [number(float(v[i]), 3 if "N_m" in k else 1) for k, v in found.items()]
        for i in picked
    ]
    return table([_heading(k) for k in found], body, left=0)


def _failures(card: SpringCard) -> list[str]:
    times = {(f.failure, f.throttle): f for f in card.falls}
    plates = {r.throttle for r in card.returns}
    head = [
        "what",
        "plate",
        "springs left",
        "least closing\nN·m",
        "over\nfriction",
        "at pad\nmm",
        "to idle\ns",
    ]
    rows = []
    for r in card.returns:
        i = r.worst
        fall = times.get((r.failure, r.throttle))
        seconds = (
            "-"
            if fall is None
            else f"{fall.time:.2f}"
            if math.isfinite(fall.time)
            else "never"
        )
        rows.append(
            [
                r.failure.text,
                r.throttle,
                ", ".join(r.springs) or "NONE",
                number(float(r.closing_torque[i]), 3),
                number(float(r.ratio[i]), 2),
                f"{card.motion.pad_travel[i] * 1e3:.1f}",
                seconds,
            ]
        )
    if len(plates) == 1:
        head.pop(1)
        for row in rows:
            row.pop(1)
    return table(head, rows, left=len(head) - 4)


def card_lines(card: SpringCard, *, rows: int = 11) -> list[str]:
    """Return the spring card as lines for a terminal."""
    layout = card.motion.assembly.layout
    out = [layout.title, "", *_springs(card), ""]
    out += [*_travel(card, rows), ""]
    out += [*_failures(card), ""]
    if card.together.unmeasured:
        out.append("No drag was measured: all friction is from usual values.")
    if any(f.estimated for f in card.falls):
        out.append("Inertias that are not given were estimated from sizes.")
    if card.factor != 1:
        out.append(f"Friction multiplied by {card.factor:g} for the cold.")
    out.append("Rod force: pull positive, push negative.")
    return [*out, CAUTION]


def _one(value: float, decimals: int = 5) -> float | None:
    return round(value, decimals) if math.isfinite(value) else None


def card_data(card: SpringCard) -> dict[str, Any]:
    """Return the spring card as plain data."""
    times = {(f.failure, f.throttle): f for f in card.falls}
    failures = []
    for r in card.returns:
        fall = times.get((r.failure, r.throttle))
        failures.append(
            {
                "what": r.failure.text,
                "throttle": r.throttle,
                "springs_left": list(r.springs),
                "closing_torque_N_m": _one(float(r.closing_torque[r.worst])),
                "closing_over_friction": _one(float(r.ratio[r.worst])),
                "pad_travel_mm": _one(float(card.motion.pad_travel[r.worst]) * 1e3),
                "time_to_idle_s": None if fall is None else _one(fall.time),
                "estimated": None if fall is None else fall.estimated,
            }
        )
    springs = {}
    for name, law in card.laws.items():
        turning = law.kind in {"torsion", "measured"}
        rate = _one(shown(law.rate, "torsion rate" if turning else "rate"))
        length = card.together.spring_length.get(name)
        springs[name] = {
            "kind": law.kind,
            ("rate_N_m_per_deg" if turning else "rate_N_per_mm"): rate,
            "made_from": law.origin,
            "load": plain(card.together.spring_load[name]),
            "load_unit": "N·m" if turning else "N",
            "length_mm": None if length is None else plain(length * 1e3),
        }
    return {
        "title": card.motion.assembly.layout.title,
        "springs": springs,
        "columns": {k: plain(v) for k, v in card.columns().items()},
        "failures": failures,
        "drag_measured": not card.together.unmeasured,
        "friction_factor": card.factor,
        "caution": CAUTION,
    }
