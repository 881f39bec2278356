"""Cables and rims as a layout file has them.

Not here: the other tables (`writer`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.config.written import key_of, text_of
from linkage.model import turning

if TYPE_CHECKING:
    from linkage.config.writer import Lines, Writer
    from linkage.model import Arm, Cable


def wound_lines(out: Writer, arm: Arm, *path: str) -> Lines:
    """Return ``key = value`` of how a wire lies on an arm; none of a bare one."""
    if not arm.wound:
        return []
    lines = [f"wound = {text_of(turning(arm.wound))}"]
    if arm.rim:
        points = []
        for i, (turn, radius) in enumerate(arm.profile):
            at = (*path, "rim", str(i))
            pair = (
                out.value(turn, "angle", *at, "0"),
                out.value(radius, "length", *at, "1"),
            )
            points.append(f"[{', '.join(pair)}]")
        lines.append(f"rim = [{', '.join(points)}]")
    return lines


def cable_lines(out: Writer, cable: Cable) -> Lines:
    """Return the table of a cable."""
    path = cable.key
    lines = [
        f"[cables.{key_of(cable.name)}]",
        f"from = {text_of(str(cable.start))}",
        f"to = {text_of(str(cable.end))}",
    ]
    for word, end in zip(("sheath_from", "sheath_to"), cable.ends, strict=True):
        lines.append(f"{word} = {out.point(end.point, *path, word)}")
        if end.on != "body":
            lines.append(f"{word}_on = {text_of(end.on)}")
    if cable.through:
        points = (
            out.point(point, *path, "sheath_through", str(i))
            for i, point in enumerate(cable.through)
        )
        lines.append(f"sheath_through = [{', '.join(points)}]")
    if not cable.only:
        lines.append('works = "pull and push"')
    whole = None
    if cable.length is not None:
        whole = cable.length + cable.sheathed
    known = [
        ("sheath_length", cable.sheath_length, "length"),
        ("wire_length", whole, "length"),
        ("bend", cable.bend, "angle"),
        ("sheath_friction", cable.sheath_friction, "ratio"),
        ("nipple_friction", cable.joint_friction, "ratio"),
    ]
    set_only = [
        ("slack", cable.lost if cable.length is None else 0.0, "length"),
        ("wire", cable.wire, "length"),
        ("play", cable.play, "length"),
        ("stroke", cable.stroke, "length"),
        ("push_limit", cable.push_limit, "force"),
        ("mass", cable.mass, "mass"),
        ("nipple_diameter", cable.joint_diameter, "length"),
    ]
    lines += out.given(known, *path) + out.pairs(set_only, *path)
    return [*lines, "fixed = true"] if cable.fixed else lines
