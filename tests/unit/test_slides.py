"""Rods on slides: where they bring what they move, their rates, and what they refuse.

Not here: forces in the guide (`tests/independent/test_slide_forces.py`), the formulas in
symbols (`tests/symbolic/test_slides.py`).
"""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from linkage import formulas
from linkage.band import band
from linkage.config import dump, load, loads
from linkage.config.starters import starter
from linkage.connect import SlidRod
from linkage.errors import AssemblyError, LayoutError, ReachError, UsageError
from linkage.model import Hole, Slide, row, stack
from linkage.model.slide import overhang, slide_of
from linkage.motion import assemble, frame, sweep
from linkage.motion.by_hand import by_hand
from linkage.motion.chain import Chain
from linkage.motion.dead_centre import dead_centres
from linkage.motion.rock import rocked
from linkage.motion.working import working_travel
from linkage.search import check
from tests.slides import skew, slid_layout

TRAVEL = np.linspace(0, 0.07, 29)


def pair(at):
    return np.cos(at), np.sin(at)


def way(two):
    return np.arctan2(two[1], two[0])


def test_a_slider_crank_is_the_textbooks():
    """x = r cos θ + sqrt(l² - (r sin θ - e)²): the textbook's formula, from memory."""
    layout = slid_layout(("angle = 82", "angle = 50"))
    loop = assemble(layout).loops[0]
    assert isinstance(loop, SlidRod)
    r, e, start = 0.100, 0.095, math.radians(50)
    # Seen from the right x is forward and turns count anticlockwise, so θ is the arm's.
    length = float(loop.length)
    theta = start + np.linspace(-0.6, 0.6, 25)

    def place(angle):
        return r * np.cos(angle) + np.sqrt(length**2 - (r * np.sin(angle) - e) ** 2)

    cosine, sine, reach = loop.close(pair(theta - start))
    np.testing.assert_allclose(way((cosine, sine)), place(theta) - place(start), atol=1e-15)  # fmt: skip
    assert (reach > 0).all()


@pytest.mark.parametrize("rod", ["one", "two", "three"])
def test_pins_stay_a_rods_length_apart(rod):
    """Shaft to slide, slide to slide and slide to shaft, in space."""
    motion = sweep(assemble(skew()), TRAVEL)
    loop = motion.assembly.loop(rod)
    one, two = (frame(motion).pin(hole) for hole in loop.link.holes)
    apart = np.sqrt(((two - one) ** 2).sum(axis=0))
    np.testing.assert_allclose(apart, float(loop.length), atol=1e-14)
    for hole in loop.link.holes:
        if isinstance(slide := motion.assembly.layout.shafts[hole.shaft], Slide):
            gone = frame(motion).pin(hole).T - np.array(slide.points[hole.arm])
            ways = np.outer(motion.turns[hole.shaft], slide.axis.n)
            np.testing.assert_allclose(gone, ways, atol=1e-15)


@pytest.mark.parametrize("rod", ["one", "two", "three"])
def test_rates_and_levers_are_central_differences(rod):
    motion = sweep(assemble(skew()), TRAVEL)
    loop = motion.assembly.loop(rod)
    driver = loop.link.driver.shaft
    at, step = motion.turns[driver], 1e-5
    places = [way(loop.close(pair(at + k * step))[:2]) for k in (-1, 0, 1)]
    one, two = pair(at), pair(places[1])
    first, second = loop.rates(one, two)
    np.testing.assert_allclose(first, (places[2] - places[0]) / 2 / step, rtol=1e-7)
    np.testing.assert_allclose(loop.ratio(one, two), first)
    curved = (places[2] - 2 * places[1] + places[0]) / step**2
    np.testing.assert_allclose(second, curved, rtol=1e-3, atol=1e-4)
    # A lever is how much nearer the pins come as one of them goes on.
    shares = loop.levers(one, two)
    length = float(loop.length)
    for i, share in enumerate(shares):
        ends = [[at, places[1]] for _ in range(2)]
        for k, sense in enumerate((-1, 1)):
            ends[k][i] = ends[k][i] + sense * step
        near, far = (loop.apart(*map(pair, end)) for end in ends)
        pulled = -(far - near) / 2 / step / loop.leverage[i]
        np.testing.assert_allclose(share, pulled, atol=1e-8)
    assert loop.short_by(float(at[3])) == 0
    np.testing.assert_allclose(loop.apart(one, two), length)


