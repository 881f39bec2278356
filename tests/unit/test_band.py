"""All measuring errors at once, by samples: against closed cases and first order."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest

from linkage.band import band
from linkage.band.draws import draws
from linkage.band.effects import effects
from linkage.band.setting import TURN, settings
from linkage.errors import AssemblyError, UsageError
from linkage.model.measured import measured
from linkage.motion import assemble, working_travel
from linkage.report.band import band_data, band_lines, share
from linkage.report.findings import check_data
from linkage.rules import examine
from linkage.rules.corners import WORN
from linkage.rules.examine import COARSE, SAMPLED, WHOLE
from linkage.rules.order import AT_WORST
from linkage.rules.states import looked_at, movements
from linkage.search import check
from tests.unit.edits import HAULER, TO, TRUCK, edited, set_to

#: Of a rectangular distribution 5 % lie below nine tenths of the error.
NINE = 0.9


def exact_but(layout, *called):
    """Return a layout of which nothing is off but some numbers, and no joint is worn."""
    tolerances = {}
    for m in measured(layout):
        if m.called not in called:
            words = [p for p in m.path if p != "known"]
            tolerances[tuple(map(str, words))] = 1e-12
            tolerances["throttle", "swing"] = 1e-12
    if "swing of `throttle`" in called:
        del tolerances["throttle", "swing"]
    return replace(layout, tolerances=tolerances)


def test_a_swing_alone_gives_the_pad_travels_at_its_ends(monkeypatch):
    """A closed case: the curve is met at nine tenths of the error either way."""
    monkeypatch.setattr("linkage.band.draws.WORN", 0.0)
    layout = exact_but(edited(TRUCK), "swing of `throttle`")
    (swing,) = (m for m in measured(layout) if m.error > 1e-6)
    found = band(layout, samples=3000, seed=2)
    for at, sign in ((0, -1), (2, 1)):
        main = replace(layout.main, swing=layout.main.swing + sign * NINE * swing.error)
        other = replace(
            layout, throttles={"throttle": main}, pedal=replace(layout.pedal, stop=None)
        )
        end = working_travel(assemble(other)).end
        assert found.full_at[at] == pytest.approx(end, abs=5e-5)


def test_first_order_is_what_samples_spread_by():
    """Where nothing bends, within the scatter of so many samples."""
    found = band(edited(HAULER), samples=1500, seed=5)
    spreads = {a.place[0]: (a.spread, a.first_order) for a in found.answers}
    for code in ("dead-centre", "closing-torque", "pad-force"):
        sampled, first = spreads[code]
        assert first == pytest.approx(sampled, rel=0.12), code
    assert all(a.straight for a in found.answers if a.place[0] == "dead-centre")


def test_one_seed_gives_one_answer_whatever_goes_at_once(monkeypatch):
    layout = edited(TRUCK)
    once = band_data(band(layout, samples=60, seed=3))
    monkeypatch.setattr("linkage.band.sampled.room", lambda *_: 7)
    assert band_data(band(layout, samples=60, seed=3)) == once
    assert band_data(band(layout, samples=60, seed=4)) != once


def test_draws_are_within_the_errors_and_as_likely_anywhere():
    some = measured(edited(TRUCK))
    ((off, play),) = draws(some, 1, 4000, 4000, seed=1, even=False)
    errors = np.array([m.error for m in some])
    assert (np.abs(off) <= errors).all()
    assert np.std(off / errors, axis=0) == pytest.approx(1 / np.sqrt(3), rel=0.05)
    assert 0 <= play.min() < play.max() <= WORN


def test_evenly_spread_samples_come_nearer_than_as_many_drawn_at_random():
    """The mean of what is linear, by eight seeds: scrambled Sobol against NumPy's PCG64."""
    some = measured(edited(TRUCK))
    errors = np.array([m.error for m in some])

    def scatter(*, even):
        means = []
        for seed in range(8):
            ((off, _),) = draws(some, 1, 256, 256, seed=seed, even=even)
            means.append(float((off / errors).sum(axis=1).mean()))
        return np.std(means)

    assert scatter(even=True) < 0.2 * scatter(even=False)


