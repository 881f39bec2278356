"""Changes of rods that lose motion: each mends what it is for, and nothing sound.

Each fault is a line added to a shipped layout; the cure is found by the whole check,
and its layout is checked anew.
"""

from __future__ import annotations

import numpy as np
import pytest

from linkage.config import dump, edit, load, loads
from linkage.config.chosen import chosen_arms
from linkage.model.rows import row
from linkage.motion import assemble
from linkage.rules import examine, judge
from linkage.search import check
from linkage.search.arm import size_arms
from linkage.search.at_rest import lost_at_rest, lost_known
from linkage.search.family import stacked
from linkage.search.lost_motion import lost_otherwise, other_ways, slots_longer
from linkage.search.said import new_parts, parts_of, said
from linkage.search.sources import families
from linkage.shown_units import speak_in
from linkage.spoken import say_rod
from tests.cli.conftest import CONFIGS
from tests.unit.edits import STOP, TO, TRUCK, edited

#: The engine rolls and rises, the pedal goes further, as a slot takes some of it.
LIFT = ("[engine]", '[engine]\nlift = "20 mm"')
FURTHER = (("travel = 76", "travel = 90"), (STOP, "stop = 80\n"))


def truck(keys, *edits):
    """Return the truck with more to say of its rod."""
    return edited(TRUCK, (TO, f"{TO}\n{keys}"), *edits)


def bad(found):
    return {f.code for f in found.reasons}


def mended(layout, code):
    """Return the cure of one finding, which the whole check then proves."""
    found = check(layout)
    (finding,) = [f for f in found.findings if f.code == code and f.verdict != "fits"]
    assert finding.cure.proven, finding.cure.text
    again = check(loads(dump(finding.cure.layout)).layout, cures=False)
    assert code not in {f.code for f in again.findings if f.verdict != "fits"}
    assert bad(again) <= bad(found) - {code}
    return finding.cure


@pytest.mark.parametrize("keys", ["slot = 30\nlost = 12", "slot = 30\nlength = 443.6"])
def test_a_rod_that_loses_too_much_is_set_to_lose_less(keys):
    cure = mended(truck(keys), "full-throttle")
    assert cure.steps[0].startswith("set rod `link` so that it ")
    assert "where it lost 12.0 mm" in cure.text or "instead of 12.0 mm" in cure.text
    after = assemble(loads(dump(cure.layout)).layout)
    assert lost_at_rest(after)["link"] < 0.005
    size = say_rod(after.loop("link").length)
    assert (
        f"set rod `link` to {size} from the joint at `pedal.rod` to the pin at the "
        "outer end of its slot" in cure.steps
    )


def test_pad_travel_that_a_slot_takes_is_given_back():
    layout = truck("slot = 30\nlost = 4", *FURTHER)
    assert not bad(check(layout, cures=False))
    assert "so that it" in mended(layout, "lost-travel").text


def test_a_pin_that_an_engine_drives_out_of_its_slot_gets_more_of_it():
    """The rod may not be set to lose less: only a longer slot is left."""
    layout = truck("slot = 4\nlost = 4", LIFT, *FURTHER)
    found = check(layout, cures=False)
    assert bad(found) == {"engine-senses", "engine-rock", "mount-gone"}
    assembly = assemble(layout)
    (family,) = slots_longer(assembly, ["link"])
    assert family.sets["rods", "link", "slot"][:3] == pytest.approx(
        [0.005, 0.006, 0.007]
    )
    mends = [
        i
        for i in range(family.size)
        if not bad(check(stacked([family]).one(i), cures=False))
    ]
    assert mends
    assert mends == list(range(mends[0], family.size))  # longer is no harm
    text = said(family.step(mends[0]))
    assert text.startswith("make the slot of rod `link`")
    assert text.endswith("long instead of 4.0 mm, longer at its inner end")
    kinds = {
        f.step(0).kind
        for finding in found.reasons
        for f in families(examine(layout), finding)
    }
    assert {"slot longer", "rod lost"} <= kinds
    for code in bad(found) - {"mount-gone"}:
        assert "rod `link`" in mended(layout, code).text


