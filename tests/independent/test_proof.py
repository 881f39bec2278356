"""Readings against a layout: by SciPy's least squares, and on invented vehicles.

SciPy's `least_squares` (trust region) and `chi2` know nothing of how the proof steps or
counts. The vehicles are made with errors drawn by NumPy's generator, all invented.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from scipy.optimize import least_squares
from scipy.stats import chi2

from linkage.config import load
from linkage.proof import prove
from linkage.proof.blank import blanks
from linkage.proof.deciding import could_be_read
from linkage.proof.doubt import differs, explanations, wrong_each
from linkage.proof.fit import fit, misfit, noise_of
from linkage.proof.odds import beyond, within
from linkage.proof.predicted import Predicted
from linkage.proof.unknowns import unknowns
from tests.cli.conftest import CONFIGS
from tests.vehicles import Even, Exact, vehicle

TRUCK, HAULER = "hanging-pedal", "bulkhead-cross-shaft"
#: Instruments better than the usual: angle block, caliper, a scale on the pad. [rad, m]
FINE = {"throttle": 0.5, "lever": 0.3, "rod": 0.2e-3, "full": 0.5e-3}
FINE_PAD = 0.5e-3


@cache
def to_read(name, *, fine=False):
    """Return a layout, its unknowns, and what is read of it without springs."""
    layout = load(CONFIGS / f"{name}.toml").layout
    readings = [b.reading for b in blanks(layout) if b.reading.what != "pull"]
    if fine:
        readings = [
            replace(
                r,
                error=np.radians(FINE[r.what]) if r.kind == "angle" else FINE[r.what],
                pad_error=FINE_PAD if r.pad_error else 0.0,
            )
            for r in readings
        ]
    return layout, unknowns(layout), tuple(readings)


@pytest.mark.parametrize("freedom", [1, 2, 5, 17, 60])
def test_odds_are_those_of_the_chi_squared_distribution(freedom):
    for value in (0.01, 1.0, freedom, 3.0 * freedom, 40.0 + freedom):
        assert beyond(value, freedom) == pytest.approx(
            chi2.sf(value, freedom), rel=1e-10
        )
    assert within(0.95, freedom) == pytest.approx(chi2.ppf(0.95, freedom), rel=1e-10)
    assert beyond(float("inf"), freedom) == 0
    assert beyond(3.0, 0) == 1


@pytest.mark.parametrize("name", [TRUCK, HAULER])
@pytest.mark.parametrize("seed", range(4))
def test_the_fit_is_the_least_that_scipy_finds(name, seed):
    layout, _, readings = to_read(name, fine=seed % 2 == 0)
    found = vehicle(layout, readings, np.random.default_rng(seed))
    predicted = Predicted(layout, unknowns(layout), found.readings)
    best = fit(predicted)
    deviation, noise = np.sqrt(best.prior), np.sqrt(best.noise)

    def residuals(z):
        said, _ = predicted.at((z * deviation)[None])
        return np.concatenate([z, (predicted.wanted - said[0]) / noise])

    def jacobian(z, step=1e-2):
        rows = np.vstack([step * np.eye(len(z)), -step * np.eye(len(z))])
        said, _ = predicted.at((z + rows) * deviation)
        by = (said[: len(z)] - said[len(z) :]) / (2 * step)
        return np.vstack([np.eye(len(z)), -(by / noise).T])

    theirs = least_squares(
        residuals, np.zeros(len(deviation)), jac=jacobian, xtol=1e-10, ftol=1e-10
    )
    # A plate that meets its idle stop makes a corner, at which steps end a little sooner.
    assert 2 * theirs.cost - 1e-6 <= best.misfit <= 2 * theirs.cost + 0.02
    assert best.off / deviation == pytest.approx(theirs.x, abs=0.03)
    # The covariance is that of SciPy's own Jacobian at its own minimum.
    covariance = np.linalg.inv(theirs.jac.T @ theirs.jac)
    mine = best.covariance / np.outer(deviation, deviation)
    assert mine == pytest.approx(covariance, abs=0.05)


def inside(name, count, *, fine, generator=np.random.default_rng):
    """Return of how many vehicles the truth lies in the region that is stated."""
    layout, some, readings = to_read(name, fine=fine)
    hits = 0
    for seed in range(count):
        found = vehicle(layout, readings, generator(seed))
        predicted = Predicted(layout, some, found.readings)
        best = fit(predicted)
        said, _ = predicted.at(found.off[None])
        there = misfit(found.off, predicted.wanted - said[0], best.prior, best.noise)
        hits += there - best.misfit <= within(0.95, len(some))
    return hits


def test_the_truth_lies_in_the_stated_region_of_95_in_100_of_200_vehicles():
    """Half of them one rod, half three, half of each read with better instruments."""
    hits = sum(
        inside(name, 50, fine=fine)
        for name in (TRUCK, HAULER)
        for fine in (False, True)
    )
    assert 0.93 * 200 <= hits <= 0.97 * 200


def test_within_limits_anywhere_it_lies_there_more_often_never_less():
    """Errors that end at what an instrument is known to are kinder than normal ones."""
    hits = inside(TRUCK, 60, fine=True, generator=Even)
    assert hits >= 0.95 * 60


def read_well():
    """Return the same of three rods with every lever read at five places."""
    layout, some, readings = to_read(HAULER, fine=True)
    more = [
        replace(
            r, error=np.radians(FINE["lever"]), pad_error=FINE_PAD if r.pad else 0.0
        )
        for r in could_be_read(layout, 0.0705)
        if r.what == "lever"
    ]
    return layout, some, (*(r for r in readings if r.what != "lever"), *more)


def can_be_told(layout, some, readings, least):
    """Return which numbers, alone off by three tolerances, stand out by such odds.

    Without any other error: how many times less likely the next is, and none at all.
    """
    told = []
    for place in range(len(some) + len(readings)):
        odds = []
        for tolerances in (3.0, -3.0):
            found = vehicle(
                layout, readings, Exact(), wrong=place, tolerances=tolerances
            )
            predicted = Predicted(layout, some, found.readings)
            base = fit(predicted)
            left = differs(predicted, base)
            likely, _ = wrong_each(base, left)
            none = -(left @ np.linalg.solve(base.spread, left)) / 2
            odds.append(likely[place] - max(np.delete(likely, place).max(), none))
        if min(odds) >= np.log(least):
            told.append(place)
    return told


def test_a_gross_error_is_named_first_where_the_data_can_tell_it():
    layout, some, readings = read_well()
    told = can_be_told(layout, some, readings, least=400)
    assert len(told) >= 3
    hits, count = 0, 40
    for seed in range(count):
        place = told[seed % len(told)]
        sign = 3.0 if seed % 4 < 2 else -3.0
        generator = np.random.default_rng(seed)
        found = vehicle(layout, readings, generator, wrong=place, tolerances=sign)
        predicted = Predicted(layout, some, found.readings)
        base = fit(predicted)
        likely, _ = wrong_each(base, differs(predicted, base))
        hits += int(np.argmax(likely)) == place
    assert hits >= 0.9 * count


def test_by_how_much_is_told_with_its_bounds():
    """A bell crank's arm clocked 6 degrees late: nearer what it is, within its bounds."""
    layout, some, readings = to_read(HAULER, fine=True)
    (place,) = (
        i for i, m in enumerate(some) if m.called == "angle of `cross shaft.inner`"
    )
    found = vehicle(
        layout, readings, np.random.default_rng(4), wrong=place, tolerances=6
    )
    predicted = Predicted(layout, some, found.readings)
    first, second, *_ = explanations(predicted, fit(predicted))
    assert first.about is some[place]
    assert abs(first.off - found.off[place]) < 2.6 * first.sure
    assert first.off > 4 * some[place].error
    assert second.odds > 10
    assert first.agrees > 0.01


