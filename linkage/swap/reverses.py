"""In plain words: what a swap reverses, and what it does not.

Not here: the move itself (`swap.mirror`), what to do about it (`swap.cures`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from linkage.errors import AssemblyError
from linkage.model import turning
from linkage.model.axes import add
from linkage.quantities import say
from linkage.rules.angles import closing_arm
from linkage.rules.examine import Examined, examine
from linkage.rules.senses import STILL, pulls
from linkage.swap.moves import NO_MOVE
from linkage.swap.slides import reached_along

if TYPE_CHECKING:
    from linkage.model import Layout, Spring
    from linkage.swap.mirror import Swap
    from linkage.swap.slides import Slide

#: Directions in vehicle axes, negative and positive.
_WAYS: Final = (
    ("rearward", "forward"),
    ("to the right", "to the left"),
    ("down", "up"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One thing that a swap reverses or leaves as it was.

    Parameters
    ----------
    kind : {"shaft", "throttle", "pedal", "rod", "spring"}
        What it is about; ``shaft`` is the way it turns, ``pedal`` whether
        pressing opens or shuts.
    part : str
        Its name.
    before, after : str
        In a word or two; ``unknown`` where it cannot be put together.
    reverses : bool
        Whether the two differ.
    text : str
        One sentence.
    """

    kind: Literal["shaft", "throttle", "pedal", "rod", "spring"]
    part: str
    before: str
    after: str
    reverses: bool
    text: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Reversal:
    """All that a swap reverses, or not.

    Parameters
    ----------
    facts : tuple of Fact
        Shafts from the pedal on, then throttles, rods and springs.
    opens : bool, optional
        Whether pressing opens the main throttle now; None where the parts
        cannot be put together.
    wrong_hand : tuple of str
        Springs that shut the throttle before and now pull the opening way.
    fault : str
        Why the parts cannot be put together; empty where they can.
    """

    facts: tuple[Fact, ...]
    opens: bool | None
    wrong_hand: tuple[str, ...]
    fault: str = ""


def reversal(swap: Swap) -> Reversal:
    """Return what a swap reverses.

    Parameters
    ----------
    swap : Swap
        From `swap_sides`.

    Raises
    ------
    AssemblyError
        If the layout before the swap cannot be put together.
    """
    old = examine(swap.before)
    new: Examined | None = None
    fault = ""
    try:
        new = examine(swap.after)
    except AssemblyError as error:
        fault = error.message
    springs = [_spring(swap, old, new, name) for name in swap.before.springs]
    facts = [_stays(swap, slide, old) for slide in swap.slides] or [
        _as_it_is(swap, old)
    ]
    facts += [_shaft(swap, old, new, name) for name in swap.moved]
    facts += [_throttle(swap, name) for name in swap.before.throttles]
    facts += [_pedal(old, new, name) for name in swap.before.throttles]
    facts += [_rod(old, new, name) for name in swap.before.rods]
    facts += [fact for fact, _ in springs]
    return Reversal(
        facts=tuple(facts),
        opens=None if new is None else opens(new, swap.after.main.name),
        wrong_hand=tuple(fact.part for fact, wrong in springs if wrong),
        fault=fault,
    )


def opens(x: Examined, throttle: str) -> bool:
    """Tell whether pressing opens a throttle."""
    t = x.layout.throttles[throttle]
    return t.opens * float(x.speeds.first[t.shaft][0]) > 0


def way_of(x: Examined, shaft: str) -> float:
    """Return the sense in which pressing turns a shaft at first; 0 where it is still."""
    rate = float(x.speeds.first[shaft][0])
    return float(np.sign(rate)) if abs(rate) > STILL else 0.0


def _turns(x: Examined | None, shaft: str) -> str:
    if x is None:
        return "unknown"
    way = way_of(x, shaft)
    return turning(way) if way else "still"