def test_a_rod_that_cannot_do_what_it_must_is_made_one_that_can():
    layout = truck('only = "push"')
    assert "slot-drives" in bad(check(layout, cures=False))
    cure = mended(layout, "slot-drives")
    assert cure.steps[0] == (
        "make rod `link` one that can pull: a chain, a wire or an open hook instead of "
        "a rod in a cup"
    )
    assert cure.layout.rods["link"].only == "pull"
    assert check(layout).plan.steps[0] == cure.steps[0]


@pytest.mark.parametrize("keys", ["slot = 30\nlost = 0.2", 'only = "pull"\nlost = 0.2'])
def test_a_sound_layout_gets_none(keys):
    found = check(truck(keys))
    assert found.verdict == "fits", bad(found)
    assert found.plan is None
    assert not any(f.cure for f in found.findings)


def test_a_fixed_rod_is_neither_set_nor_made_anew():
    layout = truck("slot = 30\nlength = 443.6\nfixed = true")
    found = check(layout)
    (finding,) = [f for f in found.reasons if f.code == "full-throttle"]
    kinds = {f.step(0).kind for f in families(found.examined, finding)}
    assert not kinds & {"slot longer", "rod lost", "rod way"}
    if finding.cure is not None and finding.cure.layout is not None:
        assert finding.cure.layout.rods["link"] == found.examined.layout.rods["link"]


def test_each_takes_the_parts_that_it_takes():
    pushes = truck('only = "push"\nlost = 2')
    steps = [
        *(f.step(0) for f in slots_longer(assemble(truck("slot = 9")), ["link"])),
        *(f.step(0) for f in lost_otherwise(pushes, ["link"])),
        *(f.step(0) for f in other_ways(pushes, ["link"])),
    ]
    assert [s.kind for s in steps] == ["slot longer", "rod lost", "rod way"]
    assert [new_parts(s) for s in steps] == [1, 0, 1]
    assert parts_of(steps) == 2


def test_what_is_lost_goes_from_nothing_to_the_whole_slot():
    (family,) = lost_otherwise(truck("slot = 10\nlost = 3"), ["link"])
    values = family.sets["rods", "link", "lost"]
    assert values.min() == 0
    assert values.max() == pytest.approx(0.010)
    assert not np.isclose(values, 0.003).any()
    assert family.effort.argmin() in {5, 6}  # the least change takes the least
    words = {said(family.step(i)) for i in (0, 1)}
    assert words == {
        "set rod `link` so that it drives at once, where it lost 3.0 mm at rest",
        "set rod `link` so that it loses 0.5 mm at rest instead of 3.0 mm",
    }
    (none,) = lost_otherwise(truck("slot = 10"), ["link"])
    assert said(none.step(0)) == (
        "set rod `link` so that it loses 0.5 mm at rest before it drives"
    )


def test_slots_are_made_in_the_steps_of_the_rule_at_hand():
    layout = truck("slot = 9")
    speak_in({"length": "in"})
    try:
        (family,) = slots_longer(assemble(layout), ["link"])
        words = said(family.step(0))
    finally:
        speak_in({})
    assert "0.375 in (3/8) long" in words
    sixteenths = family.sets["rods", "link", "slot"] / 0.0254 * 16
    np.testing.assert_allclose(sixteenths, np.round(sixteenths), atol=1e-9)
    assert sixteenths[0] == pytest.approx(6)  # 9.5 mm


def test_a_slot_never_gets_as_long_as_its_rod():
    layout = truck("slot = 425")
    (family,) = slots_longer(assemble(layout), ["link"])
    assert family.sets["rods", "link", "slot"].max() < assemble(layout).loops[0].length


