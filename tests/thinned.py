"""Which of many like cases are run each time, and which with ``--every`` alone.

A fault that is shipped is a sound layout with one thing changed: what draws, measures
or searches the sound one does the same with it. Each test takes some of them, by
`first` others than the next test, so that all are taken somewhere.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

#: How shipped layouts begin that are another one with something changed.
CHANGED: Final = ("fault-", "scenario-", "swapped-")
#: Every how manyth of these is taken each time.
STEP: Final = 4


def thinned(cases: Sequence[Any], step: int, first: int = 0) -> list[Any]:
    """Return cases for ``parametrize``, of which every so manyth runs each time.

    Parameters
    ----------
    cases : sequence
        A case that is a tuple stands for several parameters.
    step : int
        Every how manyth.
    first : int
        Counted from which.
    """
    return [
        pytest.param(
            *(case if isinstance(case, tuple) else (case,)),
            marks=() if i % step == first % step else pytest.mark.every,
        )
        for i, case in enumerate(cases)
    ]


def kinds(names: Iterable[str], first: int = 0) -> list[Any]:
    """Return names of shipped layouts: those that differ, and some of the others."""
    named = list(names)
    changed = [name for name in named if name.startswith(CHANGED)]
    return [n for n in named if n not in changed] + thinned(changed, STEP, first)


def left_to_every(cases: Iterable[Any]) -> set[str]:
    """Return the names that run with ``--every`` alone, of what `kinds` gave."""
    return {c.values[0] for c in cases if not isinstance(c, str) and c.marks}
