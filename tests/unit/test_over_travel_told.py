"""What is told of over-travel springs: used up, at the pad, stamped on, from where, arms.

Beside each layout that must be refused stands its sound twin. Sizes are invented.
"""

from __future__ import annotations

from dataclasses import replace
from math import radians, sin

import numpy as np
import pytest

from linkage.comparison import compare
from linkage.comparison.back import rod_back
from linkage.forces.failures import failures
from linkage.forces.statics import statics
from linkage.forces.stiffness import stiffness
from linkage.forces.summary import spring_card
from linkage.model import Hole
from linkage.model.refs import Ref
from linkage.model.rows import row, stack
from linkage.motion import assemble, frame, sweep, working_travel
from linkage.motion.curve import travel_curve
from linkage.motion.giving import full_from, gives_from
from linkage.report.answers import answers
from linkage.report.compare_words import change_text
from linkage.report.curve import curve_data, curve_lines
from linkage.report.findings import check_data, rods_lines
from linkage.report.springs import card_lines
from linkage.report.todo import rods_text
from linkage.rules.examine import examine, stop_set_last
from linkage.rules.rule import BAD, FITS
from linkage.search import check
from linkage.search.arm import size_arms
from linkage.search.sized import Choice
from linkage.search.sources import families
from linkage.sheet.letters import lettered
from tests.unit.edits import HAULER, edited
from tests.unit.offered import offers
from tests.unit.test_over_travel import PUMP, with_rod

SHORT = with_rod(PUMP, over_travel=0.003)


def stop_at(layout, stop):
    return replace(layout, pedal=replace(layout.pedal, stop=stop))


def told(checked, code):
    return next(f for f in checked.findings if f.code == code)


def test_a_spring_used_up_is_told_with_the_way_that_it_lacks():
    found = told(check(SHORT, cures=False), "reach")
    assert found.outcome.rank == BAD
    assert "the over-travel spring of rod `link` is used up" in found.text
    assert "all 3.0 mm of it" in found.text
    assert "it would need 0.7 mm more of way" in found.text
    assert "jams" not in found.text + found.short
    enough = check(with_rod(PUMP, over_travel=0.0038), cures=False)
    assert told(enough, "reach").outcome.rank == FITS


def test_a_plain_rod_that_jams_is_told_as_before():
    layout = stop_at(PUMP, None)
    jammed = replace(layout, pedal=replace(layout.pedal, travel=0.3))
    found = told(check(with_rod(jammed, over_travel=0.0), cures=False), "reach")
    assert "used up" not in found.text


@pytest.mark.parametrize(
    ("layout", "says"),
    [
        (SHORT, "pedal stop that takes the foot at 6"),
        (stop_at(with_rod(PUMP, over_travel=0.006), None), "pedal stop"),
    ],
)  # fmt: skip
def test_it_is_mended_and_the_cure_keeps_the_plate_full(layout, says):
    checked = check(layout)
    cure = told(checked, "reach").cure
    assert cure is not None
    assert cure.proven
    assert says in cure.text
    assert "reaches 100.0%" in cure.text


def test_a_spring_of_more_way_is_among_the_changes():
    x, found = examine(SHORT), told(check(SHORT, cures=False), "reach")
    more = [o for o in offers(families(x, found)) if o.step.kind == "over-travel way"]
    assert more[0].step.new == pytest.approx(0.004)
    mended = check(more[0].layout, cures=False)
    assert told(mended, "reach").outcome.rank == FITS


def test_its_share_at_the_pad_has_a_name_and_shares_add_up():
    motion = sweep(assemble(PUMP), np.linspace(0, 0.066, 34))
    s = statics(motion)
    over = s.over_travel_share["link"]
    given = frame(motion).given["link"] > 0
    assert (over[~given] == 0).all()
    assert (over[given] > 30).all()
    total = over + s.weight_share + sum(s.split.values())
    np.testing.assert_allclose(total, s.pad_force, atol=1e-9)
    text = told(check(PUMP, cures=False), "pad-force").text
    assert "over-travel spring of rod `link` 37.2 N" in text
    assert ("heavy?", "no, the pad takes 38.8 N at most, 37.2 N of it over-travel; over 45 N is heavy") in answers(check(PUMP, cures=False))  # fmt: skip


