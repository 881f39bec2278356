"""Mistakes that a person makes in a workshop, as changes of a parsed layout file.

Each takes a source of chance and the table in millimetres, degrees and newtons,
changes the table in place, and raises `NoSuchPartError` where the layout has no such part.

Not here: how many are made of one layout (`tests.bad.layouts`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from tests.bad.parts import Mistake, NoSuchPartError, Table, arm_of, either
from tests.bad.spring_mistakes import (
    anchor_off,
    hook_length,
    hook_turned,
    long_spring,
    more_springs,
    on_body,
    one_bracket,
    one_hook,
    short_spring,
    spring_lost,
    strong_spring,
    weak_springs,
    wrong_hand,
)

if TYPE_CHECKING:
    from tests.bad.chance import Chance

#: Directions u, v and n of a shaft by the word for it (docs/conventions.md).
AXES = {
    "across": ((1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0)),
    "along": ((0.0, -1.0, 0.0), (0.0, 0.0, 1.0), (-1.0, 0.0, 0.0)),
    "upright": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
}


def _holes(t: Table) -> list[str]:
    """Return the holes that rods join."""
    return [rod[end] for rod in t["rods"].values() for end in ("from", "to")]


def _plates(t: Table) -> list[Table]:
    return [t["throttle"]] if "throttle" in t else list(t["throttles"].values())


def _driven(t: Table) -> list[Table]:
    """Return the shafts other than the pedal's."""
    return [s for name, s in t["shafts"].items() if name != t["pedal"]["shaft"]]


def _pin(t: Table, hole: str) -> tuple[float, float, float]:
    shaft = t["shafts"][hole.split(".", maxsplit=1)[0]]
    arm = arm_of(t, hole)
    at, length = math.radians(arm["angle"]), arm["length"]
    by = length * math.cos(at), length * math.sin(at), arm.get("offset", 0.0)
    x, y, z = (
        place + sum(b * way[i] for b, way in zip(by, AXES[shaft["axis"]], strict=True))
        for i, place in enumerate(shaft["pivot"])
    )
    return x, y, z


def wrong_hole(c: Chance, t: Table) -> None:
    """A rod in the wrong hole of an arm, or an arm drilled wrong."""
    arm = arm_of(t, c.pick(_holes(t)))
    factor = c.between(0.6, 0.9) if c.yes(0.5) else c.between(1.12, 1.5)
    arm["length"] = round(2 * arm["length"] * factor) / 2


def clocked_wrong(c: Chance, t: Table) -> None:
    """A lever clamped some degrees early or late."""
    arm = arm_of(t, c.pick(_holes(t)))
    arm["angle"] = round(arm["angle"] + either(c, 12, 50))


def other_side(c: Chance, t: Table) -> None:
    """A lever clamped the other way up."""
    arm = arm_of(t, c.pick(_holes(t)[1:]))
    arm["angle"] = round(arm["angle"] + 180 + either(c, 0, 20))


def arm_slid(c: Chance, t: Table) -> None:
    """A lever clamped at the wrong place along its shaft."""
    arm = arm_of(t, c.pick(_holes(t)))
    arm["offset"] = round(arm.get("offset", 0.0) + either(c, 25, 140))


def pivot_off(c: Chance, t: Table) -> None:
    """A bracket that sits elsewhere than drawn."""
    pivot = c.pick(_driven(t))["pivot"]
    for k in (0, 2):
        pivot[k] = round(pivot[k] + either(c, 3, 40), 1)


def pivot_aside(c: Chance, t: Table) -> None:
    """A bracket too far to one side."""
    pivot = c.pick(_driven(t))["pivot"]
    pivot[1] = round(pivot[1] + either(c, 20, 110))


def thick_carpet(c: Chance, t: Table) -> None:
    """Less pad travel than thought; the stop is where it was or under the carpet."""
    t["pedal"]["travel"] = round(t["pedal"]["travel"] * c.between(0.65, 0.92))


def no_pedal_stop(c: Chance, t: Table) -> None:
    """The pedal stop forgotten, the floor a little deeper."""
    t["pedal"].pop("stop", None)
    t["pedal"]["travel"] += round(c.between(0, 25))


def stop_early(c: Chance, t: Table) -> None:
    """The pedal stop set too high."""
    pedal = t["pedal"]
    pedal["stop"] = round(pedal.get("stop", pedal["travel"]) - c.between(3, 18), 1)


def stop_late(c: Chance, t: Table) -> None:
    """The pedal stop set too low: the foot stamps on the carburettor."""
    pedal = t["pedal"]
    pedal["stop"] = round(pedal.get("stop", pedal["travel"]) + c.between(4, 20), 1)
    pedal["travel"] = round(max(pedal["travel"], pedal["stop"]) + c.between(0, 8), 1)


def free_play(c: Chance, t: Table) -> None:
    """A pedal that moves before anything else does."""
    t["pedal"]["free_play"] = round(c.between(5, 16), 1)


