"""What each cure may change: a name, its title, and arms to be set anew, by tiers.

A tier gives each rod on the way a range for its two arms. A later tier changes
more than one before it, and is only looked at where that found nothing good.

Not here: searching (`search.arms`), judging and ranking (`swap.cures`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model import Cable
from linkage.quantities import say
from linkage.search.arms import search
from linkage.search.cables import on_drum
from linkage.search.fixed import may_be_parted, may_cut
from linkage.search.spans import ANYWHERE, CLOCKED, KEPT, OTHER_SIDE, Span, Vary, sized
from linkage.swap import slides
from linkage.swap.judging import Candidates
from linkage.swap.kept import barred, held
from linkage.swap.led_otherwise import drum_over
from linkage.swap.recipe import Recipe
from linkage.swap.reversing import search_lever

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from linkage.model import Layout, Rod
    from linkage.model.columns import Number
    from linkage.model.rod import OneWay
    from linkage.swap.ground import Ground

    #: One for each rod on the way.
    Tier = tuple[Vary, ...]

#: An arm that stands so little up or down lies to a side: sine of its angle.
LEVEL: Final = 0.2
#: Arms in line, either way, make a lever of no hand: sine of the angle between them.
HANDED: Final = 0.5


def _arms(*tiers: Tier) -> tuple[Callable[[Ground], list[Candidates]], ...]:
    return tuple(partial(_searched, tier) for tier in tiers)


def _searched(tier: Tier, g: Ground) -> list[Candidates]:
    tier = held(g.layout, g.path, tier)
    found = search(g.layout, g.path, tier, g.aims(tier))
    if not len(found):
        return []
    whole = found.layout(g.layout)
    return [Candidates(layout=whole, rank=found.rank, reached=found.reached)]


def _fixed(count: int) -> Tier:
    return (Vary(),) * count


def _onward(g: Ground, *, flipped: bool = True, more: bool = False) -> Tier:
    """Return the freedom of the rods after the first: arms clocked anew, or sized too."""
    arm = sized(ANYWHERE) if more else ANYWHERE
    return (Vary(driver=arm, driven=ANYWHERE, flipped=flipped, calm=0.03),) * g.last


def same_way(g: Ground) -> Recipe:
    """Pressing opens already: clock and size the arms anew."""
    fixed = _fixed(g.last)
    free = Vary(driver=sized(CLOCKED), driven=CLOCKED)
    return Recipe(
        name="clocked-anew",
        title="arms clocked and sized anew, each on its own side",
        tiers=_arms(
            (*fixed, Vary(driven=CLOCKED)),
            (*fixed, Vary(driver=CLOCKED, driven=CLOCKED)),
            (*fixed, free),
            (free,) * (g.last + 1),
        ),
    )


def arm_other_side(g: Ground) -> Recipe:
    """Put the driving arm of the shaft that stays on its other side."""
    over, more = OTHER_SIDE, sized(OTHER_SIDE)
    return Recipe(
        name="arm-on-the-other-side",
        title=f"arm `{g.path[0].driver}` to the other side of its shaft",
        reason=barred(g.layout, [g.path[0].driver]),
        tiers=_arms(
            (Vary(driver=over, flipped=True), *_onward(g)),
            (Vary(driver=more, flipped=True), *_onward(g))
            if g.last
            else (Vary(driver=over, driven=CLOCKED),),
            (Vary(driver=more, driven=CLOCKED, flipped=True), *_onward(g, more=True)),
        ),
    )


def lever_over(g: Ground) -> Recipe:
    """Turn the lever over on its spindle, and change nothing else if possible.

    A drum faces the other way then, and its wire is led round it the other way.
    """
    hole = g.path[-1].driven
    shaft = g.layout.shafts[hole.shaft]
    arm = shaft.arms[hole.arm]
    if arm.wound:
        return drum_over(g)
    up = shaft.axis.v[2] * math.sin(arm.angle)
    if abs(up) < LEVEL:
        name, title = (
            "lever-on-the-other-side",
            f"lever `{hole}` on the other side of its spindle",
        )
    elif up > 0:
        name, title = "lever-hanging", f"lever `{hole}` hanging instead of standing"
    else:
        name, title = "lever-standing", f"lever `{hole}` standing instead of hanging"
    fixed = _fixed(g.last)
    return Recipe(
        name=name,
        title=title,
        reason=barred(g.layout, [hole]),
        tiers=_arms(
            (*fixed, Vary(driven=OTHER_SIDE)),
            (*fixed, Vary(driver=CLOCKED, driven=OTHER_SIDE)),
            (*fixed, Vary(driver=sized(CLOCKED), driven=OTHER_SIDE)),
        ),
    )


def crossed_pull(g: Ground) -> Recipe:
    """Set both arms of the last rod so that it crosses the pivots' line and pulls."""
    return Recipe(
        name="crossed-pull-rod",
        title="crossed pull rod",
        reason=_cannot(g, "pull") or barred(g.layout, g.path[-1].holes),
        tiers=_last_rod(g, pull=True),
    )


