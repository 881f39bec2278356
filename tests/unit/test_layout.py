"""The layout as data: what it refuses, and how rods hang from the pedal."""

from __future__ import annotations

import math
from dataclasses import FrozenInstanceError, replace

import pytest

from linkage.errors import LayoutError
from linkage.model import (
    LIMIT_ROWS,
    Engine,
    Hole,
    Limits,
    Rod,
    Spring,
    Stop,
    Throttle,
    parallel,
)
from tests.build import arm, hauler, hole, rod, shaft, tree


def refused(match: str, make) -> LayoutError:
    with pytest.raises(LayoutError, match=match) as caught:
        make()
    assert caught.value.hint
    return caught.value


def test_links_run_from_the_pedal_whatever_the_order_of_the_file():
    layout = hauler()
    rods = {
        "last": replace(layout.rods["last"], start=hole("spindle.lever"), end=hole("cross shaft.outer")),
        "first": layout.rods["first"],
    }  # fmt: skip
    again = replace(layout, rods=rods)
    assert [(k.rod.name, str(k.driver), str(k.driven)) for k in again.links] == [
        ("first", "pedal.rod", "cross shaft.inner"),
        ("last", "cross shaft.outer", "spindle.lever"),
    ]


def branched():
    """A kickdown lever and a second carburettor hang from the cross shaft."""
    layout = hauler()
    shafts = {
        **layout.shafts,
        "second": shaft("second", (264, -100, 120), "across", arm("lever", 34, -38)),
        "kick": shaft("kick", (64, -100, 20), "across", arm("lever", 40, 0)),
    }
    rods = {
        **layout.rods,
        "twin": rod("twin", "spindle.spring", "second.lever"),
        "kick": rod("kick", "cross shaft.outer", "kick.lever"),
    }
    kick = Throttle(name="kick", shaft="kick", opens=1, swing=0.5, kind="kickdown")
    return replace(
        layout, shafts=shafts, rods=rods, throttles={"kick": kick, **layout.throttles}
    )


def test_branches_and_the_main_plate():
    layout = branched()
    assert layout.main.name == "throttle"
    assert [k.rod.name for k in layout.path_to("second")] == ["first", "last", "twin"]
    assert [k.rod.name for k in layout.path_to("kick")] == ["first", "kick"]
    assert layout.path_to("pedal") == ()


def test_changed_copies_leave_the_first_as_it_was():
    layout = hauler()
    other = layout.with_arm(hole("spindle.lever"), length=0.05)
    assert other.shafts["spindle"].arms["lever"].length == 0.05
    assert layout.shafts["spindle"].arms["lever"].length == 0.034
    assert layout.with_rod("last", 0.2).rods["last"].length == 0.2
    assert layout.with_rod("last", 0.2).with_rod("last", None) == layout


def test_parts_are_found_by_what_they_are():
    layout = branched()
    assert [t.name for t in layout.plates] == ["throttle"]
    assert layout.throttle_on("spindle").name == "throttle"
    assert layout.throttle_on("cross shaft") is None
    assert layout.pad_radius == layout.shafts["pedal"].arms["pad"].length
    (first, *_) = layout.links
    assert [str(h) for h in first.holes] == [str(first.driver), str(first.driven)]


def test_a_pedal_stop_beyond_the_floor_is_never_met():
    pedal = hauler().pedal
    for stop, end, name in (
        (None, pedal.travel, "floor"),
        (pedal.travel - 0.01, pedal.travel - 0.01, "pedal stop"),
        (pedal.travel + 0.01, pedal.travel, "floor"),
    ):
        changed = replace(pedal, stop=stop)
        assert (changed.end, changed.end_name) == (end, name)


def test_parts_are_frozen():
    with pytest.raises(FrozenInstanceError):
        hauler().title = "other"


def test_pin_is_where_the_drawing_says():
    """Across, seen from the right: u forward, v up, offset toward the right."""
    s = shaft("s", (10, 20, 30), "across", arm("a", 100, 90, 5))
    assert s.pin("a") == pytest.approx((0.010, 0.015, 0.130))
    assert s.pin("a", -math.pi / 2) == pytest.approx((0.110, 0.015, 0.030))


@pytest.mark.parametrize("length", [0.0, -1.0, math.nan, math.inf])
def test_length_must_be_positive(length):
    error = refused(
        "more than zero", lambda: shaft("s", (0, 0, 0), "across", arm("a", length, 0))
    )
    assert error.key == ("shafts", "s", "arms", "a", "length")


