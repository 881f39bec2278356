"""Sizes outside what is usual, of which a person is asked whether they are right.

A question is no finding: it changes no verdict. It is asked of what was measured,
not of what the linkage does.

Not here: the usual ranges (`model.usual`), slips that would explain a size
(`slips.suspects`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from linkage.connect.bar import DENSITY, YOUNG
from linkage.forces.masses import GRAVITY
from linkage.model import Cable, Slide
from linkage.model.refs import Ref
from linkage.model.usual import USUAL, UsualRow
from linkage.quantities import SHOWN, say, say_round
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from linkage.model import Layout, Rod

Key = tuple[str, ...]
#: Diameter of a rod of which none is given: common practice, no source. [m]
THIN: Final = 6e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One size outside what is usual.

    Parameters
    ----------
    about : Ref
        The part.
    key : tuple of str
        Where it stands in the file; what it follows from, where it was worked out.
    what : str
        The size in words.
    value : float
        [SI]
    row : UsualRow
        The range that it is outside of.
    more : str
        What else there is to say of it.
    """

    about: Ref
    key: Key
    what: str
    value: float
    row: UsualRow
    more: str = ""

    @property
    def text(self) -> str:
        """One sentence for a person."""
        row = self.row
        return (
            f"is that right? {self.what} is {_near(self.value, row.kind)}; {row.what} "
            f"are usually {row.range}: {self.more or row.why}"
        )

    def record(self) -> dict[str, Any]:
        """Return it as plain data, in the shown unit, for ``--json``."""
        shown = SHOWN[self.row.kind]
        return {
            "where": str(self.about),
            "key": list(self.key),
            "value": round(self.value / shown.factor, 6),
            "usual": [
                round(bound / shown.factor, 6)
                for bound in (self.row.low, self.row.high)
            ],
            "unit": shown.unit,
            "text": self.text,
        }


def _near(value: float, kind: str) -> str:
    text = say_round(value, kind)
    return text if len(text) <= 9 else say(value, kind)


def sag(rod: Rod, length: float) -> float:
    """Return how far a level rod sags in its middle under its own weight. [m].

    A uniform bar on two ends: 5 w L⁴/(384 E I), of which bore, material and, where
    none is given, 6 mm of diameter make w and I.

    Parameters
    ----------
    rod : Rod
        Its make.
    length : float
        Centre to centre. [m]

    References
    ----------
    .. [1] J. E. Shigley, Mechanical Engineering Design: simple supports, uniform
       load; W. C. Young, Roark's Formulas for Stress and Strain (both from memory).

    >>> from linkage.model import Hole, Rod
    >>> hole = Hole(shaft="pedal", arm="rod")
    >>> rod = Rod(name="carb", start=hole, end=hole, diameter=6e-3)
    >>> f"{1e3 * sag(rod, 1.5):.1f} mm"
    '10.7 mm'
    """
    thick = float(rod.diameter) or THIN
    # w/(E I) of a tube: the area over the area moment is 16/(D² + d²).
    load = DENSITY[rod.material] * GRAVITY * 16 / (thick**2 + float(rod.bore) ** 2)
    return 5 * load * length**4 / (384 * YOUNG[rod.material])


def questions(
    layout: Layout, lengths: Mapping[str, float] | None = None
) -> tuple[Question, ...]:
    """Return what of a layout is outside the usual sizes.

    Parameters
    ----------
    layout : Layout
        One.
    lengths : mapping of str to float, optional
        Of rods as they were put together, for those that are cut to fit. [m]

    Returns
    -------
    tuple of Question
        In the order in which a layout file stands; empty where all is usual.
    """
    return tuple(
        Question(
            about=about, key=key, what=what, value=value, row=USUAL[size], more=more
        )
        for size, about, key, what, value, more in _sizes(layout, lengths or {})
        if USUAL[size].outside(value)
    )


def _sizes(
    layout: Layout, lengths: Mapping[str, float]
) -> Iterator[tuple[str, Ref, Key, str, float, str]]:
    yield from _of_shafts(layout)
    for name, rod in layout.rods.items():
        length = lengths.get(name, rod.length)
        ref, key = Ref("rod", name), ("rods", name)
        if isinstance(rod, Cable):
            yield from _of_cable(rod, ref)
            continue
        if length is not None:
            sags = (
                f"lying level on its two ends it sags {say(sag(rod, length), 'length')}"
            )
            how = f"{sags}; give it a guide half-way, or a tube"
            more = how if length > USUAL["rod"].high else ""
            yield "rod", ref, (*key, "length"), f"rod `{name}`", length, more
        if rod.diameter:
            what = f"the diameter of rod `{name}`"
            yield "rod diameter", ref, (*key, "diameter"), what, rod.diameter, ""
        if rod.slot:
            what = f"the slot of rod `{name}`"
            yield "slot", ref, (*key, "slot"), what, rod.slot, ""
        if rod.length is None:
            what = f"the way that rod `{name}` loses"
            yield "lost", ref, (*key, "lost"), what, rod.lost, ""
        yield from _of_over_travel(rod, ref, key)
        yield "play", ref, (*key, "play"), f"the play of rod `{name}`", rod.play, ""
    yield from _of_ends(layout)
    yield from _of_springs(layout)
    engine, ref = layout.engine, Ref("engine")
    yield "roll", ref, ("engine", "roll"), "the roll of the engine", engine.roll, ""
    yield "lift", ref, ("engine", "lift"), "the lift of the engine", engine.lift, ""