@pytest.mark.parametrize("rod", ["one", "two", "three"])
def test_what_length_and_arms_do_is_a_difference(rod):
    assembly = assemble(skew())
    loop = assembly.loop(rod)
    driver, step = pair(np.array([0.02])), 1e-7
    two = loop.close(driver)[:2]
    parameters = list(loop.parameters)

    def placed(i, by):
        changed = [p + by * (k == i) for k, p in enumerate(parameters)]
        reduced = formulas.slide_coefficients(loop._kind, *changed)
        other = replace(loop, parameters=tuple(changed), reduced=reduced)
        return way(other.close(driver)[:2])

    last = len(parameters) - 1
    for i, by in ((last, loop.by_length(driver, two)), (0, loop.by_arms(driver, two)[0]), (15, loop.by_arms(driver, two)[1])):  # fmt: skip
        change = (placed(i, step) - placed(i, -step)) / 2 / step
        np.testing.assert_allclose(by, change, rtol=1e-6, atol=1e-7)


def test_rows_are_what_each_layout_is_alone():
    alone = [
        slid_layout(("pins.near = [210, 0, 95]", f"pins.near = [{x}, 4, {z}]"))
        for x, z in ((200, 90), (210, 95), (215, 99))
    ]
    many = stack(alone)
    motion = sweep(assemble(many), TRAVEL)
    for i, layout in enumerate(alone):
        one = sweep(assemble(layout), TRAVEL)
        for name in ("bar", "spindle"):
            np.testing.assert_allclose(motion.turns[name][i], one.turns[name], atol=1e-15)  # fmt: skip
        hole = Hole(shaft="bar", arm="near")
        np.testing.assert_allclose(frame(motion).pin(hole)[:, i], frame(one).pin(hole), atol=1e-15)  # fmt: skip
        assert row(many, i) == layout


def test_a_rod_too_short_for_the_guide_is_refused_with_what_reaches():
    layout = slid_layout(('from = "pedal.rod"', 'from = "pedal.rod"\nlength = 2'))
    low = slid_layout(
        ("[[250, 0, 95], [330, 0, 95]]", "[[250, 0, 45], [330, 0, 45]]"),
        ("pins.near = [210, 0, 95]", "pins.near = [210, 0, 45]"),
        ('from = "pedal.rod"', 'from = "pedal.rod"\nlength = 30'),
    )
    for one in (layout, low):
        with pytest.raises(
            ReachError, match=r"too short to reach `bar\.near`"
        ) as found:
            assemble(one)
        assert "any length from" in found.value.hint
        assert "inf" not in found.value.hint
        assert found.value.key == ("rods", "one", "length")


def test_a_rod_square_to_the_guide_is_on_dead_centre():
    layout = slid_layout(
        ("pins.near = [210, 0, 95]", "pins.near = [210, 0, 95]\npins.up = [13.917310, 0, 150]"),
        ('to = "bar.near"', 'to = "bar.up"'),
    )  # fmt: skip
    with pytest.raises(AssemblyError, match="neither way at rest: dead centre"):
        assemble(layout)


