"""From the table of a cam to the cam, and back.

Not here: rods (`rods`), the other tables (`build`, `writer`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from linkage.config.rods import given, hole_of, si, sign_of
from linkage.config.written import key_of, text_of
from linkage.errors import LayoutError
from linkage.model import Cam, turning
from linkage.model.cam import MOST_POINTS
from linkage.quantities import say

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.config.cam_table import CamTable
    from linkage.config.writer import Lines, Writer
    from linkage.model import Hole, Shaft

#: The cam's arm and the first radius of its profile nearer than this are one. [m]
BEGINS = 1e-6


def cam_of(name: str, table: CamTable, shafts: Mapping[str, Shaft]) -> Cam:
    """Return the cam of a table."""
    key = ("cams", name)
    arms: Mapping[str, Any] = {n: shaft.arms for n, shaft in shafts.items()}
    for word in ("profile", "arcs"):
        if len(pairs := getattr(table, word)) > MOST_POINTS:
            msg = f"a profile of {len(pairs)} pairs, more than {MOST_POINTS}"
            hint = "arcs are laid smoothly through the points; fewer will do"
            raise LayoutError(msg, hint=hint, key=(*key, word))
    start = hole_of(table.from_, arms, (*key, "from"))
    points = tuple((turn.value, radius.value) for turn, radius in table.profile)
    base = _base(start, shafts)
    if points and base is not None and abs(points[0][1] - base) > BEGINS:
        msg = (
            f"the profile begins at {say(points[0][1], 'length')}, and its arm `{start}` "
            f"is {say(base, 'length')} long"
        )
        hint = "the profile begins at the arm: its first radius is the arm's length"
        raise LayoutError(msg, hint=hint, key=(*key, "profile"))
    return Cam(
        name=name,
        start=start,
        end=hole_of(table.to, arms, (*key, "to")),
        roller=table.roller.value / 2,
        goes=sign_of(table.round),
        points=points,
        arcs=tuple((radius.value, angle.value) for radius, angle in table.arcs),
        base=1.0 if base is None else base,
        joint_diameter=si(table.pin_diameter) or Cam.pin_of(table.roller.value),
        joint_friction=given(table, "pin_friction"),
        mass=si(table.mass),
        fixed=table.fixed,
    )


def _base(hole: Hole, shafts: Mapping[str, Shaft]) -> float | None:
    """Return the length of a cam's arm; None of one that there is not, or of a pin of a slide."""
    shaft = shafts.get(hole.shaft)
    arm = None if shaft is None or shaft.slides else shaft.arms.get(hole.arm)
    return None if arm is None else float(arm.length)


def cam_lines(out: Writer, cam: Cam, arm: float) -> Lines:
    """Return the table of a cam, whose arm is so long."""
    path = cam.key
    scale = arm / cam.base
    lines = [
        f"[cams.{key_of(cam.name)}]",
        f"from = {text_of(str(cam.start))}",
        f"to = {text_of(str(cam.end))}",
        f"roller = {out.value(2 * cam.roller, 'length', *path, 'roller')}",
        f"round = {text_of(turning(cam.goes))}",
    ]
    for word, pairs, kinds in (
        ("profile", cam.points, ("angle", "length")),
        ("arcs", cam.arcs, ("length", "angle")),
    ):
        told = []
        for i, pair in enumerate(pairs):
            values = (
                out.value(
                    value * scale if kind == "length" and scale != 1 else value,
                    kind,
                    *path,
                    word,
                    str(i),
                    str(j),
                )
                for j, (value, kind) in enumerate(zip(pair, kinds, strict=True))
            )
            told.append(f"[{', '.join(values)}]")
        lines += [f"{word} = [{', '.join(told)}]"] if told else []
    half = Cam.pin_of(2 * cam.roller)
    pin = 0.0 if cam.joint_diameter == half else cam.joint_diameter
    rows = [("pin_diameter", pin, "length"), ("mass", cam.mass, "mass")]
    rubs = [("pin_friction", cam.joint_friction, "ratio")]
    lines += out.pairs(rows, *path) + out.given(rubs, *path)
    return [*lines, "fixed = true"] if cam.fixed else lines
