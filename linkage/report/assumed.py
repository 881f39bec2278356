"""What a check assumed where the layout gives nothing, by name.

Not here: where it is used (`forces.friction`, `forces.joints`, `forces.masses`),
limits (`model.limits`).
"""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Final

from linkage.connect.bar import THICK
from linkage.forces import friction, joints, masses
from linkage.forces.sheath import BENDS, SHEATH_FRICTION
from linkage.forces.time import COLD_FACTOR
from linkage.model import Cable, Layout
from linkage.model.cable import WIRE
from linkage.model.instruments import GROUPS
from linkage.model.measured import assumed_with
from linkage.quantities import say_round
from linkage.report.gaps import sizes_assumed
from linkage.report.heat import heat_assumed
from linkage.report.slides import assumed_slides
from linkage.rules.order import AT_WORST, FORCE_CODES

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from linkage.model import Rod, Shaft
    from linkage.search import Check

#: Coefficient of friction in bearings of which none is given.
BEARING_FRICTION: Final = next(
    float(f.default)  # type: ignore[arg-type]
    for f in fields(Layout)
    if f.name == "friction"
)


#: What is assumed of measuring, in a few words.
INSTRUMENTS: Final = "usual measuring tools"


def flat() -> str:
    """Return what a lever of which no mass is given is taken for, in words."""
    return f"steel flats of {' x '.join(say_round(x, 'length') for x in masses.FLAT)}"


def assumed(layout: Layout) -> list[str]:
    """Return what was assumed of a layout's parts for its forces, in words.

    Parameters
    ----------
    layout : Layout
        One.
    """
    shafts, rods = layout.shafts, layout.rods.values()
    bars = [r for r in rods if r.kind == "rod"]
    bare = [n for n, s in shafts.items() if not (s.slides or _thick(layout, s))]
    own = any(s.friction is None for s in shafts.values())
    usual = own and layout.friction == BEARING_FRICTION
    return [
        *_of(f"bearing of {say_round(friction.BEARING, 'length')}", bare),
        *_carried(s for s in shafts.values() if s.bearings is None),
        *([f"friction {BEARING_FRICTION:g} in bearings"] if usual else []),
        *_pressed(layout),
        *_of(
            f"balls or pins of {say_round(joints.BALL, 'length')}",
            (r.name for r in bars if not r.joint_diameter),
        ),
        *_of(
            f"friction {joints.JOINT_FRICTION:g} in joints",
            (r.name for r in bars if r.joint_friction is None),
        ),
        *_cables([r for r in rods if isinstance(r, Cable)]),
        *_of(
            f"friction {joints.JOINT_FRICTION:g} on pins of rollers",
            (r.name for r in rods if r.kind == "cam" and r.joint_friction is None),
        ),
        *_masses(layout),
    ]


def assumed_short(check: Check) -> list[str]:
    """Return the same in a few words each, friction first.

    Parameters
    ----------
    check : Check
        From `search.check`.
    """
    out = []
    for text in assumptions(check):
        what = text.partition(":")[0]
        out.append("bearings' places" if what.startswith("carried, ") else what)
    return sorted(out, key=lambda what: "friction" not in what)


def assumptions(check: Check) -> list[str]:
    """Return what was assumed where the layout gives nothing."""
    layout = check.examined.layout
    judged = layout.governed and not check.geometry
    judged |= not FORCE_CODES.isdisjoint(f.code for f in check.findings)
    out = assumed(layout) if judged and layout.springs else []
    out += [*sizes_assumed(layout), *heat_assumed(layout)]
    worst = any(f.code in AT_WORST for f in check.findings)
    return [*out, *_instruments(layout)] if worst else out


def _instruments(layout: Layout) -> Iterator[str]:
    """Yield what is taken to have been measured with what."""
    with_what = [
        f"{group} by {by} to {_as_far(group, by)}"
        for group, by in assumed_with(layout).items()
    ]
    if with_what:
        yield f"{INSTRUMENTS}: {', '.join(with_what)}"


def _as_far(group: str, by: str) -> str:
    error, kind = GROUPS[group].errors[by], GROUPS[group].kind
    if kind == "share":
        return say_round(error, "fraction")
    return say_round(error, kind)


