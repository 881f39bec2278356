"""Springs of many rows: every law and stress is that of its row alone."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest

from linkage.errors import LayoutError
from linkage.model import Known, Spring, row, rows_of, stack
from linkage.model.columns import column
from linkage.springs import WIRES, law_in, spring_law, spring_laws, stresses
from tests.build import hauler
from tests.sprung import line_spring, torsion_spring

COIL = {"wire": 1.6e-3, "coil": 14e-3, "turns": 22.0}
LOADS = {"load_1": 20.0, "length_1": 0.09, "load_2": 35.0, "length_2": 0.11}
PRESSED = {"load_1": 10.0, "length_1": 0.06, "load_2": 30.0, "length_2": 0.04}

WAYS = {
    "rate": ("extension", {"rate": 900.0, "free_length": 0.1, "initial_tension": 6.0, "greatest_length": 0.2}, ""),
    "loads": ("extension", LOADS, ""),
    "loads and free length": ("extension", {**LOADS, "free_length": 0.08}, ""),
    "wound": ("extension", COIL, "A228"),
    "wound with tension": ("extension", {**COIL, "initial_tension": 4.0, "free_length": 0.09}, "1.4310"),
    "pressed by rate": ("compression", {"rate": 500.0, "free_length": 0.06, "solid_length": 0.02}, ""),
    "pressed by loads": ("compression", PRESSED, ""),
    "pressed and wound": ("compression", {**COIL, "free_length": 0.06, "end_turns": 1.5}, "A227"),
    "torsion": ("torsion", {"rate": 0.5, "preload": 0.2, "shuts": -1}, ""),
    "torsion and wound": ("torsion", {**COIL, "preload": 0.2, "shuts": 1}, "EN 10270-1 SH"),
    "measured": ("measured", {"pull_idle": 10.0, "pull_full": 22.0}, ""),
}  # fmt: skip
AT = {"opens": 1, "swing": 1.2, "arm": 0.03}


def spring(kind, data, material):
    arm = "" if kind == "torsion" else "a"
    return Spring(name="k", kind=kind, shaft="s", arm=arm, known=Known(**data), material=material)  # fmt: skip


def varied(one: Spring, rng: np.random.Generator) -> Spring:
    numbers = {k: v * rng.uniform(0.97, 1.03) for k, v in one.known.numbers()}
    return replace(one, known=replace(one.known, **numbers))


@pytest.mark.parametrize("way", WAYS)
def test_every_row_has_the_law_of_its_spring_alone(way):
    rng = np.random.default_rng(5)
    alone = [varied(spring(*WAYS[way]), rng) for _ in range(6)]
    batch = stack(alone)
    assert rows_of(batch) == 6
    law = spring_law(batch, **AT)
    for i, one in enumerate(alone):
        want, found = spring_law(one, **AT), row(law, i)
        for f in fields(want):
            expected = getattr(want, f.name)
            if isinstance(expected, float):
                expected = pytest.approx(expected, rel=1e-14)
            assert getattr(found, f.name) == expected
        assert law.along_line == want.along_line


@pytest.mark.parametrize("way", ["rate", "pressed by rate"])
def test_pull_of_rows_is_that_of_each(way):
    rng = np.random.default_rng(6)
    alone = [varied(spring(*WAYS[way]), rng) for _ in range(4)]
    length = np.linspace(0.05, 0.13, 9)
    pull = spring_law(stack(alone)).pull(length)
    assert pull.shape == (4, 9)
    for i, one in enumerate(alone):
        assert pull[i] == pytest.approx(spring_law(one).pull(length), abs=1e-12)


def test_torque_of_rows_is_that_of_each():
    alone = [spring("torsion", {"rate": r, "preload": 0.2, "shuts": -1}, "") for r in (0.5, 1.0)]  # fmt: skip
    turn = np.linspace(-1, 1, 5)
    torque = spring_law(stack(alone)).torque(turn)
    for i, one in enumerate(alone):
        assert torque[i] == pytest.approx(spring_law(one).torque(turn))


@pytest.mark.parametrize(
    ("way", "change"),
    [
        ("rate", {"rate": -1.0}),
        ("rate", {"rate": 0.0}),
        ("rate", {"rate": np.nan}),
        ("rate", {"free_length": 0.0}),
        ("rate", {"greatest_length": 0.09}),
        ("loads", {"load_2": 10.0}),
        ("loads", {"load_1": 100.0, "load_2": 101.0}),
        ("wound", {"wire": 4e-3}),
        ("wound", {"wire": 0.02}),
        ("wound", {"wire": 0.0}),
        ("pressed by rate", {"solid_length": 0.07}),
        ("pressed and wound", {"turns": 1.0}),
        ("torsion", {"rate": 0.0}),
        ("measured", {"pull_full": 0.0}),
    ],
)
def test_an_impossible_row_is_marked_and_the_others_are_as_alone(way, change):
    good = spring(*WAYS[way])
    bad = replace(good, known=replace(good.known, **change))
    with pytest.raises(LayoutError):
        spring_law(bad, **AT)
    at = Spring(name="k", kind=good.kind, shaft="spindle", arm=good.arm and "lever", anchor=(0.2, -0.1, 0.13), known=stack([good, bad, good]).known, material=good.material)  # fmt: skip
    law = law_in(hauler(), at)
    assert np.isnan(law.rate).ravel().tolist() == [False, True, False]
    assert np.isnan(law.initial).ravel().tolist() == [False, True, False]
    alone = law_in(hauler(), replace(at, known=good.known))
    assert law.rate[2, 0] == pytest.approx(alone.rate, rel=1e-14)


def test_what_all_rows_lack_is_refused_as_in_one():
    lacking = spring("extension", {"rate": column([1.0, 2.0])}, "")
    with pytest.raises(LayoutError, match="needs its free length"):
        spring_law(lacking)


def test_anchors_on_the_hook_or_the_centre_line_are_marked():
    layout = hauler()
    hook = layout.shafts["spindle"].pin("spring")
    centre = layout.shafts["spindle"].pivot
    points = [(0.2, -0.1, 0.13), hook, centre]
    main = line_spring("main", "spindle.spring", (194, -100, 130))
    batch = replace(main, anchor=tuple(column(c) for c in zip(*points, strict=True)))
    law = spring_laws(layout.with_spring(batch))["main"]
    assert np.isnan(law.rate).ravel().tolist() == [False, True, True]
    assert law.free_length == 0.105


def test_a_measured_pull_in_rows_of_swing_and_arm():
    inner = Spring(name="i", kind="measured", shaft="spindle", arm="lever", known=Known(pull_idle=10.0, pull_full=20.0))  # fmt: skip
    layout = (
        hauler()
        .with_spring(inner)
        .with_arm("spindle.lever", length=column([0.03, 0.04]))
    )
    swing = column([1.0, 1.3])
    layout = replace(layout, throttles={"throttle": replace(layout.main, swing=swing)})
    law = spring_laws(layout)["i"]
    for i in range(2):
        assert row(law, i) == spring_laws(row(layout, i))["i"]


@pytest.mark.parametrize("way", ["wound", "pressed and wound", "torsion and wound"])
def test_stress_of_rows_is_that_of_each(way):
    rng = np.random.default_rng(7)
    alone = [varied(spring(*WAYS[way]), rng) for _ in range(5)]
    load = rng.uniform(5, 40, 5)
    for k, found in enumerate(stresses(stack(alone), column(load))):
        for i, one in enumerate(alone):
            want = stresses(one, load[i])[k]
            assert found.value[i, 0] == pytest.approx(want.value, rel=1e-14)
            assert found.allowed[i, 0] == pytest.approx(want.allowed, rel=1e-14)
            assert (found.place, found.share, found.source) == (
                want.place,
                want.share,
                want.source,
            )


def test_a_row_outside_the_table_of_strength_has_no_bound():
    thick = Known(wire=column([0.0012, 0.012]), coil=0.1, turns=10.0)
    batch = Spring(name="k", kind="extension", shaft="s", arm="a", known=thick, material="A228")  # fmt: skip
    allowed = stresses(batch, 5.0)[0].allowed
    assert np.isinf(allowed).ravel().tolist() == [False, True]


@pytest.mark.parametrize("name", WIRES)
def test_wire_by_columns_is_wire_by_floats(name):
    wire = WIRES[name]
    edges = [r[0] for r in (*wire.strength, *wire.moduli) if np.isfinite(r[0])]
    sizes = [wire.thinnest * 0.99, wire.thinnest, *edges, *(e * 1.001 for e in edges)]
    young, shear = wire.elastic(column(sizes))
    strength = wire.tensile(column(sizes))
    for i, d in enumerate(sizes):
        e, g = wire.elastic(d)
        assert (np.broadcast_to(young, (len(sizes), 1))[i, 0]) == e
        assert (np.broadcast_to(shear, (len(sizes), 1))[i, 0]) == g
        alone = wire.tensile(d)
        if alone is None:
            assert np.isnan(strength[i, 0])
        else:
            assert strength[i, 0] == pytest.approx(alone, rel=1e-14)


def test_stacked_layouts_have_the_laws_of_each():
    one = hauler().with_spring(torsion_spring("t", "spindle", -1, 0.5, 0.2))
    two = hauler().with_spring(torsion_spring("t", "spindle", -1, 0.7, 0.1))
    laws = spring_laws(stack([one, two]))
    assert row(laws["t"], 0) == spring_laws(one)["t"]
    assert row(laws["t"], 1) == spring_laws(two)["t"]
