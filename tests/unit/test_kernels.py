"""Compiled functions: shapes, broadcasting, blocks, and what is out of reach."""

from __future__ import annotations

import math

import numpy as np
import pytest

from linkage import formulas
from linkage.formulas import kernels
from linkage.formulas.kernels import BLOCK
from linkage.motion import assemble
from tests.build import four_bar


def loop(crank_deg=40, **more):
    return assemble(four_bar(90, 60, 50, 70, crank_deg, **more)).loops[0]


@pytest.mark.parametrize("count", [1, BLOCK - 1, BLOCK, BLOCK + 1, 3 * BLOCK + 17])
def test_blocks_give_what_one_position_gives(count):
    one = loop()
    turn = np.linspace(-0.5, 0.5, count)
    cos2, sin2, reach = formulas.close(np.cos(turn), np.sin(turn), one.reduced, 1)
    followed = formulas.follow(turn, one.reduced, 1)
    assert cos2.shape == sin2.shape == reach.shape == followed.shape == (count,)
    for i in {0, count // 2, min(BLOCK, count - 1), count - 1}:
        alone = formulas.close(
            np.array([math.cos(turn[i])]), np.array([math.sin(turn[i])]), one.reduced, 1
        )
        assert (cos2[i], sin2[i], reach[i]) == pytest.approx([a[0] for a in alone], rel=1e-13)  # fmt: skip
        assert followed[i] == pytest.approx(math.atan2(sin2[i], cos2[i]), abs=1e-15)


def test_out_of_reach_is_nan_and_negative_without_a_warning():
    one = loop()
    turn = np.radians([0.0, 90.0, 140.0])
    cos2, sin2, reach = formulas.close(np.cos(turn), np.sin(turn), one.reduced, 1)
    assert np.isnan(cos2).tolist() == np.isnan(sin2).tolist() == [False, True, True]
    assert (reach < 0).tolist() == [False, True, True]
    assert np.isnan(formulas.follow(turn, one.reduced, 1)).tolist() == [
        False,
        True,
        True,
    ]


def test_many_rods_at_once():
    """Coefficients may be arrays: one call, many rods."""
    loops = [loop(d) for d in (30, 40, 50)]
    parameters = np.array([p.parameters for p in loops]).T
    reduced = formulas.coefficients(*parameters)
    branch = np.array([p.branch for p in loops])
    turn = np.linspace(-0.1, 0.1, 5)[:, None]
    cos2, _, _ = formulas.close(np.cos(turn), np.sin(turn), reduced, branch)
    assert cos2.shape == (5, 3)
    for j, one in enumerate(loops):
        alone = formulas.close(np.cos(turn[:, 0]), np.sin(turn[:, 0]), one.reduced, one.branch)  # fmt: skip
        assert np.allclose(cos2[:, j], alone[0], rtol=1e-13)


def many(rows):
    """Return a loop, its parameters with columns for some, coefficients and branch."""
    one = loop()
    parameters = list(one.parameters)
    for name, most in (("R", 0.002), ("c2x", 0.003), ("L", 0.001), ("alpha1", 0.01)):
        place = formulas.PARAMETER_NAMES.index(name)
        parameters[place] = one.parameters[place] + np.linspace(0, most, rows)[:, None]
    return one, parameters, formulas.coefficients(*parameters)


SHAPES = [
    (1, 1),
    (3, 5),
    (40, 31),
    (BLOCK + 1, 1),  # one position, rows cut
    (300, 31),  # some rows a block, the last block not full
    (2, BLOCK - 1),
    (3, BLOCK + 1),  # a row does not fit
    (2, 2 * BLOCK),
]


@pytest.mark.parametrize("own", [False, True], ids=["shared", "own"])
@pytest.mark.parametrize(("rows", "count"), SHAPES)
def test_rows_are_single_rods_whatever_the_blocks(rows, count, own):
    """Positions shared by all rows, (n,), or each row's own, (rows, n)."""
    one, parameters, reduced = many(rows)
    turn = np.linspace(-0.1, 0.1, count)
    if own:
        turn = turn + np.linspace(0, 0.01, rows)[:, None]
    pair = np.cos(turn), np.sin(turn)
    after = formulas.close(*pair, reduced, one.branch)
    results = {
        "close": after,
        "follow": (formulas.follow(turn, reduced, one.branch),),
        "rates": formulas.rates(pair, after[:2], reduced),
        "ratio": (formulas.ratio(pair, after[:2], reduced),),
        "moments": formulas.moments(pair, after[:2], reduced),
        "partials": formulas.partials(pair, after[:2], parameters),
    }
    for i in {0, rows // 2, rows - 1}:
        single = [float(np.broadcast_to(p, (rows, 1))[i, 0]) for p in parameters]
        known = formulas.coefficients(*single)
        at = turn[i] if own else turn
        before = np.cos(at), np.sin(at)
        solved = formulas.close(*before, known, one.branch)
        alone = {
            "close": solved,
            "follow": (formulas.follow(at, known, one.branch),),
            "rates": formulas.rates(before, solved[:2], known),
            "ratio": (formulas.ratio(before, solved[:2], known),),
            "moments": formulas.moments(before, solved[:2], known),
            "partials": formulas.partials(before, solved[:2], single),
        }
        for name, expected in alone.items():
            for ours, theirs in zip(results[name], expected, strict=True):
                assert ours.shape == (rows, count)
                assert np.array_equal(ours[i], theirs, equal_nan=True), name


@pytest.mark.parametrize("block", [1, 7, 64])
def test_the_size_of_a_block_changes_no_number(block, monkeypatch):
    one, _, reduced = many(9)
    turn = np.linspace(-0.5, 2.5, 31)
    whole = formulas.close(np.cos(turn), np.sin(turn), reduced, one.branch)
    monkeypatch.setattr(kernels, "BLOCK", block)
    again = formulas.close(np.cos(turn), np.sin(turn), reduced, one.branch)
    assert np.isnan(whole[0]).any()
    for ours, theirs in zip(again, whole, strict=True):
        assert np.array_equal(ours, theirs, equal_nan=True)


def test_more_axes_and_single_numbers():
    one, _, reduced = many(4)
    turn = np.linspace(-0.1, 0.1, 6).reshape(3, 1, 2)
    cos2, _, _ = formulas.close(np.cos(turn), np.sin(turn), reduced, one.branch)
    assert cos2.shape == (3, 4, 2)
    alone = formulas.close(1.0, 0.0, one.reduced, one.branch)
    listed = formulas.close(np.ones(1), np.zeros(1), one.reduced, one.branch)
    assert [float(x) for x in alone] == [x[0] for x in listed]


def test_followed_over_whole_turns():
    """A crank that turns right round, and more than once."""
    one = assemble(four_bar(25, 90, 75, 100, 90)).loops[0]
    turn = np.linspace(-3 * np.pi, 3 * np.pi, 601)
    cos2, sin2, _ = formulas.close(np.cos(turn), np.sin(turn), one.reduced, one.branch)
    ours = formulas.follow(turn, one.reduced, one.branch)
    assert np.allclose(ours, np.arctan2(sin2, cos2), rtol=0, atol=1e-14)


def test_every_output_has_the_shape_of_the_positions():
    one = loop()
    turn = np.linspace(-0.1, 0.1, 7)
    pair = np.cos(turn), np.sin(turn)
    cos2, sin2, _ = formulas.close(*pair, one.reduced, one.branch)
    after = cos2, sin2
    for values in (
        *formulas.rates(pair, after, one.reduced),
        formulas.ratio(pair, after, one.reduced),
        *formulas.moments(pair, after, one.reduced),
    ):
        assert values.shape == (7,)
    partials = formulas.partials(pair, after, one.parameters)
    assert partials.shape == (len(formulas.MEASURED_NAMES), 7)


def test_moments_vanish_at_the_dead_centres():
    """Driver in line at a toggle: 40.07 deg for 25, 90, 75, 100."""
    toggle = math.acos((115**2 + 100**2 - 75**2) / (2 * 115 * 100))
    one = assemble(four_bar(25, 90, 75, 100, 90)).loops[0]
    turn = np.array([toggle - math.pi / 2])
    pair = np.cos(turn), np.sin(turn)
    cos2, sin2, _ = formulas.close(*pair, one.reduced, one.branch)
    driver, driven = formulas.moments(pair, (cos2, sin2), one.reduced)
    assert driver[0] == pytest.approx(0, abs=1e-12)
    assert abs(driven[0]) > 1e-3
    assert formulas.ratio(pair, (cos2, sin2), one.reduced)[0] == pytest.approx(0, abs=1e-10)  # fmt: skip


def test_what_is_returned_as_it_was_given_is_not_set_to_itself():
    import sympy as sp

    from linkage.formulas.text import write_function

    a, b = sp.symbols("a b")
    text = write_function("f", [a, b], {"a": a, "sum": a + b}, means="Sum.")
    assert "    a = " not in text
    there = {"Any": object}
    exec(text, there)  # noqa: S102 - our own text
    assert there["f"](2.0, 3.0) == (2.0, 5.0)
