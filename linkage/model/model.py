"""The layout: all parts together, and how rods hang from the pedal.

The rods form a tree whose root is the pedal: each drives exactly one shaft.
`Layout` refuses what cannot be such a tree when it is made.

Not here: whether the rods reach (`motion`).
"""

from __future__ import annotations

from dataclasses import field, fields, replace
from typing import TYPE_CHECKING

from linkage.errors import LayoutError, did_you_mean
from linkage.model.axes import add, cross, dot, norm
from linkage.model.cable import Cable
from linkage.model.cam_known import cams_known
from linkage.model.columns import Number, Truth, given, is_column, some
from linkage.model.frozen import FrozenDict
from linkage.model.inputs import hand_turns, with_waiting
from linkage.model.known import known_hole, names_known
from linkage.model.limits import Limits
from linkage.model.most import half_a_turn, refuse_many
from linkage.model.names import arms_of, holes_apart, split_hole
from linkage.model.parts import Arm, Engine, Hole, Shaft, Vehicle
from linkage.model.paths import applied, arm_path
from linkage.model.rows import rows_of
from linkage.model.tree import Link, driving_order
from linkage.records import dataclass, short

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from linkage.model.ends import Hand, Pedal, Stop, Throttle
    from linkage.model.heat import Heat
    from linkage.model.obstacle import Obstacle
    from linkage.model.rod import Rod
    from linkage.model.spring import Spring

