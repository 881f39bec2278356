"""Pedal, hand lever and governor as a layout file has them.

Not here: the other tables (`writer`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.config.written import text_of
from linkage.model import turning

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.config.writer import Lines, Writer
    from linkage.model import Hand, Layout, Pedal


def driver_lines(out: Writer, layout: Layout) -> Iterator[Lines]:
    """Yield the tables of the pedal or governor, and of a hand lever."""
    yield (_governor if layout.governed else _pedal)(out, layout.pedal)
    yield _hand(out, layout.hand)


def _pedal(out: Writer, pedal: Pedal) -> Lines:
    rows = [
        ("travel", pedal.travel, "length"),
        ("stop", pedal.stop, "length"),
        ("free_play", pedal.free_play, "length"),
    ]
    return [
        "[pedal]",
        f"shaft = {text_of(pedal.shaft)}",
        f"pad = {text_of(pedal.pad)}",
        *out.pairs(rows, "pedal"),
        f"presses = {text_of(turning(pedal.presses))}",
    ]


def _hand(out: Writer, hand: Hand | None) -> Lines:
    if hand is None:
        return []
    rows = [
        ("travel", hand.travel, "length"),
        ("holds", hand.holds, "force"),
        ("fast_idle", hand.fast_idle, "angle"),
    ]
    return [
        "[hand]",
        f"shaft = {text_of(hand.shaft)}",
        f"lever = {text_of(hand.lever)}",
        *out.pairs(rows, "hand"),
        f"pulls = {text_of(turning(hand.pulls))}",
    ]


def _governor(out: Writer, driver: Pedal) -> Lines:
    travel = out.value(driver.travel, "length", "governor", "travel")
    return [
        "[governor]",
        f"shaft = {text_of(driver.shaft)}",
        f"arm = {text_of(driver.pad)}",
        f"travel = {travel}",
        f"turns = {text_of(turning(driver.presses))}",
    ]
