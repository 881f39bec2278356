"""What a moving engine does to the throttle, in each direction."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.config import load
from linkage.drawing.rock import rock_figure
from linkage.errors import UsageError
from linkage.motion import assemble, sweep
from linkage.motion.drift import WAYS, drift, opens
from linkage.motion.rock import rocked
from linkage.report.rock import most_words, rock_data, rock_lines
from linkage.rules import examine
from tests.cli.conftest import CONFIGS, run
from tests.figures.overlap import faults
from tests.unit.edits import HAULER, TRUCK, edited, lever

__all__ = ["run"]


def of(layout, by=10e-3):
    x = examine(layout)
    return drift(x.assembly, float(x.working.end), by)


@pytest.mark.parametrize("way", range(6))
def test_each_way_is_the_engines_parts_moved_and_every_rod_as_it_was(way):
    """Against a layout whose pivots are written elsewhere, its rods as long as they were."""
    layout = edited(HAULER)
    by = np.zeros(3)
    by[way // 2] = 10e-3 * (1 - 2 * (way % 2))
    lengths = {p.link.rod.name: float(p.length) for p in assemble(layout).loops}
    moved = {
        name: replace(s, pivot=tuple(np.array(s.pivot) + by))
        if name in layout.engine.carries
        else s
        for name, s in layout.shafts.items()
    }
    rods = {n: replace(r, length=lengths[n]) for n, r in layout.rods.items()}
    there = assemble(replace(layout, shafts=moved, rods=rods))
    want = float(sweep(there, 0.0).opening("throttle"))
    assert of(layout).idle[way] == pytest.approx(want, abs=1e-9)


def test_a_lift_is_the_same_up():
    x = examine(edited(TRUCK))
    lifted = rocked(x.assembly, lift=10e-3)
    want = float(sweep(lifted, 0.0).opening("throttle"))
    found = drift(x.assembly, float(x.working.end))
    assert found.idle[WAYS.index("up")] == pytest.approx(want, abs=1e-12)


def test_along_the_rod_all_of_it_counts_and_across_hardly_any():
    """Some 17 degrees by 10 mm into 34 mm, squared up: common practice, no source."""
    layout = edited(TRUCK, lever(34, 82))
    found = of(layout)
    rod = np.array(
        [430 + 34 * math.cos(math.radians(82)), 0, 82 + 34 * math.sin(math.radians(82))]
    )
    rod -= [115 * math.cos(math.radians(80)), 0, 115 * math.sin(math.radians(80))]
    along = rod / np.linalg.norm(rod)
    assert abs(found.most @ along) > 0.99
    assert math.degrees(found.rate * 10e-3) == pytest.approx(17, abs=0.7)
    across = np.abs(found.idle[[4, 5]])
    assert math.degrees(across.max()) < 1.0


def test_most_is_the_steepest_direction():
    """Against 500 directions, each moved a little and solved anew."""
    x = examine(edited(HAULER))
    found = drift(x.assembly, float(x.working.end))
    generator = np.random.default_rng(3)
    ways = generator.normal(size=(500, 3))
    ways = 1e-5 * ways / np.linalg.norm(ways, axis=1)[:, None]
    moved = rocked(x.assembly, aside=tuple(ways[:, i : i + 1] for i in range(3)))
    opening = np.ravel(sweep(moved, 0.0).opening("throttle")) / 1e-5
    assert opening.max() <= found.rate * (1 + 1e-3)
    assert ways[opening.argmax()] @ found.most / 1e-5 > 0.98


def test_a_rod_that_does_not_reach_is_told_as_torn():
    found = of(edited(TRUCK), by=50e-3)
    assert np.isnan(found.idle).any()
    assert "tears or jams" in "\n".join(rock_lines(found, edited(TRUCK)))
    assert None in rock_data(found)["columns"]["idle_opens_deg"]


def test_a_cable_round_the_way_moves_nothing():
    found = of(load(CONFIGS / "cable-drum.toml").layout)
    assert found.rate == 0
    assert "what drives it goes with the engine" in most_words(found)
    assert {opens(v) for v in found.idle.tolist()} == {"nothing"}


def test_what_a_gap_takes_up_is_not_called_nothing():
    """A roller is clear of its cam with the pedal up; 10 mm off it is pushed all the same."""
    found = of(load(CONFIGS / "cam-roller.toml").layout)
    assert found.rate == 0
    assert not found.nothing
    assert "a slot, a slack wire or a gap takes it up" in most_words(found)


def test_a_governed_engine_is_refused_by_name():
    layout = load(CONFIGS / "governed-engine.toml").layout
    with pytest.raises(UsageError, match="governed engines"):
        of(layout)


@pytest.mark.parametrize("by", [0.0, -1e-3, 0.06])
def test_what_no_engine_goes_is_refused(by):
    with pytest.raises(UsageError, match="an engine that goes"):
        of(edited(TRUCK), by)


def test_a_layout_of_which_the_engine_carries_nothing_is_refused():
    layout = edited(TRUCK)
    alone = replace(layout, engine=replace(layout.engine, carries=()))
    with pytest.raises(UsageError, match="carries no shaft"):
        of(alone)


def test_the_command_says_it_in_words_data_and_pictures(run, tmp_path):
    path = CONFIGS / "bulkhead-cross-shaft.toml"
    ran = run("rock", path)
    assert ran.code == 0
    assert "engine goes 10 mm" in ran.out
    data = json.loads(run("rock", path, "--by", "1/4 in", "--json").out)
    assert data["by_mm"] == pytest.approx(6.35)
    assert data["columns"]["engine_goes"] == list(WAYS)
    assert run("rock", path, "-o", tmp_path / "rock.png", "--quiet").code == 0
    assert run("rock", path, "-o", tmp_path / "rock.png").code == 2
    assert run("rock", path, "--by", "10 kg").code == 3
    assert run("rock", path, "--by", "60 mm").code == 2


@pytest.mark.parametrize(
    "name", ["bulkhead-cross-shaft", "hanging-pedal", "cable-drum"]
)
def test_no_word_of_the_picture_lies_on_another_or_off_the_page(name):
    layout = load(CONFIGS / f"{name}.toml").layout
    for by in (2e-3, 10e-3, 40e-3):
        assert faults(rock_figure(of(layout, by), layout, paper="a4")) == []