def push_rod(g: Ground) -> Recipe:
    """Set both arms of the last rod so that it pushes."""
    return Recipe(
        name="push-rod",
        title="push rod, short and stiff",
        reason=_cannot(g, "push") or barred(g.layout, g.path[-1].holes),
        tiers=_last_rod(g, pull=False),
    )


def _cannot(g: Ground, way: OneWay) -> str:
    """Return why the last rod cannot pull, or push; empty where it can."""
    rod = g.layout.rods[g.path[-1].rod.name]
    if isinstance(rod, Cable) and way == "pull":
        return f"{rod.called} pulls from where its sheath ends, whatever it crosses"
    return f"{rod.called} can only {rod.only}" if rod.only not in {"", way} else ""


def _last_rod(
    g: Ground, *, pull: bool
) -> tuple[Callable[[Ground], list[Candidates]], ...]:
    return _arms(
        *(
            (*_fixed(g.last), Vary(driver=d, driven=ANYWHERE, pull=pull, calm=0.05))
            for d in (ANYWHERE, sized(ANYWHERE))
        )
    )


def bell_crank(g: Ground) -> Recipe:
    """Exchange the crank after the shaft that stays for one of the other hand."""
    name, first = "bell-crank-of-the-other-hand", g.path[0]
    if not g.last:
        reason = (
            f"{first.rod.called} leads from {g.swap.beyond} straight "
            "to the spindle: there is no bell crank between"
        )
        return Recipe(name=name, title="bell crank of the other hand", reason=reason)
    crank = g.layout.shafts[first.driven.shaft]
    if crank.slides:
        reason = f"{crank.called} is no bell crank: a bar in a guide has no hand"
        return Recipe(name=name, title="bell crank of the other hand", reason=reason)
    hand = _hand(g, g.layout)
    mirrored = Span(turn=math.pi - 2 * hand, either=math.radians(90))
    if not _handed(hand):
        mirrored = ANYWHERE

    def tier(driver: Span, out: Span, *, more: bool = False) -> Tier:
        one, *others = _onward(g, more=more)
        return (
            Vary(driver=driver, driven=OTHER_SIDE, flipped=True),
            replace(one, driver=out),
            *others,
        )

    tiers = (
        tier(KEPT, mirrored),
        tier(CLOCKED, mirrored),
        tier(sized(CLOCKED), sized(mirrored), more=True),
    )
    return Recipe(
        name=name,
        title=f"{first.driven.shaft} of the other hand",
        reason=barred(g.layout, [first.driven]) or barred(g.layout, [g.path[1].driver]),
        tiers=tuple(partial(_other_hand, tier) for tier in tiers),
    )


def _other_hand(tier: Tier, g: Ground) -> list[Candidates]:
    """Search a crank whose arms lie the other way round, where it has a hand."""
    hand = _hand(g, g.layout)
    out = []
    for found in _searched(tier, g):
        turned = np.ravel(_hand(g, found.layout)) * hand
        over = np.broadcast_to(turned < 0, found.rank.shape)
        if not _handed(hand):
            out.append(found)
        elif over.any():
            out.append(found.take(np.flatnonzero(over)))
    return out


def _handed(hand: float) -> bool:
    """Tell whether arms stand so far apart that a crank has a hand at all."""
    return abs(math.sin(hand)) > HANDED


def _hand(g: Ground, layout: Layout) -> Number:
    """Return the angle from the crank's driven arm to its driving one, -180° to 180°."""
    arms = layout.shafts[g.path[0].driven.shaft].arms
    apart = arms[g.path[1].driver.arm].angle - arms[g.path[0].driven.arm].angle
    return apart - 2 * math.pi * np.round(apart / (2 * math.pi))


