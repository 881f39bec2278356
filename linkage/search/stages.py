"""A plan in stages, as a fitter goes: first how it moves, then what pulls it back.

Springs are chosen for a motion that is right; where arms, rods and springs are wrong
at once, two or three changes do not reach, and each stage may take as many.

Not here: the changes of one stage (`search.plan`), what counts as mended
(`search.standing`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from linkage.rules.engine import judge
from linkage.rules.rule import GEOMETRY

if TYPE_CHECKING:
    from collections.abc import Callable

    from linkage.rules.rule import Need
    from linkage.search.node import Node

#: What the first stage looks at, and no more.
MOVES: Final[tuple[Need, ...]] = GEOMETRY[:2]


def _judged(node: Node, needs: tuple[Need, ...]) -> Node:
    """Return the same layout, judged by what needs only so much."""
    x = node.x
    return replace(node, many=x, judged=judge(x, needs), k=0, needs=needs, unknown={})


def staged(root: Node, look: Callable[[Node], Node | None]) -> Node | None:
    """Mend how a layout moves, and then the rest; return where that ends.

    Parameters
    ----------
    root : Node
        The layout as it is.
    look : callable
        Returns the plan of one stage; None where there is none.

    Returns
    -------
    Node, optional
        After both stages nothing says ``do not fit``; after the first alone that
        is so of how it moves. None where there is nothing to mend in one of them,
        or no way to mend how it moves.
    """
    moving = _judged(root, MOVES)
    if not moving.bad or root.needs == MOVES:
        return None
    moves = look(moving)
    if moves is None:
        return None
    between = _judged(moves, root.needs)
    return look(between) or between if between.bad else between