def test_the_readings_of_the_wrong_vehicle_are_weighed_with_their_pads():
    """A pad read 3 mm off counts by what the throttle does in 3 mm."""
    layout, some, readings = to_read(TRUCK)
    one = next(r for r in readings if r.what == "throttle" and r.pad)
    coarse = Predicted(layout, some, [replace(one, pad_error=3e-3)])
    _, by_pad, _ = coarse.slopes(np.zeros(len(some)))
    variance = noise_of(coarse, by_pad)[0]
    # The truck opens by some 1.1 degrees a millimetre of pad.
    assert np.degrees(np.sqrt(3 * variance)) == pytest.approx(
        np.hypot(1.0, 3 * np.degrees(by_pad[0]) / 1e3), rel=1e-6
    )
    assert 0.9 < np.degrees(by_pad[0]) / 1e3 < 1.3


def test_exact_readings_of_the_layout_itself_agree_and_correct_nothing():
    layout, _, readings = to_read(HAULER)
    found = vehicle(layout, readings, Exact())
    proof = prove(layout, found.readings, samples=4)
    assert proof.sound
    assert proof.agrees > 0.999
    assert proof.explanations == ()
    assert proof.off == pytest.approx(0, abs=1e-6)
    assert proof.best.off == pytest.approx(0, abs=1e-6)
    assert proof.corrected.shafts == layout.shafts
    assert proof.allows(np.zeros(len(proof.unknowns)))
