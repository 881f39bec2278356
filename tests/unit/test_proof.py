"""What readings tell of a layout: agreement, what is wrong, what would decide, what follows.

All readings are invented.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.config import dump, load, loads
from linkage.errors import AssemblyError, LayoutError, UsageError
from linkage.model.paths import read
from linkage.model.readings import Reading
from linkage.model.refs import Ref
from linkage.motion import assemble, sweep, working_travel
from linkage.motion.frame import frame
from linkage.motion.tangent import carried
from linkage.proof import prove
from linkage.proof.blank import blanks
from linkage.proof.predicted import Predicted
from linkage.proof.unknowns import SET_TO, is_setting, unknowns, vehicles
from linkage.report.proof import proof_data, proof_lines, signed
from linkage.rules import examine
from linkage.rules.engine import judge
from linkage.search import check
from tests.cli.conftest import CONFIGS
from tests.unit.edits import HAULER, TRUCK, edited, lever
from tests.vehicles import Exact, vehicle

PLATE = Ref("throttle", "throttle")
HOLE = Ref("arm", "spindle", "lever")


def truck():
    return edited(TRUCK)


def opened(pad, degrees, *, error=1.0, pad_error=1e-3):
    return Reading(
        what="throttle",
        about=PLATE,
        value=math.radians(degrees),
        error=math.radians(error),
        pad=pad,
        pad_error=pad_error if pad else 0.0,
    )


def full(pad, error=1e-3):
    return Reading(what="full", about=PLATE, value=pad, error=error, pad=pad)


def rod(length, error=1e-3):
    return Reading(what="rod", about=Ref("rod", "link"), value=length, error=error)


def pull(value, rubs, pad=0.0):
    return Reading(
        what="pull", about=HOLE, value=value, error=0.1 * value, pad=pad, rubs=rubs
    )


def of_a_vehicle(name, *edits, layout=None, generator=None):
    """Return a layout, and what is read on a vehicle that has other numbers."""
    layout = edited(name) if layout is None else layout
    asked = [
        b.reading for b in blanks(edited(name, *edits)) if b.reading.what != "pull"
    ]
    made = vehicle(edited(name, *edits), asked, generator or Exact())
    return layout, made.readings


# What is predicted.


def test_blanks_are_what_motion_and_rules_say():
    layout = truck()
    by = {b.reading.called: b for b in blanks(layout)}
    working = working_travel(
        assemble(replace(layout, pedal=replace(layout.pedal, stop=None)))
    )
    assert by[
        "pad travel at which the throttle is full"
    ].reading.value == pytest.approx(float(working.end), abs=1e-7)
    motion = sweep(assemble(layout), [0.035])
    said = by["angle of the throttle at 35.0 mm of pad"].reading.value
    assert said == pytest.approx(float(motion.opening("throttle")[0]), abs=1e-9)
    length = float(assemble(layout).loop("link").length)
    assert by["length of rod `link`"].reading.value == pytest.approx(length)
    # The pull is what the rule of the closing torque tells, opening and letting go.
    told = next(
        o for o in judge(examine(layout)).x.outcomes["closing-torque"] if not o.part
    )
    more, less = told.facts["idle"]
    blank = by["pull at `spindle.lever` with the pedal up"]
    assert blank.reading.value + blank.rubs == pytest.approx(more, rel=1e-6)
    assert blank.reading.value - blank.rubs == pytest.approx(less, rel=1e-6)


def test_slopes_are_those_of_the_derived_closure():
    """Against SymPy's partials carried through the chain, of holes and pivots."""
    layout = edited(HAULER)
    some = unknowns(layout)
    places = [0.02, 0.05]
    predicted = Predicted(layout, some, [opened(pad, 30) for pad in places])
    _, by_pad, by = predicted.slopes(np.zeros(len(some)))
    still = frame(sweep(assemble(layout), [0.0, *places]))
    spindle = layout.main.shaft
    seen = 0
    for i, m in enumerate(some):
        if m.path[0] != "shafts" or m.path[2] == "drag":
            continue
        want = (
            layout.main.opens * np.broadcast_to(carried(still, m.path)[spindle], 3)[1:]
        )
        assert by[:, i] == pytest.approx(want, rel=2e-4, abs=2e-4), m.called
        seen += bool(np.abs(want).max() > 0.1)
    assert seen > 10
    assert by_pad == pytest.approx(
        layout.main.opens * np.broadcast_to(still.first[spindle], 3)[1:], rel=1e-6
    )


