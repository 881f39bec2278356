"""The boxes of a measuring sheet: what is written, with what it is found, how near.

How near is common practice of the trade, no source; docs/measuring.md has the same.

Not here: which part has which boxes (`letters`).
"""

from __future__ import annotations

from typing import Final

from linkage.records import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """An instrument and how near it is read.

    Parameters
    ----------
    name : str
        What a fitter calls it.
    metric, inch : str
        How near, with unit, for one who measures in millimetres, or in inches;
        empty for what is not read to a size.
    """

    name: str
    metric: str = ""
    inch: str = ""

    def words(self, *, inches: bool) -> str:
        """Return instrument and nearness in a few words."""
        near = self.inch if inches else self.metric
        return f"{self.name} to {near}" if near else self.name


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """One box to write in.

    Parameters
    ----------
    words : str
        What is written.
    kind : str
        Kind of quantity, or ``text``; ``tick`` has two or more words to choose from.
    tool : Tool
        With what it is found.
    choices : tuple of str
        Words beside squares to tick.
    """

    words: str
    kind: str = "text"
    tool: Tool = Tool(name="")
    choices: tuple[str, ...] = ()

    def unit(self, *, inches: bool) -> str:
        """Return the unit printed in the box."""
        metric, inch = _UNITS.get(self.kind, ("", ""))
        return inch if inches else metric


_UNITS: Final = {
    "length": ("mm", "in"),
    "angle": ("°", "°"),
    "force": ("N", "lbf"),
    "rate": ("N/mm", "lbf/in"),
    "torsion rate": ("N·m/°", "lbf·in/°"),
    "torque": ("N·m", "lbf·in"),
    "temperature": ("°C", "°F"),
}

_TAPE: Final = Tool(name="tape", metric="5 mm", inch="3/16 in")
_TRAVEL: Final = Tool(name="tape", metric="3 mm", inch="1/8 in")
_HOLE: Final = Tool(name="caliper", metric="0.5 mm", inch="1/64 in")
_THICK: Final = Tool(name="caliper", metric="0.1 mm", inch="0.005 in")
_RULE: Final = Tool(name="steel rule", metric="1 mm", inch="1/32 in")
_ANGLE: Final = Tool(name="inclinometer", metric="1°", inch="1°")
_SWING: Final = Tool(name="protractor", metric="1°", inch="1°")
_PULL: Final = Tool(name="spring balance", metric="1 N", inch="1/4 lbf")
_DRAG: Final = Tool(name="spring balance", metric="0.2 N", inch="0.05 lbf")
_POINTER: Final = Tool(name="pointer, card", metric="2 mm", inch="1/16 in")
_ROLL: Final = Tool(name="inclinometer", metric="0.5°", inch="0.5°")
_SUM: Final = Tool(name="from the loads")
_MAKER: Final = Tool(name="maker's list")


def _length(words: str, tool: Tool) -> Box:
    return Box(words=words, kind="length", tool=tool)


def _angle(words: str, tool: Tool = _ANGLE) -> Box:
    return Box(words=words, kind="angle", tool=tool)


def _force(words: str, tool: Tool = _PULL) -> Box:
    return Box(words=words, kind="force", tool=tool)


_PLACE: Final = tuple(_length(w, _TAPE) for w in ("forward", "to the left", "up"))
_OPENS: Final = Box(words="opens", kind="tick", choices=("clockwise", "anticlockwise"))
_CARRIED: Final = Box(
    words="anchored on", kind="tick", choices=("the engine", "the body")
)

