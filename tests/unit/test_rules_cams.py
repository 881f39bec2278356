"""Cams: what must be refused, beside its sound twin.

The pressure angle is held to the ways of roller and profile, written out anew; sizes are
those of the shipped layout, changed.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.comparison import compare
from linkage.config import dump, loads
from linkage.model import Hole
from linkage.model.rows import stack
from linkage.motion import frame
from linkage.report.compare import compare_lines
from linkage.report.compare_words import change_text
from linkage.report.findings import check_data, check_lines
from linkage.rules import examine
from linkage.rules.rule import BAD, FITS, LOOK
from linkage.search import check
from tests.unit.edits import edited
from tests.unit.ruled import alone

CAM = "cam-roller"
ROLLER = "arms.roller       = { length = 28, angle = 119.5 }"
PIVOT = 'pivot   = ["-580 ± 0.2 mm", 120, "60 ± 0.2 mm"]'


def bad(layout):
    return {
        f.code for f in check(layout, cures=False).findings if f.verdict == "do not fit"
    }


def test_the_shipped_cam_is_sound():
    found = check(edited(CAM), cures=False)
    assert not {f.code for f in found.findings if f.verdict != "fits"}
    told = {f.code: f for f in found.findings if f.code.startswith("cam-")}
    assert set(told) == {"cam-pressure", "cam-end"}
    assert {f.verdict for f in told.values()} == {"fits"}


def test_the_pressure_angle_is_that_of_push_and_way():
    """By points: where the roller's middle goes, against the normal of its own path.

    As seen from the cam its middle goes along the push's square, whatever the profile.
    """
    x = examine(edited(CAM))
    line = x.lines["main"]
    motion = x.motion
    pin = frame(motion).pin(Hole(shaft="spindle", arm="roller"))[[0, 2]].T
    turn = motion.turns["cross"]
    middle = pin - np.array([-0.640, 0.060])
    cosine, sine = np.cos(-turn), np.sin(-turn)
    seen = np.column_stack(
        [
            cosine * middle[:, 0] - sine * middle[:, 1],
            sine * middle[:, 0] + cosine * middle[:, 1],
        ]
    )
    inner = np.flatnonzero(~x.speeds.slack["main"])[3:-3]
    way, path = (np.gradient(p, axis=0)[inner] for p in (pin, seen))
    cosine, sine = cosine[inner], sine[inner]
    square = np.column_stack([path[:, 1], -path[:, 0]])
    back = np.column_stack(
        [
            cosine * square[:, 0] + sine * square[:, 1],
            -sine * square[:, 0] + cosine * square[:, 1],
        ]
    )
    lean = (way * back).sum(1) / np.hypot(*way.T) / np.hypot(*back.T)
    theirs = np.arccos(np.abs(lean))
    np.testing.assert_allclose(line.pressure_angle[inner], theirs, atol=0.01)
    assert np.ptp(theirs) > 0.1


@pytest.mark.parametrize(("angle", "rank"), [(119.5, FITS), (78, LOOK), (62, BAD)])
def test_a_push_that_leans_too_far_is_refused(angle, rank):
    """The spindle set lower under the same roller: its arm is then no longer square."""
    roller = np.array([-580 + 28 * math.cos(math.radians(119.5)), 60 + 28 * math.sin(math.radians(119.5))])  # fmt: skip
    pivot = np.array([roller[0] - 28 * math.cos(math.radians(angle)), roller[1] - 28 * math.sin(math.radians(angle))])  # fmt: skip
    layout = edited(
        CAM,
        (ROLLER, f"arms.roller = {{ length = 28, angle = {angle} }}"),
        (PIVOT, f"pivot   = [{pivot[0]:.3f}, 120, {pivot[1]:.3f}]"),
    )
    (finding,) = alone(examine(layout), "cam-pressure")
    assert finding.outcome.rank == rank
    assert ("cam-pressure" in bad(layout)) == (rank == BAD)


PROFILE = "[60, 66.6], [70, 77.6], [78, 88]]"


@pytest.mark.parametrize(
    ("profile", "code", "rank"),
    [
        (PROFILE, "cam-end", FITS),
        ("[60, 66.6], [67, 74.1]]", "cam-end", LOOK),
        ("[60, 66.6]]", "reach", BAD),
    ],
)
def test_a_profile_that_ends_too_soon_is_refused(profile, code, rank):
    layout = edited(CAM, (PROFILE, profile))
    found = {f.code: f for f in check(layout, cures=False).findings}
    assert found[code].outcome.rank == rank
    assert ("reach" in bad(layout)) == (code == "reach")
    if code == "reach":
        assert "runs off the end of the profile" in found[code].text
        assert math.isfinite(found[code].outcome.at)


def test_a_longer_profile_is_offered_and_mends_it():
    found = check(edited("fault-cam-too-short"))
    assert found.plan is not None
    assert "make cam `main` anew with a profile that goes on" in found.plan.text
    assert check(found.plan.layout, cures=False).verdict != "do not fit"


def test_a_roller_that_no_spring_brings_back_never_fits():
    """The springs on the cam's own shaft pull the pedal up, and shut no plate."""
    near = 'hook            = "spindle.spring"'
    far = 'hook            = "spindle.far spring"'
    layout = edited(
        CAM,
        (near, 'hook            = "cross.rod"'),
        (far, 'hook            = "cross.rod"'),
        ("[-600, 134, -40]", "[-760, 134, 100]"),
        ("[-600, 86, -40]", "[-760, 86, 100]"),
    )
    codes = bad(layout)
    assert {"closing-torque", "energy-sources"} & codes
    x = check(layout, cures=False)
    assert x.verdict == "do not fit"


