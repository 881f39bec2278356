"""A stamped foot and a pedal stop that comes late: what the rods carry until then."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from linkage.forces.lines import force_lines
from linkage.forces.stamp import may_take, stamped
from linkage.forces.stiffness import stiffness
from linkage.model import Stop, stack
from linkage.model.refs import Ref
from linkage.motion import assemble, frame, sweep, working_travel
from linkage.rules import examine
from tests.sprung import with_bearings
from tests.unit.ruled import alone
from tests.unit.test_rules_forces import layout, pair


def full_at(x):
    """Where the full stop is met. [m]"""
    bare = replace(x, pedal=replace(x.pedal, stop=None))
    return working_travel(assemble(bare)).end


def late(late_mm, rod_mm=4.0):
    """The hauler on shafts of 16 mm, its stop so long after the full stop."""
    x = with_bearings(layout(*pair(), travel_mm=100), 16)
    rods = {n: replace(r, diameter=rod_mm / 1e3) for n, r in x.rods.items()}
    stop = None if late_mm is None else full_at(x) + late_mm / 1e3
    return replace(x, rods=rods, pedal=replace(x.pedal, stop=stop))


def pushed(x):
    (found,) = (f for f in alone(x, "rod-push") if f.about.name == "first")
    return found


def stamp(x):
    (found,) = alone(x, "stamp-load")
    return found


def test_what_may_take_a_foot_is_every_full_stop_and_every_stop_past_the_pedal():
    x = layout(*pair())
    second = replace(x.main, name="second", shaft="cross shaft")
    stops = {s: Stop(name=s, shaft=s, turn=1.0) for s in ("pedal", "spindle")}
    x = replace(x, throttles={**x.throttles, "second": second}, stops=stops)
    assert may_take(x) == {
        Ref("full stop", "throttle"): "spindle",
        Ref("full stop", "second"): "cross shaft",
        Ref("stop", "spindle"): "spindle",
    }
    assert next(iter(may_take(x))) == Ref("full stop", x.main.name)


def test_a_thin_rod_is_pushed_until_a_late_stop_is_met():
    """4 mm that holds where the stop is met at once; 1 mm later it buckles."""
    at_once, after, thick = (examine(late(*c)) for c in ((0.0,), (1.0,), (1.0, 6.0)))
    assert pushed(at_once).verdict == "fits"
    fault = pushed(after)
    assert fault.verdict == "do not fit"
    assert fault.value > 2 * pushed(at_once).value
    assert "under a stamped foot, until the pedal stop is met 1.0 mm after" in fault.text  # fmt: skip
    assert pushed(thick).verdict == "fits"
    # The stop takes the foot all the same: it is the rod that is wrong.
    assert stamp(after).verdict == stamp(at_once).verdict == "fits"


def test_lateness_times_stiffness_goes_into_the_linkage():
    x = examine(late(1.0))
    s = x.forces.stamp
    lines = force_lines(sweep(x.assembly, [x.working.end]))
    springs = float(x.forces.statics.pad_force[-1])
    assert s.stiffness == pytest.approx(float(stiffness(lines, "spindle")))
    assert s.late == pytest.approx(1e-3)
    more = s.stiffness * 1e-3
    assert s.passed_on == pytest.approx(springs + more)
    assert s.pedal_stop.pedal_stop == pytest.approx(500 - springs - more)
    assert s.real is s.pedal_stop
    # Virtual work: what is more than the springs' part goes to the full stop.
    first = frame(lines.motion).first["spindle"]
    assert s.real.stop_torque == pytest.approx(more / float(first[-1]), rel=1e-6)
    # What rods carry more goes with it, from springs alone to the whole foot.
    whole, none = s.plate_stop.rods["first"], examine(late(0.0)).forces.stamp.real.rods["first"]  # fmt: skip
    share = more / (500 - springs)
    assert s.real.rods["first"] == pytest.approx(none + share * (whole - none), rel=1e-6)  # fmt: skip


def test_a_late_stop_tells_clamps_and_full_stop():
    text = stamp(examine(late(1.0))).text
    told, without = text.split("; without it: ")
    assert "is taken by the pedal stop" in told
    assert "it comes 1.0 mm after the full stop of throttle, and until then" in told
    assert "N/mm stiff at the pad" in told
    for part in (told, without):
        assert "rod `first` pushed with" in part
        assert "on the clamp of `cross shaft." in part
        assert "on the full stop of throttle" in part
    assert "until then" not in stamp(examine(late(0.0))).text


def test_a_stop_too_late_for_the_foot_does_not_take_it():
    x = examine(late(12.0, 8.0))
    s, found = x.forces.stamp, stamp(x)
    assert not s.by_pedal
    assert s.passed_on == s.load == 500
    without = examine(late(None, 8.0)).forces.stamp.real
    assert s.real.rods == pytest.approx(without.rods, rel=1e-6)
    assert found.verdict == "look"
    assert "the pedal stop comes 12.0 mm after the full stop of throttle, too late" in found.text  # fmt: skip
    assert "until the pedal stop" not in pushed(x).text
    none = stamp(examine(late(None, 8.0)))
    assert none.verdict == "look"
    assert "no pedal stop takes a foot" in none.text


def test_a_stop_behind_the_floor_takes_nothing():
    x = late(1.0)
    floor = replace(x, pedal=replace(x.pedal, travel=full_at(x) + 0.5e-3))
    s = examine(floor).forces.stamp
    assert not s.by_pedal
    assert s.late == 0


def test_hardly_late_is_as_not_late():
    """What the rods carry goes over into the springs' part without a step."""
    on_time, hardly = (examine(late(d)).forces.stamp.real for d in (0.0, 1e-6))
    for name, pull in on_time.rods.items():
        assert hardly.rods[name] == pytest.approx(pull, rel=1e-6)
    for clamp, torque in on_time.clamps.items():
        assert hardly.clamps[clamp] == pytest.approx(torque, rel=1e-6)
    assert hardly.stop_torque == pytest.approx(0.0, abs=1e-6)


def test_a_stop_that_is_met_first_leaves_the_springs_alone():
    s = examine(late(-3.0)).forces.stamp
    assert s.by_pedal
    assert s.late == 0
    assert s.real.stop_torque == 0
    assert s.real.pedal_stop == pytest.approx(500 - s.passed_on)


def test_rows_late_and_not_late_and_too_late():
    layouts = [late(d) for d in (-3.0, 0.0, 1.0, 12.0)]
    assembly = assemble(stack(layouts))
    many = stamped(assembly, working_travel(assembly))
    for i, one in enumerate(layouts):
        single = examine(one).forces.stamp
        for name in ("by_pedal", "late", "stiffness", "passed_on"):
            got = np.broadcast_to(getattr(many, name), (4, 1))[i, 0]
            assert got == pytest.approx(getattr(single, name), rel=1e-9, abs=1e-9), name
        for name, pull in single.real.rods.items():
            assert many.real.rods[name][i, 0] == pytest.approx(float(pull), rel=1e-6)
        clamp = Ref("arm", "spindle", "lever")
        assert many.real.clamps[clamp][i, 0] == pytest.approx(float(single.real.clamps[clamp]), rel=1e-6)  # fmt: skip
        assert many.real.stop_torque[i, 0] == pytest.approx(float(single.real.stop_torque), abs=1e-6)  # fmt: skip
