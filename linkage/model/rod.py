"""Rods and their joints: straight, slotted, or with an over-travel spring in them.

Not here: shafts and their holes (`parts`), how a rod moves (`connect`).
"""

from __future__ import annotations

import math
from dataclasses import field
from typing import TYPE_CHECKING, ClassVar, Final, Literal

import numpy as np

from linkage.errors import LayoutError
from linkage.model.columns import Number, Truth, every, is_column, some
from linkage.model.valid import positive
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.model.parts import Hole

Joint = Literal["ball", "ball with clip", "rod end", "clevis", "nipple", "roller"]
#: What a rod can do that does not do both: a chain, a wire or an open hook only
#: pulls, a finger or a push rod in a cup only pushes.
OneWay = Literal["", "pull", "push"]

#: Lean a joint allows, either way. Ball: DIN 71802, 18°, 15° with a safety
#: clip. Rod end: ISO 12240-4 (K), about 13°, from memory. Clevis: 3° sideways,
#: common practice, no source.
JOINT_TILT: Final[dict[str, float]] = {
    "ball": math.radians(18),
    "ball with clip": math.radians(15),
    "rod end": math.radians(13),
    "clevis": math.radians(3),
}
#: The same of a nipple in a lever, a wire in the groove of a drum, a roller on its cam.
#: Common practice, no source. [rad]
WIRE_TILT: Final[dict[str, float]] = {
    "nipple": math.radians(5),
    "drum": math.radians(3),
    "roller": math.radians(3),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Rod:
    """A straight rod with a joint at each end.

    Parameters
    ----------
    name : str
        Unique in the layout.
    start, end : Hole
        The two holes it joins, in the file's order (``from`` and ``to``).
    length : float, optional
        Centre to centre; None means cut to fit the rest position, as nan does in
        a column. [m]
    joints : pair of str
        Kind of joint at start and end; keys of `JOINT_TILT`.
    play : float
        Lost motion of both joints together, along the rod. [m]
    diameter : float
        Outer diameter; 0 where it is not given. [m]
    bore : float
        Inner diameter of a tube; 0 for a solid rod. [m]
    material : str
        ``steel`` or ``aluminium``.
    mass : float
        0 where it is not given. [kg]
    joint_diameter : float
        Of the balls or pins of its joints; 0 where it is not given. [m]
    joint_friction : float, optional
        Coefficient of friction in them; None where it is not given.
    fixed : bool
        Bought, or not to be touched: neither its length nor its make is to be
        changed.
    slot : float
        Way of the pin in a slot at one end, from end to end; 0 where there is none.
        The length is then that at which the rod drives. [m]
    slot_at : {"end", "start"}
        At which of its two holes the slot is.
    only : {"", "pull", "push"}
        What alone it can do; the other way it lets go however far.
    lost : float
        Way that the pin goes at rest before it drives, where no length is given. [m]
    over_travel : float
        Way that an over-travel spring in the rod gives, once what it drives is on its
        stop; 0 where there is none. [m]
    over_travel_load, over_travel_rate : float
        Force at which it begins to give, and what it takes on. [N, N/m]
    """

    #: Word for it.
    kind: ClassVar[str] = "rod"

    name: str
    start: Hole
    end: Hole
    length: Number | None = field(default=None, metadata={"none": math.nan})
    joints: tuple[Joint, Joint] = ("ball", "ball")
    play: Number = 0.0
    diameter: Number = 0.0
    bore: Number = 0.0
    material: Literal["steel", "aluminium"] = "steel"
    mass: Number = 0.0
    joint_diameter: Number = 0.0
    joint_friction: Number | None = None
    fixed: bool = False
    slot: Number = 0.0
    slot_at: Literal["end", "start"] = "end"
    only: OneWay = ""
    lost: Number = 0.0
    over_travel: Number = 0.0
    over_travel_load: Number = 0.0
    over_travel_rate: Number = 0.0

    @property
    def key(self) -> tuple[str, str]:
        """Where it stands in the file."""
        return f"{self.kind}s", self.name

    @property
    def called(self) -> str:
        """What it is, and its name."""
        return f"{self.kind} `{self.name}`"

    @property
    def gives(self) -> bool:
        """Whether it has an over-travel spring."""
        return some(self.over_travel > 0)

    @property
    def loose(self) -> bool:
        """Whether it carries one way only, and lets go the other way."""
        return bool(self.only) or some(self.slot > 0)

    @property
    def cut(self) -> Truth:
        """Whether it is cut, or set, so that it fits at rest: where it has no length."""
        if self.length is None:
            return True
        return np.isnan(self.length) if is_column(self.length) else False

    def bears(self, hole: Hole) -> float:
        """Return the share of its mass that hangs on one of its holes."""
        return 0.5 * (hole in {self.start, self.end})

    @property
    def make_up(self) -> tuple[bool, bool]:
        """What is so in all rows of a batch: whether it loses motion, and gives."""
        return self.loose, self.gives

    def __post_init__(self) -> None:
        key = self.key
        if self.length is not None:
            given = self.length
            if is_column(given):
                given = np.where(np.isnan(given), 1.0, given)
            positive(given, f"a {self.kind}'s length", (*key, "length"))
        if some((self.bore > 0) & (self.bore >= self.diameter)):
            msg = "the bore of a tube must be less than its diameter"
            raise LayoutError(
                msg, hint="swap them, or leave `bore` out", key=(*key, "bore")
            )
        _from_nothing_up(self, key)
        _loose(self, key)


#: Fields of an over-travel spring.
_SPRUNG: Final = ("over_travel", "over_travel_load", "over_travel_rate")


def _from_nothing_up(rod: Rod, key: tuple[str, ...]) -> None:
    """Refuse numbers of a slot or a spring that are none, or below zero."""
    for name in ("slot", "lost", *_SPRUNG):
        value = getattr(rod, name)
        if not every((value >= 0) & np.isfinite(value)):
            msg = f"`{name}` of {rod.called} is not a number from 0 up"
            hint = "leave it out where there is none"
            raise LayoutError(msg, hint=hint, key=(*key, name))


def _loose(rod: Rod, key: tuple[str, ...]) -> None:
    """Refuse a slot or an over-travel spring that cannot be."""
    if rod.gives and rod.loose:
        msg = f"{rod.called} loses motion and has an over-travel spring"
        hint = "put a lever between: a rod with the slot to it, one with the spring on"
        raise LayoutError(msg, hint=hint, key=(*key, "over_travel"))
    if rod.gives and some((rod.over_travel > 0) & (rod.over_travel_load <= 0)):
        msg = f"the over-travel spring of {rod.called} gives at once"
        hint = (
            "give `over_travel_load`, the force at which it begins to give, with which "
            "it is put in"
        )
        raise LayoutError(msg, hint=hint, key=(*key, "over_travel_load"))
    if some(rod.slot > 0) and rod.only:
        msg = f"{rod.called} has a slot and can only {rod.only}"
        hint = (
            "a slot has two ends, and both carry: take `only` out; a hook, a chain or a "
            "wire has none: take `slot` out"
        )
        raise LayoutError(msg, hint=hint, key=(*key, "only"))
    if some(rod.lost > 0) and not rod.loose:
        msg = f"{rod.called} loses no motion: it has no slot and goes both ways"
        hint = "give the `slot`, or what it can do `only`; play of joints is `play`"
        raise LayoutError(msg, hint=hint, key=(*key, "lost"))
    if some((rod.slot > 0) & (rod.lost > rod.slot)):
        msg = f"the motion lost in {rod.called} is more than its slot is long"
        hint = "at rest the pin stands in the slot: give the way to the end that drives"
        raise LayoutError(msg, hint=hint, key=(*key, "lost"))
    if rod.length is not None and some((rod.slot > 0) & (rod.slot >= rod.length)):
        msg = f"the slot of {rod.called} is as long as the rod, or longer"
        hint = (
            "`slot` is the free way of the pin from end to end, `length` from the other "
            "hole to the pin where it drives"
        )
        raise LayoutError(msg, hint=hint, key=(*key, "slot"))