#: Tables of parts by name.
_NAMED = ("shafts", "rods", "throttles", "springs", "stops", "obstacles")
_MAPPINGS = (*_NAMED, "tolerances", "measured")
#: Two points nearer than this are one. [m]
SAME_POINT = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Layout:
    """A whole linkage, from the pedal to every carburettor.

    Parameters
    ----------
    title : str
        One line that names it.
    shafts : mapping of str to Shaft
        What moves, slides too; in the file's order, shafts first.
    rods : mapping of str to Rod
        What joins shafts, cables too; in the file's order, rods first.
    pedal : Pedal
        The driving end.
    governed : bool
        Whether that is a governor: at rest every throttle is full open, and `opens` of
        one is the sense in which the governor moves it, which shuts.
    throttles : mapping of str to Throttle
        The driven ends; the first plate is the one that curves show.
    springs, stops, obstacles : mapping
        May be empty.
    hand : Hand, optional
        A hand lever that opens the throttle beside the pedal.
    foot : Pedal, optional
        The pedal, of a layout whose `pedal` is the hand lever (`motion.by_hand`).
    engine : Engine
        What rocks.
    heat : Heat, optional
        How warm it gets, and from where it grows; None where nothing is told of it.
    limits : Limits
        Bounds of the check.
    friction : float
        Coefficient of friction in bearings that name none.
    cold_factor : float, optional
        How much more friction there is when cold; None where not given.
    vehicle : Vehicle
        The whole vehicle.
    tolerances : mapping of tuple of str to float
        Measuring error either way, by key path in the file, in SI.
    measured : mapping of str to str
        Instruments by what was measured with them: keys of `instruments.GROUPS`, and
        of the errors there.
    links : tuple of Link
        Made here: the rods in driving order.
    apart : bool or column
        Made here: whether no rod joins shafts on one pivot or ends on a shaft's
        line, and the pad's travel is less than half a turn. True for a layout
        alone, which is refused otherwise; of many, such rows cannot be assembled.

    Raises
    ------
    LayoutError
        If the rods are no tree from the pedal, a name is not known or none, there
        are too many parts, or the pad's travel is more than half a turn.
    """

    title: str = field(metadata={"words": True})
    shafts: Mapping[str, Shaft]
    rods: Mapping[str, Rod]
    pedal: Pedal
    throttles: Mapping[str, Throttle]
    springs: Mapping[str, Spring] = field(default_factory=dict)
    stops: Mapping[str, Stop] = field(default_factory=dict)
    obstacles: Mapping[str, Obstacle] = field(default_factory=dict)
    hand: Hand | None = None
    foot: Pedal | None = None
    engine: Engine = field(default_factory=Engine)
    heat: Heat | None = None
    limits: Limits = field(default_factory=Limits)
    friction: Number = 0.2
    cold_factor: Number | None = None
    vehicle: Vehicle = field(default_factory=Vehicle)
    governed: bool = False
    tolerances: Mapping[tuple[str, ...], float] = field(default_factory=dict)
    measured: Mapping[str, str] = field(default_factory=dict)
    links: tuple[Link, ...] = field(init=False)
    apart: Truth = field(init=False)

    def __post_init__(self) -> None:
        for name in _MAPPINGS:
            object.__setattr__(self, name, FrozenDict.of(getattr(self, name)))
        refuse_many({name: getattr(self, name) for name in _NAMED})
        holes_apart(self.shafts)
        names_known(self)
        turned = hand_turns(self) & half_a_turn(
            self.pedal.travel, self.pad_radius, governed=self.governed
        )
        object.__setattr__(self, "apart", _pivots_apart(self) & turned)
        links = driving_order(self.rods, self.shafts, self.pedal.shaft)
        object.__setattr__(self, "links", with_waiting(self, links))
        cams_known(self)

    def __repr__(self) -> str:
        what = {"shaft": self.shafts, "rod": self.rods, "spring": self.springs}
        told = [f"{len(m)} {n}{'s' * (len(m) != 1)}" for n, m in what.items()]
        rows = rows_of(self)
        told += [f"{rows} rows"] if rows > 1 else []
        return f"<Layout {short(self.title)!r}: {', '.join(told)}>"

    @property
    def main(self) -> Throttle:
        """The throttle that curves and percentages speak of."""
        return self.plates[0]

    @property
    def plates(self) -> tuple[Throttle, ...]:
        """The throttles that are plates, in the file's order; at least one."""
        return tuple(t for t in self.throttles.values() if t.kind == "plate")

    @property
    def waits(self) -> Hole | None:
        """The end of the other input: the hand lever, or the pad as the hand sees it."""
        if self.hand is not None:
            return Hole(shaft=self.hand.shaft, arm=self.hand.lever)
        foot = self.foot
        return None if foot is None else Hole(shaft=foot.shaft, arm=foot.pad)

    @property
    def pad_hole(self) -> Hole:
        """The pad, the end of a hand lever, or the hole of a governor's arm."""
        return Hole(shaft=self.pedal.shaft, arm=self.pedal.pad)

    @property
    def pad_radius(self) -> Number:
        """Radius of the pad's path about the pedal's shaft. [m]."""
        return self.shafts[self.pedal.shaft].arms[self.pedal.pad].length

    def throttle_on(self, shaft: str) -> Throttle | None:
        """Return the throttle whose spindle a shaft is; None where it is none."""
        return next((t for t in self.throttles.values() if t.shaft == shaft), None)

    def swings_a_plate(self, throttle: str) -> bool:
        """Tell whether a throttle is a plate in a bore, as far as can be seen.

        A lever behind an over-travel spring may be that of an injection pump.
        """
        t = self.throttles[throttle]
        spring = any(k.rod.gives for k in self.links if k.driven.shaft == t.shaft)
        return t.kind == "plate" and (some(t.bore > 0) or not spring)

    def path_to(self, shaft: str) -> tuple[Link, ...]:
        """Return the links from the pedal to a shaft, pedal first."""
        by_driven = {link.driven.shaft: link for link in self.links}
        path: list[Link] = []
        while shaft != self.pedal.shaft:
            link = by_driven[shaft]
            path.append(link)
            shaft = link.driver.shaft
        return tuple(reversed(path))

    def hole(self, text: str) -> Hole:
        """Return the hole that a text such as ``spindle.lever`` names.

        Raises
        ------
        LayoutError
            If there is no such shaft or arm.
        """
        shaft, arm = split_hole(text, arms_of(self.shafts))
        return Hole(shaft=shaft, arm=arm)

    def with_arm(self, hole: Hole | str, **changes: Number) -> Layout:
        """Return the layout with one arm changed, all else as it is.

        Parameters
        ----------
        hole : Hole or str
            The arm, or its text ``shaft.arm``.
        **changes : float, or array_like of shape (rows,) or (rows, 1)
            Fields of `Arm`, in SI: length, angle, offset, mass. Many values make a
            batch, one layout a row. The hole of a governor's own arm goes as much
            further as it is longer.

        Raises
        ------
        LayoutError
            If there is no such arm or field, or a value is impossible.

        """
        at = self.hole(hole) if isinstance(hole, str) else hole
        key = ("shafts", at.shaft, "arms", at.arm)
        known_hole(self, at, key)
        known = [f.name for f in fields(Arm) if f.name != "name"]
        for name in changes:
            if name not in known:
                msg = f"an arm has no `{name}`"
                hint = did_you_mean(name, known)
                raise LayoutError(msg, hint=hint, key=key)
        new = {
            name: given(value, f"the {name} of arm `{at}`", (*key, name))
            for name, value in changes.items()
            if not (name == "mass" and value is None)
        }
        sets = {arm_path(at, name): value for name, value in {**changes, **new}.items()}
        return applied(self, sets)

    @property
    def driver(self) -> str:
        """What drives, in a word: ``pedal``, ``hand lever`` or ``governor``."""
        if self.governed:
            return "governor"
        return "pedal" if self.foot is None else "hand lever"

    def with_rod(self, name: str, length: Number | None) -> Layout:
        """Return the layout with one rod's length changed; None cuts it to fit."""
        if name not in self.rods:
            msg = f"there is no rod `{name}`"
            raise LayoutError(
                msg, hint=did_you_mean(name, self.rods), key=("rods", name)
            )
        if length is not None:
            length = given(
                length, f"the length of rod `{name}`", ("rods", name, "length")
            )
        rod = replace(self.rods[name], length=length)
        return replace(self, rods={**self.rods, name: rod})

    def with_shaft(self, shaft: Shaft) -> Layout:
        """Return the layout with a shaft in place of the one of its name, or added."""
        return replace(self, shafts={**self.shafts, shaft.name: shaft})

    def with_spring(self, spring: Spring) -> Layout:
        """Return the layout with a spring in place of the one of its name, or added."""
        return replace(self, springs={**self.springs, spring.name: spring})


