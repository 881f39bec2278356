"""In which units results speak: those of the table of units, else those that are quoted."""

from __future__ import annotations

import re

import pytest

from linkage.config import loads
from tests.inches import VAN

#: The van with every length quoted, and no table of units but for angles.
BARE = VAN.replace('length = "in", angle = "deg", force = "lbf"', 'angle = "deg"')
QUOTED = re.sub(
    r"((?:pivot|point|lift|anchor|bearing|length|offset|diameter|travel|stop|bore|spindle"
    r"|free_length|greatest_length)\s*=\s*)(\[[^\]]*\]|[0-9.-]+)",
    lambda m: m[1] + re.sub(r"-?[0-9.]+", r'"\g<0> in"', m[2]),
    BARE,
)
QUOTED = re.sub(r"(initial_tension = )([0-9.]+)", r'\1"\2 lbf"', QUOTED)


def test_the_file_is_the_same_with_its_units_in_a_table_or_quoted():
    assert loads(QUOTED).layout == loads(VAN).layout
    assert loads(QUOTED).spoken() == loads(VAN).spoken()
    assert loads(QUOTED).spoken()["length"] == "in"


def test_feet_count_as_inches():
    some = QUOTED.replace('pivot   = ["0 in", "11.8 in", "0 in"]', 'pivot = ["0 in", "1 ft", "0 in"]')  # fmt: skip
    assert some != QUOTED
    assert loads(some).spoken()["length"] == "in"


@pytest.mark.parametrize("length", ["280 mm", "28 cm"])
def test_a_file_of_several_units_speaks_millimetres(length):
    some = QUOTED.replace('"11.8 in"', f'"{length}"')
    assert some != QUOTED
    assert "length" not in loads(some).spoken()


def test_the_table_stands_before_what_is_quoted():
    mixed = VAN.replace("travel = 3", 'travel = "76 mm"')
    assert mixed != VAN
    assert loads(mixed).spoken()["length"] == "in"
