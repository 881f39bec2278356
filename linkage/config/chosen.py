"""A computed choice as changes of the file it came from.

Not here: making the changes (`editor`).
"""

from collections.abc import Mapping, Sequence
from typing import TypeAlias

from linkage.config.reader import Loaded
from linkage.model import Cable, Cam, Hole, Layout
from linkage.quantities import say_round
from linkage.shown_units import in_inches
from linkage.units import say_in

#: What is set in a file, by key.
Changes: TypeAlias = dict[tuple[str, ...], str | list[list[str]] | None]

#: What parts a title from the arms that were chosen.
_CHOSEN = ", with arm "


def _size(value: float) -> str:
    """Return a length to a tenth of a micron in the spoken unit, no needless noughts."""
    inches = in_inches()
    number = f"{value / 0.0254:.6f}" if inches else f"{value * 1e3:.4f}"
    return f"{number.rstrip('0').rstrip('.')} {'in' if inches else 'mm'}"


def chosen_arms(
    loaded: Loaded,
    layout: Layout,
    holes: Sequence[Hole],
    rods: Mapping[str, float],
) -> Changes:
    """Return what to set in a file so that its arms are as in a changed layout.

    An arm that stands there by its pin is turned into length and angle, and the rim of a
    snail grows with its radius. A rod that is cut to fit stays so, but for a governor's,
    which is set a turn off; one of given length gets the new length; a pedal stop moves
    with the full stop, and goes where the floor comes first.

    Parameters
    ----------
    loaded : Loaded
        The file as it is.
    layout : Layout
        With the chosen arms.
    holes : sequence of Hole
        The arms that were chosen.
    rods : mapping of str to float
        New length of the rods at them, of cables their free wire. [m]

    Returns
    -------
    dict
        For `config.edit`.
    """
    changes = _title(loaded.layout, layout, holes)
    for hole in holes:
        changes |= chosen_arm(loaded, layout, hole)
    for name, length in rods.items():
        rod = loaded.layout.rods[name]
        if rod.length is None and not layout.governed:
            continue
        if isinstance(rod, Cable):
            changes[(*rod.key, "wire_length")] = _size(float(rod.sheathed) + length)
        else:
            changes[(*rod.key, "length")] = _size(length)
    if layout.governed and layout.pedal.travel != loaded.layout.pedal.travel:
        changes["governor", "travel"] = _size(float(layout.pedal.travel))
    old_stop, new_stop = loaded.layout.pedal.stop, layout.pedal.stop
    if new_stop != old_stop:
        changes["pedal", "stop"] = None if new_stop is None else _size(new_stop)
    return changes


def chosen_arm(loaded: Loaded, layout: Layout, hole: Hole) -> Changes:
    """Return what to set in a file so that one arm, and its rim or cam, is as changed.

    Parameters
    ----------
    loaded : Loaded
        The file as it is.
    layout : Layout
        With the arm.
    hole : Hole
        Which.

    Returns
    -------
    dict
        For `config.edit`.
    """
    old = loaded.layout.shafts[hole.shaft].arms[hole.arm]
    new = layout.shafts[hole.shaft].arms[hole.arm]
    key = ("shafts", hole.shaft, "arms", hole.arm)
    by_pin = (*key, "pin") in _given(loaded)
    resized = (new.length, new.rim) != (old.length, old.rim)
    changes: Changes = {}
    if by_pin:
        changes[(*key, "pin")] = None
        changes[(*key, "offset")] = _size(new.offset)
    if by_pin or resized:
        changes[(*key, "length")] = _size(new.length)
    if new.rim and resized:
        changes[(*key, "rim")] = [
            [say_in(turn, "angle", "deg", 3), _size(radius)]
            for turn, radius in new.profile
        ]
    if by_pin or new.angle != old.angle:
        changes[(*key, "angle")] = say_in(new.angle, "angle", "deg", 4)
    return changes | _cam(loaded.layout, layout, hole)


def _cam(old: Layout, new: Layout, hole: Hole) -> Changes:
    """Return what to set so that the cam that begins on an arm is as in a changed layout."""
    changes: Changes = {}
    for name, cam in new.rods.items():
        if not isinstance(cam, Cam) or cam.start != hole or cam == old.rods[name]:
            continue
        changes[(*cam.key, "arcs")] = None
        changes[(*cam.key, "profile")] = [
            [say_in(turn, "angle", "deg", 3), _size(radius)]
            for turn, radius in cam.points
        ]
    return changes


def _title(old: Layout, new: Layout, holes: Sequence[Hole]) -> Changes:
    """Return the title with what was chosen, if there is one; once chosen, anew."""
    if not old.title:
        return {}
    parts = []
    for hole in holes:
        arm = new.shafts[hole.shaft].arms[hole.arm]
        was = old.shafts[hole.shaft].arms[hole.arm]
        text = f"{hole} {say_round(arm.length, 'length')}"
        if arm.angle != was.angle:
            text += f" at {say_round(arm.angle, 'angle')}"
        parts.append(text)
    before = old.title.partition(_CHOSEN)[0]
    return {("title",): f"{before}{_CHOSEN}{' and '.join(parts)}"}


def _given(loaded: Loaded) -> list[tuple[str, ...]]:
    """Return the key paths of arms that the file gives by their pin."""
    import tomllib

    data = tomllib.loads(loaded.text)
    return [
        ("shafts", shaft, "arms", arm, "pin")
        for shaft, table in data["shafts"].items()
        for arm, values in table.get("arms", {}).items()
        if "pin" in values
    ]