def test_a_rods_setting_turns_what_it_drives():
    layout = truck()
    some = unknowns(layout)
    assert [m.about.name for m in some if is_setting(m)] == ["link"]
    off = np.zeros((2, len(some)))
    off[0, -1], off[1, -1] = SET_TO, -SET_TO
    made = assemble(vehicles(layout, some, off))
    cut = float(assemble(layout).loop("link").length)
    assert np.ravel(made.loop("link").length) == pytest.approx(
        [cut + SET_TO, cut - SET_TO]
    )
    turned = np.ravel(made.rest["spindle"])
    assert turned[0] * turned[1] < 0
    assert abs(np.degrees(turned[0])) > 0.5


def test_a_rod_whose_length_is_known_has_no_setting_beside_it():
    layout = edited(
        TRUCK,
        ('to       = "spindle.lever"', 'to = "spindle.lever"\nlength = "431.6 ± 1 mm"'),
    )
    assert [m.what for m in unknowns(layout) if m.path[0] == "rods"] == ["length"]


# Whether it agrees.


def test_a_vehicle_with_another_lever_does_not_agree_and_its_lever_is_named():
    """34 mm in the file, and 30 on the vehicle; its sound twin agrees."""
    layout, readings = of_a_vehicle(TRUCK, lever(30), layout=edited(TRUCK, lever(34)))
    fine = [replace(r, error=r.error / 3, pad_error=r.pad_error / 3) for r in readings]
    proof = prove(layout, fine, samples=4)
    assert not proof.sound
    named = {e.about.called: e for e in proof.explanations}
    found = named["radius of `spindle.lever`"]
    assert found.off == pytest.approx(-4e-3, abs=1e-3)
    twin, right = of_a_vehicle(TRUCK, lever(34), layout=edited(TRUCK, lever(34)))
    assert prove(twin, right, samples=4).sound


def test_a_slip_of_the_pen_in_one_reading_is_named():
    layout, readings = of_a_vehicle(TRUCK)
    wrong = [
        replace(r, value=math.radians(72)) if r.pad == pytest.approx(0.035) else r
        for r in readings
    ]
    (first, *_) = prove(layout, wrong, samples=4).explanations
    assert first.is_reading
    assert first.about.called == "angle of the throttle at 35.0 mm of pad"
    assert math.degrees(first.off + math.radians(72)) == pytest.approx(38.5, abs=1)


def test_a_rod_set_too_long_is_told_as_its_setting():
    layout = truck()
    some = unknowns(layout)
    readings = [
        b.reading
        for b in blanks(layout)
        if b.reading.what in {"throttle", "full", "rod"}
    ]
    fine = [replace(r, error=r.error / 4, pad_error=r.pad_error / 4) for r in readings]
    place = len(some) - 1
    assert is_setting(some[place])
    made = vehicle(layout, fine, Exact(), wrong=place, tolerances=-6)
    proof = prove(layout, made.readings, samples=4)
    first = proof.explanations[0]
    assert first.about.called == "setting of rod `link`"
    assert first.off == pytest.approx(-3e-3, rel=0.25)
    assert "mm shorter" in "\n".join(proof_lines(proof))


def test_readings_that_no_layout_near_can_give_are_told_so():
    proof = prove(truck(), [opened(0.005, 88), opened(0.04, 2)], samples=4)
    assert (proof.sound, proof.explanations, proof.corrected) == (False, (), None)
    text = " ".join(" ".join(proof_lines(proof)).split())
    assert "No one wrong number explains it" in text
    assert "in the hole that the file names" in text
    assert proof_data(proof)["corrected"] is None


def test_what_is_far_from_any_error_is_no_explanation():
    """A pivot 60 metres away would explain a pad travel of 7.1 mm, and is none."""
    (first, *others) = prove(truck(), [full(7.1e-3)], samples=4).explanations
    assert first.is_reading
    assert first.off + 7.1e-3 == pytest.approx(68.9e-3, abs=1e-3)
    assert all(abs(e.off) <= 40 * e.about.error for e in others)


# What would tell.


def tied():
    """Readings that a short lever and a short pad explain alike."""
    return truck(), [full(65e-3), opened(0.02, 24.6), opened(0.04, 47.5), rod(0.432)]


