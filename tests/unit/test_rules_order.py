"""The rules as objects: how one is added, and what is refused in a list of them."""

from __future__ import annotations

import ast
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

import linkage.rules
from linkage.config.starters import starters
from linkage.model import LIMIT_ROWS, Heat, Limits
from linkage.model.columns import column, most
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules import Outcome, Rule, Silence, examine, judge
from linkage.rules.governor_words import GOVERNED
from linkage.rules.order import GRAVEST, RULES, consistent
from linkage.rules.rule import SHUT, ranked
from tests.slides import slid_layout
from tests.unit.compared import car
from tests.unit.edits import TRUCK, edited
from tests.unit.ruled import found_in, rule


def _far(x):
    """A throw-away rule: no shaft but the pedal's turns by more than a limit."""
    limit = x.layout.limits.dead_centre * 5
    for name in list(x.layout.shafts)[1:]:
        value = most(np.abs(x.motion.turns[name]))
        yield Outcome(
            about=Ref("shaft", name),
            rank=ranked(value <= limit),
            value=value,
            limit=limit,
            kind="angle",
            at=x.working.end,
        )


FAR = Rule(
    code="turns-far",
    judge=_far,
    words=lambda o: f"{o.about} turns {say(o.value, 'angle')}",
    meaning="No shaft turns by more than five margins of a dead centre.",
    limits=("dead_centre",),
    silenced_by=(SHUT,),
)


def test_a_new_rule_is_one_object_that_judges_rows_at_once():
    """As told in DEVELOPERS.md: nothing else has to know of it."""
    layout = edited(TRUCK)
    lengths = column(
        layout.shafts["spindle"].arms["lever"].length * np.array([1.0, 1.4])
    )
    many = layout.with_arm("spindle.lever", length=lengths)
    rules = (*RULES, FAR)
    judged = judge(examine(many), rules=rules)
    place = ("turns-far", Ref("shaft", "spindle"), ())
    assert judged.ranks[place].tolist() == [2, 0]
    found = judged.finding(place, 0)
    assert re.fullmatch(r"spindle turns \d+\.\d°", found.text)
    assert found.where.startswith("spindle, at pad ")
    assert found.record()["verdict"] == "do not fit"
    alone = judge(examine(edited(TRUCK)), rules=rules).findings()
    assert [f.verdict for f in alone if f.code == "turns-far"] == ["do not fit"]


def test_a_new_rule_is_silenced_as_it_says():
    layout = edited(TRUCK)
    shut = layout.throttles["throttle"]
    wrong = replace(layout, throttles={"throttle": replace(shut, opens=-shut.opens)})
    found = judge(examine(wrong), rules=(*RULES, FAR)).findings()
    assert "opening-sense" in {f.code for f in found if f.verdict == "do not fit"}
    assert "turns-far" not in {f.code for f in found}


def test_what_is_not_told_but_silences_is_known_to_silence():
    """A change that only makes another rule silent has mended nothing."""
    layout = edited(TRUCK)
    ref = Ref("shaft", "spindle")
    other = Ref("shaft", "pedal")

    def hidden(_):
        yield Outcome(about=ref, rank=2, told=False)

    unheard = replace(FAR, code="unheard", judge=hidden, limits=(), silenced_by=())
    quiet = replace(FAR, silenced_by=(Silence(by="unheard", same=True),))
    judged = judge(examine(layout), rules=(*RULES, unheard, quiet))
    codes = {p[0] for p in judged.ranks if p[1] == ref}
    assert not {"unheard", "turns-far"} & codes
    assert judged.silenced(quiet, ref, ()).tolist() == [True]
    assert judged.silenced(quiet, other, ()).tolist() == [False]


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"limits": ("dead_center",)}, "there is no limit `dead_center`"),
        ({"silenced_by": (Silence(by="opening"),)}, "there is no rule `opening`"),
        ({"code": "reach"}, "two rules have one code"),
        ({"silenced_by": (Silence(by="turns-far"),)}, "silence each other"),
    ],
)
def test_a_rule_that_names_what_is_not_there_is_refused(change, told):
    with pytest.raises(ValueError, match=re.escape(told)):
        consistent((*RULES, replace(FAR, **change)))


def test_a_limit_that_no_rule_reads_is_refused():
    fewer = tuple(r for r in RULES if "tip_in" not in r.limits)
    with pytest.raises(ValueError, match="no rule reads the limit `tip_in`"):
        consistent(fewer)


class Watched(Limits):
    """Limits that remember which of them were read."""

    read: set[str] = set()  # noqa: RUF012 - cleared by the test

    def __getattribute__(self, name):
        if name in LIMIT_ROWS:
            Watched.read.add(name)
        return super().__getattribute__(name)


