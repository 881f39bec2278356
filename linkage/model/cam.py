"""Cams: a profile on an arm of one shaft, and the roller on an arm of another.

Not here: the profile's shape (`profile`), where a layout may have one (`cam_known`), how
it moves (`connect.cam`).
"""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING, ClassVar, Final, Literal

from linkage.errors import LayoutError
from linkage.model.profile import Arc, Pairs, of_arcs, through
from linkage.model.rod import Joint, OneWay, Rod
from linkage.model.valid import positive
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.model.columns import Number, Truth
    from linkage.model.parts import Hole

#: Most points or arcs of a profile.
MOST_POINTS: Final = 16
#: Diameter of a roller's pin that is not given, over the roller's: common practice, no
#: source.
PIN: Final = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Cam(Rod):
    """A cam on an arm of one shaft that pushes a roller on an arm of another.

    Parameters
    ----------
    name : str
        Unique in the layout.
    start : Hole
        The cam's arm: its direction at rest is where the profile begins, its length the
        radius there.
    end : Hole
        The roller's arm: its hole is the roller's pin.
    roller : float
        Radius of the roller. [m]
    goes : {1, -1}
        Sense in which the profile goes round from the arm on, 1 anticlockwise for the
        viewer of the cam's shaft.
    points : tuple of pair of float
        Turn round the cam from the arm on [rad], and the radius there [m]; or
    arcs : tuple of pair of float
        Radius of every arc [m], and the angle that it goes round [rad]; the first
        begins square to the arm. One of the two.
    base : float
        Length of the arm with which either was given; another scales the cam. [m]
    joint_diameter, joint_friction : float
        Of the roller's pin; half the roller where it is not given. [m]
    mass : float
        Of the roller; 0 where it is not given. [kg]
    fixed : bool
        Bought, or not to be touched.
    only : {"push"}
        All it can do.
    length, joints, play, lost, slot, slot_at, diameter, bore, material : as of `Rod`
        Not used.
    over_travel, over_travel_load, over_travel_rate : float
        Not used.
    """

    kind: ClassVar[str] = "cam"

    joints: tuple[Joint, Joint] = ("roller", "roller")
    only: OneWay = "push"
    roller: Number
    goes: Literal[1, -1] = 1
    points: Pairs = ()
    arcs: Pairs = ()
    base: float = field(default=1.0)

    def __post_init__(self) -> None:
        # The zero-argument form does not know the class that slots make anew.
        Rod.__post_init__(self)
        positive(self.roller, "the diameter of a roller", (*self.key, "roller"))
        word = "arcs" if self.arcs else "profile"
        if bool(self.points) is bool(self.arcs):
            msg = f"{self.called} has points of its profile and arcs, or neither"
            hint = "give one: `profile`, turns round the cam and radii, or `arcs`"
            raise LayoutError(msg, hint=hint, key=(*self.key, word))
        try:
            _ = self.profile
        except LayoutError as error:
            error.key = (*self.key, word)
            raise

    @property
    def cut(self) -> Truth:
        """No: it and its roller are where they were measured."""
        return False

    def bears(self, hole: Hole) -> float:
        """Return the share of its mass that hangs on a hole: its mass is the roller's."""
        return float(hole == self.end)

    @staticmethod
    def pin_of(roller: float) -> float:
        """Return the diameter of the pin of a roller of which it is not given. [m]."""
        return PIN * roller

    @property
    def profile(self) -> tuple[Arc, ...]:
        """The chain of arcs, in order."""
        if self.arcs:
            return of_arcs(self.base, self.arcs)
        return through(self.points)
