"""What the play of joints and bushes takes from a plate, and how far it would be driven on.

Not here: whether that is enough (`rules.travel`, `rules.rest`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from linkage.model.columns import greater, last, pick, some
from linkage.model.refs import Ref
from linkage.motion import assemble, frame, sweep_clear
from linkage.motion.held import length_kept
from linkage.motion.sweep import pads
from linkage.motion.tangent import carried

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Layout, Link, Throttle
    from linkage.model.columns import Number, Positions
    from linkage.rules.examine import Examined


class Slop(NamedTuple):
    """What the play of one part takes from a plate."""

    #: The rod or cable, or the shaft whose bush it is.
    about: Ref
    #: From side to side. [m]
    play: Number
    #: Opening that it takes away. [rad]
    plate: Number


def play_loss(x: Examined, throttle: Throttle) -> Number:
    """Return the opening that the play of all parts on the way takes away. [rad].

    An over-travel spring on the way makes it up by as much as it has given at the end.
    """
    loss: Number = 0.0
    for one in slop(x, throttle):
        loss = loss + one.plate
    gain: Number | None = None
    path = x.layout.path_to(throttle.shaft)
    for i, link in enumerate(path):
        given = x.speeds.given.get(link.rod.name)
        if given is not None:
            made_up = _by_length(x, path, i) * last(given)
            gain = made_up + (0.0 if gain is None else gain)
    return loss if gain is None else greater(loss - gain, 0.0)


def slop(x: Examined, throttle: Throttle) -> Iterator[Slop]:
    """Yield what each part with play takes from a plate at the end of the travel.

    A rod with play p acts as one that is longer or shorter by p before it moves its arm.
    A shaft lies on one side of its bush and may be drawn to the other: its pivot is off
    by as much, the way that does most, with no rod set again. Both are carried on to the
    plate by the later ratios.

    Parameters
    ----------
    x : Examined
        One layout, or many as rows.
    throttle : Throttle
        Of the plate.
    """
    path = x.layout.path_to(throttle.shaft)
    for i, link in enumerate(path):
        play = link.rod.play
        if isinstance(play, float) and not play:
            continue
        about = Ref("rod", link.rod.name)
        yield Slop(about, play, _by_length(x, path, i) * play)
    names = [x.layout.pedal.shaft, *(link.driven.shaft for link in path)]
    worn = [name for name in names if some(x.layout.shafts[name].play > 0)]
    if worn:
        yield from _of_bushes(x, throttle, worn)


def _by_length(x: Examined, path: list[Link] | tuple[Link, ...], i: int) -> Number:
    """Return what a plate turns at the end by a unit of a rod's length. [rad/m]."""
    link = path[i]
    one, two = (_at_end(x, hole.shaft) for hole in link.holes)
    by_length = last(x.assembly.loop(link.rod.name).by_length(one, two))
    onward = math.prod(last(x.speeds.ratios[p.rod.name]) for p in path[i + 1 :])
    found: Number = np.abs(by_length * onward)
    return found


def _of_bushes(x: Examined, throttle: Throttle, worn: list[str]) -> Iterator[Slop]:
    """Yield what bushes take, every rod as long as it is."""
    rods = {
        loop.link.rod.name: replace(loop.link.rod, length=length_kept(loop))
        for loop in x.assembly.loops
        if loop.link.rod.kind == "rod"
    }
    layout = replace(x.layout, rods={**x.layout.rods, **rods})
    still = frame(sweep_clear(assemble(layout), pads(0.0, x.working.end)))
    for name in worn:
        shaft = layout.shafts[name]
        ways = [
            carried(still, ("shafts", name, "pivot", i), set_again=False)[
                throttle.shaft
            ]
            for i in range(3)
        ]
        moved = [
            last(np.broadcast_to(way, still.motion.pad_travel.shape)) for way in ways
        ]
        along = sum(m * n for m, n in zip(moved, shaft.axis.n, strict=True))
        # Along itself a shaft is held by other means than its bush.
        across = sum(
            (m - along * n) ** 2 for m, n in zip(moved, shaft.axis.n, strict=True)
        )
        yield Slop(Ref("shaft", name), shaft.play, np.sqrt(across) * shaft.play)


def _at_end(x: Examined, shaft: str) -> tuple[Positions, Positions]:
    cosine, sine = x.motion.pair(shaft)
    return cosine[..., -1:], sine[..., -1:]


def driven_on(x: Examined, throttle: Throttle) -> Number:
    """Return the opening the pedal would give at its own end with no full stop. [rad]."""
    opening = last(x.unstopped.opening(throttle.name))
    return pick(np.isfinite(opening) & x.working.reaches, opening, throttle.swing)


def lever_radius(layout: Layout, throttle: Throttle) -> Number:
    """Return the radius of the hole in which the last rod takes a plate. [m]."""
    link = layout.path_to(throttle.shaft)[-1]
    return layout.shafts[throttle.shaft].arms[link.driven.arm].length
