"""A hand lever beside the pedal: the file, what cannot be, and either's view of rest."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.config import dump, loads
from linkage.connect import LostMotion
from linkage.errors import LayoutError
from linkage.model import Hand
from linkage.model.columns import column
from linkage.model.rows import row, same_make_up, stack
from linkage.motion import assemble, frame, sweep
from linkage.motion.as_made import made_length, made_to_pull
from linkage.motion.by_hand import by_hand
from linkage.report.swap import swap_lines
from linkage.rules import examine, judge
from linkage.swap import solve, swap_sides
from tests.cli.conftest import CONFIGS
from tests.unit.edits import TRUCK, edited

BOTH = "hand-and-foot"
LEVER = "travel = 120"
SHAFT = 'shaft  = "hand"\nlever  = "knob"'
#: The rods as they stand in the file, of the foot and of the hand.
HAND_ROD = """to       = "spindle.hand"
joints   = "ball with clip"
diameter = 8
slot     = 48
lost     = 1
"""
FOOT_ROD = """to       = "spindle.lever"
joints   = "ball with clip"
diameter = 8
slot     = 48
lost     = 0.5
"""


def text() -> str:
    return (CONFIGS / f"{BOTH}.toml").read_text(encoding="utf-8")


def hand_rod(*lines: str, to: str = "spindle.hand") -> tuple[str, str]:
    """Return the edit of the rod that leads to the hand lever."""
    return HAND_ROD, "\n".join(
        [f'to = "{to}"', 'joints = "ball with clip"', *lines, ""]
    )


def foot_rod(*lines: str) -> tuple[str, str]:
    """Return the edit of the pedal's rod."""
    new = ['to = "spindle.lever"', 'joints = "ball with clip"', *lines, ""]
    return FOOT_ROD, "\n".join(new)


def test_the_file_says_it_and_is_written_again_the_same():
    layout = loads(text()).layout
    assert layout.hand == Hand(
        shaft="hand", lever="knob", travel=0.12, pulls=1, holds=25
    )
    assert loads(dump(layout)).layout == layout
    bare = edited(BOTH, ("holds  = 25\n", ""))
    assert bare.hand.holds is None
    assert loads(dump(bare)).layout == bare


def test_a_hand_lever_is_pulled_backward_or_as_it_says():
    assert edited(BOTH, (LEVER, f'{LEVER}\npulls = "clockwise"')).hand.pulls == -1
    hangs = ("arms.knob = { length = 160, angle = 75 }", "arms.knob = { length = 160, angle = -75 }")  # fmt: skip
    assert edited(BOTH, hangs).hand.pulls == -1


@pytest.mark.parametrize(
    ("edit", "says", "key"),
    [
        ((SHAFT, 'shaft = "pedal"\nlever = "pad"'), "on the pedal's own shaft", "hand.shaft"),
        ((SHAFT, 'shaft = "spindle"\nlever = "hand"'), "the shaft of throttle", "hand.shaft"),
        ((SHAFT, 'shaft = "hnd"\nlever = "knob"'), "no shaft `hnd`", "hand.shaft"),
        ((SHAFT, 'shaft = "hand"\nlever = "kob"'), "no arm `kob`", "hand.lever"),
        ((LEVER, "travel = 510"), "more than half a turn", "hand.travel"),
        ((LEVER, "travel = 0"), "more than zero", "hand.travel"),
        (("holds  = 25", "holds = 0"), "above zero", "hand.holds"),
        (("holds  = 25", "hold = 5"), "unknown key `hold`", "hand.hold"),
        (("angle = 75 }", "angle = 2 }"), "not clear which way the hand lever", "hand.pulls"),
        (hand_rod(), "has no slot", "rods.hand"),
        (hand_rod("slot = 48", "length = 375"), "has a `length`", "rods.hand.length"),
        (hand_rod("slot = 48", to="spindle.lever"), "in one hole", "rods.hand.to"),
    ],
)  # fmt: skip
def test_the_file_is_told_what_is_wrong(edit, says, key):
    old, new = edit
    assert text().count(old) == 1
    with pytest.raises(LayoutError, match=says) as caught:
        loads(text().replace(old, new))
    place = caught.value.place
    assert place is not None
    assert place.line
    assert ".".join(caught.value.key) == key
    assert caught.value.hint


