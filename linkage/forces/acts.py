"""What acts on a shaft, as a sum: torque and reactions at its bearings.

Both are one array, of shape (6, n) or (6, rows, n): the torque first [N·m], then what it
puts on the five places of `friction.Carried` [N]. Where nothing rubs it is the torque
alone, (1, n).

Not here: where the reactions come from (`friction`), the balance (`balance`).
"""

from __future__ import annotations

from functools import reduce
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from linkage.model.columns import Positions


def spaced(places: Positions, axes: int) -> Positions:
    """Return reactions with their places first and so many axes behind."""
    first, *rest = np.shape(places)
    return np.reshape(places, (first, *(1,) * (axes - len(rest)), *rest))


class Others:
    """What all rods of a shaft but one put on it, of which a few may do otherwise.

    Sums over the rods before each and behind it are kept: of most parts that are gone
    just one rod carries another force, or none.

    Parameters
    ----------
    acts : sequence of (ndarray or None)
        By rod: what it does with nothing gone; None where that is never asked for.
    """

    def __init__(self, acts: Sequence[Positions | None]) -> None:
        self._acts = acts
        self._before = _sums(acts)
        self._behind = _sums(acts[::-1])[::-1]

    def added(
        self, own: Positions, otherwise: Mapping[int, Positions | None]
    ) -> Positions:
        """Return all that acts on the shaft.

        Parameters
        ----------
        own : ndarray
            What is on the shaft itself.
        otherwise : mapping of int to (ndarray or None)
            What a few of the rods do instead, by number and rising; None for nothing.
        """
        parts: list[Positions | None] = [own]
        low = 0
        for k, act in otherwise.items():
            parts += self._acts[low:k] if low else self._before[k : k + 1]
            parts.append(act)
            low = k + 1
        parts.append(self._behind[low] if low else self._before[-1])
        return reduce(np.add, [part for part in parts if part is not None])


def _sums(acts: Sequence[Positions | None]) -> list[Positions | None]:
    """Return the sum of none, of the first, of the first two and so on."""
    out: list[Positions | None] = [None]
    for act in acts:
        last = out[-1]
        out.append(act if last is None else last if act is None else last + act)
    return out
