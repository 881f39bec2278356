"""What was measured with what, and how far each number may be off.

The errors of instruments are common practice with no source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from linkage import config
from linkage.band import band
from linkage.config import loads
from linkage.errors import LayoutError
from linkage.model.instruments import GROUPS
from linkage.model.measured import assumed_with, measured
from linkage.search import check
from tests.unit.edits import LEVER, TRUCK, edited

FORMAT = "format = 1"


def with_table(*lines: str) -> tuple[str, str]:
    """Return the edit that names instruments; the title belongs above them."""
    above = "[shafts.pedal]"
    return above, "\n".join(["[measured]", *lines, "", above])


def found(layout, called):
    (one,) = (m for m in measured(layout) if m.called == called)
    return one


def test_where_nothing_is_given_the_usual_instrument_is_assumed():
    one = found(edited(TRUCK), "radius of `spindle.lever`")
    assert (one.error, one.by, one.assumed) == (0.5e-3, "rule", True)
    assert found(edited(TRUCK), "radius of `pedal.pad`").error == 5e-3
    assert found(edited(TRUCK), "angle of `spindle.lever`").error == pytest.approx(
        0.01745, rel=1e-3
    )
    assert assumed_with(edited(TRUCK))["holes"] == "rule"


def test_an_instrument_that_is_named_counts():
    layout = edited(TRUCK, with_table('holes = "caliper"'))
    one = found(layout, "radius of `spindle.lever`")
    assert (one.error, one.by, one.assumed) == (0.2e-3, "caliper", False)
    assert found(layout, "angle of `spindle.lever`").assumed
    assert "holes" not in assumed_with(layout)


def test_what_stands_beside_a_value_comes_before_any_instrument():
    lever = 'arms.lever = { length = "32 mm ± 0.1 mm", angle = 52, offset = 10 }'
    layout = edited(TRUCK, with_table('holes = "tape"'), (LEVER, lever))
    one = found(layout, "radius of `spindle.lever`")
    assert (one.error, one.by, one.assumed) == (pytest.approx(0.1e-3), "", False)
    assert one.better() is None


def test_a_rod_is_set_on_the_vehicle_and_has_no_error_of_its_own():
    rod = 'to       = "spindle.lever"'
    layout = edited(TRUCK, (rod, f'{rod}\nlength = "443.6 mm"'))
    assert not any(m.path[0] == "rods" for m in measured(layout))
    told = edited(TRUCK, (rod, f'{rod}\nlength = "443.6 mm ± 1 mm"'))
    assert found(told, "length of rod `link`").error == pytest.approx(1e-3)


def test_holes_in_which_nothing_is_joined_do_not_matter():
    spare = "arms.spare = { length = 40, angle = 52, offset = 10 }"
    layout = edited(TRUCK, (LEVER, f"{LEVER}\n{spare}"))
    assert not any("spare" in m.called for m in measured(layout))


def test_a_better_instrument_is_named_with_its_error():
    better = found(edited(TRUCK), "radius of `spindle.lever`").better()
    assert better == ("caliper", 0.2e-3)
    rate = found(edited(TRUCK), "rate of spring `near`")
    assert rate.better() == ("scales", pytest.approx(rate.error / 2))


@pytest.mark.parametrize("group", GROUPS)
def test_a_file_keeps_its_instruments(group):
    for by in GROUPS[group].errors:
        layout = replace(edited(TRUCK), measured={group: by})
        assert loads(config.dump(layout)).layout.measured == {group: by}


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ('holes = "calliper"', "caliper"),
        ('hole = "caliper"', "holes"),
        ("holes = 0.2", "holes"),
    ],
)
def test_an_instrument_that_there_is_not_is_refused_with_those_there_are(line, words):
    with pytest.raises(LayoutError) as caught:
        edited(TRUCK, with_table(line))
    assert caught.value.place.text == line
    assert words in f"{caught.value.message} {caught.value.hint}"


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ("travel = 76", 'travel = "76 mm ± 76 mm"', "pedal.travel"),
        ("swing        = 76", 'swing = "77 deg ± 90 deg"', "throttle.swing"),
    ],
)
def test_a_size_that_may_be_nothing_is_refused(old, new, key):
    with pytest.raises(LayoutError, match="as large as the value itself") as caught:
        edited(TRUCK, (old, new))
    assert caught.value.place.key == key


def test_a_place_may_be_off_by_more_than_it_is():
    layout = edited(
        TRUCK, ("pivot   = [430, -30, 82]", 'pivot = [430, "-3 mm ± 9 mm", 82]')
    )
    assert found(layout, "pivot, left, of `spindle`").error == pytest.approx(9e-3)


def test_an_error_below_zero_is_refused():
    with pytest.raises(LayoutError):
        edited(TRUCK, ("travel = 76", 'travel = "76 mm ± -3 mm"'))


def test_errors_of_a_batch_are_those_of_its_first_row():
    layout = edited(TRUCK)
    rows = layout.with_arm("spindle.lever", length=[0.032, 0.04])
    assert [m.error for m in measured(rows)] == [m.error for m in measured(layout)]


@pytest.mark.parametrize(
    ("edit", "called", "most"),
    [
        (
            (LEVER, LEVER.replace("length = 32", "length = 0.6")),
            "radius of `spindle.lever`",
            0.3e-3,
        ),
        (("swing        = 76", "swing = 179.8"), "swing of `throttle`", 0.00175),
    ],
)
def test_no_instrument_makes_a_size_one_that_cannot_be(edit, called, most):
    """An arm shorter than what the rule is off by, a swing next to half a turn."""
    layout = edited(TRUCK, edit)
    assert 0 < found(layout, called).error <= most
    assert check(layout, cures=False).verdict == "do not fit"
    band(layout, samples=8)
