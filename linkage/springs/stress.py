"""Stress in a spring's wire, and what it may be.

Only a spring whose wire, coil and material are given has a stress.

Not here: the formulas (`wire`), the load through the travel (`forces`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from linkage.model.columns import Number, is_column, pick
from linkage.records import dataclass
from linkage.springs import wire
from linkage.springs.numbers import Marks, coil_of, given, material_of

if TYPE_CHECKING:
    from linkage.model import Spring


@dataclass(frozen=True, slots=True, kw_only=True)
class Stress:
    """One stress of a spring at one load.

    Parameters
    ----------
    place : str
        ``coils``, ``hook bend``, ``hook root``.
    value : float or column
        [Pa]
    allowed : float or column, optional
        None where the wire's strength is not tabled for its diameter; inf in
        such rows of a column. [Pa]
    share : float
        Allowed share of the tensile strength.
    source : str
        Of the allowed share and the strength.
    """

    place: str
    value: Number
    allowed: Number | None
    share: float
    source: str


def stresses(spring: Spring, load: Number) -> tuple[Stress, ...]:
    """Return the stresses of a spring at a load.

    Parameters
    ----------
    spring : Spring
        From the layout.
    load : float or column
        Pull, push [N], or torque of a torsion spring [N·m]; its sign plays no
        part.

    Returns
    -------
    tuple of Stress
        Empty where wire, coil, turns or material are not given. The hooks of an
        extension spring are taken as full loops, bent to the mean radius of the
        coil at the top and to a quarter of its diameter at the root, where
        their radii are not given.

    Raises
    ------
    LayoutError
        If wire and coil are impossible, or the material is not known.
    """
    known = spring.known
    if spring.kind == "measured" or not spring.material or not known.wound:
        return ()
    d, mean, _ = coil_of(Marks(spring))
    kind = material_of(spring)
    strength = kind.tensile(d)
    if strength is not None and is_column(strength):
        strength = pick(np.isnan(strength), np.inf, strength)
    load = abs(load)
    shares = kind.shares
    found: list[tuple[str, Number, float]]
    if spring.kind == "torsion":
        found = [("coils", wire.wound_bending(load, d, mean), shares.wound)]
    elif spring.kind == "compression":
        found = [("coils", wire.coil_shear(load, d, mean), shares.pressed)]
    else:
        bend = given(known.hook_bend_radius, mean / 2)
        root = given(known.hook_twist_radius, mean / 4)
        found = [
            ("coils", wire.coil_shear(load, d, mean), shares.body),
            ("hook bend", wire.hook_bending(load, d, mean, bend), shares.hook_bending),
            ("hook root", wire.hook_torsion(load, d, mean, root), shares.hook_torsion),
        ]
    return tuple(
        Stress(
            place=place,
            value=value,
            allowed=None if strength is None else share * strength,
            share=share,
            source=f"{shares.source}; {kind.source}",
        )
        for place, value, share in found
    )