def _stays(swap: Swap, slide: Slide, old: Examined) -> Fact:
    """Say that a longer shaft alone reverses nothing: common practice, no source."""
    name = swap.beyond
    one, two = swap.before.shafts[name], swap.after.shafts[name]
    grown = reached_along(two) - reached_along(one)
    if abs(grown) < NO_MOVE:
        size = "stays as long as it was"
    else:
        size = f"becomes {say(abs(grown), 'length')} {'longer' if grown > 0 else 'shorter'} between its outer arms"  # fmt: skip
    arm = slide.hole.arm
    now = two.arms[arm].offset
    way = _turns(old, name)
    moved = (
        f"arm `{slide.added_to}` carries another rod and stays; a second one, `{arm}`, is added"
        if slide.added_to
        else f"arm `{arm}` slides"
    )
    was = one.arms[slide.added_to or arm].offset
    text = (
        f"{name} stays and {size}: {moved} along it from {say(was, 'length')} to "
        f"{say(now, 'length')}. That alone reverses nothing: pedal down it turns {way} "
        f"seen from {one.axis.seen_from}, before and after; only from the other side "
        "of the car does the same turn look the other way"
    )
    return Fact(
        kind="shaft", part=name, before=way, after=way, reverses=False, text=text
    )


def _as_it_is(swap: Swap, old: Examined) -> Fact:
    name = swap.beyond
    way, seen = _turns(old, name), swap.before.shafts[name].axis.seen_from
    text = f"{name} stays as it is: pedal down it turns {way} seen from {seen}, before and after"  # fmt: skip
    return Fact(
        kind="shaft", part=name, before=way, after=way, reverses=False, text=text
    )


def _shaft(swap: Swap, old: Examined, new: Examined | None, name: str) -> Fact:
    before, after = _turns(old, name), _turns(new, name)
    one, two = swap.before.shafts[name], swap.after.shafts[name]
    seen = two.axis.seen_from
    reverses = new is not None and before != after
    went = f"{name} goes from y = {say(one.pivot[1], 'length')} to y = {say(two.pivot[1], 'length')}"  # fmt: skip
    if new is None:
        text = f"{went}; which way it turns cannot be told"
    elif reverses:
        text = f"{went}: pedal down it turned {before} seen from {seen}, and now turns {after}"  # fmt: skip
    else:
        text = f"{went}: pedal down it turns {after} seen from {seen}, as before"
    return Fact(kind="shaft", part=name, before=before, after=after, reverses=reverses, text=text)  # fmt: skip


def _throttle(swap: Swap, name: str) -> Fact:
    one, two = swap.before.throttles[name], swap.after.throttles[name]
    seen = swap.after.shafts[two.shaft].axis.seen_from
    before, after = turning(one.opens), turning(two.opens)
    reverses = before != after
    what = ""
    if one.shaft in swap.moved:
        what = {
            "mirrored": ", a part of the other hand,",
            "turned": ", turned half a turn about upright," if one.kind == "plate" else "",
            "replaced": ", another part," if one.kind == "plate" else "",
        }[swap.carburettor]  # fmt: skip
    lever = swap.before.path_to(one.shaft)[-1].driven.arm
    arm = swap.after.shafts[two.shaft].arms[lever]
    text = (
        f"{name}{what} opens {after} seen from {seen}, "
        f"{f'it was {before}' if reverses else 'as before'}; its lever `{lever}` stands at "
        f"{say(arm.angle, 'angle')} at idle, it was at "
        f"{say(swap.before.shafts[one.shaft].arms[lever].angle, 'angle')}"
    )
    return Fact(kind="throttle", part=name, before=before, after=after, reverses=reverses, text=text)  # fmt: skip