def test_margin_at_a_slide_is_what_its_rod_has_left_to_swing():
    """A rod that a slide pulls by comes square to its guide where the slide goes no on."""
    layout = slid_layout(
        ("pins.far = [390, 0, 95]", "pins.far = [620, 0, 40]"),
        ("arms.lever = { length = 30, angle = 53 }", "arms.lever = { length = 60, angle = 30 }"),
        ("stop = 74.5", "stop = 12"),
    )  # fmt: skip
    assembly = assemble(layout)
    working = working_travel(assembly)
    found = [d for d in dead_centres(assembly, working) if d.hole.shaft == "bar"]
    assert {d.side for d in found} - {"inside"}
    for d in found:
        loop = assembly.loop(d.rod)
        end = {"full": working.end, "idle": working.start}[d.side]
        gap = frame(sweep(assembly, np.array([end]))).rod(d.rod).along
        assert d.margin == pytest.approx(float(np.arcsin(abs(gap[0, 0]))), abs=1e-9)
        assert d.pad_margin > 0
        there = Chain.of(assembly).solve(np.array([d.pad_travel])).levers(d.rod)
        assert float(there[loop.link.holes.index(d.hole)][0]) == pytest.approx(0, abs=1e-3)  # fmt: skip


def test_a_slide_on_the_engine_goes_with_it():
    engine = '\n[engine]\ncarries = ["bar", "spindle"]\nroll = "3 deg"\nlift = 8\nabout = { point = [400, 0, -200], axis = "along" }\n'
    assembly = assemble(slid_layout(more=engine))
    moved = rocked(assembly, roll=0.05, lift=0.008)
    motion = sweep(moved, TRAVEL)
    slide = moved.layout.shafts["bar"]
    again = slide_of(
        "bar", guide=slide.guide, seen=slide.seen, points=slide.points,
        bearing=slide.bearing, friction=slide.friction,
    )  # fmt: skip
    for part in ("u", "v", "n"):
        np.testing.assert_allclose(getattr(slide.axis, part), getattr(again.axis, part), atol=1e-12)  # fmt: skip
    np.testing.assert_allclose(slide.pin("far"), again.pin("far"), atol=1e-12)
    np.testing.assert_allclose(slide.pin("far"), slide.points["far"], atol=1e-12)
    for rod in ("one", "two"):
        loop = moved.loop(rod)
        assert loop.length == pytest.approx(float(assembly.loop(rod).length))
        one, two = (frame(motion).pin(hole) for hole in loop.link.holes)
        np.testing.assert_allclose(np.sqrt(((two - one) ** 2).sum(axis=0)), float(loop.length), atol=1e-13)  # fmt: skip
    # Between slide and lever, which rise together, nothing changes but for the first rod.
    assert moved.rest["bar"] != 0


def test_a_slide_told_further_than_a_metre_and_a_half_is_out_of_reach():
    layout = slid_layout(("length = 200, angle = -90", "length = 2000, angle = -90"),
                         ("length = 100, angle = 82", "length = 2000, angle = 82"),
                         ("travel = 80", "travel = 3000"), ("stop = 74.5", ""))  # fmt: skip
    loop = assemble(layout).loops[0]
    _, _, reach = loop.close(pair(np.array([-0.01, 2.0])))
    assert reach[0] > 0 > reach[1]


