"""Every printed value of every data file beside this one.

Each file names its source; each value carries its mark: `seen` in the source,
`from memory`, or `computed` (worked out elsewhere, never printed). Nothing
chooses a tolerance: it is half a unit of the last printed digit. Where a
recalled value is known to be off, the file says so as an erratum, with the
exact value and what is allowed, and the test below proves that it is needed.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from linkage.motion import assemble, frame, sweep
from tests.build import four_bar
from tests.published.read import MARKS, cases, files, half_unit, load, places

UNPRINTED = {
    (case["name"], branch): case["inputs"]
    for path in files()
    for case in load(path).get("unprinted", [])
    for branch in (1, -1)
}


@pytest.mark.parametrize("case", cases(), ids=str)
def test_values_agree_with_their_source(case):
    for row in case.rows:
        assert abs(row.difference) <= row.tolerance, row


@pytest.mark.parametrize("place", [p for p in places() if p.erratum], ids=str)
def test_an_erratum_is_needed_and_small(place):
    row = place.row
    assert abs(row.difference) > half_unit(row.printed)
    assert row.tolerance <= 2 * half_unit(row.printed)


@pytest.mark.parametrize("path", files(), ids=lambda p: p.name)
def test_every_file_names_its_source_and_marks(path):
    data = load(path)
    assert set(data["source"]) == {"author", "title", "edition", "page", "table"}
    assert all(data["source"].values())
    for case in data["cases"]:
        for value in case["values"]:
            assert value["mark"] in MARKS
            assert value.get("formula") or isinstance(value["printed"], str)


def test_rows_without_printed_answers_are_named():
    names = {name for name, _ in UNPRINTED}
    assert names == {"row b", "row c", "row d", "row f", "row g"}


@pytest.mark.parametrize(("name", "branch"), UNPRINTED)
def test_unprinted_row_closes_and_agrees_with_a_root_finder(name, branch):
    """Table P4-1 rows without an answer here: against scipy's brentq, not print."""
    case = UNPRINTED[name, branch]
    d, a, b, c = (case[k] for k in ("ground", "crank", "rod", "lever"))
    motion = sweep(assemble(four_bar(a, b, c, d, case["crank_deg"], branch)), [0.0])
    link = motion.assembly.layout.links[0]
    pin, hole = (
        1e3 * frame(motion).pin(link.driver).T[0],
        1e3 * frame(motion).pin(link.driven).T[0],
    )
    assert np.linalg.norm(pin - hole) == pytest.approx(b, rel=1e-13)
    ours = math.atan2(hole[1], hole[0] - d)

    at = math.radians(case["crank_deg"])

    def gap(angle: float) -> float:
        x = a * math.cos(at) - d - c * math.cos(angle)
        y = a * math.sin(at) - c * math.sin(angle)
        return x * x + y * y - b * b

    toward = math.atan2(a * math.sin(at), a * math.cos(at) - d)
    root = brentq(gap, toward - branch * math.pi, toward, xtol=1e-14)
    assert math.remainder(ours - root, 2 * math.pi) == pytest.approx(0, abs=1e-11)


def test_row_d_is_a_change_point():
    """Longest and shortest together are as long as the other two (P4-1, row d)."""
    sizes = sorted(
        UNPRINTED["row d", 1][k] for k in ("ground", "crank", "rod", "lever")
    )
    assert sizes[0] + sizes[3] == sizes[1] + sizes[2]


def test_half_a_unit_of_the_last_digit():
    assert float(half_unit("57.3")) == 0.05
    assert float(half_unit("-4.121")) == 0.0005
    assert float(half_unit("116")) == 0.5
