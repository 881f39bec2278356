"""What is measured, as ratios within one run: ``python -m tests.benchmarks.measure``.

Both sides of a ratio are run in turns and their medians compared, so that a
busy machine slows both alike. Run as a module it writes docs/performance.md.
"""

from __future__ import annotations

import math
import os
import platform
import subprocess
import sys
import tracemalloc
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from scipy.optimize import fsolve

from linkage import formulas
from linkage.animation.gif import Palette, gif, pack, samples
from linkage.config import load
from linkage.forces import statics
from linkage.motion import assemble, sweep, working_travel
from tests.benchmarks import animation, checks
from tests.benchmarks.figure import Figure, medians
from tests.build import four_bar

if TYPE_CHECKING:
    from collections.abc import Callable

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "performance.md"
LAYOUTS = sorted((ROOT / "configs").rglob("*.toml"))


def example():
    """A crank-rocker that turns right round (25, 90, 75, 100)."""
    return assemble(four_bar(25, 90, 75, 100, 90)).loops[0]


def million_positions() -> Figure:
    loop = example()
    turn = np.linspace(-3.0, 3.0, 1_000_000)
    cosine = np.cos(turn)

    def bare() -> None:
        np.arctan2(cosine, turn)
        np.arccos(cosine)
        np.sin(turn)
        np.cos(turn)

    ours, theirs = medians(
        11, partial(formulas.follow, turn, loop.reduced, loop.branch), bare
    )
    return Figure(
        what="one loop over 1 000 000 positions, against bare arctan2 + arccos + sin + cos",
        value=ours / theirs,
        bound=1.3,
        at_least=False,
        unit="×",
        detail=f"{ours * 1e3:.0f} ms against {theirs * 1e3:.0f} ms",
    )


def against_fsolve() -> Figure:
    """The same general problem: pins as vectors, each start where the last ended.

    A planar equation written out by hand in plain floats is measured beside it.
    """
    loop = example()
    layout = four_bar(25, 90, 75, 100, 90)
    crank, lever = layout.shafts["crank"], layout.shafts["lever"]
    turn = np.linspace(-3.0, 3.0, 1_000_000)
    few = turn[::5000]
    known = formulas.follow(few, loop.reduced, loop.branch)
    basis = np.array([lever.axis.u, lever.axis.v])
    pivot, angle = np.array(lever.pivot), lever.arms["pin"].angle

    def vectors() -> list[float]:
        out, near = [], float(known[0])
        for q in few.tolist():
            pin = np.array(crank.pin("pin", q)) - pivot

            def gap(x: np.ndarray, pin: np.ndarray = pin) -> float:
                at = angle + x[0]
                away = pin - 0.075 * (basis[0] * np.cos(at) + basis[1] * np.sin(at))
                return float(away @ away) - 0.09**2

            near = float(fsolve(gap, near)[0])
            out.append(near)
        return out

    def by_hand() -> list[float]:
        out, near = [], float(known[0])
        for q in few.tolist():
            px, py = (
                25 * math.cos(math.pi / 2 + q) - 100,
                25 * math.sin(math.pi / 2 + q),
            )

            def gap(x: np.ndarray, px: float = px, py: float = py) -> float:
                at = angle + float(x[0])
                dx, dy = px - 75 * math.cos(at), py - 75 * math.sin(at)
                return dx * dx + dy * dy - 8100.0

            near = float(fsolve(gap, near)[0])
            out.append(near)
        return out

    for way in (vectors, by_hand):
        off = np.remainder(np.array(way()) - known + np.pi, 2 * np.pi) - np.pi
        assert np.max(np.abs(off)) < 1e-6
    ours, general, planar = medians(
        7, partial(formulas.follow, turn, loop.reduced, loop.branch), vectors, by_hand
    )
    each, slow, hand = ours / turn.size, general / few.size, planar / few.size
    return Figure(
        what="a position, against scipy.optimize.fsolve on the distance of the pins",
        value=slow / each,
        bound=1000,
        at_least=True,
        unit="× faster",
        detail=f"{each * 1e9:.0f} ns against {slow * 1e6:.0f} µs; with a planar equation "
        f"written out in plain floats {hand * 1e6:.0f} µs, {hand / each:.0f} ×",
    )


def ten_million_positions() -> Figure:
    loop = example()
    formulas.follow(np.zeros(1), loop.reduced, loop.branch)
    turn = np.linspace(-3.0, 3.0, 10_000_000)
    tracemalloc.start()
    try:
        result = formulas.follow(turn, loop.reduced, loop.branch)
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert not np.isnan(result).any()
    return Figure(
        what="10 000 000 positions, memory above the result",
        value=(peak - result.nbytes) / 1e6,
        bound=64,
        at_least=False,
        unit="MB",
        detail=f"peak {peak / 1e6:.0f} MB, result {result.nbytes / 1e6:.0f} MB",
    )


