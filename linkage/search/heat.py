"""Changes that leave growth its way: a rod set by its thread, free play at the pedal.

Not here: slots that lose more (`search.lost_motion`), what heat does (`rules.heat`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model.columns import is_column
from linkage.model.refs import Ref
from linkage.rules.one_turn import last_rod
from linkage.search.changes import length_step
from linkage.search.family import Family, Step
from linkage.search.governors import by_turns

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from linkage.model import Layout
    from linkage.rules.examine import Examined

#: So many turns either way at most: growth is a millimetre or two.
TURNS: Final = 5
#: Most free play that is left at the pad: more is felt as lost. Common practice, no
#: source. [m]
MOST_FREE_PLAY: Final = 6e-3


def turned(x: Examined, throttle: str) -> Iterator[Family]:
    """Yield the last rod to a plate set longer or shorter by whole turns of its thread.

    Of a cable that both pulls and pushes its adjuster. None of a rod that loses motion:
    what that loses is set instead.
    """
    layout = x.layout
    rod = layout.rods[last_rod(layout, layout.throttles[throttle])]
    if not (rod.loose or is_column(x.ok)):
        yield by_turns(x, throttle, TURNS)


def more_free_play(layout: Layout) -> Iterator[Family]:
    """Yield the pedal with more free play, in the steps of a rule."""
    step, old = length_step(), float(layout.pedal.free_play)
    most = min(MOST_FREE_PLAY, layout.pedal.travel / 2)
    steps = np.arange(int(old / step) + 1, int(most / step) + 1)
    new = np.asarray(steps * step, dtype=float)
    if new.size:
        yield Family(
            base=layout,
            sets={("pedal", "free_play"): new},
            effort=np.asarray(0.1 + (new - old) / 0.1, dtype=float),
            step=_left(old, new),
        )


def _left(old: float, new: Any) -> Callable[[int], Step]:  # noqa: ANN401
    about = Ref("pedal")
    return lambda i: Step(
        kind="free play left", about=about, old=old, new=float(new[i])
    )
