"""How a governor's rod is set: pins in line, then one turn of its thread that shuts.

Not here: what is told of it (`rules.governed`), turns as a change that may mend
(`search.governors`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import is_column, pick, some
from linkage.model.refs import Ref
from linkage.motion import assemble
from linkage.rules.play import lever_radius

if TYPE_CHECKING:
    from linkage.model import Layout, Throttle
    from linkage.model.columns import Number, Truth
    from linkage.motion import Assembly

#: How far off its full stop a lever stands at rest, at the least and at the most: half
#: a millimetre, or one turn of the rod's thread; common practice, no source. [m]
NEAR: Final = 0.3e-3
FAR: Final = 2.0e-3
#: One turn of a rod's thread; common practice, no source. [m]
TURN: Final = 1.0e-3


def last_rod(layout: Layout, throttle: Throttle) -> str:
    """Return the name of the last rod on the way to a throttle."""
    return layout.path_to(throttle.shaft)[-1].rod.name


def set_to(assembly: Assembly, throttle: Throttle) -> tuple[Ref, Number]:
    """Return the last rod to a plate, and the length with which it is a turn off.

    Parameters
    ----------
    assembly : Assembly
        Of a governed engine, one or many as rows.
    throttle : Throttle
        The plate.

    Returns
    -------
    ref : Ref
        The rod or cable.
    length : float or column
        With which the lever stands a turn off its full stop at rest. [m]
    """
    radius = lever_radius(assembly.layout, throttle)
    loop = assembly.loop(last_rod(assembly.layout, throttle))
    turns = (assembly.rest[hole.shaft] for hole in loop.link.holes)
    one, two = ((np.cos(turn), np.sin(turn)) for turn in turns)
    away = throttle.opens * assembly.rest[throttle.shaft] * radius
    by_length = throttle.opens * loop.by_length(one, two) * radius
    return Ref("rod", loop.link.rod.name), loop.length + (TURN - away) / by_length


def a_turn_off(layout: Layout) -> Layout:
    """Set rods that are cut to fit so that each plate is a turn off its full stop.

    As a fitter does last. A rod of given length stays as it is, and so does one whose
    plate stands well already.

    Parameters
    ----------
    layout : Layout
        Of a governed engine, one or many as rows.

    Raises
    ------
    AssemblyError
        If the parts of a single layout cannot be put together at rest.
    """
    for name in layout.throttles:
        throttle = layout.throttles[name]
        rod = layout.rods[last_rod(layout, throttle)]
        if rod.loose or not some(free := _to_fit(rod.length)):
            continue
        assembly = assemble(layout)
        away = throttle.opens * assembly.rest[throttle.shaft]
        away = away * lever_radius(layout, throttle)
        with np.errstate(divide="ignore", invalid="ignore"):
            _, length = set_to(assembly, throttle)
        loop = assembly.loop(rod.name)
        able = free & ((away < NEAR) | (away > FAR)) & np.isfinite(length)
        if some(able & (length > 0)):
            new = pick(able & (length > 0), length, loop.length)
            rod = replace(rod, length=new if is_column(new) else float(new))
            layout = replace(layout, rods={**layout.rods, rod.name: rod})
    return layout


def _to_fit(length: Number | None) -> Truth:
    """Tell where a rod is cut to fit."""
    if length is None:
        return True
    found = np.isnan(length)
    return found if is_column(length) else bool(found)
