"""Obstacles, and the seat of the manifold, when the carburettor changes sides.

What stands on the body stays. What is on the engine goes across as the parts of the
engine do: with the carburettor, turned where that is turned, where the engine carries its
spindle; else mirrored.

Not here: shafts and springs (`swap.mirror`), sheaths (`swap.sheaths`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.model import Heat, Layout, Obstacle
    from linkage.swap.moves import Move


def gone_across(
    layout: Layout, moves: Mapping[str, Move], flip: Move
) -> tuple[dict[str, Obstacle], tuple[str, ...]]:
    """Return all obstacles after a move, and the names of those that moved.

    Parameters
    ----------
    layout : Layout
        Before it.
    moves : mapping of str to Move
        What happens to each shaft that moves.
    flip : Move
        The mirror.
    """
    move = _engines(layout, moves, flip)
    found = {
        name: _moved(obstacle, move) if obstacle.on == "engine" else obstacle
        for name, obstacle in layout.obstacles.items()
    }
    gone = (n for n, o in found.items() if o is not layout.obstacles[n])
    return found, tuple(gone)


def _engines(layout: Layout, moves: Mapping[str, Move], flip: Move) -> Move:
    """Return the way in which what is on the engine goes across."""
    spindle = layout.main.shaft
    return moves.get(spindle, flip) if spindle in layout.engine.carries else flip


def seated_across(layout: Layout, moves: Mapping[str, Move], flip: Move) -> Heat | None:
    """Return heat after a move: the manifold sits where it went, the mounts stay.

    Parameters
    ----------
    layout : Layout
        Before it.
    moves : mapping of str to Move
        What happens to each shaft that moves.
    flip : Move
        The mirror.
    """
    heat = layout.heat
    if heat is None or heat.seat is None:
        return heat
    return replace(heat, seat=_engines(layout, moves, flip).point(heat.seat))


def _moved(obstacle: Obstacle, move: Move) -> Obstacle:
    there = obstacle.moved(move.point, lambda axis: move.axis(axis)[0])
    return obstacle if there == obstacle else there
