"""What checks, searches and many layouts cost, as ratios within one run.

The unit of a search is one whole check without cures. Times are the processor's:
what runs on one core is not slower for what others run.
"""

from __future__ import annotations

import time
import tracemalloc
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

import linkage
from linkage.motion import frame
from linkage.rules.examine import examine
from linkage.search.screen import screened
from linkage.search.sized import Choice
from linkage.swap import solve, swap_sides
from tests.bad.layouts import bad
from tests.bad.record import faults, seeds, text_of
from tests.benchmarks import branches, chains, figure
from tests.benchmarks.figure import Figure, times
from tests.build import pedalled

if TYPE_CHECKING:
    from collections.abc import Callable

    from linkage.model import Layout
    from linkage.search import Check

medians = partial(figure.medians, clock=time.process_time)
CONFIGS = Path(__file__).parents[2] / "configs"
#: Lengths of each of two arms. [m]
TWO_ARMS = {
    "pedal.rod": np.linspace(0.100, 0.130, 41),
    "spindle.lever": np.linspace(0.026, 0.040, 41),
}


def shipped(name: str) -> Layout:
    return linkage.load(CONFIGS / f"{name}.toml").layout


def whole(layout: Layout) -> Check:
    return linkage.check(layout, cures=False)


def solving(layout: Layout) -> None:
    """Assembly, stops, motion, derivatives, and every angle of every rod."""
    table = frame(examine(layout).motion)
    _ = table.first, table.second
    for rod in table.rods.values():
        _ = rod.driver_side, rod.driver_angle, rod.driver_tilt
        _ = rod.driven_side, rod.driven_angle, rod.driven_tilt


def check_of_solving() -> Figure:
    """The worst of all layouts that come with the program."""
    found = []
    for path in sorted(pedalled(CONFIGS)):
        layout = shipped(path.stem)
        bare, ours = medians(15, partial(solving, layout), partial(whole, layout))
        found.append((ours / bare, path.stem, ours, bare))
    value, name, ours, bare = max(found)
    return times(
        value,
        8,
        "check without cures, against its own solving, worst of all shipped layouts",
        f"{name}: {ours * 1e3:.1f} ms against {bare * 1e3:.2f} ms",
    )


#: Least share of the bad layouts that is mended whole.
MENDED = 0.72


def bad_layout(key: str) -> Layout:
    return linkage.loads(text_of(key)).layout


def unit(found: Check, sound: str) -> Layout:
    """Return the layout whose check is the unit of a search.

    That is the cured one, all at once where there is a plan; where nothing is cured,
    the sound one that was spoilt: of a bad layout a check may tell little, and soon.
    """
    cures = [found.plan, *(f.cure for f in found.findings)]
    proven = (c.layout for c in cures if c is not None and c.proven)
    return next((c for c in proven if c is not None), shipped(sound))


def cures_of_shipped_faults() -> Figure:
    """The worst of the faults that come with the program."""
    found = []
    for name in faults():
        layout = shipped(name)
        after = unit(linkage.check(layout), "scenario-before")
        ours, one = medians(5, partial(linkage.check, layout), partial(whole, after))
        found.append((ours / one, name, ours, one))
    value, name, ours, one = max(found)
    return times(
        value,
        10,
        "check with cures, against one check of the cured layout, worst shipped fault",
        f"{name}: {ours * 1e3:.0f} ms against {one * 1e3:.1f} ms",
    )


def _taken(function: Callable[[], object]) -> float:
    begin = time.process_time()
    function()
    return time.process_time() - begin


def cures_of_bad_layouts() -> Figure:
    """95 of 100 are under it; those that cannot be put together have no check."""
    ratios = []
    for key in seeds():
        try:
            layout = bad_layout(key)
            found = linkage.check(layout)  # warm
        except linkage.LinkageError:
            continue
        after = unit(found, bad(int(key))[0])
        one = min(_taken(partial(whole, after)) for _ in range(3))
        ratios.append(_taken(partial(linkage.check, layout)) / one)
    value = float(np.percentile(ratios, 95))
    return times(
        value,
        15,
        "check with cures, against one check of the cured layout, 95th percentile of "
        f"{len(seeds())} bad layouts",
        f"{len(ratios)} that can be put together; median {np.median(ratios):.1f}, "
        f"greatest {max(ratios):.1f}",
    )


def mended_whole() -> Figure:
    """Of the bad layouts, those that get changes after which nothing is wrong."""
    now = sum(linkage.check(bad_layout(key)).plan is not None for key in seeds())
    return Figure(
        what=f"of {len(seeds())} bad layouts, those that are mended whole",
        value=100 * now / len(seeds()),
        bound=100 * MENDED,
        at_least=True,
        unit="%",
        detail=f"{now}, each proven by the whole check",
    )


def swap_of_scenario() -> Figure:
    layout = shipped("scenario-before")
    ours, one = medians(
        3,
        lambda: solve(swap_sides(layout, carburettor="turned")),
        partial(whole, layout),
    )
    return times(
        ours / one,
        20,
        "`swap` of the scenario, carburettor turned, in checks",
        f"{ours * 1e3:.0f} ms against {one * 1e3:.1f} ms",
    )


def two_arms() -> Figure:
    layout = shipped("hanging-pedal")
    choices = [
        Choice(
            hole=layout.hole(name),
            lengths=tuple(lengths.tolist()),
            angles=(layout.shafts[name.split(".")[0]].arms[name.split(".")[1]].angle,),
        )
        for name, lengths in TWO_ARMS.items()
    ]
    ours, one = medians(
        3, partial(linkage.size_arms, layout, choices), partial(whole, layout)
    )
    return times(
        ours / one,
        40,
        "two arms at 41 × 41 lengths, in checks",
        f"{ours * 1e3:.0f} ms against {one * 1e3:.1f} ms",
    )


def many_layouts() -> Figure:
    """Opening sense, reach, full throttle and arm-rod angles, streamed in blocks."""
    layout = chains.chain()
    bare = chains.Bare(layout)
    ours, theirs = medians(5, lambda: screened(layout, chains.WIDE), bare)
    return times(
        ours / theirs,
        2.0,
        "100 000 layouts × 31 positions of a three-rod chain by the rules of geometry, "
        "against bare NumPy of the closure",
        f"{ours * 1e3:.0f} ms against {theirs * 1e3:.0f} ms",
    )


def memory_of_many_layouts() -> Figure:
    layout = chains.chain()
    tracemalloc.start()
    try:
        seen = screened(layout, chains.WIDE)
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert len(seen["reach"]) == chains.ROWS
    return Figure(
        what="100 000 layouts × 31 positions, memory",
        value=peak / 1e6,
        bound=300,
        at_least=False,
        unit="MB",
        detail="all that is taken while they go through",
    )


def many_shafts() -> Figure:
    """A plate to each of 30 shafts in a line; beside it, 58 plates on one shaft."""
    small, line, star = (
        partial(whole, layout)
        for layout in (branches.chain(5), branches.comb(60), branches.star(60))
    )
    one, ours, most = medians(3, small, line, star)
    return times(
        ours / one,
        60,
        "check without cures of 60 shafts in branches, 29 of them spindles, against one "
        "chain of 5",
        f"{ours * 1e3:.0f} ms against {one * 1e3:.1f} ms; 58 spindles on one shaft "
        f"{most / one:.0f} ×",
    )


FIGURES: tuple[Callable[[], Figure], ...] = (
    check_of_solving,
    many_shafts,
    cures_of_shipped_faults,
    cures_of_bad_layouts,
    mended_whole,
    swap_of_scenario,
    two_arms,
    many_layouts,
    memory_of_many_layouts,
)
