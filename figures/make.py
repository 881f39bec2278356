"""Make every figure of README and docs from the shipped layouts.

The same bytes come out on a second run. Run it from the project's folder::

    python figures/make.py
"""

from __future__ import annotations

import io
import sys
from pathlib import Path
from typing import Any

from PIL import Image

from linkage.animation.gif import gif
from linkage.animation.scene import deepest, scenes
from linkage.animation.schedule import schedule
from linkage.band import band
from linkage.comparison import compare
from linkage.config import load
from linkage.config.readings import load_readings
from linkage.drawing.band import band_figure
from linkage.drawing.curve import curve_figure
from linkage.drawing.layout import layout_figure
from linkage.drawing.proof import proof_figure
from linkage.drawing.sizing import sizing_figure
from linkage.drawing.springs import springs_figure
from linkage.drawing.style import save
from linkage.drawing.views import view_along
from linkage.forces.summary import spring_card
from linkage.model import NAMED
from linkage.motion.curve import travel_curve
from linkage.proof import prove
from linkage.report.compare_pictures import both_picture
from linkage.report.pictures import banner_of, refusal
from linkage.search import check
from linkage.search.arm import find_hole, size_arms
from linkage.search.rim import shape_rim
from linkage.search.sized import Choice
from linkage.search.steps import stepped

HERE = Path(__file__).parent
CONFIGS = HERE.parent / "configs"
#: Files of readings, all invented.
READ = HERE.parent / "tests" / "read"


def _curves(*names: str):  # noqa: ANN202 - a figure
    """Draw travel curves over each other, with why not to fit which."""
    done = [check(load(CONFIGS / f"{n}.toml").layout, cures=False) for n in names]
    examined = [d.examined for d in done]
    curves = [travel_curve(x.assembly, x.working) for x in examined]
    why = [banner_of(d) for d in done]
    return curve_figure(
        list(zip(names, curves, strict=True)),
        banner=refusal(names, why),
        refused=why,
    )


def _layout(name: str, share: float, **options: Any):  # noqa: ANN202, ANN401 - a figure
    """Draw a layout at a share of its travel, with why not to fit it."""
    done = check(load(CONFIGS / f"{name}.toml").layout, cures=False)
    x, why = done.examined, banner_of(done)
    return layout_figure(x.assembly, x.working, share=share, banner=why, **options)


def _rim():  # noqa: ANN202 - a figure
    """Draw the curve of a round drum, and that of one with a rim for a gentle start."""
    found = shape_rim(load(CONFIGS / "cable-drum.toml").layout, "spindle.drum")
    return curve_figure([("round drum", found.before), ("with a rim", found.after)])


def _proof():  # noqa: ANN202 - a figure
    """Draw what was read on a truck with a shorter lever, the lever taken for it."""
    loaded = load(CONFIGS / "hanging-pedal.toml")
    readings = load_readings(READ / "short-lever.toml", loaded)
    why = "the vehicle does not agree with its file"
    return proof_figure(prove(loaded.layout, readings, take=0), banner=why)


def _compared(old: str, new: str) -> bytes:
    """Draw two layouts beside each other, what turned round marked."""
    layouts = (load(CONFIGS / f"{name}.toml").layout for name in (old, new))
    return both_picture(compare(*layouts), suffix="svg")


def figures() -> dict[str, bytes]:
    """Return every figure by its file name."""
    good = check(load(CONFIGS / "bulkhead-cross-shaft.toml").layout, cures=False)
    x = good.examined
    long = load(CONFIGS / "fault-hole-too-long.toml").layout
    hole = find_hole(long, "spindle.lever")
    angle = long.shafts["spindle"].arms["lever"].angle
    choice = Choice(hole=hole, lengths=stepped(0.025, 0.05, 0.0005), angles=(angle,))
    sides = [view_along(NAMED[axis]) for axis in ("across", "along")]
    drawn = {
        "layout": layout_figure(x.assembly, x.working, share=0.5, ghost=1.0),
        "curve": _curves("bulkhead-cross-shaft", "fault-hole-too-long"),
        "springs": springs_figure(spring_card(x.assembly, x.working)),
        "arm": sizing_figure(size_arms(long, [choice]), long),
        "swap-before": _layout("scenario-before", 0.5, views=sides),
        "swap-wrong": _layout("scenario-wrongly-swapped", 0.5, views=sides),
        "swap-cured": _layout("scenario-cured", 0.5, views=sides),
        "slots": _layout("hand-and-foot", 0.6),
        "cable": _layout("cable-drum", 0.6),
        "rim": _rim(),
        "slide": _layout("slide-to-pump", 0.6),
        "band": band_figure(band(x.layout, samples=500)),
        "proof": _proof(),
        "governed": _layout("governed-engine", 1.0),
        "fault": _layout("fault-lever-clocked-late", 1.0, ghost=0.0),
    }
    written = {f"{name}.svg": save(figure, ".svg") for name, figure in drawn.items()}
    both = _compared("crank-right-hand", "crank-wrong-hand")
    return {**written, "compare.svg": both}


def animation() -> dict[str, bytes]:
    """Return the swapped layout, wrong and cured, as GIF and its middle as a still."""
    names = ("scenario-wrongly-swapped", "scenario-cured")
    checks = [check(load(CONFIGS / f"{n}.toml").layout, cures=False) for n in names]
    timing = schedule(deepest(checks), 80)
    moving = gif(scenes(checks, timing.pad_travel), timing, size=(960, 540), fps=20)
    still = io.BytesIO()
    with Image.open(io.BytesIO(moving)) as picture:
        picture.seek(picture.n_frames // 3)
        picture.convert("RGB").save(still, "PNG", optimize=True)
    return {"swap.gif": moving, "swap-still.png": still.getvalue()}


def main() -> None:
    """Write every figure beside this script."""
    for name, data in {**figures(), **animation()}.items():
        (HERE / name).write_bytes(data)
        sys.stderr.write(f"wrote {name}\n")


if __name__ == "__main__":
    main()