#: A push-pull cable from the hand lever to a relay, from which its slotted rod leads on.
BY_CABLE = (
    (
        'from     = "hand.rod"',
        'from     = "relay.rod"',
    ),
    (
        "[rods.hand]",
        """[shafts.relay]
pivot = [250, -60, 150]
axis  = "across"
arms.in  = { length = 50, angle = 80 }
arms.rod = { length = 50, angle = 80 }

[cables.far]
from        = "hand.rod"
to          = "relay.in"
works       = "pull and push"
sheath_from = [150, -80, 215]
sheath_to   = [330, -60, 200]

[rods.hand]""",
    ),
)


def test_a_cable_to_the_hand_lever_is_told_of_the_length_of_its_wire():
    """It was told of a `length` and the `lost` of rods, which a cable has not."""
    assert edited(BOTH, *BY_CABLE).rods["far"].length is None
    (one, (old, new)) = BY_CABLE
    given = new.replace("works ", "sheath_length = 300\nwire_length = 400\nworks ")
    with pytest.raises(LayoutError) as caught:
        edited(BOTH, one, (old, given))
    assert "cable `far` leads to the hand lever and has a `wire_length`" in caught.value.message  # fmt: skip
    assert "`lost`" not in caught.value.hint
    assert caught.value.place.key == "cables.far.wire_length"
    assert "400" in caught.value.place.text


def test_a_throttle_that_hangs_on_the_hand_levers_shaft_is_refused():
    """Then the pedal would move the plate through the hand lever."""
    changed = text().replace('from     = "pedal.rod"', 'from = "hand.foot"')
    changed = changed.replace(
        "arms.rod  = {", "arms.foot = { length = 50, angle = -90 }\narms.rod  = {"
    )
    changed = changed.replace(
        "[rods.hand]",
        '[rods.pedal]\nfrom = "pedal.rod"\nto = "hand.foot"\n\n[rods.hand]',
    ).replace('from = "hand.foot"', 'from = "hand.rod"', 1)
    start, end = changed.index("[rods.hand]"), changed.index("# 5.")
    changed = changed[:start] + changed[end:]
    with pytest.raises(LayoutError, match="through the hand lever's shaft"):
        loads(changed)


def test_holes_at_rest_are_as_far_apart_whichever_input_drives():
    """So is the slot: what the one may take up is what the other leaves."""
    one = assemble(edited(BOTH))
    two = assemble(by_hand(one))
    for name in ("foot", "hand"):
        ends = []
        for assembly in (one, two):
            motion = sweep(assembly, [0.0])
            holes = assembly.loop(name).link.holes
            pins = [frame(motion).pin(hole)[0] for hole in holes]
            ends.append(np.linalg.norm(pins[1] - pins[0]))
        assert ends[0] == pytest.approx(ends[1], abs=1e-12)
        loops = [assembly.loop(name) for assembly in (one, two)]
        assert loops[0].carries == -loops[1].carries
        lengths = [float(made_length(loop)) for loop in loops]
        assert lengths[0] == pytest.approx(lengths[1], abs=1e-12)
        assert abs(loops[0].length - loops[1].length) == pytest.approx(0.048)
        assert all(bool(made_to_pull(loop)) for loop in loops)
    assert two.layout.foot == one.layout.pedal
    assert two.layout.pedal == one.layout.hand.as_pedal
    assert by_hand(one).hand is None
    with pytest.raises(ValueError, match="no hand lever"):
        by_hand(two)


