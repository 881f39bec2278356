"""The linkage that worked and the one that is to be, side by side.

Not here: how it is told (`report.compare`) and drawn (`drawing.compare`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.comparison.changes import changes
from linkage.comparison.match import Matching, match
from linkage.comparison.renamed import renamed
from linkage.comparison.senses import (
    Way,
    moved_at,
    rod_ways,
    shaft_ways,
    spring_ways,
    throttle_ways,
)
from linkage.comparison.slack import Drives, slack_ways
from linkage.comparison.trials import Trial, Tried, trials, try_all
from linkage.comparison.turned import Turned, turned
from linkage.comparison.units import hands, units
from linkage.errors import LayoutError, UsageError
from linkage.model.rows import rows_of
from linkage.motion.curve import TravelCurve, travel_curve
from linkage.records import dataclass, short
from linkage.rules.angles import square
from linkage.search.at_rest import lost_known
from linkage.search.fitting import Check, check

if TYPE_CHECKING:
    from linkage.comparison.change import Change
    from linkage.model import Hole, Layout
    from linkage.rules.examine import Examined

#: Points of the curves that are laid over each other.
POINTS: Final = 201


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Side:
    """What is told of one of the two layouts.

    Parameters
    ----------
    layout : Layout
        With the names of the new one.
    title : str
        Its own.
    check : Check
        By every rule, without cures.
    curve : TravelCurve
        Of the main throttle.
    opens : bool
        Whether pressing opens it.
    pad_force : tuple of 2 floats, optional
        Least and most while pressing; None where it shuts, or no spring is given. [N]
    least_angle : float
        Least angle of any arm and its rod from being in line. [rad]
    least_at : tuple of str and Hole
        The rod and the arm of it.
    dead_centre : tuple of float and Hole, optional
        Turn left to the nearest dead centre beyond the full end, and its arm; None
        where there is none within reach. [rad]
    """

    layout: Layout
    title: str
    check: Check
    curve: TravelCurve
    opens: bool
    pad_force: tuple[float, float] | None
    least_angle: float
    least_at: tuple[str, Hole]
    dead_centre: tuple[float, Hole] | None

    def __repr__(self) -> str:
        return f"<Side {short(self.title)!r}: {self.check.verdict}>"

    @property
    def examined(self) -> Examined:
        """The solved layout."""
        return self.check.examined


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Comparison:
    """Two layouts side by side: what changed, what turned round, and why.

    Parameters
    ----------
    old, new : Side
        The linkage that worked, and the one that is to be.
    matching : Matching
        Which part is which.
    changes : tuple of Change
        What differs between parts that both have.
    turned : Turned
        At which parts the sense turns round.
    shafts, rods, springs, throttles : tuple of Way
        Their senses side by side.
    slack : tuple of Drives
        From where rods drive that lose motion, in either.
    trials : tuple of Trial
        What mends the new layout when it is set back, least change first.
    tried : tuple of Tried
        All that was set back, as a first look sees it; none where the new layout
        fits, or what is wrong with it was so before.
    """

    old: Side
    new: Side
    matching: Matching
    changes: tuple[Change, ...]
    turned: Turned
    shafts: tuple[Way, ...]
    rods: tuple[Way, ...]
    springs: tuple[Way, ...]
    throttles: tuple[Way, ...]
    slack: tuple[Drives, ...]
    trials: tuple[Trial, ...]
    tried: tuple[Tried, ...]

    def __repr__(self) -> str:
        count = len(self.turned.turns)
        what = f"turned round {count} times" if count else "nothing turned round"
        return f"<Comparison: {what}, the new one: {self.new.check.verdict}>"

    @property
    def fits(self) -> bool:
        """Whether the new layout may be fitted."""
        return self.new.check.verdict != "do not fit"


def refuse_unlike(old: Layout, new: Layout) -> None:
    """Refuse two layouts that cannot be compared.

    Raises
    ------
    UsageError
        If one is a governed engine and the other has a pedal.
    """
    if old.governed != new.governed:
        msg = "one of both is a governed engine, and the other has a pedal"
        raise UsageError(msg, hint="compare two of one kind; `check` judges each")


def compare(old: Layout, new: Layout) -> Comparison:
    """Compare the linkage that worked with the one that is to be.

    Parts are matched by name, else by their place in the chain. Each part that
    changed is set back alone and with another, solved, and judged by every rule.

    Parameters
    ----------
    old, new : Layout
        One each, not rows of many.

    Returns
    -------
    Comparison
        Its parts bear the names of the new layout.

    Raises
    ------
    AssemblyError
        If the parts of either cannot be put together at rest.
    LayoutError
        If either is many rows.
    UsageError
        If one is a governed engine and the other has a pedal.
    """
    refuse_unlike(old, new)
    if rows_of(old) > 1 or rows_of(new) > 1:
        msg = "one layout with one is compared, not rows of many"
        raise LayoutError(msg, hint="take a row of it: `linkage.row(layout, 0)`")
    old, new = lost_known(old), lost_known(new)
    matching = match(old, new)
    before = side(renamed(old, matching), old.title)
    after = side(new, new.title)
    one, two = before.examined, after.examined
    found = turned(one, two)
    differ = changes(before.layout, new, found.mirror)
    reasons = [tuple(f.code for f in s.check.reasons) for s in (before, after)]
    tried: tuple[Tried, ...] = ()
    if set(reasons[1]) - set(reasons[0]):
        some = units(before.layout, new, differ, found.mirror)
        tried = try_all(new, some + list(() if after.opens else hands(new)), reasons[0])
    return Comparison(
        old=before,
        new=after,
        matching=matching,
        changes=differ,
        turned=found,
        shafts=tuple(shaft_ways(one, two, found.mirror)),
        rods=tuple(rod_ways(one, two)),
        slack=tuple(slack_ways(one, two)),
        springs=tuple(spring_ways(one, two)),
        throttles=tuple(throttle_ways(one, two, found.mirror)),
        trials=trials(tried, *reasons),
        tried=tried,
    )


def side(layout: Layout, title: str) -> Side:
    """Return what is told of one of the layouts.

    Parameters
    ----------
    layout : Layout
        With the names of the new one.
    title : str
        Its own.

    Raises
    ------
    AssemblyError
        If its parts cannot be put together at rest.
    """
    found = check(layout, cures=False)
    x = found.examined
    opens = moved_at(x, layout.main.name)
    angle, rod, hole = min(_angles(x), key=lambda a: a[0])
    return Side(
        layout=layout,
        title=title,
        check=found,
        curve=travel_curve(x.assembly, x.working, points=POINTS),
        opens=opens,
        pad_force=pad_force(x) if opens else None,
        least_angle=angle,
        least_at=(rod, hole),
        dead_centre=_nearest(x),
    )


def _angles(x: Examined) -> list[tuple[float, str, Hole]]:
    out = []
    for link in x.layout.links:
        line = x.lines[link.rod.name]
        for hole, angle in zip(
            link.holes, (line.driver_angle, line.driven_angle), strict=True
        ):
            least = float(np.min(np.nan_to_num(square(angle), nan=0.0)))
            out.append((least, link.rod.name, hole))
    return out


def pad_force(x: Examined) -> tuple[float, float] | None:
    """Return least and most pad force while pressing; None without springs. [N]."""
    if not x.layout.springs or not bool(x.moves):
        return None
    force = np.asarray(x.forces.statics.pad_force_pressing, float)
    if not np.isfinite(force).all():
        return None
    return float(force.min()), float(force.max())


def _nearest(x: Examined) -> tuple[float, Hole] | None:
    """Return the nearest dead centre beyond the full end; 0 for one inside."""
    known = [d for d in x.dead_centres if d.side != "idle"]
    if not known:
        return None
    worst = min(known, key=lambda d: float(d.margin))
    return float(worst.margin), worst.hole