def test_a_lost_roller_is_one_of_the_failures():
    found = check(edited(CAM), cures=False)
    text = " ".join(f.text for f in found.findings)
    assert "with the roller of cam `main` lost" in text
    assert "rod `main`" not in text


def test_the_list_of_rods_tells_the_cam_apart():
    found = check(edited(CAM), cures=False)
    text = " ".join(" ".join(check_lines(found)).split())
    assert "Cams: main: 12 arcs round" in text
    assert "what roller and cam bear where they touch" in text
    data = check_data(found)["rods"]["main"]
    assert data["kind"] == "cam"
    assert data["roller_mm"] == 16
    assert len(data["arcs"]) == 12


@pytest.mark.parametrize(
    "change",
    [
        "profile",
        "arcs = [[60, 10], [70, 12], [150, 30]]\npin_friction = 0.1\nmass = '20 g'\nfixed = true\n#",
    ],
)
def test_a_cam_that_is_written_reads_back_equal(change):
    layout = edited(CAM, ("profile      =", f"{change} ="))
    assert loads(dump(layout)).layout == layout


def test_rows_of_cams_say_what_each_says_alone():
    """Clocked, and of other arms: every position of a batch is that of its layout."""
    some = [
        edited(CAM, ("length = 42.1, angle = 16", f"length = 42.1, angle = {angle}"))
        for angle in (15.5, 16.0, 16.4)
    ]
    spindle = some[0].shafts["spindle"]
    longer = replace(spindle.arms["roller"], length=0.0282)
    some.append(some[0].with_shaft(spindle.with_arm(longer)))
    many = examine(stack(some))
    for i, one in enumerate(some):
        x = examine(one)
        for name in ("cross", "spindle"):
            ours = np.broadcast_to(
                many.motion.turns[name], many.motion.turns[name].shape
            )
            np.testing.assert_allclose(ours[i], x.motion.turns[name], atol=1e-12)
        ours = np.asarray(many.lines["main"].pressure_angle)[i]
        np.testing.assert_allclose(ours, x.lines["main"].pressure_angle, atol=1e-9)


def test_a_cam_that_was_changed_is_told_and_set_back():
    """The old cam in the new linkage mends it, and nothing else is said to have changed."""
    found = compare(edited(CAM), edited("fault-cam-too-short"))
    assert [change.kind for change in found.changes] == ["cam profile"]
    text = " ".join(" ".join(compare_lines(found)).split())
    assert "Changed: cam `main` has another profile." in text
    assert "with cam `main` as it was made: opens 100%" in text
    larger = edited(CAM, ("roller       = 16", "roller = 15"))
    (change,) = compare(edited(CAM), larger).changes
    assert (change.kind, change_text(change, {"main": "cam"})) == (
        "cam roller",
        "cam `main` roller 15.0 mm (was 16.0 mm)",
    )
