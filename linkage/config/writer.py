"""Writing a layout as a file that reads back to the very same layout.

Not here: changing a file and keeping its comments (`editor`).
"""

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from linkage.config.cable_written import cable_lines, wound_lines
from linkage.config.cams import cam_lines
from linkage.config.heat import heat_lines
from linkage.config.inputs_written import driver_lines
from linkage.config.models import SpringTable, kind_of
from linkage.config.obstacles_written import obstacle_blocks
from linkage.config.slide_written import axis_text, slide_lines, stop_lines
from linkage.config.written import key_of, number_of, text_of, written_word
from linkage.model import (
    LIMIT_ROWS,
    Arm,
    Cable,
    Cam,
    Engine,
    Layout,
    Limits,
    Rod,
    Shaft,
    Slide,
    Spring,
    Throttle,
    turning,
)
from linkage.units import parse

#: The units that a written file names once for all its bare numbers.
_NAMED: Final = ("length", "angle", "force")

Lines = list[str]


class Writer:
    """Writes values, with the measuring error where one is known."""

    def __init__(self, layout: Layout) -> None:
        self.layout = layout

    def known(self, *path: str) -> bool:
        """Tell whether the measuring error of a value is known."""
        return path in self.layout.tolerances

    def value(self, value: float, kind: str, *path: str) -> str:
        """Return one quantity; a bare number where its unit is named above."""
        text = number_of(value, kind)
        margin = self.layout.tolerances.get(path, 0.0)
        if margin:
            return text_of(f"{text} ± {number_of(margin, kind)}")
        number, _, unit = text.partition(" ")
        if not unit:
            return number
        if kind in _NAMED and unit == written_word(kind):
            # TOML reads a bare number to a float first, which can round once more
            again = parse(float(number), kind, default_unit=unit).value
            return number if again == value else text_of(text)
        return text_of(text)

    def point(self, point: Iterable[float], *path: str) -> str:
        """Return a point."""
        parts = (self.value(c, "length", *path, str(i)) for i, c in enumerate(point))
        return "[" + ", ".join(parts) + "]"

    def given(self, rows: Iterable[tuple[str, float | None, str]], *path: str) -> Lines:
        """Return ``key = value`` for every row that is not None."""
        return [
            f"{key} = {self.value(value, kind, *path, key)}"
            for key, value, kind in rows
            if value is not None
        ]

    def pairs(
        self,
        rows: Iterable[tuple[str, float | None, str]],
        *path: str,
    ) -> Lines:
        """Return ``key = value`` for every row that is set."""
        return [
            f"{key} = {self.value(value or 0.0, kind, *path, key)}"
            for key, value, kind in rows
            if value or self.known(*path, key)
        ]


def _fixed(part: Arm | Rod | Shaft | Spring) -> Lines:
    return ["fixed = true"] if part.fixed else []


def _shaft(out: Writer, shaft: Shaft) -> Lines:
    if isinstance(shaft, Slide):
        return slide_lines(out, shaft)
    path = ("shafts", shaft.name)
    lines = [
        f"[shafts.{key_of(shaft.name)}]",
        f"pivot = {out.point(shaft.pivot, *path, 'pivot')}",
        f"axis = {axis_text(shaft.axis)}",
    ]
    lines += out.pairs(
        [
            ("bearing", shaft.bearing, "length"),
            ("inertia", shaft.inertia, "inertia"),
            ("play", shaft.play, "length"),
        ],
        *path,
    )
    if shaft.bearings is not None:
        places = (
            out.value(place, "length", *path, "bearings", str(i))
            for i, place in enumerate(shaft.bearings)
        )
        lines.append(f"bearings = [{', '.join(places)}]")
    rubs = [("friction", shaft.friction, "ratio"), ("drag", shaft.drag, "torque")]
    lines += out.given(rubs, *path) + _fixed(shaft)
    for arm in shaft.arms.values():
        where = (*path, "arms", arm.name)
        parts = [
            f"length = {out.value(arm.length, 'length', *where, 'length')}",
            f"angle = {out.value(arm.angle, 'angle', *where, 'angle')}",
        ]
        if arm.offset or out.known(*where, "offset"):
            parts.append(
                f"offset = {out.value(arm.offset, 'length', *where, 'offset')}"
            )
        parts += out.pairs([("mass", arm.mass, "mass")], *where) + _fixed(arm)
        if arm.clocking != "free":
            parts.append(f"clocking = {text_of(arm.clocking)}")
        parts += wound_lines(out, arm, *where)
        lines.append(f"arms.{key_of(arm.name)} = {{ {', '.join(parts)} }}")
    return lines