def test_explanations_that_readings_do_not_tell_apart_are_all_told():
    proof = prove(*tied(), samples=4)
    assert proof.open >= 2
    assert {"radius of `spindle.lever`", "radius of `pedal.pad`"} <= {
        e.about.called for e in proof.explanations[: proof.open]
    }
    assert (proof.taken, proof.corrected, proof.after) == (None, None, None)
    assert "Measure the radius of `spindle.lever`, to 0.2 mm" in " ".join(
        " ".join(proof_lines(proof)).split()
    )


def test_what_decides_does_decide():
    """The lever measured again as it is, or as it would be, leaves one explanation."""
    layout, readings = tied()
    proof = prove(layout, readings, samples=4)
    where, right = proof.deciding.about.path, proof.deciding.expected[0]
    assert where == ("shafts", "spindle", "arms", "lever", "length")
    assert abs(right - read(layout, where)) > 1e-3
    known = {("shafts", "spindle", "arms", "lever", "length"): 0.2e-3}
    short = replace(edited(TRUCK, lever(round(1e3 * right, 1))), tolerances=known)
    assert prove(short, readings, samples=4).sound
    same = prove(replace(layout, tolerances=known), readings, samples=4)
    assert same.explanations[0].about.called != "radius of `spindle.lever`"
    # It is not asked for again, where nobody measures better.
    assert same.deciding.about.path == ("shafts", "pedal", "arms", "pad", "length")


def test_one_is_taken_where_the_user_says_so():
    proof = prove(*tied(), take=1, samples=20)
    assert proof.taken == 1
    assert proof.corrected is not None
    assert not proof.good
    assert "What follows takes number 2" in " ".join(proof_lines(proof))
    with pytest.raises(UsageError, match="no explanation 10"):
        prove(*tied(), take=9, samples=4)
    with pytest.raises(UsageError, match="no explanation 1"):
        prove(truck(), of_a_vehicle(TRUCK)[1], take=0, samples=4)


# What follows.


def test_the_band_afterwards_is_much_narrower():
    """Three tapes and a protractor before; an angle block and a rule on the vehicle."""
    layout, readings = of_a_vehicle(HAULER)
    fine = [replace(r, error=r.error / 2, pad_error=r.pad_error / 2) for r in readings]
    proof = prove(layout, fine, samples=300)

    def wide(band):
        return float(np.max(band.curve[2] - band.curve[0]))

    assert proof.sound
    assert wide(proof.after) < 0.6 * wide(proof.before)
    data = proof_data(proof)["columns"]
    assert len(data["throttle_angle_after_50_deg"]) == len(data["pad_travel_mm"])


def test_the_band_afterwards_holds_the_vehicle():
    """The curve of the vehicle that was read lies within, and not at the old place."""
    layout, readings = of_a_vehicle(TRUCK, lever(31.3))
    fine = [replace(r, error=r.error / 3, pad_error=r.pad_error / 4) for r in readings]
    proof = prove(layout, fine, samples=300)
    at = 30
    pad = float(proof.before.pad_travel[at])
    true = float(sweep(assemble(edited(TRUCK, lever(31.3))), pad).opening("throttle"))
    low, _, high = proof.after.curve[:, at]
    assert low - math.radians(0.2) < true < high + math.radians(0.2)
    assert high - low < proof.before.curve[2, at] - proof.before.curve[0, at]


def test_the_corrected_layout_reads_back_and_fits_the_readings():
    layout, readings = of_a_vehicle(TRUCK, lever(30), layout=edited(TRUCK, lever(34)))
    proof = prove(layout, readings, take=0, samples=4)
    text = dump(proof.corrected)
    again = loads(text).layout
    assert again == proof.corrected
    assert prove(again, readings, samples=4).agrees > 0.5
    assert check(again, cures=False).verdict == proof.check.verdict
    # Numbers as a person writes them.
    long = [
        word
        for word in text.split()
        if len(word.strip('",[]')) > 9
        and word.strip('",[]-').replace(".", "").isdigit()
    ]
    assert long == []
    changed = [
        m
        for m in unknowns(layout)
        if not is_setting(m) and read(again, m.path) != read(layout, m.path)
    ]
    assert len(changed) > 3