def test_the_spring_card_has_a_column_of_it():
    card = spring_card(assemble(PUMP), working_travel(assemble(PUMP)), points=11)
    column = card.columns()["pad_force_over_travel_link_N"]
    assert column[-1] == pytest.approx(37.2, abs=0.05)
    assert any("over-travel" in line for line in card_lines(card))
    parted = statics(card.motion, gone=frozenset({Ref("rod", "link")}))
    assert not parted.over_travel_share
    plain = assemble(with_rod(PUMP, over_travel=0.0))
    card = spring_card(plain, working_travel(plain), points=3)
    assert not any("over_travel" in name for name in card.columns())


def test_the_travel_curve_tells_from_where_it_gives():
    assembly = assemble(PUMP)
    working = working_travel(assembly)
    curve = travel_curve(assembly, working)
    place = curve.gives_from["link"]
    # Just before it nothing has given, just past it something has.
    motion = sweep(assembly, np.array([0.0, place - 1e-6, place + 1e-5]))
    given = frame(motion).given["link"]
    assert given[1] == 0 < given[2]
    said = " ".join(" ".join(curve_lines(curve)).split())
    assert (
        "From pad 59.5 mm on the over-travel spring of rod `link` gives, 3.7 mm" in said
    )
    data = curve_data(curve)["over_travel"]["link"]
    assert data == {"gives_from_mm": 59.4728, "given_at_end_mm": 3.7094}
    early = stop_at(PUMP, 0.055)
    assembly = assemble(early)
    curve = travel_curve(assembly, working_travel(assembly))
    assert np.isnan(curve.gives_from["link"])
    assert any("does not give" in line for line in curve_lines(curve))
    assert curve_data(curve)["over_travel"]["link"]["gives_from_mm"] is None
    plain = assemble(with_rod(PUMP, over_travel=0.0))
    assert "over_travel" not in curve_data(travel_curve(plain, working_travel(plain)))


def test_rows_begin_to_give_as_each_alone():
    arms = [0.038, 0.042, 0.046]
    hole = Hole(shaft="pump", arm="lever")
    layouts = [PUMP.with_arm(hole, length=a) for a in arms]
    many = assemble(stack(layouts))
    working = working_travel(many)
    both = gives_from(many, working)["link"], full_from(many, working)
    for i in range(3):
        one = assemble(row(stack(layouts), i))
        alone = working_travel(one)
        assert both[0][i, 0] == pytest.approx(gives_from(one, alone)["link"], abs=1e-7)
        assert both[1][i, 0] == pytest.approx(full_from(one, alone), abs=1e-7)


def test_lists_of_rods_say_how_far_it_has_given():
    checked = check(PUMP, cures=False)
    lines = " ".join(" ".join(rods_lines(checked)).split())
    assert (
        "its over-travel spring has given 3.7 mm of 12.0 mm at the pedal's end" in lines
    )
    assert "`link` 431.6 mm until it gives" in rods_text(checked)
    rod = check_data(checked)["rods"]["link"]
    assert rod["over_travel_mm"] == 12.0
    assert rod["given_at_end_mm"] == pytest.approx(3.7094)


