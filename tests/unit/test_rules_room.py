"""How many rows are judged at once: memory is bounded, and no answer hangs on it."""

from __future__ import annotations

import gc
import subprocess
import sys
import weakref

import numpy as np
import pytest

import linkage
from linkage.config.starters import starter
from linkage.config.writer import dump
from linkage.report.findings import check_data
from linkage.rules import room
from linkage.rules.engine import judge
from linkage.rules.examine import COARSE, WHOLE, examine
from linkage.search import engine
from linkage.slips import judging, suspected
from tests.benchmarks.branches import BRANCHED, chain

FAULTS = (
    "fault-springs-too-weak",
    "fault-spring-over-spindle",
    "fault-engine-rock",
    "fault-wrong-sense",
)


def fault(name):
    return linkage.load(starter(name).path).layout


def seen_by(monkeypatch, module):
    """Return how many rows are judged at once, one number a call."""
    rows, real = [], module.judge

    def judging(x, *more, **named):
        rows.append(x.rows)
        return real(x, *more, **named)

    monkeypatch.setattr(module, "judge", judging)
    return rows


@pytest.mark.parametrize("name", FAULTS)
def test_answers_do_not_hang_on_how_many_rows_go_at_once(name, monkeypatch):
    layout = fault(name)
    # Work is counted by rows alone here, as otherwise a search of few at once ends sooner.
    monkeypatch.setattr(room, "BEGUN", 0)
    monkeypatch.setattr(room, "GROWS", 0)
    whole = check_data(linkage.check(layout))
    slips = [s.record() for s in suspected(layout)]
    rows, slip_rows = (seen_by(monkeypatch, m) for m in (engine, judging))
    most = 5 * room.BYTES * room.numbers(layout, COARSE)
    monkeypatch.setattr(room, "MOST", most)
    assert check_data(linkage.check(layout)) == whole
    assert [s.record() for s in suspected(layout)] == slips
    assert max(rows) == 5 or name == "fault-engine-rock"
    assert max([0, *slip_rows]) <= 5


def test_usual_layouts_are_judged_by_the_hundred_and_large_ones_by_a_few():
    usual = fault("fault-springs-too-weak")
    assert 100 < room.room(usual, COARSE) < 400
    assert room.room(usual, WHOLE) < room.room(usual, COARSE) / 4
    still = linkage.load(starter("twin-side-draught").path).layout
    assert room.numbers(still, COARSE) < room.numbers(usual, COARSE) * 3
    sizes = [room.room(BRANCHED["star"](n), COARSE) for n in (5, 10, 20, 40)]
    assert sizes == sorted(sizes, reverse=True)
    assert sizes[-1] < 10 < sizes[0]
    assert room.room(BRANCHED["star"](62), WHOLE) == 1


def test_parts_are_all_rows_in_their_order(monkeypatch):
    layout = fault("fault-springs-too-weak")
    monkeypatch.setattr(room, "MOST", 3 * room.BYTES * room.numbers(layout, WHOLE))
    some = [part.tolist() for part in room.parts(layout, np.arange(10, 18), WHOLE)]
    assert some == [[10, 11, 12], [13, 14, 15], [16, 17]]


@pytest.mark.parametrize("moved", [False, True])
def test_what_was_judged_goes_at_once_when_it_is_let_go(moved):
    """Forces and balances refer to each other: they would stay, by the hundred."""
    layout = fault("fault-engine-rock") if moved else chain(5)
    x = examine(layout, COARSE)
    judge(x)
    balance = next(iter(x.forces.lines.balances.values()))
    assert len(x.kept) == moved
    some = [x.forces.lines, x.forces.lines.whole, balance]
    some += [m.x.forces.lines for m in x.kept]
    kept = [weakref.ref(one) for one in some]
    del some, balance
    gc.collect()
    gc.disable()
    try:
        assert all(ref() is not None for ref in kept)
        x.forget()
        assert all(ref() is None for ref in kept)
    finally:
        gc.enable()


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="memory in kB")
@pytest.mark.parametrize("kind", ["star", "chain"])
def test_a_search_on_a_large_layout_keeps_to_its_memory(kind, tmp_path):
    """A generous guard: before rows were bounded both took over half a gigabyte."""
    layout = BRANCHED["star"](10) if kind == "star" else chain(20)
    path = tmp_path / "car.toml"
    path.write_text(dump(layout))
    code = (
        "import sys; from linkage.__main__ import main\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        # Not by `resource`, which counts what the parent had when it started this.
        "peak = next(s for s in open('/proc/self/status') if s.startswith('VmHWM'))\n"
        "print(peak.split()[1], file=sys.stderr)"
    )
    command = [sys.executable, "-c", code, "check", str(path), "--json"]
    ran = subprocess.run(command, capture_output=True, text=True, check=True)
    assert '"plan"' in ran.stdout
    assert int(ran.stderr.split()[-1]) < 350_000