#: The layout with a slide (`tests.slides`).
SLID = "slide between two rods"
#: A layout with a hand lever of whose heat something is told.
WARM = "hand-and-foot, warm"
EVERY = (*RULES, *GOVERNED)
#: Layouts between which every rule but a few has something to say.
SPEAKING = (
    *("bulkhead-cross-shaft", "cable-drum", "push-pull-cable", "hand-and-foot"),
    "choke-fast-idle",
    *("progressive-row", "kickdown-branch", "diesel-pump-lever", "governed-engine"),
    SLID,
    "cam-roller",
    "under-a-bonnet",
    WARM,
)
#: Those few: no spring's wire is given, and those of cables and slides to the hand or a governor
#: are as those to a pedal.
SILENT = (
    {"spring-stress", "governor-own-gap"}
    | {
        "governor-" + code
        for code in (
            *("cable-stroke", "nipple-room", "sheath-bend", "sheath-loss"),
            *("spring-stress", "guide-jam", "guide-room", "gap", "touched-at-rest"),
        )
    }
    | {
        f"hand-{code}"
        for code in (
            *(
                "drum-covered",
                "drum-unwound",
                "nipple-room",
                "sheath-loss",
                "mount-gone",
            ),
            *("cable-slack", "sheath-bend", "sheath-pulled", "wire-strength"),
            *("spring-hand", "spring-line", "spring-overstretched", "spring-slack"),
            *(
                "spring-stress",
                "spring-stretch",
                "guide-jam",
                "guide-room",
                "gap",
                "own-gap",
            ),
        )
    }
)


def _car(name):
    if name == WARM:
        layout = car("hand-and-foot")
        heat = Heat(held=(0.0, 0.0, 0.0), block="cast iron")
        return replace(layout, heat=heat)
    return slid_layout() if name == SLID else car(name)


@cache
def speaks_in() -> dict[str, str]:
    """Return by code of a rule a layout of which it has something to say."""
    found = {}
    for name in SPEAKING:
        x = examine(_car(name))
        for one in GOVERNED if x.layout.governed else RULES:
            if one.code not in found and any(True for _ in one.judge(x)):
                found[one.code] = name
    return found


def test_every_rule_but_a_few_is_watched_while_it_speaks():
    assert {one.code for one in EVERY} - set(speaks_in()) == SILENT


@pytest.mark.parametrize("asked", EVERY, ids=lambda one: one.code)
def test_a_rule_reads_no_limit_but_those_it_names(asked):
    layout = _car(speaks_in().get(asked.code, SPEAKING[0]))
    x = examine(replace(layout, limits=Watched()))
    pulled = x.by_hand or x
    y = pulled if asked.hand else x
    _ = x.rows, pulled.rows  # of which any number may be a column
    if asked.needs == "forces":
        _ = y.forces.statics.pad_force_pressing, y.forces.rods, y.forces.returns
        _ = y.forces.falls
    if asked.needs == "rock" or "engine-" in asked.code:  # asked once, of all
        list(rule("engine-closing").judge(y))
    if "heat-" in asked.code:  # grown once, all of the layout with it
        list(asked.judge(x))
    Watched.read.clear()
    for outcome in asked.judge(x):
        assert outcome.row(0).facts is not None
    assert Watched.read <= set(asked.limits)


def test_nothing_in_the_rules_takes_names_out_of_sentences():
    for path in Path(linkage.rules.__file__).parent.glob("*.py"):
        calls = {
            node.func.attr
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)
        }
        assert not calls & {"startswith", "endswith", "removeprefix", "split"}, (
            path.name
        )


def test_a_rule_refuses_just_where_its_verdicts_say_so():
    for one in RULES:
        assert one.refuses == ("do not fit" in one.verdicts), one.code


def test_every_rule_has_a_name_and_a_short_sentence_of_its_own():
    assert len({rule.called for rule in RULES}) == len(RULES)
    for one in RULES:
        assert one.name
        assert one.short is not None
        assert one.code not in one.name or "-" not in one.code
        assert (one.task is None) == (one.advice is None)


def test_every_rule_that_refuses_has_its_place_among_the_gravest():
    assert len(set(GRAVEST)) == len(GRAVEST)
    assert set(GRAVEST) == {rule.code for rule in RULES if rule.refuses}


@pytest.mark.parametrize("name", starters())
def test_short_sentences_are_short_and_end_where_a_code_may_follow(name):
    for finding in found_in(car(name)):
        assert finding.short.startswith(finding.clause)
        assert len(finding.clause) <= 100, finding.short
        assert len(finding.short) <= 170, finding.short
        assert not finding.short.endswith((".", ":", " "))
        assert finding.code not in finding.short or "-" not in finding.code
