"""Play of joints and bushes, and how much a new fit has of it."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.config import dump, load, loads, schema
from linkage.errors import LayoutError
from linkage.model.fits import HOLES, LEAST, PINS, STEPS, most_play, read_fit
from linkage.motion import assemble, sweep
from linkage.rules import examine
from linkage.rules.play import play_loss, slop
from linkage.search import check
from tests.cli.conftest import CONFIGS
from tests.unit.edits import HAULER, TO, TRUCK, edited

#: Tolerance grades as multiples of the unit i, and the deviation of a pin's thicker limit,
#: ISO 286-1, all from memory; D in millimetres, all in micrometres.
GRADES = {"6": 10, "7": 16, "8": 25, "9": 40, "11": 100}
DEVIATIONS = {
    "d": lambda d: 16 * d**0.44,
    "e": lambda d: 11 * d**0.41,
    "f": lambda d: 5.5 * d**0.41,
    "g": lambda d: 2.5 * d**0.34,
    "h": lambda d: 0.0 * d,
}
BEARING = 'axis    = "across"      # seen from the right\nbearing = 12'


def _grade(word, d):
    return GRADES[word[1:]] * (0.45 * d ** (1 / 3) + 0.001 * d)


@pytest.mark.parametrize("column", range(len(STEPS)))
def test_limits_are_those_of_the_formulas(column):
    """Rounded there by rules of their own: within 4 %, or one micrometre."""
    ends = (LEAST, *STEPS)[column : column + 2]
    d = math.sqrt(1e3 * ends[0] * 1e3 * ends[1])
    for word, limits in HOLES.items():
        assert limits[column] == pytest.approx(_grade(word, d), rel=0.04, abs=1.0), word
    for word, limits in PINS.items():
        want = DEVIATIONS[word[0]](d) + _grade(word, d)
        assert -limits[column] == pytest.approx(want, rel=0.04, abs=1.0), word


def test_a_fit_has_the_play_of_the_widest_hole_and_the_thinnest_pin():
    """H7/f7 on 8 mm: +15 and -28 µm, ISO 286-2 (f7 from memory)."""
    assert most_play("H7/f7", 8e-3) == pytest.approx(43e-6)
    # The step's own end belongs to it.
    assert most_play("H9/h11", 6e-3) == pytest.approx(105e-6)
    assert most_play("H9/h11", 6.001e-3) == pytest.approx(126e-6)


@pytest.mark.parametrize(
    ("edit", "says", "does"),
    [
        ('fit = "H7"', "no fit of a hole and a pin", "H9/h11"),
        ('fit = "H7/k6"', "unknown class of pins `k6`", "h6"),
        ('fit = "J7/h6"', "unknown class of holes `J7`", "H7"),
        ("fit = 7", "no fit", "H9/h11"),
        ('fit = "H9/h11"', "a fit without `joint_diameter`", "add `joint_diameter`"),
        ('fit = "H9/h11"\njoint_diameter = 8\nplay = 0.1', "both `play` and `fit`", "keep `play`"),
        ('fit = "H9/h11"\njoint_diameter = 3', "3 mm thick", "give `play`"),
        ('fit = "H9/h11"\njoint_diameter = 20', "20 mm thick", "give `play`"),
    ],
)  # fmt: skip
def test_what_is_no_fit_is_told_with_its_line(edit, says, does):
    with pytest.raises(LayoutError) as caught:
        edited(TRUCK, (TO, f"{TO}\n{edit}"))
    assert says in caught.value.message
    assert does in caught.value.hint
    assert caught.value.place.line


def test_a_fit_is_the_play_of_both_joints_or_of_a_bush():
    layout = edited(
        TRUCK,
        (TO, f'{TO}\nfit = "H9/h11"\njoint_diameter = 8'),
        (BEARING, BEARING + '\nfit = "H8/e8"'),
    )
    assert layout.rods["link"].play == pytest.approx(2 * 126e-6)
    assert layout.shafts["pedal"].play == pytest.approx(86e-6)
    assert loads(dump(layout)).layout == layout


def test_the_schema_knows_fits():
    made = schema()["$defs"]["fit"]["pattern"]
    assert "H11" in made
    assert read_fit(" H11/d9 ") == "H11/d9"


@pytest.mark.parametrize("name", ["pedal", "cross shaft", "bell crank", "spindle"])
def test_a_bush_takes_what_its_pivot_moved_the_worst_way_does(name):
    """Against each of 90 directions solved anew, every rod as long as it was."""
    layout = edited(HAULER)
    play = 0.2e-3
    shaft = layout.shafts[name]
    worn = replace(layout, shafts={**layout.shafts, name: replace(shaft, play=play)})
    x = examine(worn)
    (found,) = slop(x, worn.main)
    assert (found.about.name, found.play) == (name, play)
    lengths = {p.link.rod.name: float(p.length) for p in assemble(layout).loops}
    rods = {n: replace(r, length=lengths[n]) for n, r in layout.rods.items()}
    end = float(x.working.end)

    def opening(way):
        off = play * (
            math.cos(way) * np.array(shaft.axis.u)
            + math.sin(way) * np.array(shaft.axis.v)
        )
        pivot = tuple(np.array(shaft.pivot) + off)
        moved = {**layout.shafts, name: replace(shaft, pivot=pivot)}
        made = assemble(replace(layout, shafts=moved, rods=rods))
        return float(sweep(made, end).opening("throttle"))

    still = float(sweep(assemble(replace(layout, rods=rods)), end).opening("throttle"))
    worst = max(abs(opening(way) - still) for way in np.linspace(0, 2 * math.pi, 90))
    assert float(found.plate) == pytest.approx(worst, rel=0.02)
    assert play_loss(x, worn.main) == pytest.approx(float(found.plate))


def test_rows_are_layouts_alone():
    layout = edited(HAULER)
    shaft = layout.shafts["bell crank"]

    def with_play(play):
        one = replace(shaft, play=play)
        return replace(layout, shafts={**layout.shafts, "bell crank": one})

    x = examine(with_play(np.array([[0.0], [0.3e-3], [0.6e-3]])))
    rows = np.ravel(play_loss(x, layout.main))
    alone = [
        float(np.ravel(play_loss(examine(with_play(p)), layout.main))[0])
        for p in (0.0, 0.3e-3, 0.6e-3)
    ]
    assert rows == pytest.approx(alone, abs=1e-9)


def test_worn_bushes_that_take_full_throttle_are_refused_and_renewed():
    """2.5 mm in the bush of the pedal; as good as new it fits."""
    worn = edited(TRUCK, (BEARING, BEARING + '\nplay = "2.5 mm"'))
    found = check(worn)
    (fault,) = (f for f in found.reasons if f.code == "full-throttle")
    assert "of play" in fault.text
    assert "put a new bush in `pedal` (2.5 mm of play now)" in fault.cure.text
    assert fault.cure.proven
    twin = edited(TRUCK, (BEARING, BEARING + '\nplay = "0.1 mm"'))
    assert check(twin, cures=False).verdict != "do not fit"


def test_a_bush_that_is_worn_out_is_asked_about():
    from linkage.slips.questions import questions

    odd = edited(TRUCK, (BEARING, BEARING + '\nplay = "4 mm"'))
    assert any("the play of the bush of `pedal`" in q.what for q in questions(odd))
    assert not any("bush" in q.what for q in questions(edited(TRUCK)))


def test_no_shipped_layout_changes():
    for path in sorted(CONFIGS.glob("*.toml")):
        layout = load(path).layout
        assert all(shaft.play == 0 for shaft in layout.shafts.values())
