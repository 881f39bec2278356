r"""A linkage that is warm, or colder than when it was set: its parts grow.

A length :math:`L` grows by :math:`\alpha L \Delta T`. The body grows from where it holds
the engine, the block from there too, and the manifold from its seat on the block, which
goes with that. Pivots, guides and ends of sheaths go with what they stand on, and the
arms of a shaft grow as that does; rods and wires grow as what they are made of. Then
all is put together again with rods as long as they are, and solved by the same closure.

Not here: how warm it gets (`model.heat`), whether it is too much (`rules.heat`).
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from linkage.connect import LostMotion
from linkage.model import Cable, Slide
from linkage.model.axes import Vector, add
from linkage.model.columns import every, is_column, pick, some
from linkage.model.heat import EXPANSION, ends_on, stands_on
from linkage.motion.assembly import Assembly, assemble
from linkage.motion.at_rest import turned_on
from linkage.motion.held import held_shaft, held_sheath, length_kept

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.connect import Connector
    from linkage.model import Layout, Rod, Shaft
    from linkage.model.columns import Number, Truth
    from linkage.model.heat import Heat, Part


class Growth:
    """What grows how far at some temperatures.

    Parameters
    ----------
    heat : Heat
        Of the layout.
    warm : mapping of str to float or column
        Temperature of every part of `model.heat.PARTS`; every state may be a row. [°C]
    """

    def __init__(self, heat: Heat, warm: Mapping[Part, Number]) -> None:
        self.heat = heat
        self.warm = warm

    def strain(self, part: Part, material: str = "") -> Number:
        """Return by how much a part grows, of its length; below 0 it shrinks. [1].

        Parameters
        ----------
        part : str
            Which.
        material : str
            Of a rod; else that of the part itself.
        """
        heat = self.heat
        of = {"body": heat.body, "block": heat.block, "manifold": heat.manifold}
        alpha = EXPANSION[material or of[part]]
        return alpha * (self.warm[part] - heat.when_set)

    def at(self, part: Part, point: Vector) -> Vector:
        """Return where a grown part holds a point of it. [m]."""
        held = self.heat.held
        if part != "manifold" or self.heat.seat is None:
            return _from(held, point, self.strain(part))
        seat = self.heat.seat
        # The seat goes with the block, and the rest of the manifold from there on.
        gone = add(_from(held, seat, self.strain("block")), seat, -1)
        return add(_from(seat, point, self.strain("manifold")), gone)


def _from(still: Vector, point: Vector, strain: Number) -> Vector:
    """Return a point that has grown away from one that stands still."""
    return add(point, add(point, still, -1), strain)


def _shaft(growth: Growth, part: Part, shaft: Shaft) -> Shaft:
    """Return a shaft with its arms where what it stands on has grown to."""
    by = 1 + growth.strain(part)
    # Pins of a slide stand beside its axis, and are lengths of it as arms are.
    arms = {
        name: replace(arm, length=arm.length * by, offset=arm.offset * by)
        for name, arm in shaft.arms.items()
    }
    shaft = replace(held_shaft(shaft, partial(growth.at, part)), arms=arms)
    if not isinstance(shaft, Slide) or shaft.bearings is None:
        return shaft
    one, two = shaft.bearings
    return replace(shaft, bearings=(one * by, two * by))


def _rod(growth: Growth, layout: Layout, loop: Connector) -> Rod:
    """Return a rod as long as it is when warm; of a cable the wire that is free.

    Wire and sheath are of steel both and equally warm, so that what is free grows as
    the wire does.
    """
    rod = loop.link.rod
    material = "steel" if isinstance(rod, Cable) else rod.material
    by = 1 + growth.strain("rods", material)
    length = length_kept(loop) * by
    if not isinstance(rod, Cable):
        return replace(rod, length=length)
    one, two = (partial(growth.at, part) for part in ends_on(layout, growth.heat, rod))
    held = held_sheath(rod, (one, two))
    return replace(held, length=length, sheath_length=rod.sheathed * by)


def grown(assembly: Assembly, warm: Mapping[Part, Number]) -> Assembly:
    """Put a layout together warm, every rod as it was cut or set before.

    The pedal's free play is given back to the linkage at rest, and what a slot or a slack
    wire leaves to a shaft before the throttles: what grows uses that up first. Where it
    cannot go back so far, it is not.

    Parameters
    ----------
    assembly : Assembly
        At rest, as it was measured and set; of a layout with `heat`.
    warm : mapping of str to float or column
        Temperature of every part of `model.heat.PARTS`; every state may be a row. [°C]

    Returns
    -------
    Assembly
        Its turns are counted from the measured angles, so that a throttle's turn is
        still its opening, below 0 as far as the linkage would bring it past its idle
        stop. Without free play: pad travels are as they were.

    Raises
    ------
    ValueError
        If nothing is told of heat.
    ReachError
        If a rod does not reach any more; of many rows, those are marked.
    """
    layout, heat = assembly.layout, assembly.layout.heat
    if heat is None:
        msg = "nothing is told of heat"
        raise ValueError(msg)
    growth = Growth(heat, warm)
    shafts = {
        name: _shaft(growth, stands_on(layout, heat, name), shaft)
        for name, shaft in layout.shafts.items()
    }
    rods = dict(layout.rods)
    for loop in assembly.loops:
        rods[loop.link.rod.name] = _rod(growth, layout, loop)
    by = 1 + growth.strain(stands_on(layout, heat, layout.pedal.shaft))
    pedal = layout.pedal
    # An arc of the pad grows with its radius, so that the pedal turns as far.
    stop = None if pedal.stop is None else pedal.stop * by
    pedal = replace(
        pedal,
        travel=pedal.travel * by,
        stop=stop,
        free_play=pedal.free_play * by,
    )
    warmer = replace(layout, shafts=shafts, rods=rods, pedal=pedal)
    back = assemble(_given_back(warmer, able=True))
    if not every(back.ok) and some(pedal.free_play > 0):
        back = assemble(_given_back(warmer, able=back.ok))
    return _gone_back(back)


def _given_back(layout: Layout, *, able: Truth) -> Layout:
    """Return a layout whose pedal has gone back by its free play where it is able to."""
    pedal = layout.pedal
    if not some(pedal.free_play > 0):
        return layout
    play = pick(able, pedal.free_play, 0.0)
    back = pedal.presses * play / layout.pad_radius
    shafts, stops = turned_on(layout, {pedal.shaft: -back})
    pedal = replace(pedal, free_play=pedal.free_play - play)
    return replace(layout, shafts=shafts, stops=stops, pedal=pedal)


def _gone_back(assembly: Assembly) -> Assembly:
    """Return it with shafts gone back by what a rod before them leaves slack.

    None is a throttle's: that rests on its own stop. Nor one of another input.
    """
    spindles = {t.shaft for t in assembly.layout.throttles.values()}
    for link in assembly.layout.links:
        loop = assembly.loop(link.rod.name)
        if (
            isinstance(loop, LostMotion)
            and link.own is None
            and link.driven.shaft not in spindles
        ):
            assembly = _tight(assembly, loop)
    return assembly


def _tight(assembly: Assembly, loop: LostMotion) -> Assembly:
    """Return it with the shaft that a slack rod drives gone back to where it drives.

    No further than to a stop of that shaft.
    """
    layout, name = assembly.layout, loop.link.driven.shaft
    turn, rest = assembly.rest[loop.link.driver.shaft], assembly.rest[name]
    one, two = ((np.cos(at), np.sin(at)) for at in (turn, rest))
    cosine, sine, reach = loop.rod.close(one)
    with np.errstate(invalid="ignore"):
        slack = (loop.slack(one, two) > 0) & (reach >= 0)
        back = np.where(slack, np.arctan2(sine, cosine), 0.0)
        for stop in layout.stops.values():
            if stop.shaft == name:
                before = (stop.turn * back > 0) & (np.abs(stop.turn) < np.abs(back))
                back = np.where(before, stop.turn, back)
    if not some(back != 0):
        return assembly
    number = back if is_column(assembly.ok) else float(back)
    shafts, stops = turned_on(layout, {name: number})
    return assemble(replace(layout, shafts=shafts, stops=stops))