@pytest.mark.parametrize(
    ("changes", "more", "words", "key"),
    [
        (
            (("[[250, 0, 95], [330, 0, 95]]", "[[250, 0, 95], [250, 0, 95]]"),),
            "",
            "both ends of the guide are in one place",
            ("slides", "bar", "guide"),
        ),
        (
            (('95]]\naxis = "across"', '95]]\naxis = "along"'),),
            "",
            "the pins of a slide stand square to its guide",
            ("slides", "bar", "axis"),
        ),
        (
            (('hook = "spindle.near"', 'hook = "bar.middle"'),),
            "",
            "slide `bar` has no pin `middle`",
            ("springs", "near", "hook"),
        ),
        (
            (('shaft = "spindle"', 'shaft = "bar"'),),
            "",
            "throttle is on slide `bar`, which does not turn",
            ("throttle", "shaft"),
        ),
        (
            (('shaft = "pedal"', 'shaft = "bar"'), ('pad = "pad"', 'pad = "near"')),
            "",
            "it is not clear which way the pedal is pressed",
            ("pedal", "presses"),
        ),
        (
            (
                ('shaft = "pedal"', 'shaft = "bar"\npresses = "clockwise"'),
                ('pad = "pad"', 'pad = "near"'),
            ),
            "",
            "pedal is on slide `bar`",
            ("pedal", "shaft"),
        ),
        (
            (),
            '\n[stops.end]\nshaft = "bar"\nturn = "clockwise"\nafter = 5\n',
            "stop `end` is on slide `bar`, which goes a `way`",
            ("stops", "end", "shaft"),
        ),
        (
            (),
            '\n[stops.end]\nshaft = "spindle"\ntoward = "first"\nway = 5\n',
            "stop `end` is on shaft `spindle`, which turns",
            ("stops", "end", "shaft"),
        ),
        (
            (),
            '\n[stops.end]\nshaft = "bar"\ntoward = "first"\n',
            "the key `way` is missing",
            ("stops", "end"),
        ),
        (
            (),
            '\n[stops.end]\nshaft = "bar"\ntoward = "first"\nway = 5\nafter = 3\n',
            "a stop is met by a turn or by a way, not both",
            ("stops", "end"),
        ),
        (
            (),
            '\n[springs.coil]\nkind = "torsion"\nshaft = "bar"\nrate = "0.1 N·m/rad"\npreload = "0.3 N·m"\nshuts = "clockwise"\n',
            "torsion spring `coil` is on slide `bar`",
            ("springs", "coil", "shaft"),
        ),
        (
            (),
            '\n[cables.pull]\nfrom = "pedal.rod"\nto = "bar.near"\nsheath_from = [50, 0, 95]\nsheath_to = [150, 0, 95]\n',
            "cable `pull` ends on slide `bar`",
            ("cables", "pull", "to"),
        ),
        (
            (),
            '\n[cams.main]\nfrom = "bar.near"\nto = "spindle.lever"\nroller = 16\nround = "anticlockwise"\nprofile = [[0, 42.1], [30, 48.2], [60, 66.6]]\n',
            "cam `main` ends on slide `bar`",
            ("cams", "main", "from"),
        ),
        (
            (("[slides.bar]", "[slides.spindle]"),),
            "",
            "a shaft and a slide are both named `spindle`",
            ("slides", "spindle"),
        ),
    ],
)
def test_what_a_slide_cannot_have_is_refused_at_its_place(changes, more, words, key):
    with pytest.raises(LayoutError, match=words) as found:
        slid_layout(*changes, more=more)
    assert found.value.place.line
    assert found.value.key == key
    assert found.value.hint


def test_a_pin_on_the_line_of_the_shaft_that_moves_it_is_refused():
    """There the rod is as long as the arm, and the slide stands still."""
    with pytest.raises(
        LayoutError, match=r"`bar\.near` lies on the centre line"
    ) as found:
        slid_layout(("pins.near = [210, 0, 95]", "pins.near = [0, 0, 0]"))
    assert found.value.key == ("rods", "one", "to")


def test_a_slide_without_a_pin_is_refused():
    with pytest.raises(LayoutError, match="slide `bar` has no pin"):
        slid_layout(("pins.near = [210, 0, 95]\npins.far = [390, 0, 95]", "pins = {}"))


def test_a_sound_slide_fits_and_says_what_was_not_judged():
    found = check(slid_layout())
    assert found.verdict != "do not fit", [f.text for f in found.findings if f.verdict == "do not fit"]  # fmt: skip
    assert {"guide-jam", "guide-room"} <= {f.code for f in found.findings}