def test_numbers_must_be_finite():
    refused(
        "a pivot must be finite",
        lambda: shaft("s", (0, math.nan, 0), "across", arm("a", 1, 0)),
    )
    refused(
        "an angle must be finite",
        lambda: shaft("s", (0, 0, 0), "across", arm("a", 1, math.inf)),
    )
    refused(
        "an offset must be finite",
        lambda: shaft("s", (0, 0, 0), "across", arm("a", 1, 0, math.nan)),
    )


def test_rod_sizes():
    error = refused("a rod's length", lambda: rod("r", "a.b", "c.d", 0))
    assert error.key == ("rods", "r", "length")
    error = refused(
        "bore of a tube", lambda: rod("r", "a.b", "c.d", diameter=0.006, bore=0.006)
    )
    assert error.key == ("rods", "r", "bore")
    assert rod("r", "a.b", "c.d", diameter=0.006, bore=0.004).bore == 0.004


def test_pedal_sizes():
    refused("pedal's travel", lambda: hauler(travel_mm=0))
    refused("pedal stop", lambda: hauler(pedal={"stop": -0.01}))
    refused("free play", lambda: hauler(pedal={"free_play": 0.075}))
    refused("free play", lambda: hauler(pedal={"free_play": -0.001}))
    assert hauler(pedal={"stop": 0.05}).pedal.end == 0.05
    assert hauler(pedal={"stop": 0.5}).pedal.end == 0.075


def test_throttle_sizes():
    common = {"name": "throttle", "shaft": "spindle", "opens": 1}
    error = refused("swing must be more", lambda: Throttle(**common, swing=0))
    assert error.key == ("throttle", "swing")
    refused("less than half a turn", lambda: Throttle(**common, swing=3.2))
    refused(
        "thinner than the bore",
        lambda: Throttle(**common, swing=1, bore=0.03, spindle=0.03),
    )
    for angle in (-0.01, math.radians(90)):
        error = refused(
            "closed plate angle",
            lambda at=angle: Throttle(**common, swing=1, closed_angle=at),
        )
        assert error.key == ("throttle", "closed_angle")
    error = refused("swing", lambda: Throttle(**{**common, "name": "left"}, swing=-1))
    assert error.key == ("throttles", "left", "swing")


@pytest.mark.parametrize(
    ("change", "match", "key"),
    [
        ({"pedal": {"shaft": "padel"}}, "no shaft `padel`", ("pedal", "shaft")),
        ({"pedal": {"pad": "pat"}}, "has no arm `pat`", ("pedal", "pad")),
    ],
)
def test_unknown_names_in_the_pedal(change, match, key):
    layout = hauler()
    error = refused(
        match, lambda: replace(layout, pedal=replace(layout.pedal, **change["pedal"]))
    )
    assert error.key == key
    assert "did you mean" in error.hint


def test_unknown_names_elsewhere():
    layout = hauler()
    last = layout.rods["last"]
    for field, key in (("start", "from"), ("end", "to")):
        bad = {**layout.rods, "last": replace(last, **{field: hole("spindel.lever")})}
        error = refused("no shaft `spindel`", lambda bad=bad: replace(layout, rods=bad))
        assert error.key == ("rods", "last", key)
        assert error.hint == "did you mean `spindle`?"
    stop = {"s": Stop(name="s", shaft="nothing", turn=1.0)}
    assert refused("no shaft", lambda: replace(layout, stops=stop)).key == (
        "stops",
        "s",
        "shaft",
    )
    hooked = {
        "m": Spring(name="m", kind="extension", shaft="spindle", arm="spring hook")
    }
    assert refused("no arm", lambda: replace(layout, springs=hooked)).key == (
        "springs",
        "m",
        "hook",
    )
    torsion = {"m": Spring(name="m", kind="torsion", shaft="spindel")}
    assert refused("no shaft", lambda: replace(layout, springs=torsion)).key == (
        "springs",
        "m",
        "shaft",
    )
    engine = Engine(carries=("spindle", "block"))
    assert refused("no shaft `block`", lambda: replace(layout, engine=engine)).key == (
        "engine",
        "carries",
    )
    main = {"left": replace(layout.main, name="left", shaft="spindel")}
    assert refused("no shaft", lambda: replace(layout, throttles=main)).key == (
        "throttles",
        "left",
        "shaft",
    )
    main = {"throttle": replace(layout.main, shaft="spindel")}
    assert refused("no shaft", lambda: replace(layout, throttles=main)).key == (
        "throttle",
        "shaft",
    )
    kick = {"k": Throttle(name="k", shaft="spindle", opens=1, swing=1, kind="kickdown")}
    assert refused(
        "no throttle plate", lambda: replace(layout, throttles=kick)
    ).key == ("throttle",)


