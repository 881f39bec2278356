"""What is said of a cable calls it one: no rod, no balls, no bar."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from linkage.comparison import compare
from linkage.errors import LinkageError
from linkage.forces.failures import failures
from linkage.model.called import a_rod, all_rods
from linkage.model.refs import Ref
from linkage.report.cautions import CABLE, CAUTIONS
from linkage.report.compare import compare_lines
from linkage.report.compare_trials import called as left_over
from linkage.report.findings import check_data, check_lines, closing_lines
from linkage.report.screen import screen_lines
from linkage.report.why import why_lines
from linkage.rules import examine
from linkage.rules.by_hand import BY_HAND
from linkage.rules.order import RULES
from linkage.search import check
from tests.unit.edits import TRUCK, edited
from tests.unit.ruled import found_in
from tests.unit.test_rules_cables import changed, told

DRUM, PUSH = "cable-drum", "push-pull-cable"
#: Words that stand in what is told of any layout.
GENERAL = ("neither rods nor carburettor stop",)


def rods_in(text: str) -> list[str]:
    """Return where a text speaks of rods."""
    flat = re.sub(r"\[[a-z-]+\]", "", " ".join(text.split()))
    for words in GENERAL:
        flat = flat.replace(words, "")
    return [
        flat[max(m.start() - 40, 0) : m.end() + 40]
        for m in re.finditer(r"\brods?\b", flat)
    ]


def broken():
    """Return the drum's cable in many ways, so that every sentence is told."""
    layout = edited(DRUM)
    pedal, cable = layout.pedal, layout.rods["main"]
    yield layout
    yield replace(layout, pedal=replace(pedal, stop=None))
    yield replace(layout, pedal=replace(pedal, stop=pedal.travel, travel=0.2))
    yield replace(layout, pedal=replace(pedal, presses=-pedal.presses))
    yield replace(layout, springs={})
    for name in layout.springs:
        yield replace(layout, springs={name: layout.springs[name]})
    for more in (
        {"lost": 0.0},
        {"lost": 0.03},
        {"bend": 6.0},
        {"through": ()},
    ):
        yield replace(layout, rods={"main": replace(cable, **more)})
    for length in (0.01, 0.05, 0.3):
        yield layout.with_arm("spindle.drum", length=length)
        yield layout.with_arm("pedal.cable", length=length)


def every_word(layout) -> str:
    """Return all that a check tells of a layout, or why it cannot be put together."""
    try:
        found = check(layout, cures=False)
    except LinkageError as error:
        return f"{error} {error.hint}"
    told = [*check_lines(found), *screen_lines(found)]
    for finding in found.findings:
        told += [finding.short, finding.where]
        if finding.rule.advice:
            told.append(finding.rule.advice(finding.outcome))
    return "\n".join(told)


@pytest.mark.parametrize("layout", list(broken()), ids=lambda _: "")
def test_no_sentence_of_a_layout_with_cables_alone_speaks_of_rods(layout):
    text = every_word(layout)
    assert "cable" in text
    assert rods_in(text) == []


def test_where_there_are_both_each_is_called_what_it_is():
    found = found_in(edited(PUSH))
    text = "\n".join(f"{f.text}\n{f.short}\n{f.where}" for f in found)
    assert "cable `main`" in text
    assert "rod `link`" in text
    assert "rod `main`" not in text
    assert "cable `link`" not in text
    assert "every rod or cable reaches through the whole travel" in text


def test_rods_alone_are_told_as_before():
    assert "cable" not in "\n".join(check_lines(check(edited(TRUCK), cures=False)))