def test_what_the_stop_takes_is_load_times_arm_less_the_return_springs():
    x = examine(PUMP)
    s = x.forces.stamp
    load = 60 + 1500 * x.speeds.given["link"][-1]
    assert s.real.rods["link"] == pytest.approx(load)
    line = x.lines["link"]
    arm = 0.042 * sin(line.driven_angle[-1]) * np.cos(line.driven_tilt[-1])
    clamp = s.real.clamps[Ref("arm", "pump", "lever")]
    assert clamp == pytest.approx(load * arm, rel=0.01)
    springs = sum(abs(x.forces.lines.springs[n].torque[-1]) for n in ("near", "far"))
    # And not less of the lever's own weight, which opens here.
    assert s.real.stop_torque == pytest.approx(clamp - springs, abs=0.04)
    assert s.real.stop_torque > clamp - springs
    assert s.pedal_stop.pedal_stop == pytest.approx(500 - s.passed_on)
    text = told(check(PUMP, cures=False), "over-travel-load").text
    assert "2.6 N·m at `pump`" in text
    assert "if it breaks the rod is parted" in text
    assert Ref("rod", "link") in {r for f in failures(PUMP) for r in f.gone}


def test_a_stamped_foot_goes_through_only_where_the_spring_is_used_up():
    x = examine(PUMP)
    s = x.forces.stamp
    assert s.spared
    floor = sweep(assemble(PUMP), np.array([0.0, 0.076]))
    load = 60 + 1500 * frame(floor).given["link"][1]
    assert s.plate_stop.rods["link"] == pytest.approx(load)
    text = told(check(PUMP, cures=False), "stamp-load").text
    assert "puts no more on the rest than rod `link` pulled with 66 N" in text
    assert "without it the floor takes it at pad 76.0 mm" in text
    less = check(with_rod(PUMP, over_travel=0.006), cures=False)
    s = less.examined.forces.stamp
    assert not s.spared
    assert s.plate_stop.rods["link"] > 800
    assert s.real.rods["link"] == pytest.approx(x.forces.stamp.real.rods["link"])
    assert "without it, the over-travel spring used up: rod `link` pulled with 8" in told(less, "stamp-load").text  # fmt: skip
    free = told(check(stop_at(PUMP, None), cures=False), "stamp-load")
    assert "taken by the floor" in free.text
    assert "without" not in free.text


def test_a_spring_without_a_stop_to_give_against_spares_nothing():
    """In the rod to a cross shaft, say: it is stiff, and all is told as of a plain rod."""
    plain = edited(HAULER)
    first, *_ = (link.rod.name for link in plain.path_to(plain.main.shaft))
    spring = {
        "over_travel": 0.012,
        "over_travel_load": 60.0,
        "over_travel_rate": 1500.0,
    }
    sprung = replace(plain.rods[first], **spring)
    both = (plain, replace(plain, rods={**plain.rods, first: sprung}))
    for stop in (plain.pedal.stop, None):
        one, two = (check(stop_at(layout, stop), cures=False) for layout in both)
        for code in ("stamp-load", "full-then-idle"):
            texts = [[f.text for f in c.findings if f.code == code] for c in (one, two)]
            assert texts[0]
            assert texts[0] == texts[1]


def test_stamped_rows_are_as_each_alone():
    layouts = [with_rod(PUMP, over_travel=way) for way in (0.005, 0.012)]
    many = examine(stack(layouts)).forces.stamp
    for i, layout in enumerate(layouts):
        one = examine(layout).forces.stamp
        assert bool(many.spared[i, 0]) == one.spared
        for way in ("plate_stop", "pedal_stop", "real"):
            here, alone = getattr(many, way), getattr(one, way)
            assert here.rods["link"][i, 0] == pytest.approx(float(alone.rods["link"]), rel=1e-6)  # fmt: skip
            stop = np.broadcast_to(here.stop_torque, (2, 1))[i, 0]
            assert stop == pytest.approx(float(alone.stop_torque), rel=1e-6)


def test_past_the_stop_the_pad_is_as_stiff_as_the_spring_lets_it():
    x = examine(PUMP)
    firm = stiffness(x.forces.lines, "pump")
    # Some way before the end of the pedal the spring has given too: the rate of the
    # force there is that of the spring and of its way to the pad, levers and rod rigid.
    near = statics(sweep(assemble(PUMP), np.array([0.0, 0.0659, 0.066])))
    rigid = float(np.diff(near.pad_force)[1]) / 1e-4
    assert firm == pytest.approx(rigid, rel=0.12)
    stiff = examine(with_rod(stop_at(PUMP, None), over_travel=0.0))
    assert stiffness(stiff.forces.lines, "pump") > 20 * firm


