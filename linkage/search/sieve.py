"""What the rules at rest leave to hope, before the dear ones are asked.

To judge a moved engine or a hand lever takes longer than all that comes before, and can
but find more to be wrong. A row that mends nothing with the engine at rest, or brings what
no change may bring, is of no use whatever those would find.

Not here: the rules (`rules.order`), what counts as mended (`search.standing`), blocks of
rows (`search.engine`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.rules.order import AT_REST
from linkage.rules.rule import BAD, FITS, LOOK
from linkage.rules.states import movements

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.rules.judged import Place
    from linkage.rules.rule import Need
    from linkage.search.tried import Tried

_CODES: Final = frozenset(rule.code for rule in AT_REST)


def in_steps(layout: Layout, needs: Iterable[Need]) -> bool:
    """Tell whether more is asked of a layout than of it at rest, pedal pressed."""
    if layout.governed or not {"rock", "forces"} & set(needs):
        return False
    return layout.hand is not None or bool(movements(layout))


def promising(tried: Tried, targets: Sequence[Place]) -> NDArray[np.bool_]:
    """Tell which rows may be of use still, judged by the rules at rest alone.

    Parameters
    ----------
    tried : Tried
        The rows.
    targets : sequence of Place
        Findings that are to be mended. One of them at least must be gone or nearer, or of
        all that says ``do not fit``.

    Returns
    -------
    ndarray of bool, shape (rows,)
    """
    left = np.zeros(tried.count, dtype=bool)
    told = tried.before.told
    # What asks for a look only is at times tried by what mends more than that.
    for place in dict.fromkeys((*targets, *(p for p, r in told.items() if r == BAD))):
        if place[0] not in _CODES:
            return ~tried.never
        bad = told.get(place, FITS) == BAD
        left |= tried.gone(place, LOOK if bad else FITS)
        left |= np.isfinite(tried.nearer(place))
    return left & ~tried.never
