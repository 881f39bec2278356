"""20 000 files and command lines that nobody would write: none is the program's fault.

Each part runs in a process of its own, so that parts run side by side and memory is
that of the cases. About one file in six is still a layout that can be put together;
the others are refused when they are read, which is what most of them are there to ask.
"""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.fuzz.seeds import ROOT

CASES = 20_000
PARTS = 4
SEED = 3


@pytest.mark.parametrize("part", range(PARTS))
def test_nothing_is_planted_and_nothing_crashes(part):
    each = CASES // PARTS
    words = ["--cases", each, "--first", part * each, "--seed", SEED]
    ran = subprocess.run(
        [sys.executable, "-m", "tests.fuzz", *map(str, words)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode == 0, ran.stdout + ran.stderr[-2000:]
    assert f"{each} cases, 0 faults" in ran.stdout
