"""Forces of many layouts at once against each of them alone. All sizes invented."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.errors import LinkageError
from linkage.forces import (
    falls,
    force_lines,
    returns,
    rod_senses,
    sources,
    spring_senses,
    stamped,
    statics,
)
from linkage.model import Throttle, row, rows_of, stack
from linkage.model.columns import spread
from linkage.motion import assemble, sweep, working_travel
from tests.build import arm as arm_of
from tests.build import hauler, rod, shaft
from tests.sprung import (
    line_spring,
    random_assembly,
    sprung_hauler,
    torsion_spring,
    with_bearings,
    with_springs,
)

ROWS = 24


def _varied(layout, rng):
    """The same make-up with other numbers; some rows rub, weigh and jam, others not."""

    def near(x, share=0.06):
        return x * float(rng.uniform(1 - share, 1 + share))

    def some(x):
        return float(rng.choice([0.0, near(x, 0.5)]))

    shafts = {
        n: replace(
            s,
            pivot=tuple(c + float(rng.uniform(-3e-3, 3e-3)) for c in s.pivot),
            arms={
                k: replace(
                    a,
                    length=near(a.length),
                    angle=a.angle + float(rng.uniform(-0.05, 0.05)),
                    offset=a.offset + float(rng.uniform(-2e-3, 2e-3)),
                    mass=some(a.mass),
                )
                for k, a in s.arms.items()
            },
            bearing=some(0.014),
            friction=float(rng.uniform(0.05, 0.4)),
            drag=some(0.02),
            inertia=some(1e-3),
        )
        for n, s in layout.shafts.items()
    }
    springs = {}
    for n, s in layout.springs.items():
        anchor = s.anchor
        if anchor is not None:
            anchor = tuple(c + float(rng.uniform(-0.03, 0.03)) for c in anchor)
        springs[n] = replace(
            s, anchor=anchor, known=replace(s.known, rate=near(s.known.rate, 0.5))
        )
    rods = {
        n: replace(
            r,
            length=None if r.length is None else near(r.length, 0.01),
            mass=some(0.08),
            diameter=near(0.006),
        )
        for n, r in layout.rods.items()
    }
    pedal = replace(layout.pedal, travel=near(layout.pedal.travel))
    if layout.pedal.stop is not None:
        pedal = replace(pedal, stop=near(layout.pedal.stop, 0.2))
    return replace(layout, shafts=shafts, springs=springs, rods=rods, pedal=pedal)


#: What is looked at of each kind of result.
STATICS = (
    "split",
    "rod_pressing",
    "rod_releasing",
    "closing_torque",
    "friction_torque",
)
GIVEN = ("spring_arm", "spring_load")
RETURN = ("closing_torque", "friction_torque", "ratio", "worst", "unsprung")
FALL = ("time", "stuck_at", "estimated")
SPRING = (
    "shuts",
    "opens",
    "slack",
    "slack_until",
    "over",
    "over_at",
    "shortest",
    "longest",
)
ROD = ("way", "turns_over", "turns_at", "most_pull", "most_push", "most_push_at")


def _results(layout):
    """Every number of the forces of one layout or many, by name."""
    assembly = assemble(layout)
    working = working_travel(assembly)
    with np.errstate(invalid="ignore"):
        motion = sweep(assembly, spread(working.start, working.end, 13))
    lines = force_lines(motion)
    s = statics(motion, lines=lines)
    out = {"pressing": s.pad_force_pressing, "releasing": s.pad_force_releasing}
    out |= {"still": s.pad_force, "weight": s.weight_share}
    for group in STATICS + GIVEN:
        out |= {(group, n): v for n, v in getattr(s, group).items()}
    for x in spring_senses(s):
        out |= {("spring", x.spring, n): getattr(x, n) for n in SPRING}
    for x in rod_senses(s):
        out |= {("rod", x.rod, n): getattr(x, n) for n in ROD}
    return out | _failing(assembly, working, lines) | _stamp(assembly, working, lines)


def _failing(assembly, working, lines):
    out = {}
    for r in returns(lines.motion, lines=lines):
        out |= {(r.failure, r.throttle, n): getattr(r, n) for n in RETURN}
        out |= {(r.failure, r.throttle, "left", n): acts for n, acts in r.left.items()}
    for f in falls(assembly, working):
        out |= {(f.failure, f.throttle, "fall", n): getattr(f, n) for n in FALL}
    for e in sources(lines):
        out[e.throttle, "count"] = e.count
        out |= {(e.throttle, "shuts", n): v for n, v in e.shuts.items()}
    return out


def _stamp(assembly, working, lines):
    stamp = stamped(assembly, working, lines=lines)
    out = {"by pedal": stamp.by_pedal}
    for way in ("plate_stop", "pedal_stop", "real"):
        taken = getattr(stamp, way)
        out |= {(way, n): v for n, v in (taken.rods | taken.clamps).items()}
        out |= {(way, "stop"): taken.stop_torque, (way, "pad"): taken.pedal_stop}
    return out


def _same(one, many, i, name):
    many = np.asarray(many, dtype=float)
    mine = many[i] if many.ndim == 2 else np.ravel(many)
    alone = np.broadcast_to(np.asarray(one, dtype=float), mine.shape)
    slack = 1e-12 * np.abs(alone[np.isfinite(alone)]).max(initial=1e-3)
    close = np.allclose(mine, alone, rtol=0, atol=slack, equal_nan=True)
    assert close, (i, name, mine, alone)


def _compare(layout, rng, rows=ROWS):
    """Return how many rows of a batch of variants could be put together."""
    batch = stack([_varied(layout, rng) for _ in range(rows)])
    assert rows_of(batch) == rows
    many = _results(batch)
    done = 0
    for i in range(rows):
        try:
            alone = _results(row(batch, i))
        except LinkageError:
            assert np.isnan(many["pressing"][i]).all()
            continue
        done += 1
        for name, value in alone.items():
            _same(value, many[name], i, name)
        for name in set(many) - set(alone):
            # Told in other rows alone: plates that pressing opens there.
            assert "fall" in name
    return done


def _branched():
    base = hauler()
    second = shaft("second", (64, -300, 120), "across", arm_of("lever", 34, -38))
    layout = replace(
        base,
        shafts={**base.shafts, "second": second},
        rods={**base.rods, "branch": rod("branch", "cross shaft.outer", "second.lever")},
        throttles={
            **base.throttles,
            "other": Throttle(name="other", shaft="second", opens=1, swing=math.radians(76)),
        },
    )  # fmt: skip
    return with_springs(
        layout,
        torsion_spring("a", "spindle", -1, 0.2, 0.4),
        torsion_spring("b", "second", -1, 0.2, 0.4),
        line_spring("main", "spindle.spring", (194, -100, 130)),
    )


@pytest.mark.parametrize(
    "layout",
    [
        sprung_hauler(),
        sprung_hauler(pedal={"stop": 0.065}),
        with_springs(hauler(opens=-1), torsion_spring("k", "spindle", 1, 0.0001, 1.0)),
        _branched(),
    ],
    ids=["hauler", "pedal stop", "pressing shuts", "two plates"],
)
def test_rows_have_the_forces_of_each_layout_alone(layout):
    assert _compare(layout, np.random.default_rng(17)) == ROWS


def test_rows_of_rods_of_given_length():
    layout = sprung_hauler()
    lengths = {p.link.rod.name: p.length for p in assemble(layout).loops}
    rods = {n: replace(r, length=lengths[n]) for n, r in layout.rods.items()}
    assert _compare(replace(layout, rods=rods), np.random.default_rng(18)) > 0


def test_rows_of_random_chains():
    rng = np.random.default_rng(19)
    done = sum(_compare(random_assembly(rng, 0.3).layout, rng, 6) for _ in range(12))
    assert done > 40


def test_springs_alone_in_rows_move_nothing():
    """A batch in which only springs and bearings differ has one motion for all."""
    rng = np.random.default_rng(20)
    layout = with_bearings(sprung_hauler(), 12)
    known = [replace(s.known, rate=float(r)) for s in [layout.springs["main"]] for r in rng.uniform(300, 2000, 5)]  # fmt: skip
    batch = stack(
        [
            replace(layout, springs={**layout.springs, "main": replace(layout.springs["main"], known=k)})
            for k in known
        ]
    )  # fmt: skip
    many = _results(batch)
    assert many["pressing"].shape == (5, 13)
    for i in range(5):
        for name, value in _results(row(batch, i)).items():
            _same(value, many[name], i, name)


@pytest.mark.parametrize("rows", [2, 3, 5])
@pytest.mark.parametrize("what", ["length", "angle", "offset", "mass"])
def test_rows_that_differ_in_a_lever_that_moves_no_rod(what, rows):
    """One motion for all, but each with a hook of its own; 3 rows are no 3 components."""
    layout = with_bearings(sprung_hauler(), 12)

    def one(share):
        spindle = layout.shafts["spindle"]
        hook = spindle.arms["spring"]
        number = getattr(hook, what) or 0.004
        arms = {**spindle.arms, "spring": replace(hook, **{what: number * share})}
        shafts = {**layout.shafts, "spindle": replace(spindle, arms=arms)}
        return replace(layout, shafts=shafts)

    batch = stack([one(1 + 0.07 * i) for i in range(rows)])
    pads = np.linspace(0.0, 0.06, 5)
    many = statics(sweep(assemble(batch), pads))
    assert many.pad_force_pressing.shape == (rows, 5)
    for i in range(rows):
        alone = statics(sweep(assemble(row(batch, i)), pads))
        for name in ("pad_force", "pad_force_pressing", "pad_force_releasing"):
            _same(getattr(alone, name), getattr(many, name), i, name)
