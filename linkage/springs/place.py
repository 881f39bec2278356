"""The springs of a layout: each with its law, checked where it sits.

Not here: lengths and forces through the travel (`forces`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from linkage.errors import LayoutError
from linkage.model.axes import add, cross, norm
from linkage.model.model import SAME_POINT
from linkage.model.spring import Known
from linkage.springs.law import SpringLaw, spring_law
from linkage.springs.numbers import Marks, coil_of, material_of

if TYPE_CHECKING:
    from linkage.model import Layout, Spring


def spring_laws(layout: Layout) -> dict[str, SpringLaw]:
    """Return the law of every spring of a layout.

    Parameters
    ----------
    layout : Layout
        With its springs.

    Returns
    -------
    dict of str to SpringLaw
        In the layout's order. In a batch, a spring that cannot be in some rows
        has rate and initial load nan there.

    Raises
    ------
    LayoutError
        If a number is missing or impossible, the anchor is on the hook or on
        the shaft's centre line; `key` names it.
    """
    return {name: law_in(layout, spring) for name, spring in layout.springs.items()}


def rated(spring: Spring, law: SpringLaw) -> Spring:
    """Return a spring given by its rate instead, with the force law it has.

    Its wire is no longer known, nor is its material.
    """
    if law.along_line:
        known = Known(
            rate=law.rate,
            free_length=law.free_length,
            initial_tension=law.initial if spring.kind == "extension" else None,
            greatest_length=spring.known.greatest_length,
            solid_length=spring.known.solid_length,
        )
    else:
        known = Known(rate=law.rate, preload=law.initial, shuts=law.sense or None)
    return replace(spring, known=known, material="")


def law_in(layout: Layout, spring: Spring) -> SpringLaw:
    """Return the law of one spring that sits in a layout; errors as above."""
    throttle = layout.throttle_on(spring.shaft)
    arm = layout.shafts[spring.shaft].arms[spring.arm].length if spring.arm else 0.0
    marks = Marks(spring)
    with np.errstate(all="ignore"):
        if spring.kind in {"extension", "compression"}:
            _anchor_apart(layout, marks)
        if spring.material:
            material_of(spring)
        if spring.known.wound:
            coil_of(marks)
        return spring_law(
            spring,
            opens=None if throttle is None else throttle.opens,
            swing=0.0 if throttle is None else throttle.swing,
            arm=arm,
            marks=marks,
        )


def _anchor_apart(layout: Layout, marks: Marks) -> None:
    spring = marks.spring
    if spring.anchor is None:
        msg = f"spring `{spring.name}` needs its anchor"
        hint = "`anchor = [x, y, z]`, its fixed end from the same datum as the pivots"
        raise LayoutError(msg, hint=hint, key=("springs", spring.name, "anchor"))
    shaft = layout.shafts[spring.shaft]
    msg = f"the anchor of spring `{spring.name}` is on its hook"
    hint = "a spring needs a length; measure where its fixed end is"
    near = norm(add(shaft.pin(spring.arm), spring.anchor, -1)) < SAME_POINT
    marks.refuse(near, msg, hint, "anchor")
    if shaft.slides:
        return
    msg = (
        f"the anchor of spring `{spring.name}` is on the centre line of "
        f"shaft `{spring.shaft}`"
    )
    hint = "from there it can never turn the shaft; move the anchor to one side"
    away = cross(add(spring.anchor, shaft.pivot, -1), shaft.axis.n)
    marks.refuse(norm(away) < SAME_POINT, msg, hint, "anchor")
