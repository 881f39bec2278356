"""Random layout files: text by seed, with nothing but arithmetic.

A layout is designed forward from its pedal: each rod leads away from its driver
roughly square to both arms, as a fitter would lay it out, and the plate's lever
is sized for the turn that reaches it. Chance then clocks some levers late,
turns some senses round and spoils a few files on purpose.

Only ``random.Random(seed).random()`` is drawn, which every version of Python
gives alike, and every number is written rounded; nothing of the package is used.

Not here: solving the layouts (`tests.frozen.numbers`).
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field
from typing import TypeVar

T = TypeVar("T")
Vector = tuple[float, float, float]

#: Named axes by their direction, toward the viewer.
NAMED = {
    "across": (0.0, -1.0, 0.0),
    "along": (-1.0, 0.0, 0.0),
    "upright": (0.0, 0.0, 1.0),
}
#: Sense by sign.
SENSE = {1: "anticlockwise", -1: "clockwise"}
#: Millimetres an inch.
INCH = 25.4
#: Share of the files that are spoilt on purpose.
SPOILT = 0.13


class Chance:
    """Draws from one seeded source."""

    def __init__(self, seed: int) -> None:
        self._source = random.Random(seed)  # noqa: S311

    def yes(self, share: float) -> bool:
        """Return True in a share of the draws."""
        return self._source.random() < share

    def between(self, low: float, high: float) -> float:
        """Return a number between two others."""
        return low + (high - low) * self._source.random()

    def sign(self) -> int:
        """Return 1 or -1."""
        return 1 if self.yes(0.5) else -1

    def pick(self, things: list[T]) -> T:
        """Return one of several things."""
        return things[int(self._source.random() * len(things))]


def dot(a: Vector, b: Vector) -> float:
    """Return the scalar product of two vectors."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vector, b: Vector) -> Vector:
    """Return the vector product of two vectors."""
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


def step(a: Vector, b: Vector, by: float) -> Vector:
    """Return ``a + by * b``."""
    return (a[0] + by * b[0], a[1] + by * b[1], a[2] + by * b[2])


def unit(a: Vector) -> Vector:
    """Return a vector of length 1."""
    size = math.sqrt(dot(a, a))
    return (a[0] / size, a[1] / size, a[2] / size)


def in_plane(a: Vector, n: Vector) -> Vector:
    """Return the part of a vector that lies square to a unit vector."""
    return step(a, n, -dot(a, n))


def basis(n: Vector) -> tuple[Vector, Vector]:
    """Return u and v of a shaft, as the layout file defines them: u is level."""
    flat = in_plane((0.0, 0.0, 1.0), n)
    if math.sqrt(dot(flat, flat)) > 1e-6:
        v = unit(flat)
        return cross(v, n), v
    return (1.0, 0.0, 0.0), cross(n, (1.0, 0.0, 0.0))


@dataclass
class Part:
    """A shaft while it is designed; lengths in mm, angles in rad.

    Parameters
    ----------
    name : str
        Of the shaft.
    n : tuple of 3 floats
        Its direction, toward the viewer.
    word : str
        The axis as the file writes it.
    pivot : tuple of 3 floats
        A point on it.
    rate : float
        Estimated turn a mm of pad half-way, with its sign.
    arms : dict of str to str
        Lines of the file by arm.
    lines : list of str
        Further lines of the file.
    """

    name: str
    n: Vector
    word: str
    pivot: Vector
    rate: float
    arms: dict[str, str] = field(default_factory=dict)
    lines: list[str] = field(default_factory=list)


