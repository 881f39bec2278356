"""Cures of what is wrong with the engine moved, each solved again."""

from __future__ import annotations

import pytest

from linkage.rules.order import RULES
from linkage.search.sources import SOURCES
from tests.unit.cured import bad_places, searched
from tests.unit.edits import TRUCK, edited
from tests.unit.test_rules_moved import engine, sprung, weak


def test_every_kind_of_change_that_a_rule_names_is_there():
    assert {kind for rule in RULES for kind in rule.cures} <= set(SOURCES)


@pytest.mark.parametrize("layout", [sprung("body", free=0.095), weak("body")])
def test_springs_that_the_moved_engine_slackens_go_on_the_engine(layout):
    findings, plan = searched(layout)
    told = {f.cure.text for f in findings if f.verdict == "do not fit"}
    assert all(f.cure.proven for f in findings if f.verdict == "do not fit")
    assert any(
        "anchor spring `near` on the engine instead of the body" in t for t in told
    )
    assert not bad_places(plan.layout)


def test_a_spring_that_is_overstretched_with_the_engine_sunk_is_anchored_nearer():
    findings, plan = searched(sprung("body", free=0.082, over=0.108))
    assert not bad_places(plan.layout)
    for f in findings:
        if f.code == "engine-springs" and f.verdict == "do not fit":
            assert f.cure.proven
            assert f.cure.text.startswith(
                f"move the anchor of {f.where.split(',')[0]}".replace(
                    "spring ", "spring `"
                )
                + "` by 1 mm"
            )


def test_a_rod_that_tears_with_a_mount_gone_asks_for_a_catch():
    findings, plan = searched(edited(TRUCK, engine('lift = "250 mm"')))
    assert "fit a chain or strap that catches the engine" in plan.text
    assert not bad_places(plan.layout)
    assert all(f.cure.proven for f in findings if f.verdict == "do not fit")