def _of_cable(
    cable: Cable, ref: Ref
) -> Iterator[tuple[str, Ref, Key, str, float, str]]:
    key, called = cable.key, cable.called
    points = [("sheath_from", cable.ends[0].point), ("sheath_to", cable.ends[1].point)]
    for word, point in points:
        for i, axis in enumerate("xyz"):
            what = f"{word} {axis} of {called}"
            yield "place", ref, (*key, word, axis), what, abs(point[i]), ""
    if cable.length is None:
        yield "slack", ref, (*key, "slack"), f"the slack of {called}", cable.lost, ""
    else:
        whole = float(cable.length + cable.sheathed)
        what = f"the wire length of {called}"
        yield "wire length", ref, (*key, "wire_length"), what, whole, ""
    if cable.wire:
        yield "wire", ref, (*key, "wire"), f"the wire of {called}", cable.wire, ""
    yield "backlash", ref, (*key, "play"), f"the play of {called}", cable.play, ""


def _of_over_travel(
    rod: Rod, ref: Ref, key: Key
) -> Iterator[tuple[str, Ref, Key, str, float, str]]:
    if not rod.gives:
        return
    spring = f"the over-travel spring of rod `{rod.name}`"
    way, load, rate = rod.over_travel, rod.over_travel_load, rod.over_travel_rate
    yield "over-travel", ref, (*key, "over_travel"), f"the way of {spring}", way, ""
    what = f"the load of {spring}"
    yield "over-travel load", ref, (*key, "over_travel_load"), what, load, ""
    what = f"the rate of {spring}"
    yield "spring rate", ref, (*key, "over_travel_rate"), what, rate, ""


def _of_shafts(layout: Layout) -> Iterator[tuple[str, Ref, Key, str, float, str]]:
    for name, shaft in layout.shafts.items():
        ref, key = Ref("shaft", name), ("shafts", name)
        if isinstance(shaft, Slide):
            yield from _of_slide(shaft, ref)
            continue
        for i, axis in enumerate("xyz"):
            what = f"pivot {axis} of `{name}`"
            yield "place", ref, (*key, "pivot", axis), what, abs(shaft.pivot[i]), ""
        if shaft.bearing:
            what = f"the bearing of `{name}`"
            yield "bearing", ref, (*key, "bearing"), what, shaft.bearing, ""
        what = f"the play of the bush of `{name}`"
        yield "bush", ref, (*key, "play"), what, shaft.play, ""
        for arm in shaft.arms.values():
            at, here = Ref("arm", name, arm.name), (*key, "arms", arm.name)
            yield "arm", at, (*here, "length"), f"arm `{at}`", arm.length, ""
            what = f"the offset of `{at}`"
            yield "offset", at, (*here, "offset"), what, abs(arm.offset), ""


def _of_slide(
    slide: Slide, ref: Ref
) -> Iterator[tuple[str, Ref, Key, str, float, str]]:
    key, called = slide.key, slide.called
    points = [("guide", end) for end in slide.guide]
    points += [(f"pin `{name}`", at) for name, at in slide.points.items()]
    for word, point in points:
        for i, axis in enumerate("xyz"):
            what = f"{axis} of the {word} of {called}"
            yield "place", ref, (*key, word.split()[0]), what, abs(point[i]), ""
    if slide.bearing:
        what = f"the diameter of {called}"
        yield "bearing", ref, (*key, "diameter"), what, slide.bearing, ""


def _of_ends(layout: Layout) -> Iterator[tuple[str, Ref, Key, str, float, str]]:
    pedal, ref = layout.pedal, Ref("pedal")
    if not layout.governed:  # what is usual of a pedal says nothing of a governor
        at = ("pedal", "travel")
        yield "pad travel", ref, at, "the pad travel", pedal.travel, ""
        turn = pedal.end / layout.pad_radius
        yield "pedal turn", ref, at, "the turn of the pedal", turn, ""
        what = "the free play of the pedal"
        yield "free play", ref, ("pedal", "free_play"), what, pedal.free_play, ""
    for name, throttle in layout.throttles.items():
        ref = Ref("throttle", name)
        key = (name,) if name == "throttle" else ("throttles", name)
        given = ["swing"] if layout.swings_a_plate(throttle.name) else []
        given += [
            n for n in ("closed_angle", "bore", "spindle") if getattr(throttle, n)
        ]
        for field in given:
            word = field.replace("_", " ")
            what = f"the {word} of {name}"
            yield word, ref, (*key, field), what, getattr(throttle, field), ""


def _of_springs(layout: Layout) -> Iterator[tuple[str, Ref, Key, str, float, str]]:
    for name, spring in layout.springs.items():
        ref, key, known = Ref("spring", name), ("springs", name), spring.known
        for i, axis in enumerate("xyz"):
            if spring.anchor is not None:
                what = f"anchor {axis} of spring `{name}`"
                value = abs(spring.anchor[i])
                yield "place", ref, (*key, "anchor", axis), what, value, ""
        if spring.kind == "torsion":
            continue
        if known.free_length is not None:
            what = f"the free length of spring `{name}`"
            yield "free length", ref, (*key, "free_length"), what, known.free_length, ""
        if known.rate is not None:
            what = f"the rate of spring `{name}`"
            yield "spring rate", ref, (*key, "rate"), what, known.rate, ""
