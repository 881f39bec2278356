"""What the play of rods takes from a plate, and how far it would be driven on.

Not here: whether that is enough (`rules.travel`, `rules.rest`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from linkage.model.columns import greater, last, pick

if TYPE_CHECKING:
    from linkage.model import Layout, Throttle
    from linkage.model.columns import Number, Positions
    from linkage.rules.examine import Examined


def play_loss(x: Examined, throttle: Throttle) -> Number:
    """Return the opening that the play of all rods on the way takes away. [rad].

    A rod with play p acts as one that is longer or shorter by p before it
    moves its arm; each is carried on to the plate by the later ratios. An over-travel
    spring on the way makes it up by as much as it has given at the end.
    """
    loss: Number = 0.0
    gain: Number | None = None
    path = x.layout.path_to(throttle.shaft)
    for i, link in enumerate(path):
        given = x.speeds.given.get(link.rod.name)
        if isinstance(link.rod.play, float) and not link.rod.play and given is None:
            continue
        one, two = (_at_end(x, hole.shaft) for hole in link.holes)
        by_length = last(x.assembly.loop(link.rod.name).by_length(one, two))
        onward = math.prod(last(x.speeds.ratios[p.rod.name]) for p in path[i + 1 :])
        plate = np.abs(by_length * onward)
        loss = loss + plate * link.rod.play
        if given is not None:
            gain = plate * last(given) + (0.0 if gain is None else gain)
    return loss if gain is None else greater(loss - gain, 0.0)


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
