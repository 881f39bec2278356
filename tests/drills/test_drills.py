"""Kill, stop and full-disk drills for every kind of output."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.drills.outputs import OUTPUTS

ROOT = Path(__file__).parents[2]
#: Moments: of each signal while a file is written, and of any in a whole run.
COUNTS = {"stopped": (3, 25), "full": (0, 0), "whole": (1, 12)}
#: How many moments there must be at least.
LEAST = {"stopped": 200, "full": 100, "whole": 30}


def drilled(kind: str, count: int) -> dict[str, Any]:
    done = subprocess.run(
        [sys.executable, "-m", "tests.drills.drill", kind, str(count)],
        env={**os.environ, "PYTHONPATH": str(ROOT), "OPENBLAS_NUM_THREADS": "1"},
        capture_output=True, text=True, check=False, cwd=ROOT,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return json.loads(done.stderr.splitlines()[-1])


@pytest.mark.parametrize("kind", COUNTS)
def test_files_are_whole_and_nothing_is_left(kind, request):
    told = drilled(kind, COUNTS[kind][request.config.getoption("--every")])
    assert told["wrong"] == []
    assert told["kinds"] == list(OUTPUTS)
    assert told["moments"] >= LEAST[kind]
    assert told["stopped"] >= LEAST[kind] / 2
