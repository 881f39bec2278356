"""A swap of cables: sheaths are led across, drums wound as they look then, cures solved.

Sizes are those of shipped layouts.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from linkage.config import dump, loads
from linkage.model.rows import row
from linkage.motion import assemble, sweep
from linkage.report.swap import swap_data, swap_lines
from linkage.rules import examine
from linkage.search import check
from linkage.swap import solve, swap_sides
from linkage.swap.ground import ground
from linkage.swap.led_otherwise import lined_sheath
from linkage.swap.recipes import (
    crossed_pull,
    lever_over,
    other_rod,
    push_rod,
    reversing_lever,
)
from tests.unit.edits import edited
from tests.unit.test_search_cables import DRUM, PUSH, RADIUS, RUBS, SLACK, WOUND

TRAVEL = np.linspace(0, 0.07, 15)
#: The drum taken for a bare lever below its spindle, which a pull turns clockwise.
BARE = (f"{RADIUS}, {WOUND}", "length = 29, angle = 330")


def turned(layout):
    return sweep(assemble(layout), TRAVEL).turns["spindle"]


@cache
def solved(**options):
    return solve(swap_sides(edited(DRUM), **options))


def test_the_end_beside_the_carburettor_goes_across_and_the_other_stays():
    swap = swap_sides(edited(DRUM))
    old, new = (some.rods["main"] for some in (swap.before, swap.after))
    assert new.ends[0] == old.ends[0]
    x, y, z = old.ends[1].point
    assert new.ends[1].point == (x, -y, z)
    assert new.ends[1].on == "engine"
    # Between them it is led over little by little, and keeps its height.
    over = [b[1] - a[1] for a, b in zip(old.through, new.through, strict=True)]
    assert 0 > over[0] > over[1] > over[2] > -2 * y
    assert [p[::2] for p in new.through] == [p[::2] for p in old.through]
    (led,) = swap.sheaths
    assert [str(hole) for hole, _ in led.ends] == ["spindle.drum"]
    assert led.longer == pytest.approx(new.way - old.way)
    assert swap.slides == ()  # a sheath leads a wire anywhere


def test_mirrored_it_moves_as_it_did():
    swap = swap_sides(edited(DRUM))
    np.testing.assert_allclose(turned(swap.after), turned(swap.before), atol=1e-12)
    assert swap.after.shafts["spindle"].arms["drum"].wound == -1


def test_turned_about_its_drum_is_wound_the_other_way_for_its_viewer():
    swap = swap_sides(edited(DRUM), carburettor="turned")
    assert swap.after.shafts["spindle"].arms["drum"].wound == 1
    np.testing.assert_allclose(turned(swap.after), -turned(swap.before), atol=1e-12)
    x, y, z = edited(DRUM).rods["main"].ends[1].point
    assert swap.after.rods["main"].ends[1].point == (-1.8 - x, -y, z)


def test_a_sheath_end_on_the_body_is_mirrored_where_the_carburettor_is_turned():
    on = ('sheath_to_on    = "engine"\n', "")
    swap = swap_sides(edited(DRUM, on), carburettor="turned")
    x, y, z = swap.before.rods["main"].ends[1].point
    assert swap.after.rods["main"].ends[1].point == (x, -y, z)


def test_between_two_shafts_that_go_across_all_of_it_is_mirrored():
    layout = edited(PUSH)
    swap = swap_sides(layout, beyond="pedal")
    ways = [some.rods["main"] for some in (layout, swap.after)]
    assert ways[1].ends[0] == ways[0].ends[0]
    assert swap_sides(layout).beyond == "pedal"


@pytest.mark.parametrize("fixed", ["", "\nfixed = true"])
def test_a_sheath_of_given_length_gets_as_much_longer_as_its_way(fixed):
    length = edited(DRUM).rods["main"].way + 0.01
    given = f'{RUBS}\nsheath_length = "{1e3 * length:.6f} mm"{fixed}'
    swap = swap_sides(edited(DRUM, (RUBS, given)))
    old, new = (some.rods["main"] for some in (swap.before, swap.after))
    grown = 0.0 if fixed else new.way - old.way
    assert new.sheath_length - old.sheath_length == pytest.approx(grown, abs=1e-12)
    told = " ".join(swap_lines(solve(swap)))
    assert "the sheath of cable `main`: its end at `spindle.drum` goes to" in told
    assert swap_data(solve(swap))["sheaths"][0]["cable"] == "main"


def test_a_sheath_that_ends_where_it_begins_is_led_across_too():
    """A slip, but no fault of the program: its points go as its first end does."""
    one = "[-60, 0, 112]"
    layout = edited(
        DRUM,
        ("sheath_to       = [-780, 120, 169]", f"sheath_to = {one}"),
        ("[[-200, 0, 112], [-420, 40, 90], [-640, 110, 120]]", f"[{one}]"),
    )
    swap = swap_sides(layout)
    assert swap.after.rods["main"].through == layout.rods["main"].through


def test_by_a_hair_no_sheath_is_longer_or_shorter():
    solution = solve(swap_sides(edited(DRUM), beyond="pedal"))
    (led,) = solution.swap.sheaths
    hair = replace(led, longer=4e-4)
    for some, told in ((hair, False), (replace(led, longer=6e-4), True)):
        swap = replace(solution.swap, sheaths=(some,))
        text = " ".join(swap_lines(replace(solution, swap=swap)))
        assert ("longer that way" in " ".join(text.split())) is told


def test_a_measured_wire_is_as_long_as_it_was_where_only_its_sheath_goes_across():
    loop = assemble(edited(DRUM)).loop("main")
    sheath = float(loop.link.rod.sheathed)
    lengths = (
        f'sheath_length = "{1e3 * sheath:.6f} mm"\n'
        f'wire_length = "{1e3 * (sheath + loop.length):.6f} mm"'
    )
    swap = swap_sides(edited(DRUM, (SLACK, lengths)))
    assert swap.recut == ()
    assert swap.after.rods["main"].length == swap.before.rods["main"].length


def test_one_that_opens_the_other_way_gets_its_drum_turned_over():
    solution = solved(carburettor="replaced", opens=1)
    assert solution.reversal.opens is False
    best = solution.cures[0]
    assert best.fits
    assert best.name == "drum-turned-over"
    assert best.layout.shafts["spindle"].arms["drum"].wound == 1
    told = " ".join(" ".join(swap_lines(solution)).split())
    assert "anticlockwise from its nipple on, seen from the right" in told
    assert "cut rod" not in told
    again = loads(dump(best.layout)).layout
    assert check(again, cures=False).verdict != "do not fit"


def test_what_cannot_be_done_to_a_cable_is_said():
    swap = swap_sides(edited(DRUM), carburettor="replaced", opens=1)
    g = ground(swap, examine(swap.before))
    assert "pulls from where its sheath ends" in crossed_pull(g).reason
    assert push_rod(g).reason == "cable `main` can only pull"
    assert "may not be parted" in reversing_lever(g).reason
    assert other_rod(g, ["main"]).reason == "a wire that lies on a drum only pulls"


def test_a_bare_lever_goes_over_and_its_cable_may_be_made_to_push():
    swap = swap_sides(edited(DRUM, BARE), carburettor="replaced", opens=1)
    g = ground(swap, examine(swap.before))
    assert lever_over(g).name == "lever-standing"
    recipe = other_rod(g, ["main"])
    assert recipe.title == "push-pull cable `main` instead of one that only pulls"
    assert not recipe.reason


def test_more_bends_than_before_are_met_by_a_lined_sheath():
    layout = edited(DRUM, (RUBS, "sheath_friction = 0.26"))
    assert check(layout, cures=False).verdict != "do not fit"
    solution = solve(swap_sides(layout))
    assert not solution.fits_as_it_is
    best = solution.cures[0]
    assert best.name == "lined-sheath"
    assert best.fits
    (part,) = best.changes.parts
    assert part.kind == "sheath lined"
    assert part.old == 0.26
    told = " ".join(" ".join(swap_lines(solution)).split())
    assert f"friction {part.new:.2f} at most instead of 0.26" in told


#: A second cable, to a lever that is no plate.
SECOND = """
[shafts.kick]
pivot = [-900, 300, 140]
axis = "across"
arms.lever = { length = 60, angle = 90 }
[cables.second]
from = "pedal.cable"
to = "kick.lever"
sheath_from = [-60, 0, 112]
sheath_to = [-700, 300, 200]
sheath_friction = 0.2
"""


def test_a_cure_is_called_by_the_sheaths_that_are_lined_in_it():
    """Each and both are tried; one that is lined already is none of them."""

    def recipe(friction):
        second = SECOND.replace("0.2\n", f"{friction}\n")
        layout = edited(DRUM, ("# 4. Pad", f"{second}\n# 4. Pad"))
        g = ground(swap_sides(layout), examine(layout))
        found = lined_sheath(g)
        (tier,) = found.tiers
        return found, [row(some.layout, 0) for some in tier(g)]

    found, rows = recipe(0.2)
    assert found.title == "lined sheaths of cables `main` and `second`"
    assert [found.titled(layout) for layout in rows] == [
        "lined sheath of cable `main`",
        "lined sheath of cable `second`",
        found.title,
    ]
    found, rows = recipe(0.05)
    assert found.title == "lined sheath of cable `main`"
    assert len(rows) == 1


def test_no_sheath_of_a_fixed_cable_is_lined():
    swap = swap_sides(edited(DRUM, (SLACK, f"{SLACK}\nfixed = true")))
    assert lined_sheath(ground(swap, examine(swap.before))) is None


def test_angles_stay_angles():
    solution = solved(carburettor="replaced", opens=1)
    angle = solution.cures[0].layout.shafts["spindle"].arms["drum"].angle
    assert -math.pi <= angle <= math.pi