def _rod(out: Writer, rod: Rod) -> Lines:
    lines = [
        f"[rods.{key_of(rod.name)}]",
        f"from = {text_of(str(rod.start))}",
        f"to = {text_of(str(rod.end))}",
    ]
    if rod.joints != ("ball", "ball"):
        lines.append(f"joints = [{', '.join(text_of(j) for j in rod.joints)}]")
    if rod.material != "steel":
        lines.append(f"material = {text_of(rod.material)}")
    rows = [
        ("length", rod.length, "length"),
        ("play", rod.play, "length"),
        ("diameter", rod.diameter, "length"),
        ("bore", rod.bore, "length"),
        ("mass", rod.mass, "mass"),
        ("joint_diameter", rod.joint_diameter, "length"),
        ("slot", rod.slot, "length"),
        ("lost", rod.lost if rod.length is None else 0.0, "length"),
        ("over_travel", rod.over_travel, "length"),
        ("over_travel_load", rod.over_travel_load, "force"),
        ("over_travel_rate", rod.over_travel_rate, "rate"),
    ]
    if rod.slot and rod.slot_at == "start":
        lines.append('slot_at = "from"')
    if rod.only:
        lines.append(f"only = {text_of(rod.only)}")
    lines += out.pairs(rows, "rods", rod.name)
    rubs = [("joint_friction", rod.joint_friction, "ratio")]
    return lines + out.given(rubs, "rods", rod.name) + _fixed(rod)


def _throttle(out: Writer, throttle: Throttle, *, alone: bool) -> Lines:
    path = ("throttle",) if alone else ("throttles", throttle.name)
    rows = [
        ("swing", throttle.swing, "angle"),
        ("bore", throttle.bore, "length"),
        ("spindle", throttle.spindle, "length"),
        ("closed_angle", throttle.closed_angle, "angle"),
    ]
    kind = [] if throttle.kind == "plate" else [f"kind = {text_of(throttle.kind)}"]
    return [
        f"[{'.'.join(key_of(part) for part in path)}]",
        f"shaft = {text_of(throttle.shaft)}",
        f"opens = {text_of(turning(throttle.opens))}",
        *kind,
        *out.pairs(rows, *path),
    ]


def _spring(out: Writer, spring: Spring) -> Lines:
    path = ("springs", spring.name)
    lines = [f"[springs.{key_of(spring.name)}]", f"kind = {text_of(spring.kind)}"]
    if spring.arm:
        lines.append(f"hook = {text_of(f'{spring.shaft}.{spring.arm}')}")
    else:
        lines.append(f"shaft = {text_of(spring.shaft)}")
    if spring.anchor is not None:
        lines.append(f"anchor = {out.point(spring.anchor, *path, 'anchor')}")
    if spring.anchored_on != "body":
        lines.append(f"anchored_on = {text_of(spring.anchored_on)}")
    if spring.material:
        lines.append(f"material = {text_of(spring.material)}")
    if spring.known.shuts is not None:
        lines.append(f"shuts = {text_of(turning(spring.known.shuts))}")
    data = dict(spring.known.numbers())
    pairs = [
        (data.pop(f"load_{i}", None), data.pop(f"length_{i}", None)) for i in (1, 2)
    ]
    if None not in pairs[0] and None not in pairs[1]:
        loads = (
            f"[{out.value(load, 'force', *path, f'load_{i}')}, "
            f"{out.value(length, 'length', *path, f'length_{i}')}]"
            for i, (load, length) in enumerate(pairs, start=1)
        )
        lines.append(f"loads = [{', '.join(loads)}]")
    lines += [
        f"{key} = {out.value(value, _spring_kind(spring, key), *path, key)}"
        for key, value in data.items()
    ]
    return lines + _fixed(spring)


