"""Slides, and stops on shafts and slides, as a layout file has them.

Not here: the other tables (`writer`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.config.written import key_of, text_of
from linkage.model import turning

if TYPE_CHECKING:
    from linkage.config.writer import Lines, Writer
    from linkage.model import Axis, Slide, Stop


def axis_text(axis: Axis) -> str:
    """Return an axis as its word, or as the vector that it was given by."""
    if axis.name != "vector":
        return text_of(axis.name)
    return "[" + ", ".join(repr(float(c)) for c in axis.vector or axis.n) + "]"


def slide_lines(out: Writer, slide: Slide) -> Lines:
    """Return the table of a slide."""
    path = slide.key
    one, two = (
        out.point(end, *path, "guide", str(i)) for i, end in enumerate(slide.guide)
    )
    lines = [
        f"[slides.{key_of(slide.name)}]",
        f"guide = [{one}, {two}]",
        f"axis = {axis_text(slide.seen)}",
    ]
    sizes = [("diameter", slide.bearing, "length"), ("mass", slide.mass, "mass")]
    rubs = [("friction", slide.friction, "ratio"), ("drag", slide.drag, "force")]
    lines += out.pairs(sizes, *path) + out.given(rubs, *path)
    lines += ["fixed = true"] * slide.fixed
    return lines + [
        f"pins.{key_of(name)} = {out.point(at, *path, 'pins', name)}"
        for name, at in slide.points.items()
    ]


def stop_lines(out: Writer, stop: Stop, *, slides: bool) -> Lines:
    """Return the table of a stop, of one on a slide by its way."""
    path = ("stops", stop.name)
    lines = [f"[stops.{key_of(stop.name)}]", f"shaft = {text_of(stop.shaft)}"]
    if slides:
        toward = "second" if stop.turn >= 0 else "first"
        way = out.value(abs(stop.turn), "length", *path, "way")
        return [*lines, f"toward = {text_of(toward)}", f"way = {way}"]
    after = out.value(abs(stop.turn), "angle", *path, "after")
    return [*lines, f"turn = {text_of(turning(stop.turn))}", f"after = {after}"]
