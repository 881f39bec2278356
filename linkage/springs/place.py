"""The springs of a layout: each with its law, checked where it sits.

Not here: lengths and forces through the travel (`forces`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.errors import LayoutError
from linkage.model.axes import add, cross, norm
from linkage.model.model import SAME_POINT
from linkage.springs.law import SpringLaw, coil_of, material_of, spring_law

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
        In the layout's order.

    Raises
    ------
    LayoutError
        If a number is missing or impossible, the anchor is on the hook or on
        the shaft's centre line; `key` names it.
    """
    return {name: law_in(layout, spring) for name, spring in layout.springs.items()}


def law_in(layout: Layout, spring: Spring) -> SpringLaw:
    """Return the law of one spring that sits in a layout; errors as above."""
    throttle = layout.throttle_on(spring.shaft)
    arm = layout.shafts[spring.shaft].arms[spring.arm].length if spring.arm else 0.0
    if spring.kind != "torsion" and not spring.arm:
        msg = f"spring `{spring.name}` needs a hook"
        hint = '`hook = "shaft.arm"` names the hole it is hooked to'
        raise LayoutError(msg, hint=hint, key=("springs", spring.name, "hook"))
    if spring.kind in {"extension", "compression"}:
        _anchor_apart(layout, spring)
    if spring.material:
        material_of(spring)
    if {"wire", "coil", "turns"} <= set(spring.data):
        coil_of(spring)
    return spring_law(
        spring,
        opens=None if throttle is None else throttle.opens,
        swing=0.0 if throttle is None else throttle.swing,
        arm=arm,
    )


def _anchor_apart(layout: Layout, spring: Spring) -> None:
    key = ("springs", spring.name, "anchor")
    if spring.anchor is None:
        msg = f"spring `{spring.name}` needs its anchor"
        hint = "`anchor = [x, y, z]`, its fixed end from the same datum as the pivots"
        raise LayoutError(msg, hint=hint, key=key)
    shaft = layout.shafts[spring.shaft]
    if norm(add(shaft.pin(spring.arm), spring.anchor, -1)) < SAME_POINT:
        msg = f"the anchor of spring `{spring.name}` is on its hook"
        hint = "a spring needs a length; measure where its fixed end is"
        raise LayoutError(msg, hint=hint, key=key)
    if norm(cross(add(spring.anchor, shaft.pivot, -1), shaft.axis.n)) < SAME_POINT:
        msg = (
            f"the anchor of spring `{spring.name}` is on the centre line of "
            f"shaft `{spring.shaft}`"
        )
        hint = "from there it can never turn the shaft; move the anchor to one side"
        raise LayoutError(msg, hint=hint, key=key)
