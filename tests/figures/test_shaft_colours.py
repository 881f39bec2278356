"""No two shafts look alike: in colour, for the colour-blind, in grey.

L*a*b* and its difference after CIE 15 (1976). What the colour-blind see is after
G. M. Machado, M. M. Oliveira, L. A. F. Fernandes (2009), IEEE Transactions on
Visualization and Computer Graphics 15 (6), 1291-1298, matrices of full deficiency,
from memory: each row sums to 1, so that grey stays grey.
"""

from itertools import combinations

import numpy as np
import pytest
from matplotlib.colors import to_rgb

from linkage.drawing.colours import FILLS, INKS, band_look, look_of, shaft_colours
from linkage.drawing.layout import layout_figure
from linkage.drawing.style import drawing_style, new_figure
from linkage.motion import assemble, working_travel
from tests.figures.odd_views import ODD, chain

SIGHT = {
    "usual": np.eye(3),
    "no red": np.array([[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]),
    "no green": np.array([[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]),
    "no blue": np.array([[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]),
}  # fmt: skip
#: sRGB of linear light to CIE XYZ (IEC 61966-2-1), white D65.
XYZ = np.array(
    [
        [0.4124564, 0.3575761, 0.1804375],
        [0.2126729, 0.7151522, 0.0721750],
        [0.0193339, 0.1191920, 0.9503041],
    ]
)
#: Differences of 2.3 are just seen (M. Mahy et al. 1994, from memory); this is ten times that.
APART = 23.0
STEP = 10.0


def linear(colour):
    c = np.array(to_rgb(colour))
    return np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)


def lab(colour, sight="usual"):
    light = np.clip(SIGHT[sight] @ linear(colour), 0, 1)
    x, y, z = XYZ @ light / (XYZ @ np.ones(3))
    f = [
        np.cbrt(t) if t > (6 / 29) ** 3 else t / (3 * (6 / 29) ** 2) + 4 / 29
        for t in (x, y, z)
    ]
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def difference(one, other, sight="usual"):
    return float(np.hypot.reduce(lab(one, sight) - lab(other, sight)))


def test_the_measure_itself():
    assert lab("white") == pytest.approx([100, 0, 0], abs=0.02)
    assert lab("#777777")[0] == pytest.approx(50, abs=0.5)
    assert lab("#FF0000") == pytest.approx([53.24, 80.09, 67.20], abs=0.05)
    for matrix in SIGHT.values():
        assert matrix.sum(axis=1) == pytest.approx(1, abs=2e-6)


@pytest.mark.parametrize("sight", SIGHT)
def test_fills_are_far_apart_for_everyone(sight):
    for one, other in combinations(FILLS, 2):
        assert difference(one, other, sight) > APART, (one, other)


@pytest.mark.parametrize("sight", SIGHT)
def test_inks_are_apart_and_read_well_on_white(sight):
    for one, other in combinations(INKS, 2):
        assert difference(one, other, sight) > 10, (one, other)
    for ink in INKS:
        bright = float(XYZ[1] @ linear(ink))
        assert 1.05 / (bright + 0.05) > 4.5  # WCAG 2.1, success criterion 1.4.3


def swatch(index):
    """An arm of the shaft with this number as it is printed in grey, shape (h, w)."""
    fill, ink, band = look_of(index)
    with drawing_style():
        figure = new_figure()
        figure.set_size_inches(1.2, 0.3)
        ax = figure.add_axes((0, 0, 1, 1))
        ax.set_axis_off()
        ax.set_xlim(0, 1)
        ax.set_ylim(-1, 1)
        ax.plot([-1, 2], [0, 0], color=ink, linewidth=7.0)
        ax.plot([-1, 2], [0, 0], color=fill, linewidth=4.8)
        if band is not None:
            ax.plot([-1, 2], [0, 0], **band_look(band, ink))
        figure.canvas.draw()
    shades = np.asarray(figure.canvas.buffer_rgba())[..., :3] / 255
    light = np.where(
        shades <= 0.04045, shades / 12.92, ((shades + 0.055) / 1.055) ** 2.4
    )
    y = light @ XYZ[1]
    grey = np.where(y > (6 / 29) ** 3, 116 * np.cbrt(y) - 16, y * (29 / 3) ** 3)
    return grey[grey.shape[0] // 2 - 4 : grey.shape[0] // 2 + 4]


def test_eighteen_shafts_differ_in_grey_by_lightness_or_by_band():
    looks = [look_of(i) for i in range(18)]
    swatches = [swatch(i) for i in range(18)]
    for i, j in combinations(range(18), 2):
        (fill, _, band), (other, _, other_band) = looks[i], looks[j]
        light = abs(lab(fill)[0] - lab(other)[0])
        assert band != other_band or light > STEP, (i, j)
        # as printed: the mean shade or the pattern along the arm differs
        one, two = swatches[i], swatches[j]
        profile = np.abs(np.sort(one.ravel()) - np.sort(two.ravel())).mean()
        assert profile > 2.0, (i, j)


def test_neighbours_in_a_chain_look_different_in_the_picture():
    layout = chain(6)
    assembly = assemble(layout)
    figure = layout_figure(assembly, working_travel(assembly))
    lines = {line.get_gid(): line for line in figure.axes[0].lines}
    arms = [(f"shaft {i + 1}.in", f"shaft {i + 2}.in") for i in range(5)]
    for one, two in arms:
        assert (
            difference(lines[f"arm {one}"].get_color(), lines[f"arm {two}"].get_color())
            > APART
        )
    assert len(shaft_colours(ODD["eighteen shafts"]())) == 18
    bands = [lines[f"band shaft {i}.in"] for i in range(1, 6)]
    assert (
        len(
            {
                (b.get_linewidth(), str(b.get_linestyle()), str(b.get_color()))
                for b in bands
            }
        )
        == 5
    )
