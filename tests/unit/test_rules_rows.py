"""Rules over rows: the same findings, to the last word, as each layout alone."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.config import load
from linkage.config.starters import starters
from linkage.errors import LinkageError
from linkage.model import stack
from linkage.model.columns import column
from linkage.model.rows import row, rows_of
from linkage.rules import examine, judge
from linkage.rules.play import play_loss
from linkage.rules.rule import BAD, LOOK
from tests.build import hauler, hole

#: Layouts of every kind: twins, jams, crossed springs, a rocking engine.
NAMES = (
    "twin-side-draught",
    "fault-engine-rock",
    "fault-spring-over-spindle",
    "fault-spring-wrong-hand",
    "bulkhead-cross-shaft",
    "progressive-row",
    "kickdown-branch",
    "hand-and-foot",
    "cable-drum",
    "push-pull-cable",
    "governed-engine",
)


def lever_rows(name, count=8):
    """Shorten, lengthen and turn the last lever: from wrong sense to jam."""
    layout = load(starters()[name].path).layout
    link = layout.links[-1]
    arm = layout.shafts[link.driven.shaft].arms[link.driven.arm]
    lengths = column(arm.length * np.linspace(0.6, 1.5, count))
    angles = column(arm.angle + np.linspace(-1.5, 1.0, count))
    many = layout.with_arm(link.driven, length=lengths, angle=angles)
    return many.with_rod(link.rod.name, None)


@pytest.mark.parametrize("name", NAMES)
def test_rows_are_judged_as_each_layout_alone(name):
    many = lever_rows(name)
    judged = judge(examine(many))
    verdicts = set()
    for i in range(rows_of(many)):
        try:
            alone = judge(examine(row(many, i)))
        except LinkageError:
            assert judged.verdicts[i] == BAD
            continue
        told = [(f.place, f.verdict, f.where, f.text) for f in judged.findings(i)]
        assert told == [(f.place, f.verdict, f.where, f.text) for f in alone.findings()]
        assert judged.verdicts[i] == alone.verdicts[0]
        assert judged.count(LOOK)[i] == alone.count(LOOK)[0]
        verdicts.add(int(alone.verdicts[0]))
    assert verdicts


def test_a_rank_is_that_of_the_finding_at_its_place():
    many = lever_rows("bulkhead-cross-shaft")
    judged = judge(examine(many))
    places = {f.place for i in range(8) for f in judged.findings(i)}
    assert places <= set(judged.ranks)
    for place in places:
        for i in np.flatnonzero(judged.told[place]):
            found = judged.finding(place, int(i))
            assert judged.ranks[place][i] == ("fits", "look", "do not fit").index(
                found.verdict
            )


def test_cheap_rules_come_first_and_are_not_judged_again():
    x = examine(lever_rows("bulkhead-cross-shaft"))
    cheap = judge(x, ["motion"])
    before = dict(x.outcomes)
    whole = judge(x)
    assert set(cheap.ranks) < set(whole.ranks)
    assert all(x.outcomes[code] is found for code, found in before.items())
    assert (whole.verdicts >= cheap.verdicts).all()


def test_a_row_that_cannot_be_put_together_does_not_fit():
    layout = load(starters()["hanging-pedal"].path).layout
    rod = layout.links[-1].rod
    good = examine(layout).assembly.loop(rod.name).length
    judged = judge(examine(layout.with_rod(rod.name, column([good, 5 * good]))))
    assert judged.verdicts[1] == BAD
    assert judged.verdicts[0] < BAD
    assert "1 do not fit" in repr(judged)


def test_what_is_not_finite_never_fits():
    """But for a rule that counts without friction, where there is no bound."""
    layout = load(starters()["hanging-pedal"].path).layout
    rod = layout.links[-1].rod
    good = examine(layout).assembly.loop(rod.name).length
    judged = judge(examine(layout.with_rod(rod.name, column([good, 5 * good]))))
    for place, ranks in judged.ranks.items():
        value = judged.outcome(place).value
        if judged.outcome(place).limit is None or not np.ndim(value):
            continue
        if math.isnan(value[1, 0]) and judged.told[place][1]:
            assert ranks[1] > 0, place


def test_what_play_takes_is_that_of_each_layout_by_itself():
    def played(play, lever):
        whole = hauler().with_arm(hole("spindle.lever"), length=lever)
        rods = {n: replace(r, play=play) for n, r in whole.rods.items()}
        return replace(whole, rods=rods)

    layouts = [played(0.3e-3, 0.034), played(0.5e-3, 0.036), played(0.4e-3, 0.030)]
    many = play_loss(examine(stack(layouts)), layouts[0].main)
    for i, one in enumerate(layouts):
        alone = float(np.ravel(play_loss(examine(one), one.main))[0])
        assert alone > 0
        assert float(np.broadcast_to(many, (3, 1))[i, 0]) == pytest.approx(
            alone, rel=1e-9
        )
