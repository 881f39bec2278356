"""Springs where they sit in a layout: what is refused."""

from __future__ import annotations

from dataclasses import replace

import pytest

from linkage.errors import LayoutError
from linkage.model import Known, Spring
from linkage.springs import spring_laws
from tests.build import hauler
from tests.sprung import line_spring, torsion_spring, with_springs


def refused(spring: Spring) -> LayoutError:
    with pytest.raises(LayoutError) as caught:
        spring_laws(with_springs(hauler(), spring))
    assert caught.value.hint
    return caught.value


def test_laws_in_the_layouts_order():
    layout = with_springs(
        hauler(),
        line_spring("b", "spindle.spring", (194, -100, 130)),
        torsion_spring("a", "pedal", -1, 1.0, 1.0),
    )
    laws = spring_laws(layout)
    assert list(laws) == ["b", "a"]
    assert [x.kind for x in laws.values()] == ["extension", "torsion"]


def test_anchor_on_the_hook():
    layout = hauler()
    hook = [1e3 * c for c in layout.shafts["spindle"].pin("spring")]
    error = refused(line_spring("main", "spindle.spring", hook))
    assert "on its hook" in error.message
    assert error.key == ("springs", "main", "anchor")


@pytest.mark.parametrize("side_mm", [-100, 0, 77])
def test_anchor_on_the_centre_line_of_the_spindle(side_mm):
    error = refused(line_spring("main", "spindle.spring", (64, side_mm, 120)))
    assert "on the centre line of shaft `spindle`" in error.message
    assert error.key == ("springs", "main", "anchor")


def test_missing_anchor():
    spring = line_spring("main", "spindle.spring", (194, -100, 130))
    assert refused(replace(spring, anchor=None)).key == ("springs", "main", "anchor")


def test_wire_and_material_are_looked_at_even_where_the_rate_is_given():
    spring = line_spring("main", "spindle.spring", (194, -100, 130))
    assert refused(replace(spring, material="chalk")).key[-1] == "material"
    known = replace(spring.known, wire=0.01, coil=0.008, turns=9.0)
    assert "thicker than its coil" in refused(replace(spring, known=known)).message


def test_measured_pull_takes_swing_and_hole_from_the_layout():
    layout = hauler()
    spring = Spring(
        name="inner",
        kind="measured",
        shaft="spindle",
        arm="lever",
        known=Known(pull_idle=10.0, pull_full=20.0),
    )
    law = spring_laws(with_springs(layout, spring))["inner"]
    swing = layout.main.swing
    assert law.sense == -1
    assert law.initial == pytest.approx(0.34)
    assert law.rate * swing == pytest.approx(0.34)


def test_free_length_longer_than_installed_is_no_error():
    slack = line_spring("main", "spindle.spring", (194, -100, 130), free_length=0.3)
    assert spring_laws(with_springs(hauler(), slack))["main"].free_length == 0.3
