"""From their tables to the pedal and the hand lever, and which way each is moved.

Not here: the other tables (`build`), rods (`rods`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final, Literal

from linkage.config.governor import governor_of
from linkage.config.rods import given, si, sign_of
from linkage.errors import LayoutError
from linkage.model import Hand, Pedal

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.config.ends import HandTable, PedalTable
    from linkage.config.models import LayoutFile
    from linkage.model import Layout, Shaft

    Sign = Literal[1, -1]

#: Share of the pad's path that must point forward for `presses` to be left out, and of
#: a hand lever's backward for `pulls`.
LEAST_FORWARD: Final = 0.2


def _forward(shaft: Shaft | None, arm: str, unclear: str, key: tuple[str, str]) -> Sign:
    """Return the sense in which an arm's end moves forward.

    Raises
    ------
    LayoutError
        If it hardly does; `key` is that of the sense, which is then to be given.
    """
    if shaft is None or arm not in shaft.arms:
        return 1  # `Layout` refuses the unknown name
    u, v, angle = shaft.axis.u, shaft.axis.v, shaft.arms[arm].angle
    forward = math.cos(angle) * v[0] - math.sin(angle) * u[0]
    if abs(forward) < LEAST_FORWARD:
        hint = (
            f'add `{key[1]} = "clockwise"` or `"anticlockwise"`, '
            f"seen from {shaft.axis.seen_from}"
        )
        msg = f"it is not clear which way the {unclear}"
        raise LayoutError(msg, hint=hint, key=key)
    return 1 if forward > 0 else -1


def _presses(table: PedalTable, shafts: Mapping[str, Shaft]) -> Sign:
    """Return the pressing sense: as given, or that which moves the pad forward."""
    if table.presses is not None:
        return sign_of(table.presses)
    unclear = "pedal is pressed: its pad hardly moves forward"
    shaft = shafts.get(table.shaft)
    return _forward(shaft, table.pad, unclear, ("pedal", "presses"))


def driver_of(file: LayoutFile, shafts: Mapping[str, Shaft]) -> Pedal:
    """Return the end that drives: the pedal, or a governor.

    Raises
    ------
    LayoutError
        If it is not clear which way a pedal is pressed.
    """
    if file.governor is not None:
        return governor_of(file.governor)
    assert file.pedal is not None  # noqa: S101  (the model has seen to it)
    return _pedal_of(file.pedal, shafts)


def _pedal_of(table: PedalTable, shafts: Mapping[str, Shaft]) -> Pedal:
    """Return the pedal of a table.

    Raises
    ------
    LayoutError
        If it is not clear which way it is pressed.
    """
    return Pedal(
        shaft=table.shaft,
        pad=table.pad,
        travel=table.travel.value,
        presses=_presses(table, shafts),
        stop=None if table.stop is None else table.stop.value,
        free_play=si(table.free_play),
    )


def _pulls(table: HandTable, shafts: Mapping[str, Shaft]) -> Sign:
    """Return the pulling sense: as given, or that which moves its end backward."""
    if table.pulls is not None:
        return sign_of(table.pulls)
    unclear = "hand lever is pulled: its end hardly moves backward"
    shaft = shafts.get(table.shaft)
    return -_forward(shaft, table.lever, unclear, ("hand", "pulls"))


def refuse_lengths(layout: Layout) -> None:
    """Refuse a length of a rod that leads to the hand lever: it is cut to fit.

    Two measures of where the hand lever stands at rest would be one too many: its arm's
    angle says so already. What can only pull, or push, has one length whichever drives.

    Raises
    ------
    LayoutError
        At the first such rod.
    """
    for link in layout.links:
        own = link.own
        if layout.hand is None or own is None or own.length is None or own.only:
            continue
        word = "length"
        hint = (
            "leave `length` out to have it cut to fit both levers at rest, with `lost` "
            "for the way that its pin goes before the hand lever drives"
        )
        if own.kind == "cable":
            word = "wire_length"
            hint = "leave `wire_length` out to have it set to fit both levers at rest"
        msg = f"{own.called} leads to the hand lever and has a `{word}`"
        raise LayoutError(msg, hint=hint, key=(*own.key, word))


def hand_of(file: LayoutFile, shafts: Mapping[str, Shaft]) -> Hand | None:
    """Return the hand lever of a file; None where it has none.

    Raises
    ------
    LayoutError
        If it is not clear which way it is pulled.
    """
    table = file.hand
    if table is None:
        return None
    return Hand(
        shaft=table.shaft,
        lever=table.lever,
        travel=table.travel.value,
        pulls=_pulls(table, shafts),
        holds=given(table, "holds"),
        fast_idle=given(table, "fast_idle"),
    )
