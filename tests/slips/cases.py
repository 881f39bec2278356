"""Forty usual slips, made in four vehicles of our own.

Each was put down before it was tried, ten a vehicle; only such as leave a layout that
still fits were taken out and others put in, as nothing is to be found there.

Not here: what the program told of them (`record`).
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import tomlkit

HERE = Path(__file__).parent
VEHICLES = ("orchard", "quarry", "harbour", "ferry")


@dataclass(frozen=True, kw_only=True)
class Case:
    """One slip: in which vehicle, of which kind, and what was typed where."""

    vehicle: str
    kind: str
    typed: dict[tuple[str, ...], object]
    #: Where the slip is told: the only key, where not given.
    key: tuple[str, ...] = ()

    @property
    def told_at(self) -> tuple[str, ...]:
        """The key at which the right slip is named."""
        return self.key or next(iter(self.typed))

    @property
    def name(self) -> str:
        """What identifies it."""
        typed = "; ".join(f"{'.'.join(k)} = {_toml(v)}" for k, v in self.typed.items())
        return f"{self.vehicle}: {self.kind}: {typed}"

    @property
    def text(self) -> str:
        """The file with the slip in it."""
        document = tomlkit.parse(sound(self.vehicle))
        for key, value in self.typed.items():
            table = document
            for part in key[:-1]:
                table = table[part]
            table[key[-1]] = value
        return tomlkit.dumps(document)


def _toml(value: object) -> str:
    return f'"{value}"' if isinstance(value, str) else str(value)


def sound(vehicle: str) -> str:
    """Return the file of a vehicle as it is right."""
    return (HERE / f"{vehicle}.toml").read_text(encoding="utf-8")


def _arm(vehicle, kind, shaft, arm, field, typed):
    key = ("shafts", shaft, "arms", arm, field)
    return Case(vehicle=vehicle, kind=kind, typed={key: typed})


def _place(vehicle, kind, key, typed, told):
    """Return a slip in a place; ``told`` is the coordinate that is named, if one is."""
    return Case(vehicle=vehicle, kind=kind, typed={key: typed}, key=(*key, *told))


def _one(vehicle, kind, typed, *key):
    return Case(vehicle=vehicle, kind=kind, typed={key: typed})


PIVOT = ("shafts", "spindle", "pivot")
SPINDLE = ("shafts", "left spindle", "arms")
CASES = (
    _arm("orchard", "viewer", "spindle", "lever", "angle", 38),
    _arm("orchard", "viewer", "cross shaft", "outer", "angle", -163),
    _one("orchard", "opens", "clockwise", "throttle", "opens"),
    _arm("orchard", "sign", "cross shaft", "inner", "offset", 165),
    _place(
        "orchard", "exchanged", ("shafts", "cross shaft", "pivot"), [42, 352, 140], ()
    ),
    _arm("orchard", "digits", "spindle", "lever", "length", 43),
    _arm("orchard", "unit", "cross shaft", "outer", "length", 3.27),
    _arm("orchard", "unit", "spindle", "lever", "length", 3.4),
    _arm("orchard", "level", "spindle", "lever", "angle", 52),
    _arm("orchard", "edge", "pedal", "rod", "length", 58),
    _arm("quarry", "viewer", "pedal", "rod", "angle", 103),
    _arm("quarry", "viewer", "spindle", "lever", "angle", 128),
    _one("quarry", "opens", "clockwise", "throttle", "opens"),
    _place("quarry", "sign", ("springs", "far", "anchor"), [19.7, 2.8, 3.8], "y"),
    _arm("quarry", "unit", "pedal", "rod", "length", 108),
    _arm("quarry", "unit", "spindle", "lever", "length", 3.2),
    _arm("quarry", "digits", "spindle", "lever", "length", 1.52),
    _place("quarry", "digits", PIVOT, [12.5, -1.4, 2.9], "x"),
    _one("quarry", "ends", 15.54, "rods", "link", "length"),
    _arm("quarry", "level", "pedal", "rod", "angle", 13),
    _arm("harbour", "viewer", "jack shaft", "out", "angle", -14),
    _arm("harbour", "viewer", "spindle", "lever", "angle", 142),
    _one("harbour", "opens", "anticlockwise", "throttle", "opens"),
    _one("harbour", "axis", "across", "shafts", "jack shaft", "axis"),
    _place("harbour", "sign", ("shafts", "jack shaft", "pivot"), [215, -250, 290], "y"),
    _arm("harbour", "sign", "jack shaft", "out", "offset", 165),
    _place("harbour", "exchanged", PIVOT, [380, 152, 293], ()),
    _place(
        "harbour", "digits", ("shafts", "jack shaft", "pivot"), [215, 520, 290], "y"
    ),
    _arm("harbour", "unit", "pedal", "rod", "length", 2.83),
    _arm("harbour", "edge", "spindle", "lever", "length", 38),
    _arm("ferry", "viewer", "cross shaft", "left", "angle", -164),
    _arm("ferry", "viewer", "right spindle", "lever", "angle", 39),
    _one("ferry", "opens", "clockwise", "throttles", "left", "opens"),
    Case(
        vehicle="ferry",
        kind="opens",
        typed={
            ("throttles", "left", "opens"): "clockwise",
            ("throttles", "right", "opens"): "clockwise",
        },
    ),
    _place("ferry", "exchanged", ("springs", "left", "anchor"), [93, 10, 99], ()),
    _place("ferry", "sign", ("shafts", "right spindle", "pivot"), [71, 85, 125], "y"),
    _arm("ferry", "unit", "cross shaft", "inner", "length", 2.05),
    _place("ferry", "digits", ("shafts", "cross shaft", "pivot"), [28, 120, 430], "z"),
    Case(
        vehicle="ferry",
        kind="shaft viewer",
        typed={
            (*SPINDLE, "lever", "angle"): 219,
            (*SPINDLE, "spring", "angle"): 201,
            ("throttles", "left", "opens"): "clockwise",
        },
        key=SPINDLE,
    ),
    _arm("ferry", "edge", "left spindle", "lever", "length", 29),
)
