"""Layouts as rows: stacked, taken apart, a row alone, and numbers as columns."""

from __future__ import annotations

import copy
import math
import pickle
from dataclasses import replace

import numpy as np
import pytest

from linkage.errors import LayoutError
from linkage.model import (
    NAMED,
    Engine,
    Hole,
    Limits,
    Spring,
    Stop,
    Throttle,
    axis_from_vector,
    row,
    rows_of,
    same_make_up,
    stack,
    take,
)
from linkage.model.axes import add, cross, dot, norm, unit
from linkage.model.columns import column, every, greater, lesser, pick, some
from tests.build import arm, axis_of, hauler, hole, random_basis, rod, shaft, tree
from tests.sprung import random_chain, sprung_hauler


def other(layout, rng):
    """Return the layout with nearly every kind of number changed."""
    shafts = {
        n: replace(
            s,
            pivot=tuple(c + rng.uniform(-1e-3, 1e-3) for c in s.pivot),
            bearing=rng.uniform(0.006, 0.012),
            arms={k: replace(a, length=a.length * rng.uniform(0.9, 1.1), angle=a.angle + 0.01) for k, a in s.arms.items()},
        )
        for n, s in layout.shafts.items()
    }  # fmt: skip
    pedal = replace(layout.pedal, stop=rng.choice([None, rng.uniform(0.05, 0.1)]))
    limits = Limits(dead_centre=rng.uniform(0.1, 0.3))
    return replace(layout, shafts=shafts, pedal=pedal, limits=limits)


@pytest.fixture
def many():
    rng = np.random.default_rng(4)
    return [other(sprung_hauler(), rng) for _ in range(7)]


def test_every_row_of_a_stack_is_the_layout_it_was_made_of(many):
    batch = stack(many)
    assert rows_of(batch) == 7
    for i, layout in enumerate(many):
        assert row(batch, i) == layout
    assert row(batch, -1) == many[-1]


def test_chains_in_any_direction_are_stacked():
    rng = np.random.default_rng(11)
    chains = [random_chain(rng) for _ in range(60)]
    found = 0
    for one in chains:
        alike = [c for c in chains if same_make_up(one, c)]
        batch = stack(alike)
        found = max(found, rows_of(batch))
        assert [row(batch, i) for i in range(len(alike))] == alike
    assert found > 1


def test_numbers_that_are_equal_stay_floats(many):
    batch = stack(many)
    assert isinstance(batch.pedal.travel, float)
    assert batch.springs == many[0].springs
    assert batch.shafts["pedal"].arms["pad"].length.shape == (7, 1)
    assert stack([many[0], many[0]]) == many[0]
    assert rows_of(stack([many[0]] * 3)) == 1


def test_batches_are_stacked_row_after_row(many):
    one, two, three = stack(many[:3]), many[3], stack(many[4:])
    batch = stack([one, two, three])
    assert [row(batch, i) for i in range(7)] == many
    again = stack([one, one])
    assert [row(again, i) for i in range(6)] == [*many[:3], *many[:3]]


@pytest.mark.parametrize(
    ("rows", "kept"),
    [
        (slice(2, 5), [2, 3, 4]),
        ([6, 0, 0], [6, 0, 0]),
        (np.array([True, False, True, False, False, False, True]), [0, 2, 6]),
    ],
)
def test_some_rows_are_taken(many, rows, kept):
    part = take(stack(many), rows)
    assert rows_of(part) == len(kept)
    assert [row(part, i) for i in range(len(kept))] == [many[i] for i in kept]


def test_one_layout_is_its_own_row():
    layout = hauler()
    assert rows_of(layout) == 1
    assert row(layout, 0) is layout
    assert take(layout, [0, 0]) is layout
    for i in (1, -2):
        with pytest.raises(IndexError, match="no row"):
            row(layout, i)


def test_a_stop_that_some_have_is_inf_where_it_is_not():
    none, some_ = hauler(), hauler(pedal={"stop": 0.05})
    batch = stack([none, some_, none])
    assert batch.pedal.stop.ravel().tolist() == [math.inf, 0.05, math.inf]
    assert batch.pedal.end.ravel().tolist() == [0.075, 0.05, 0.075]
    assert batch.pedal.stop_met.ravel().tolist() == [False, True, False]
    assert [row(batch, i).pedal.stop for i in range(3)] == [None, 0.05, None]
    assert none.pedal.stop_met is False
    assert stack([none, none]).pedal.stop is None


