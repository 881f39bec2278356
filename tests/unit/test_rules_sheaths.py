"""Sheaths: what must be refused, beside its sound twin.

Sizes are invented. Radii are those of circles laid here, angles those of known corners.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.model import SheathEnd
from linkage.model.columns import column
from linkage.report.unjudged import unjudged
from linkage.rules import examine
from linkage.rules.bent import STRAIGHT, from_wire, through
from linkage.rules.rule import BAD, FITS, LOOK
from linkage.search import check
from tests.unit.edits import edited
from tests.unit.ruled import alone, found_in
from tests.unit.test_rules_cables import bad, changed, told

DRUM, PUSH = "cable-drum", "push-pull-cable"


def circle(radius: float, degrees: tuple[float, ...]):
    """Return the ways from point to point of a circle."""
    angles = np.radians(degrees)
    at = radius * np.array((np.cos(angles), np.sin(angles), 0 * angles))
    return [at[:, i + 1] - at[:, i] for i in range(len(degrees) - 1)]


@pytest.mark.parametrize(
    "degrees", [(0, 10, 20), (0, 30, 45), (0, 90, 180), (0, 5, 95)]
)
@pytest.mark.parametrize("radius", [0.04, 0.2])
def test_of_three_points_of_a_circle_its_radius_is_found(radius, degrees):
    assert through(*circle(radius, degrees)) == pytest.approx(radius, rel=1e-9)


def test_a_sheath_folded_back_on_itself_is_sharp_whatever_its_legs():
    """No circle of half a metre leads back between two points 30 mm apart."""
    there = np.array((0.03, 0.0, 0.0))
    for long in (0.03, 0.1, 0.2):
        back = np.array((-long, 1e-9, 0.0))
        assert through(there, back) == pytest.approx((0.03 + long) / 4, rel=1e-3)
    assert through(there, 2 * there) == STRAIGHT


def test_an_end_held_along_its_wire_bends_in_one_arc_to_the_next_point():
    """The arc touches the wire's line: of a quarter of a circle the chord is at 45°."""
    radius = 0.06
    wire, chord = np.array((1.0, 0.0, 0.0)), radius * np.array((1.0, 1.0, 0.0))
    assert from_wire(wire, chord) == pytest.approx(radius)
    # Beyond square no wider arc is led by than where it is square.
    back = np.array((-0.1, 0.01, 0.0))
    assert from_wire(wire, back) == pytest.approx(np.linalg.norm(back) / 2, rel=1e-6)
    assert from_wire(wire, 0.1 * wire) == STRAIGHT


# --- in a layout ---------------------------------------------------------------------


def steps(radius_mm: float):
    """Return the drum's cable led up in two quarters of a circle, like a swan's neck."""
    radius, angles = radius_mm / 1e3, np.radians(np.arange(0, 91, 15))
    along, up = radius * np.sin(angles), radius * (1 - np.cos(angles))
    first = list(zip(along, up, strict=True))
    turned = [(2 * radius - a, 2 * radius - b) for a, b in reversed(first)]
    points = [*first, *turned[1:]]
    way = tuple((float(-0.3 - a), 0.0, float(0.112 + b)) for a, b in points)
    return changed(DRUM, through=way)


@pytest.mark.parametrize(
    ("radius_mm", "rank"), [(49, BAD), (51, LOOK), (74, LOOK), (76, FITS)]
)
def test_a_bow_is_judged_by_its_radius(radius_mm, rank):
    layout = steps(radius_mm)
    (finding,) = told(layout, "sheath-bend")
    assert finding.value == pytest.approx(radius_mm / 1e3, rel=1e-6)
    assert finding.outcome.rank == rank
    assert ("sheath-bend" in bad(layout)) == (rank == BAD)
    assert " of its way" in finding.text


def test_a_sharp_corner_is_named_by_its_point():
    sharp = edited(
        DRUM, ("[-420, 40, 90]", "[-420, 40, 90], [-440, 40, 90], [-440, 40, 110]")
    )
    (fault,) = told(sharp, "sheath-bend")
    assert fault.verdict == "do not fit"
    assert (
        "at point 2 of its way" in fault.text or "at point 3 of its way" in fault.text
    )
    assert "wider bend, of 75 mm or more" in fault.advised().cure.text
    assert "sheath-bend" in bad(sharp)
    assert bad(edited(DRUM)) == set()