def _spring_kind(spring: Spring, key: str) -> str:
    if key == "rate" and spring.kind == "torsion":
        return "torsion rate"
    return kind_of(SpringTable.model_fields[key].annotation) or "ratio"


def _engine(out: Writer, engine: Engine) -> Lines:
    if engine == Engine():
        return []
    carried = ", ".join(text_of(name) for name in engine.carries)
    lines = ["[engine]", f"carries = [{carried}]"]
    rows = [("roll", engine.roll, "angle"), ("lift", engine.lift, "length")]
    lines += out.pairs(rows, "engine")
    if engine.axis is not None:
        point = out.point(engine.about, "engine", "about", "point")
        lines.append(f"about = {{ point = {point}, axis = {axis_text(engine.axis)} }}")
    return lines


def _limits(out: Writer, limits: Limits) -> Lines:
    changed = limits.changed()
    if not changed:
        return []
    return [
        "[limits]",
        *(
            f"{key} = {out.value(value, LIMIT_ROWS[key].kind, 'limits', key)}"
            for key, (value, _) in changed.items()
        ),
    ]


def _vehicle(out: Writer, layout: Layout) -> Iterable[Lines]:
    friction: Lines = []
    vehicle: Lines = []
    usual = Layout.__dataclass_fields__["friction"].default
    if layout.friction != usual or out.known("friction", "coefficient"):
        text = out.value(layout.friction, "ratio", "friction", "coefficient")
        friction.append(f"coefficient = {text}")
    for lines, table, word, value, kind in (
        (friction, "friction", "cold_factor", layout.cold_factor, "ratio"),
        (vehicle, "vehicle", "mass", layout.vehicle.mass, "mass"),
        (vehicle, "vehicle", "temperature", layout.vehicle.temperature, "temperature"),
    ):
        if value is not None:
            lines.append(f"{word} = {out.value(value, kind, table, word)}")
    yield ["[friction]", *friction] if friction else []
    yield ["[vehicle]", *vehicle] if vehicle else []


def _blocks(layout: Layout) -> Iterable[Lines]:
    out = Writer(layout)
    units = ", ".join(f'{kind} = "{written_word(kind)}"' for kind in _NAMED)
    title = [f"title = {text_of(layout.title)}"] if layout.title else []
    yield ["format = 1", *title, f"units = {{ {units} }}"]
    instruments = [f"{group} = {text_of(by)}" for group, by in layout.measured.items()]
    yield ["[measured]", *instruments] if instruments else []
    for shaft in layout.shafts.values():
        yield _shaft(out, shaft)
    if not layout.rods:
        yield ["[rods]"]
    for rod in layout.rods.values():
        if isinstance(rod, Cam):
            hole = rod.start
            yield cam_lines(out, rod, layout.shafts[hole.shaft].arms[hole.arm].length)
        else:
            yield cable_lines(out, rod) if isinstance(rod, Cable) else _rod(out, rod)
    yield from driver_lines(out, layout)
    for each in layout.throttles.values():
        throttle = replace(each, opens=-each.opens) if layout.governed else each
        yield _throttle(out, throttle, alone=[*layout.throttles] == ["throttle"])
    for spring in layout.springs.values():
        yield _spring(out, spring)
    for stop in layout.stops.values():
        yield stop_lines(out, stop, slides=layout.shafts[stop.shaft].slides)
    yield _engine(out, layout.engine)
    yield heat_lines(out, layout.heat)
    yield from obstacle_blocks(out, layout)
    yield from _vehicle(out, layout)
    yield _limits(out, layout.limits)


def dump(layout: Layout, *, comment: str = "") -> str:
    """Return a layout as a complete file that reads back to an equal layout.

    Parameters
    ----------
    layout : Layout
        In SI.
    comment : str
        Lines to stand at the top.

    Returns
    -------
    str
        TOML in the units that are spoken; millimetres, degrees and newtons where
        no layout file was read.
    """
    head = [f"# {line}".rstrip() for line in comment.splitlines()]
    blocks = ["\n".join(lines) for lines in _blocks(layout) if lines]
    return "\n".join([*head, "\n\n".join(blocks)]) + "\n"