def _process(*command: str) -> None:
    env = dict(os.environ)
    env.pop(
        "PYTHONDONTWRITEBYTECODE", None
    )  # as installed: compiled once, not each time
    done = subprocess.run(
        [sys.executable, *command], cwd=ROOT, env=env, capture_output=True, check=False
    )
    assert done.returncode in {0, 1}, done.stderr.decode()


def help_text() -> Figure:
    ours, theirs = medians(
        15,
        partial(_process, "-m", "linkage", "--help"),
        partial(_process, "-c", "import typer"),
    )
    return Figure(
        what='`--help`, against `python -c "import typer"`',
        value=ours / theirs,
        bound=2.0,
        at_least=False,
        unit="×",
        detail=f"{ours * 1e3:.0f} ms against {theirs * 1e3:.0f} ms",
    )


def one_check() -> Figure:
    """The whole process; nothing is kept from one to the next."""
    layout = str(LAYOUTS[0])
    ours, theirs = medians(
        15,
        partial(_process, "-m", "linkage", "check", layout),
        partial(_process, "-c", "import numpy, pydantic, typer"),
    )
    return Figure(
        what='`check` as a process, against `python -c "import numpy, pydantic, typer"`',
        value=ours / theirs,
        bound=1.35,
        at_least=False,
        unit="×",
        detail=f"{ours * 1e3:.0f} ms against {theirs * 1e3:.0f} ms",
    )


def force_sweep() -> Figure:
    """Three rods, two springs, friction in every bearing, pressing and releasing."""
    layout = load(ROOT / "configs" / "bulkhead-cross-shaft.toml").layout
    assert (len(layout.rods), len(layout.springs)) == (3, 2)
    assert all(s.bearing for s in layout.shafts.values())
    assembly = assemble(layout)
    working = working_travel(assembly)
    travel = np.linspace(working.start, working.end, 1001)
    ours, theirs = medians(
        51,
        lambda: statics(sweep(assembly, travel)),
        partial(sweep, assembly, travel),
    )
    return Figure(
        what="full force sweep, three rods, two springs, 1001 positions, against the "
        "position sweep alone",
        value=ours / theirs,
        bound=25,
        at_least=False,
        unit="×",
        detail=f"{ours * 1e3:.2f} ms against {theirs * 1e3:.2f} ms",
    )


def animated_gif() -> Figure:
    """120 frames at 960 × 540, before and after side by side, to the packed bytes."""
    scenes, timing = animation.two_layouts(frames=120)
    palette = Palette(samples(scenes, timing, animation.SIZE))
    few = 10  # of the slow way; each frame costs the same
    ours, theirs = medians(
        1,
        lambda: gif(scenes, timing, size=animation.SIZE),
        lambda: pack(animation.anew(scenes, timing, few), palette, 25),
    )
    each, slow = ours / 120, theirs / few
    return Figure(
        what="120 frames at 960 × 540 as GIF, two layouts, against a new figure a frame",
        value=slow / each,
        bound=4,
        at_least=True,
        unit="× faster",
        detail=f"{each * 1e3:.0f} ms against {slow * 1e3:.0f} ms a frame, drawn and packed",
    )


FIGURES: tuple[Callable[[], Figure], ...] = (
    million_positions,
    against_fsolve,
    ten_million_positions,
    force_sweep,
    *checks.FIGURES,
    help_text,
    one_check,
    animated_gif,
)


def page(figures: list[Figure]) -> str:
    """Return docs/performance.md."""
    lines = [
        "# Speed",
        "",
        "Ratios measured within one run, medians of runs taken in turns, by",
        "`python -m tests.benchmarks.measure`; `pytest --benchmark-only tests/benchmarks`",
        "fails where a bound is missed. The times are of one run on a virtual machine with",
        f"{os.cpu_count()} cores, {platform.system()}, Python {platform.python_version()}, NumPy {np.__version__};",
        "yours will differ, the ratios less so.",
        "",
        "| measured | figure | bound | kept | in this run |",
        "|---|---:|---:|---|---|",
    ]
    for f in figures:
        bound = f"{'≥' if f.at_least else '≤'} {f.bound:g} {f.unit}"
        value = f"{f.value:.0f}" if f.value >= 100 else f"{f.value:.2f}"
        kept = "yes" if f.kept else "**missed**"
        lines.append(f"| {f.what} | {value} {f.unit} | {bound} | {kept} | {f.detail} |")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    PAGE.write_text(page([figure() for figure in FIGURES]), encoding="utf-8")