def test_a_guide_too_short_is_mended_by_a_longer_one_that_is_written_and_read():
    """The far end stays; what was judged is what the file says then."""
    faulty = load(starter("fault-guide-too-short").path).layout
    found = check(faulty)
    told = next(f for f in found.findings if f.code == "guide-jam" and f.verdict == "do not fit")  # fmt: skip
    assert told.cure.proven
    assert "hold slide `bar` in a guide" in told.cure.text
    mended = told.cure.layout
    slide, old = mended.shafts["bar"], faulty.shafts["bar"]
    assert slide.guided > 2 * old.guided
    assert slide.guide[1] == pytest.approx(old.guide[1])
    again = loads(dump(mended)).layout
    assert again.shafts["bar"].guided == pytest.approx(float(slide.guided))
    assert again.shafts["bar"].pin("near") == pytest.approx(slide.pin("near"))
    by = {f.place: f.outcome.value for f in check(mended, cures=False).findings if f.code == "guide-jam"}  # fmt: skip
    for f in check(again, cures=False).findings:
        if f.code == "guide-jam":
            assert f.outcome.value == pytest.approx(by[f.place], rel=1e-6)


def test_a_fixed_slide_keeps_its_guide():
    path = starter("fault-guide-too-short").path
    text = path.read_text(encoding="utf-8").replace("diameter = 14", "diameter = 14\nfixed = true", 1)  # fmt: skip
    found = check(loads(text).layout)
    told = next(f for f in found.findings if f.code == "guide-jam" and f.verdict == "do not fit")  # fmt: skip
    assert told.cure is None or "hold slide" not in told.cure.text or not told.cure.proven  # fmt: skip


def test_what_is_written_of_a_slide_reads_back_the_same():
    for name in ("slide-to-pump", "fault-guide-too-short"):
        layout = load(starter(name).path).layout
        assert loads(dump(layout)).layout == layout


#: A slide on the pedal's way, and one on the hand lever's.
TWO_INPUTS = """[slides.front]
guide = [[120, -22, 113], [180, -22, 113]]
axis = "across"
pins.near = [75, -22, 113]
pins.far = [220, -22, 113]

[slides.own]
guide = [[200, -92, 155], [260, -92, 155]]
axis = "across"
pins.near = [165, -92, 155]
pins.far = [330, -92, 155]

[rods.first]
from = "pedal.rod"
to = "front.near"
length = 70

[rods.foot]
from = "front.far"
to = "spindle.lever"
slot = 48
lost = 0.5

[rods.second]
from = "hand.rod"
to = "own.near"

[rods.hand]
from = "own.far"
to = "spindle.hand"
slot = 48
lost = 1

"""


def test_a_hand_lever_sees_slides_where_they_are_with_the_pedal_up():
    text = starter("hand-and-foot").path.read_text(encoding="utf-8")
    start, end = text.index("[rods.foot]"), text.index("[pedal]\nshaft")
    layout = loads(text[:start] + TWO_INPUTS + text[end:]).layout
    assembly = assemble(layout)
    assert assembly.rest["front"] != 0  # the rod of given length moves it there
    still = sweep(assembly, np.zeros(1))
    seen = by_hand(assembly)
    for name in ("near", "far"):
        at = frame(still).pin(Hole(shaft="front", arm=name))[:, 0]
        np.testing.assert_allclose(seen.shafts["front"].pin(name), at, atol=1e-12)
        np.testing.assert_allclose(seen.shafts["front"].points[name], at, atol=1e-12)
    motion = sweep(assemble(seen), np.linspace(0, 0.1, 9))
    assert np.abs(motion.turns["front"]).max() < 1e-9  # it waits in its slot
    assert np.ptp(motion.turns["own"]) > 0.01
    assert np.ptp(motion.turns["spindle"]) > 0.5
    told = {f.code for f in check(layout, cures=False).findings}
    assert {"hand-guide-jam", "hand-guide-room", "guide-jam"} <= told


