"""A layout with a hand lever, drawn with the pedal down and with the hand lever pulled."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from linkage.drawing.layout import layout_figure
from linkage.drawing.loose import loose_rods
from linkage.drawing.pad import pad_ends
from linkage.errors import UsageError
from linkage.motion import frame, sweep
from linkage.report.pictures import layout_picture
from linkage.rules import examine
from linkage.search import check
from tests.figures.clear import faults
from tests.unit.compared import car

BOTH = "hand-and-foot"


@cache
def seen(name, by):
    x = examine(car(name))
    return x if by == "pedal" else x.by_hand


def drawn(name, by, share):
    x = seen(name, by)
    ghost = 0.0 if share > 0.5 else 1.0
    return layout_figure(x.assembly, x.working, share=share, ghost=ghost)


def words(figure) -> str:
    from matplotlib.text import Text

    found = [t.get_text() for t in figure.findobj(Text)]
    return " ".join(" ".join(found).split())


@pytest.mark.parametrize("name", [BOTH, "fault-hand-fights-pedal"])
@pytest.mark.parametrize("share", [0.0, 0.5, 1.0])
def test_it_can_be_read_with_the_hand_lever_pulled(name, share):
    figure = drawn(name, "hand", share)
    axes = [ax for ax in figure.axes if ax.get_gid() != "plate"]
    assert faults(figure, axes) == []


def test_its_words_are_of_the_hand_lever_that_drives():
    text = words(drawn(BOTH, "hand", 1.0))
    assert "hand lever at 120.0 mm, stopped" in text
    assert "in grey: hand lever pushed home (idle)" in text
    assert "hand lever pulled: this shaft turns anticlockwise" in text
    assert "hand lever's own end" in text
    assert "pedal down" not in text
    assert "of slot left," in text
    half = words(drawn(BOTH, "hand", 0.5))
    assert "hand lever at 60.0 mm;" in half
    foot = words(drawn(BOTH, "pedal", 1.0))
    assert "pedal down: pad" in foot
    assert "hand lever pulled" not in foot
    assert "0.7 mm of slot left," in foot
    assert "drives in" not in foot


def test_the_pad_stays_on_the_pedal_whichever_drives():
    for by in ("pedal", "hand"):
        x = seen(BOTH, by)
        motion = sweep(x.assembly, [0.0])
        face = [end[0] for end in pad_ends(motion)]
        pedal = x.layout.shafts["pedal"]
        middle = (face[0] + face[1]) / 2
        assert np.linalg.norm(middle - np.array(pedal.pin("pad"))) < 0.01


@pytest.mark.parametrize("by", ["pedal", "hand"])
def test_slots_are_drawn_as_long_as_they_are_and_where_their_pins_go(by):
    """On the side that waits too, of which more is solved than there is."""
    x = seen(BOTH, by)
    motion = sweep(x.assembly, np.linspace(0, x.working.end, 21))
    for name, loose in loose_rods(motion).items():
        loop = x.assembly.loop(name)
        pins = [frame(motion).pin(hole).T for hole in loop.link.holes]
        apart = np.linalg.norm(pins[1] - pins[0], axis=1)
        np.testing.assert_allclose((loose.far - loose.near) * apart, 0.048, atol=1e-9)
        # The pin is at 1, between both ends of its slot.
        assert (loose.near <= 1 + 1e-6).all()
        assert (loose.far >= 1 - 1e-6).all()


def test_a_picture_by_hand_of_what_has_no_hand_lever_is_refused():
    with pytest.raises(UsageError, match="no hand lever"):
        layout_picture(check(car("hanging-pedal"), cures=False), share=1.0, suffix="svg", by_hand=True)  # fmt: skip
