"""A layout, one or many, once more in each of some states, as rows.

Rows are those of the first state, then of the next.

Not here: which states, and what is done to it there (`rules.states`, `rules.warm`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.model.rows import take
from linkage.motion import assemble

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.model.columns import Number
    from linkage.motion import Assembly
    from linkage.rules.examine import Examined


class InStates:
    """So many states of a layout.

    Parameters
    ----------
    x : Examined
        The layout, one or many.
    count : int
        Of states.
    """

    def __init__(self, x: Examined, count: int) -> None:
        self.count, self.rows = count, x.rows

    def again(self, x: Examined) -> Assembly:
        """Return the layout put together, once more for each state."""
        layout = take(x.layout, np.tile(np.arange(self.rows), self.count))
        # The same object where no number of it is a column.
        return x.assembly if layout is x.layout else assemble(layout)

    def over(self, values: Any) -> NDArray[Any]:  # noqa: ANN401
        """Return numbers of all rows as shape (count, rows)."""
        flat = np.broadcast_to(np.ravel(values), self.count * self.rows)
        return flat.reshape(self.count, self.rows)

    def number(self, values: Any) -> Number:  # noqa: ANN401
        """Return values of shape (rows,) as a column, or of one layout as a number."""
        return values[:, None] if self.rows > 1 else values[0].item()
