"""What the program offers, before the small judge: cures, springs, arms, swapped sides.

Nothing that is offered as fitting may leave a plate that sticks, or that one broken part
leaves without a spring.

Not here: what it says of a layout as it is (`test_altered`).
"""

from __future__ import annotations

import numpy as np
import pytest

import linkage
from tests.independent.altered import COUNT, altered, sound
from tests.independent.judge import judge
from tests.independent.test_altered import CLEAR

#: Every how manyth of the altered layouts is cured where ``--every`` is not given.
EVERY = 27
RATES = [1e3 * rate for rate in (0.01, 0.05, 0.1, 0.2, 0.3, 0.45, 0.7)]
RADII = [0.024, 0.028, 0.034]
#: Shipped layouts of which springs and arms are chosen.
CHOSEN = ("bulkhead-cross-shaft", "hanging-pedal", "swapped-push-rod")


def wrong(layout) -> list[str]:
    """What the judge has against a layout that is called fit."""
    found = judge(layout)
    faults = (
        *found.dangerous,
        *found.below(CLEAR),
        *found.of("slack", "overstretched"),
    )
    return [str(f) for f in faults]


@pytest.fixture(scope="module")
def cured(request):
    """Altered layouts that may stay open, with the check and its cures."""
    step = 1 if request.config.getoption("--every") else EVERY
    out = []
    for seed in range(0, COUNT, step):
        told, layout = altered(seed)
        if judge(layout).dangerous:
            out.append((told, linkage.check(layout)))
    return out


def test_what_mends_the_whole_is_safe(cured):
    plans = [(told, c.plan) for told, c in cured if c.plan is not None]
    assert len(plans) > len(cured) / 2
    for told, plan in plans:
        assert plan.layout is not None
        assert wrong(plan.layout) == [], f"{told}: {plan.text}"


def test_a_single_cure_after_which_all_fits_is_safe(cured):
    for told, found in cured:
        for f in found.findings:
            after = None if f.cure is None or not f.cure.proven else f.cure.layout
            if after is None:
                continue
            if linkage.check(after, cures=False).verdict != "do not fit":
                assert wrong(after) == [], f"{told}: {f.code}, {f.cure.text}"


@pytest.mark.parametrize("name", CHOSEN)
def test_springs_that_are_offered_are_safe(name):
    layout = dict(sound())[name]
    spring = next(iter(layout.springs))
    rows = linkage.choose_spring(layout, spring, rates=RATES, radii=RADII)
    fitting = [r for r in rows if r.fits]
    assert len(fitting) > 3
    assert {str(r): wrong(r.layout) for r in fitting if wrong(r.layout)} == {}
    # A hundredth of a newton to the millimetre is no spring, whatever the other does.
    assert min(r.law.rate for r in fitting) > min(RATES)


@pytest.mark.parametrize("name", CHOSEN)
def test_arms_that_are_offered_are_safe(name):
    layout = dict(sound())[name]
    hole = layout.links[-1].driven
    now = layout.shafts[hole.shaft].arms[hole.arm].length
    sizing = linkage.size_arms(layout, {str(hole): np.linspace(0.8, 1.3, 11) * now})
    fitting = [r for r in sizing.rows if r.fits]
    assert fitting
    assert {str(r): wrong(r.written) for r in fitting if wrong(r.written)} == {}
    assert sizing.best in fitting


@pytest.mark.parametrize("kind", ["turned", "mirrored"])
def test_swapped_sides_that_fit_are_safe(kind):
    before = dict(sound())["scenario-before"]
    solution = linkage.solve_swap(linkage.swap_sides(before, carburettor=kind))
    fitting = [c for c in solution.cures if c.fits]
    assert fitting or solution.fits_as_it_is
    for cure in fitting:
        assert wrong(cure.layout) == [], cure.name
    if solution.fits_as_it_is:
        assert wrong(solution.swap.after) == []