@dataclass
class Plan:
    """A layout while it is designed.

    Parameters
    ----------
    chance : Chance
        Source of all draws.
    inch : bool
        Whether bare lengths of the file are inches.
    skew : bool
        Whether shafts lie in different directions.
    half : float
        Pad travel at which rods are square to their arms. [mm]
    parts : dict of str to Part
        Shafts by name, pedal first.
    tables : list of str
        Finished tables of the file after the shafts.
    """

    chance: Chance
    inch: bool
    skew: bool
    half: float = 0.0
    parts: dict[str, Part] = field(default_factory=dict)
    tables: list[str] = field(default_factory=list)

    def length(self, mm: float) -> str:
        """Write a length in the unit of bare lengths."""
        return f"{mm / INCH:.4f}" if self.inch else f"{mm:.2f}"

    def point(self, place: Vector) -> str:
        """Write a point."""
        return "[" + ", ".join(self.length(c) for c in place) + "]"

    def arm(
        self, part: Part, name: str, way: Vector, size: float, offset: float = 0.0
    ) -> Vector:
        """Add an arm that points in a direction; return its pin.

        Now and then it is written by its pin, and with a mass or a tolerance.
        """
        c = self.chance
        way = unit(in_plane(way, part.n))
        pin = step(step(part.pivot, way, size), part.n, offset)
        if c.yes(0.12):
            part.arms[name] = f"{{ pin = {self.point(pin)} }}"
            return pin
        u, v = basis(part.n)
        angle = math.degrees(math.atan2(dot(way, v), dot(way, u)))
        long = f'"{size:.2f} ± 0.5 mm"' if c.yes(0.1) else self.length(size)
        text = f"length = {long}, angle = {angle:.3f}"
        if offset or c.yes(0.1):
            text += f", offset = {self.length(offset)}"
        if c.yes(0.15):
            text += f', mass = "{c.between(20, 150):.1f} g"'
        part.arms[name] = f"{{ {text} }}"
        return pin


def tilted(plan: Plan, way: Vector, n: Vector, most: float) -> Vector:
    """Return a direction turned in the plane of a shaft by up to an angle. [rad]."""
    turn = plan.chance.between(-most, most)
    way = unit(in_plane(way, n))
    return step(
        (way[0] * math.cos(turn), way[1] * math.cos(turn), way[2] * math.cos(turn)),
        cross(n, way),
        math.sin(turn),
    )


def turned(plan: Plan, part: Part, way: Vector, rate: float) -> Vector:
    """Return at rest an arm's direction that is meant for half-way. [mm]."""
    back = min(max(rate * plan.half, -1.0), 1.0)
    side = cross(part.n, way)
    at = (way[0] * math.cos(back), way[1] * math.cos(back), way[2] * math.cos(back))
    return step(at, side, -math.sin(back))


def new_axis(plan: Plan) -> tuple[Vector, str]:
    """Choose the direction of a shaft: across, or any where the layout is skew."""
    c = plan.chance
    if not plan.skew:
        return NAMED["across"], '"across"'
    draw = c.between(0, 1)
    if draw < 0.75:
        word = "across" if draw < 0.35 else "along" if draw < 0.6 else "upright"
        return NAMED[word], f'"{word}"'
    base = NAMED[c.pick(["across", "along", "upright"])]
    lean = tuple(round(b + c.between(-0.5, 0.5), 3) for b in base)
    vector = (lean[0], lean[1], lean[2])
    return unit(vector), "[" + ", ".join(f"{x:.3f}" for x in vector) + "]"


def bearings(plan: Plan, part: Part) -> None:
    """Give a shaft its bearing, friction, drag and inertia, or some of them."""
    c = plan.chance
    if c.yes(0.8):
        part.lines.append(f"bearing = {plan.length(c.between(6, 18))}")
    if c.yes(0.12):
        part.lines.append(f"friction = {c.between(0.05, 0.3):.3f}")
    if c.yes(0.15):
        part.lines.append(f'drag = "{c.between(0.005, 0.06):.4f} N·m"')
    if c.yes(0.12):
        part.lines.append(f'inertia = "{c.between(30, 900):.1f} kg·mm²"')


