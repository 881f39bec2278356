"""Layouts with slides and cams side by side: what differs, what turned, what is set back."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from linkage import load
from linkage.comparison import compare
from linkage.comparison.changes import changes
from linkage.comparison.match import match
from linkage.comparison.renamed import renamed
from linkage.comparison.units import hands, units
from linkage.config import loads
from linkage.model import NAMED, Slide, stack
from linkage.model.slide import slide_of
from linkage.report.compare import compare_lines
from linkage.report.compare_data import compare_data
from linkage.rules import examine
from linkage.search import check
from linkage.swap import swap_sides
from linkage.swap.moves import mirror, moved_shaft
from tests.slides import TEXT, slid, slid_layout

CONFIGS = Path(__file__).parents[2] / "configs"
GUIDE = "guide = [[250, 0, 95], [330, 0, 95]]"


def said(c, **more):
    return " ".join(" ".join(compare_lines(c, **more)).split())


def whole_mirrored(layout, plane=0.0):
    """Return a layout as it is in a mirror upright along the vehicle, pedal and all."""
    flip = mirror(plane)
    moved = {n: moved_shaft(s, flip) for n, s in layout.shafts.items()}
    senses = {n: sense for n, (_, sense) in moved.items()}

    def turned(value, shaft):
        return 1 if value * senses[shaft] > 0 else -1

    return replace(
        layout,
        shafts={n: shaft for n, (shaft, _) in moved.items()},
        rods={
            n: replace(r, goes=turned(r.goes, r.start.shaft)) if r.kind == "cam" else r
            for n, r in layout.rods.items()
        },
        springs={
            n: replace(s, anchor=flip.point(s.anchor))
            for n, s in layout.springs.items()
        },
        throttles={
            n: replace(t, opens=turned(t.opens, t.shaft))
            for n, t in layout.throttles.items()
        },
        pedal=replace(
            layout.pedal, presses=turned(layout.pedal.presses, layout.pedal.shaft)
        ),
    )


def about_upright(layout):
    """Return a layout of shafts across turned a quarter to the right: all along it."""

    def point(p):
        x, y, z = p
        return (y, -x, z)

    shafts = {}
    for name, part in layout.shafts.items():
        if isinstance(part, Slide):
            shafts[name] = slide_of(
                name,
                guide=tuple(map(point, part.guide)),
                seen=NAMED["along"],
                points={n: point(p) for n, p in part.points.items()},
                bearing=part.bearing,
                friction=part.friction,
            )
        else:
            shafts[name] = replace(part, axis=NAMED["along"], pivot=point(part.pivot))
    springs = {n: replace(s, anchor=point(s.anchor)) for n, s in layout.springs.items()}
    return replace(layout, shafts=shafts, springs=springs)


def test_the_same_layout_turned_a_quarter_is_judged_the_same():
    """What the tests below stand on: the slide lies across the vehicle then."""
    one, two = (
        check(x, cures=False) for x in (slid_layout(), about_upright(slid_layout()))
    )
    assert one.verdict == two.verdict
    np.testing.assert_allclose(
        one.examined.motion.turns["spindle"],
        two.examined.motion.turns["spindle"],
        atol=1e-9,
    )


def test_a_swapped_linkage_with_a_slide_turns_nothing_round():
    old = slid_layout()
    c = compare(old, swap_sides(old, plane=0.1).after)
    assert not c.turned.turns
    assert c.fits
    places = {k.about.name for k in c.changes if k.kind == "place"}
    assert places == {"bar", "spindle"}
    assert not {k.kind for k in c.changes} & {"guide", "pin", "arm angle", "arm length"}
    (bar,) = (w for w in c.shafts if w.about.name == "bar")
    assert bar.turned is False
    text = said(c, everything=True)
    assert "bar goes rearward as before" in text
    assert "`bar` 200 mm to the left" in text


def test_a_slide_across_the_vehicle_goes_the_other_way_in_the_mirror_and_not_turned():
    """A way is no turn: mirrored left for right what goes right goes left."""
    old = about_upright(slid_layout())
    c = compare(old, whole_mirrored(old))
    assert c.turned.mirror == "left for right"
    assert not c.turned.turns
    (bar,) = (w for w in c.shafts if w.about.name == "bar")
    assert bar.turned is False
    text = said(c)
    assert "is the mirror image of the old one, left for right: nothing turned" in text
    data = compare_data(c)
    (told,) = (s for s in data["shafts"] if s["part"] == "bar")
    assert (told["old"], told["new"], told["turned"]) == (
        "to the left",
        "to the right",
        False,
    )


def test_a_slide_that_goes_the_other_way_is_named_with_the_arm_that_does_it():
    new = slid_layout(("arms.rod = { length = 100, angle = 82 }", "arms.rod = { length = 100, angle = -95 }"))  # fmt: skip
    c = compare(slid_layout(), new)
    (bar,) = (w for w in c.shafts if w.about.name == "bar")
    assert bar.turned is True
    text = said(c)
    assert (
        "The sense first turns round here: slide `bar` went rearward, now forward, though "
        "`pedal` turns as before: arm `pedal.rod` stands on the other side of its shaft"
    ) in text
    assert "with the old `pedal.rod` (100.0 mm at 82°): opens again" in text


FAR = ("pins.near = [210, 0, 95]", "pins.near = [-190, 0, 95]")


def test_from_whichever_side_a_rod_comes_a_slide_goes_as_its_other_end_does():
    """It pushes now where it pulled, and nothing is turned round."""
    c = compare(slid_layout(), slid_layout(FAR))
    (front,) = (w for w in c.rods if w.about.name == "one")
    assert (front.old, front.new) == (1, -1)
    assert not c.turned.turns
    assert "`bar.near` stands 400 mm rearward" in said(c, everything=True)


def test_the_arm_turns_a_slide_round_though_its_rod_pulls_as_before():
    """The pin is on the other side as well: the rod pulls, and the arm is named."""
    over = ("arms.rod = { length = 100, angle = 82 }", "arms.rod = { length = 100, angle = -95 }")  # fmt: skip
    c = compare(slid_layout(), slid_layout(FAR, over))
    (front,) = (w for w in c.rods if w.about.name == "one")
    assert (front.old, front.new) == (1, 1)
    assert [str(p) for p in c.turned.first.parts] == ["pedal.rod"]


def test_the_lever_behind_a_slide_is_named_where_it_turns_the_sense_round():
    over = ("arms.lever = { length = 30, angle = 53 }", "arms.lever = { length = 30, angle = -53 }")  # fmt: skip
    c = compare(slid_layout(), slid_layout(over))
    assert [str(p) for p in c.turned.first.parts] == ["spindle.lever"]
    assert "arm `spindle.lever` stands on the other side of its shaft" in said(c)


def test_what_of_a_slide_differs_is_told_by_its_ends_and_pins():
    new = slid_layout(
        (GUIDE, "guide = [[252, 0, 95], [330, 0, 100]]"),
        ("pins.far = [390, 0, 95]", "pins.far = [390, 0, 98]"),
    )
    found = changes(slid_layout(), new)
    assert [(k.kind, str(k.about)) for k in found] == [
        ("guide", "bar"),
        ("pin", "bar.far"),
    ]
    text = said(compare(slid_layout(), new), everything=True)
    assert (
        "`bar` has the first end of its guide 2 mm forward, the second end of its guide 5 mm up"
    ) in text
    assert "`bar.far` stands 3 mm up" in text


def test_a_slide_is_set_back_as_a_whole_and_mends_what_it_did():
    """A guide too short jams; with guide and pins where they were it fits."""
    new = slid_layout(
        (GUIDE, "guide = [[318, 0, 45], [330, 0, 45]]"),
        ("pins.near = [210, 0, 95]", "pins.near = [150, 0, 45]"),
        ("pins.far = [390, 0, 95]", "pins.far = [390, 0, 45]"),
        ("friction = 0.15", "friction = 0.3"),
    )
    c = compare(slid_layout(), new)
    assert not c.fits
    best = c.trials[0]
    assert [u.kind for u in best.units] == ["slide"]
    assert best.outcome.verdict != "do not fit"
    back = best.layout.shafts["bar"]
    assert back.points == slid_layout().shafts["bar"].points
    assert back.friction == 0.15
    assert "with slide `bar` and its pins where they were: opens" in said(c)


def test_one_that_is_where_the_mirror_shows_it_is_not_set_back():
    """10 mm off its image it is set back to there, and not to where the old one stood."""
    old = about_upright(slid_layout())
    new = whole_mirrored(old, 0.1)
    found = compare(old, new)
    mirrored = found.turned.mirror
    assert mirrored == "left for right"
    assert not [
        u for u in units(old, new, found.changes, mirrored) if u.kind == "slide"
    ]
    bar = new.shafts["bar"]
    off = slide_of(
        "bar",
        guide=tuple((x + 0.01, y, z) for x, y, z in bar.guide),
        seen=bar.seen,
        points={n: (x + 0.01, y, z) for n, (x, y, z) in bar.points.items()},
        bearing=bar.bearing,
        friction=bar.friction,
    )
    moved = new.with_shaft(off)
    differ = changes(old, moved, mirrored)
    (unit,) = (u for u in units(old, moved, differ, mirrored) if u.kind == "slide")
    there = unit.put(moved).shafts["bar"]
    for pin, point in bar.points.items():
        assert there.points[pin] == pytest.approx(point, abs=1e-9)


def test_a_slide_is_no_shaft_of_the_same_name():
    """Nor is it matched with one by its place; its rods and all else are."""
    lever = TEXT[: TEXT.index("[slides.bar]")] + """
