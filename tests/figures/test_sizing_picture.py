"""The arm chooser's picture: artists' data, not pixels."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from linkage.drawing.sizing import sizing_figure
from linkage.search.arm import size_arms
from linkage.search.sized import Choice
from tests.build import hole
from tests.unit.edits import TRUCK, edited

LEVER = hole("spindle.lever")
#: With springs, as what has none fits nowhere.
CAR = edited(TRUCK)


@cache
def sized(*lengths_mm: float, angles_deg: tuple[float, ...] = (52.0,)):
    lengths = tuple(mm / 1e3 for mm in lengths_mm)
    angles = tuple(float(np.radians(a)) for a in angles_deg)
    return size_arms(CAR, [Choice(hole=LEVER, lengths=lengths, angles=angles)])


def drawn(figure) -> dict[str, np.ndarray]:
    return {
        str(line.get_gid()): np.asarray(line.get_xydata(), dtype=float)
        for ax in figure.axes
        for line in ax.lines
        if line.get_gid() and not str(line.get_gid()).startswith("_")
    }


def test_lines_are_the_rows_own_numbers():
    sizing = sized(28, 31, 34, 37, 40)
    lines = drawn(sizing_figure(sizing, CAR))
    assert lines["throttle"][:, 0] == pytest.approx([28, 31, 34, 37, 40])
    shares = [100 * row.throttle_share for row in sizing.rows]
    assert lines["throttle"][:, 1] == pytest.approx(shares)
    least = [np.degrees(row.least_angle) for row in sizing.rows]
    assert lines["least"][:, 1] == pytest.approx(least)
    met = [np.nan if r.full_share is None else 100 * r.full_share for r in sizing.rows]
    assert lines["full"][:, 1] == pytest.approx(met, nan_ok=True)
    assert np.isnan(met).any()  # a long lever never gets there
    assert not np.isnan(met).all()


def test_the_chosen_length_is_named():
    sizing = sized(28, 31, 34, 37, 40)
    assert sizing.chosen is not None
    figure = sizing_figure(sizing, CAR)
    chosen = sizing.rows[sizing.chosen].lengths[0] * 1e3
    texts = [t.get_text() for t in figure.axes[0].texts]
    assert f"chosen {chosen:.2f} mm" in texts
    assert "98 % of swing asked" in [t.replace("\n", " ") for t in texts]
    assert figure.axes[1].get_xlabel() == "length of arm spindle.lever [mm]"


def test_what_fits_and_what_fails_have_marks_of_their_own():
    sizing = sized(28, 31, 34, 37, 40)
    (ax, _) = sizing_figure(sizing, CAR).axes
    by_label = {line.get_gid(): np.asarray(line.get_xdata()) for line in ax.lines}
    lengths = np.array([28, 31, 34, 37, 40])
    fits = np.array([row.fits for row in sizing.rows])
    assert 0 < fits.sum() < len(fits)
    assert by_label["fits"] == pytest.approx(lengths[fits])
    assert by_label["fails"] == pytest.approx(lengths[~fits])


def test_nothing_that_fits_is_said_across_the_picture():
    sizing = sized(60, 62)
    assert sizing.chosen is None
    figure = sizing_figure(sizing, CAR, paper="letter")
    (banner,) = [t for t in figure.texts if t.get_gid() == "banner"]
    assert "nothing tried fits" in banner.get_text()


def test_of_two_that_vary_the_other_is_held_at_the_chosen():
    sizing = sized(31, 34, angles_deg=(45.0, 52.0))
    figure = sizing_figure(sizing, CAR)
    kept = sizing.rows[sizing.chosen if sizing.chosen is not None else 2]
    shares = [100 * r.throttle_share for r in sizing.rows if r.angles == kept.angles]
    assert drawn(figure)["throttle"][:, 1] == pytest.approx(shares)
    assert len(shares) == 2
