"""Other carburettors and levers that hang on the shafts that a cure changes.

Not here: the way to the main throttle (`swap.recipes`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import first, pick, some
from linkage.model.rows import row
from linkage.search.arms import arms_set, search
from linkage.search.fixed import may_size, may_turn
from linkage.search.rods import Aim
from linkage.search.spans import ANYWHERE, Vary, sized
from linkage.swap.kept import held

if TYPE_CHECKING:
    from linkage.model import Layout, Throttle
    from linkage.model.columns import Truth
    from linkage.rules.examine import Examined
    from linkage.swap.ground import Ground

#: What may change at the rod of another throttle, from little to much.
TIERS: Final = (
    Vary(driven=ANYWHERE, calm=0.03),
    Vary(driver=ANYWHERE, driven=ANYWHERE, calm=0.03),
    Vary(driver=sized(ANYWHERE), driven=ANYWHERE, calm=0.03),
)


def alongside(ground: Ground, layout: Layout) -> Layout:
    """Return the layout with other carburettors on the same shaft set alike.

    Two carburettors on one shaft have equal drop links; what is done to the
    arms of the main one's rod is done to those of the others.

    Parameters
    ----------
    ground : Ground
        What the search stands on.
    layout : Layout
        One or many, with the arms of the main throttle's rod set.
    """
    main = ground.path[-1]
    if layout.path_to(main.driven.shaft)[-1].driver != main.driver:
        return layout  # a reversing lever in between, for one rod alone
    for throttle in layout.plates:
        path = layout.path_to(throttle.shaft)
        if not path or throttle.shaft == main.driven.shaft:
            continue
        link = path[-1]
        if link.driver.shaft != main.driver.shaft:
            continue
        arms = {}
        for model, hole in ((main.driver, link.driver), (main.driven, link.driven)):
            if hole != model and may_size(layout, hole):
                old = ground.layout.shafts[model.shaft].arms[model.arm]
                new = layout.shafts[model.shaft].arms[model.arm]
                arm = layout.shafts[hole.shaft].arms[hole.arm]
                length = np.ravel(arm.length * new.length / old.length)
                by = new.angle - old.angle if may_turn(layout, hole) else 0.0
                arms[hole] = (length, np.ravel(arm.angle + by))
        layout = arms_set(layout, arms).with_rod(link.rod.name, None)
    return layout


def opened(ground: Ground, x: Examined) -> Layout:
    """Return the layout with every other throttle that pressing shuts opened by it.

    A shaft that turns the other way after a cure turns all that hangs on it the
    other way, a kickdown lever too: the arms of its rod are set anew.

    Parameters
    ----------
    ground : Ground
        What the search stands on.
    x : Examined
        Candidates, one or many as rows.
    """
    layout = x.layout
    behind = {ground.swap.beyond, *ground.swap.moved}
    for throttle in layout.throttles.values():
        path = layout.path_to(throttle.shaft)
        if throttle.name == layout.main.name or path[-1].driver.shaft not in behind:
            continue
        wrong = throttle.opens * first(x.speeds.first[throttle.shaft]) < 0
        if some(wrong):
            layout = _turned(layout, throttle, wrong)
    return layout


def _turned(layout: Layout, throttle: Throttle, wrong: Truth) -> Layout:
    """Return the layout with a throttle's rod set anew in the rows that need it.

    What opens it in the first of them is set in all: a cure turns a shaft about
    alike in all its candidates, and every one is judged.
    """
    link = layout.path_to(throttle.shaft)[-1]
    aim = Aim(
        sense=throttle.opens,
        turn=throttle.swing,
        throttle=True,
        look=layout.limits.arm_rod_look,
        tip_in=layout.limits.tip_in,
    )
    one = row(layout, int(np.argmax(wrong)))
    tiers = [held(one, [link], [vary]) for vary in TIERS]
    best = [f for tier in tiers if len(f := search(one, [link], tier, [aim]))]
    if not best:
        return layout
    arms = {}
    for hole, (length, angle) in min(best, key=lambda f: f.rank[0]).arms.items():
        old = layout.shafts[hole.shaft].arms[hole.arm]
        arms[hole] = (
            np.ravel(pick(wrong, length[0], old.length)),
            np.ravel(pick(wrong, angle[0], old.angle)),
        )
    return arms_set(layout, arms)
