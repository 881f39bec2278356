"""What the play of rods takes from a plate, and how far it would be driven on.

Not here: whether that is enough (`rules.travel`, `rules.rest`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from linkage.model.columns import last, pick

if TYPE_CHECKING:
    from linkage.model import Throttle
    from linkage.model.columns import Number, Positions
    from linkage.rules.examine import Examined


def play_loss(x: Examined, throttle: Throttle) -> Number:
    """Return the opening that the play of all rods on the way takes away. [rad].

    A rod with play p acts as one that is longer or shorter by p before it
    moves its arm; each is carried on to the plate by the later ratios.
    """
    loss = 0.0
    path = x.layout.path_to(throttle.shaft)
    for i, link in enumerate(path):
        if isinstance(link.rod.play, float) and not link.rod.play:
            continue
        one, two = (_at_end(x, hole.shaft) for hole in link.holes)
        by_length = last(x.assembly.loop(link.rod.name).by_length(one, two))
        onward = math.prod(last(x.speeds.ratios[p.rod.name]) for p in path[i + 1 :])
        loss = loss + np.abs(by_length * onward) * link.rod.play
    return loss


def _at_end(x: Examined, shaft: str) -> tuple[Positions, Positions]:
    cosine, sine = x.motion.pair(shaft)
    return cosine[..., -1:], sine[..., -1:]


def driven_on(x: Examined, throttle: Throttle) -> Number:
    """Return the opening the pedal would give at its own end with no full stop. [rad]."""
    opening = last(x.unstopped.opening(throttle.name))
    return pick(np.isfinite(opening) & x.working.reaches, opening, throttle.swing)


def lever_radius(x: Examined, throttle: Throttle) -> Number:
    """Return the radius of the hole in which the last rod takes a plate. [m]."""
    link = x.layout.path_to(throttle.shaft)[-1]
    return x.layout.shafts[throttle.shaft].arms[link.driven.arm].length