def reversing_lever(g: Ground) -> Recipe:
    """Put a see-saw between the two halves of the last rod, or of one before it."""

    def before(g: Ground) -> list[Candidates]:
        return [c for i in range(g.last) for c in search_lever(g, i)]

    def titled(layout: Layout) -> str:
        new = next(n for n in layout.shafts if n not in g.layout.shafts)
        onto = layout.path_to(new)[-1].driver.shaft
        on = next(p.driven.shaft for p in layout.links if p.driver.shaft == new)
        return f"reversing lever between {onto} and {on}"

    rods = [g.layout.rods[p.rod.name] for p in g.path]
    whole = [rod for rod in rods if not may_be_parted(g.layout, rod.name)]
    named = " and ".join(f"`{rod.name}`" for rod in whole)
    reason = f"{named} may not be parted: fixed" if len(whole) == len(rods) else ""
    kinds = {rod.kind: f", or a {rod.kind}" for rod in whole if rod.kind != "rod"}
    if any(
        g.layout.shafts[h.shaft].slides for rod in whole for h in (rod.start, rod.end)
    ):
        kinds["slide"] = ", or on a slide"
    reason += "".join(kinds.values()) * bool(reason)
    return Recipe(
        name="reversing-lever",
        title="reversing lever",
        titled=titled,
        reason=reason,
        tiers=(lambda g: search_lever(g, g.last), before)[: 2 if g.last else 1],
    )


def bearings_across(g: Ground) -> Recipe | None:
    """Take a shaft along the vehicle, or upright, across with its carburettor.

    None where the shaft that stays lies across, or cannot go.
    """
    name = g.swap.beyond
    layout = slides.bearings_across(g.layout, name, g.swap.plane)
    if layout is None:
        return None
    fixed = _fixed(g.last)
    there = replace(g, layout=layout)
    at = layout.shafts[name].pivot[1]
    tiers = _arms(
        (*fixed, Vary()),
        (*fixed, Vary(driver=CLOCKED, driven=CLOCKED)),
        (
            Vary(driver=OTHER_SIDE, driven=KEPT if g.last else CLOCKED),
            *_onward(g, flipped=False),
        ),
        (Vary(driver=sized(ANYWHERE), driven=ANYWHERE), *_onward(g, flipped=False)),
    )
    return Recipe(
        name="shaft-taken-across",
        title=f"{name} taken across too, its bearings to y = {say(at, 'length')}",
        tiers=tuple(partial(_there, there, tier) for tier in tiers),
    )


def _there(
    there: Ground, tier: Callable[[Ground], list[Candidates]], _: Ground
) -> list[Candidates]:
    """Search from another layout than the one that was swapped."""
    return tier(there)


def other_rod(g: Ground, idle: Sequence[str]) -> Recipe:
    """Exchange one-way rods that let go for such as can do what they must."""
    rods: dict[str, Rod] = {}
    ways = []
    for name in idle:
        rod = g.layout.rods[name]
        if isinstance(rod, Cable):
            if not on_drum(g.layout, rod):
                rods[name] = replace(rod, only="", lost=0.0, length=None)
            ways.append(f"push-pull cable `{name}` instead of one that only pulls")
            continue
        only: OneWay = "push" if rod.only == "pull" else "pull"
        rods[name] = replace(rod, only=only, length=None)
        ways.append(f"rod `{name}` of a kind that can {only} instead of {rod.only}")
    layout = replace(g.layout, rods={**g.layout.rods, **rods})
    path = layout.path_to(layout.main.shaft)[-len(g.path) :]
    there = replace(g, layout=layout, path=path)
    whole = [f"`{name}`" for name in idle if not may_cut(g.layout, name)]
    reason = f"{' and '.join(whole)} may not be made anew: fixed" * bool(whole)
    if len(rods) < len(idle):
        reason = "a wire that lies on a drum only pulls"
    fixed = _fixed(g.last)
    tiers = _arms(
        (*fixed, Vary()),
        (*fixed, Vary(driven=CLOCKED)),
        (*fixed, Vary(driver=sized(CLOCKED), driven=CLOCKED)),
    )
    return Recipe(
        name="rod-the-other-way",
        title=" and ".join(ways),
        reason=reason,
        tiers=tuple(partial(_there, there, tier) for tier in tiers),
    )


#: Where pressing shuts the throttle, or it cannot be put together.
REVERSING: Final = (
    arm_other_side,
    lever_over,
    crossed_pull,
    push_rod,
    bell_crank,
    reversing_lever,
)