def _cables(cables: Sequence[Cable]) -> Iterator[str]:
    """Yield what is taken for cables of which it is not given."""
    yield from _of(
        f"nipples of {say_round(joints.BALL, 'length')}",
        (c.name for c in cables if not c.joint_diameter),
    )
    yield from _of(
        f"friction {joints.JOINT_FRICTION:g} in nipples",
        (c.name for c in cables if c.joint_friction is None),
    )
    yield from _of(
        f"friction {SHEATH_FRICTION:g} of the wire in its sheath",
        (c.name for c in cables if c.sheath_friction is None),
    )
    yield from _of(
        "bends of the sheath at its given points alone",
        (c.name for c in cables if c.bend is None and c.through),
    )
    yield from _of(
        f"bends of {say_round(BENDS, 'angle')} in the sheath",
        (c.name for c in cables if c.bend is None and not c.through),
    )
    yield from _of(
        f"wire of {say_round(WIRE, 'length')}", (c.name for c in cables if not c.wire)
    )


def _pressed(layout: Layout) -> Iterator[str]:
    """Yield what is taken for spindles whose drag was not measured."""
    plates = [t for t in layout.plates if layout.shafts[t.shaft].drag is None]
    torque = say_round(friction.SPINDLE_TORQUE, "torque")
    yield from _of(
        f"friction of {torque} for want of a bore",
        (t.shaft for t in plates if not t.bore),
    )
    bored = [t for t in plates if t.bore]
    depression = f"{friction.DEPRESSION / 1e3:g} kPa"
    yield from _of(f"{depression} behind the shut plate", (t.shaft for t in bored))
    thick = say_round(friction.SPINDLE, "length")
    yield from _of(f"spindle of {thick}", (t.shaft for t in bored if not t.spindle))


def _masses(layout: Layout) -> Iterator[str]:
    """Yield the masses that are estimated."""
    pedal, shafts = layout.pedal, layout.shafts
    if not (layout.governed or shafts[pedal.shaft].arms[pedal.pad].mass):
        yield f"pad of {say_round(masses.PAD, 'mass')}"
    guessed = masses.guessed(layout)
    levers = (
        f"{r.name}.{r.part}"
        for r in guessed
        if r.kind == "arm" and not shafts[r.name].slides
    )
    yield from _of(f"levers as {flat()}", levers)
    yield from assumed_slides(layout)
    thin = {n for n, r in layout.rods.items() if not r.diameter}
    bars = {n for n, r in layout.rods.items() if r.kind == "rod"}
    found = [r.name for r in guessed if r.kind == "rod"]
    rods = [n for n in found if n in bars]
    yield from _of("rods weighed by their sizes", (n for n in rods if n not in thin))
    bar = f"rods weighed as bars of {say_round(THICK, 'length')}"
    yield from _of(bar, (n for n in rods if n in thin))
    yield from _of("wires weighed by their sizes", (n for n in found if n not in bars))


def _thick(layout: Layout, shaft: Shaft) -> bool:
    throttle = layout.throttle_on(shaft.name)
    return bool(shaft.bearing or (throttle is not None and throttle.spindle))


def _carried(shafts: Iterable[Shaft]) -> Iterator[str]:
    places = []
    for shaft in shafts:
        one, two = (say_round(at, "length") for at in friction.bearings_of(shaft))
        places.append(f"`{shaft.name}` at {one} and {two}")
    if places:
        yield f"carried, along the shaft from its pivot, {', '.join(places)}"


def _of(what: str, names: Iterable[str]) -> Iterator[str]:
    if listed := ", ".join(f"`{n}`" for n in names):
        yield f"{what}: {listed}"


def _joints_of(rod: Rod) -> str:
    return f"the {'nipples' if isinstance(rod, Cable) else 'joints'} of `{rod.name}`"


def friction_given(layout: Layout) -> list[str]:
    """Return the frictions that a layout gives otherwise than usual, in words.

    Parameters
    ----------
    layout : Layout
        One.

    Returns
    -------
    list of str
        Those that are less than usual are called loosened.
    """
    usual = BEARING_FRICTION
    given = [("bearings", layout.friction, usual)]
    given += [(f"`{n}`", s.friction, usual) for n, s in layout.shafts.items()]
    given += [
        (_joints_of(r), r.joint_friction, joints.JOINT_FRICTION)
        for r in layout.rods.values()
    ]
    given += [
        (f"the sheath of {r.called}", r.sheath_friction, SHEATH_FRICTION)
        for r in layout.rods.values()
        if isinstance(r, Cable)
    ]
    given.append(("all of it when cold, times", layout.cold_factor, COLD_FACTOR))
    return [
        f"{'loosened: ' * (rub < but)}{of}: {rub:g} instead of {but:g}"
        for of, rub, but in given
        if rub is not None and rub != but
    ]
