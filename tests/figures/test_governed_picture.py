"""A governed engine drawn: at rest open, and shut only where its plate is shut."""

from __future__ import annotations

from functools import cache

import pytest

from linkage.config import loads
from linkage.drawing.layout import layout_figure
from linkage.rules import examine
from tests.bad.layouts import CONFIGS
from tests.figures.clear import faults


@cache
def governed(travel):
    """Return the starter whose governor's arm goes so far. [mm]."""
    text = (CONFIGS / "governed-engine.toml").read_text(encoding="utf-8")
    assert "travel = 46" in text
    return examine(loads(text.replace("travel = 46", f"travel = {travel}")).layout)


def drawn(travel, share):
    x = governed(travel)
    return layout_figure(x.assembly, x.working, share=share, ghost=1.0 - share)


def said(figure):
    from matplotlib.text import Text

    return " | ".join(" ".join(t.get_text().split()) for t in figure.findobj(Text))


def test_it_is_open_with_the_engine_stopped_and_shut_at_the_end():
    text = said(drawn(46, 1.0))
    assert "governor's arm at 43.3 mm, shut; in grey: engine stopped" in text
    assert "0.0° = 0 % of swing open area 0 % on its idle stop" in text
    assert "engine faster: this shaft turns clockwise" in text
    assert "pad" not in text
    assert "pedal" not in text
    assert "70.0° = 100 % of swing" not in text
    assert "engine stopped; in grey" in said(drawn(46, 0.0))


def test_a_plate_that_its_governor_leaves_open_is_not_called_shut():
    text = said(drawn(20, 1.0))
    assert "governor's arm at 20.0 mm, the end of its travel;" in text
    assert "shut" not in text
    assert "36.4° = 52 % of swing" in text


@pytest.mark.parametrize("share", [0.0, 1.0])
def test_it_can_be_read(share):
    figure = drawn(46, share)
    axes = [ax for ax in figure.axes if ax.get_gid() != "plate"]
    assert faults(figure, axes) == []
