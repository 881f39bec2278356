"""The arm chooser: hard rules fail a row, then an order of preference."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.errors import UsageError
from linkage.model import Hole
from linkage.motion import assemble, sweep, working_travel
from linkage.rules.examine import SAMPLED, WHOLE
from linkage.search import arm, check
from linkage.search.arm import WELL, find_hole, merit, size_arms
from linkage.search.sized import Choice
from linkage.search.steps import INCH_STEP, METRIC_STEP, around, stepped
from tests.unit.edits import HAULER, STOP, TO, TRUCK, edited, lever, rod_length
from tests.unit.edits import LEVER as LEVER_LINE

LEVER = Hole(shaft="spindle", arm="lever")
ROD = Hole(shaft="pedal", arm="rod")
MM = 1e-3


def sized(layout, *lengths_mm, hole=LEVER, angles_deg=None, **more):
    now = layout.shafts[hole.shaft].arms[hole.arm]
    turned = (
        (now.angle,) if angles_deg is None else tuple(map(math.radians, angles_deg))
    )
    tried = tuple(x * MM for x in lengths_mm) or (now.length,)
    return size_arms(layout, [Choice(hole=hole, lengths=tried, angles=turned)], **more)


# --- hard rules -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("layout", "length", "code"),
    [
        (edited(TRUCK), 45, "full-throttle"),
        (edited(TRUCK, lever(angle=80), (STOP, "")), 32, "arm-rod-angle"),
        (edited(TRUCK, lever(angle=115)), 32, "reach"),
        (edited("fault-wrong-sense"), 32, "opening-sense"),
        (edited(TRUCK, lever(offset=200)), 32, "joint-tilt"),
    ],
)
def test_a_broken_rule_fails_the_row_with_its_reason(layout, length, code):
    (row,) = sized(layout, length).rows
    assert not row.fits
    assert row.reason.startswith(f"{code}: ")


def test_a_dead_centre_beyond_the_stop_fails_a_row_by_itself():
    """With the angle limits as loose as they may be, it is looked for in its turn."""
    layout = edited(TRUCK, lever(angle=85))
    loose = math.radians(15)
    limits = replace(
        layout.limits, arm_rod_refuse=loose, arm_rod_strong=loose, arm_rod_look=loose
    )
    (row,) = sized(replace(layout, limits=limits)).rows
    assert row.reason.startswith("dead-centre: ")


def test_what_cannot_be_assembled_fails_with_the_reason():
    """The arm points along its rod at rest: on dead centre."""
    layout = edited(
        TRUCK,
        ("pivot   = [430, -30, 82]", "pivot   = [430, -30, 113.25289]"),
        lever(offset=0),
    )
    pedal = layout.shafts["pedal"].pin("rod")
    level = replace(layout.shafts["spindle"], pivot=(0.43, -0.03, pedal[2]))
    layout = replace(layout, shafts={**layout.shafts, "spindle": level})
    rows = sized(layout, 30, 32, angles_deg=[180]).rows
    assert all(r.reason.startswith("assembly: rod `link` and arm") for r in rows)
    assert all(
        (r.throttle_share, r.full_share, r.rods) == (0.0, None, {}) for r in rows
    )


def test_a_rod_elsewhere_that_no_longer_reaches_is_an_assembly_fault():
    layout = edited(HAULER).with_rod("carb", 0.15)
    rows = sized(layout, 20, 100, hole=Hole(shaft="cross shaft", arm="outer")).rows
    assert {r.reason.split(":")[0] for r in rows} == {"assembly"}


# --- what is measured of a row ----------------------------------------------------


def test_numbers_of_a_row_are_those_of_its_own_layout():
    (row,) = sized(edited(TRUCK), 31).rows
    assert row.fits
    assembly = assemble(row.layout)
    working = working_travel(assembly)
    assert row.rods == {"link": pytest.approx(assembly.loop("link").length)}
    assert row.throttle_share == pytest.approx(1.0)
    assert row.full_share == pytest.approx(working.end / 0.076)
    tenth = working.end / 10
    opening = sweep(assembly, np.array([0.0, tenth])).opening("throttle")[1]
    assert row.tip_in == pytest.approx(opening / tenth)
    assert row.layout.pedal.stop == pytest.approx(
        math.ceil(working.end * 2e3 - 1e-6) / 2e3
    )


def test_a_rod_of_given_length_is_cut_again_for_every_row():
    rows = sized(edited(TRUCK, rod_length("431 mm")), 30, 32).rows
    assert [r.layout.rods["link"].length for r in rows] == [None, None]
    assert rows[0].rods["link"] != rows[1].rods["link"]


def test_a_row_fits_where_the_whole_check_of_it_does():
    sizing = sized(edited(TRUCK), *range(26, 40))
    for row in sizing.rows:
        assert row.fits == (not check(row.written, cures=False).reasons)


def test_a_plate_that_shuts_reaches_nothing_and_never_less():
    (row,) = sized(edited("fault-wrong-sense")).rows
    assert row.throttle_share == 0.0


# --- the order of preference --------------------------------------------------------


def row_like(row, full, tip_deg_mm=1.0, least_deg=60.0):
    return replace(
        row,
        full_share=full,
        tip_in=math.radians(tip_deg_mm) * 1e3,
        least_angle=math.radians(least_deg),
    )


def test_reaching_the_full_stop_comes_before_not_reaching_it():
    """However gentle and square a hole is that never gets there."""
    (row,) = sized(edited(TRUCK), 32).rows
    short = replace(row_like(row, None, 0.2, 85), throttle_share=0.995)
    assert all(merit(row_like(row, f, 1.5, 45)) < merit(short) for f in (0.8, 0.95, 1))


def test_full_at_90_to_98_percent_comes_before_above_before_below():
    (row,) = sized(edited(TRUCK), 32).rows
    inside = [row_like(row, f, 1.5, 45) for f in (*WELL, 0.94)]
    above = [row_like(row, f, 0.5, 80) for f in (0.981, 0.999)]
    below = [row_like(row, f, 0.3, 85) for f in (0.899, 0.7)]
    assert max(map(merit, inside)) < min(map(merit, above))
    assert max(map(merit, above)) < min(map(merit, below))
    assert len({merit(r) for r in inside}) == 1  # alike, wherever they are inside


def test_then_the_gentlest_start_then_the_largest_least_angle():
    (row,) = sized(edited(TRUCK), 32).rows
    gentle, steep = row_like(row, 0.91, 0.9, 50), row_like(row, 0.96, 1.2, 80)
    assert merit(gentle) < merit(steep)
    square, shallow = row_like(row, 0.96, 1.0, 70), row_like(row, 0.96, 1.01, 50)
    assert merit(square) < merit(shallow)


def test_then_the_longer_levers_on_which_a_millimetre_matters_less():
    (row,) = sized(edited(TRUCK), 32).rows
    long = replace(row_like(row, 0.96, 1.01, 60.2), lengths=(0.036,))
    short = replace(row_like(row, 0.94, 1.0, 60.4), lengths=(0.032,))
    assert merit(long) < merit(short)


def test_the_chosen_row_is_the_best_of_those_that_fit():
    sizing = sized(edited(TRUCK), *np.arange(25, 45, 0.5))
    fitting = [r for r in sizing.rows if r.fits]
    assert sizing.rows[sizing.chosen] is min(fitting, key=merit)
    assert {r.reason.split(":")[0] for r in sizing.rows} >= {"", "full-throttle"}


def test_nothing_fits():
    sizing = sized(edited(TRUCK), 45, 46)
    assert sizing.chosen is None


# --- every rule ----------------------------------------------------------------------

WEAK = "fault-springs-too-weak"


@pytest.mark.parametrize("name", ["fault-one-spring-only", WEAK, "fault-engine-rock"])
def test_what_no_arm_mends_is_left_by_the_nearest_and_none_is_chosen(name):
    """The geometry of each is sound; its twin with that mended is chosen."""
    sizing = sized(edited(name), *range(28, 36))
    assert sizing.chosen is None
    assert all(not row.fits for row in sizing.rows)
    left = check(sizing.best.written, cures=False).reasons
    assert {f.place for f in sizing.leaves} == {f.place for f in left} <= sizing.before
    assert sizing.only_as_before


def test_its_sound_twin_is_chosen_and_leaves_nothing():
    sizing = sized(edited(TRUCK), *range(28, 36))
    assert sizing.chosen is not None
    assert (sizing.nearest, sizing.leaves) == (None, ())


def test_what_breaks_motion_is_not_as_before_though_it_was():
    """Too short a stroke was so before; the arm has not done its part."""
    sizing = sized(edited("fault-hole-too-long"), *range(45, 50))
    assert {f.code for f in sizing.leaves} == {"full-throttle"}
    assert not sizing.only_as_before


def test_nearest_keeps_motion_before_it_breaks_few_rules():
    sizing = sized(edited("fault-one-spring-only"), *range(26, 46))
    assert sizing.best.code == "energy-sources"
    assert sizing.best.throttle_share >= 0.999
    assert {r.code for r in sizing.rows} == {"energy-sources", "full-throttle"}


def test_of_many_the_best_and_those_listed_are_looked_at_closely(monkeypatch):
    grains = []
    real = arm.candidates

    def noted(layout, choices, values, grain):
        grains.append((grain, len(values)))
        return real(layout, choices, values, grain)

    monkeypatch.setattr(arm, "candidates", noted)
    lengths = np.linspace(28, 38, 300)
    sizing = sized(edited(TRUCK), *lengths)
    assert grains[0] == (SAMPLED, 300)
    assert SAMPLED.all_moves  # all are counted and told
    assert sum(n for g, n in grains if g is WHOLE) >= 9
    for i in sizing.listed():
        row = sizing.rows[i]
        assert row.fits == (not check(row.written, cures=False).reasons)


# --- the pedal stop that goes with it ------------------------------------------------


def test_a_stop_is_never_taken_out():
    """Where the floor comes before the full stop it is set to the floor."""
    (row,) = sized(edited(TRUCK), 35.5).rows
    assert row.full_share is None
    assert row.layout.pedal.stop == row.base.pedal.travel


def test_a_stop_is_set_where_there_was_none():
    (row,) = sized(edited(TRUCK, (STOP, "")), 33).rows
    assert row.base.pedal.stop is None
    assert row.stop == pytest.approx(math.ceil(row.full_share * 76 * 2 - 1e-6) / 2e3)
    assert row.stop < row.base.pedal.travel


def test_a_lever_that_is_full_open_at_rest_fails_by_itself():
    """A fixed rod too short holds it there: the stop goes no nearer than its step."""
    short = edited(TRUCK, rod_length("400 mm"))
    short = replace(short, rods={"link": replace(short.rods["link"], fixed=True)})
    rows = sized(short, 20, 32, 33).rows
    assert all(not r.fits for r in rows)
    assert (rows[0].full_share, rows[0].stop) == (0.0, 0.0005)


# --- what is fixed -------------------------------------------------------------------


def marked(more):
    return edited(TRUCK, (LEVER_LINE, LEVER_LINE.replace(" }", f", {more} }}")))


def test_a_fixed_arm_is_not_resized():
    with pytest.raises(UsageError, match=r"arm `spindle.lever` is fixed") as caught:
        sized(marked("fixed = true"), 30, 32)
    assert "free arms: pedal.rod" in caught.value.hint
    assert sized(marked("fixed = true"), 110, 115, hole=ROD).rows
    assert sized(marked("fixed = false"), 30, 32).rows


def test_fixed_clocking_bars_angles_and_not_lengths():
    layout = marked('clocking = "fixed"')
    assert len(sized(layout, 30, 32).rows) == 2
    with pytest.raises(UsageError, match="clocking is fixed"):
        sized(layout, 32, angles_deg=[48, 52])


def test_a_fixed_rod_keeps_its_length():
    """Its twin of the same length, not fixed, is cut again."""
    cut = edited(TRUCK, rod_length("431.6 mm"))
    rod = replace(cut.rods["link"], fixed=True)
    kept = replace(cut, rods={"link": rod})
    (one,), (two,) = sized(cut, 34).rows, sized(kept, 34).rows
    assert (set(one.rods), set(two.rods)) == ({"link"}, set())
    assert two.written.rods["link"].length == rod.length
    assert one.written.rods["link"].length == pytest.approx(one.rods["link"], abs=1e-7)
    assert one.fits
    assert two.fits == (not check(two.written, cures=False).reasons)
    assert not two.fits  # it holds the lever off its idle stop
    assert two.code == "idle"


# --- combinations ---------------------------------------------------------------------


def test_two_arms_and_their_angles_first_arm_slowest():
    layout = edited(TRUCK)
    one = Choice(
        hole=LEVER,
        lengths=(30 * MM, 32 * MM),
        angles=(math.radians(50), math.radians(52)),
    )
    two = Choice(hole=ROD, lengths=(110 * MM, 115 * MM), angles=(math.radians(80),))
    done = []
    sizing = size_arms(layout, [one, two], progress=lambda i, n: done.append((i, n)))
    assert len(sizing.rows) == 8
    assert done == [(8, 8)]  # all are rows of one block
    assert [r.lengths[0] for r in sizing.rows] == [30 * MM] * 4 + [32 * MM] * 4
    assert [r.lengths[1] for r in sizing.rows[:4]] == [110 * MM, 115 * MM] * 2
    assert [round(math.degrees(r.angles[0])) for r in sizing.rows[:4]] == [
        50,
        50,
        52,
        52,
    ]
    assert all(set(r.rods) == {"link"} for r in sizing.rows)


def test_arms_of_two_rods_have_both_cut():
    layout = edited(HAULER)
    outer = Choice(
        hole=Hole(shaft="cross shaft", arm="outer"),
        lengths=(71 * MM,),
        angles=(math.radians(-14),),
    )
    near = Choice(hole=LEVER, lengths=(32 * MM,), angles=(math.radians(52),))
    (row,) = size_arms(layout, [outer, near]).rows
    assert set(row.rods) == {"down", "carb"}


def test_progress_is_told_block_by_block(monkeypatch):
    monkeypatch.setattr(arm, "BLOCK", 200)
    many = Choice(
        hole=LEVER,
        lengths=tuple(np.linspace(0.025, 0.04, 61)),
        angles=tuple(np.linspace(0.8, 1, 12)),
    )
    done = []
    size_arms(edited(TRUCK), [many], progress=lambda i, n: done.append((i, n)))
    counts = [i for i, _ in done]
    assert counts == sorted(set(counts))
    assert len(done) == 4
    assert done[-1] == (61 * 12, 61 * 12)


def test_too_many_and_none_are_refused():
    layout = edited(TRUCK)
    many = Choice(
        hole=LEVER,
        lengths=tuple(np.linspace(0.02, 0.04, 2001)),
        angles=tuple(np.linspace(0, 1, 51)),
    )
    with pytest.raises(UsageError, match="102051 combinations"):
        size_arms(layout, [many])
    with pytest.raises(UsageError, match="0 combinations"):
        size_arms(layout, [])


# --- naming an arm, and steps ---------------------------------------------------------------


def test_holes_are_found_by_name_dots_and_all():
    layout = edited(TRUCK)
    assert find_hole(layout, "spindle.lever") == LEVER
    dotted = edited(TRUCK, ("[shafts.spindle]", '[shafts."no. 2 spindle"]'), (TO, 'to = "no. 2 spindle.lever"'),
                    ('shaft        = "spindle"', 'shaft = "no. 2 spindle"'), ('"spindle.spring"', '"no. 2 spindle.spring"'),
                    ('"spindle.far spring"', '"no. 2 spindle.far spring"'), ('carries = ["spindle"]', 'carries = ["no. 2 spindle"]'))  # fmt: skip
    assert find_hole(dotted, "no. 2 spindle.lever").arm == "lever"


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("spindle.levr", "there is no arm", "did you mean `spindle.lever`"),
        ("pedal.pad", "no rod is joined", "arms with rods: pedal.rod, spindle.lever"),
    ],
)
def test_holes_that_are_not_there_or_have_no_rod(text, message, hint):
    with pytest.raises(UsageError, match=message) as caught:
        find_hole(edited(TRUCK), text)
    assert hint in caught.value.hint


def test_steps_are_whole_multiples_within_the_range():
    assert stepped(0.0301, 0.0319, METRIC_STEP) == (0.0305, 0.031, 0.0315)
    sixteenths = stepped(0.0254, 0.0381, INCH_STEP)
    assert len(sixteenths) == 9
    assert sixteenths[-1] == pytest.approx(1.5 * 0.0254)
    assert stepped(-0.02, 0.02, 0.02) == (-0.02, 0.0, 0.02)


@pytest.mark.parametrize(
    ("low", "high", "step", "message"),
    [
        (0.03, 0.02, 0.001, "no value in the range"),
        (0.0301, 0.0304, 0.0005, "no value in the range"),
        (0.0, 1.0, 0.0001, "10001 values, more than 2000"),
        (0.0, math.inf, 0.1, "two finite ends"),
        (0.0, 1.0, 0.0, "a step above zero"),
        (math.nan, 1.0, 0.1, "two finite ends"),
    ],
)
def test_ranges_that_are_none(low, high, step, message):
    with pytest.raises(UsageError, match=message):
        stepped(low, high, step)


def test_the_range_when_none_is_given():
    assert around(0.030) == pytest.approx((0.018, 0.048))


def test_lengths_alone_may_be_given_by_the_arm_s_name():
    layout = edited(TRUCK)
    hole = layout.hole("spindle.lever")
    now = layout.shafts["spindle"].arms["lever"].angle
    whole = Choice(hole=hole, lengths=(0.030, 0.034), angles=(now,))
    by_name = size_arms(layout, {"spindle.lever": np.array([0.030, 0.034])})
    assert by_name.choices == (whole,)
    assert by_name.chosen == size_arms(layout, [whole]).chosen
    with pytest.raises(UsageError, match="there is no arm"):
        size_arms(layout, {"spindle.levr": [0.03]})
