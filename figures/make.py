"""Make every figure of README and docs from the shipped layouts.

The same bytes come out on a second run. Run it from the project's folder::

    python figures/make.py
"""

from __future__ import annotations

import sys
from pathlib import Path

from linkage.checks import check
from linkage.config import load
from linkage.drawing.curve import curve_figure
from linkage.drawing.layout import layout_figure
from linkage.drawing.sizing import sizing_figure
from linkage.drawing.springs import springs_figure
from linkage.drawing.style import save
from linkage.forces.summary import spring_card
from linkage.motion.curve import travel_curve
from linkage.sizing.arm import Choice, find_hole, size_arms
from linkage.sizing.steps import stepped

HERE = Path(__file__).parent
CONFIGS = HERE.parent / "configs"


def _curve(name: str):  # noqa: ANN202 - a pair for the picture
    x = check(load(CONFIGS / f"{name}.toml").layout, cures=False).examined
    return name, travel_curve(x.assembly, x.working)


def figures() -> dict[str, bytes]:
    """Return every figure by its file name."""
    good = check(load(CONFIGS / "bulkhead-cross-shaft.toml").layout, cures=False)
    x = good.examined
    late = check(load(CONFIGS / "fault-lever-clocked-late.toml").layout, cures=False)
    long = load(CONFIGS / "fault-hole-too-long.toml").layout
    hole = find_hole(long, "spindle.lever")
    angle = long.shafts["spindle"].arms["lever"].angle
    choice = Choice(hole=hole, lengths=stepped(0.025, 0.05, 0.0005), angles=(angle,))
    drawn = {
        "layout": layout_figure(x.assembly, x.working, share=0.5, ghost=1.0),
        "curve": curve_figure(
            [_curve("bulkhead-cross-shaft"), _curve("fault-hole-too-long")],
            banner="fault-hole-too-long: not fully open with the pedal on its stop",
        ),
        "springs": springs_figure(spring_card(x.assembly, x.working)),
        "arm": sizing_figure(size_arms(long, [choice]), long),
        "fault": layout_figure(
            late.examined.assembly,
            late.examined.working,
            share=1.0,
            ghost=0.0,
            banner=", ".join(dict.fromkeys(f.code for f in late.reasons)),
        ),
    }
    return {f"{name}.svg": save(figure, ".svg") for name, figure in drawn.items()}


def main() -> None:
    """Write every figure beside this script."""
    for name, data in figures().items():
        (HERE / name).write_bytes(data)
        sys.stderr.write(f"wrote {name}\n")


if __name__ == "__main__":
    main()
