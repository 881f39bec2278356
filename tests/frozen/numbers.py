"""Every frozen number of a layout file, named; one small function a group.

A name reads ``kind|group|place``; its kind tells on what scale it is compared.
When the package changes its ways, only the functions below are to be adapted:
what they yield must stay.

Not here: the layouts (`tests.frozen.layouts`), comparing (`tests.frozen.compare`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from linkage import config
from linkage.errors import LinkageError
from linkage.model.refs import Ref
from linkage.motion import frame, sweep
from linkage.motion.curve import travel_curve
from linkage.rules import examine
from linkage.rules.rock import moved
from linkage.search import check

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from linkage.model import Layout

    Pairs = Iterator[tuple[str, Any]]
    Group = Callable[["Solved"], Pairs]

#: How far before the start and beyond the end the motion is looked at too. [m]
BESIDE = 5e-3
#: Positions of the working travel at which forces are kept, of 0 to 1.
SHARES = (0.1, 0.5, 0.9)
#: How many dead centres are kept, nearest first.
NEAREST = 5


@dataclass
class Solved:
    """A layout and all that is asked of it, worked out once.

    Parameters
    ----------
    layout : Layout
        What was measured.
    x : Examined
        Put together and moved.
    motion : Motion
        Five positions of the working travel, one before and one beyond it.
    y : Loaded, optional
        Forces; None where a rod jams or nothing moves.
    """

    layout: Layout
    x: Any
    motion: Any
    y: Any = None

    def at(self, share: float) -> int:
        """Return the index of a share of the working travel in the forces."""
        return round(share * (len(self.y.statics.pad_travel) - 1))


def assembled(s: Solved) -> Pairs:
    """Rod lengths, branches and rest turns."""
    for loop in s.x.assembly.loops:
        name = loop.link.rod.name
        yield f"length|rod|{name}", loop.length
        yield f"word|branch|{name}", str(loop.branch)
    for name, turn in s.x.assembly.rest.items():
        yield f"angle|rest|{name}", turn


def working(s: Solved) -> Pairs:
    """Where the plates start, what stops the pedal and where they stand then."""
    w = s.x.working
    yield "word|stopped by", str(w.stopped_by)
    yield "length|start", w.start
    yield "length|end", w.end
    yield "length|left over", w.left_over
    for name in s.layout.throttles:
        yield f"angle|opening at rest|{name}", w.opening_at_rest[name]
        yield f"angle|opening at start|{name}", w.opening_at_start[name]
        yield f"angle|opening at end|{name}", w.opening_at_end[name]
    if w.jam is not None:
        yield f"length|jam|{w.jam.rod}", w.jam.pad_travel
        yield f"length|miss|{w.jam.rod}", w.jam.miss


def turns(s: Solved) -> Pairs:
    """Turns of all driven shafts at all positions."""
    for loop in s.x.assembly.loops:
        name = loop.link.driven.shaft
        for i, turn in enumerate(s.motion.turns[name]):
            yield f"angle|turn|{name}|{i}", turn


def derivatives(s: Solved) -> Pairs:
    """First and second derivatives of all driven shafts by pad travel."""
    fast = frame(s.motion)
    for loop in s.x.assembly.loops:
        name = loop.link.driven.shaft
        for i in (0, 2, 4, 5):
            yield f"angle per travel|first|{name}|{i}", fast.first[name][i]
        for i in (2, 4):
            yield f"curvature|second|{name}|{i}", fast.second[name][i]


def angles(s: Solved) -> Pairs:
    """Sines of arm-rod angles at both ends of the travel; of tilts half-way."""
    for link in s.layout.links:
        line = frame(s.motion).rod(link.rod.name)
        for end in ("driver", "driven"):
            side = getattr(line, f"{end}_side")
            tilt = getattr(line, f"{end}_tilt")
            for i in (0, 4):
                yield f"sine|{end} side|{link.rod.name}|{i}", side[i]
            yield f"sine|{end} tilt|{link.rod.name}|2", np.sin(tilt[2])


def dead_centres(s: Solved) -> Pairs:
    """Where arms come into line with their rods, the nearest."""
    for d in s.x.dead_centres[:NEAREST]:
        where = f"{d.rod}|{d.hole}|{d.side}"
        yield f"length|dead centre|{where}", d.pad_travel
        yield f"angle|margin|{where}", d.margin


def curve(s: Solved) -> Pairs:
    """Start, tip-in, marks and full throttle of the travel curve."""
    c = travel_curve(s.x.assembly, s.x.working, points=21)
    yield "length|curve start", c.start
    yield "angle per travel|tip-in", c.tip_in
    yield "angle|held open", c.held_open
    yield "ratio|half pedal", c.half_pedal_share
    yield "word|opens", str(c.opens)
    for mark, place in {**c.marks, "full": c.full_at}.items():
        yield f"length|mark {mark}", np.nan if place is None else place
    if c.main.open_area is not None:
        yield "ratio|area", c.main.open_area[10]


def rocked(s: Solved) -> Pairs:
    """What a rolled or lifted engine moves the plates by."""
    engine = s.layout.engine
    if not engine.carries:
        return
    for throttle in s.layout.throttles.values():
        cases = {}
        if engine.roll and engine.axis is not None:
            cases = {"roll": {"roll": engine.roll}, "back": {"roll": -engine.roll}}
        if engine.lift:
            cases["lift"] = {"lift": engine.lift}
        for case, by in cases.items():
            idle, full = moved(s.x, throttle, **by)
            yield f"angle|rock {case} idle|{throttle.name}", idle
            yield f"angle|rock {case} full|{throttle.name}", full


def forces(s: Solved) -> Pairs:
    """Pad and rod forces, closing and friction torque."""
    st = s.y.statics
    for share in SHARES:
        i = s.at(share)
        yield f"force|pressing|{share}", st.pad_force_pressing[i]
        yield f"force|releasing|{share}", st.pad_force_releasing[i]
        yield f"force|frictionless|{share}", st.pad_force[i]
        for name in st.closing_torque:
            yield f"torque|closing|{name}|{share}", st.closing_torque[name][i]
            yield f"torque|friction|{name}|{share}", st.friction_torque[name][i]
    for name in st.rod_pressing:
        yield f"force|rod pressing|{name}", st.rod_pressing[name][s.at(0.5)]
        yield f"force|rod releasing|{name}", st.rod_releasing[name][s.at(0.9)]


def springs(s: Solved) -> Pairs:
    """Length and load of every spring at both ends of the travel."""
    st = s.y.statics
    for name in s.layout.springs:
        for i in (0, -1):
            if name in st.spring_length:
                yield f"length|spring|{name}|{i}", st.spring_length[name][i]
            kind = "force" if name in st.spring_length else "torque"
            yield f"{kind}|spring load|{name}|{i}", st.spring_load[name][i]
    for sense in s.y.springs:
        yield f"word|hand|{sense.spring}", sense.hand


def returning(s: Solved) -> Pairs:
    """Worst ratio and time to idle after every failure; sources of energy."""
    for r in s.y.returns:
        where = f"{r.failure.text}|{r.throttle}"
        yield f"ratio|worst return|{where}", r.ratio[r.worst]
    for f in s.y.falls:
        where = f"{f.failure.text}|{f.throttle}"
        yield f"time|fall|{where}", f.time
    for e in s.y.sources:
        yield f"word|shutting|{e.throttle}", ", ".join(e.shutting)
        yield f"word|shared|{e.throttle}", str(len(e.shared))


def stamp(s: Solved) -> Pairs:
    """A stamped foot: rods and the clamps of the driven arms."""
    st = s.y.stamp
    of = " of " if st.taken_by.kind == "full stop" else " "
    yield "word|taken by", f"{st.taken_by.kind}{of}{st.taken_by.name}"
    yield "word|by pedal", str(st.by_pedal)
    yield "torque|stop torque", st.plate_stop.stop_torque
    yield "force|pedal stop", st.pedal_stop.pedal_stop
    for link in s.layout.links:
        name = link.rod.name
        yield f"force|stamp rod|{name}", st.plate_stop.rods[name]
        yield (
            f"torque|clamp|{name}",
            st.real.clamps[Ref("arm", link.driven.shaft, link.driven.arm)],
        )


def findings(s: Solved) -> Pairs:
    """Every finding of the check: verdict with its limit, and number.

    A limit is mostly one of the layout's, so ten digits of it as text tell enough.
    """
    c = check(s.layout, cures=False)
    yield "word|verdict", c.verdict
    seen: dict[str, int] = {}
    for f in c.findings:
        where = f"{f.code}|{f.rule.who(f.outcome)}"
        seen[where] = seen.get(where, 0) + 1
        if seen[where] > 1:
            where += f"|{seen[where]}"
        limit = "" if f.limit is None else f" {f.limit:.10g}"
        yield f"word|finding|{where}", f.verdict + limit
        if f.value is not None:
            yield f"{f.kind}|value|{where}", f.value


#: What motion alone gives.
MOTION: tuple[Group, ...] = (
    assembled,
    working,
    turns,
    derivatives,
    angles,
    dead_centres,
    curve,
    rocked,
)
#: What needs forces, where no rod jams and something moves.
FORCE: tuple[Group, ...] = (forces, springs, returning, stamp)


def solve(layout: Layout) -> Solved:
    """Put a layout together and move it."""
    x = examine(layout)
    start, end = x.working.start, x.working.end
    pad = np.append(np.linspace(start, end, 5), [end + BESIDE, start - BESIDE])
    return Solved(layout=layout, x=x, motion=sweep(x.assembly, pad))


def _gather(text: str, change: Callable[[Layout], Layout], out: dict[str, Any]) -> None:
    s = solve(change(config.loads(text).layout))
    for group in MOTION:
        out.update(group(s))
    if s.x.working.jam is None and s.x.working.end > s.x.working.start:
        s.y = s.x.forces
        for group in FORCE:
            out.update(group(s))
    out.update(findings(s))


def frozen(
    text: str, change: Callable[[Layout], Layout] = lambda layout: layout
) -> tuple[dict[str, float], dict[str, str]]:
    """Return every number and every word of a layout file.

    Parameters
    ----------
    text : str
        The file.
    change : callable
        What to do to the layout before it is solved.

    Returns
    -------
    numbers : dict of str to float
        In SI; whatever was worked out before an error.
    words : dict of str to str
        Likewise; ``word|error`` where there was one.
    """
    out: dict[str, Any] = {}
    with np.errstate(all="ignore"):
        try:
            _gather(text, change, out)
        except LinkageError as error:
            out["word|error"] = f"{type(error).__name__} {error.code}"
    numbers = {k: float(v) for k, v in out.items() if not k.startswith("word|")}
    words = {k: str(v) for k, v in out.items() if k.startswith("word|")}
    return numbers, words


def numbers(text: str) -> dict[str, float]:
    """Return every number of a layout file; see `frozen`."""
    return frozen(text)[0]


def words(text: str) -> dict[str, str]:
    """Return every word of a layout file; see `frozen`."""
    return frozen(text)[1]
