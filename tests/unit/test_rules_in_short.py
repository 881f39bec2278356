"""Sentences of rules for what none of the shipped layouts shows.

Each row is an outcome as its rule makes it, and what a screen's line or the long
sentence says of it. All numbers are invented.
"""

from __future__ import annotations

import math

import pytest

from linkage.forces.failures import Failure
from linkage.model import Hole
from linkage.model.refs import Ref
from linkage.rules import Outcome
from linkage.rules.rule import BAD, FITS, LOOK
from tests.unit.ruled import rule

NAN, INF = math.nan, math.inf
MAIN, SPRING, ROD, PEDAL = (
    Ref("throttle", "throttle"),
    Ref("spring", "main"),
    Ref("rod", "carb"),
    Ref("pedal"),
)
LEVER = Hole(shaft="spindle", arm="lever")
STRETCHED = {
    "length": 0.1602,
    "free": 0.08,
    "worked": 0.0802,
    "measured": 0.03,
    "beyond": False,
    "asked": 2.0,
    "pressed": False,
}
PRESSED = {**STRETCHED, "length": 0.05, "worked": 0.03, "pressed": True}
STRESS = {"places": ("coils", "hook"), "index": 1, "share": 0.4, "untabled": False}
HAND = {
    "shaft": "spindle",
    "what": "pulls",
    "known": True,
    "slack": 0.0,
    "over": 0.0,
    "load": (12.0, 20.0),
    "long": (0.1, 0.12),
}
PEDAL_SPRING = {"sense": NAN, "shaft": "pedal", "against": False, "along": False}
LINE = {"shaft": "spindle", "start": -0.01, "end": -0.01, "opens": NAN, "shuts": NAN}
SOURCES = {
    "none": False,
    "shuts": {"main": True},
    "spindle": {},
    "far": True,
    "lets go": {},
}
TORQUE = {"torque": 0.4, "lost": 0.0}
FAILED = Failure(kind="pin", ref=Ref("arm", "spindle", "lever"), gone=frozenset({ROD}))
SHAFT_OFF = Failure(kind="shaft", ref=Ref("shaft", "relay"), gone=frozenset({ROD}))
TIME = {
    "failures": (FAILED,),
    "index": 0,
    "stuck": 0.03,
    "whole": NAN,
    "why": "common practice",
    "estimated": False,
}


def outcome(about, rank=FITS, **more):
    return Outcome(about=about, rank=rank, **more)


