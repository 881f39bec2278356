"""What all tests share: one invented layout, and reproducible random cases."""

from __future__ import annotations

import gc
from functools import cache

import pytest
import typer.main
from hypothesis import settings

from linkage.quantities import speak_both, speak_in
from tests.slow import function, named

#: Evidence: the same lines run many times over, which other tests have run before.
#: Coverage, which doubles their time, is not taken in them.
EVIDENCE = (
    *("tests/bad/", "tests/browser/", "tests/independent/", "tests/properties/"),
    "tests/published/",
    *("tests/figures/test_pictures_clear.py", "tests/figures/test_curve_room.py"),
    "tests/unit/test_branches.py",
)

#: Single tests of half a minute: begun last they would keep one worker busy alone.
FIRST = (
    *("tests/fuzz/test_fuzz.py", "tests/drills/", "tests/bad/test_cures.py"),
    "tests/figures/test_make.py",
)

#: The commands are the same in every run; typer would take them together anew, which
#: takes longer than to refuse a file.
typer.main.get_command = cache(typer.main.get_command)

settings.register_profile("fixed", derandomize=True, deadline=None)
settings.load_profile("fixed")


def pytest_addoption(parser):
    parser.addoption(
        "--browser",
        action="store_true",
        help="run the tests that need headless Chromium too",
    )
    parser.addoption(
        "--fast", action="store_true", help="leave out the slow tests of tests/slow.txt"
    )
    parser.addoption(
        "--every",
        action="store_true",
        help="take every layout, slip and width, not a sample; takes many minutes",
    )


@pytest.hookimpl(wrapper=True)
def pytest_collect_file(file_path):
    """Look for examples in docstrings where there are any: not in files of tests."""
    found = yield
    if file_path.name.startswith("test_"):
        return [one for one in found if type(one) is pytest.Module]
    return found


def pytest_collection_modifyitems(config, items):
    """Leave out the browser's and the many like others unless asked for, slow ones where asked."""
    slow = set(named())
    for item in items:
        test = function(item.nodeid)
        if test in slow or test.partition("::")[0] in slow:
            item.add_marker("slow")
        if test.startswith(EVIDENCE):
            item.add_marker("no_cover")
    unwanted = set() if config.getoption("--browser") else {"browser"}
    unwanted |= set() if config.getoption("--every") else {"every"}
    unwanted |= {"slow"} if config.getoption("--fast") else set()
    kept, left_out = [], []
    for item in items:
        marks = {mark.name for mark in item.iter_markers()}
        (left_out if marks & unwanted else kept).append(item)
    if left_out:
        config.hook.pytest_deselected(items=left_out)
    items[:] = sorted(kept, key=lambda item: not item.nodeid.startswith(FIRST))


def pytest_collection():
    """Look for no waste while tests are collected: a third of the time went there."""
    gc.disable()


def pytest_collection_finish():
    """Look rarely for waste in all that was collected: each look takes seconds.

    Not frozen, as what is frozen is hidden from those that ask who refers to it; the
    lowest hypothesis then fails the first test of each worker.
    """
    gc.enable()
    gc.collect()
    gc.set_threshold(20_000, 20, 1000)


@pytest.fixture(autouse=True)
def no_terminal(monkeypatch):
    """Take away the width that the workers of a test run set, as in a pipe."""
    monkeypatch.delenv("COLUMNS", raising=False)


@pytest.fixture(autouse=True)
def _speaks_metric():
    """Let no test speak in the units of the layout of the one before."""
    speak_in({})
    speak_both(both=False)


#: An invented vehicle: an old hauler whose new engine has its carburettor on
#: the right. Every table and nearly every key of the file stands in it.
HAULER = """\
format = 1
title  = "Hill farm hauler, carburettor now on the right"
units  = { length = "mm", angle = "deg", force = "N" }

[shafts.pedal]
pivot = [0, 250, 0]
axis  = "across"
arms.pad = { length = 180, angle = -90 }
arms.rod = { length = 70, angle = -11, mass = "60 g" }
bearing  = 12

[shafts."cross shaft"]
pivot    = [20, 100, 330]
axis     = "across"
friction = 0.12
arms.inner = { length = "50 ± 0.5 mm", angle = -17, offset = -150 }
arms.outer = { length = 76, angle = -16, offset = 200 }

[shafts.spindle]
pivot = [64, -100, 120]
axis  = "across"
arms.lever  = { length = 34, angle = -38 }
arms.spring = { length = 30, angle = 60 }
inertia     = "120 kg·mm²"

[rods.first]
from   = "pedal.rod"
to     = "cross shaft.inner"
joints = ["ball", "rod end"]
play   = 0.3

[rods.last]
from = "cross shaft.outer"
to   = "spindle.lever"
diameter = "1/4 in"
material = "aluminium"
mass     = "0.05 kg"

[pedal]
shaft     = "pedal"
pad       = "pad"
travel    = 75
stop      = "72 mm"
free_play = 1

[throttle]
shaft = "spindle"
opens = "anticlockwise"
swing = 76
bore         = 40
spindle      = 8
closed_angle = 6

[springs.main]
hook   = "spindle.spring"
anchor = [194, -100, 130]
rate   = "0.9 N/mm"
free_length     = 105
initial_tension = 6
greatest_length = "170 mm"

[springs.second]
kind   = "torsion"
shaft  = "spindle"
rate   = "0.004 N·m/deg"
preload = "0.2 Nm"
shuts  = "clockwise"

[springs.third]
hook   = "cross shaft.inner"
anchor = [120, 250, 330]
anchored_on = "body"
loads  = [["20 N", "90 mm"], ["35 ± 1 N", "110 mm"]]
wire   = 1.6
coil   = 14
turns  = 22
material = "EN 10270-1 SH"

[stops.full]
shaft = "spindle"
turn  = "anticlockwise"
after = 76

[engine]
carries = ["spindle"]
roll  = "3 deg"
about = { point = [0, 0, 0], axis = "along" }
lift  = "10 mm"

[friction]
coefficient = 0.14
cold_factor = 2

[vehicle]
mass = "1800 kg"
temperature = "-20 °C"

[limits]
full_throttle = "97 %"
stamp_load    = "600 N"
"""


@pytest.fixture(scope="session")
def hauler_text() -> str:
    """A complete layout file."""
    return HAULER


@pytest.fixture(scope="session")
def hauler(hauler_text: str):
    """The layout of that file."""
    from linkage import config

    return config.loads(hauler_text).layout
