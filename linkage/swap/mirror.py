"""The same car with the carburettor on the other side.

Everything driven beyond a named shaft moves across an upright plane along the
car. The named shaft stays; its arms that drive the moved part slide along it,
so that their rods stay in plane: it becomes a longer, or shorter, shaft.

Not here: how a move looks to a viewer (`swap.moves`), what that reverses
(`swap.reverses`), what to do then (`swap.cures`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final, Literal

from linkage.errors import UsageError, did_you_mean
from linkage.quantities import say
from linkage.records import dataclass, short
from linkage.search.at_rest import lost_known
from linkage.swap.cams import turned_over
from linkage.swap.moves import NO_MOVE, Move, half_turn, mirror, moved_shaft, wrapped
from linkage.swap.obstacles import gone_across, seated_across
from linkage.swap.sheaths import led
from linkage.swap.slides import lies_across, recut, slid

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.model import Hand, Layout, Shaft, Spring, Stop, Throttle
    from linkage.swap.sheaths import Led
    from linkage.swap.slides import Slide

Carburettor = Literal["mirrored", "turned", "replaced"]

#: What can become of the carburettor, in words.
CARBURETTORS: Final[dict[str, str]] = {
    "mirrored": "a part of the other hand",
    "turned": "the same part, half a turn about upright",
    "replaced": "another part, that opens as stated",
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Swap:
    """A layout before and after its carburettor changed sides.

    Parameters
    ----------
    before, after : Layout
        The layout as it was, and swapped, with nothing else changed.
    beyond : str
        The shaft that stays.
    plane : float
        The plane y = this is what parts cross. [m]
    carburettor : {"mirrored", "turned", "replaced"}
        What became of it.
    moved : tuple of str
        Shafts that moved, in driving order.
    slides : tuple of Slide
        Arms of the shaft that stays, slid along it.
    senses : mapping of str to float
        By moved shaft: -1 where its turns read the other way round now.
    recut : tuple of str
        Rods of given length that no longer have it.
    sheaths : tuple of Led
        Sheaths of cables that go elsewhere.
    obstacles : tuple of str
        Those on the engine, which went across with it.
    cams : tuple of str
        Cams that are of the other hand now: their profiles turned over.
    """

    before: Layout
    after: Layout
    beyond: str
    plane: float
    carburettor: Carburettor
    moved: tuple[str, ...]
    slides: tuple[Slide, ...]
    senses: Mapping[str, float]
    recut: tuple[str, ...]
    sheaths: tuple[Led, ...] = ()
    obstacles: tuple[str, ...] = ()
    cams: tuple[str, ...] = ()

    def __repr__(self) -> str:
        moved = short(", ".join(self.moved))
        title = short(self.before.title)
        return f"<Swap of {title!r}, carburettor {self.carburettor}: {moved}>"


def last_body_shaft(layout: Layout, plane: float = 0.0) -> str:
    """Return the last shaft on the way that stays when the carburettor goes across.

    It is the one before the first that the engine carries; where the engine
    carries none, or the pedal itself, the one that drives the main throttle's
    spindle. A shaft along the vehicle, or upright, that lies on the
    carburettor's side belongs to it and goes across too.

    Parameters
    ----------
    layout : Layout
        The layout as it is.
    plane : float
        y of the plane. [m]
    """
    path = layout.path_to(layout.main.shaft)
    if not path:
        return layout.main.shaft
    engine = (p.driver.shaft for p in path if p.driven.shaft in layout.engine.carries)
    stays = next(engine, path[-1].driver.shaft)
    side = layout.shafts[layout.main.shaft].pivot[1] - plane
    while stays != layout.pedal.shaft and not lies_across(layout.shafts[stays]):
        if (layout.shafts[stays].pivot[1] - plane) * side <= 0:
            break
        stays = layout.path_to(stays)[-1].driver.shaft
    return stays


def beyond_shaft(layout: Layout, name: str | None, plane: float = 0.0) -> str:
    """Return the shaft beyond which parts move.

    Parameters
    ----------
    layout : Layout
        The layout as it is.
    name : str, optional
        As asked for; None takes the last shaft on the body.
    plane : float
        y of the plane. [m]

    Raises
    ------
    UsageError
        If there is no such shaft, or no carburettor beyond it.
    """
    if name is None:
        return last_body_shaft(layout, plane)
    on_way = [link.driver.shaft for link in layout.path_to(layout.main.shaft)]
    if name not in layout.shafts:
        msg = f"there is no shaft `{name}`"
        raise UsageError(msg, hint=did_you_mean(name, layout.shafts))
    if name not in on_way:
        msg = f"no carburettor is driven beyond shaft `{name}`: nothing would move"
        raise UsageError(msg, hint="name a shaft before it: " + ", ".join(on_way))
    return name


def plane_to(layout: Layout, place: float) -> float:
    """Return the plane that takes the main spindle to a lateral position.

    Parameters
    ----------
    layout : Layout
        The layout as it is.
    place : float
        The spindle pivot's measured y on the other side. [m]

    Returns
    -------
    float
        y of the plane. [m]
    """
    return (layout.shafts[layout.main.shaft].pivot[1] + place) / 2


def _driven_beyond(layout: Layout, beyond: str) -> tuple[str, ...]:
    known = {beyond}
    for link in layout.links:
        if link.driver.shaft in known:
            known.add(link.driven.shaft)
    return tuple(p.driven.shaft for p in layout.links if p.driver.shaft in known)


def swap_sides(
    layout: Layout,
    *,
    beyond: str | None = None,
    plane: float = 0.0,
    carburettor: Carburettor = "mirrored",
    opens: Literal[1, -1] | None = None,
    lever_angle: float | None = None,
) -> Swap:
    """Move everything beyond a shaft to the other side of the car.

    Shafts and slides, their stops, springs and anchors are mirrored, ends of sheaths beside
    them and obstacles on the engine; cams are turned over where their shafts are seen so.
    The carburettor's own spindle may be turned or replaced; an anchor on the engine goes
    with one that is turned, one on the body is mirrored.

    Parameters
    ----------
    layout : Layout
        As it is.
    beyond : str, optional
        The shaft that stays; None takes the last one on the body.
    plane : float
        y of the plane. [m]
    carburettor : {"mirrored", "turned", "replaced"}
        What becomes of it.
    opens : {1, -1}, optional
        Opening sense of a replaced carburettor, for the viewer of its axis.
    lever_angle : float, optional
        Its lever's angle at idle; None leaves it as mirrored. [rad]

    Returns
    -------
    Swap
        The layout afterwards, and what was done.

    Raises
    ------
    UsageError
        If nothing would move, or the choices do not go together.
    """
    _go_together(carburettor, opens, lever_angle)
    layout = lost_known(layout)
    stays = beyond_shaft(layout, beyond, plane)
    moved = _driven_beyond(layout, stays)
    flip = mirror(plane)
    if all(abs(layout.shafts[n].pivot[1] - plane) < NO_MOVE for n in moved):
        msg = (
            f"the plane y = {say(plane, 'length')} leaves nothing to move: "
            f"all that is driven beyond `{stays}` lies on it"
        )
        hint = "give another plane, or with --to the carburettor's new place"
        raise UsageError(msg, hint=hint)
    plates = {t.shaft for t in layout.plates}
    turned = plates if carburettor == "turned" else set()
    moves = {
        name: _turn(layout.shafts[name], flip) if name in turned else flip
        for name in moved
    }
    shafts = dict(layout.shafts)
    senses: dict[str, float] = {}
    for name, move in moves.items():
        shafts[name], senses[name] = moved_shaft(layout.shafts[name], move)
    # Springs are those one has: they stay of the hand they were of.
    springs = {
        n: _moved_spring(s, moves, flip, senses) for n, s in layout.springs.items()
    }
    if carburettor == "replaced" and opens is not None:
        main = layout.main
        factor = opens / (main.opens * senses[main.shaft])
        mirrored = dict(shafts)
        for name in moved:
            if name in plates:
                senses[name] *= factor
                shafts[name] = _replaced(layout, mirrored, name, lever_angle)
    rods, sheaths = led(layout, moves, flip)
    rods, over = turned_over(rods, senses)
    obstacles, gone = gone_across(layout, moves, flip)
    heat = seated_across(layout, moves, flip)
    after = replace(
        layout,
        shafts=shafts,
        rods=rods,
        springs=springs,
        obstacles=obstacles,
        heat=heat,
        stops={n: _moved_stop(s, senses) for n, s in layout.stops.items()},
        throttles={n: _moved_throttle(t, senses) for n, t in layout.throttles.items()},
        hand=_moved_hand(layout.hand, senses),
    )
    after, slides = slid(layout, after, stays)
    after, cut = recut(layout, after)
    return Swap(
        before=layout,
        after=after,
        beyond=stays,
        plane=plane,
        carburettor=carburettor,
        moved=moved,
        slides=slides,
        senses=senses,
        recut=cut,
        sheaths=sheaths,
        obstacles=gone,
        cams=over,
    )


def _turn(shaft: Shaft, flip: Move) -> Move:
    """Return half a turn that takes a pivot to where the mirror would."""
    return half_turn(shaft.pivot, flip.point(shaft.pivot))


def _go_together(carburettor: str, opens: int | None, lever: float | None) -> None:
    if carburettor not in CARBURETTORS:
        msg = f"a carburettor cannot be `{carburettor}`"
        raise UsageError(msg, hint=did_you_mean(carburettor, CARBURETTORS))
    if carburettor == "replaced" and opens is None:
        msg = "a replaced carburettor needs the way it opens"
        raise UsageError(
            msg,
            hint="add --opens clockwise or --opens anticlockwise, for the viewer of its axis",
        )
    if carburettor != "replaced" and (opens is not None or lever is not None):
        msg = f"a {carburettor} carburettor opens as it must; it cannot be told how"
        raise UsageError(
            msg, hint="--opens and --lever-angle go with --carburettor replaced"
        )


def _replaced(
    layout: Layout, shafts: Mapping[str, Shaft], name: str, lever: float | None
) -> Shaft:
    """Return a spindle whose rods' arms stand as stated; spring hooks stay."""
    if lever is None:
        return shafts[name]
    main = layout.path_to(layout.main.shaft)[-1].driven
    by = lever - shafts[main.shaft].arms[main.arm].angle
    joined = {h.arm for link in layout.links for h in link.holes if h.shaft == name}
    arms = {
        n: replace(arm, angle=wrapped(arm.angle + by)) if n in joined else arm
        for n, arm in shafts[name].arms.items()
    }
    if name == main.shaft:  # exactly as stated
        arms[main.arm] = replace(arms[main.arm], angle=lever)
    return replace(shafts[name], arms=arms)