def test_rods_of_given_length_on_the_pedals_side_lie_as_the_pedal_holds_them():
    """What of the slot they take up at rest is taken up by hand too."""
    base = edited(BOTH, foot_rod("slot = 48", "length = 435"))
    one = assemble(base)
    two = assemble(by_hand(one))
    loop = one.loop("foot")
    turns = [(math.cos(one.rest[h.shaft]), math.sin(one.rest[h.shaft])) for h in loop.link.holes]  # fmt: skip
    lost = float(loop.slack(*turns))
    assert lost == pytest.approx(0.435 - 0.43213 + 0.0005, abs=1e-5)
    assert two.layout.rods["foot"].lost == pytest.approx(lost)
    assert two.layout.rods["foot"].length is None
    assert float(made_length(two.loop("foot"))) == pytest.approx(0.435)


def test_the_engine_that_rocks_jams_no_rod_that_waits():
    """Its driving end is judged from its own input: it opens the throttle there."""
    x = examine(edited(BOTH, hand_rod("slot = 48", "lost = 0")))
    from linkage.motion.rock import rocked

    for roll in (-0.05, 0.05):
        moved = sweep(rocked(x.assembly, roll=roll), [0.0, 0.03])
        assert not np.isnan(moved.opening("throttle")).any()


def test_a_hook_or_a_wire_serves_as_well_as_a_slot():
    for edit in (hand_rod('only = "pull"', "lost = 1"), foot_rod('only = "pull"')):
        x = examine(edited(BOTH, edit))
        for y in (x, x.by_hand):
            waits = y.layout.waits.shaft
            assert (y.motion.turns[waits] == y.assembly.rest[waits]).all()


def test_rows_are_solved_from_either_input_as_each_layout_alone():
    sizes = np.array([0.036, 0.038, 0.040])
    many = edited(BOTH).with_arm("spindle.hand", length=column(sizes))
    x = examine(many)
    for i in range(3):
        alone = examine(row(many, i))
        for name, turns in alone.by_hand.motion.turns.items():
            here = np.broadcast_to(x.by_hand.motion.turns[name], (3, turns.shape[-1]))
            np.testing.assert_allclose(here[i], turns, atol=1e-9)
    again = stack([row(many, i) for i in range(3)])
    assert same_make_up(again, many)
    assert not same_make_up(edited(TRUCK), many)


def test_what_waits_is_marked_and_no_other_rod():
    x = examine(edited(BOTH))
    waits = {k.rod.name for k in x.layout.links if k.own is not None}
    assert waits == {"hand"}
    assert {k.rod.name for k in x.by_hand.layout.links if k.own is not None} == {"foot"}
    link = x.assembly.loop("hand").link
    assert link.part == x.layout.rods["hand"]
    assert isinstance(x.assembly.loop("hand"), LostMotion)
    assert examine(edited(TRUCK)).by_hand is None
    assert edited(TRUCK).waits is None


def test_a_lever_without_an_end_is_none():
    hand = edited(BOTH).hand
    for changes in ({"travel": math.nan}, {"holds": math.inf}, {"holds": -1.0}):
        with pytest.raises(LayoutError):
            replace(hand, **changes)


@pytest.mark.parametrize("carburettor", ["mirrored", "turned"])
def test_a_hand_lever_goes_across_with_the_carburettor_and_opens_it_there(carburettor):
    swap = swap_sides(edited(BOTH), carburettor=carburettor)
    before, after = (examine(y).by_hand for y in (swap.before, swap.after))
    if carburettor == "mirrored":
        assert float(after.throttle_share) == pytest.approx(before.throttle_share)
        np.testing.assert_allclose(
            np.abs(after.motion.turns["hand"]), np.abs(before.motion.turns["hand"])
        )
    assert swap.after.hand.pulls == swap.senses["hand"] * swap.before.hand.pulls
    assert "The hand lever goes across too" in " ".join(swap_lines(solve(swap)))


CABLE = """[cables.hand]
from = "hand.rod"
to = "spindle.hand"
sheath_from = [140, -90, 200]
sheath_through = [[250, -90, 260]]
sheath_to = [360, -90, 112]
sheath_to_on = "engine"
KEYS

"""