def test_titles_and_viewers_are_words_not_make_up():
    one = hauler()
    two = replace(one, title="another")
    assert stack([one, two]).title == ""
    axes = [axis_from_vector((0.1 * i, -1, 0.3)) for i in (1, 2, 3)]
    pedal = one.shafts["pedal"]
    layouts = [one.with_shaft(replace(pedal, axis=a)) for a in axes]
    batch = stack(layouts)
    assert batch.shafts["pedal"].axis.seen_from == ""
    assert [row(batch, i).shafts["pedal"].axis for i in range(3)] == axes
    assert row(batch, 1) == layouts[1]


def test_an_engine_that_rolls_by_a_column_keeps_its_viewer():
    one = hauler()
    basis = [axis_of(random_basis(np.random.default_rng(i))) for i in range(3)]
    turned = replace(basis[0], **{k: tuple(column(c) for c in zip(*(getattr(b, k) for b in basis), strict=True)) for k in ("u", "v", "n")}, seen_from="the right")  # fmt: skip
    batch = one.with_shaft(replace(one.shafts["pedal"], axis=turned))
    assert rows_of(batch) == 3
    lone = row(batch, 2).shafts["pedal"].axis
    assert (lone.u, lone.n, lone.seen_from) == (basis[2].u, basis[2].n, "the right")


def differing():
    one = hauler()
    more = {**one.shafts, "x": shaft("x", (0, 0, 9), "across", arm("a", 10, 5))}
    third = {**one.rods, "third": rod("third", "spindle.spring", "x.a")}
    pedal = one.shafts["pedal"]
    yield "shafts", replace(one, shafts=more, rods=third)
    yield (
        "pedal.presses",
        replace(one, pedal=replace(one.pedal, presses=-one.pedal.presses)),
    )
    yield (
        "rods.first.joints",
        replace(
            one,
            rods={
                **one.rods,
                "first": replace(one.rods["first"], joints=("clevis", "clevis")),
            },
        ),
    )
    yield "shafts.pedal.axis.name", one.with_shaft(replace(pedal, axis=NAMED["along"]))
    yield "shafts.pedal.friction", one.with_shaft(replace(pedal, friction=0.2))
    yield "engine.carries", replace(one, engine=Engine(carries=("spindle",)))
    stops = {"s": Stop(name="s", shaft="spindle", turn=1.0)}
    yield "stops", replace(one, stops=stops)
    yield "springs", sprung_hauler()
    yield "throttles.throttle.opens", replace(one, throttles={"throttle": replace(one.main, opens=-one.main.opens)})  # fmt: skip


@pytest.mark.parametrize(
    ("where", "layout"), list(differing()), ids=[w for w, _ in differing()]
)
def test_what_differs_in_make_up_is_no_batch(where, layout):
    one = hauler()
    assert not same_make_up(one, layout)
    assert not same_make_up(layout, one)
    assert same_make_up(layout, replace(layout, title="x", friction=0.3))
    with pytest.raises(LayoutError, match="no rows of one batch") as caught:
        stack([one, one, layout])
    assert ".".join(caught.value.key) == where
    assert caught.value.hint


def test_pins_of_columns_are_those_of_each_row(many):
    batch = stack(many)
    turn = np.linspace(-0.4, 0.9, 5)
    for name, part in batch.shafts.items():
        for hook in part.arms:
            at_rest = part.pin(hook)
            over = part.pin(hook, turn)
            for i, layout in enumerate(many):
                lone = layout.shafts[name]
                assert [float(c[i, 0]) for c in at_rest] == pytest.approx(
                    lone.pin(hook), abs=1e-15
                )
                each = [lone.pin(hook, float(q)) for q in turn]
                found = np.array([c[i] for c in over]).T
                assert np.abs(found - each).max() < 1e-15


def test_algebra_of_columns_is_that_of_each_row():
    rng = np.random.default_rng(8)
    a, b = rng.normal(size=(2, 5, 3))
    columns = [tuple(column(c) for c in x.T) for x in (a, b)]
    rows = [tuple(map(tuple, x)) for x in (a.tolist(), b.tolist())]
    for i in range(5):
        one, two = rows[0][i], rows[1][i]
        assert dot(*columns)[i, 0] == dot(one, two)
        assert norm(columns[0])[i, 0] == pytest.approx(norm(one), rel=1e-15)
        for f in (cross, add):
            assert [c[i, 0] for c in f(*columns)] == list(f(one, two))
        assert [c[i, 0] for c in unit(columns[0])] == pytest.approx(
            unit(one), rel=1e-15
        )


def test_small_choices_keep_floats():
    x = column([1.0, 3.0])
    assert (lesser(1.0, 2.0), greater(1.0, 2.0), pick(False, 1.0, 2.0)) == (
        1.0,
        2.0,
        2.0,
    )
    assert lesser(x, 2.0).ravel().tolist() == [1.0, 2.0]
    assert greater(2.0, x).ravel().tolist() == [2.0, 3.0]
    assert pick(x > 2, x, 0.0).ravel().tolist() == [0.0, 3.0]
    assert (every(x > 0), every(x > 2), some(x > 2), some(x > 3)) == (
        True,
        False,
        True,
        False,
    )
    assert (some(True), every(False)) == (True, False)


