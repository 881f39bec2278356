"""What acts on a shaft, as a sum: torque and reactions at its bearings.

Not here: where the reactions come from (`friction`), the balance (`balance`).
"""

from __future__ import annotations

from functools import reduce
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from linkage.model.columns import Positions


class Act(NamedTuple):
    """What acts on a shaft: its torque, and what it puts on the bearings.

    Over positions; see `friction.Carried`. No places where nothing rubs. [N·m], [N]
    """

    torque: Positions
    places: Positions

    def __repr__(self) -> str:
        return f"<Act of shape {np.shape(self.torque)}>"


def spaced(places: Positions, axes: int) -> Positions:
    """Return reactions with their places first and so many axes behind."""
    first, *rest = np.shape(places)
    return np.reshape(places, (first, *(1,) * (axes - len(rest)), *rest))


def both(one: Act, two: Act) -> Act:
    """Return what two of them do together."""
    return Act(one.torque + two.torque, one.places + two.places)


class Others:
    """What all rods of a shaft but one put on it, of which a few may do otherwise.

    Sums over the rods before each and behind it are kept: of most parts that are gone
    just one rod carries another force, or none.

    Parameters
    ----------
    acts : sequence of (Act or None)
        By rod: what it does with nothing gone; None where that is never asked for.
    """

    def __init__(self, acts: Sequence[Act | None]) -> None:
        self._acts = acts
        self._before = _sums(acts)
        self._behind = _sums(acts[::-1])[::-1]

    def added(self, own: Act, otherwise: Mapping[int, Act | None]) -> Act:
        """Return all that acts on the shaft.

        Parameters
        ----------
        own : Act
            What is on the shaft itself.
        otherwise : mapping of int to (Act or None)
            What a few of the rods do instead, by number and rising; None for nothing.
        """
        parts: list[Act | None] = [own]
        low = 0
        for k, act in otherwise.items():
            parts += self._acts[low:k] if low else self._before[k : k + 1]
            parts.append(act)
            low = k + 1
        parts.append(self._behind[low] if low else self._before[-1])
        return reduce(both, filter(None, parts))


def _sums(acts: Sequence[Act | None]) -> list[Act | None]:
    """Return the sum of none, of the first, of the first two and so on."""
    out: list[Act | None] = [None]
    for act in acts:
        last = out[-1]
        out.append(both(last, act) if last and act else last or act)
    return out