def test_what_is_known_better_has_a_narrower_error_and_what_is_not_keeps_its_own():
    layout, readings = of_a_vehicle(TRUCK)
    fine = [
        replace(r, error=r.error / 20, pad_error=r.pad_error / 20) for r in readings
    ]
    shifted = [replace(r, value=r.value * 1.01) for r in fine]
    proof = prove(
        layout,
        shifted,
        take=0 if not prove(layout, shifted, samples=4).sound else None,
        samples=4,
    )
    before = {m.path: m.error for m in unknowns(layout)}
    narrower = 0
    for m in unknowns(proof.corrected):
        if is_setting(m):
            continue
        if m.key in proof.corrected.tolerances:
            assert m.error < before[m.path]
            narrower += 1
        else:
            assert m.error == pytest.approx(before[m.path], rel=0.05)
    assert narrower


# What is wrong whatever the file says.


def test_a_throttle_that_does_not_rest_on_its_stop_must_not_be_driven():
    proof = prove(truck(), [opened(0.0, 4.0)], samples=4)
    (danger,) = proof.dangers
    assert (danger.kind, proof.good) == ("open", False)
    # That the eye was wrong is the likeliest, and nothing rests on it unasked.
    assert proof.explanations[0].is_reading
    assert (proof.taken, proof.after, proof.corrected) == (None, None, None)
    assert "`--take 1` goes on" in " ".join(" ".join(proof_lines(proof)).split())
    assert prove(truck(), [opened(0.0, 4.0)], take=0, samples=4).corrected is not None
    assert proof_lines(proof)[0].startswith("DO NOT DRIVE")
    assert "does not rest on its stop" in " ".join(" ".join(proof_lines(proof)).split())
    assert prove(truck(), [opened(0.0, 0.8)], samples=4).dangers == ()


def test_a_spring_that_shuts_with_less_than_twice_the_friction_must_not_be_driven():
    """21 N to open and 13 when let go: 17 against 4 is enough; 25 and 9 is not."""
    assert prove(truck(), [pull(26.0, 6.0)], samples=4).dangers == ()
    proof = prove(truck(), [pull(26.0, 14.0)], samples=4)
    (danger,) = proof.dangers
    assert danger.value == pytest.approx(26 / 14)
    assert danger.limit == 2
    assert "1.9 times the friction, and 2.0 times is asked" in " ".join(
        " ".join(proof_lines(proof)).split()
    )
    assert "more than is reckoned with" in "\n".join(proof_lines(proof))


def test_a_weak_spring_is_told_by_its_pull():
    """Half the pull that the file's springs make: no sound vehicle; a spring is named."""
    proof = prove(truck(), [pull(13.0, 3.0), pull(20.0, 3.0, pad=0.05)], samples=4)
    assert not proof.sound
    assert "spring" in proof.explanations[0].about.called


def test_an_agreeing_vehicle_whose_layout_does_not_fit_is_not_good():
    layout, readings = of_a_vehicle("fault-springs-too-weak")
    proof = prove(layout, readings, samples=20)
    assert proof.sound
    assert not proof.good
    assert "it DOES NOT FIT" in proof_lines(proof)[0]


# What is refused.


def test_what_is_not_known_is_refused_by_name():
    for name, what in (
        ("governed-engine", "governed engine"),
        ("cam-roller", "cam"),
        ("slide-to-pump", "slide"),
    ):
        layout = load(CONFIGS / f"{name}.toml").layout
        for ask in (blanks, lambda layout: prove(layout, [full(0.05)], samples=4)):
            with pytest.raises(UsageError, match=what):
                ask(layout)


def test_a_layout_that_does_not_get_there_is_refused():
    layout = edited(
        TRUCK, ('to       = "spindle.lever"', 'to = "spindle.lever"\nlength = 431.6')
    )
    far = Reading(
        what="lever", about=HOLE, value=0.5, error=0.02, pad=0.15, pad_error=1e-3
    )
    with pytest.raises(AssemblyError, match="does not get to where"):
        prove(layout, [far], samples=4)


def test_readings_of_python_are_held_to_the_same():
    with pytest.raises(LayoutError, match="no rod `lnk`"):
        prove(truck(), [replace(rod(0.4), about=Ref("rod", "lnk"))], samples=4)
    with pytest.raises(LayoutError, match="nothing was read"):
        prove(truck(), [], samples=4)


def test_differences_have_a_sign_where_they_are_something():
    assert [signed(v, "length") for v in (1e-3, -1e-3, -1e-6)] == [
        "+1.0 mm",
        "-1.0 mm",
        "0.0 mm",
    ]
