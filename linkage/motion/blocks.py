"""Cut many rows into blocks that stay in the processor's cache.

Big batches are taken block by block, so that memory stays flat; the size of a
block changes no number.

Not here: taking rows of a layout (`model.rows`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterator

#: Entries of one array over (rows, positions) in a block.
ENTRIES: Final = 32768


def blocks(rows: int, positions: int) -> Iterator[slice]:
    """Yield slices of rows, in order, at least one row each.

    Parameters
    ----------
    rows : int
        How many there are.
    positions : int
        Most pad positions at which each is looked at.

    >>> [(s.start, s.stop) for s in blocks(5, ENTRIES // 2)]
    [(0, 2), (2, 4), (4, 5)]
    """
    step = max(ENTRIES // max(positions, 1), 1)
    for begin in range(0, rows, step):
        yield slice(begin, min(begin + step, rows))
