"""Where a layout may have a cam.

Not here: the cam itself (`cam`), whether its shafts are parallel and held by one thing
(`connect.cam`), other parts that a layout names (`known`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.errors import LayoutError
from linkage.model.cam import Cam

if TYPE_CHECKING:
    from linkage.model.model import Layout
    from linkage.model.tree import Link


def cams_known(layout: Layout) -> None:
    """Refuse a layout whose cams could not be followed.

    Raises
    ------
    LayoutError
        If the roller would drive the cam, or there is a hand lever or a governor besides.
    """
    for link in layout.links:
        if isinstance(link.rod, Cam):
            _known(layout, link, link.rod)


def _known(layout: Layout, link: Link, cam: Cam) -> None:
    key = cam.key
    if layout.governed or layout.hand is not None or layout.foot is not None:
        what = "a governor" if layout.governed else "a hand lever"
        msg = f"there is {cam.called} in a linkage with {what}"
        hint = (
            "cams are known behind a pedal alone; leave the one out to check the other"
        )
        raise LayoutError(msg, hint=hint, key=key)
    if link.driver != cam.start:
        msg = f"the roller of {cam.called} would drive the cam"
        hint = (
            "`from` is the cam's arm and is to be nearer the pedal; a roller that drives a "
            "cam is not solved: swap cam and roller, or join both by a rod"
        )
        raise LayoutError(msg, hint=hint, key=(*key, "from"))