PIVOT: Final = (*_PLACE, _length("its pin", _THICK))
#: Half the difference of the pulls, times the radius, is the drag.
DRAG: Final = (
    _force("opening pull", _DRAG),
    _force("letting-back pull", _DRAG),
    _length("at radius", _RULE),
)
#: Both ends of a slide's guide, on the middle of the bar.
GUIDE: Final = (
    *(
        _length(f"{end} end {w}", _TAPE)
        for end in ("first", "second")
        for w in ("forward", "left", "up")
    ),
    _length("bar, thick", _THICK),
)
PIN: Final = _PLACE
ARM: Final = (
    _length("radius", _HOLE),
    _angle("angle"),
    _length("along shaft", _TAPE),
)
_ROUND: Final = Box(
    words="wire lies round it", kind="tick", choices=("clockwise", "anticlockwise")
)
#: Of a drum: from its pivot to the middle of the wire, and where its nipple is at rest.
DRUM: Final = (
    _length("R, middle of wire", _HOLE),
    _angle("angle of its nipple"),
    _length("along shaft", _TAPE),
    _ROUND,
)
#: Of a snail that at its nipple, and how it grows from there on.
SNAIL: Final = (
    _length("R at its nipple", _HOLE),
    *DRUM[1:],
    *(
        box
        for i in range(1, 5)
        for box in (_angle(f"turn {i}, nipple on", _SWING), _length(f"R {i}", _HOLE))
    ),
)
#: Of the arm at which a cam begins.
CAM_ARM: Final = (
    _length("R where it begins", _HOLE),
    _angle("angle there"),
    _length("along shaft", _TAPE),
)
#: Of a cam: its roller, and how its profile goes on from where it begins.
CAM: Final = (
    _length("roller, diameter", _THICK),
    _length("its pin", _THICK),
    Box(words="goes round", kind="tick", choices=("clockwise", "anticlockwise")),
    *(
        box
        for i in range(1, 7)
        for box in (_angle(f"turn {i}", _SWING), _length(f"R {i}", _THICK))
    ),
)
PAD: Final = (
    _length("radius", _TAPE),
    _angle("angle"),
    _length("along shaft", _TAPE),
)
ROD: Final = (
    _length("thick", _THICK),
    _length("length", _RULE),
    Box(words="joints: ball, fork ..."),
)
_LOST: Final = _length("lost at rest", _RULE)
#: The pin's way is the slot's length less the pin.
SLOTTED_ROD: Final = (
    *ROD,
    _length("pin's way in slot", _HOLE),
    Box(words="slot at end", kind="tick", choices=("from", "to")),
    _LOST,
)
ONE_WAY_ROD: Final = (
    *ROD,
    Box(words="can only", kind="tick", choices=("pull", "push")),
    _LOST,
)
#: Pulled by hand until it gives, and on to where it gives no more.
SPRUNG_ROD: Final = (
    *ROD,
    _length("it gives", _RULE),
    _force("gives from"),
    Box(words="its rate", kind="rate", tool=_SUM),
)
_LENGTHS: Final = (
    _length("wire, thick", _THICK),
    _length("sheath, its length", _RULE),
    _length("wire, nipple to nipple", _RULE),
)
CABLE: Final = (*_LENGTHS, _length("hangs loose at rest", _RULE))
PUSH_PULL: Final = (
    *_LENGTHS,
    _length("lost turning back", _RULE),
    _length("stroke in all", _RULE),
    _force("push it bears", _MAKER),
)
#: Where no points of the sheath can be measured.
BENDS: Final = (_angle("all bends together", _SWING),)
SHEATH_POINT: Final = _PLACE
SHEATH_END: Final = (
    *_PLACE,
    Box(words="held on", kind="tick", choices=("the engine", "the body")),
)
PEDAL: Final = (
    _length("to the floor", _TRAVEL),
    _length("to its stop", _TRAVEL),
    _length("free play", _RULE),
)
#: A governor's arm: how far its hole goes from rest to its end.
GOVERNOR: Final = (
    _length("rest to end", _RULE),
    Box(words="turns, faster", kind="tick", choices=("clockwise", "anticlockwise")),
)
HAND: Final = (
    _length("home to full", _RULE),
    _force("holds to"),
    Box(words="pulls", kind="tick", choices=("clockwise", "anticlockwise")),
)
SWING: Final = (_angle("swing", _SWING), _OPENS)
PLATE: Final = (
    *SWING,
    _length("bore", _THICK),
    _length("spindle", _THICK),
    _angle("plate when shut", _SWING),
)
_ANCHOR: Final = tuple(_length(f"anchor {w}", _TAPE) for w in ("forward", "left", "up"))
SPRING: Final = (
    *_ANCHOR,
    _CARRIED,
    _length("free length", _RULE),
    _length("greatest", _MAKER),
    _length("length 1", _RULE),
    _force("load 1"),
    _length("length 2", _RULE),
    _force("load 2"),
    Box(words="rate", kind="rate", tool=_SUM),
    _force("first tension", _SUM),
)
SPRINGS: Final = {
    "compression": (
        *_ANCHOR,
        _CARRIED,
        _length("free length", _RULE),
        _length("solid length", _RULE),
        Box(words="rate", kind="rate", tool=_SUM),
    ),
    "torsion": (
        Box(words="rate", kind="torsion rate", tool=_PULL),
        Box(words="torque at idle", kind="torque", tool=_PULL),
        Box(words="shuts", kind="tick", choices=("clockwise", "anticlockwise")),
    ),
    "measured": (_force("pull at idle"), _force("pull at full")),
}
ENGINE: Final = (
    _angle("rolls each way", _ROLL),
    _length("lifts", _POINTER),
    *(_length(f"roll line {w}", _TAPE) for w in ("forward", "left", "up")),
)
_WARM: Final = Tool(name="thermometer", metric="5 °C", inch="10 °F")


def _hot(part: str) -> Box:
    return Box(words=f"{part}, hot", kind="temperature", tool=_WARM)


def _made_of(part: str) -> Box:
    return Box(words=f"{part} is", kind="tick", choices=("iron", "aluminium"))


#: Where the mounts hold the engine, of what it is and how warm its parts get; and the
#: same of a manifold, with its seat.
HEAT: Final = (
    *(_length(f"mounts {w}", _TAPE) for w in ("forward", "left", "up")),
    _made_of("block"),
    *map(_hot, ("block", "rods", "body")),
)
MANIFOLD: Final = (
    _made_of("manifold"),
    _hot("manifold"),
    *(_length(f"seat {w}", _TAPE) for w in ("forward", "left", "up")),
)
_HELD: Final = Box(words="held by", kind="tick", choices=("the engine", "the body"))
#: What is near, by its shape: its first point, and what else there is of it.
OBSTACLES: Final = {
    "pipe": (*_PLACE, _length("thick", _RULE), _HELD),
    "sphere": (*_PLACE, _length("thick", _RULE), _HELD),
    "box": (*_PLACE, _HELD),
    "plane": (*_PLACE, _HELD),
}
#: Further points of it, and holes in a plane.
OBSTACLE_POINT: Final = _PLACE
OBSTACLE_HOLE: Final = (*_PLACE, _length("wide", _RULE))
