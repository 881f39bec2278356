"""Slips: the right one is named, and none of a layout that fits.

Forty slips in four vehicles; a sample of them is tried anew, with ``--every`` all.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace

import pytest

from linkage import config, quantities
from linkage.errors import AssemblyError, LayoutError
from linkage.model.paths import applied, read
from linkage.motion import assemble
from linkage.rules.engine import judge
from linkage.rules.examine import examine
from linkage.search import check
from linkage.slips import questions, suspected
from linkage.slips.digits import swapped
from linkage.slips.kinds import KINDS
from linkage.slips.suspects import CLOSELY, MISPLACED, MORE_LOOKS, TOLD, hypotheses
from tests.bad.layouts import bad_text
from tests.build import pedalled
from tests.cli.conftest import CONFIGS
from tests.slips.cases import CASES, VEHICLES, sound
from tests.slips.record import recorded, told

#: Every how manyth of the forty is tried where ``--every`` is not given.
EVERY = 5
SHIPPED = sorted(
    path.name
    for path in pedalled(CONFIGS)
    if not path.name.startswith(("fault-", "scenario-wrongly", "crank-wrong"))
)


def _sound(vehicle):
    return config.loads(sound(vehicle)).layout


def test_slips_are_told_as_recorded(request):
    step = 1 if request.config.getoption("--every") else EVERY
    found = recorded()
    assert list(found) == [case.name for case in CASES]
    for case in CASES[::step]:
        assert told(case) == found[case.name], (
            f"{case.name}: python -m tests.slips.record"
        )


def test_the_right_one_is_named_first_in_thirty_and_more():
    assert len(CASES) == 40
    assert Counter(case.vehicle for case in CASES) == dict.fromkeys(VEHICLES, 10)
    places = [row["place"] for row in recorded().values()]
    assert places.count(1) >= 30


def test_every_kind_but_the_rarest_is_among_the_forty():
    # No vehicle of the forty has a slot; tests/unit/test_slips_slots.py has those.
    slots = {"slot end", "slot ends", "slot length"}
    # Nor a cable; tests/unit/test_slips_cables.py has those.
    rare = {"presses", "unit written", *slots, "wound", "diameter"}
    assert set(KINDS) - {case.kind for case in CASES} == rare


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_the_vehicles_are_sound_without_their_slips(vehicle):
    layout = _sound(vehicle)
    result = check(layout, cures=False)
    assert result.verdict == "fits"
    assert suspected(layout, check=result) == ()


@pytest.mark.parametrize("name", SHIPPED)
def test_no_slip_and_no_question_for_a_shipped_layout_that_fits(name):
    layout = config.load(CONFIGS / name).layout
    result = check(layout, cures=False)
    assert result.verdict != "do not fit"
    lengths = {p.link.rod.name: p.length for p in result.examined.assembly.loops}
    assert questions(layout, lengths) == ()
    assert suspected(layout, check=result) == ()


@pytest.mark.parametrize(
    "name", ["springs-too-weak", "engine-rock", "one-spring-only", "no-pedal-stop"]
)
def test_what_is_too_weak_or_missing_is_no_slip(name):
    layout = config.load(CONFIGS / f"fault-{name}.toml").layout
    assert suspected(layout) == ()


def test_what_is_told_fits_by_the_whole_check_alone():
    layout = config.load(CONFIGS / "fault-spring-over-spindle.toml").layout
    slips = suspected(layout)
    assert 1 < len(slips) <= TOLD <= CLOSELY
    assert slips[-1].looks <= slips[0].looks + MORE_LOOKS
    for slip in slips:
        assert slip.whole
        found = check(slip.layout, cures=False)
        assert found.verdict != "do not fit"
        assert slip.looks == sum(f.verdict == "look" for f in found.findings)


def test_a_pedal_that_shuts_the_throttle_was_looked_at_from_the_left():
    layout = config.load(CONFIGS / "fault-wrong-sense.toml").layout
    (slip,) = suspected(layout)
    assert slip.kind == "viewer"
    assert str(slip.about) == "spindle.lever"
    assert (
        slip.text == "if `spindle.lever` was looked at from the left, its angle is -52°"
    )
    arm = slip.layout.shafts["spindle"].arms["lever"]
    assert math.degrees(arm.angle) == pytest.approx(-52)


def test_a_rod_that_does_not_reach_is_explained():
    layout = _sound("quarry").with_rod("link", 51.15 * 0.0254)
    with pytest.raises(AssemblyError):
        assemble(layout)
    quantities.speak_in({"length": "in"})
    try:
        slips = suspected(layout)
    finally:
        quantities.speak_in({})
    assert [(s.kind, s.key) for s in slips] == [("digits", ("rods", "link", "length"))]
    assert slips[0].new == pytest.approx(15.15 * 0.0254)


def test_a_spring_that_cannot_be_is_explained():
    path = ("springs", "near", "known", "free_length")
    layout = applied(_sound("orchard"), {path: 0.82})
    with pytest.raises(LayoutError):
        check(layout)
    assert suspected(layout)[0].new == pytest.approx(0.082)


#: The lever of the orchard lorry by its pin, to a tenth of a millimetre.
LEVER = "arms.lever        = { length = 34, angle = -38, offset = 13 }"
PIN = [112.8, 12, 116.1]


@pytest.mark.parametrize(
    ("typed", "kind", "end"),
    [
        ([112.8, 116.1, 12], "exchanged", "pin"),
        ([11.28, 12, 116.1], "unit", "x"),
        ([112.8, 12, 161.1], "digits", "z"),
    ],
)
def test_an_arm_by_its_pin(typed, kind, end):
    text = sound("orchard")
    assert LEVER in text
    right = config.loads(text.replace(LEVER, f"arms.lever.pin = {PIN}")).layout
    assert suspected(right) == ()
    wrong = config.loads(text.replace(LEVER, f"arms.lever.pin = {typed}")).layout
    slips = suspected(wrong)
    assert (slips[0].kind, slips[0].key[-1]) == (kind, end)
    back = slips[0].layout.shafts["spindle"].pin("lever")
    assert [1e3 * c for c in back] == pytest.approx(PIN)


def test_the_sign_of_a_pin_is_tried_and_its_angle_is_not():
    text = sound("orchard").replace(LEVER, f"arms.lever.pin = {PIN}")
    layout = config.loads(text).layout
    about = [s for s in hypotheses(layout) if str(s.about) == "spindle.lever"]
    assert {s.key[4] for s in about} == {"pin"}
    (sign,) = [s for s in about if s.kind == "sign"]
    pin = applied(layout, sign.sets).shafts["spindle"].pin("lever")
    assert [1e3 * c for c in pin] == pytest.approx([112.8, -12, 116.1])


def test_arms_by_their_pins_stay_there_when_the_pivot_is_elsewhere():
    text = sound("orchard").replace(LEVER, f"arms.lever.pin = {PIN}")
    layout = config.loads(text.replace("[86, 25, 137]", "[68, 25, 137]")).layout
    slips = suspected(layout)
    right = [s for s in slips if s.key == ("shafts", "spindle", "pivot", "x")]
    spindle = right[0].layout.shafts["spindle"]
    assert spindle.pivot[0] == pytest.approx(0.086)
    assert [1e3 * c for c in spindle.pin("lever")] == pytest.approx(PIN)


def test_without_springs_geometry_alone_is_judged():
    layout = replace(_sound("orchard"), springs={})
    assert suspected(layout) == ()
    slips = suspected(layout.with_arm("spindle.lever", angle=math.radians(38)))
    assert slips[0].key[-2:] == ("lever", "angle")
    assert slips[0].new == pytest.approx(math.radians(-38))


def test_a_slip_beside_another_fault_is_told_with_what_it_leaves():
    layout = _sound("orchard")
    one = replace(layout, springs={"near": layout.springs["near"]})
    slips = suspected(one.with_arm("spindle.lever", angle=math.radians(38)))
    assert slips[0].key[-2:] == ("lever", "angle")
    assert not slips[0].whole
    assert "energy-sources" in slips[0].left
    assert not set(slips[0].left) & MISPLACED


def test_a_slip_that_brings_a_new_fault_is_not_told():
    """A spring crosses its spindle; put elsewhere it no longer does, and hangs slack."""
    layout = config.loads(bad_text(80)).layout
    assert {f.code for f in check(layout, cures=False).reasons} == {"spring-line"}
    arm = layout.shafts["spindle"].arms["spring"]
    slack = layout.with_arm("spindle.spring", angle=math.pi / 2 - arm.angle)
    assert {f.code for f in check(slack, cures=False).reasons} == {"spring-slack"}
    assert suspected(layout) == ()


def test_two_slips_at_once_are_not_guessed():
    layout = _sound("orchard").with_arm("spindle.lever", angle=math.radians(38))
    both = layout.with_arm("cross shaft.inner", length=6.4e-3)
    assert not any(slip.whole for slip in suspected(both))


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_no_layout_is_tried_twice_and_each_differs(vehicle):
    layout = _sound(vehicle)
    slips = hypotheses(layout)
    ways = set()
    for slip in slips:
        assert slip.turned or any(read(layout, p) != v for p, v in slip.sets.items())
        ways.add((frozenset((p, str(v)) for p, v in slip.sets.items()), slip.turned))
    assert len(ways) == len(slips)
    orders = [KINDS[slip.kind].order for slip in slips]
    assert orders == sorted(orders)


def test_a_search_stays_within_a_few_blocks(monkeypatch):
    """The work is counted in rows judged by every rule, not in seconds."""
    from linkage.slips import judging

    rows = []

    def counted(x, needs, **given):
        rows.append((x.rows, needs, x.grain.positions))
        return judge(x, needs, **given)

    monkeypatch.setattr(judging, "judge", counted)
    layout = config.load(CONFIGS / "fault-hole-too-long.toml").layout
    suspected(layout)
    assert len(rows) < 20
    assert sum(n for n, _, positions in rows if positions > 100) <= CLOSELY
    assert examine(layout).grain.positions > 100


def test_swapped_digits_are_as_a_person_writes_them():
    assert [round(v * 1e3) for v in swapped(0.123, 1e-3)] == [213, 132]
    assert [round(v * 1e3, 1) for v in swapped(-0.0325, 1e-3)] == [-23.5, -35.2]
    assert swapped(0.033, 1e-3) == ()
    assert swapped(0.0123456, 1e-3) == ()  # worked out, not read off
