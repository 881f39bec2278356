"""Many layouts at once: every row is what that layout alone is, to the last bit."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from linkage.config import load
from linkage.errors import LinkageError
from linkage.model import Stop
from linkage.model.columns import column
from linkage.model.rows import row, rows_of, stack, take
from linkage.motion import assemble, dead_centres, frame, sweep, working_travel
from linkage.motion.curve import travel_curve
from linkage.motion.plate import area_of
from linkage.motion.rock import rocked
from linkage.motion.senses import pulls_and_pushes
from linkage.motion.setting import set_full_first
from linkage.motion.tip_in import tip_in
from tests.build import four_bar, hauler, hole
from tests.cli.conftest import CONFIGS

ROWS = 40


def scattered(layout, seed: int, share: float, **pedal):
    """Return a layout in many rows, every arm and pivot off by up to a share."""
    rng = np.random.default_rng(seed)

    def off(scale: float):
        return column(rng.uniform(-scale, scale, ROWS))

    for name, shaft in layout.shafts.items():
        for arm in shaft.arms.values():
            layout = layout.with_arm(
                hole(f"{name}.{arm.name}"),
                length=arm.length * (1 + off(share)),
                angle=arm.angle + off(4 * share),
                offset=arm.offset + off(0.02 * share),
            )
        moved = tuple(c + off(0.3 * share) for c in shaft.pivot)
        shafts = {**layout.shafts, name: replace(layout.shafts[name], pivot=moved)}
        layout = replace(layout, shafts=shafts)
    travel = layout.pedal.travel * (1 + off(share))
    return replace(layout, pedal=replace(layout.pedal, travel=travel, **pedal))


def batches():
    """Shipped layouts of many kinds, scattered so that some rows jam or fail."""
    names = (
        "hanging-pedal",
        "twin-side-draught",
        "up-pull-side-draught",
    )
    for i, name in enumerate(names):
        for share in (0.02, 0.25):
            layout = load(CONFIGS / f"{name}.toml").layout
            yield f"{name} {share}", scattered(layout, i, share)
    yield "hauler", scattered(hauler(), 7, 0.1, free_play=0.004, stop=0.07)
    given = hauler()
    lengths = {loop.link.rod.name: loop.length for loop in assemble(given).loops}
    for name, length in lengths.items():
        given = given.with_rod(name, length + 0.01)
    yield "given rods", scattered(given, 8, 0.1)
    stops = {
        "boss": Stop(
            name="boss", shaft="cross shaft", turn=column(np.linspace(-0.7, 0.7, ROWS))
        )
    }
    yield "stops", replace(hauler(), stops=stops)


BATCHES = dict(batches())


def alike(many, one, i: int) -> None:
    """Compare what came of many with what came of one, to the last bit."""
    value = many[i, 0] if np.ndim(many) else many
    assert value == one or (math.isnan(value) and math.isnan(one)), (value, one)


each_batch = pytest.mark.parametrize("name", BATCHES)
TRAVEL = np.linspace(-0.01, 0.09, 13)


@cache
def together(name):
    many = assemble(BATCHES[name])
    return many, working_travel(many), sweep(many, TRAVEL)


@cache
def alone(name):
    """Every row that can be put together, as a layout of its own."""
    many, _, _ = together(name)
    ok = np.broadcast_to(many.ok, (ROWS, 1))[:, 0]
    return {i: assemble(row(many.layout, i)) for i in np.flatnonzero(ok).tolist()}


@each_batch
def test_rows_that_fail_are_marked_and_nan(name):
    many, working, motion = together(name)
    dead = dead_centres(many, working)
    for i in range(ROWS):
        assert (many.error(i) is None) == (i in alone(name))
        if i not in alone(name):
            assert np.isnan(working.end[i, 0])
            assert working.stopped[i, 0] == -1
            assert all(np.isnan(d.pad_travel[i, 0]) for d in dead)
            assert np.isnan(motion.turns[many.layout.main.shaft][i]).all()


@each_batch
def test_rods_and_turns_are_those_of_single_layouts(name):
    many, _, motion = together(name)
    for i, one in alone(name).items():
        for a, b in zip(many.loops, one.loops, strict=True):
            alike(a.length, b.length, i)
            # Of a rod that loses motion, that where it drives.
            alike(*(getattr(c, "rod", c).branch for c in (a, b)), i)
        for shaft, turns in sweep(one, TRAVEL).turns.items():
            got = np.broadcast_to(motion.turns[shaft], (ROWS, 13))[i]
            assert np.array_equal(got, turns, equal_nan=True)


@each_batch
def test_lines_of_rods_are_those_of_single_layouts(name):
    _, _, motion = together(name)
    for i, one in alone(name).items():
        single = sweep(one, TRAVEL)
        for rod, line in frame(single).rods.items():
            for what in ("driver_angle", "driven_angle", "driver_tilt", "driven_side"):
                got = getattr(frame(motion).rod(rod), what)
                got = np.broadcast_to(got, (ROWS, 13))[i]
                assert np.array_equal(got, getattr(line, what), equal_nan=True), what
            got = np.broadcast_to(pulls_and_pushes(motion)[rod], (ROWS, 13))[i]
            assert np.array_equal(got, pulls_and_pushes(single)[rod])


@each_batch
def test_working_travels_are_those_of_single_layouts(name):
    many, working, _ = together(name)
    first = tip_in(many, working)
    for i, one in alone(name).items():
        w = working_travel(one)
        for what in ("start", "end", "left_over", "miss"):
            alike(getattr(working, what), getattr(w, what), i)
        assert working.stops[working.stopped[i, 0]] == w.stopped_by
        for group in ("opening_at_rest", "opening_at_start", "opening_at_end"):
            for throttle, opening in getattr(w, group).items():
                alike(getattr(working, group)[throttle], opening, i)
        alike(first.ratio, tip_in(one, w).ratio, i)


@each_batch
def test_travel_curves_are_those_of_single_layouts(name):
    many, working, _ = together(name)
    curve = travel_curve(many, working, points=9)
    for i, one in list(alone(name).items())[::4]:
        c = travel_curve(one, working_travel(one), points=9)
        for what in ("start", "tip_in", "held_open", "half_pedal_share", "opens"):
            alike(getattr(curve, what), getattr(c, what), i)
        for mark, place in {**c.marks, "full": c.full_at}.items():
            got = curve.full_at if mark == "full" else curve.marks[mark]
            alike(got, math.nan if place is None else place, i)
        for throttle, alone_curve in c.throttles.items():
            for what in ("starts", "full_at"):
                place = getattr(alone_curve, what)
                got = getattr(curve.throttles[throttle], what)
                alike(got, math.nan if place is None else place, i)
            for what in ("throttle_share", "local_ratio", "open_area"):
                got = getattr(curve.throttles[throttle], what)
                expected = getattr(alone_curve, what)
                if expected is not None:
                    got = np.broadcast_to(got, (ROWS, 9))[i]
                    assert np.array_equal(got, expected, equal_nan=True), what


@each_batch
def test_dead_centres_are_those_of_single_layouts(name):
    many, working, _ = together(name)
    dead = {(d.rod, d.hole, d.side): d for d in dead_centres(many, working)}
    for i, one in alone(name).items():
        found = {
            (d.rod, d.hole, d.side): d for d in dead_centres(one, working_travel(one))
        }
        assert set(found) == {
            k for k, d in dead.items() if not np.isnan(d.margin[i, 0])
        }
        for key, d in found.items():
            for what in ("pad_travel", "margin", "pad_margin"):
                alike(getattr(dead[key], what), getattr(d, what), i)


@each_batch
def test_settings_are_those_of_single_layouts(name):
    setting = set_full_first(together(name)[0])
    for i, one in alone(name).items():
        expected = set_full_first(one)
        if expected is None:
            assert setting is None or np.isnan(setting.length[i, 0])
        else:
            alike(setting.length, expected.length, i)
            alike(setting.opening_at_rest, expected.opening_at_rest, i)


def test_the_batches_hold_every_kind_of_row():
    """Rows that fail, jam, and are stopped by every kind of stop."""
    kinds = set()
    failing = 0
    for name in BATCHES:
        assembly, working, _ = together(name)
        failing += np.sum(~np.broadcast_to(assembly.ok, (ROWS, 1)))
        kinds |= {working.stops[i].kind for i in working.stopped[:, 0] if i >= 0}
    assert kinds == {"floor", "pedal stop", "full stop", "stop", "jam"}
    assert 5 < failing < ROWS * len(BATCHES) / 2


def test_a_failing_row_gives_the_error_it_gives_alone():
    layout = hauler()
    lengths = column([0.05, 0.3, 2.0])
    many = assemble(layout.with_rod("first", lengths))
    assert many.ok[:, 0].tolist() == [False, True, False]
    assert many.error(1) is None
    for i, word in ((0, "short"), (2, "long")):
        with pytest.raises(LinkageError) as caught:
            assemble(layout.with_rod("first", float(lengths[i, 0])))
        assert str(many.error(i)) == str(caught.value)
        assert word in many.error(i).message


def test_a_rod_may_be_cut_to_fit_in_some_rows_and_given_in_others():
    layout = hauler()
    cut = assemble(layout)
    length = cut.loop("first").length + 0.004
    many = assemble(layout.with_rod("first", column([math.nan, length])))
    given = assemble(layout.with_rod("first", length))
    for i, one in enumerate((cut, given)):
        alike(many.loop("first").length, one.loop("first").length, i)
        alike(many.rest["cross shaft"], one.rest["cross shaft"], i)
        turns = sweep(many, TRAVEL).turns["spindle"][i]
        assert np.array_equal(
            turns, sweep(one, TRAVEL).turns["spindle"], equal_nan=True
        )


@pytest.mark.parametrize("size", [1, 7, 64])
def test_any_block_of_rows_gives_the_same(size):
    layout = BATCHES["hanging-pedal 0.25"]
    whole = working_travel(assemble(layout))
    dead = dead_centres(assemble(layout), whole)
    for begin in range(0, ROWS, size):
        part = slice(begin, begin + size)
        some = assemble(take(layout, part))
        working = working_travel(some)
        assert np.array_equal(working.end, whole.end[part], equal_nan=True)
        assert np.array_equal(working.stopped, whole.stopped[part])
        found = {(d.rod, d.hole, d.side): d for d in dead_centres(some, working)}
        for d in dead:
            one = found.get((d.rod, d.hole, d.side))
            if one is None:
                assert np.isnan(d.margin[part]).all()
            else:
                assert np.array_equal(one.margin, d.margin[part], equal_nan=True)


def test_rows_may_have_their_own_pad_positions():
    layout = BATCHES["hauler"]
    many = assemble(layout)
    places = np.random.default_rng(1).uniform(0, 0.06, (ROWS, 5))
    motion = sweep(many, places)
    for i in (0, 17, 39):
        alone = sweep(assemble(row(layout, i)), places[i])
        assert np.array_equal(motion.turns["spindle"][i], alone.turns["spindle"])
    ends = sweep(many, places[:, :1])
    assert np.array_equal(ends.turns["spindle"], motion.turns["spindle"][:, :1])


def test_one_position_is_a_number():
    assembly = assemble(hauler())
    one, many = sweep(assembly, 0.03), sweep(assembly, [0.03])
    assert one.turns["spindle"].shape == ()
    assert one.turns["spindle"] == many.turns["spindle"][0]
    line = frame(one).rod("last")
    assert line.driven_angle == frame(many).rod("last").driven_angle[0]
    assert frame(one).pin(hole("spindle.lever")).shape == (3,)
    assert one.between_stops("throttle").shape == ()


def test_a_shaft_past_the_seam_is_followed_in_every_row():
    """Crank-levers that turn right round, of different lengths."""
    layouts = [four_bar(80, 90 + i, 70, 30, 60) for i in range(5)]
    many = assemble(stack(layouts))
    crank = np.radians(np.linspace(-20, 225, 50))
    turns = sweep(many, crank).turns["lever"]
    assert np.all(np.diff(turns, axis=-1) > 0)
    for i, layout in enumerate(layouts):
        assert np.array_equal(turns[i], sweep(assemble(layout), crank).turns["lever"])


def test_positions_of_a_rocking_engine_are_rows_of_one_batch():
    layout = load(CONFIGS / "fault-engine-rock.toml").layout
    level = assemble(layout)
    rolls, lifts = column([-0.03, 0.0, 0.02]), column([0.0, 0.01, 0.005])
    many = rocked(level, roll=rolls, lift=lifts)
    assert rows_of(many.layout) == 3
    for i in range(3):
        one = rocked(level, roll=float(rolls[i, 0]), lift=float(lifts[i, 0]))
        at = sweep(one, 0.02).opening(layout.main.name)
        opening = sweep(many, [0.02]).opening(layout.main.name)
        assert opening[i, 0] == pytest.approx(at, rel=1e-13, abs=1e-13)


def test_plates_of_many_bores():
    layout = load(CONFIGS / "hanging-pedal.toml").layout
    bores = layout.main.bore * column([1.0, 1.2])
    area = area_of(replace(layout.main, bore=bores), [0.1, 0.5])
    assert area.shape == (2, 2)
    for i in range(2):
        alone = area_of(replace(layout.main, bore=float(bores[i, 0])), [0.1, 0.5])
        assert np.array_equal(area[i], alone)


def test_results_say_what_they_are_in_one_line():
    assembly = assemble(hauler())
    working = working_travel(assembly)
    curve = travel_curve(assembly, working)
    many = assemble(BATCHES["hauler"])
    for result in (
        assembly,
        working,
        curve,
        sweep(assembly, 0.02),
        frame(sweep(assembly, [0.0, 0.02])),
        many,
        working_travel(many),
        sweep(many, [0.0, 0.02]),
    ):
        assert len(repr(result).splitlines()) == 1
        assert len(repr(result)) < 200
    assert "40 rows of 2 positions" in repr(sweep(many, [0.0, 0.02]))
    assert "stopped by full stop throttle" in repr(working)
