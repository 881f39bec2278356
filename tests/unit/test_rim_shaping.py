"""A rim that is sought, solved again by the closure, and its template at true size."""

from __future__ import annotations

import math
import re
import zlib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from matplotlib.lines import Line2D

from linkage import load
from linkage.drawing.style import drawing_style
from linkage.errors import UsageError
from linkage.model import Hole, Stop
from linkage.motion import assemble, sweep
from linkage.search.rim import shape_rim
from linkage.sheet.rim import SIDE, rim_page, rim_places, rim_sheet

STARTER = Path(__file__).parents[2] / "configs" / "cable-drum.toml"


@pytest.fixture(scope="module")
def layout():
    return load(STARTER).layout


def opened_at(layout, share):
    """Return the throttle's share at a share of the pad's travel, by the motion alone."""
    pad = np.array([share * layout.pedal.end])
    motion = sweep(assemble(layout), pad)
    return float(motion.opening("throttle")[0]) / layout.main.swing


@pytest.mark.parametrize(
    ("throttle", "pedal"), [(1 / 3, 0.45), (0.5, 0.6), (0.5, 0.45)]
)
def test_the_throttle_follows_as_is_asked(layout, throttle, pedal):
    """Found from arms and shares; solved again by how a wire lies on the rim's corners."""
    found = shape_rim(layout, "spindle.drum", throttle, pedal)
    assert not found.bounded
    assert opened_at(found.layout, pedal) == pytest.approx(throttle, abs=1e-3)
    assert opened_at(found.layout, 0.965) == pytest.approx(1.0, abs=1e-3)


def test_the_arm_falls_in_even_share(layout):
    """A e^(-k ψ/Ψ): of the wire's torque arm at quarters of the swing each is the same part."""
    found = shape_rim(layout, "spindle.drum")
    assembly = assemble(found.layout)
    run = assembly.loop("main").rod.runs[1]
    turns = found.arm.wound * found.layout.main.swing * np.linspace(0.05, 0.95, 4)
    arms = np.abs(run.rates((np.cos(turns), np.sin(turns)))[0])
    parts = arms[1:] / arms[:-1]
    assert parts == pytest.approx(np.full(3, parts.mean()), rel=0.02)
    assert found.arms[1] < arms[-1] < arms[0] < found.arms[0]


def test_an_even_share_is_a_round_drum(layout):
    """Of half the wire at half the swing there is one: a circle, to what slack makes."""
    found = shape_rim(layout, "spindle.drum", 0.5, 0.5)
    radii = np.array([radius for _, radius in found.arm.rim])
    assert np.ptp(radii) < 0.2 * radii.mean()


def test_what_cannot_be_had_is_told_with_the_nearest(layout):
    """A third at four fifths would take a drum of a millimetre."""
    found = shape_rim(layout, "spindle.drum", 1 / 3, 0.8)
    assert found.bounded
    assert min(found.arms) == pytest.approx(0.012, abs=1e-6)
    assert 0.4 < found.nearest < 0.6
    assert opened_at(found.layout, found.nearest) == pytest.approx(1 / 3, abs=1e-3)


def test_a_rim_has_no_hollow(layout):
    places = rim_places(shape_rim(layout, "spindle.drum").layout, _drum())
    legs = np.diff(places, axis=0)
    turned = legs[:-1, 0] * legs[1:, 1] - legs[:-1, 1] * legs[1:, 0]
    assert np.all(turned < 0)  # clockwise, as its wire lies


def _drum():
    return Hole(shaft="spindle", arm="drum")


@pytest.mark.parametrize(
    ("name", "options", "told"),
    [
        ("spindle.spring", {}, "no rod is joined"),
        ("pedal.cable", {}, "no drum of a throttle's spindle"),
        ("spindle.drum", {"throttle": 1.2}, "cannot be asked for"),
        ("spindle.drum", {"least": 0.05}, "not within the radii"),
        ("spindle.drum", {"least": 0.2}, "leaves none"),
    ],
)
def test_what_is_no_such_drum_is_refused(layout, name, options, told):
    with pytest.raises(UsageError, match=told):
        shape_rim(layout, name, **options)