def test_the_list_tells_free_wire_and_slack():
    found = check(edited(DRUM), cures=False)
    text = " ".join("\n".join(check_lines(found)).split())
    x = found.examined
    one, two = (float(run[0]) * 1e3 for run in x.lines["main"].runs)
    assert (
        f"Cables, free wire with the pedal up: main: {one + two + 1.5:.1f} mm (set by its "
        f"adjuster), 1.5 mm of it slack, {one:.1f} mm at pedal.cable and {two:.1f} mm at "
        "spindle.drum when taut; can only pull, drives from pad"
    ) in text
    assert "Rods, centre to centre" not in text
    push = " ".join("\n".join(check_lines(check(edited(PUSH), cures=False))).split())
    assert "Rods, centre to centre: link: " in push
    assert "at reversing.upper; pulls and pushes" in push


def test_the_screen_tells_rods_and_cables_apart():
    flat = " ".join("\n".join(screen_lines(check(edited(PUSH), cures=False))).split())
    assert (
        "Rods, between joint centres: `link` 219.5 mm; Cables, free wire: `main` 289.1 mm; "
        "pedal stop at 84.0 mm."
    ) in flat
    flat = " ".join("\n".join(screen_lines(check(edited(DRUM), cures=False))).split())
    assert "pedal. Cables" not in flat
    assert " Cables, free wire: `main` 262.3 mm; pedal stop at 82.5 mm." in flat


def test_data_tell_which_is_which():
    rods = check_data(check(edited(PUSH), cures=False))["rods"]
    assert {name: rod["kind"] for name, rod in rods.items()} == {
        "main": "cable",
        "link": "rod",
    }
    assert set(rods["main"]["free_wire_mm"]) == {"pedal.cable", "reversing.upper"}
    total = sum(rods["main"]["free_wire_mm"].values())
    assert rods["main"]["length_mm"] == pytest.approx(total, abs=1e-3)
    assert "sheath_mm" not in rods["link"]


def test_what_is_assumed_of_a_cable_is_its_own():
    bare = changed(DRUM, wire=0.0, sheath_friction=None)
    text = " ".join("\n".join(closing_lines(check(bare, cures=False))).split())
    for words in (
        "nipples of 10 mm: `main`",
        "friction 0.2 in nipples: `main`",
        "friction 0.15 of the wire in its sheath: `main`",
        "bends of the sheath at its given points alone: `main`",
        "wire of 1.5 mm: `main`",
        "wires weighed by their sizes: `main`",
    ):
        assert words in text
    assert "ball" not in text.partition("Cautions")[0]
    assert "bars" not in text
    points = changed(DRUM, through=())
    text = " ".join("\n".join(closing_lines(check(points, cures=False))).split())
    assert "bends of 180° in the sheath: `main`" in text
    given = changed(DRUM, bend=1.2)
    text = " ".join("\n".join(closing_lines(check(given, cures=False))).split())
    assert "bends of" not in text


def test_a_wire_that_jams_is_said_not_to_be_judged_and_cautioned():
    for name, yes in ((DRUM, True), (PUSH, True), (TRUCK, False)):
        data = check_data(check(edited(name), cures=False))
        jams = [w for w in data["not_checked"] if "frays, rusts or jams" in w]
        assert bool(jams) == yes
        assert all(w.endswith("overcomes: `main`") for w in jams)
        assert data["cautions"] == [*CAUTIONS, *([CABLE] * yes)]
        screen = "\n".join(screen_lines(check(edited(name), cures=False)))
        assert ("A jammed wire holds it open" in screen) == yes


def test_what_is_not_given_of_a_push_pull_cable_is_named():
    bare = changed(PUSH, stroke=0.0, push_limit=0.0)
    said = check_data(check(bare, cures=False))["not_checked"]
    assert "the push that a cable bears: `push_limit` not given for `main`" in said
    assert "the stroke of a push-pull cable: `stroke` not given for `main`" in said
    given = check_data(check(edited(PUSH), cures=False))["not_checked"]
    assert not any("not given for" in w for w in given)


# --- failures ------------------------------------------------------------------------


