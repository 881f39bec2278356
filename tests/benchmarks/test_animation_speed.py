"""The animated GIF against a new figure a frame (bound in `measure`), and its size."""

from __future__ import annotations

import io

from PIL import Image

from linkage.animation.gif import gif
from tests.benchmarks.animation import SIZE, two_layouts


def test_a_gif_of_the_usual_length_is_small(benchmark):
    scenes, timing = two_layouts(frames=120)
    data = benchmark.pedantic(
        lambda: gif(scenes, timing, size=SIZE), rounds=1, iterations=1
    )
    assert len(data) < 2_000_000
    with Image.open(io.BytesIO(data)) as image:
        assert image.n_frames == 120
        assert image.size == SIZE
