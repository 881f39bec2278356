"""Files of readings that nobody would write, beside layouts that are sound: no fault.

Whole readings cost a proof each, so that most cases are refused when they are read.
"""

from __future__ import annotations

from random import Random

import pytest

from tests.fuzz.commands import LAYOUT, OTHER, OUT
from tests.fuzz.drive import tried, warm
from tests.fuzz.mutate import by_byte, by_key, by_line, by_number, by_value, by_word
from tests.fuzz.run import Case
from tests.fuzz.seeds import ROOT, layouts

READ = sorted((ROOT / "tests" / "read").glob("*.toml"))
MUTATIONS = (by_byte, by_word, by_line, by_number, by_number, by_value, by_key)
LINES = (
    ("prove", LAYOUT, OTHER),
    ("prove", LAYOUT, OTHER, "--json"),
    ("prove", LAYOUT, OTHER, "--take", "1", "--corrected", OUT + ".toml"),
    ("prove", LAYOUT, OTHER, "-o", OUT + ".svg"),
)
CASES, PARTS = 40, 2


def case(number: int) -> Case:
    """Return one case; the same number always gives the same."""
    rng = Random(f"readings:{number}")
    changed = rng.choice(READ).read_text(encoding="utf-8").partition("format")[2]
    changed = "format" + changed
    for _ in range(rng.choice((1, 1, 2))):
        change = rng.choice(MUTATIONS)
        text = changed if isinstance(changed, str) else ""
        changed = change(rng, text or "format = 1\n")
    data = changed if isinstance(changed, bytes) else changed.encode(errors="replace")
    layout = layouts()["hanging-pedal"].encode()
    return Case(f"readings:{number}", rng.choice(LINES), layout, data)


@pytest.mark.parametrize("part", range(PARTS))
def test_no_file_of_readings_is_the_programs_fault(part, tmp_path):
    warm(tmp_path)
    faults = {}
    for number in range(part, CASES, PARTS):
        folder = tmp_path / str(number)
        folder.mkdir()
        one = case(number)
        ran, fault = tried(one, folder)
        if fault:
            faults[number] = (one.other, ran.status, fault)
    assert faults == {}