def pedal(plan: Plan) -> float:
    """Add the pedal's shaft and return the pad travel to the floor. [mm]."""
    c = plan.chance
    n, word = (NAMED["across"], '"across"') if c.yes(0.9) else new_axis(plan)
    size = c.between(140, 230)
    pivot = (c.between(-30, 30), c.between(-350, 350), c.between(-30, 350))
    standing = c.yes(0.2)
    way = (0.0, 0.0, 1.0) if standing else (0.0, 0.0, -1.0)
    if abs(n[2]) > 0.8:
        way = (0.0, 1.0, 0.0)
    way = tilted(plan, way, n, 0.35)
    forward = cross(n, way)[0]
    sign = 1 if forward > 0 else -1
    part = Part(name="pedal", n=n, word=word, pivot=pivot, rate=sign / size)
    plan.arm(part, "pad", way, size)
    bearings(plan, part)
    plan.parts["pedal"] = part
    travel = c.between(60, 90)
    plan.half = c.pick([0.45, 0.45, 0.45, 0.45, 0.15, 0.0, 0.8]) * travel
    lines = ["[pedal]", 'shaft = "pedal"', 'pad = "pad"']
    lines.append(f"travel = {plan.length(travel)}")
    if c.yes(0.6):
        lines.append(f"stop = {plan.length(travel * c.between(0.88, 0.99))}")
    if c.yes(0.2):
        lines.append(f"free_play = {plan.length(c.between(0.5, 6))}")
    if abs(forward) < 0.4 or c.yes(0.1):
        lines.append(f'presses = "{SENSE[sign]}"')
    plan.tables.append("\n".join(lines))
    return travel


def heading(plan: Plan, one: Vector, two: Vector) -> Vector:
    """Choose in which direction a rod leaves, near the planes of both its arms."""
    c = plan.chance
    both = cross(one, two)
    if dot(both, both) > 0.05:
        way = step((0.0, 0.0, 0.0), unit(both), float(c.sign()))
        x, y, z = (c.between(-0.15, 0.15) for _ in range(3))
        loose = (x, y, z)
        return unit(step(way, loose, 1.0))
    u, v = basis(one)
    at = c.between(0, 2 * math.pi)
    way = step((0.0, 0.0, 0.0), u, math.cos(at))
    return step(way, v, math.sin(at))


def drive(plan: Plan, name: str, driver: Part, goal: float | None) -> Part:
    """Add a shaft and the rod that drives it.

    Parameters
    ----------
    plan : Plan
        What there is so far.
    name : str
        Of the new shaft.
    driver : Part
        The shaft that drives it.
    goal : float, optional
        Turn a mm of pad that the new shaft should get; any where not given.
    """
    c = plan.chance
    n, word = new_axis(plan)
    if plan.skew and goal is None and c.yes(0.3):
        n, word = driver.n, driver.word
    way = heading(plan, driver.n, n)
    # A rod is square to its arms within `slack`; now and then far from it.
    slack = c.pick([0.15, 0.25, 0.35, 0.5, 1.1])
    size1 = c.between(38, 95)
    side1 = tilted(plan, cross(driver.n, way), driver.n, slack)
    sign1 = c.sign()
    side1 = (sign1 * side1[0], sign1 * side1[1], sign1 * side1[2])
    offset1 = c.between(-120, 120) if c.yes(0.4) else 0.0
    start = step(step(driver.pivot, side1, size1), driver.n, offset1)
    back = turned(plan, driver, side1, driver.rate)
    from_pin = plan.arm(driver, f"to {name}", back, size1, offset1)
    pin_speed = driver.rate * size1 * dot(cross(driver.n, side1), way)
    size2 = c.between(30, 85)
    if goal is not None:
        size2 = min(max(abs(pin_speed) / goal, 16.0), 110.0)
    side2 = tilted(plan, cross(n, way), n, slack)
    sign2 = c.sign()
    side2 = (sign2 * side2[0], sign2 * side2[1], sign2 * side2[2])
    offset2 = c.between(-40, 40) if c.yes(0.4) else 0.0
    long = c.between(110, 420)
    end = step(start, way, long)
    if not plan.skew and c.yes(0.6):
        # A side offset between the two arms, as most real rods have.
        end = step(end, n, c.between(-40, 40))
    pivot = step(step(end, side2, -size2), n, -offset2)
    lever = size2 * dot(cross(n, side2), way)
    rate = pin_speed / lever if abs(lever) > 1e-3 else 0.0
    part = Part(name=name, n=n, word=word, pivot=pivot, rate=rate)
    bearings(plan, part)
    to_pin = plan.arm(part, "in", turned(plan, part, side2, rate), size2, offset2)
    plan.parts[name] = part
    plan.tables.append(rod(plan, driver, part, math.dist(from_pin, to_pin)))
    return part


