"""The spring card as text and as plain data.

Not here: the numbers (`forces.summary`), the picture (`drawing.springs`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model.called import a_rod, rod_kinds
from linkage.quantities import SHOWN, other_unit, say, shown
from linkage.report.tables import evenly, plain, table, wrapped
from linkage.rules.caution import CAUTION, PEDALS
from linkage.spoken import DATA_UNITS, number, other_cells, unit_word

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from linkage.forces import Statics
    from linkage.forces.summary import SpringCard
    from linkage.model.columns import Positions

    FloatArray = NDArray[np.float64]


def ratio(value: float) -> str:
    """Return closing torque over friction for a table, and in words what is none.

    >>> ratio(1.256), ratio(math.nan), ratio(math.inf)
    ('1.26', '-', 'no friction')
    """
    if math.isnan(value):
        return "-"
    if math.isinf(value):
        return "no friction" if value > 0 else "-"
    return f"{round(value, 2) + 0.0:.2f}"


def _springs(card: SpringCard) -> list[str]:
    unit = unit_word("length")
    also = other_unit("rate")
    rest = "rest" if card.motion.assembly.layout.governed else "idle"
    head = [
        "spring",
        "kind",
        "rate",
        *([] if also is None else [f"rate\n{also.unit}"]),
        f"at {rest}\nlength {unit}",
        f"at {rest}\nload",
        f"at end\nlength {unit}",
        "at end\nload",
        f"torque arm {unit}\n{rest}",
        f"torque arm {unit}\nend",
        "made from",
    ]
    rows = []
    s = card.together
    for name, law in card.laws.items():
        turning = law.kind in {"torsion", "measured"}
        load = s.spring_load[name]
        rate = [say(law.rate, "torsion rate" if turning else "rate")]
        rate += ["-"] if turning and also else other_cells(law.rate, "rate")
        at, arms = (
            ["-" if far is None else number(float(far[i]), "length") for i in (0, -1)]
            for far in (s.spring_length.get(name), _arm_of(s, name))
        )
        loads = [say(float(load[i]), "torque" if turning else "force") for i in (0, -1)]
        rows.append(
            [name, law.kind, *rate, at[0], loads[0], at[1], loads[1], *arms, law.origin]
        )
    return table(head, rows, left=2)


def _arm_of(s: Statics, name: str) -> Positions | None:
    """Return the torque arm of a spring; None of one on a slide, or about a shaft."""
    on = s.lines.layout.shafts[s.lines.springs[name].shaft]
    return None if on.slides else s.spring_arm.get(name)


#: Columns whose heading is not made of their name: heading and kind.
_WORDS: Final = {
    "pad_travel_mm": ("pad\n{}", "length"),
    "throttle_angle_deg": ("throttle\n{}", "angle"),
    "closing_torque_N_m": ("closing\n{}", "torque"),
    "friction_torque_N_m": ("friction\n{}", "torque"),
    "pad_force_pressing_N": ("pad {}\npressing", "force"),
    "pad_force_releasing_N": ("pad {}\nreleasing", "force"),
    "arm_travel_mm": ("arm\n{}", "length"),
    "open_angle_deg": ("open\n{}", "angle"),
    "opening_torque_N_m": ("opening\n{}", "torque"),
    "arm_force_shutting_N": ("arm {}\nshutting", "force"),
    "arm_force_opening_N": ("arm {}\nopening", "force"),
}


#: Columns of what over-travel springs put on the pad.
_OVER: Final = "pad_force_over_travel_"


def _words(key: str, kinds: Mapping[str, str]) -> tuple[str, str]:
    """Return heading and kind of a column; the unit goes where the braces stand."""
    if key in _WORDS:
        return _WORDS[key]
    if key.startswith(("closing_torque_", "opening_torque_")):
        name = key.partition("_torque_")[2].removesuffix("_only_N_m")
        return f"{_plain_braces(name)}\nonly", "torque"
    if key.startswith(_OVER):
        name = key.removeprefix(_OVER).removesuffix("_N")
        return "pad {}\nover-travel\n" + _plain_braces(name), "force"
    for start, words in (
        ("rod_force_", "rod {}\n"),
        ("pad_force_", "pad {}\nby "),
        ("arm_force_", "arm {}\nby "),
    ):
        if key.startswith(start):
            name = key.removeprefix(start).removesuffix("_N")
            told = words.replace("rod", kinds.get(name, "rod"))
            return told + _plain_braces(name), "force"
    raise KeyError(key)


def _plain_braces(name: str) -> str:
    """Return a name of the file so that its own braces are left as they are."""
    return name.replace("{", "{{").replace("}", "}}")


#: The column that is told in the other system too, where that is asked for.
_ALSO: Final = "pad_force_pressing_N"


def _headings(key: str, kinds: Mapping[str, str]) -> list[str]:
    words, kind = _words(key, kinds)
    also = other_unit(kind) if key == _ALSO else None
    units = [unit_word(kind), *([] if also is None else [also.unit])]
    return [words.format(unit) for unit in units]


def _cells(key: str, value: float) -> list[str]:
    _, kind = _words(key, {})
    si = value * SHOWN[kind].factor
    also = other_cells(si, kind) if key == _ALSO else []
    return ["locks" if value == math.inf else number(si, kind), *also]


def _travel(card: SpringCard, rows: int) -> list[str]:
    found = card.columns()
    n = len(card.motion.pad_travel)
    picked = evenly(n, rows)
    body = [
        [c for k, v in found.items() for c in _cells(k, float(v[i]))] for i in picked
    ]
    kinds = rod_kinds(card.motion.assembly.layout)
    heads = [h for k in found for h in _headings(k, kinds)]
    return table(heads, body, left=0)


def _failures(card: SpringCard) -> list[str]:
    if card.motion.assembly.layout.governed:
        return _governed_failures(card)
    times = {(f.failure, f.throttle): f for f in card.falls}
    plates = {r.throttle for r in card.returns}
    head = [
        "what",
        "plate",
        "springs left",
        f"least closing\n{unit_word('torque')}",
        "over\nfriction",
        f"at pad\n{unit_word('length')}",
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
                number(float(r.closing_torque[i]), "torque"),
                ratio(float(r.ratio[i])),
                number(float(card.motion.pad_travel[i]), "length"),
                seconds,
            ]
        )
    if len(plates) == 1:
        head.pop(1)
        for row in rows:
            row.pop(1)
    return table(head, rows, left=len(head) - 4)


def _governed_failures(card: SpringCard) -> list[str]:
    """Return what turns each plate after each failure: opening where positive."""
    unit = unit_word("torque")
    head = [
        "what",
        "plate",
        "springs left",
        f"opens it\nleast {unit}",
        f"\nmost {unit}",
    ]
    rows = [
        [
            r.failure.text,
            r.throttle,
            ", ".join(r.springs) or "NONE",
            *(
                number(float(most(r.closing_torque)), "torque")
                for most in (np.nanmin, np.nanmax)
            ),
        ]
        for r in card.returns
    ]
    return table(head, rows, left=3)


def card_lines(card: SpringCard, *, rows: int = 11) -> list[str]:
    """Return the spring card as lines for a terminal."""
    layout = card.motion.assembly.layout
    out = [*wrapped(layout.title, "  ", first=""), "", *_springs(card), ""]
    out += [*_travel(card, rows), ""]
    out += [*_failures(card), ""]
    notes = []
    if card.together.unmeasured:
        notes.append("No drag was measured: all friction is from usual values.")
    if any(f.estimated for f in card.falls):
        notes.append("Inertias that are not given were estimated from sizes.")
    if card.factor != 1:
        notes.append(f"Friction multiplied by {card.factor:g} for the cold.")
    rod = a_rod(rod_kinds(layout)).capitalize()
    notes += [f"{rod} force: pull positive, push negative."]
    if layout.governed:
        notes.append(
            "Torque at the spindle: positive opens, negative shuts. Arm force: what the "
            "governor must give at its arm, shutting, and what is left of it, opening."
        )
    notes += [PEDALS] * (layout.hand is not None) + [CAUTION]
    for note in notes:
        out += wrapped(note, "  ", first="")
    return out


def _one(value: float, decimals: int = 5) -> float | None:
    return round(value, decimals) if math.isfinite(value) else None


def _governed_data(card: SpringCard) -> list[dict[str, Any]]:
    """Return what turns each plate after each failure, as plain data."""
    return [
        {
            "what": r.failure.text,
            "throttle": r.throttle,
            "springs_left": list(r.springs),
            "opening_torque_least_N_m": _one(float(np.nanmin(r.closing_torque))),
            "opening_torque_most_N_m": _one(float(np.nanmax(r.closing_torque))),
        }
        for r in card.returns
    ]


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
    if card.motion.assembly.layout.governed:
        failures = _governed_data(card)
    return {
        "title": card.motion.assembly.layout.title,
        "units": DATA_UNITS,
        "springs": springs,
        "columns": {k: plain(v) for k, v in card.columns().items()},
        "failures": failures,
        "drag_measured": not card.together.unmeasured,
        "friction_factor": card.factor,
        "caution": CAUTION,
    }