def by_cable(keys: str) -> str:
    """Return the file with a cable from the hand lever."""
    whole = text()
    start, end = whole.index("[rods.hand]"), whole.index("# 5.")
    return whole[:start] + CABLE.replace("KEYS", keys) + whole[end:]


def test_a_hand_lever_may_pull_a_cable_that_the_pedal_makes_slack():
    layout = loads(by_cable("slack = 1")).layout
    assert loads(dump(layout)).layout == layout
    x = examine(layout)
    assert (x.motion.turns["hand"] == 0).all()
    assert float(x.by_hand.throttle_share) == pytest.approx(1.0)
    assert (x.by_hand.motion.turns["pedal"] == 0).all()
    bad = {f.code for f in judge(x).findings() if f.verdict != "fits"}
    assert bad == {"hand-holds", "hand-sheath-loss"}
    assert judge(x).verdicts.tolist() == [1]
    one, two = (y.assembly.loop("hand") for y in (x, x.by_hand))
    assert one.length == pytest.approx(two.length)
    assert float(made_length(one)) == pytest.approx(one.length)
    assert bool(made_to_pull(one))


def test_a_cable_that_the_pedal_would_push_is_refused():
    with pytest.raises(
        LayoutError, match="cable `hand` leads to the hand lever"
    ) as told:
        loads(by_cable('works = "pull and push"'))
    assert told.value.key == ("cables", "hand")
    assert told.value.place.line
    assert "only pulls" in told.value.hint


@pytest.mark.parametrize("wire", [462, 458])
def test_a_wire_of_given_length_is_as_long_whichever_drives(wire):
    keys = f"sheath_length = 320\nwire_length = {wire}"
    x = examine(loads(by_cable(keys)).layout)
    ends = [y.assembly.loop("hand").length for y in (x, x.by_hand)]
    assert ends[0] == pytest.approx(ends[1])
    bad = {f.code for f in judge(x).findings() if f.verdict == "do not fit"}
    # Too short it holds the throttle open with the hand lever home.
    assert ("hand-idle" in bad) == (wire == 458)
    assert (bad == set()) == (wire == 462)


def relayed() -> str:
    """Return the file with a relay shaft between the hand lever and its slotted rod."""
    whole = text().replace(
        '[rods.hand]\nfrom     = "hand.rod"',
        '[shafts.relay]\npivot = [60, -90, 40]\naxis = "across"\nbearing = 10\n'
        "arms.in = { length = 60, angle = 80, offset = 5 }\n"
        "arms.out = { length = 60, angle = 80 }\n\n"
        '[rods.relay]\nfrom = "hand.rod"\nto = "relay.in"\n\n'
        '[rods.hand]\nfrom     = "relay.out"',
    )
    assert "relay.out" in whole
    return whole.replace("pivot   = [70, -90, 150]", "pivot   = [-120, -90, 60]")


def test_shafts_between_hand_lever_and_slot_stay_at_rest_too():
    x = examine(loads(relayed()).layout)
    waits = [k.rod.name for k in x.layout.links if k.own is not None]
    assert waits == ["hand", "relay"]
    for name in ("hand", "relay"):
        np.testing.assert_allclose(x.motion.turns[name], 0, atol=1e-12)
    y = x.by_hand
    assert [k.rod.name for k in y.layout.links if k.own is None] == ["relay", "hand"]
    assert float(y.throttle_share) > 0.5
    assert (y.motion.turns["pedal"] == 0).all()
    codes = {f.code for f in judge(x).findings() if f.verdict == "do not fit"}
    assert codes == set()


def test_a_rod_of_given_length_between_them_is_refused():
    whole = relayed().replace('to = "relay.in"\n', 'to = "relay.in"\nlength = 180\n')
    with pytest.raises(
        LayoutError, match="rod `relay` leads to the hand lever"
    ) as told:
        loads(whole)
    assert told.value.key == ("rods", "relay", "length")