def rod(plan: Plan, driver: Part, part: Part, long: float) -> str:
    """Return the table of a rod; some have a length of their own."""
    c = plan.chance
    lines = [
        f'[rods."rod to {part.name}"]',
        f'from = "{driver.name}.to {part.name}"',
        f'to = "{part.name}.in"',
    ]
    if c.yes(0.22):
        lines.append(f'length = "{long + c.between(-2, 2):.2f} mm"')
    joints = c.pick(
        ["ball", "ball", "ball with clip", "rod end", ""]
        if plan.skew
        else ["ball", "ball with clip", "rod end", "clevis", ""]
    )
    if joints:
        lines.append(f'joints = "{joints}"')
    if c.yes(0.25):
        lines.append(f'play = "{c.between(0.05, 0.6):.2f} mm"')
    if c.yes(0.75):
        wide = c.between(5, 10)
        lines.append(f"diameter = {plan.length(wide)}")
        if c.yes(0.15):
            lines.append(f"bore = {plan.length(wide * c.between(0.4, 0.8))}")
    if c.yes(0.15):
        lines.append('material = "aluminium"')
    if c.yes(0.25):
        lines.append(f'mass = "{c.between(30, 160):.1f} g"')
    return "\n".join(lines)


def throttle(plan: Plan, part: Part, travel: float, title: str, kind: str = "") -> int:
    """Add a throttle on a shaft and return its opening sense."""
    c = plan.chance
    opens = 1 if part.rate > 0 else -1
    if not kind and c.yes(0.04):
        opens = -opens
    swing = math.degrees(abs(part.rate)) * travel * c.between(0.7, 0.97)
    swing = min(max(swing, 35.0), 88.0)
    if not kind and c.yes(0.15):
        swing = c.between(72, 82)
    lines = [title, f'shaft = "{part.name}"', f'opens = "{SENSE[opens]}"']
    lines.append(f"swing = {swing * (1.0 if not kind else 1.15):.2f}")
    if kind:
        lines.append(f'kind = "{kind}"')
    elif c.yes(0.6):
        bore = c.between(28, 48)
        lines.append(f"bore = {plan.length(bore)}")
        lines.append(f"spindle = {plan.length(bore * c.between(0.15, 0.28))}")
        lines.append(f"closed_angle = {c.between(0, 12):.2f}")
    plan.tables.append("\n".join(lines))
    return opens


def on_line(plan: Plan, name: str, part: Part, shuts: int) -> str:
    """Return the table of an extension or compression spring on a shaft."""
    c = plan.chance
    arm = f"hook {name}"
    u, v = basis(part.n)
    at = c.between(0, 2 * math.pi)
    way = step(step((0.0, 0.0, 0.0), u, math.cos(at)), v, math.sin(at))
    offset = c.between(-45, 45) if c.yes(0.7) else 0.0
    size = c.between(22, 50)
    plan.arm(part, arm, turned(plan, part, way, part.rate), size, offset)
    hook = step(step(part.pivot, way, size), part.n, offset)
    back = cross(part.n, way)
    back = (shuts * back[0], shuts * back[1], shuts * back[2])
    pull = tilted(plan, back, part.n, c.pick([0.3, 0.5, 0.5, 1.0]))
    pushes = c.yes(0.2)
    long = c.between(105, 150)
    anchor = step(hook, pull, -long if pushes else long)
    anchor = step(anchor, part.n, c.between(-10, 10))
    lines = [
        f'[springs."{name}"]',
        f'hook = "{part.name}.{arm}"',
        f"anchor = {plan.point(anchor)}",
    ]
    if pushes:
        lines.append('kind = "compression"')
    if c.yes(0.4):
        lines.append(f'anchored_on = "{c.pick(["engine", "body"])}"')
    lines += strength(plan, long, pushes=pushes)
    return "\n".join(lines)


