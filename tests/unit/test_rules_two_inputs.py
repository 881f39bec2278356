"""Rules about a hand lever beside the pedal: what must be refused, and its sound twin."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.motion import assemble, sweep
from linkage.motion.by_hand import by_hand
from linkage.rules import examine, judge
from linkage.rules.by_hand import ASKED, BEFORE, BY_HAND
from linkage.rules.order import BY_CODE
from linkage.rules.other_words import in_hands_words
from linkage.search import check
from tests.unit.compared import car
from tests.unit.edits import TRUCK, edited
from tests.unit.ruled import alone, found_in
from tests.unit.test_hand import BOTH, LEVER, foot_rod, hand_rod

KNOB = "arms.knob = { length = 160, angle = 75 }"
HOLE = "arms.hand         = { length = 38, angle = 44, offset = 60 }"


def codes(layout, verdict="do not fit"):
    return {f.code for f in found_in(layout) if f.verdict == verdict}


def one(layout, code, verdict=None):
    """Return the one finding of a rule, of some verdict where it is given."""
    found = [f for f in found_in(layout) if f.code == code]
    (f,) = [f for f in found if verdict in {None, f.verdict}]
    return f


def apart(spindle_deg: float) -> float:
    """Return how far the hand rod's holes are apart, hand lever home. [m].

    By the numbers of the shipped file alone.
    """
    hand, spindle = (np.array(p) * 1e-3 for p in ((70, -90, 150), (430, -30, 82)))
    one, two = math.radians(65), math.radians(44 + spindle_deg)
    pin = hand + 0.066 * np.array([math.cos(one), 0, math.sin(one)])
    arm = np.array([0.038 * math.cos(two), -0.060, 0.038 * math.sin(two)])
    other = spindle + arm
    return float(np.linalg.norm(pin - other))


def test_the_shipped_pair_fits_and_tells_that_the_hand_lever_holds_it_open():
    layout = edited(BOTH)
    assert codes(layout) == set()
    assert codes(layout, "look") == {"hand-holds"}
    told = {f.code for f in found_in(layout)}
    asked = {BEFORE + rule.code for rule in ASKED}
    # It has no spring of its own, no wire is given, and no mount goes.
    own = {"spring-line", "spring-hand", "spring-slack", "spring-overstretched"}
    own |= {"spring-stretch", "spring-stress", "mount-gone"}
    own |= {"drum-unwound", "drum-covered", "nipple-room", "sheath-loss"}  # no cable
    own |= {"guide-jam", "guide-room"}  # no slide
    own |= {"gap", "own-gap"}  # no obstacle
    own |= {"heat-idle", "heat-clearance"}  # nothing is told of heat
    own |= {"cable-slack", "sheath-bend", "sheath-pulled", "wire-strength"}
    assert told >= asked - {BEFORE + code for code in own}
    assert told >= {"pedal-drags-hand", "hand-drags-pedal", "hand-opens", "hand-stays"}
    # A lever that sticks is another matter than one that is left where it is.
    assert "slot-lets-go" not in told
    assert not any(f.rule.hand for f in found_in(edited(TRUCK)))


def test_a_hand_lever_left_pulled_holds_the_plate_as_far_open_as_it_pulls_it():
    found = one(edited(BOTH), "hand-holds")
    opening = math.degrees(found.outcome.facts["opening"])
    motion = sweep(assemble(by_hand(assemble(edited(BOTH)))), [0.12])
    assert opening == pytest.approx(math.degrees(motion.opening("throttle")[0]))
    assert found.value == pytest.approx(opening / 76)
    assert "`hand.knob`, left pulled, holds throttle open, up to 75.8°" in found.text
    assert "must be pushed home by hand" in found.text
    assert "push the hand lever home" in found.cure.text


def test_a_slot_that_the_pedal_uses_up_drags_the_hand_lever_and_is_refused():
    short = edited(BOTH, hand_rod("slot = 30", "lost = 1"))
    assert codes(short) == {"pedal-drags-hand"}
    found = one(short, "pedal-drags-hand")
    # The pins come together by so much, and so much of that the slot takes up.
    lacks = apart(0) - apart(76) - (0.030 - 0.001)
    assert -found.value == pytest.approx(lacks, abs=1e-6)
    assert found.text.endswith(f"the slot must be {1e3 * lacks:.1f} mm longer")
    x = examine(short)
    turn = x.motion.turns["hand"][-1]
    moved = found.outcome.facts["moved"]
    assert moved == pytest.approx(0.16 * turn, abs=1e-9)
    assert moved > 0.02
    # Left there, so far it holds the plate open.
    held = sweep(x.by_hand.assembly, [moved]).opening("throttle")[0]
    assert found.outcome.facts["held"] == pytest.approx(held, abs=2e-4)
    there = sweep(x.assembly, [found.outcome.at - 1e-4, found.outcome.at + 1e-4])
    assert there.turns["hand"][0] == 0
    assert there.turns["hand"][1] > 0


def test_the_trades_slot_of_48_mm_serves_hand_and_foot():
    """48 mm is common practice, no source; it is what a 38 mm lever of 76° asks for."""
    layout = edited(BOTH)
    assert {rod.slot for rod in layout.rods.values()} == {0.048}
    for code in ("pedal-drags-hand", "hand-drags-pedal"):
        found = one(layout, code)
        assert found.verdict == "fits"
    left = one(layout, "pedal-drags-hand").value
    assert 0 < left < 0.002
    assert left == pytest.approx(0.047 - (apart(0) - apart(76)), abs=1e-6)


def test_a_slot_that_is_all_but_used_up_asks_for_a_look():
    need = apart(0) - apart(76)
    slot = f"{1e3 * (need + 0.001 + 0.00005):.3f}"
    found = one(
        edited(BOTH, hand_rod(f"slot = {slot}", "lost = 1")), "pedal-drags-hand"
    )
    assert found.verdict == "look"
    assert "0.10 mm is asked" in found.text
    assert found.short.startswith("the pedal almost moves the hand lever")


def test_what_drags_either_way_is_cured_by_longer_slots():
    hand, foot = hand_rod("slot = 30", "lost = 1"), foot_rod("slot = 30")
    layout = edited(BOTH, hand, foot)
    assert codes(layout) == {"pedal-drags-hand", "hand-drags-pedal"}
    whole = check(layout)
    assert whole.plan is not None
    assert codes(whole.plan.layout) == set()
    slots = [whole.plan.layout.rods[n].slot for n in ("hand", "foot")]
    assert slots[0] >= 0.030 + 0.0173 - 1e-4
    for finding in whole.reasons:
        assert finding.cure.proven
        assert finding.code not in codes(finding.cure.layout)
        assert "inner end" in finding.cure.text
    assert any("of rod `hand` 48.0 mm long" in step for step in whole.plan.steps)


def test_a_pedal_without_a_slot_is_taken_down_by_the_hand_lever():
    stiff = edited(BOTH, foot_rod())
    assert codes(stiff) == {"hand-drags-pedal"}
    found = one(stiff, "hand-drags-pedal")
    y = examine(stiff).by_hand
    moved = 0.2 * abs(y.motion.turns["pedal"][-1])
    assert found.value == pytest.approx(moved, abs=1e-9)
    assert found.value > 0.06
    # The slot that is asked for then is one with which it fits.
    need = math.ceil(1e3 * found.outcome.facts["need"] + 1)
    assert f"a slot of {need}.0 mm" in found.cure.text
    assert codes(edited(BOTH, foot_rod(f"slot = {need}", "lost = 0.1"))) == set()


def test_a_hand_lever_on_the_pedals_own_shaft_takes_the_pedal_down():
    arms = "arms.pad = { length = 200, angle = -90 }"
    layout = edited(
        BOTH,
        (arms, f"{arms}\narms.extra = {{ length = 60, angle = 40, offset = 60 }}"),
        hand_rod("slot = 48", "lost = 1", to="pedal.extra"),
        ("pivot   = [70, -90, 150]", "pivot = [-200, -90, 150]"),
    )
    found = one(layout, "hand-drags-pedal")
    assert found.verdict == "do not fit"
    assert "leads to the pedal's own shaft" in found.text


def test_a_rod_that_only_pushes_is_taken_along_by_the_pedal():
    pushes = edited(BOTH, hand_rod('only = "push"', "lost = 1"))
    assert codes(pushes) >= {"pedal-drags-hand", "hand-slot-drives"}
    assert "which can only push" in one(pushes, "pedal-drags-hand").text
    assert codes(edited(BOTH, hand_rod('only = "pull"', "lost = 1"))) == set()


def test_a_hand_lever_that_is_pushed_the_other_way_shuts_the_plate():
    away = edited(BOTH, (LEVER, f'{LEVER}\npulls = "clockwise"'))
    assert codes(away) == {"hand-opening-sense"}
    found = one(away, "hand-opening-sense")
    assert found.text.startswith("by hand: pulling turns spindle clockwise")
    assert "the hand lever shuts throttle" in found.text
    assert "hand-holds" not in {f.code for f in found_in(away)}


def test_a_hand_lever_that_opens_part_of_the_way_is_told():
    part = edited(BOTH, (LEVER, "travel = 60"))
    assert codes(part) == set()
    found = one(part, "hand-opens")
    assert found.verdict == "look"
    assert found.value == pytest.approx(0.487, abs=5e-4)
    assert "more travel" in found.cure.text
    assert one(edited(BOTH), "hand-opens").verdict == "fits"
    far = one(edited(BOTH, (LEVER, "travel = 140")), "hand-opens")
    assert "of its travel are left then" in far.text


@pytest.mark.parametrize(
    ("holds", "verdict"), [(25, "fits"), (13.5, "fits"), (13.3, "look")]
)
def test_a_hand_lever_that_nothing_holds_creeps_back(holds, verdict):
    layout = edited(BOTH, ("holds  = 25", f"holds = {holds}"))
    found = one(layout, "hand-stays")
    assert found.verdict == verdict
    assert ("creeps back" in found.text) == (verdict == "look")
    # What springs put on its end is the slope of what they store, and weights.
    y = examine(layout).by_hand
    energy = y.forces.statics.pad_force
    split = sum(y.forces.statics.split.values())
    np.testing.assert_allclose(energy, split + y.forces.statics.weight_share, atol=1e-9)
    assert found.value == pytest.approx(energy.max())


def test_a_hand_lever_of_which_nobody_knows_what_holds_it_is_named():
    from linkage.report.unjudged import unjudged, unjudged_short

    unknown = check(edited(BOTH, ("holds  = 25\n", "")), cures=False)
    assert "hand-stays" not in {f.code for f in unknown.findings}
    assert any("`holds` is not given" in line for line in unjudged(unknown))
    assert "what holds the hand lever" in unjudged_short(unknown)
    known = check(edited(BOTH), cures=False)
    assert not any("`holds`" in line for line in unjudged(known))
    assert any(line.startswith("by hand: how heavy") for line in unjudged(known))


def test_a_lever_that_falls_open_by_its_weight_is_refused_though_the_pedal_is_sound():
    heavy = "arms.knob = { length = 160, angle = 105, mass = "
    falls = edited(BOTH, (KNOB, heavy + '"6 kg" }'))
    assert codes(falls) == {"hand-closing-torque", "hand-closing-torque-one-off"}
    assert codes(edited(BOTH, (KNOB, heavy + '"0.2 kg" }'))) == set()


def test_a_lever_that_falls_open_when_its_own_spring_breaks_is_refused():
    spring = (
        "# 9. What rocks",
        (
            '[springs.home]\nkind = "torsion"\nshaft = "hand"\nrate = "0.2 N·m/rad"\n'
            'preload = "2.5 N·m"\nshuts = "clockwise"\n\n# 9. What rocks'
        ),
    )
    light, heavy = (
        (KNOB, f'arms.knob = {{ length = 160, angle = 105, mass = "{m} kg" }}')
        for m in (0.2, 4)
    )
    assert codes(edited(BOTH, spring, light)) == set()
    falls = found_in(edited(BOTH, spring, heavy))
    bad = [f for f in falls if f.verdict == "do not fit"]
    assert {f.code for f in bad} == {"hand-closing-torque-one-off"}
    assert any("spring `home` off" in f.text for f in bad)


def test_a_spring_of_the_hand_levers_own_is_judged_as_the_hand_moves_it():
    spring = (
        "# 9. What rocks",
        (
            '[springs.home]\nhook = "hand.rod"\nanchor = [220, -90, 150]\n'
            'rate = "0.3 N/mm"\nfree_length = 110\ninitial_tension = 2\n'
            "greatest_length = 150\n\n# 9. What rocks"
        ),
    )
    layout = edited(BOTH, spring)
    found = one(layout, "hand-spring-overstretched")
    assert found.verdict == "do not fit"
    assert "hand-spring-slack" in {f.code for f in found_in(layout)}
    assert "spring-overstretched" not in codes(layout)
    # Those on the spindle are judged with the pedal, and not told twice.
    about = {f.about.name for f in found_in(layout) if f.code.startswith("hand-spring")}
    assert about == {"home"}


def test_what_is_near_dead_centre_by_hand_alone_is_refused():
    late = edited(BOTH, (HOLE, "arms.hand = { length = 38, angle = 80, offset = 60 }"))
    assert codes(late) == {"hand-dead-centre", "hand-arm-rod-angle"}
    near = one(late, "hand-dead-centre", "do not fit")
    assert "of hand lever beyond the full end" in near.text


def test_an_engine_that_pulls_the_hand_levers_rod_opens_the_throttle():
    """Rolled about a line on the pedal's own rod it pulls the hand's alone."""
    old = 'roll    = "2 deg"\nabout   = { point = [430, 0, 82], axis = "along" }'
    new = 'roll = "5 deg"\nabout = { point = [100, 0, 112], axis = "across" }'
    rolls = edited(BOTH, (old, new))
    assert codes(rolls) == {"hand-engine-rock"}
    found = one(rolls, "hand-engine-rock")
    assert "with the hand lever pushed home" in found.text
    assert one(edited(BOTH), "hand-engine-rock").verdict == "fits"


def test_rows_find_what_each_layout_finds_alone():
    from linkage.model.columns import column
    from linkage.model.rows import row

    many = edited(BOTH).with_arm("spindle.hand", length=column([0.038, 0.041, 0.039]))
    judged = judge(examine(many))
    for i in range(3):
        mine = {f.place: (f.verdict, f.text) for f in judged.findings(i)}
        alone_ = {f.place: (f.verdict, f.text) for f in found_in(row(many, i))}
        assert mine == alone_


def test_what_is_wrong_with_the_pedal_already_is_not_told_of_the_hand_again():
    shut = edited(BOTH, ('opens        = "anticlockwise"', 'opens = "clockwise"'))
    assert "opening-sense" in codes(shut)
    assert "hand-opening-sense" not in {f.code for f in found_in(shut)}


@pytest.mark.parametrize("rule", BY_HAND, ids=lambda r: r.code)
def test_a_rule_asked_of_the_hand_is_the_same_rule(rule):
    was = BY_CODE[rule.code.removeprefix(BEFORE)]
    assert rule.hand
    hand = {"stamp_load": "hand_load"}  # a hand pulls where a foot stamps
    assert rule.limits == tuple(hand.get(name, name) for name in was.limits)
    assert (rule.needs, rule.refuses) == (was.needs, was.refuses)
    assert f"(#{was.code})" in rule.meaning
    x = examine(edited(TRUCK))
    assert list(rule.judge(x)) == []


def test_the_hands_words_never_speak_of_pedal_or_pad():
    layouts = [edited(BOTH), car("fault-hand-fights-pedal"),
               edited(BOTH, (HOLE, "arms.hand = { length = 38, angle = 80, offset = 60 }"))]  # fmt: skip
    for layout in layouts:
        for finding in found_in(layout):
            if not finding.code.startswith(BEFORE) or finding.rule not in BY_HAND:
                continue
            for text in (finding.text, finding.short, finding.where):
                bare = "".join(text.split("`")[::2])
                words = set(bare.replace(",", " ").split())
                if finding.code != "hand-closing-torque-one-off":
                    assert not words & {"pad", "pedal", "foot"}, text
            assert finding.text.startswith("by hand: ")


def test_names_in_backticks_stay_what_they_are():
    said = "rod `pad` jams with the pad at 3 mm, pressing `pedal`"
    assert in_hands_words(said) == (
        "rod `pad` jams with the hand lever at 3 mm, pulling `pedal`"
    )
    assert in_hands_words("odd ` pad") == "odd ` pad"


def test_a_stamped_foot_is_not_asked_of_a_hand():
    """A rod that the hand pushes is not stamped on."""
    assert not {
        f"hand-{code}" for code in ("rod-push", "stamp-load", "pad-force")
    } & set(BY_CODE)
    for finding in found_in(edited(BOTH)):
        if finding.rule.hand:
            assert "stamp" not in finding.text


def test_one_rule_alone_finds_the_same():
    x = examine(edited(BOTH, foot_rod()))
    (found,) = alone(x, "hand-drags-pedal")
    assert found.verdict == "do not fit"
    fixed = replace(x.layout, hand=None)
    assert list(BY_CODE["hand-drags-pedal"].judge(examine(fixed))) == []


def test_a_rod_in_line_with_the_hand_lever_home_is_told_as_the_hand_sees_it():
    """From the pedal it is driven, and drives nothing: there the line does no harm."""
    layout = edited(BOTH)
    pin = layout.shafts["hand"].pin("rod")
    x, _, z = np.subtract(pin, layout.shafts["spindle"].pivot)
    stuck = layout.with_arm("spindle.hand", angle=math.atan2(z, x))
    found = one(stuck, "hand-reach")
    assert found.verdict == "do not fit"
    assert "rod `hand` and arm `spindle.hand` lie in line" in found.text
    assert found.short.startswith("by hand, pushed home: rod `hand`")
    assert examine(stuck).by_hand is None
    assert judge(examine(stuck)).verdicts.tolist() == [2]


def test_what_shuts_the_plate_by_hand_is_cured_at_the_hands_own_arms():
    wrong = edited(
        BOTH, (HOLE, "arms.hand = { length = 38, angle = 190, offset = 60 }")
    )
    assert "hand-opening-sense" in codes(wrong)
    whole = check(wrong)
    (found,) = [f for f in whole.findings if f.code == "hand-opening-sense"]
    assert found.cure is not None
    assert "`spindle.hand`" in found.cure.text or "`hand.rod`" in found.cure.text
    assert found.cure.proven


def test_a_hand_lever_that_jams_is_cured_at_its_own_arms():
    clocked = HOLE, "arms.hand = { length = 38, angle = 100, offset = 60 }"
    (found,) = check(edited(BOTH, clocked)).reasons
    assert found.code == "hand-reach"
    assert found.cure is not None
    assert found.cure.proven
    assert "`spindle.hand`" in found.cure.text
    assert check(found.cure.layout, cures=False).verdict != "do not fit"
