r"""The way of a roller that follows as is wanted, and what no cam could push it along.

The throttle is to rise by a ratio that changes evenly with the cam, from where both meet
to full,

.. math:: x = (1 - c)\,w + c\,w^2

with w the share of the cam's turn and x that of the throttle, the gentlest of all curves
through one point: c is told by the share that is wanted at a share of the pedal, positive
for a gentle start. A cam can be cut for it where the way of its roller, as the turning cam
sees it, bends round the cam, less sharply than the roller is round; and it may be fitted
where the push does not lean too far.

Not here: the profile cut along it (`search.cam_cut`), the formula (`formulas`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np

from linkage import formulas
from linkage.quantities import say
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.connect.facing import Facing
    from linkage.formulas import PinWay

#: Positions from where cam and roller meet to full.
FINE: Final = 1001
#: Most that the ratio may change, as c: at 1 it begins, or ends, with none at all.
STEEPEST: Final = 0.95
#: Curves among which one is looked for that can be.
TRIED: Final = np.linspace(-STEEPEST, STEEPEST, 191)
#: Most that a roller's radius is of that of its pin's way: as textbooks of cams ask so
#: that the profile gets no edge (R. L. Norton, Design of Machinery; from memory).
ROLLER: Final = 0.8
#: Radius of a profile above which it is as good as flat, and points of it marked off to
#: a thousandth of a millimetre would not tell it from a hollow. [m]
FLAT: Final = 1.0
#: Least gap that is kept from the cam's edge to the roller's shaft: common practice, no
#: source. [m]
CLEAR: Final = 0.0005
#: Turn that a profile goes round at the most. [rad]
ROUND: Final = math.radians(330)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Motion:
    """How cam and roller stand, and through what they turn.

    Parameters
    ----------
    face : Facing
        Where the roller is.
    roller : float
        Its radius. [m]
    rest, begins, ends : float
        Turn of the cam at rest, where it meets the roller, and at full throttle. [rad]
    swing : float
        Turn of the roller's arm from there to full, signed. [rad]
    spindle : float
        Radius of the roller's shaft in its bearing. [m]
    """

    face: Facing
    roller: float
    rest: float
    begins: float
    ends: float
    swing: float
    spindle: float

    def way(self, c: float) -> PinWay:
        """Return the way of the pin in the cam where the throttle opens as c says."""
        share = np.linspace(0.0, 1.0, FINE)
        turn = self.begins + (self.ends - self.begins) * share
        arm, none = self.swing * opened(c, share), np.zeros(FINE)
        return formulas.pin_way(
            ((np.cos(turn), np.sin(turn)), (np.cos(arm), np.sin(arm))),
            self.face.seen,
            (self.ends - self.begins + none, self.swing * (1 - c + 2 * c * share)),
            (none, 2 * self.swing * c + none),
        )

    def pin(self, turn: float, arm: float) -> complex:
        """Return the pin in the cam as its profile counts, at turns of both. [m]."""
        away, along, ahead = (complex(*map(float, pair)) for pair in self.face.seen)
        there = away + along * math.cos(arm) + ahead * math.sin(arm)
        seen = there * complex(math.cos(turn), -math.sin(turn))
        return seen if self.face.goes > 0 else seen.conjugate()


def opened(c: float, share: Any) -> Any:  # noqa: ANN401
    """Return the share of the throttle at a share of the cam's turn, of an array too."""
    return share * (1 - c + c * share)


def bent(throttle: float, share: float) -> float:
    """Return c, by which a share of the throttle is had at a share of the cam's turn."""
    return (share - throttle) / (share * (1 - share))