def _near(layout: Layout) -> Iterator[tuple[Truth, str, str]]:
    """Tell of each rod and both its ends whether they are too near; no end: pivots."""
    for name, rod in layout.rods.items():
        one, two = layout.shafts[rod.start.shaft], layout.shafts[rod.end.shaft]
        if one is two or isinstance(rod, Cable):  # a sheath leads it where it will
            continue
        if not (one.slides or two.slides):
            yield norm(add(one.pivot, two.pivot, -1)) < SAME_POINT, name, ""
        if not two.slides:  # a pin may lie on the axis of a slide
            away = add(one.pin(rod.start.arm), two.pivot, -1)
            yield norm(cross(away, two.axis.n)) < SAME_POINT, name, "from"
        if not one.slides:
            away = add(two.pin(rod.end.arm), one.pivot, -1)
            yield norm(cross(away, one.axis.n)) < SAME_POINT, name, "to"


def _pivots_apart(layout: Layout) -> Truth:
    """Refuse a rod between shafts that share a pivot or a pin on the other's axis.

    Returns whether there is none such, by rows where there are many.
    """
    apart: Truth = True
    for near, name, end in _near(layout):
        if is_column(near):
            apart = apart & ~near
            continue
        if not near:
            continue
        start, to = layout.rods[name].start, layout.rods[name].end
        if not end:
            msg = f"shafts `{start.shaft}` and `{to.shaft}` have the same pivot"
            hint = (
                "measure both pivots from the same datum; two levers on one shaft are "
                "two arms of one shaft"
            )
            raise LayoutError(msg, hint=hint, key=("shafts", to.shaft, "pivot"))
        hole, other = (start, to) if end == "from" else (to, start)
        msg = f"hole `{hole}` lies on the centre line of shaft `{other.shaft}`"
        hint = (
            "a rod from there cannot turn that shaft; check the pivots and the arm's "
            "length and angle"
        )
        raise LayoutError(msg, hint=hint, key=("rods", name, end))
    return apart


def parallel(one: Shaft, two: Shaft) -> bool:
    """Tell whether two shafts are parallel, to a millionth.

    Then the loop between them is planar apart from a side offset.
    """
    return abs(abs(dot(one.axis.n, two.axis.n)) - 1) < 1e-12
