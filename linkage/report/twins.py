"""Plates beside each other in words, as a table and as plain data.

Not here: the numbers (`motion.twins`, `motion.twin_effects`, `motion.twin_setting`),
whether they are in order (`rules`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

from linkage.model.called import all_rods, called, part_name, rod_kinds
from linkage.motion.twin_effects import effects
from linkage.motion.twin_setting import set_together
from linkage.motion.twins import TOGETHER, beside
from linkage.quantities import say
from linkage.report.tables import mm, table, wrapped
from linkage.spoken import say_hole, say_rod

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from linkage.motion.twin_effects import TwinEffect
    from linkage.motion.twin_setting import TwinArm, TwinSetting
    from linkage.motion.twins import Twins
    from linkage.search import Check

#: Pad travels nearer than this are told as one. [m]
AT_ONCE: Final = 0.05e-3
#: Most arms of which it is told how long they should be.
ARMS: Final = 2


def ahead(twins: Twins, difference: float, verb: str = "") -> str:
    """Return which of two plates is ahead, and by how much.

    Parameters
    ----------
    twins : Twins
        The two.
    difference : float
        Positive where the other is ahead of the first. [rad]
    verb : str
        What stands before ``ahead``.
    """
    if abs(difference) < TOGETHER:
        return f"{twins.first} and {twins.other} together"
    names = (twins.other, twins.first)
    one, two = names if difference > 0 else names[::-1]
    return f"{one}{verb} ahead of {two} by {say(abs(difference), 'angle')}"


def beside_text(twins: Twins) -> str:
    """Return which of two plates starts first, how far they part, which is full first."""
    said = [_start(twins)]
    if not twins.later:
        most = ahead(twins, float(twins.greatest))
        at_pad = f" at most, with the pad at {say(float(twins.greatest_at), 'length')}"
        apart = abs(twins.greatest) >= TOGETHER
        said.append(most + (at_pad if apart else " all the way"))
    said.append(_full(twins))
    return "; ".join(said)


def _start(twins: Twins) -> str:
    held = [n for n in (twins.first, twins.other) if twins.held[n] > TOGETHER]
    if held:
        rests = twins.other if held[0] == twins.first else twins.first
        return (
            f"at idle {held[0]} is held {say(float(twins.held[held[0]]), 'angle')} off its "
            f"stop while {rests} rests on its own"
        )
    one, two = (float(twins.leaves[n]) for n in (twins.first, twins.other))
    if abs(two - one) <= AT_ONCE:
        return "both leave their idle stops together"
    said = [
        f"{name} leaves its idle stop at pad {say(place, 'length')}"
        if math.isfinite(place)
        else f"{name} never leaves its idle stop"
        for name, place in ((twins.first, one), (twins.other, two))
    ]
    return ", ".join(said)


def _full(twins: Twins) -> str:
    places = {n: float(twins.full[n]) for n in (twins.first, twins.other)}
    never = [n for n, place in places.items() if math.isnan(place)]
    if len(never) == 2:
        return "neither is ever full"
    if never:
        full = next(n for n in places if n not in never)
        return f"{full} is full at pad {say(places[full], 'length')}, {never[0]} never"
    one, two = sorted(places, key=places.__getitem__)
    later = places[two] - places[one]
    at_pad = f"at pad {say(places[one], 'length')}"
    if later < AT_ONCE:
        return f"both are full together, {at_pad}"
    return f"{one} is full first, {at_pad}, {two} {say(later, 'length')} of pad later"


def twin_lines(check: Check) -> list[str]:
    """Return what is told of plates beside each other; nothing where there is but one.

    Parameters
    ----------
    check : Check
        From `search.check`.
    """
    x = check.examined
    out = []
    for twins in beside(x.assembly, x.working):
        head = f"{twins.other} beside {twins.first}: {beside_text(twins)}."
        out += wrapped(head, "  ", first="")
        kinds = rod_kinds(x.layout)
        out += _effect_lines(twins, effects(x.assembly, twins), kinds)
        out += _setting_lines(twins, set_together(x.layout, twins), kinds)
        out.append("")
    return out


def _signed(angle: float) -> str:
    told = angle if abs(angle) >= TOGETHER else 0.0
    return f"{'+' if told > 0 else ''}{say(told, 'angle')}"


def _effect_lines(
    twins: Twins, found: Iterable[TwinEffect], kinds: Mapping[str, str]
) -> list[str]:
    """Return what each arm and joint does, worst first, as a table."""
    apart = not twins.later and abs(twins.greatest) >= TOGETHER
    places = {"at\nidle": not twins.later, "where\nmost": apart, "at\nfull": True}
    rows = []
    for e in found:
        arm = e.about.kind == "arm"
        three = (float(v) for v in (e.at_idle, e.at_greatest, e.at_full))
        cells = [_signed(v) if arm else f"± {say(v, 'angle')}" for v in three]
        what = f"{say(e.amount, 'length')} {'longer' if arm else 'of play'}"
        shown = [c for c, yes in zip(cells, places.values(), strict=True) if yes]
        rows.append([part_name(kinds, e.about), what, *shown])
    heads = [head for head, yes in places.items() if yes]
    lines = table(["part", "with", *heads], rows, left=2)
    again = "rods that are cut to fit cut again"
    if kinds:
        again = f"{all_rods(kinds)} of no given length made or set anew"
    said = (
        f"So much each puts {twins.other} ahead of {twins.first}, {again}, worst first:"
    )
    return [*wrapped(said, "    ", first="  "), *(f"  {line}" for line in lines)]


def _setting_lines(
    twins: Twins, setting: TwinSetting | None, kinds: Mapping[str, str]
) -> list[str]:
    if setting is None:
        return []
    rods = " and ".join(
        f"{called(kinds, n) if kinds else f'`{n}`'} {say_rod(length)}"
        for n, length in setting.rods.items()
    )
    word = f"rod{'s' * (len(setting.rods) > 1)} " if not kinds else ""
    text = f"Set with {word}{rods}, both rest on their idle stops"
    if setting.together:
        text += " and are full together"
        if abs(setting.greatest) >= TOGETHER:
            at_pad = say(setting.greatest_at, "length")
            text += (
                f"; on the way {ahead(twins, setting.greatest, ' is')}, at pad {at_pad}"
            )
        return wrapped(f"{text}.", "    ", first="  ")
    text += (
        f"; at full {ahead(twins, setting.left, ' is then')}, which is the arms' doing"
    )
    if setting.arms:
        told = ", or ".join(map(_arm, setting.arms[:ARMS]))
        text += f": both are full together with {told}"
    return wrapped(f"{text}.", "    ", first="  ")


def _arm(found: TwinArm) -> str:
    sizes = (found.length, found.right)
    old, new = map(say_hole, sizes)
    if old == new:
        old, new = (say_hole(size, 2) for size in sizes)
    return f"arm `{found.hole}` {new} long instead of {old}"


# --- plain data ----------------------------------------------------------------------------


def _deg(value: float) -> float | None:
    return round(math.degrees(value), 4) + 0.0 if math.isfinite(value) else None


def _rods(rods: Mapping[str, float]) -> dict[str, float | None]:
    return {name: mm(length) for name, length in rods.items()}


def beside_data(twins: Twins) -> dict[str, Any]:
    """Return two plates beside each other as plain data."""
    return {
        "first": twins.first,
        "other": twins.other,
        "later_on_purpose": twins.later,
        "leaves_idle_stop_at_mm": {n: mm(v) for n, v in twins.leaves.items()},
        "held_open_deg": {n: _deg(v) for n, v in twins.held.items()},
        "full_at_mm": {n: mm(v) for n, v in twins.full.items()},
        "ahead_at_idle_deg": _deg(twins.at_idle),
        "ahead_at_most_deg": _deg(twins.greatest),
        "ahead_at_most_at_mm": mm(twins.greatest_at),
        "ahead_at_full_deg": _deg(twins.at_full),
    }


def twin_data(check: Check) -> list[dict[str, Any]]:
    """Return every further plate beside the first as plain data, with what moves it.

    Parameters
    ----------
    check : Check
        From `search.check`.
    """
    x = check.examined
    kinds = rod_kinds(x.layout)
    return [
        {
            **beside_data(twins),
            "effects": [_effect_data(e, kinds) for e in effects(x.assembly, twins)],
            "setting": _setting_data(set_together(x.layout, twins)),
        }
        for twins in beside(x.assembly, x.working)
    ]


def _effect_data(e: TwinEffect, kinds: Mapping[str, str]) -> dict[str, Any]:
    return {
        "part": part_name(kinds, e.about),
        "kind": "arm" if e.about.kind == "arm" else "play",
        "mm": mm(e.amount),
        "at_idle_deg": _deg(e.at_idle),
        "at_most_deg": _deg(e.at_greatest),
        "at_full_deg": _deg(e.at_full),
    }


def _setting_data(setting: TwinSetting | None) -> dict[str, Any] | None:
    if setting is None:
        return None
    return {
        "rods_mm": _rods(setting.rods),
        "full_together": setting.together,
        "ahead_at_full_deg": _deg(setting.left),
        "ahead_at_most_deg": _deg(setting.greatest),
        "ahead_at_most_at_mm": mm(setting.greatest_at),
        "arms": [
            {
                "arm": str(arm.hole),
                "length_mm": mm(arm.length),
                "right_mm": mm(arm.right),
                "rods_mm": _rods(arm.rods),
            }
            for arm in setting.arms
        ],
    }
