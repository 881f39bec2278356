"""A drum's rim in words, and as plain data.

Not here: finding it (`search.rim`), its template (`sheet.rim`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.quantities import say
from linkage.report.lines import wrapped
from linkage.report.tables import table
from linkage.report.verdict import grouped, headline
from linkage.rules.caution import CAUTION
from linkage.seen import seen
from linkage.spoken import DATA_UNITS, unit_word

if TYPE_CHECKING:
    from linkage.motion.curve import TravelCurve
    from linkage.search import Check
    from linkage.search.rim import Rim

#: Shares of the pad's travel at which the curves are laid beside each other.
SHARES: Final = tuple(i / 10 for i in range(11))


def _opened(rim: Rim, curve: TravelCurve, shares: Any) -> Any:  # noqa: ANN401
    """Return the share of the throttle at shares of the pad's travel."""
    plate = rim.layout.throttle_on(rim.hole.shaft)
    name = rim.layout.main.name if plate is None else plate.name
    pads = np.asarray(shares) * rim.layout.pedal.end
    return np.interp(pads, curve.pad_travel, curve.throttles[name].throttle_share)


def _answer(rim: Rim) -> str:
    throttle, pedal = rim.wanted
    if not rim.bounded:
        return f"{throttle:.0%} of the throttle at {rim.nearest:.0%} of the pedal, as asked"
    return (
        f"{throttle:.0%} of the throttle at {rim.nearest:.0%} of the pedal is the nearest "
        f"to {pedal:.0%}: beyond, the drum would be too small at one end or too large at "
        "the other; a second drum of this kind at the pedal, or another share, goes further"
    )


def rim_lines(rim: Rim) -> list[str]:
    """Return what was found, the curve before and after, and the rim point by point.

    Parameters
    ----------
    rim : Rim
        From `search.rim.shape_rim`.
    """
    out = [
        *wrapped(headline(rim.check), "  ", first=""),
        *_to_look_at(rim.check),
        seen(rim.layout.title),
        "",
        *wrapped(f"{_answer(rim)}.", "  ", first=""),
        *wrapped(
            f"The wire's arm about `{rim.hole.shaft}`: {say(rim.arms[0], 'length')} at rest, "
            f"{say(rim.arms[1], 'length')} at full.",
            "  ",
            first="",
        ),
        "",
    ]
    before, after = (_opened(rim, c, SHARES) for c in (rim.before, rim.after))
    rows = [
        [f"{100 * s:.0f}", f"{100 * a:.1f}", f"{100 * b:.1f}"]
        for s, a, b in zip(SHARES, before, after, strict=True)
    ]
    out += table(["pad\n%", "throttle now\n%", "with the rim\n%"], rows)
    arm = rim.arm
    out += [
        "",
        *wrapped(
            f"Rim of `{rim.hole}`, from its nipple on, {_way(arm.wound)} for the viewer of "
            f"`{rim.hole.shaft}`; the nipple stands at {say(arm.angle, 'angle')} at rest:",
            "  ",
            first="",
        ),
    ]
    points = [[say(turn, "angle"), _radius(radius)] for turn, radius in arm.rim[::2]]
    out += table(["turn", f"radius {unit_word('length')}"], points)
    return [*out, "", *wrapped(CAUTION, "  ", first="")]


def _to_look_at(check: Check) -> list[str]:
    """Return by name what is to be looked at with the new rim."""
    looks = [g[0] for g in grouped(check.findings) if g[0].verdict == "look"]
    named = ", ".join(dict.fromkeys(f.called for f in looks))
    told = "write it with -o, and check tells more of each"
    return wrapped(f"To look at: {named} ({told}).", "  ", first="") if named else []


def _way(sense: int) -> str:
    return "anticlockwise" if sense > 0 else "clockwise"


def _radius(radius: float) -> str:
    return say(radius, "length", 2).split(" ")[0]


def rim_data(rim: Rim) -> dict[str, Any]:
    """Return the same as plain data."""
    arm = rim.arm
    before, after = (_opened(rim, c, SHARES) for c in (rim.before, rim.after))
    return {
        "drum": str(rim.hole),
        "units": DATA_UNITS,
        "wanted": dict(zip(("throttle", "pedal"), rim.wanted, strict=True)),
        "pedal_share_reached": rim.nearest,
        "as_asked": not rim.bounded,
        "arm_at_rest_mm": 1e3 * rim.arms[0],
        "arm_at_full_mm": 1e3 * rim.arms[1],
        "nipple_angle_deg": math.degrees(arm.angle),
        "nipple_radius_mm": 1e3 * arm.length,
        "wound": _way(arm.wound),
        "rim": [[math.degrees(turn), 1e3 * radius] for turn, radius in arm.rim],
        "columns": {
            "pad_share": list(SHARES),
            "throttle_share_now": [float(v) for v in before],
            "throttle_share": [float(v) for v in after],
        },
        "verdict": rim.check.verdict,
        "caution": CAUTION,
    }