BRIEF = [
    (
        "spring-stretch",
        outcome(SPRING, LOOK, value=NAN, facts=STRETCHED),
        ("how long spring `main` gets could not be worked out", ""),
    ),
    (
        "spring-stretch",
        outcome(SPRING, LOOK, value=1.5, at=0.07, facts=STRETCHED),
        (
            "how far spring `main` may be stretched is not known",
            "1.50 times its free length at pad 70.0 mm",
        ),
    ),
    (
        "spring-stretch",
        outcome(SPRING, BAD, value=2.02, at=0.07, facts=STRETCHED),
        (
            "how far spring `main` may be stretched is not known",
            "2.02 times its free length at pad 70.0 mm, more than 2.0",
        ),
    ),
    (
        "spring-stretch",
        outcome(SPRING, BAD, value=1.5, at=0.07, facts={**STRETCHED, "beyond": True}),
        (
            "how far spring `main` may be stretched is not known",
            "stretched 80.2 mm, measured over 30.0 mm only",
        ),
    ),
    (
        "spring-stretch",
        outcome(SPRING, LOOK, value=0.6, at=0.07, facts=PRESSED),
        (
            "how far spring `main` may be pressed together is not known",
            "30.0 mm of 80.0 mm",
        ),
    ),
    (
        "spring-overstretched",
        outcome(SPRING, BAD, limit=0.15, facts={"over": NAN, "pressed": False}),
        (
            "how long spring `main` gets could not be worked out",
            "its greatest length is 150.0 mm",
        ),
    ),
    (
        "spring-overstretched",
        outcome(
            SPRING,
            BAD,
            value=0.038,
            limit=0.04,
            at=0.07,
            facts={"over": 0.002, "pressed": True},
        ),
        (
            "spring `main` goes solid and holds the plate",
            "38.0 mm at pad 70.0 mm, its solid length is 40.0 mm",
        ),
    ),
    (
        "spring-stress",
        outcome(SPRING, BAD, value=NAN, limit=6e8, facts=STRESS),
        ("the stress of spring `main` could not be worked out", ""),
    ),
    (
        "spring-stress",
        outcome(SPRING, LOOK, value=7e8, facts={**STRESS, "untabled": True}),
        ("no strength is tabled for the wire of spring `main`", "700 MPa in its hook"),
    ),
    (
        "spring-stress",
        outcome(SPRING, BAD, value=7e8, limit=6e8, facts=STRESS),
        (
            "spring `main` will stay longer or break",
            "700 MPa in its hook, 600 MPa allowed",
        ),
    ),
    (
        "spring-stress",
        outcome(SPRING, FITS, value=5e8, limit=6e8, facts=STRESS),
        ("spring `main` has 500 MPa in its hook", "600 MPa allowed"),
    ),
    (
        "spring-hand",
        outcome(SPRING, BAD, facts={**HAND, "known": False}),
        ("what spring `main` does could not be worked out", "at every position"),
    ),
    (
        "spring-pedal",
        outcome(SPRING, LOOK, facts=PEDAL_SPRING),
        ("which way spring `main` turns `pedal` is not known", "`shuts` says so"),
    ),
    (
        "spring-line",
        outcome(SPRING, BAD, value=-0.01, limit=0.008, facts=LINE),
        (
            "spring `main` works the opening way from the start",
            "at least 8.0 mm of arm is asked",
        ),
    ),
    (
        "energy-sources",
        outcome(MAIN, LOOK, facts=SOURCES),
        ("no spring of the plate acts on the spindle itself", "only `main`"),
    ),
    (
        "unsprung-if-parted",
        outcome(MAIN, BAD, facts={"bare": {FAILED: True}}),
        (
            (
                "if the ball stud or pin at `spindle.lever` breaks no spring is left on the "
                "plate"
            ),
            "",
        ),
    ),
    (
        "unsprung-if-parted",
        outcome(MAIN, BAD, facts={"bare": {FAILED: True, SHAFT_OFF: True}}),
        (
            (
                "if the ball stud or pin at `spindle.lever` breaks no spring is left on the "
                "plate"
            ),
            "and so with 1 other part",
        ),
    ),
    (
        "closing-torque",
        outcome(MAIN, value=INF, limit=2.0, at=0.01, facts=TORQUE),
        ("the springs shut the plate and there is no friction", ""),
    ),
    (
        "time-to-idle",
        outcome(MAIN, BAD, value=INF, limit=1.0, facts=TIME),
        (
            f"let go, the plate stops at 30.0 mm of pad with {FAILED.brief}",
            "it does not shut",
        ),
    ),
    (
        "pad-force",
        outcome(PEDAL, BAD, part=("locked",), at=0.02),
        (
            "friction locks the linkage at pad 20.0 mm",
            "a rod pulls almost through its shaft",
        ),
    ),
    (
        "pull-changes",
        outcome(ROD, LOOK, at=0.02, facts={"way": 1.0, "pull": 20.0, "push": 4.0}),
        (
            "rod `carb` turns from pull to push at pad 20.0 mm under load",
            "its joints knock through their play",
        ),
    ),
    (
        "pull-changes",
        outcome(ROD, FITS, facts={"way": 0.0, "pull": 0.0, "push": 0.0}),
        ("rod `carb`: carries nothing", ""),
    ),
    (
        "rod-push",
        outcome(
            ROD,
            LOOK,
            value=80.0,
            at=0.07,
            facts={"foot": True, "late": 0.0, "euler": None, "share": 0.4},
        ),
        (
            "buckling of rod `carb` was not checked",
            "pushed with 80 N by a foot; give its `diameter`",
        ),
    ),
    (
        "rod-sense",
        outcome(
            ROD, BAD, at=0.02, facts={"pulls": False, "hole": Ref("arm", "a", "b")}
        ),
        (
            "rod `carb` turns from push to pull at 20.0 mm of pad",
            "it passes dead centre and can lock there",
        ),
    ),
    (
        "full-then-idle",
        outcome(
            ROD,
            LOOK,
            value=math.radians(3),
            facts={"main": "throttle", "length": 0.25, "start": 0.0, "end": 0.07},
        ),
        (
            "set at full first, the plate stays 3.0° open at idle",
            "rod `carb` at 250.0 mm moves the lever less than its swing",
        ),
    ),
    (
        "mount-gone",
        outcome(
            MAIN,
            FITS,
            value=0.0,
            at=0.0,
            facts={
                "roll": 0.0,
                "lift": 0.02,
                "seen": "the front",
                "refuse": math.radians(2),
            },
        ),
        ("an engine off a lost mount does not open the plate", ""),
    ),
    (
        "dead-centre",
        outcome(Ref("all"), FITS),
        ("no dead centre is near", ""),
    ),
    (
        "dead-centre",
        outcome(
            ROD,
            BAD,
            part=(LEVER, "inside"),
            at=0.06,
            value=0.0,
            facts={"both": False, "pad": 0.0},
        ),
        (
            "it can lock at 60.0 mm of pad",
            "arm `spindle.lever` and rod `carb` in one line",
        ),
    ),
    (
        "reach",
        outcome(
            ROD,
            BAD,
            at=0.06,
            limit=0.07,
            facts={"miss": 0.0, "used": 0.0, "spring": False},
        ),
        ("rod `carb` jams at 60.0 mm of pad", "10.0 mm before the pedal's end"),
    ),
    (
        "reach",
        outcome(
            ROD,
            BAD,
            at=0.06,
            limit=0.07,
            facts={"miss": -0.002, "used": 0.0, "spring": False},
        ),
        (
            "rod `carb` jams at 60.0 mm of pad",
            "10.0 mm before the pedal's end, where it is 2.0 mm too long",
        ),
    ),
]