GOVERNED = """[slides.bar]
guide = [[{first}, 0, {up}], [{second}, 0, {up}]]
axis = "across"
friction = 0.15
pins.near = [{near}, 0, {up}]
pins.far = [180, 0, {up}]

[rods.first]
from = "governor.arm"
to = "bar.near"

[rods.link]
from = "bar.far"
to = "spindle.lever"

"""


def governed(**places):
    text = starter("governed-engine").path.read_text(encoding="utf-8")
    start, end = text.index("[rods.link]"), text.index("[governor]\nshaft")
    return loads(text[:start] + GOVERNED.format(**places) + text[end:]).layout


def test_a_governor_drives_a_slide_and_its_guide_is_judged():
    found = check(governed(first=100, second=150, near=45, up=64), cures=False)
    told = {f.code: f for f in found.findings}
    assert found.verdict != "do not fit"
    assert told["governor-guide-jam"].verdict == "fits"
    assert "arm travel" in told["governor-guide-jam"].text
    assert "pad" not in told["governor-guide-room"].text
    short = check(governed(first=118, second=126, near=50, up=40))
    (jam, *_) = (f for f in short.findings if f.code == "governor-guide-jam")
    assert jam.verdict == "do not fit"
    assert jam.cure.proven
    assert "hold slide `bar` in a guide" in jam.cure.text


STOP = '\n[stops.end]\nshaft = "bar"\ntoward = "first"\nway = 30\n'


def test_a_stop_on_a_slide_ends_the_travel_at_its_way():
    layout = slid_layout(more=STOP)
    assembly = assemble(layout)
    working = working_travel(assembly)
    assert str(working.stopped_by) == "stop end"
    end = sweep(assembly, np.array([working.end]))
    assert float(end.turns["bar"][0]) == pytest.approx(-0.030, abs=1e-9)
    assert loads(dump(layout)).layout == layout
    other = slid_layout(more=STOP.replace("first", "second"))
    assert str(working_travel(assemble(other)).stopped_by) != "stop end"


def test_a_stop_on_a_slide_takes_a_force():
    found = check(slid_layout(more=STOP), cures=False)
    told = next(f for f in found.findings if f.code == "stamp-load")
    assert told.verdict == "look"
    assert re.search(r"\d+ N on the stop end", told.text)


def test_an_over_travel_spring_gives_once_its_slide_is_on_its_stop():
    sprung = ('to = "bar.near"\ndiameter = 8', 'to = "bar.near"\ndiameter = 8\nover_travel = 20\nover_travel_load = 60\nover_travel_rate = "2 N/mm"')  # fmt: skip
    motion = sweep(assemble(slid_layout(sprung, more=STOP)), np.linspace(0, 0.07, 15))
    assert motion.turns["bar"].min() == pytest.approx(-0.030, abs=1e-9)
    given = frame(motion).given["one"]
    assert given[0] == 0
    assert given[-1] > 0.003
    pins = [frame(motion).pin(h)[:, -1] for h in motion.assembly.loop("one").link.holes]
    apart = float(np.linalg.norm(pins[1] - pins[0]))
    assert apart - float(motion.assembly.loop("one").length) == pytest.approx(given[-1])


def test_how_far_a_pin_stands_out_is_not_known_where_the_slide_stands_nowhere():
    bar = slid_layout().shafts["bar"]
    ways = np.array([-0.02, 0.0, 0.05, 0.2, np.nan])
    found = overhang(bar, "near", ways)
    at = ways - 0.040  # before the guide, which is 80 mm long
    want = np.where(at < 0, -at, np.where(at > 0.08, at - 0.08, 0.0))
    np.testing.assert_allclose(found, [*want[:-1], np.nan], atol=1e-12)


def test_what_knows_of_no_slides_says_so_in_python_too():
    with pytest.raises(UsageError, match="`band` knows of no slides"):
        band(load(starter("slide-to-pump").path).layout, samples=4)