def strength(plan: Plan, long: float, *, pushes: bool) -> list[str]:
    """Return the lines that say how strong a spring along a line is."""
    c = plan.chance
    side = -1.0 if pushes else 1.0
    free = long - side * c.between(24, 50)
    rate = c.between(0.2, 0.9)
    draw = c.between(0, 1)
    if draw < 0.2:
        tension = c.between(2, 8)
        loads = [
            (tension + rate * step_mm, free + side * step_mm) for step_mm in (15, 35)
        ]
        pairs = ", ".join(f'["{f:.2f} N", "{x:.2f} mm"]' for f, x in loads)
        lines = [f"loads = [{pairs}]"]
        if c.yes(0.5) and not pushes:
            lines.append(f"free_length = {plan.length(free)}")
        return lines
    if draw < 0.4:
        return wound(plan, free, pushes=pushes)
    lines = [f'rate = "{rate:.4f} N/mm"', f"free_length = {plan.length(free)}"]
    if not pushes:
        if c.yes(0.8):
            lines.append(f'initial_tension = "{c.between(1, 8):.2f} N"')
        if c.yes(0.7):
            lines.append(f"greatest_length = {plan.length(free + c.between(40, 90))}")
    elif c.yes(0.6):
        lines.append(f"solid_length = {plan.length(free * c.between(0.35, 0.6))}")
    return lines


def wound(plan: Plan, free: float, *, pushes: bool) -> list[str]:
    """Return the lines that give a spring along a line by its wire."""
    c = plan.chance
    wire = c.between(1.0, 1.6)
    lines = [
        f"wire = {plan.length(wire)}",
        f"coil = {plan.length(wire * c.between(7, 11))}",
        f"turns = {c.between(14, 34):.1f}",
        f'material = "EN 10270-1 {c.pick(["SL", "SM", "SH"])}"',
        f"free_length = {plan.length(free)}",
    ]
    if not pushes and c.yes(0.6):
        lines.append(f'initial_tension = "{c.between(1, 8):.2f} N"')
    return lines


def spring(plan: Plan, name: str, part: Part, shuts: int, *, spindle: bool) -> str:
    """Return the table of one spring of any kind."""
    c = plan.chance
    if c.yes(0.04):
        shuts = -shuts
    draw = c.between(0, 1)
    if draw < 0.2:
        lines = [
            f'[springs."{name}"]',
            'kind = "torsion"',
            f'shaft = "{part.name}"',
            f'preload = "{c.between(0.1, 0.6):.4f} N·m"',
            f'shuts = "{SENSE[shuts]}"',
        ]
        if c.yes(0.3):
            wire = c.between(1.2, 2.4)
            lines += [
                f"wire = {plan.length(wire)}",
                f"coil = {plan.length(wire * c.between(7, 12))}",
                f"turns = {c.between(3, 9):.1f}",
                'material = "EN 10270-1 SM"',
            ]
        else:
            lines.append(f'rate = "{c.between(0.001, 0.008):.5f} N·m/deg"')
        return "\n".join(lines)
    if draw < 0.3 and spindle:
        u, v = basis(part.n)
        plan.arm(part, f"pull {name}", step(u, v, c.between(-2, 2)), c.between(25, 40))
        idle = c.between(5, 15)
        lines = [
            f'[springs."{name}"]',
            'kind = "measured"',
            f'hook = "{part.name}.pull {name}"',
            f'pull_idle = "{idle:.2f} N"',
            f'pull_full = "{idle * c.between(1.05, 2):.2f} N"',
        ]
        return "\n".join(lines)
    return on_line(plan, name, part, shuts)