LONG = [
    (
        "spring-overstretched",
        outcome(SPRING, BAD, limit=0.04, facts={"over": NAN, "pressed": True}),
        "how long spring `main` gets could not be worked out; its solid length is 40.0 mm",
    ),
    (
        "spring-stretch",
        outcome(SPRING, BAD, value=INF, facts=STRETCHED),
        (
            "how long spring `main` gets could not be worked out, and its greatest length is "
            "not known"
        ),
    ),
    (
        "spring-stress",
        outcome(SPRING, BAD, value=NAN, facts=STRESS),
        "the stress of spring `main` could not be worked out",
    ),
    (
        "spring-hand",
        outcome(SPRING, FITS, facts={**HAND, "long": None, "load": (-0.3, -0.5)}),
        (
            "spring `main` shuts through the whole travel: 0.300 N·m at the start, 0.500 N·m "
            "at the end"
        ),
    ),
    (
        "energy-sources",
        outcome(MAIN, FITS, facts={**SOURCES, "far": False}),
        "springs that shut throttle at every position: `main` (49 CFR 571.124 S5.1)",
    ),
    (
        "closing-torque",
        outcome(
            MAIN,
            BAD,
            value=-1.0,
            limit=2.0,
            at=0.0,
            facts={
                "torque": -0.4,
                "lost": 0.0,
                "idle": (1.0, 1.0),
                "full": (1.0, 1.0),
                "radius": 0.03,
            },
        ),
        "-0.400 N·m of torque, which does not shut it and no friction",
    ),
    (
        "mount-gone",
        outcome(
            MAIN,
            FITS,
            value=0.0,
            facts={"roll": 0.0, "lift": 0.02, "seen": "the front", "refuse": 0.03},
        ),
        "an engine off a lost mount, rolled too, does not open throttle",
    ),
]


@pytest.mark.parametrize(("code", "o", "said"), BRIEF, ids=lambda v: str(v)[:20])
def test_said_in_one_line(code, o, said):
    assert rule(code).brief(o) == said


@pytest.mark.parametrize(("code", "o", "said"), LONG, ids=lambda v: str(v)[:20])
def test_said_in_a_sentence(code, o, said):
    assert said in rule(code).words(o)


def test_what_to_do_for_a_spring_whose_stretch_is_not_known():
    stretch = rule("spring-stretch")
    pulled = outcome(SPRING, LOOK, value=1.5, facts=STRETCHED)
    # 160.2 mm and a twentieth are 168.2 mm, in whole millimetres 169.
    assert stretch.task(pulled) == (
        "pull spring `main` to 169.0 mm five times: if it stays no longer, give that as "
        "`greatest_length`"
    )
    assert stretch.task(outcome(SPRING, LOOK, value=0.6, facts=PRESSED)) == (
        "press spring `main` solid in a vice, measure it and give `solid_length`"
    )
    # Of a length that could not be worked out none is told to try.
    assert stretch.advice(outcome(SPRING, LOOK, value=NAN, facts=STRETCHED)) == ""


def test_a_spring_that_works_with_the_pedal_waits_for_the_sense():
    found = outcome(SPRING, BAD, facts={**PEDAL_SPRING, "shut": True})
    assert rule("spring-pedal").task(found) == (
        "see first that pressing opens the throttle, then check spring `main` again"
    )