def _pedal(old: Examined, new: Examined | None, name: str) -> Fact:
    before = "opens" if opens(old, name) else "shuts"
    if new is None:
        return Fact(kind="pedal", part=name, before=before, after="unknown", reverses=False, text=f"whether pressing opens {name} cannot be told")  # fmt: skip
    after = "opens" if opens(new, name) else "shuts"
    reverses = before != after
    text = f"pressing {'NOW ' if reverses else ''}{after} {name}"
    text += f"; before it {'opened' if before == 'opens' else 'shut'} it" if reverses else ", as before"  # fmt: skip
    return Fact(kind="pedal", part=name, before=before, after=after, reverses=reverses, text=text)  # fmt: skip


def _pull(x: Examined, rod: str) -> str:
    return "pulls" if pulls(x, rod)[0] else "pushes"


def _rod(old: Examined, new: Examined | None, name: str) -> Fact:
    before = _pull(old, name)
    if new is None:
        return Fact(kind="rod", part=name, before=before, after="unknown", reverses=False, text=f"rod `{name}` {before} before; now it cannot be told")  # fmt: skip
    after = _pull(new, name)
    reverses = before != after
    hole = new.assembly.loop(name).link.driven
    text = f"pedal down: rod `{name}` {after} `{hole}`"
    text += f", before it {'pulled' if before == 'pulls' else 'pushed'}" if reverses else ", as before"  # fmt: skip
    return Fact(kind="rod", part=name, before=before, after=after, reverses=reverses, text=text)  # fmt: skip


def _pulls_to(layout: Layout, spring: Spring) -> str:
    """Return the main direction from hook to anchor, in words."""
    if spring.anchor is None or not spring.arm:
        return ""
    away = add(spring.anchor, layout.shafts[spring.shaft].pin(spring.arm), -1)
    i = max(range(3), key=lambda k: abs(away[k]))
    return _WAYS[i][away[i] > 0]


def closes_throughout(x: Examined, name: str) -> float:
    """Return the least torque arm of a spring through the travel, positive closing.

    A spring about its shaft has none; it counts as 1 or -1 by its sense. [m]
    """
    spring = x.layout.springs[name]
    if spring.anchor is not None and spring.arm:
        return float(np.min(closing_arm(x, spring)))
    stated = spring.known.shuts
    sense = next((t.opens for t in x.layout.throttles.values() if t.shaft == spring.shaft), None)  # fmt: skip
    if not stated:
        return 1.0  # about a spindle it shuts unless it says otherwise
    return -stated * (sense if sense is not None else way_of(x, spring.shaft))


def _acts(x: Examined, name: str) -> str:
    spring = x.layout.springs[name]
    if spring.anchor is not None and spring.arm:
        return "closing" if closing_arm(x, spring)[0] > 0 else "opening"
    return "closing" if closes_throughout(x, name) > 0 else "opening"


def _spring(swap: Swap, old: Examined, new: Examined | None, name: str) -> tuple[Fact, bool]:  # fmt: skip
    before, after = swap.before.springs[name], swap.after.springs[name]
    acted = _acts(old, name)
    was, now = _pulls_to(swap.before, before), _pulls_to(swap.after, after)
    verb = "pushes" if after.kind == "compression" else "pulls" if now else "acts"
    side = f"spring `{name}` {verb} {now}".rstrip()
    if was != now:
        side += f", before {was}"
    if new is None:
        fact = Fact(kind="spring", part=name, before=acted, after="unknown", reverses=False, text=f"{side}; whether it shuts the throttle cannot be told")  # fmt: skip
        return fact, False
    acts = _acts(new, name)
    wrong = acted == "closing" and acts == "opening"
    if wrong:
        text = f"{side}: NOW the opening way. It is a spring of the wrong hand here: hook it to the other side of {after.shaft}"  # fmt: skip
    else:
        text = f"{side}: the {acts} way, {'as before' if acts == acted else 'the other way than before'}"  # fmt: skip
    fact = Fact(kind="spring", part=name, before=acted, after=acts, reverses=acted != acts, text=text)  # fmt: skip
    return fact, wrong