[shafts.bar]
pivot = [300, 0, 60]
axis = "across"
arms.near = { length = 40, angle = 95 }
arms.far = { length = 40, angle = 80 }

""" + TEXT[TEXT.index("[rods.one]") :]  # fmt: skip
    old, new = loads(lever, "lever.toml").layout, slid_layout()
    matching = match(old, new)
    assert "bar" not in matching.names("shaft")
    assert matching.names("rod") == {"one": "one", "two": "two"}
    assert {"bar"} == {r.name for r in matching.only_new if r.kind == "shaft"}
    text = said(compare(old, new))
    assert "Only in the old linkage: `bar`." in text
    assert "Only in the new linkage: slide `bar`." in text


def test_pins_keep_their_places_where_they_get_other_names():
    text = slid().replace("bar", "rack").replace("pins.near", "pins.rear").replace("rack.near", "rack.rear")  # fmt: skip
    old, new = loads(text, "rack.toml").layout, slid_layout()
    matching = match(old, new)
    assert matching.names("shaft")["rack"] == "bar"
    there = renamed(old, matching).shafts["bar"]
    assert dict(there.points) == dict(new.shafts["bar"].points)
    assert set(there.arms) == {"near", "far"}
    c = compare(old, new)
    assert not c.changes
    assert "`rack` is now `bar`" in said(c)


def test_a_bar_has_no_hand():
    """No bell crank of the other hand is offered for a slide; for a lever it is."""
    assert not list(hands(slid_layout()))
    before = load(CONFIGS / "scenario-before.toml").layout
    assert list(hands(before))


@pytest.fixture(scope="module")
def trolley():
    layout = load(CONFIGS / "cam-roller.toml").layout
    axis = NAMED["along"]
    cross = replace(layout.shafts["cross"], axis=axis, pivot=(-0.64, 0.18, 0.06))
    spindle = replace(layout.shafts["spindle"], axis=axis, pivot=(-0.64, 0.12, 0.06))
    return layout.with_shaft(cross).with_shaft(spindle)


def test_a_cam_of_the_other_hand_is_no_other_cam_in_the_mirror(trolley):
    """Turned over with its shaft it has the profile that it had; not turned over, another."""
    swapped = swap_sides(trolley).after
    c = compare(trolley, swapped)
    assert c.turned.mirror == "left for right"
    assert not {k.kind for k in c.changes} & {"cam profile", "cam roller"}
    left = replace(swapped, rods={**swapped.rods, "main": trolley.rods["main"]})
    found = {k.kind for k in changes(trolley, left, "left for right")}
    assert "cam profile" in found
    assert "cam profile" not in {
        k.kind for k in changes(trolley, swapped, "left for right")
    }


def test_a_cam_is_set_back_of_the_hand_that_it_has_in_the_mirror(trolley):
    swapped = swap_sides(trolley).after
    cam = swapped.rods["main"]
    other = replace(cam, roller=0.010)
    new = replace(swapped, rods={**swapped.rods, "main": other})
    differ = changes(trolley, new, "left for right")
    some = units(trolley, new, differ, "left for right")
    (unit,) = (u for u in some if u.about.name == "main")
    assert unit.put(new).rods["main"] == cam
    assert math.isclose(cam.roller, 0.008)


def test_plain_data_of_slides_follow_their_schema():
    import jsonschema

    schema = json.loads(
        (CONFIGS.parent / "docs" / "compare.schema.json").read_text(encoding="utf-8")
    )
    new = slid_layout(
        (GUIDE, "guide = [[318, 0, 45], [330, 0, 45]]"),
        ("pins.near = [210, 0, 95]", "pins.near = [150, 0, 45]"),
        ("pins.far = [390, 0, 95]", "pins.far = [390, 0, 46]"),
    )
    data = compare_data(compare(slid_layout(), new))
    jsonschema.validate(json.loads(json.dumps(data)), schema)
    assert {"guide", "pin"} <= {k["kind"] for k in data["changes"]}


def test_rows_of_cams_with_rollers_of_their_own_are_each_judged_as_alone():
    """Set back, a roller is another in half of the rows: so the dead centres differ."""
    layout = load(CONFIGS / "cam-roller.toml").layout
    cam = layout.rods["main"]
    both = [
        replace(layout, rods={**layout.rods, "main": replace(cam, roller=size)})
        for size in (0.0076, 0.0080)
    ]
    rows = examine(stack(both)).dead_centres
    for i, alone in enumerate(both):
        told = {(d.hole, d.side): float(d.margin) for d in examine(alone).dead_centres}
        ours = {(d.hole, d.side): float(np.ravel(d.margin)[i]) for d in rows}
        for key, margin in told.items():
            assert ours[key] == pytest.approx(margin, abs=1e-6)
    full = next(d for d in rows if d.side == "full" and d.hole.arm == "roller")
    assert np.ptp(np.ravel(full.margin)) > 1e-4


def test_another_roller_among_what_is_set_back_is_solved_with_all_else():
    layout = load(CONFIGS / "cam-roller.toml").layout
    cam = layout.rods["main"]
    new = replace(layout, rods={**layout.rods, "main": replace(cam, roller=0.0076)})
    new = new.with_arm("cross.rod", length=0.034, angle=math.radians(128))
    new = new.with_arm("pedal.rod", length=0.095, angle=math.radians(80))
    c = compare(layout, new)
    assert not c.fits
    assert any(u.about.name == "main" for t in c.tried for u in t.units)
