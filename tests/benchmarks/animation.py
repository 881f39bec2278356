"""What the animation is measured on, and the slow way: every frame drawn anew."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from linkage.animation.picture import whole
from linkage.animation.scene import deepest, scenes
from linkage.animation.schedule import schedule
from linkage.config import load
from linkage.drawing.style import drawing_style
from linkage.search import check

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.animation.picture import Pixels
    from linkage.animation.scene import Scene
    from linkage.animation.schedule import Schedule

CONFIGS = Path(__file__).parents[2] / "configs"
SIZE = (960, 540)


def two_layouts(frames: int) -> tuple[tuple[Scene, ...], Schedule]:
    """Return a fault and its cure over the same pad travel."""
    names = ("fault-wrong-sense", "swapped-push-rod")
    checks = [check(load(CONFIGS / f"{n}.toml").layout, cures=False) for n in names]
    timing = schedule(deepest(checks), frames)
    return scenes(checks, timing.pad_travel), timing


def anew(scenes: tuple[Scene, ...], timing: Schedule, count: int) -> Iterator[Pixels]:
    """Yield the first frames, a new figure each."""
    for i in range(count):
        with drawing_style():
            figure, panels = whole(scenes, SIZE)
            for panel in panels:
                panel.update(int(timing.indices[i]), pressing=bool(timing.pressing[i]))
            figure.canvas.draw()
            yield np.array(figure.canvas.buffer_rgba())[:, :, :3]