def test_a_sheath_out_of_its_bracket_is_the_wire_parted():
    layout = edited(DRUM)
    (parted,) = (f for f in failures(layout) if f.ref == Ref("rod", "main"))
    assert parted.text == "cable `main` parted"
    assert parted.what == "cable"
    far = replace(layout.springs["near"], arm="pad", shaft="pedal")
    on_pedal = {"near": far, "far": replace(far, name="far")}
    found = found_in(replace(layout, springs=on_pedal))
    text = " ".join(f.text for f in found)
    # Springs at the pedal pull before a cable that lets the plate go.
    assert rods_in(text) == []
    both = edited(PUSH)
    springs = {
        n: replace(s, shaft="reversing", arm="lower") for n, s in both.springs.items()
    }
    found = found_in(replace(both, springs=springs))
    (finding,) = (f for f in found if f.code == "unsprung-if-parted")
    assert finding.verdict == "do not fit"
    shaft = [f for f in failures(both) if f.kind == "shaft"]
    assert "rod `link` and cable `main` with it" in shaft[0].text


def test_if_a_cable_parts_its_sheath_is_named():
    """Springs at the pedal alone shut the plate through a push-pull cable."""
    layout = edited(PUSH)
    rule = next(r for r in RULES if r.code == "unsprung-if-parted")
    parted = next(f for f in failures(layout) if f.what == "cable")
    (outcome,) = rule.judge(examine(layout))
    bare = replace(outcome, rank=2, facts={"bare": {parted: True}})
    assert rule.words(bare).startswith(
        "if the wire of cable `main` parts or its sheath comes out of its bracket: no "
        "spring is left"
    )


# --- elsewhere -----------------------------------------------------------------------


def test_a_comparison_calls_a_cable_a_cable():
    old, new = edited(DRUM), changed(DRUM, lost=0.0005)
    text = "\n".join(compare_lines(compare(old, new), everything=True))
    assert "cable `main` loses 0.5 mm at rest (was 1.5 mm)" in text
    assert rods_in(text) == []


def test_kinds_in_words():
    both = {"a": "rod", "b": "cable"}
    assert (a_rod(both), all_rods(both)) == ("rod or cable", "rods and cables")
    assert (a_rod({}), all_rods({})) == ("rod", "rods")
    assert told(edited(DRUM), "reach")[0].where == "all cables"


@pytest.mark.parametrize("code", ["pedal-drags-hand", "hand-drags-pedal"])
def test_a_cable_from_a_hand_lever_is_called_one(code):
    """What is told of two inputs, their rods taken for cables."""
    layout = edited("hand-and-foot")
    found = [f for f in check(layout, cures=False).findings if f.code == code]
    assert found
    for finding in found:
        kinds = dict.fromkeys(layout.rods, "cable")
        outcome = replace(finding.outcome, kinds=kinds)
        for rank in (0, 1, 2):
            told = replace(outcome, rank=rank)
            text = f"{finding.rule.words(told)} {' '.join(finding.rule.brief(told))}"
            assert rods_in(text.replace(code, "")) == []


def test_a_rule_asked_by_hand_is_called_by_what_the_layout_has():
    """In the reasons and in what is not judged; a name without the word stays."""
    by = {rule.code: rule for rule in BY_HAND}
    assert (
        by["hand-reach"].called_in({"main": "cable"}) == "the reach of cables by hand"
    )
    assert by["hand-reach"].called == "the reach of rods by hand"
    assert by["hand-closing-torque"].called_in({"main": "cable"}).endswith(" by hand")


def test_rules_that_another_silences_are_called_by_what_the_layout_has():
    """Where one is explained, and where a comparison tells what is left."""
    result = check(edited(DRUM), cures=False)
    told = " ".join(" ".join(why_lines(result, "slot-drives")).split())
    assert "slot-drives: cables that lose motion" in told
    assert "the reach of cables [reach]" in told
    layout = result.examined.layout
    assert left_over(["reach"], layout) == "the reach of cables [reach]"
    assert left_over(["reach"], edited(TRUCK)) == "the reach of rods [reach]"
