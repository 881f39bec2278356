"""The numbers of a layout that somebody measured, and how far each may be off.

A rod's length is none of them: rods are set on the vehicle until the plate rests on
its stop with the pedal up, which makes up for every error in them. One for which a `±`
is given is set no better than that.

Not here: the instruments (`model.instruments`), what the errors do (`motion.tangent`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from linkage.errors import UsageError
from linkage.model.cable import Cable
from linkage.model.columns import is_column
from linkage.model.instruments import GROUPS
from linkage.model.on_slides import refuse_slides
from linkage.model.parts import Hole
from linkage.model.paths import read
from linkage.model.refs import Ref
from linkage.model.slide import Slide
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model.columns import Number
    from linkage.model.model import Layout
    from linkage.model.paths import Path

#: Ways in which a place is off, in the order of its components.
WAYS: Final = ("forward", "left", "up")
#: What is above nothing, however badly it was measured.
_SIZES: Final = frozenset({"length", "travel", "swing", "slot"})
#: What is measured of a spring, by the field of `Known`, and whether it is a length.
_SPRING: Final = {
    "rate": False,
    "initial_tension": False,
    "load_1": False,
    "load_2": False,
    "preload": False,
    "pull_idle": False,
    "pull_full": False,
    "free_length": True,
    "length_1": True,
    "length_2": True,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One number that was measured.

    Parameters
    ----------
    path : tuple
        Where it stands in the layout; see `model.paths`.
    about : Ref
        The part.
    what : str
        Which number of it, in words.
    kind : str
        Of the quantity, for `quantities.say`.
    error : float
        How far it may be off, either way. [SI]
    group : str
        Key of `GROUPS`; empty where only a `±` says how far it may be off.
    by : str
        The instrument; empty where a `±` was given.
    assumed : bool
        Whether neither a `±` nor the instrument was given.
    key : tuple of str
        Under which the layout knows its `±`.
    """

    path: Path
    about: Ref
    what: str
    kind: str
    error: float
    group: str = ""
    by: str = ""
    assumed: bool = False
    key: tuple[str, ...] = ()

    @property
    def called(self) -> str:
        """What it is, in words."""
        if self.about.kind == "all":
            return self.what
        ref = self.about
        plain = ref.kind in {"arm", "shaft", "throttle"}
        name = f"`{ref}`" if plain else f"{ref.part or ref.kind} `{ref.name}`"
        return f"{self.what} of {name}"

    def better(self) -> tuple[str, float] | None:
        """Return the instrument that measures it best, and its error; None where it is.

        The error is that of the instrument on the same value. [SI]
        """
        if not self.group or not self.error:
            return None
        errors = GROUPS[self.group].errors
        best = min(errors, key=errors.__getitem__)
        share = 1.0
        if GROUPS[self.group].kind == "share":
            share = self.error / errors.get(self.by, self.error)
        found = errors[best] * share
        return (best, found) if self.by and found < self.error else None


def measured(layout: Layout) -> tuple[Measured, ...]:
    """Return every number of a layout that was measured and matters.

    Parameters
    ----------
    layout : Layout
        One, or many as rows: errors are those of the first row.

    Returns
    -------
    tuple of Measured
        In the order of the file: arms that carry a rod, a wire, a spring, a hand or a
        foot, pivots, what drives, throttles, springs and drag. None of a slide.
    """
    return tuple(m for m in _all(layout) if m.error > 0)


def _all(layout: Layout) -> Iterator[Measured]:
    yield from _shafts(layout)
    yield from _rods(layout)
    drives = "governor" if layout.governed else "pedal"
    path: Path = ("pedal", "travel")
    what = f"travel of the {drives}"
    key: tuple[str, ...] = (drives, "travel")
    yield _one(layout, path, Ref("all", drives), what, "travel", key=key)
    if layout.hand is not None:
        what = "travel of the hand lever"
        yield _one(layout, ("hand", "travel"), Ref("all", "hand"), what, "travel")
    for name in layout.throttles:
        path = ("throttles", name, "swing")
        key = (name, "swing") if name == "throttle" else path
        yield _one(layout, path, Ref("throttle", name), "swing", "swing", key=key)
    yield from _springs(layout)


def _shafts(layout: Layout) -> Iterator[Measured]:
    held, felt = _holes(layout), _felt(layout)
    for name, shaft in layout.shafts.items():
        if isinstance(shaft, Slide):
            continue
        where: Path = ("shafts", name)
        for i, way in enumerate(WAYS):
            about = Ref("shaft", name)
            yield _one(layout, (*where, "pivot", i), about, f"pivot, {way},", "pivots")
        for arm in shaft.arms:
            hole = Hole(shaft=name, arm=arm)
            if hole in held:
                yield from _arm(layout, hole, "pad" if hole in felt else "holes")
        if shaft.drag is not None and not is_column(shaft.drag):
            yield _one(layout, (*where, "drag"), Ref("shaft", name), "drag", "drag")


def _holes(layout: Layout) -> set[Hole]:
    """Return the holes in which something is joined."""
    held = {hole for rod in layout.rods.values() for hole in (rod.start, rod.end)}
    held |= {Hole(shaft=s.shaft, arm=s.arm) for s in layout.springs.values() if s.arm}
    return held | _felt(layout)


