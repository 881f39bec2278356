"""What was read on the vehicle, the linkage fitted: what a layout is held against.

Not here: what the layout says of each (`proof.predicted`), the file they stand in
(`config.readings`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final, Literal

from linkage.errors import LayoutError, did_you_mean
from linkage.model.frozen import FrozenDict
from linkage.model.instruments import GROUPS, Group, degrees, millimetres
from linkage.quantities import say
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from linkage.model.model import Layout
    from linkage.model.refs import Ref

#: By what is read: with what, and how far that is off; common practice, no source.
READ_WITH: Final[Mapping[str, Group]] = FrozenDict(
    {
        "pad": Group(
            means="the pad's travel at which something is read",
            kind="length",
            errors=millimetres(rule=1, tape=3),
        ),
        "throttle": Group(
            means="throttle angles from the idle stop",
            kind="angle",
            errors=degrees(pointer=1, angle_block=0.5, protractor=2, phone=1),
        ),
        "levers": Group(
            means="angles of arms",
            kind="angle",
            errors=GROUPS["angles"].errors,
        ),
        "rods": Group(
            means="lengths of rods, centre to centre, as they fitted",
            kind="length",
            errors=millimetres(rule=1, tape=2, caliper=0.2),
        ),
        "pulls": Group(
            means="pulls at a throttle's lever",
            kind="share",
            errors=GROUPS["springs"].errors,
        ),
    }
)
#: What a spring balance is read to at best: common practice, no source. [N]
LEAST_PULL: Final = 0.2
#: Most readings, and how many times the pedal's travel a pad is read at most.
MOST: Final = 200
FURTHEST: Final = 2.0

What = Literal["throttle", "full", "lever", "rod", "pull"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One thing that was read on the vehicle.

    Parameters
    ----------
    what : {"throttle", "full", "lever", "rod", "pull"}
        A throttle's angle from its idle stop; the pad's travel at which the main
        throttle is full open; an arm's angle, for the viewer of its shaft; a rod's
        length; the pull of a spring balance square to a throttle's lever.
    about : Ref
        The throttle, arm or rod.
    value : float
        What was read; of a pull the middle of both. [rad, m or N]
    error : float
        How far it may be off, either way. [as `value`]
    pad : float
        Pad travel at which it was read; 0 of a rod, and of ``full`` the value. [m]
    pad_error : float
        How far that may be off. [m]
    rubs : float
        Of a pull: half of what opening takes more than letting go; nan of others. [N]
    key : tuple of str
        Where it stands in the file of readings.
    by : str
        With what it was read; empty where a `±` was given.
    """

    what: What
    about: Ref
    value: float
    error: float
    pad: float = 0.0
    pad_error: float = 0.0
    rubs: float = math.nan
    key: tuple[str, ...] = ()
    by: str = ""

    @property
    def kind(self) -> str:
        """Of the quantity, for `quantities.say`."""
        kinds = {"full": "length", "rod": "length", "pull": "force"}
        return kinds.get(self.what, "angle")

    @property
    def called(self) -> str:
        """What it is, in words."""
        if self.what == "full":
            return f"pad travel at which {_plate(self.about)} is full"
        if self.what == "rod":
            return f"length of rod `{self.about.name}`"
        thing = {
            "throttle": f"angle of {_plate(self.about)}",
            "lever": f"angle of arm `{self.about}`",
            "pull": f"pull at `{self.about}`",
        }[self.what]
        where = (
            f"at {say(self.pad, 'length')} of pad" if self.pad else "with the pedal up"
        )
        return f"{thing} {where}"


#: By what is read: the instrument's group, and a pull's of its own.
_GROUP: Final = {
    "throttle": "throttle",
    "full": "pad",
    "lever": "levers",
    "rod": "rods",
}


def to_read(what: What, about: Ref, value: float, pad: float = 0.0) -> Reading:
    """Return something to be read on the vehicle with the usual instruments.

    Parameters
    ----------
    what : str
        As of a `Reading`.
    about : Ref
        As of a `Reading`.
    value : float
        Near which it is to be. [rad, m or N]
    pad : float
        Pad travel at which it is read; with the pedal up nothing is off. [m]
    """
    group = _GROUP.get(what)
    return Reading(
        what=what,
        about=about,
        value=value,
        error=LEAST_PULL if group is None else READ_WITH[group].usually,
        pad=pad,
        pad_error=READ_WITH["pad"].usually if pad else 0.0,
    )


def _plate(about: Ref) -> str:
    name = about.name
    return "the throttle" if name == "throttle" else f"throttle `{name}`"


def refuse_readings(layout: Layout, readings: Sequence[Reading]) -> None:
    """Refuse readings of what a layout does not have, or that nobody can have read.

    Raises
    ------
    LayoutError
        With the key of the first in the file of readings.
    """
    if not readings:
        msg = "nothing was read"
        hint = "give at least one: `full`, `throttle`, `levers`, `rods` or `pulls`"
        raise LayoutError(msg, hint=hint)
    if len(readings) > MOST:
        msg = f"{len(readings)} readings, more than {MOST}"
        raise LayoutError(
            msg, hint="some ten, well spread over the travel, tell it all"
        )
    for reading in readings:
        _refuse_unknown(layout, reading)
        _refuse_odd(layout, reading)


def _refuse_unknown(layout: Layout, r: Reading) -> None:
    name = r.about.name
    if r.what in {"throttle", "full"}:
        _among(name, layout.throttles, "throttle", r)
    elif r.what == "rod":
        _among(name, layout.rods, "rod", r)
        if layout.rods[name].kind != "rod":
            msg = f"{layout.rods[name].called} has no length from centre to centre"
            raise LayoutError(msg, hint="lengths of rods alone are read", key=r.key)
    else:
        _among(name, layout.shafts, "shaft", r)
        _among(r.about.part, layout.shafts[name].arms, f"arm of `{name}`", r)
    if r.what == "pull" and name not in {t.shaft for t in layout.throttles.values()}:
        msg = f"a pull at `{r.about}`, which is not on a throttle's shaft"
        hint = "hook the spring balance into a hole of the throttle's own lever"
        raise LayoutError(msg, hint=hint, key=r.key)


def _among(name: str, known: Collection[str], what: str, r: Reading) -> None:
    if name not in known:
        msg = f"the layout has no {what} `{name}`"
        raise LayoutError(msg, hint=did_you_mean(name, known), key=r.key)


def _refuse_odd(layout: Layout, r: Reading) -> None:
    if r.pad > FURTHEST * layout.pedal.travel:
        msg = (
            f"read at {say(r.pad, 'length')} of pad, and the pedal goes "
            f"{say(layout.pedal.travel, 'length')} to the floor"
        )
        raise LayoutError(
            msg, hint="check the unit, or the travel in the layout", key=r.key
        )
    if r.what == "throttle" and r.value > math.pi:
        msg = f"a throttle that is {say(r.value, 'angle')} open"
        hint = "read the angle from the idle stop; it swings less than half a turn"
        raise LayoutError(msg, hint=hint, key=r.key)
    if r.what == "rod" and r.value <= r.error:
        msg = f"a rod that is {say(r.value, 'length')} long"
        raise LayoutError(msg, hint="read it from centre to centre", key=r.key)
    if r.what == "pull" and r.rubs < 0:
        msg = "it takes less to open it than it pulls when it is let go"
        hint = "a pull has three: [pad travel, opening, letting go]; are two the other way?"
        raise LayoutError(msg, hint=hint, key=r.key)