def test_a_kink_at_an_end_into_the_free_wire_is_seen():
    """The sheath comes straight up to the drum's bracket, whose wire goes level."""
    kinked = edited(DRUM, ("[-640, 110, 120]", "[-640, 110, 120], [-780, 120, 109]"))
    (fault,) = told(kinked, "sheath-bend")
    # A chord of 60 mm square to the wire is that of a circle of 30.
    assert fault.value == pytest.approx(0.030, abs=1e-4)
    assert "at its end by `spindle.drum`" in fault.text
    turned = replace(
        kinked, rods={"main": replace(kinked.rods["main"], **_from_behind(kinked))}
    )
    (same,) = told(turned, "sheath-bend")
    assert same.value == pytest.approx(fault.value)
    assert "at its end by `spindle.drum`" in same.text


def _from_behind(layout):
    """Return a cable written from the spindle to the pedal."""
    cable = layout.rods["main"]
    return {
        "start": cable.end,
        "end": cable.start,
        "ends": cable.ends[::-1],
        "through": cable.through[::-1],
    }


def test_rows_may_differ_in_a_point_alone():
    heights = (0.16, 0.13, 0.10)
    way = edited(DRUM).rods["main"].through

    def led(z):
        return changed(DRUM, through=(*way, (-0.76, 0.12, z)))

    (many,) = told(led(column(heights)), "sheath-bend")
    each = [told(led(z), "sheath-bend")[0] for z in heights]
    for i, one in enumerate(each):
        row = many.rows.row(i)
        assert row.value == pytest.approx(one.value)
        assert many.rule.words(row) == one.text
    assert len({one.value for one in each}) == 3


def test_where_bends_alone_are_given_the_average_is_judged():
    def rounded(bend_deg: float):
        cable = changed(DRUM, through=(), bend=math.radians(bend_deg))
        (finding,) = told(cable, "sheath-bend")
        return finding

    length = math.dist((-60, 0, 112), (-780, 120, 169)) / 1e3
    assert rounded(180).value == pytest.approx(min(length / math.pi, STRAIGHT))
    assert rounded(0).value == STRAIGHT
    coil = rounded(900)
    assert coil.verdict == "do not fit"
    assert "on the average" in coil.text


def test_where_nothing_is_given_it_is_said_that_it_was_not_judged():
    bare = changed(DRUM, through=())
    assert told(bare, "sheath-bend") == []
    said = unjudged(check(bare, cures=False))
    text = "how sharp a sheath is bent: `sheath_through` not given for `main`"
    assert text in said
    assert text not in unjudged(check(edited(DRUM), cures=False))


@pytest.mark.parametrize(("friction", "rank"), [(0.12, FITS), (0.4, LOOK), (0.6, BAD)])
def test_what_all_bends_cost(friction, rank):
    bend = math.radians(80)
    layout = changed(DRUM, bend=bend, sheath_friction=friction)
    (finding,) = told(layout, "sheath-loss")
    assert finding.value == pytest.approx(math.exp(friction * bend))
    assert finding.outcome.rank == rank
    assert "bends by 80° in all: with" in finding.text
    if rank:
        most = math.degrees(math.log(1.5) / friction)
        assert f"no more than {most:.0f}° of bends" in finding.advised().cure.text


# --- the engine moved ----------------------------------------------------------------


def test_a_sheath_end_on_the_body_beside_a_lever_on_the_engine_is_refused():
    """Where the engine pitches its wire would be pulled; held on the engine it is not."""
    pitch = ('axis = "along" }', 'axis = "across" }')
    layout = edited(DRUM, pitch)
    assert bad(layout) - {"engine-springs"} == set()
    (rock,) = told(layout, "engine-rock")
    assert rock.value == pytest.approx(0.0, abs=1e-6)
    wrong = edited(DRUM, pitch, ('sheath_to_on    = "engine"\n', ""))
    (rock,) = told(wrong, "engine-rock")
    # 200 mm above its axis it goes 10.5 mm along the wire, on a drum of 29 mm, and
    # turns about itself by as much as the engine.
    by = 0.2 * math.sin(math.radians(3)) / 0.029 + math.radians(3)
    assert rock.value == pytest.approx(by, rel=1e-2)
    assert "engine-rock" in bad(wrong)


