"""Obstacles as a layout file has them.

Not here: the other tables (`writer`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.config.slide_written import axis_text
from linkage.config.written import key_of, text_of

if TYPE_CHECKING:
    from linkage.config.writer import Lines, Writer
    from linkage.model import Layout, Obstacle

#: The key under which one point of a shape stands, or its two.
_ONE = {"sphere": "centre", "plane": "point"}


def obstacle_blocks(out: Writer, layout: Layout) -> list[Lines]:
    """Return the tables of all obstacles."""
    return [_lines(out, obstacle) for obstacle in layout.obstacles.values()]


def _lines(out: Writer, obstacle: Obstacle) -> Lines:
    """Return the table of an obstacle."""
    path, shape = obstacle.key, obstacle.shape
    lines = [f"[obstacles.{key_of(obstacle.name)}]", f"shape = {text_of(shape)}"]
    if obstacle.kind != "fixed":
        lines.append(f"kind = {text_of(obstacle.kind)}")
    if obstacle.on != "body":
        lines.append(f"on = {text_of(obstacle.on)}")
    word = _ONE.get(shape)
    if word is not None:
        lines.append(f"{word} = {out.point(obstacle.points[0], *path, word)}")
    else:
        word = "corners" if shape == "box" else "points"
        points = (
            out.point(point, *path, word, str(i))
            for i, point in enumerate(obstacle.points)
        )
        lines.append(f"{word} = [{', '.join(points)}]")
    if shape == "plane":
        lines.append(f"axis = {axis_text(obstacle.axis)}")
    if shape in {"pipe", "sphere"}:
        wide = out.value(obstacle.diameter, "length", *path, "diameter")
        lines.append(f"diameter = {wide}")
    if obstacle.holes:
        holes = (
            out.point((*middle, wide), *path, "holes", str(i))
            for i, (middle, wide) in enumerate(obstacle.holes)
        )
        lines.append(f"holes = [{', '.join(holes)}]")
    return lines + out.given([("gap", obstacle.gap, "length")], *path)