def springs(plan: Plan, plates: list[tuple[Part, int]]) -> None:
    """Add the return springs: mostly two at the first spindle, some elsewhere."""
    c = plan.chance
    for i, (part, opens) in enumerate(plates):
        count = c.pick([0, 1, 2, 2, 2, 2, 3]) if i == 0 else c.pick([0, 1, 1])
        for k in range(count):
            table = spring(plan, f"{part.name} {k}", part, -opens, spindle=True)
            plan.tables.append(table)
    others = [p for p in plan.parts.values() if all(p is not q for q, _ in plates)]
    for part in others:
        if c.yes(0.15):
            shuts = -1 if part.rate > 0 else 1
            table = spring(plan, f"{part.name} own", part, shuts, spindle=False)
            plan.tables.append(table)


def engine(plan: Plan, names: list[str]) -> str:
    """Return the table of an engine that carries the last shafts."""
    c = plan.chance
    first = int(c.between(1, len(names)))
    carried = ", ".join(f'"{n}"' for n in names[first:])
    lines = ["[engine]", f"carries = [{carried}]"]
    if c.yes(0.7):
        where = plan.point((c.between(100, 500), 0.0, c.between(-200, 0)))
        axis = c.pick(['"along"', '"across"', "[1.0, 0.05, 0.1]"])
        lines.append(f'roll = "{c.between(0.2, 3):.2f} deg"')
        lines.append(f"about = {{ point = {where}, axis = {axis} }}")
    if c.yes(0.5):
        lines.append(f"lift = {plan.length(c.between(3, 15))}")
    return "\n".join(lines)


def extras(plan: Plan, travel: float) -> None:
    """Add stops, engine, friction, vehicle and limits, or some of them."""
    c = plan.chance
    names = list(plan.parts)
    if c.yes(0.15):
        part = plan.parts[c.pick(names)]
        turn = 1 if part.rate > 0 else -1
        after = math.degrees(abs(part.rate)) * travel * c.between(0.6, 1.3) + 2
        plan.tables.append(
            f'[stops.bracket]\nshaft = "{part.name}"\nturn = "{SENSE[turn]}"\n'
            f"after = {min(after, 150):.2f}"
        )
    if c.yes(0.45):
        plan.tables.append(engine(plan, names))
    if c.yes(0.3):
        lines = ["[friction]", f"coefficient = {c.between(0.08, 0.25):.3f}"]
        if c.yes(0.5):
            lines.append(f"cold_factor = {c.between(1.2, 2.5):.2f}")
        plan.tables.append("\n".join(lines))
    if c.yes(0.3):
        lines = ["[vehicle]", f'mass = "{c.between(900, 7500):.0f} kg"']
        if c.yes(0.4):
            lines.append(f'temperature = "{c.between(-35, 5):.0f} degC"')
        plan.tables.append("\n".join(lines))
    if c.yes(0.1):
        plan.tables.append(
            f'[limits]\nfull_throttle = "{c.between(92, 99):.1f} %"\n'
            f'stamp_load = "{c.between(400, 900):.0f} N"'
        )


def written(plan: Plan, seed: int) -> str:
    """Return the whole file."""
    unit_of_length = "in" if plan.inch else "mm"
    head = (
        f'format = 1\ntitle = "Random layout {seed}"\n'
        f'units = {{ length = "{unit_of_length}", angle = "deg", force = "N" }}'
    )
    tables = [head]
    for part in plan.parts.values():
        lines = [f'[shafts."{part.name}"]', f"pivot = {plan.point(part.pivot)}"]
        lines.append(f"axis = {part.word}")
        lines += part.lines
        lines += [f'arms."{name}" = {text}' for name, text in part.arms.items()]
        tables.append("\n".join(lines))
    return "\n\n".join([*tables, *plan.tables]) + "\n"


