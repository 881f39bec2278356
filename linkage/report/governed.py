"""A governed engine in words: its cautions, what was not looked at, its curve.

Not here: its rules (`rules.governed`), the screen (`report.screen`), its answers
(`report.answers`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model.called import all_rods, rod_kinds
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.report.cables import bending, unjudged_cables
from linkage.report.gaps import gaps_unjudged
from linkage.report.heat import heat_unjudged
from linkage.report.slides import unjudged_slides
from linkage.report.tables import evenly, mm, plain, table, wrapped
from linkage.rules.caution import CAUTION
from linkage.spoken import DATA_UNITS, unit_word

if TYPE_CHECKING:
    from linkage.motion.curve import TravelCurve
    from linkage.search import Check

CAUTIONS: Final[tuple[str, ...]] = tuple(
    """\
An estimate from your measurements: it sees no flex, wear or heat. Prove it on the \
engine, stopped, before it runs.
Never defeat a governor, and never run an engine with its governor's linkage parted; set \
its greatest speed by a tachometer, with a hand on the fuel or the ignition.
Part each rod in turn, engine stopped: know what the throttle does then.
Split pins and lock nuts on every joint; play makes the engine hunt.
First start without load, nobody in line with anything that turns.
Changes may need inspection by the local authority or a licensed engineer; the maker's \
setting comes before this estimate. Not for aircraft.
""".splitlines()
)
#: The same in three lines for a screen.
BRIEF: Final[tuple[str, ...]] = (
    "An estimate from your measurements: prove it on the engine, stopped.",
    "Never defeat a governor; set the greatest speed by a tachometer.",
    "First start without load, a hand on the stop. All cautions: --all.",
)
#: What is never looked at, and the same in a few words.
NEVER: Final = (
    "the governor itself: its weights, the speed that it holds, its droop",
    "bending of rods, levers and brackets",
    "what {rods} bear, pulled or pushed",
    "heat and wear",
    "measuring errors, given tolerances included",
    "the engine rocking on its mounts",
)
NEVER_SHORT: Final = (
    "the governor itself",
    "bending",
    "measuring errors",
    "the rocking engine",
    "wear",
)


def governed_unjudged(check: Check) -> list[str]:
    """Return what a check of a governed engine did not look at, in words."""
    layout = check.examined.layout
    kinds = rod_kinds(layout)
    out = [bending(text.format(rods=all_rods(kinds)), kinds) for text in NEVER]
    out += [*unjudged_cables(layout), *unjudged_slides(layout)]
    out += [*heat_unjudged(layout), *gaps_unjudged(layout)]
    if not any(np.any(k.rod.play) for k in layout.links):
        out.insert(1, "play in its joints, as none is given")
    if check.geometry or not layout.springs:
        out.insert(0, "every spring, force and friction")
    return out


def governed_curve_lines(curve: TravelCurve, *, rows: int = 11) -> list[str]:
    """Return throttle against the governor's arm as a table, for a terminal.

    Parameters
    ----------
    curve : TravelCurve
        From `motion.curve.travel_curve`.
    rows : int
        At most so many rows, evenly taken.
    """
    opened = curve.main.throttle_angle
    body = [
        [
            say(curve.pad_travel[i], "length").split(" ")[0],
            f"{100 * curve.pad_travel_share[i]:.1f}",
            f"{np.degrees(opened[i]):.1f}",
            f"{100 * opened[i] / curve.main.swing:.1f}",
        ]
        for i in evenly(len(opened), rows)
    ]
    head = [f"arm\n{unit_word('length')}", "arm\n%", "open\n°", "open\n%"]
    out = [*wrapped(curve.title, "  ", first=""), "", *table(head, body, left=0), ""]
    end = say(curve.end, "length")
    out += wrapped(
        f"At rest, engine stopped, {100 * opened[0] / curve.main.swing:.1f}% open; "
        f"{100 * opened[-1] / curve.main.swing:.1f}% with the arm at {end}, stopped by the "
        f"{_stop(curve)}.",
        "  ",
        first="",
    )
    return [*out, *wrapped(CAUTION, "  ", first="")]


def _stop(curve: TravelCurve) -> str:
    met = curve.stopped_by
    if met == Ref("floor"):
        return "end of its own travel"
    return str(met).replace("full stop", "shut stop")


def governed_columns(curve: TravelCurve) -> dict[str, Any]:
    """Return the columns of the same by their name with unit, in shown units."""
    opened = curve.main.throttle_angle
    return {
        "arm_travel_mm": 1e3 * curve.pad_travel,
        "arm_travel_share_pct": 100 * curve.pad_travel_share,
        "open_angle_deg": np.degrees(opened),
        "open_share_pct": 100 * opened / curve.main.swing,
    }


def governed_curve_data(curve: TravelCurve) -> dict[str, Any]:
    """Return the same as plain data: columns of one length."""
    return {
        "title": curve.title,
        "governed": True,
        "units": DATA_UNITS,
        "arm_travel_end_mm": mm(curve.end),
        "stopped_by": _stop(curve),
        "columns": {k: plain(v) for k, v in governed_columns(curve).items()},
        "caution": CAUTION,
    }