def test_a_linkage_that_is_stopped_before_is_refused(layout):
    """Its twin stops a little later than that: a third is had where it was asked for."""

    def stopped(degrees):
        stop = Stop(name="early", shaft="pedal", turn=-math.radians(degrees))
        return replace(layout, stops={"early": stop})

    with pytest.raises(UsageError, match="opens to 16% at most"):
        shape_rim(stopped(6), "spindle.drum")
    found = shape_rim(stopped(12), "spindle.drum")
    assert found.nearest == pytest.approx(0.45, abs=1e-3)


def test_one_wound_to_shut_is_refused(layout):
    turned = layout.with_arm("spindle.drum", angle=math.radians(150))
    arm = turned.shafts["spindle"].arms["drum"]
    shaft = turned.shafts["spindle"]
    arms = {**shaft.arms, "drum": replace(arm, wound=1)}
    wrong = turned.with_shaft(replace(shaft, arms=arms))
    with pytest.raises(UsageError, match="pull shuts"):
        shape_rim(wrong, "spindle.drum")


def lines_of(pdf):
    """Return all lines of straight pieces in a PDF, each (points, 2). [mm]."""
    out = []
    number = r"(-?[\d.]+)"
    for stream in re.findall(rb"stream\r?\n(.*?)\r?\nendstream", pdf, re.DOTALL):
        try:
            text = zlib.decompress(stream).decode("latin-1")
        except zlib.error:
            continue
        for found in re.finditer(
            rf"{number} {number} m\s+((?:{number} {number} l\s+)+)(?:h\s+)?S", text
        ):
            values = re.findall(number, found.group(0))
            out.append(np.array(values, float).reshape(-1, 2) / 72 * 25.4)
    return out


def _lengths(pdf):
    """Return the lengths of all straight lines of two points in a PDF. [mm]."""
    return [math.dist(*line) for line in lines_of(pdf) if len(line) == 2]


def test_the_template_is_true(layout):
    """Its bars as they stand in the file; the nipple as far from the axis as it says."""
    pdf = rim_sheet(layout, _drum(), paper="a4")
    lengths = _lengths(pdf)
    for bar in (100.0, 101.6):
        assert sum(abs(one - bar) < 0.01 for one in lengths) == 2
    places = rim_places(layout, _drum())
    assert np.hypot(*places[0]) == pytest.approx(29.0)


def test_a_drum_larger_than_the_sheet_is_refused(layout):
    large = layout.with_arm("spindle.drum", length=0.15)
    with pytest.raises(UsageError, match="larger than a sheet"):
        rim_sheet(large, _drum(), paper="a4")


def test_the_largest_drum_keeps_off_the_bars(layout):
    large = layout.with_arm("spindle.drum", length=0.0795)
    with drawing_style():
        page = rim_page(large, _drum(), paper="a4")
    # Places on the paper, in inches.
    lines = page.figure.findobj(Line2D)
    rim, *others = [25.4 * np.asarray(line.get_xydata()) for line in lines]
    bars = [x for x in others if np.ptp(x[:, 1]) > 99]
    assert len(rim) == 361
    assert len(bars) == 2
    assert rim[:, 0].max() < page.right - SIDE < min(bar[:, 0].min() for bar in bars)


def test_the_template_of_what_must_not_be_fitted_says_so(layout):
    with drawing_style():
        page = rim_page(layout, _drum(), paper="a4", refused="the wire comes off")
        sound = rim_page(layout, _drum(), paper="a4")
    assert "DO NOT FIT: the wire comes off" in [t.get_text() for t in page.figure.texts]
    assert not any("FIT" in t.get_text() for t in sound.figure.texts)


def test_a_wire_of_given_length_is_refused_as_the_rim_needs_another(layout):
    cable = layout.rods["main"]
    length = float(assemble(layout).loop("main").length)
    given = replace(layout, rods={"main": replace(cable, length=length, lost=0.0)})
    with pytest.raises(UsageError, match="cable `main` has a length") as told:
        shape_rim(given, "spindle.drum")
    assert "wire_length" in told.value.hint
    assert shape_rim(layout, "spindle.drum").nearest == pytest.approx(0.45, abs=0.005)