@pytest.mark.parametrize(
    ("stop", "way", "at"),
    [(0.066, 0.012, 0.066), (0.05, 0.012, 0.0595), (0.066, 0.003, 0.0595)],
)
def test_a_stop_set_last_stays_between_full_and_where_the_spring_is_used_up(
    stop, way, at
):
    x = stop_set_last(stop_at(with_rod(PUMP, over_travel=way), stop))
    assert x.layout.pedal.stop == pytest.approx(at, abs=1e-9)
    assert not x.working.jammed


def test_arms_tell_where_they_are_full_though_no_stop_stops_the_pedal():
    hole = Hole(shaft="pump", arm="lever")
    lengths = tuple(np.arange(0.040, 0.058, 0.002))
    found = size_arms(PUMP, [Choice(hole=hole, lengths=lengths, angles=(radians(62),))])
    shares = [r.full_share for r in found.rows]
    reached = [s for s in shares if s is not None]
    assert reached == sorted(reached)
    assert 0.7 < reached[0] < 0.8
    assert shares[-1] is None
    assert found.best.fits
    # Full within 90 to 98 % of the pad's travel comes first.
    assert 0.9 <= found.best.full_share <= 0.98
    assert not examine(found.best.layout).working.jammed


def test_setting_at_full_first_is_not_told_of_a_rod_that_takes_up_the_rest():
    assert "full-then-idle" not in {f.code for f in check(PUMP, cures=False).findings}
    plain = check(with_rod(PUMP, over_travel=0.0), cures=False)
    assert "full-then-idle" in {f.code for f in plain.findings}


def test_one_put_in_with_too_much_load_is_heavy_and_put_in_with_less():
    found = told(check(with_rod(PUMP, over_travel_load=90.0)), "pad-force")
    assert found.outcome.rank
    assert "the over-travel spring of rod `link` in with 70.0 N of load instead of 90.0 N" in found.cure.text  # fmt: skip


def test_two_layouts_that_differ_in_it_alone_are_told_apart_and_set_back():
    other = with_rod(PUMP, over_travel=0.003, over_travel_load=70.0)
    (change,) = compare(PUMP, other).changes
    assert change.kind == "rod over-travel"
    text = change_text(change)
    assert "gives 3.0 mm from 70.0 N on at 1.500 N/mm" in text
    assert "was one that gives 12.0 mm from 60.0 N on" in text
    plain = with_rod(PUMP, over_travel=0.0, over_travel_load=0.0, over_travel_rate=0.0)
    (change,) = compare(plain, PUMP).changes
    assert change_text(change).endswith("(was one that does not give)")
    assert rod_back(PUMP, "link")(other).rods == PUMP.rods
    assert not compare(PUMP, PUMP).changes


def test_the_measuring_sheet_asks_of_it():
    (rods,) = (g for g in lettered(PUMP) if g.title == "Rods")
    (line,) = rods.rows
    words = [box.words for box in line.boxes]
    assert words[3:] == ["it gives", "gives from", "its rate"]
    assert [box.kind for box in line.boxes][3:] == ["length", "force", "rate"]
    assert "With a spring in it: until it gives." in rods.note
    (rods,) = (
        g for g in lettered(with_rod(PUMP, over_travel=0.0)) if g.title == "Rods"
    )
    assert len(rods.rows[0].boxes) == 3
    assert "until it gives" not in rods.note


def test_a_column_of_ways_is_judged_row_by_row():
    many = stack([with_rod(PUMP, over_travel=way) for way in (0.003, 0.006, 0.012)])
    x = examine(many)
    assert x.working.jammed.ravel().tolist() == [True, False, False]
    assert x.assembly.loop("link").take(np.array([2, 0])).most.ravel().tolist() == [0.012, 0.003]  # fmt: skip