def test_blocks_of_even_samples_go_on_where_the_last_ended():
    some = measured(edited(TRUCK))
    whole = np.concatenate([o for o, _ in draws(some, 1, 40, 40, seed=1, even=True)])
    parts = np.concatenate([o for o, _ in draws(some, 1, 40, 16, seed=1, even=True)])
    assert np.array_equal(whole, parts)


def test_even_samples_without_scipy_are_refused_with_what_to_do(monkeypatch):
    monkeypatch.setitem(__import__("sys").modules, "scipy.stats", None)
    with pytest.raises(UsageError, match="SciPy") as caught:
        list(draws(measured(edited(TRUCK)), 1, 4, 4, seed=1, even=True))
    assert "[even]" in caught.value.hint


def test_what_is_measured_better_makes_the_band_narrower():
    layout = edited(HAULER)
    wide = band(layout, samples=200)
    better = {
        "holes": "caliper",
        "angles": "angle block",
        "pad": "rule",
        "swing": "angle block",
    }
    narrow = band(replace(layout, measured=better), samples=200)
    assert np.ptp(narrow.full_at) < 0.6 * np.ptp(wide.full_at)
    assert narrow.effects.each[0].measured.error <= wide.effects.each[0].measured.error


def test_the_pad_radius_and_the_lever_are_the_ones_to_get_right():
    """Common practice, no source: hole radii decide, pivots hardly matter."""
    each = effects(examine(edited(HAULER))).each
    told = [e.measured.called for e in each[:2]]
    assert told == ["radius of `pedal.pad`", "radius of `spindle.lever`"]
    lever = next(e for e in each if e.measured.called == "radius of `spindle.lever`")
    assert 1.2 < abs(np.degrees(lever.opening) * 1e-3) < 3.2


def test_a_turn_of_a_rod_is_a_longer_rod():
    """Against the layout with its rods a turn longer, solved anew."""
    layout = edited(HAULER)
    x = examine(layout)
    for loop in x.assembly.loops:
        layout = layout.with_rod(loop.link.rod.name, loop.length)
    for turn in settings(x):
        name, idle, full = turn.rod, turn.at_idle, turn.at_full
        assert (turn.missing, turn.turns) == (0, 0)
        lengths = [x.assembly.loop(name).length + by for by in (-1e-6, 1e-6)]
        ends = [examine(layout.with_rod(name, length)) for length in lengths]
        for at, told in ((x.working.end, full), (1e-3, idle)):
            one, two = (_opening(e, at) for e in ends)
            slope = (two - one) / 2e-6 * TURN
            assert told == pytest.approx(slope, rel=0.05 if at < 0.01 else 1e-4)


def _opening(x, pad):
    from linkage.motion import sweep_clear

    return float(sweep_clear(x.assembly, np.array([0.0, pad])).opening("throttle")[-1])


def test_a_layout_that_does_not_fit_says_so_first():
    found = band(edited("fault-cross-shaft-arm-short"), samples=20)
    assert band_lines(found)[0].startswith("DO NOT FIT as measured, for full throttle")
    assert found.fits == 0


def test_data_are_plain_and_say_what_lines_say():
    found = band(edited("cable-drum"), samples=40)
    data = json.loads(json.dumps(band_data(found)))
    assert data["samples"] == 40
    assert data["fits"] == pytest.approx(found.fits)
    first = data["measured"][0]
    assert first["measured"] == "radius of `pedal.pad`"
    assert (first["known_to"], first["by"], first["assumed"]) == (5.0, "tape", True)
    text = "\n".join(band_lines(found))
    assert "measure again first" in text
    assert "the end of the sheath" in text or "end of the sheath" in text
    assert len(found.columns()["pad_travel_mm"]) == len(found.pad_travel)
    assert repr(found).startswith("<Band of 'Milk float")
    assert {"measured", "by"} <= {*found.effects.columns()}


@pytest.mark.parametrize("count", [0, 1, -4])
def test_too_few_samples_are_refused(count):
    with pytest.raises(UsageError, match="at least 2"):
        band(edited(TRUCK), samples=count)