def _moved_spring(
    spring: Spring, moves: Mapping[str, Move], flip: Move, senses: Mapping[str, float]
) -> Spring:
    if spring.shaft not in moves:
        return spring
    known = spring.known
    if known.shuts is not None and senses[spring.shaft] < 0:
        known = replace(known, shuts=-1 if known.shuts > 0 else 1)
    move = moves[spring.shaft] if spring.anchored_on == "engine" else flip
    anchor = None if spring.anchor is None else move.point(spring.anchor)
    return replace(spring, anchor=anchor, known=known)


def _moved_stop(stop: Stop, senses: Mapping[str, float]) -> Stop:
    return replace(stop, turn=stop.turn * senses.get(stop.shaft, 1.0))


def _moved_hand(hand: Hand | None, senses: Mapping[str, float]) -> Hand | None:
    """Return a hand lever that is pulled as before, seen in the mirror."""
    if hand is None:
        return None
    turned = hand.pulls * senses.get(hand.shaft, 1.0)
    return replace(hand, pulls=1 if turned > 0 else -1)


def _moved_throttle(throttle: Throttle, senses: Mapping[str, float]) -> Throttle:
    turned = throttle.opens * senses.get(throttle.shaft, 1.0)
    return replace(throttle, opens=1 if turned > 0 else -1)