@pytest.mark.parametrize("many", [[0.03, 0.035], (0.03, 0.035), np.array([0.03, 0.035])], ids=type)  # fmt: skip
def test_what_a_person_gives_for_many_numbers_is_a_column(many):
    one = hauler()
    batch = one.with_arm("spindle.lever", length=many)
    assert np.array_equal(batch.shafts["spindle"].arms["lever"].length, column(many))
    assert rows_of(one.with_rod(next(iter(one.rods)), many)) == 2
    assert one.with_arm("spindle.lever", length=np.array(0.03)) == one.with_arm(
        "spindle.lever", length=0.03
    )


@pytest.mark.parametrize("wrong", ["30 mm", None, [[0.03, 0.04]], {"a": 1}], ids=str)
def test_what_is_no_number_is_refused_by_its_name(wrong):
    with pytest.raises(
        LayoutError, match=r"the length of arm `spindle\.lever` is no"
    ) as e:
        hauler().with_arm("spindle.lever", length=wrong)
    assert "metres" in e.value.hint
    unknown = hauler().with_arm("spindle.lever", mass=None)
    assert unknown.shafts["spindle"].arms["lever"].mass is None


def test_with_arm_and_rod_take_columns():
    one = hauler()
    lengths = [0.03, 0.034, 0.04]
    batch = one.with_arm("spindle.lever", length=column(lengths))
    assert rows_of(batch) == 3
    for i, length in enumerate(lengths):
        assert row(batch, i) == one.with_arm(hole("spindle.lever"), length=length)
    batch = one.with_rod("last", column([0.2, 0.21]))
    assert row(batch, 1) == one.with_rod("last", 0.21)
    spring = Spring(name="b", kind="torsion", shaft="spindle")
    assert one.with_spring(spring).springs == {"b": spring}
    assert one.hole("cross shaft.outer") == Hole(shaft="cross shaft", arm="outer")


@pytest.mark.parametrize(
    ("make", "words", "hint"),
    [
        (lambda x: x.with_arm("spindel.lever", length=1), "no shaft `spindel`", "`spindle`"),
        (lambda x: x.with_arm("spindle.lover", length=1), "has no arm `lover`", "`lever`"),
        (lambda x: x.with_arm(Hole(shaft="spindle", arm="x"), length=1), "has no arm `x`", "lever"),
        (lambda x: x.with_arm("spindle", length=1), "names no arm", "spindle.lever"),
        (lambda x: x.with_arm("spindle.lever", lenght=1), "an arm has no `lenght`", "`length`"),
        (lambda x: x.with_arm("spindle.lever", name="b"), "an arm has no `name`", "length"),
        (lambda x: x.with_rod("lost", 0.1), "there is no rod `lost`", "`last`"),
    ],
)  # fmt: skip
def test_unknown_names_in_a_change_are_told(make, words, hint):
    with pytest.raises(LayoutError, match=words) as caught:
        make(hauler())
    assert hint in caught.value.hint


BAD = column([0.04, math.nan, 0.05])


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda x: x.with_arm("spindle.lever", length=column([0.04, -0.04])), "the length of arm `lever`"),
        (lambda x: x.with_arm("spindle.lever", length=BAD), "the length of arm `lever`"),
        (lambda x: x.with_arm("spindle.lever", angle=BAD), "an angle must be finite"),
        (lambda x: x.with_arm("spindle.lever", offset=BAD), "an offset must be finite"),
        (lambda x: x.with_shaft(replace(x.shafts["pedal"], pivot=(0.0, BAD, 0.0))), "a pivot"),
        (lambda x: x.with_rod("last", column([0.2, 0.0])), "a rod's length"),
        (lambda x: replace(x.rods["last"], diameter=0.006, bore=column([0.005, 0.006])), "the bore of a tube"),
        (lambda x: replace(x.pedal, travel=column([0.1, 0.0])), "the pedal's travel"),
        (lambda x: replace(x.pedal, stop=column([math.inf, -1.0])), "the pedal stop"),
        (lambda x: replace(x.pedal, free_play=column([0.0, 0.08])), "free play"),
        (lambda x: replace(x.main, swing=column([1.0, 0.0])), "the throttle's swing"),
        (lambda x: replace(x.main, swing=column([1.0, 4.0])), "less than half a turn"),
        (lambda x: replace(x.main, closed_angle=column([0.0, 2.0])), "closed plate angle"),
        (lambda x: replace(x.main, bore=0.03, spindle=column([0.01, 0.03])), "thinner than the bore"),
    ],
)  # fmt: skip
def test_an_impossible_value_in_any_row_is_named(make, words):
    with pytest.raises(LayoutError, match=words) as caught:
        make(hauler())
    assert caught.value.key


