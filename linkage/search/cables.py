"""Changes at cables: where a sheath ends, what holds it, how it bends and rubs.

A cable is not cut like a rod: its adjuster is set anew, and a sheath is moved, led
otherwise or lined. Places go in steps of a rule.

Not here: arms and slack, which rods have too (`search.changes`, `search.lost_motion`),
drums that are turned over (`search.drums`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final, Literal, cast

import numpy as np

from linkage.forces.sheath import bends, sheath_friction
from linkage.model import Cable
from linkage.model.refs import Ref
from linkage.motion import frame
from linkage.search.changes import measured_off, place_step
from linkage.search.family import Family, Step, always

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from numpy.typing import NDArray

    from linkage.model import Hole, Layout, Rod
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]

#: Friction in a lined sheath, from as it comes to clean and oiled: common practice, no
#: source. [1]
LINED: Final = (0.10, 0.08, 0.05)
#: Steps in which the end of a sheath is moved, and how many of them at most.
END_STEP: Final = 5e-3
ENDS_MOST: Final = 20
#: Step in which all bends of a sheath together are told. [rad]
BEND_STEP: Final = math.radians(15)
#: Ways that a point of a sheath goes toward the line between its neighbours.
NEARER: Final = np.array([0.25, 0.5, 0.75, 1.0])
#: Sizes in which wires and strokes are sold: common practice, no source. [m]
WIRES: Final = np.array([1.2, 1.5, 1.8, 2.0, 2.5, 3.0, 4.0]) * 1e-3
STROKES: Final = np.array([50.0, 75.0, 100.0, 125.0, 150.0]) * 1e-3
#: Step in which the push that a cable takes is told. [N]
NEWTONS: Final = 10.0


def cables(layout: Layout, names: Iterable[str] | None = None) -> dict[str, Cable]:
    """Return the cables among some rods, of all where none are named."""
    some = layout.rods if names is None else names
    rods = {n: layout.rods[n] for n in some}
    return {n: r for n, r in rods.items() if isinstance(r, Cable)}


def on_drum(layout: Layout, rod: Rod) -> bool:
    """Tell whether the wire of a cable lies on a drum, so that it can only pull."""
    holes = (rod.start, rod.end)
    return any(layout.shafts[h.shaft].arms[h.arm].wound for h in holes)


def with_cable(layout: Layout, cable: Cable) -> Layout:
    """Return the layout with a cable in the place of that of its name."""
    return replace(layout, rods={**layout.rods, cable.name: cable})


def _ends(cable: Cable) -> tuple[tuple[int, Hole], ...]:
    return (0, cable.start), (1, cable.end)


def _moved(
    layout: Layout, cable: Cable, i: int, hole: Hole, targets: FloatArray
) -> Iterator[Family]:
    """Yield one end of a sheath moved to each of some places, shape (k, 3)."""
    old = cable.ends[i].point
    targets = measured_off(targets)
    way = np.sqrt(((targets - np.array(old)) ** 2).sum(axis=1))
    fits = (way >= place_step() / 2) & _long_enough(cable, i, targets)
    targets, way = targets[fits], way[fits]
    about = Ref("rod", cable.name)

    def step(k: int) -> Step:
        new = tuple(targets[k].tolist())
        more = {"hole": str(hole), "way": float(way[k])}
        return Step(kind="sheath end", about=about, old=old, new=new, more=more)

    path = ("rods", cable.name, "ends", i, "point")
    yield Family(
        base=layout,
        sets={(*path, k): targets[:, k] for k in range(3)},
        effort=way / 0.1,
        step=step,
        cut=(cable.name,),
    )


def _long_enough(cable: Cable, i: int, targets: FloatArray) -> NDArray[np.bool_]:
    """Tell at which places of an end a sheath of given length still reaches."""
    if cable.sheath_length is None:
        return np.ones(len(targets), dtype=bool)
    route = [np.array(p, dtype=float) for p in cable.route]
    legs: list[Any] = route[1:] if i == 0 else route[:-1]
    whole = [targets, *legs] if i == 0 else [*legs, targets]
    way = sum(np.linalg.norm(b - a, axis=-1) for a, b in pairwise(whole))
    return np.asarray(way <= cable.sheath_length)


def ends_moved(
    motion: Motion, names: Iterable[str], *, aside: bool = False
) -> Iterator[Family]:
    """Yield ends of sheaths moved: away from their arm, across, or along its shaft.

    Parameters
    ----------
    motion : Motion
        Of one layout.
    names : iterable of str
        Rods; cables among them are moved.
    aside : bool
        Whether along the shaft, into the plane in which the arm turns.
    """
    layout, table = motion.assembly.layout, frame(motion)
    steps = END_STEP * np.arange(1, ENDS_MOST + 1)[:, None]
    for name, cable in cables(layout, names).items():
        line: Any = table.rod(name)
        leaves = dict(zip(line.link.holes, line.leaves, strict=True))
        for i, hole in _ends(cable):
            end = np.array(cable.ends[i].point, dtype=float)
            normal = np.array(layout.shafts[hole.shaft].axis.n, dtype=float)
            foot, pull = (np.reshape(v, (3, -1))[:, 0] for v in leaves[hole])
            if aside:
                off = float((foot - end) @ normal)
                shares = np.linspace(0.1, 1.0, 10)[:, None]
                yield from _moved(layout, cable, i, hole, end + shares * off * normal)
                continue
            across = np.cross(normal, pull)
            yield from _moved(layout, cable, i, hole, end + steps * pull)
            both = np.stack([steps, -steps], axis=1).reshape(-1, 1)
            yield from _moved(layout, cable, i, hole, end + both * across)


def held(layout: Layout) -> Iterator[Family]:
    """Yield ends of sheaths held where their arms are carried: each, then all.

    On the engine where the arm's shaft is on it, and else on the body.
    """
    wrong = []
    for name, cable in cables(layout).items():
        for i, hole in _ends(cable):
            on = "engine" if hole.shaft in layout.engine.carries else "body"
            if cable.ends[i].on != on:
                wrong.append((name, i, hole, on))
    for some in [[one] for one in wrong] + [wrong] * (len(wrong) > 1):
        base = layout
        for name, i, _, on in some:
            cable = cast("Cable", base.rods[name])
            place = cast("Literal['body', 'engine']", on)
            base = with_cable(base, cable.with_end(i, replace(cable.ends[i], on=place)))
        told = [(name, str(hole), on) for name, _, hole, on in some]
        step = Step(
            kind="sheath held", about=Ref("rod", some[0][0]), more={"ends": told}
        )
        yield Family(
            base=base,
            sets={},
            effort=np.array([0.4 * len(some)]),
            step=always(step),
            moves_stroke=False,
        )


def lined(layout: Layout) -> Iterator[Family]:
    """Yield cables in lined sheaths: each, then all."""
    rubs = {n: float(sheath_friction(c)) for n, c in cables(layout).items()}
    rubs = {n: friction for n, friction in rubs.items() if friction > min(LINED)}
    for names in [[n] for n in rubs] + [list(rubs)] * (len(rubs) > 1):
        old = max(rubs[n] for n in names)
        new = np.array([f for f in LINED if f < min(rubs[n] for n in names)])
        yield Family(
            base=layout,
            sets={("rods", n, "sheath_friction"): new for n in names},
            effort=0.5 * len(names) + old - new,
            step=_lined_step(names, old, new),
            moves_stroke=False,
        )


def _lined_step(names: list[str], old: float, new: FloatArray) -> Any:  # noqa: ANN401
    about, more = Ref("rod", names[0]), {"cables": names}
    return lambda i: Step(
        kind="sheath lined", about=about, old=old, new=float(new[i]), more=more
    )


def straighter(motion: Motion, names: Iterable[str] | None = None) -> Iterator[Family]:
    """Yield sheaths led in fewer bends, down to those of a straight one.

    Where its points are given they are left out, as it has to be led otherwise.
    """
    layout, table = motion.assembly.layout, frame(motion)
    for name, cable in cables(layout, names).items():
        line: Any = table.rod(name)
        now, least = float(np.nanmax(bends(line))), _least_bend(line, cable)
        first, last = math.ceil(least / BEND_STEP), math.ceil(now / BEND_STEP) - 1
        new = np.arange(last, first - 1, -1.0) * BEND_STEP
        led = replace(cable, through=(), bend=now, sheath_length=cable.sheathed)
        yield Family(
            base=with_cable(layout, led) if cable.through else layout,
            sets={("rods", name, "bend"): new},
            effort=0.3 + (now - new),
            step=_bent_step(name, now, new),
            moves_stroke=False,
        )


def _bent_step(name: str, old: float, new: FloatArray) -> Any:  # noqa: ANN401
    about = Ref("rod", name)
    return lambda i: Step(kind="sheath bends", about=about, old=old, new=float(new[i]))


def _least_bend(line: Any, cable: Cable) -> float:  # noqa: ANN401
    """Return the bends of a wire whose sheath goes straight from end to end. [rad]."""
    one, two = line.leaves
    ends = [np.array(e.point, dtype=float) for e in cable.ends]
    if line.link.driver != cable.start:
        ends.reverse()
    way = ends[1] - ends[0]
    apart = float(np.linalg.norm(way))
    if not apart > 0:  # no straight sheath joins one place to itself: its bends stay
        return float(np.nanmax(bends(line)))
    straight = (way / apart)[:, None]
    total = np.zeros(1)
    for toward, pull in ((1.0, one.pull), (-1.0, two.pull)):
        cosine = toward * (np.reshape(pull, (3, -1)) * straight).sum(axis=0)
        total = total + np.arccos(np.clip(cosine, -1.0, 1.0))
    return float(np.nanmax(total))


def points_moved(
    layout: Layout, names: Iterable[str] | None = None
) -> Iterator[Family]:
    """Yield points of sheaths moved toward the line between their neighbours."""
    for name, cable in cables(layout, names).items():
        route = [np.array(p, dtype=float) for p in cable.route]
        for i, old in enumerate(cable.through):
            before, here, after = route[i : i + 3]
            foot = before + (after - before) * _along(before, here, after)
            places = measured_off(here + NEARER[:, None] * (foot - here))
            way = np.sqrt(((places - here) ** 2).sum(axis=1))
            keep = way >= place_step() / 2
            yield Family(
                base=layout,
                sets={
                    ("rods", name, "through", i, k): places[keep, k] for k in range(3)
                },
                effort=way[keep] / 0.1,
                step=_point_step(name, old, places[keep]),
                moves_stroke=False,
            )


def _along(before: FloatArray, here: FloatArray, after: FloatArray) -> float:
    """Return where on the line between two points the foot of a third is, 0 to 1."""
    way = after - before
    square = float(way @ way)
    return min(max(float((here - before) @ way) / square, 0.0), 1.0) if square else 0.0


def _point_step(name: str, old: Any, new: FloatArray) -> Any:  # noqa: ANN401
    about = Ref("rod", name)
    return lambda i: Step(
        kind="sheath point", about=about, old=old, new=tuple(new[i].tolist())
    )


def of_make(
    layout: Layout, name: str | None, field: str, least: float, sold: FloatArray
) -> Iterator[Family]:
    """Yield a cable of another make: its wire, its stroke or the push that it takes.

    Parameters
    ----------
    layout : Layout
        As it is.
    name : str, optional
        The rod; nothing of what is no cable.
    field : {"wire", "stroke", "push_limit"}
        What of it.
    least : float
        That it must be at least. [SI]
    sold : ndarray
        Sizes to choose from. [SI]
    """
    if name is None or not isinstance(cable := layout.rods[name], Cable):
        return
    old = float(cable.thick if field == "wire" else getattr(cable, field))
    new = sold[(sold >= least) & (sold > old)]
    kind, about = f"cable {field.removesuffix('_limit')}", Ref("rod", name)
    yield Family(
        base=layout,
        sets={("rods", name, field): new},
        effort=1.0 + np.arange(len(new)) / 10,
        step=lambda i: Step(kind=kind, about=about, old=old, new=float(new[i])),
        moves_stroke=False,
    )
