"""The figures of README and docs: all made by one script, the same bytes again."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path

ROOT = Path(__file__).parents[2]


def _maker():
    spec = importlib.util.spec_from_file_location(
        "figures_make", ROOT / "figures/make.py"
    )
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_figures_are_the_same_bytes_on_a_second_run_and_no_others_are_in_the_folder():
    make = _maker()
    first = make.figures()
    assert make.figures() == first
    made = {*first, *make.animation()}
    kept = {p.name for p in (ROOT / "figures").iterdir() if p.is_file()}
    assert kept == made | {"make.py"}


def test_readme_shows_figures_that_are_there_and_small():
    shown = re.findall(r"\((figures/[^)]+)\)", (ROOT / "README.md").read_text())
    assert "figures/swap.gif" in shown
    assert "figures/swap-still.png" in shown
    for path in shown:
        assert 0 < (ROOT / path).stat().st_size < 2_000_000