def spoilt(chance: Chance, text: str) -> str:
    """Return the file with one fault in it."""
    first = '[rods."rod to '
    at = text.index(first)
    end = text.index("\n", at)
    more = {
        "too short": '\nlength = "20 mm"',
        "too long": '\nlength = "1400 mm"',
        "no unit": '\nlength = "215"',
        "wrong unit": '\nlength = "215 N"',
        "unknown key": "\nlenght = 215",
    }
    fault = chance.pick(
        [*more, "in line", "no arm", "bad spring", "loop", "no sense", "swing"]
    )
    if fault in more:
        body = text[end:].split("\n\n")
        kept = [x for x in body[0].split("\n") if not x.startswith("length")]
        body[0] = "\n".join(kept)
        return text[:end] + more[fault] + "\n\n".join(body)
    again = text[at:].split("\n\n", maxsplit=1)[0].replace(first, '[rods."again ')
    whole = {
        "in line": IN_LINE,
        "no arm": text.replace('.in"', '.inn"', 1),
        "bad spring": text + BAD_SPRING,
        "loop": f"{text}\n{again}\n",
        "no sense": text.replace('opens = "', 'opens = "anti', 1),
        "swing": text.replace("swing = ", "swing = -", 1),
    }
    return whole[fault]


#: Its wire is thicker than its coil.
BAD_SPRING = """
[springs.bad]
kind = "torsion"
shaft = "pedal"
preload = "0.1 N·m"
wire = "3 mm"
coil = "2 mm"
turns = 5
material = "EN 10270-1 SM"
shuts = "clockwise"
"""
#: Arm and rod lie exactly in line at rest.
IN_LINE = """\
format = 1
title = "In line"
units = { length = "mm", angle = "deg", force = "N" }

[shafts.pedal]
pivot = [0, 0, 0]
axis = "across"
arms.pad = { length = 180, angle = -90 }
arms.rod = { length = 50, angle = 0 }

[shafts.spindle]
pivot = [300, 0, 0]
axis = "across"
arms.lever = { length = 40, angle = 180 }

[rods.link]
from = "pedal.rod"
to = "spindle.lever"

[pedal]
shaft = "pedal"
pad = "pad"
travel = 70

[throttle]
shaft = "spindle"
opens = "anticlockwise"
swing = 76
"""


def random_text(seed: int) -> str:
    """Return the text of a random layout file.

    Parameters
    ----------
    seed : int
        The same seed gives the same text, always.

    Returns
    -------
    str
        A whole file; about one in eight is spoilt on purpose.
    """
    chance = Chance(seed)
    plan = Plan(chance=chance, inch=chance.yes(0.2), skew=chance.yes(0.45))
    travel = pedal(plan)
    count = chance.pick([1, 1, 2, 2, 2, 3, 3, 4])
    aim = math.radians(chance.between(70, 92)) / travel
    part = plan.parts["pedal"]
    for k in range(count):
        last = k == count - 1
        before = part
        part = drive(
            plan, "spindle" if last else f"shaft {k + 1}", part, aim if last else None
        )
    branch = chance.pick(["", "", "", "twin", "kickdown"])
    if not branch:
        plates = [(part, throttle(plan, part, travel, "[throttle]"))]
    else:
        plates = [(part, throttle(plan, part, travel, "[throttles.front]"))]
        side = drive(plan, branch, before, abs(part.rate) or aim)
        kind = "kickdown" if branch == "kickdown" else ""
        opens = throttle(plan, side, travel, f"[throttles.{branch} lever]".replace(" ", "-"), kind)  # fmt: skip
        if not kind:
            plates.append((side, opens))
    springs(plan, plates)
    extras(plan, travel)
    text = written(plan, seed)
    return spoilt(chance, text) if chance.yes(SPOILT) else text
