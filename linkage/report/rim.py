"""A drum's rim or a cam's profile that was sought, in words, and as plain data.

Not here: finding it (`search.rim`, `search.cam_profile`), what is told of a cam alone
(`report.cam_profile`), its template (`sheet.rim`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model import turning
from linkage.quantities import say
from linkage.report.cam_profile import (
    bounded_by,
    profile_data,
    profile_lines,
    profile_words,
)
from linkage.report.lines import wrapped
from linkage.report.tables import table
from linkage.report.verdict import grouped, headline
from linkage.rules.caution import CAUTION
from linkage.search.cam_profile import Profile
from linkage.seen import seen
from linkage.spoken import DATA_UNITS, unit_word

if TYPE_CHECKING:
    from linkage.motion.curve import TravelCurve
    from linkage.search import Check
    from linkage.search.rim import Rim
    from linkage.search.wanted import Shaped

#: Shares of the pad's travel at which the curves are laid beside each other.
SHARES: Final = tuple(i / 10 for i in range(11))


def _opened(found: Shaped, curve: TravelCurve, shares: Any) -> Any:  # noqa: ANN401
    """Return the share of the throttle at shares of the pad's travel."""
    pads = np.asarray(shares) * found.layout.pedal.end
    opening = curve.throttles[found.plate].throttle_share
    return np.interp(pads, curve.pad_travel, opening)


def _answer(found: Shaped) -> str:
    throttle, pedal = found.wanted
    had = f"{throttle:.0%} of the throttle at {found.nearest:.0%} of the pedal"
    if not found.bounded:
        return f"{had}, as asked"
    if isinstance(found, Profile):
        had = f"{throttle:.0%} of the throttle at {found.nearest:.1%} of the pedal"
        return f"{had} is the nearest to {pedal:.0%}: {bounded_by(found)}"
    return (
        f"{had} is the nearest to {pedal:.0%}: beyond, the drum would be too small at one "
        "end or too large at the other; a second drum of this kind at the pedal, or "
        "another share, goes further"
    )


def rim_lines(found: Rim | Profile) -> list[str]:
    """Return what was found, the curve before and after, and the rim point by point.

    Parameters
    ----------
    found : Rim or Profile
        From `search.rim.shape_rim` or `search.cam_profile.shape_cam`.
    """
    cam = isinstance(found, Profile)
    out = [
        *wrapped(headline(found.check), "  ", first=""),
        *_to_look_at(found.check),
        seen(found.layout.title),
        "",
        *wrapped(f"{_answer(found)}.", "  ", first=""),
        *wrapped(
            profile_words(found) if isinstance(found, Profile) else _arms(found),
            "  ",
            first="",
        ),
        "",
    ]
    before, after = (_opened(found, c, SHARES) for c in (found.before, found.after))
    rows = [
        [f"{100 * s:.0f}", f"{100 * a:.1f}", f"{100 * b:.1f}"]
        for s, a, b in zip(SHARES, before, after, strict=True)
    ]
    out += table(
        ["pad\n%", "throttle now\n%", f"with the {'cam' if cam else 'rim'}\n%"], rows
    )
    out += [
        "",
        *(profile_lines(found) if isinstance(found, Profile) else _rim_lines(found)),
    ]
    return [*out, "", *wrapped(CAUTION, "  ", first="")]


def _arms(rim: Rim) -> str:
    return (
        f"The wire's arm about `{rim.hole.shaft}`: {say(rim.arms[0], 'length')} at rest, "
        f"{say(rim.arms[1], 'length')} at full."
    )


def _rim_lines(rim: Rim) -> list[str]:
    """Return the rim point by point."""
    arm = rim.arm
    head = (
        f"Rim of `{rim.hole}`, from its nipple on, {turning(arm.wound)} for the viewer of "
        f"`{rim.hole.shaft}`; the nipple stands at {say(arm.angle, 'angle')} at rest:"
    )
    points = [[say(turn, "angle"), _radius(radius)] for turn, radius in arm.rim[::2]]
    return [
        *wrapped(head, "  ", first=""),
        *table(["turn", f"radius {unit_word('length')}"], points),
    ]


def _to_look_at(check: Check) -> list[str]:
    """Return by name what is to be looked at with the new rim."""
    looks = [g[0] for g in grouped(check.findings) if g[0].verdict == "look"]
    named = ", ".join(dict.fromkeys(f.called for f in looks))
    told = "write it with -o, and check tells more of each"
    return wrapped(f"To look at: {named} ({told}).", "  ", first="") if named else []


def _radius(radius: float) -> str:
    return say(radius, "length", 2).split(" ")[0]


def rim_data(found: Rim | Profile) -> dict[str, Any]:
    """Return the same as plain data."""
    before, after = (_opened(found, c, SHARES) for c in (found.before, found.after))
    own = profile_data(found) if isinstance(found, Profile) else _rim_data(found)
    return {
        "units": DATA_UNITS,
        "wanted": dict(zip(("throttle", "pedal"), found.wanted, strict=True)),
        "pedal_share_reached": found.nearest,
        "as_asked": not found.bounded,
        **own,
        "columns": {
            "pad_share": list(SHARES),
            "throttle_share_now": [float(v) for v in before],
            "throttle_share": [float(v) for v in after],
        },
        "verdict": found.check.verdict,
        "caution": CAUTION,
    }


def _rim_data(rim: Rim) -> dict[str, Any]:
    """Return what is told of a drum alone as plain data."""
    arm = rim.arm
    return {
        "drum": str(rim.hole),
        "arm_at_rest_mm": 1e3 * rim.arms[0],
        "arm_at_full_mm": 1e3 * rim.arms[1],
        "nipple_angle_deg": math.degrees(arm.angle),
        "nipple_radius_mm": 1e3 * arm.length,
        "wound": turning(arm.wound),
        "rim": [[math.degrees(turn), 1e3 * radius] for turn, radius in arm.rim],
    }
