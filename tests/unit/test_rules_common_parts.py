"""One part that takes several things with it: refused beside its sound twin.

What a careful fitter asks of every pin, lever, anchor and shaft; common practice, no
source, but for 49 CFR 571.124 S5.2 (return after any single severance). All layouts
are invented.
"""

from __future__ import annotations

import pytest

from linkage.rules import examine, judge
from linkage.search import check
from tests.unit.edits import HAULER, TRUCK, edited

FAR_HOOK = 'hook            = "spindle.far spring"'
FAR_ARM = 'arms."far spring" = { length = 28, angle = 70, offset = 36 }'
NEAR_ANCHOR = "anchor          = [545, -18, 105]"
FAR_ANCHOR = "anchor          = [545, -66, 105]"


def told(layout, code="unsprung-if-parted"):
    (finding,) = [f for f in judge(examine(layout)).findings() if f.code == code]
    return finding


def far_arm(text: str) -> tuple[str, str]:
    return FAR_ARM, f'arms."far spring" = {{ {text} }}'


REFUSED = {
    "two arm names on one pin": (
        [far_arm("length = 28, angle = 70, offset = -9")],
        (
            "the ball stud or pin at `spindle.spring` breaks, spring `near` and spring `far` "
            "go with it"
        ),
    ),
    "both springs on one hook": (
        [(FAR_HOOK, 'hook = "spindle.spring"')],
        "the ball stud or pin at `spindle.spring` breaks",
    ),
    "two holes of one lever": (
        [far_arm("length = 36, angle = 70, offset = -12")],
        "lever `spindle.spring` breaks off or slips on its shaft",
    ),
    "anchors a tenth of a millimetre apart": (
        [(FAR_ANCHOR, "anchor          = [545, -18.1, 105]")],
        "the anchor of spring near goes",
    ),
    "anchors on one small bracket": (
        [(FAR_ANCHOR, "anchor          = [545, -27.5, 105]")],
        "the anchor of spring near goes",
    ),
}


@pytest.mark.parametrize("case", REFUSED)
def test_one_part_that_takes_both_springs_is_refused(case):
    edits, words = REFUSED[case]
    finding = told(edited(TRUCK, *edits))
    assert finding.verdict == "do not fit"
    assert words in finding.text
    assert "no spring is left on throttle" in finding.text


SOUND = {
    "as it is shipped": [],
    "holes further apart than a pin is thick": [
        far_arm("length = 28, angle = 70, offset = -6.9")
    ],
    "two levers side by side": [far_arm("length = 36, angle = 70, offset = -4")],
    "two levers in one plane, far apart in angle": [
        far_arm("length = 28, angle = 95, offset = -12")
    ],
    "anchors a bracket's width apart": [
        (FAR_ANCHOR, "anchor          = [545, -28.5, 105]")
    ],
    "anchors in one place, one on the body and one on the engine": [
        (f"{FAR_ANCHOR}\n" + 'anchored_on     = "engine"', "anchor = [545, -18, 105]")
    ],
}


@pytest.mark.parametrize("case", SOUND)
def test_its_twin_with_two_parts_keeps_a_spring(case):
    finding = told(edited(TRUCK, *SOUND[case]))
    assert finding.verdict == "fits", finding.text
    assert "keeps a spring whichever rod, joint, pin, lever, anchor" in finding.text


def test_a_spring_on_the_rods_own_ball_stud_goes_with_it():
    """One spring on the lever's ball stud, one on the pedal: the stud takes all."""
    stud = [(FAR_HOOK, 'hook = "pedal.rod"'), (FAR_ANCHOR, "anchor = [128, 0, 120]")]
    near = 'hook            = "spindle.spring"'
    both = edited(TRUCK, *stud, (near, 'hook = "spindle.lever"'))
    finding = told(both)
    assert finding.verdict == "do not fit"
    assert "the ball stud or pin at `spindle.lever` breaks" in finding.text
    assert "rod `link` and spring `near` go with it" in finding.text
    # With the near spring in a hole of its own, only the far one goes with the rod.
    assert told(edited(TRUCK, *stud)).verdict == "fits"


def test_a_shaft_off_its_pivot_takes_what_hangs_on_it():
    crank = 'hook            = "bell crank.out"'
    near = 'hook            = "spindle.spring"'
    one = edited(HAULER, (near, crank))
    (finding,) = [
        f
        for f in judge(examine(one)).findings()
        if f.code == "closing-torque-one-off"
        and f.part[0].kind == "shaft"
        and f.part[0].ref.name == "bell crank"
        and len(f.part) == 1
    ]
    assert (
        "shaft `bell crank` off its pivot (rod `down`, rod `carb` and spring `near`"
        in (finding.text)
    )


def test_a_shared_part_counts_by_what_it_leaves():
    """Two of three springs on one pin: one is left, and its torque is judged."""
    third = (
        "\n[engine]",
        (
            '\n[springs.third]\nhook = "spindle.spring"\nanchor = [545, 60, 105]\n'
            'rate = "0.45 N/mm"\nfree_length = 82\ninitial_tension = 5\n'
            "greatest_length = 200\n\n[engine]"
        ),
    )
    layout = edited(TRUCK, third)
    assert told(layout).verdict == "fits"
    pins = [
        f
        for f in judge(examine(layout)).findings()
        if f.code == "closing-torque-one-off" and f.part[0].kind == "pin"
    ]
    assert pins
    assert all("the pin at `spindle.spring` broken" in f.text for f in pins)


def test_nearness_is_a_limit_that_can_be_changed():
    wide = (
        "\n[engine]",
        '\n[limits]\npin_apart = "60 mm"\nanchor_apart = "60 mm"\n\n[engine]',
    )
    finding = told(edited(TRUCK, wide))
    assert finding.verdict == "do not fit"
    assert check(edited(TRUCK, wide), cures=False).verdict == "do not fit"