def test_columns_of_different_rows_do_not_go_together():
    batch = hauler().with_arm("spindle.lever", length=column([0.03, 0.04]))
    batch = batch.with_rod("last", column([0.2, 0.21, 0.22]))
    with pytest.raises(LayoutError, match="columns of 2 and of 3 rows"):
        rows_of(batch)


def test_pivots_in_one_place_do_not_stop_a_batch():
    one = hauler()
    spindle, cross_shaft = one.shafts["spindle"], one.shafts["cross shaft"]
    x, y, z = cross_shaft.pivot
    pivot = (column([x, x + 0.1]), column([y, y]), column([z, z]))
    batch = one.with_shaft(replace(spindle, pivot=pivot))
    assert batch.apart.ravel().tolist() == [False, True]
    assert row(batch, 1).apart is True
    with pytest.raises(LayoutError, match="the same pivot"):
        row(batch, 0)


def test_a_hole_on_the_other_shafts_line_does_not_stop_a_batch():
    pedal = shaft(
        "pedal", (0, 0, 0), "across", arm("pad", 200, -90), arm("rod", 100, 0, 30)
    )
    spindle = shaft("spindle", (150, 50, 0), "across", arm("lever", 40, 90))
    one = tree([pedal, spindle], [rod("r", "pedal.rod", "spindle.lever")], travel_mm=50)
    pivot = (column([0.15, 0.1]), column([0.05, 0.05]), column([0.0, 0.0]))
    batch = one.with_shaft(replace(spindle, pivot=pivot))
    assert batch.apart.ravel().tolist() == [True, False]


def test_two_holes_written_alike_are_refused():
    one = hauler()
    with pytest.raises(
        LayoutError, match=r"`a\.b\.c` may be an arm of shaft `a` and `a\.b`"
    ) as caught:
        replace(one, shafts={
            **one.shafts,
            "a": shaft("a", (0, 0, 0), "across", arm("b.c", 10, 0)),
            "a.b": shaft("a.b", (0, 0, 9), "across", arm("c", 10, 0)),
        })  # fmt: skip
    assert caught.value.key == ("shafts", "a.b", "arms", "c")


def test_mappings_of_a_layout_cannot_be_changed():
    given = {**hauler().shafts}
    one = replace(hauler(), shafts=given)
    given.clear()
    assert set(one.shafts) == {"pedal", "cross shaft", "spindle"}
    mappings = (one.shafts, one.rods, one.throttles, one.springs, one.stops, one.tolerances, one.shafts["pedal"].arms)  # fmt: skip
    for mapping in mappings:
        for change in (
            lambda m: m.__setitem__("a", 1),
            lambda m: m.__delitem__("a"),
            lambda m: m.__ior__({"a": 1}),
            lambda m: m.clear(),
            lambda m: m.pop("a", None),
            lambda m: m.popitem(),
            lambda m: m.setdefault("a", 1),
            lambda m: m.update({"a": 1}),
        ):
            with pytest.raises(TypeError, match="changed copy"):
                change(mapping)
    assert one == hauler()


@pytest.mark.parametrize(
    "again",
    [copy.copy, copy.deepcopy, lambda x: pickle.loads(pickle.dumps(x))],  # noqa: S301
)
def test_layouts_are_copied_and_sent(again):
    one = sprung_hauler()
    assert again(one) == one
    with pytest.raises(TypeError, match="changed copy"):
        again(one).shafts.clear()


def test_a_layout_tells_itself_in_one_line(many):
    assert (
        repr(replace(hauler(), title="car"))
        == "<Layout 'car': 3 shafts, 2 rods, 0 springs>"
    )
    assert repr(stack(many)).endswith("3 shafts, 2 rods, 2 springs, 7 rows>")


def test_throttle_of_columns():
    t = Throttle(name="throttle", shaft="s", opens=1, swing=column([1.0, 1.2]), bore=0.03, spindle=0.008)  # fmt: skip
    assert rows_of(t) == 2
    assert row(t, 1).swing == 1.2


def test_a_rod_cut_to_fit_is_a_row_beside_one_of_given_length():
    one = hauler()
    batch = stack([one, one.with_rod("first", 0.3)])
    assert np.isnan(batch.rods["first"].length[0, 0])
    assert row(batch, 0).rods["first"].length is None
    assert row(batch, 1).rods["first"].length == 0.3