def test_a_sheath_end_on_the_engine_beside_a_lever_on_the_body_is_refused_too():
    """No shaft is on the engine: its bracket alone pulls the wire."""
    body = ('carries = ["spindle"]\n', "")
    pitch = ('axis = "along" }', 'axis = "across" }')
    wrong = edited(DRUM, body, pitch)
    assert "engine-rock" in bad(wrong)
    held = edited(DRUM, body, pitch, ('sheath_to_on    = "engine"\n', ""))
    assert "engine-rock" not in {f.code for f in found_in(held)}
    assert bad(held) - {"engine-springs", "engine-closing"} == set()
    # By how much is named, and what is not known of the engine too.
    still = edited(DRUM, body, ("lift    = 12\n", ""))
    assert "a lost engine mount: `lift` is not given" in unjudged(
        check(still, cures=False)
    )


def test_a_sheath_that_the_engine_pulls_straight_is_refused():
    layout = edited(DRUM)
    one, two = (np.array(end.point) for end in layout.rods["main"].ends)
    engine = layout.engine

    def spare(roll: int, lift: int, length: float) -> float:
        about, angle = np.array(engine.about), roll * engine.roll
        n = np.array(engine.axis.n)
        away = two - about
        turned = (
            away * math.cos(angle)
            + np.cross(n, away) * math.sin(angle)
            + n * (n @ away) * (1 - math.cos(angle))
        )
        there = about + turned + (0.0, 0.0, lift * engine.lift)
        return length - float(np.linalg.norm(there - one))

    taut = float(np.linalg.norm(two - one))
    moves = [(r, h) for r in (-1, 0, 1) for h in (-1, 0, 1)]
    for more, verdict in ((0.02, "fits"), (0.001, "do not fit")):
        given = changed(DRUM, through=(), sheath_length=taut + more)
        (finding,) = told(given, "sheath-pulled")
        least = min(spare(*move, taut + more) for move in moves)
        assert finding.value == pytest.approx(least, abs=1e-9)
        assert finding.verdict == verdict
    assert "pulled straight, it pulls its wire and opens the throttle" in finding.text
    assert "longer, in a loose bow" in finding.advised().cure.text


def test_a_sheath_on_one_carrier_is_not_asked_and_one_of_no_length_is_named():
    layout = edited(DRUM)
    cable = layout.rods["main"]
    ends = tuple(SheathEnd(point=end.point, on="body") for end in cable.ends)
    one = replace(layout, rods={"main": replace(cable, ends=ends)})
    assert alone(examine(one), "sheath-pulled") == []
    bare = changed(DRUM, through=())
    assert told(bare, "sheath-pulled") == []
    text = "a sheath that the moved engine pulls straight: `sheath_length` not given"
    assert f"{text} for `main`" in unjudged(check(bare, cures=False))


def test_push_pull_cables_are_judged_alike():
    assert {f.verdict for f in told(edited(PUSH), "sheath-bend")} == {"fits"}
    assert {f.verdict for f in told(edited(PUSH), "sheath-pulled")} == {"fits"}


def test_a_sheath_whose_points_are_all_one_is_refused_and_not_a_fault():
    way = "[[-200, 0, 112], [-420, 40, 90], [-640, 110, 120]]"
    edits = (way, "[[-780, 120, 169]]"), ("[-60, 0, 112]", "[-780, 120, 169]")
    found = check(edited("cable-drum", *edits))
    (bend,) = (f for f in found.findings if f.code == "sheath-bend")
    assert (bend.verdict, bend.value) == ("do not fit", 0.0)
    sound = check(edited("cable-drum"))
    assert sound.verdict == "fits"