def _felt(layout: Layout) -> set[Hole]:
    """Return the ends of the arms that a foot or a hand holds."""
    felt = {Hole(shaft=layout.pedal.shaft, arm=layout.pedal.pad)}
    if layout.waits is not None:
        felt.add(layout.waits)
    return set() if layout.governed else felt


def _arm(layout: Layout, hole: Hole, group: str) -> Iterator[Measured]:
    path: Path = ("shafts", hole.shaft, "arms", hole.arm)
    about = Ref("arm", hole.shaft, hole.arm)
    yield _one(layout, (*path, "length"), about, "radius", group)
    if group == "pad":
        return  # its angle and place turn and bear nothing
    yield _one(layout, (*path, "angle"), about, "angle", "angles")
    yield _one(layout, (*path, "offset"), about, "place along its shaft", "offsets")


def _rods(layout: Layout) -> Iterator[Measured]:
    path: Path
    key: tuple[str, ...]
    for name, rod in layout.rods.items():
        about = Ref("rod", name, "" if rod.kind == "rod" else rod.kind)
        if isinstance(rod, Cable):
            for end, word in enumerate(("from", "to")):
                for i, way in enumerate(WAYS):
                    what = f"end of the sheath at `{(rod.start, rod.end)[end]}`, {way},"
                    path = ("rods", name, "ends", end, "point", i)
                    key = ("cables", name, f"sheath_{word}", str(i))
                    yield _one(layout, path, about, what, "pivots", key=key)
        elif rod.length is not None:
            key = (*rod.key, "length")
            yield _one(layout, ("rods", name, "length"), about, "length", "", key=key)
        if not is_column(rod.slot) and rod.slot:
            path = ("rods", name, "slot")
            key = (*rod.key, "slot")
            yield _one(layout, path, about, "slot", "holes", key=key)


def _springs(layout: Layout) -> Iterator[Measured]:
    for name, spring in layout.springs.items():
        about = Ref("spring", name)
        if spring.anchor is not None:
            for i, way in enumerate(WAYS):
                path: Path = ("springs", name, "anchor", i)
                yield _one(layout, path, about, f"anchor, {way},", "pivots")
        for field, long in _SPRING.items():
            if getattr(spring.known, field) is None:
                continue
            path = ("springs", name, "known", field)
            group = "holes" if long else "springs"
            what = field.replace("_", " ")
            yield _one(layout, path, about, what, group, key=("springs", name, field))


def _one(
    layout: Layout,
    path: Path,
    about: Ref,
    what: str,
    group: str,
    *,
    key: tuple[str, ...] = (),
) -> Measured:
    """Return one number with its error: given, of the instrument named, or usual."""
    value: Number = read(layout, path)
    value = float(value[0, 0]) if is_column(value) else float(value)
    key = key or tuple(map(str, path))
    given = layout.tolerances.get(key)
    kind = _kind(path, group)
    if given is not None or not group:
        error, by, assumed = given or 0.0, "", False
    else:
        named = layout.measured.get(group)
        by, assumed = named or GROUPS[group].usual, named is None
        error = _no_more(GROUPS[group].off(value, by), path, value)
    return Measured(
        path=path,
        about=about,
        what=what,
        kind=kind,
        error=error,
        group=group,
        by=by,
        assumed=assumed,
        key=key,
    )


def _no_more(error: float, path: Path, value: float) -> float:
    """Return an instrument's error, no more than leaves the number one that can be."""
    if not math.isfinite(error):
        return 0.0
    if path[-1] in _SIZES or (path[0] == "springs" and path[2] == "known"):
        error = min(error, abs(value) / 2)
    if path[-1] == "swing":  # no throttle swings half a turn
        error = min(error, (math.pi - value) / 2)
    return error


def errors_known(layout: Layout) -> bool:
    """Tell whether it is known what measuring errors do to how a layout moves.

    Not of a governed engine, nor of a cam: the gap to its roller is set on the vehicle,
    and a layout does not say by what.
    """
    cams = any(rod.kind == "cam" for rod in layout.rods.values())
    return not (layout.governed or cams)


def refuse_unsure(layout: Layout, command: str) -> None:
    """Refuse a layout of which it is not known what measuring errors do.

    Raises
    ------
    UsageError
        If it is that of a governed engine, or has a cam or a slide.
    """
    refuse_slides(layout, command)
    if not errors_known(layout):
        what = "a governed engine" if layout.governed else "a layout with a cam"
        msg = f"`{command}` does not know what measuring errors do to {what}"
        hint = (
            "it is set on the vehicle by what a layout does not say; `check` judges it"
        )
        raise UsageError(msg, hint=hint)


def assumed_with(layout: Layout) -> dict[str, str]:
    """Return by group the instrument that is assumed for any of a layout's numbers."""
    return {m.group: m.by for m in measured(layout) if m.assumed}


def _kind(path: Path, group: str) -> str:
    if group != "springs":
        return {"angle": "angle", "share": "torque"}.get(
            GROUPS[group].kind if group else "length", "length"
        )
    if path[-1] == "rate":
        return "rate"
    return "torque" if path[-1] == "preload" else "force"