def test_rows_are_judged_as_each_alone():
    layout = truck("slot = 20\nlost = 8")
    some = stacked(
        [
            *lost_otherwise(layout, ["link"]),
            *slots_longer(assemble(layout), ["link"]),
        ]
    )
    rows = np.arange(0, len(some.effort), 17)
    whole = judge(examine(some.layout(rows)))
    for k, i in enumerate(rows.tolist()):
        alone = judge(examine(some.one(i)))
        assert {p: int(r[k]) for p, r in whole.ranks.items() if whole.told[p][k]} == {
            p: int(r[0]) for p, r in alone.ranks.items() if alone.told[p][0]
        }


def test_a_rod_of_given_length_says_what_it_loses_and_goes_on_to_lose_it():
    given = truck("slot = 30\nlength = 443.6")
    known = lost_known(given)
    lost = known.rods["link"].lost
    assert lost == pytest.approx(0.012, abs=5e-5)
    assert known.rods["link"].length == given.rods["link"].length
    cut = known.with_rod("link", None)
    assert assemble(cut).loops[0].length == pytest.approx(0.4436)
    assert assemble(given.with_rod("link", None)).loops[0].length != pytest.approx(
        0.4436
    )
    # The file says it once.
    assert "lost" not in dump(known)
    assert "lost" in dump(cut)
    assert loads(dump(known)).layout.rods["link"].length == pytest.approx(0.4436)


def test_what_needs_no_telling_stays_the_very_layout():
    for keys in ("slot = 30\nlost = 4", "length = 431.6", 'only = "pull"'):
        layout = truck(keys)
        assert lost_known(layout) is layout
    apart = truck("slot = 3\nlength = 443.6")  # beyond its slot
    assert lost_known(apart) is apart


def test_a_rod_that_holds_the_lever_open_is_set_to_lose_nothing():
    layout = truck("slot = 30\nlength = 428")
    assert lost_known(layout).rods["link"].lost == 0
    found = check(layout)
    assert "idle" in bad(found)
    after = check(row(found.plan.layout, 0), cures=False)
    assert not bad(after)


@pytest.mark.parametrize("keys", ["slot = 30\nlost = 2", "slot = 30\nlength = 433.6"])
def test_arms_are_chosen_for_a_rod_that_goes_on_to_lose_what_it_lost(keys):
    layout = truck(keys, *FURTHER)
    lost = lost_at_rest(assemble(layout))["link"]
    sizing = size_arms(layout, {"spindle.lever": np.arange(0.026, 0.036, 0.001)})
    assert sizing.chosen is not None
    for chosen in (sizing.best.layout, sizing.best.written):
        assert lost_at_rest(assemble(chosen))["link"] == pytest.approx(lost, abs=1e-6)
    assert not bad(check(loads(dump(sizing.best.written)).layout, cures=False))
    for i in (0, 4, 9):  # rows as each alone
        row_, alone = sizing.rows[i], check(sizing.rows[i].layout, cures=False)
        assert row_.fits == (not bad(alone))
        assert row_.throttle_share == pytest.approx(alone.examined.throttle_share)
        assert row_.rods["link"] == pytest.approx(
            alone.examined.assembly.loops[0].length
        )


def test_the_file_gets_the_new_length_of_a_rod_that_loses_motion(tmp_path):
    text = (CONFIGS / f"{TRUCK}.toml").read_text(encoding="utf-8")
    for keys in ("slot = 30\nlost = 2", "slot = 30\nlength = 433.6"):
        file = tmp_path / "car.toml"
        file.write_text(text.replace(TO, f"{TO}\n{keys}"), encoding="utf-8")
        loaded = load(file)
        sizing = size_arms(loaded.layout, {"spindle.lever": [0.030]})
        row_ = sizing.rows[0]
        edits = chosen_arms(loaded, row_.written, row_.holes, row_.rods)
        again = loads(edit(text.replace(TO, f"{TO}\n{keys}"), edits)).layout
        assert ("rods", "link", "length") in edits or "lost" in keys
        assert lost_at_rest(assemble(again))["link"] == pytest.approx(
            lost_at_rest(assemble(loaded.layout))["link"], abs=1e-6
        )