class Bar(NamedTuple):
    """What speaks against a cam: of what kind, at which share of the throttle, how much."""

    kind: str
    throttle: float
    value: float

    def words(self, roller: float) -> str:
        """Return it in words, for a roller of that radius."""
        at = f"at {self.throttle:.0%} of the throttle"
        size = say(abs(self.value), "length")
        told = {
            "steep": f"{at} the throttle would hardly move with the cam",
            "hollow": f"{at} the profile would be flat or hollow",
            "undercut": (
                f"{at} the way of the roller's pin would bend to a radius of {size}, too "
                f"sharp for a roller of radius {say(roller, 'length')}: it undercuts"
            ),
            "pressure": (
                f"{at} the push would lean {say(self.value, 'angle')} from the way in "
                "which the roller moves"
            ),
            "least": f"{at} the cam would be {size} from its shaft",
            "round": f"the profile would go round {say(self.value, 'angle', 0)}",
            "inward": f"{at} the cam would have to push toward its own shaft",
            "shaft": f"{at} the cam would run into the roller's shaft",
            "marked": "marked off by points the profile would come out hollow",
        }
        return told[self.kind]


#: What to do about each.
HINTS: Final = {
    "steep": "ask for a share nearer to that of a cam that opens it evenly",
    "hollow": (
        "put the cam's shaft further away from the roller's, let the cam turn further for "
        "the same pedal, or ask for a share nearer to what can be had"
    ),
    "undercut": "a smaller roller, or a cam that stands further away from its roller",
    "pressure": (
        "turn the roller's arm so that the push goes along its way, make it longer, or "
        "let the cam turn further for the same pedal"
    ),
    "least": "a cam that stands further away from its roller, or another --least-radius",
    "round": "let the cam turn less for the same pedal: a shorter arm before it",
    "inward": "put the roller on the side of its arm away from the cam's shaft",
    "marked": "ask for a share nearer to what can be had",
    "shaft": "a longer arm for the roller, or shafts that stand further apart",
}


def bar(motion: Motion, c: float, *, least: float, lean: float) -> Bar | None:
    """Return what speaks first against a cam for a curve; None where nothing does.

    Parameters
    ----------
    motion : Motion
        Of cam and roller.
    c : float
        The curve.
    least : float
        Least radius of the cam about its shaft. [m]
    lean : float
        Greatest pressure angle. [rad]
    """
    if not abs(c) <= STEEPEST:
        return Bar("steep", 0.0 if c > 0 else 1.0, c)
    way = motion.way(c)
    share = opened(c, np.linspace(0.0, 1.0, FINE))

    def first(kind: str, bad: Any, value: Any) -> Bar | None:  # noqa: ANN401
        """Return where it is worst of all that is bad."""
        if not np.any(bad):
            return None
        at = int(np.argmax(np.where(bad, value, -np.inf)))
        return Bar(kind, float(share[at]), float(value[at]))

    leans = np.arccos(np.minimum(way.push, 1.0))
    with np.errstate(divide="ignore"):
        radius = 1.0 / way.bend
    x, y = (way.x - motion.roller * way.out_x, way.y - motion.roller * way.out_y)
    far = np.hypot(x, y)
    turns = motion.face.goes * np.unwrap(np.arctan2(y, x))
    whole = abs(turns[-1] - turns[0])
    outward = x * way.out_x + y * way.out_y
    found = (
        first("hollow", ~(way.bend >= 1 / (FLAT + motion.roller)), -way.bend),
        first("undercut", ~(motion.roller <= ROLLER * radius), -radius),
        first("least", ~(far >= least), -far),
        first("inward", ~(outward > 0), -outward),
        None if whole < ROUND else Bar("round", 1.0, float(whole)),
        _shaft(motion, share, turns, far),
        first("pressure", ~(leans <= lean), leans),
    )
    return next((one for one in found if one is not None), None)


def _shaft(motion: Motion, share: Any, turns: Any, far: Any) -> Bar | None:  # noqa: ANN401
    """Tell whether the cam runs into the roller's shaft anywhere on the way."""
    cam = np.linspace(motion.begins, motion.ends, FINE)
    x, y = map(float, motion.face.seen.away)
    shaft = motion.face.goes * (math.atan2(y, x) - cam)
    low = min(turns[0], turns[-1])
    seen = low + (shaft - low) % (2 * math.pi)
    order = np.argsort(turns)
    there = np.interp(seen, turns[order], far[order], right=0.0)
    bad = there + motion.spindle + CLEAR > math.hypot(x, y)
    if not bad.any():
        return None
    at = int(np.argmax(np.where(bad, there, -np.inf)))
    return Bar("shaft", float(share[at]), float(there[at]))