@pytest.mark.parametrize("kind", ["extension", "compression", "measured"])
def test_a_spring_without_a_hook_is_refused_but_of_torsion(kind):
    error = refused(
        "spring `m` needs a hook", lambda: Spring(name="m", kind=kind, shaft="spindle")
    )
    assert error.key == ("springs", "m", "hook")
    assert not Spring(name="m", kind="torsion", shaft="spindle").arm


def test_good_names_elsewhere_are_taken():
    layout = hauler(
        stops={"s": Stop(name="s", shaft="spindle", turn=1.0)},
        springs={
            "a": Spring(name="a", kind="extension", shaft="spindle", arm="spring"),
            "b": Spring(name="b", kind="torsion", shaft="spindle"),
        },
        engine=Engine(carries=("spindle",)),
    )
    assert set(layout.springs) == {"a", "b"}


def test_two_rods_cannot_drive_one_shaft():
    layout = hauler()
    rods = {**layout.rods, "third": rod("third", "pedal.pad", "spindle.spring")}
    error = refused("drives shaft `spindle`", lambda: replace(layout, rods=rods))
    assert error.key == ("rods", "third", "to")
    assert "loop" in error.hint


def test_rod_on_one_shaft_joins_nothing():
    layout = hauler()
    rods = {**layout.rods, "third": rod("third", "spindle.lever", "spindle.spring")}
    refused("same shaft `spindle`", lambda: replace(layout, rods=rods))


def test_loose_shaft_with_and_without_a_rod():
    layout = hauler()
    error = refused(
        "`cross shaft` is not connected",
        lambda: replace(layout, rods={"last": layout.rods["last"]}),
    )
    assert "rod `last` leads to it" in error.hint
    error = refused(
        "`spindle` is not connected",
        lambda: replace(layout, rods={"first": layout.rods["first"]}),
    )
    assert "add a rod" in error.hint
    assert error.key == ("shafts", "spindle")


def test_pivot_on_pivot():
    layout = hauler()
    spindle = replace(
        layout.shafts["spindle"], pivot=layout.shafts["cross shaft"].pivot
    )
    error = refused(
        "the same pivot",
        lambda: replace(layout, shafts={**layout.shafts, "spindle": spindle}),
    )
    assert error.key == ("shafts", "spindle", "pivot")


@pytest.mark.parametrize(("on", "end"), [("pedal", "from"), ("spindle", "to")])
def test_pin_on_the_other_shafts_line(on, end):
    """The pin may lie anywhere along the other's centre line."""
    pedal = shaft(
        "pedal", (0, 0, 0), "across", arm("pad", 200, -90), arm("rod", 100, 0, 30)
    )
    spindle = shaft("spindle", (150, 50, 0), "across", arm("lever", 40, 90))
    if on == "pedal":
        spindle = replace(spindle, pivot=(0.1, 0.05, 0.0))
    else:
        spindle = shaft("spindle", (40, 50, 0), "across", arm("lever", 40, 180))
    error = refused(
        "lies on the centre line",
        lambda: tree(
            [pedal, spindle], [rod("r", "pedal.rod", "spindle.lever")], travel_mm=50
        ),
    )
    assert error.key == ("rods", "r", end)


def test_parallel_shafts():
    layout = hauler()
    pedal, spindle = layout.shafts["pedal"], layout.shafts["spindle"]
    assert parallel(pedal, spindle)
    assert not parallel(pedal, shaft("s", (0, 0, 0), "along", arm("a", 1, 0)))


def test_limits_are_the_rows_of_the_table():
    for name, row in LIMIT_ROWS.items():
        assert getattr(Limits(), name) == row.default
        assert row.meaning
        assert row.source
    assert set(Limits.__dataclass_fields__) == set(LIMIT_ROWS)
    assert Limits().changed() == {}
    changed = Limits(dead_centre=0.3).changed()
    assert changed == {"dead_centre": (0.3, math.radians(15))}


def test_hole_is_written_as_in_the_file():
    assert str(Hole(shaft="cross shaft", arm="inner")) == "cross shaft.inner"
    assert Rod(name="r", start=hole("a.b"), end=hole("c.d")).joints == ("ball", "ball")
