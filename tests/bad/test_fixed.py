"""No change of any kind alters a part that is fixed: on the bad layouts, by chance.

In each layout some arms, shafts, rods and springs are fixed; what is compared is
written here anew, part by part.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

import linkage
from linkage.motion import assemble
from linkage.rules import examine, judge
from linkage.search.cures import with_cures
from linkage.search.family import flat, stacked
from linkage.search.kept import barred
from linkage.search.node import Node
from linkage.search.sources import SOURCES, families
from tests.bad.layouts import bad_text
from tests.bad.record import seeds

#: Every how manyth of the 300 is taken where ``--every`` is not given.
EVERY = 6
#: Share of the parts that are fixed.
FIXED = 0.3


def some_fixed(seed: int):
    """Return a bad layout with some parts fixed, rods at the length they have."""
    chance = np.random.default_rng(seed)
    layout = linkage.loads(bad_text(seed)).layout
    lengths = {p.link.rod.name: p.length for p in assemble(layout).loops}

    def fix() -> bool:
        return chance.random() < FIXED

    shafts = {}
    for name, shaft in layout.shafts.items():
        arms = {
            n: replace(a, fixed=fix(), clocking="fixed" if fix() else "free")
            for n, a in shaft.arms.items()
        }
        shafts[name] = replace(shaft, arms=arms, fixed=fix() and fix())
    rods = {
        n: replace(r, fixed=True, length=lengths[n]) if fix() else r
        for n, r in layout.rods.items()
    }
    springs = {n: replace(s, fixed=fix()) for n, s in layout.springs.items()}
    return replace(layout, shafts=shafts, rods=rods, springs=springs)


def altered(before, after) -> list[str]:
    """Return the fixed parts that are not what they were."""
    out = [n for n, r in before.rods.items() if r.fixed and after.rods[n] != r]
    out += [n for n, s in before.springs.items() if s.fixed and after.springs[n] != s]
    for name, shaft in before.shafts.items():
        now = after.shafts[name]
        on = name in before.engine.carries, name in after.engine.carries
        if shaft.fixed and (shaft != now or on[0] != on[1]):
            out.append(name)
        for arm in shaft.arms.values():
            new = now.arms[arm.name]
            turned = arm.clocking == "fixed" and new.angle != arm.angle
            if turned or (arm.fixed and new != arm):
                out.append(f"{name}.{arm.name}")
    return out


def taken(request) -> list[int]:
    step = 1 if request.config.getoption("--every") else EVERY
    return [int(seed) for seed in list(seeds())[::step]]


def test_no_change_alters_what_is_fixed(request):
    seen: Counter[str] = Counter()
    for seed in taken(request):
        layout = some_fixed(seed)
        x = examine(layout)
        for finding in judge(x).findings():
            if finding.verdict == "fits":
                continue
            for family in families(x, finding):
                stack = stacked([family])
                for i in {0, family.size // 2, family.size - 1}:
                    assert altered(layout, stack.one(i)) == [], (seed, stack.step(i))
                    seen.update(step.kind for step in flat(stack.step(i)))
    kinds = {"arm length", "arm angle", "spring strength", "spring anchor", "bearing"}
    assert kinds <= set(seen), seen
    assert len(seen) > 12, seen


def test_changes_are_barred_and_not_just_missing(request):
    """Of the same layouts with nothing fixed far more changes are looked for."""
    few = many = 0
    for seed in taken(request)[::4]:
        layout = some_fixed(seed)
        x = examine(layout)
        for finding in judge(x).findings():
            if finding.verdict == "do not fit":
                whole = [
                    f for kind in finding.rule.cures for f in SOURCES[kind](x, finding)
                ]
                many += len(whole)
                few += len(families(x, finding))
                for family in whole:
                    rows = stacked([family]) if family.size else None
                    if rows is not None and altered(layout, rows.one(0)):
                        cut = {n for n in family.cut if layout.rods[n].fixed}
                        assert cut or barred(layout, family)
    assert 0 < few < 0.8 * many


@pytest.mark.parametrize("seed", [int(seed) for seed in list(seeds())[5::40]])
def test_no_cure_nor_plan_alters_what_is_fixed(seed):
    layout = some_fixed(seed)
    x = examine(layout)
    findings, plan = with_cures(Node(many=x, judged=judge(x)))
    offered = [f.cure for f in findings] + [plan]
    for cure in offered:
        if cure is not None and cure.layout is not None:
            assert altered(layout, cure.layout) == [], cure.text