def test_too_many_are_refused_with_the_time_they_would_take():
    with pytest.raises(UsageError, match=r"would take some \d+ years"):
        band(edited(TRUCK), samples=10**12)


@pytest.mark.parametrize(
    ("name", "said"),
    [("governed-engine", "governed engine"), ("cam-roller", "with a cam")],
)
def test_what_is_set_by_what_no_layout_says_is_refused(name, said):
    with pytest.raises(UsageError, match=said):
        band(edited(name), samples=4)
    found = check(edited(name), cures=False)
    assert not AT_WORST & {f.code for f in found.findings}
    told = " ".join(check_data(found)["not_checked"])
    assert "measuring errors" in told
    assert "at worst measuring error" not in told


def test_shares_claim_no_more_than_samples_tell():
    assert [share(v) for v in (0.5, 0.995, 0.004)] == ["50%", "over 99%", "under 1%"]


def test_where_no_sample_can_be_put_together_that_is_said():
    """Off by so much the rod reaches neither way; of a few that do there is a band."""
    layout = set_to(TRUCK, 300)
    with pytest.raises(AssemblyError, match="no sample can be put together") as found:
        band(layout, samples=7, seed=3)
    assert "the length of rod `link` again first" in found.value.hint
    some = band(set_to(TRUCK, 40), samples=7, seed=3)
    assert 0 < some.torn < 1
    assert f"{share(some.torn)} of them could not be put together" in "\n".join(
        band_lines(some)
    )


def test_turns_that_bring_full_throttle_back_hold_the_plate_open_at_idle():
    """A rod is no cure for a short arm; against the layout with its rod so much longer."""
    layout = edited("fault-cross-shaft-arm-short")
    x = examine(layout)
    for one in settings(x):
        for loop in x.assembly.loops:
            layout = layout.with_rod(loop.link.rod.name, loop.length)
        by = one.turns * TURN
        set_so = layout.with_rod(one.rod, x.assembly.loop(one.rod).length + by)
        found = examine(set_so).working
        assert one.missing == pytest.approx(
            0.98 * layout.main.swing - x.working.opening_at_end["throttle"]
        )
        assert found.opening_at_rest["throttle"] == pytest.approx(
            one.idle_then, rel=0.3
        )
        assert found.opening_at_end["throttle"] > 0.96 * layout.main.swing
    text = "\n".join(band_lines(band(edited("fault-cross-shaft-arm-short"), samples=4)))
    assert "HELD OPEN" in text


def test_what_play_takes_is_listed_worst_first_at_plate_and_pad():
    """A degree at the plate is as much pad as opens a degree at the end."""
    bearing = 'axis    = "across"      # seen from the right\nbearing = 12'
    layout = edited(
        TRUCK, (TO, f"{TO}\nplay = 0.3"), (bearing, bearing + '\nplay = "1 mm"')
    )
    found = band(layout, samples=8)
    bush, link = band_data(found)["plays"]
    assert (bush["part"], link["part"]) == ("bush of `pedal`", "rod `link`")
    assert bush["at_plate_deg"] > link["at_plate_deg"] > 0
    x = examine(layout)
    rate = float(np.degrees(np.ravel(x.speeds.first["spindle"])[-1])) / 1e3
    assert link["at_pad_mm"] == pytest.approx(link["at_plate_deg"] / rate, rel=1e-4)
    assert "what play takes, as in the file" in "\n".join(band_lines(found))
    assert "what play takes" not in "\n".join(
        band_lines(band(edited(TRUCK), samples=8))
    )


def test_samples_are_judged_in_every_movement_of_the_engine():
    """A search leaves some out, whose winner is looked at again; no sample is."""
    layout = edited(
        "hanging-pedal", ('roll    = "2 deg"', 'roll    = "2 deg"\nlift    = 3')
    )
    assert len(movements(layout)) == 8
    assert looked_at(layout, SAMPLED) == movements(layout) == looked_at(layout, WHOLE)
    assert len(looked_at(layout, COARSE)) < 8
