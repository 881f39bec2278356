"""Stress in a spring's wire, and what it may be.

Only a spring whose wire, coil and material are given has a stress.

Not here: the formulas (`wire`), the load through the travel (`forces`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from linkage.springs import wire
from linkage.springs.law import coil_of, material_of

if TYPE_CHECKING:
    from linkage.model import Spring


@dataclass(frozen=True, slots=True, kw_only=True)
class Stress:
    """One stress of a spring at one load.

    Parameters
    ----------
    place : str
        ``coils``, ``hook bend``, ``hook root``.
    value : float
        [Pa]
    allowed : float, optional
        None where the wire's strength is not tabled for its diameter. [Pa]
    share : float
        Allowed share of the tensile strength.
    source : str
        Of the allowed share and the strength.
    """

    place: str
    value: float
    allowed: float | None
    share: float
    source: str


def stresses(spring: Spring, load: float) -> tuple[Stress, ...]:
    """Return the stresses of a spring at a load.

    Parameters
    ----------
    spring : Spring
        From the layout.
    load : float
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
    known = spring.data
    if spring.kind == "measured" or not spring.material:
        return ()
    if not all(key in known for key in ("wire", "coil", "turns")):
        return ()
    d, mean, _ = coil_of(spring)
    kind = material_of(spring)
    strength = kind.tensile(d)
    load = abs(load)
    shares = kind.shares
    found: list[tuple[str, float, float]]
    if spring.kind == "torsion":
        found = [("coils", wire.wound_bending(load, d, mean), shares.wound)]
    elif spring.kind == "compression":
        found = [("coils", wire.coil_shear(load, d, mean), shares.pressed)]
    else:
        bend = known.get("hook_bend_radius") or mean / 2
        root = known.get("hook_twist_radius") or mean / 4
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