def other_swing(c: Chance, t: Table) -> None:
    """A carburettor that swings further, or less far, than thought."""
    one = c.pick(_plates(t))
    more = c.between(4, 16) if c.yes(0.6) else -c.between(6, 24)
    one["swing"] = round(one["swing"] + more, 1)


def other_hand(c: Chance, t: Table) -> None:
    """A carburettor that opens the other way."""
    one = c.pick(_plates(t))
    was = one["opens"]
    one["opens"] = "clockwise" if was == "anticlockwise" else "anticlockwise"


def rust(c: Chance, t: Table) -> None:
    """Dry bearings."""
    t["friction"] = {"coefficient": round(c.between(0.35, 0.8), 2)}


def stiff_seal(c: Chance, t: Table) -> None:
    """A felt or a seal that drags."""
    c.pick(_driven(t))["drag"] = f"{c.between(0.1, 0.6):.3f} N·m"


def fat_bearing(c: Chance, t: Table) -> None:
    """A shaft in the plumbing pipe that was at hand."""
    shaft = c.pick(_driven(t))
    shaft["bearing"] = round(shaft["bearing"] * c.between(1.8, 3.5))
    shaft["friction"] = round(c.between(0.3, 0.6), 2)


def rod_off(c: Chance, t: Table) -> None:
    """A rod cut too long or too short."""
    rod = t["rods"][c.pick(list(t["rods"]))]
    fit = math.dist(_pin(t, rod["from"]), _pin(t, rod["to"]))
    rod["length"] = round(2 * (fit + either(c, 1.5, 12))) / 2


def worn(c: Chance, t: Table) -> None:
    """Worn joints."""
    for rod in t["rods"].values():
        rod["play"] = round(c.between(0.4, 2.5), 1)


def thin_rod(c: Chance, t: Table) -> None:
    """A rod of welding wire."""
    t["rods"][c.pick(list(t["rods"]))]["diameter"] = round(c.between(1.6, 3), 1)


def other_joints(c: Chance, t: Table) -> None:
    """Clevises or rod ends where ball joints were meant."""
    kind = c.pick(["clevis", "clevis", "rod end"])
    for rod in t["rods"].values():
        rod["joints"] = kind


def soft_mounts(c: Chance, t: Table) -> None:
    """An engine that rocks more than thought, or lifts off a broken mount."""
    engine = t["engine"]
    if c.yes(0.6) or not engine["carries"]:
        engine.setdefault("about", {"point": [300, 0, -100], "axis": "along"})
        engine["roll"] = f"{c.between(2.5, 6):.1f} deg"
    else:
        engine["lift"] = round(c.between(8, 30))


def on_engine(c: Chance, t: Table) -> None:
    """A shaft on the engine that was meant for the body, with some roll."""
    engine = t["engine"]
    free = [
        n for n in t["shafts"] if n not in {*engine["carries"], t["pedal"]["shaft"]}
    ]
    if not free:
        raise NoSuchPartError
    engine["carries"].append(c.pick(free))
    engine.setdefault("about", {"point": [300, 0, -100], "axis": "along"})
    engine["roll"] = f"{c.between(1.5, 4):.1f} deg"


def heavy(c: Chance, t: Table) -> None:
    """A rod of gas pipe, or levers cut from thick plate."""
    if c.yes(0.5):
        t["rods"][c.pick(list(t["rods"]))]["mass"] = f"{c.between(1, 4):.1f} kg"
    else:
        arm = arm_of(t, c.pick(_holes(t)))
        arm["mass"] = f"{c.between(1, 4):.1f} kg"
    t["friction"] = {"coefficient": 0.15, "cold_factor": round(c.between(1.5, 3), 1)}


def stop_in_the_way(c: Chance, t: Table) -> None:
    """A spindle, or another shaft, that meets something before it is full open."""
    one = c.pick(_plates(t))
    after = round(one["swing"] * c.between(0.5, 0.95))
    t["stops"] = {
        "bracket": {"shaft": one["shaft"], "turn": one["opens"], "after": after}
    }


MISTAKES: tuple[Mistake, ...] = (
    # Those that are made most often stand here more than once.
    wrong_hole, wrong_hole, wrong_hole, clocked_wrong, clocked_wrong, clocked_wrong,
    other_side, arm_slid, pivot_off, pivot_off, pivot_aside, thick_carpet,
    no_pedal_stop, stop_early, stop_late, free_play, other_swing, other_swing,
    other_hand, weak_springs, strong_spring, long_spring, short_spring, anchor_off,
    wrong_hand, wrong_hand, hook_turned, hook_length, spring_lost, one_hook,
    more_springs, one_bracket, on_body, rust, stiff_seal, fat_bearing, rod_off, worn, thin_rod,
    other_joints, soft_mounts, soft_mounts, on_engine, heavy, stop_in_the_way,
)  # fmt: skip
