"""Rules about rods that lose motion: that they drive, and that they let go.

A slot that is used up on the way is told by the reach of rods (`rules.travel`).

Not here: how far they go and from where they drive (`rules.slack`), springs before
and behind them (`rules.sources`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

from linkage.model.columns import first, last, least, most, negated, pick
from linkage.model.refs import Ref
from linkage.motion.senses import pull_or_push
from linkage.quantities import say
from linkage.rules.rule import (
    BAD,
    FITS,
    JAM,
    LOOK,
    SHUT,
    Outcome,
    Rule,
    Short,
    Silence,
    about,
    ranked,
    the_plate,
)
from linkage.rules.slack import (
    branches,
    drives,
    drives_from,
    held_at,
    left,
    loose,
    needed,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.connect import LostMotion
    from linkage.model import Layout, Rod
    from linkage.model.columns import Number, Truth
    from linkage.rules.examine import Examined

#: Steps in which a slot is said to be filed. [m]
STEP: Final = 1e-3


def slot_hole(rod: Rod) -> Ref:
    """Return the arm at which a rod has its slot."""
    hole = rod.end if rod.slot_at == "end" else rod.start
    return Ref("arm", hole.shaft, hole.arm)


def _beyond(layout: Layout, rod: str) -> list[str]:
    """Return the throttles to which a rod leads."""
    return [
        name
        for name, throttle in layout.throttles.items()
        if any(k.rod.name == rod for k in layout.path_to(throttle.shaft))
    ]


def _of_rod(x: Examined, loop: LostMotion) -> dict[str, Any]:
    """Return what there is to say of a rod that loses motion, as facts."""
    rod, driven = loop.link.rod, loop.link.driven
    return {
        "only": rod.only,
        "slot": rod.slot,
        "slot at": slot_hole(rod),
        "driven": Ref("arm", driven.shaft, driven.arm),
        "pulls": loop.carries > 0,
        "lost": first(left(x, loop)),
    }


def _drives(x: Examined) -> Iterator[Outcome]:
    shut: dict[str, Truth] = {}
    for loop in loose(x.assembly):
        if loop.link.own is not None:
            continue  # it must not drive: the other input does
        rod, way, driving = loop.link.rod.name, left(x, loop), drives(x, loop)
        yield Outcome(
            about=Ref("rod", rod),
            rank=ranked(driving),
            value=pick(driving, 0.0, least(way[..., 1:])),
            limit=0.0,
            kind="length",
            at=drives_from(x, loop),
            facts={**_of_rod(x, loop), "away": last(way) > first(way)},
        )
        for name in _beyond(x.layout, rod):
            shut[name] = shut.get(name, False) | negated(driving)
    for name, never in shut.items():
        # That it does not open is then no news.
        yield Outcome(about=Ref("throttle", name), applies=never, told=False, rank=BAD)


def _lost_words(o: Outcome) -> Short:
    """Say in what way a rod loses motion, and from where it drives."""
    f = o.facts
    kind = (
        f"can only {f['only']}"
        if f["only"]
        else f"has a slot of {say(f['slot'], 'length')} at `{f['slot at']}`"
    )
    drives_at = "at once"
    if f["lost"] > 0:
        drives_at = (
            f"from pad {say(o.at, 'length')} on, {say(f['lost'], 'length')} lost"
        )
    return kind, f"{'pulls' if o.facts['pulls'] else 'pushes'} {drives_at}"


def _drives_words(o: Outcome) -> str:
    f, rod = o.facts, o.called
    if not o.rank:
        return f"{rod} {' and '.join(_lost_words(o))}"
    if f["away"] and f["only"]:
        how = _lets_go(o)
        return f"{rod} can only {f['only']}, and pressing {how}: it never drives `{f['driven']}`"
    return (
        f"{rod} never drives `{f['driven']}`: with the pedal down "
        f"{'it' if f['only'] else 'its pin'} has still {say(o.value, 'length')} to go {_end(o)}"
    )


def _lets_go(o: Outcome, holes: str = "two holes") -> str:
    """Return what pressing does to one that then never drives."""
    if o.is_cable:
        return "slackens its wire"
    if o.kinds.get(o.about.name) == "cam":
        return "turns its profile away from the roller"
    return f"takes its {holes} " + ("together" if o.facts["pulls"] else "apart")


def _end(o: Outcome) -> str:
    if o.kinds.get(o.about.name) == "cam":
        return "before it meets its roller"
    return "before it is tight" if o.facts["only"] else "to the end of its slot"


def _drives_short(o: Outcome) -> Short:
    f, rod = o.facts, o.called
    if not o.rank:
        kind, drives_at = _lost_words(o)
        return f"{rod} {kind}", f"it {drives_at}"
    what = f"{rod} never drives `{f['driven']}`"
    if f["away"] and f["only"]:
        return what, f"it can only {f['only']}, and pressing {_lets_go(o, 'holes')}"
    return what, f"{say(o.value, 'length')} are still to go {_end(o)}"


DRIVES: Final = Rule(
    code="slot-drives",
    judge=_drives,
    name="{rods} that lose motion",
    words=_drives_words,
    short=_drives_short,
    place=lambda o: (
        "whole travel" if math.isnan(o.at) else f"from pad {say(o.at, 'length')} on"
    ),
    meaning="Every rod that loses motion, by a slot or as it can only pull or only push, "
    "drives what it leads to before the pedal stops. Told: how much is lost at rest, and "
    "from which pad travel on it drives.",
    silenced_by=(SHUT, JAM),
    cures=("rod lost", "rod way"),
    cure="less motion lost at rest, or a hook or cup turned round",
)


def _sticks(x: Examined) -> Iterator[Outcome]:
    main = x.layout.main.name
    opening = x.motion.opening(main)
    for branch in branches(x.layout):
        link = branch.link
        loop = x.assembly.loop(link.rod.name)
        lever = x.layout.throttle_on(branch.lever)
        if not link.rod.loose and lever is None:
            continue  # what it is, and that it may stick, is not told
        carries: Number = loop.carries
        slot: Number = math.inf if link.rod.only else link.rod.slot
        if not link.rod.loose:
            senses = pull_or_push(
                x.speeds.first[link.driven.shaft], x.lines[link.rod.name]
            )
            carries = pick(first(senses) < 0, -1, 1)
        need = needed(x, link, carries)
        value = most(need)
        yield Outcome(
            about=Ref("rod", link.rod.name),
            rank=ranked(value <= slot, BAD if link.rod.loose else LOOK),
            value=value,
            limit=None if link.rod.only else slot,
            kind="length",
            at=math.nan,
            facts={
                "lever": Ref("shaft", branch.lever),
                "loose": link.rod.loose,
                "held": held_at(need, slot, opening),
                "main": main,
            },
        )


def _sticks_words(o: Outcome) -> str:
    f, rod = o.facts, o.called
    sticks = f"if lever `{f['lever']}` sticks at its full end"
    if not o.rank:
        slot = (
            "it can hold nothing back"
            if o.limit is None
            else (
                f"its pin needs {say(o.value, 'length')} of the {say(o.limit, 'length')} of slot"
            )
        )
        return f"{sticks}, {rod} lets every plate shut: {slot}"
    held = f"{rod} holds {f['main']} open, at {say(f['held'], 'angle')}"
    if not f["loose"]:
        return (
            f"{sticks}, {held}: a slot of {say(o.value, 'length')} or more in the rod lets "
            "every plate shut"
        )
    return (
        f"{sticks}, {held}: its pin needs {say(o.value, 'length')} of slot to let every "
        f"plate shut, and has {say(o.limit, 'length')}"
    )


def _sticks_short(o: Outcome) -> Short:
    f, rod = o.facts, o.called
    if not o.rank:
        return f"a stuck lever `{f['lever']}` lets {the_plate(f['main'])} shut", ""
    what = f"a stuck lever `{f['lever']}` holds {the_plate(f['main'])} open"
    has = f"has {say(o.limit, 'length')}" if f["loose"] else "has none"
    return what, f"{rod} needs a slot of {say(o.value, 'length')} and {has}"


def _sticks_advice(o: Outcome) -> str:
    """Return how long a slot is to be made where there is none yet."""
    if not o.rank or o.facts["loose"] or not math.isfinite(o.value):
        return ""
    slot = math.floor(o.value / STEP + 1) * STEP  # what is asked, and something over
    return f"give {o.called} a slot of {say(slot, 'length')} at its lever"


STICKS: Final = Rule(
    code="slot-lets-go",
    judge=_sticks,
    name="a lever that sticks",
    words=_sticks_words,
    short=_sticks_short,
    who=lambda o: f"{about(o)} to {o.facts['lever']}",
    meaning="Whether every plate can shut though a lever that is none, a gearbox's or a "
    "pump's, sticks anywhere up to its full end: the pin of the rod that leads there must "
    "have as much way in its slot as the rest of the linkage goes back. Too short a slot "
    "is refused; a kickdown lever without any is told.",
    verdicts="fits, look, or do not fit",
    silenced_by=(SHUT, JAM, Silence(by="slot-drives", same=True)),
    cures=("slot longer",),
    advice=_sticks_advice,
    task=_sticks_advice,
    cure="a longer slot, or one where there is none",
)


def _at_rest(x: Examined) -> Iterator[Outcome]:
    limit = x.layout.limits.idle_clearance
    for loop in loose(x.assembly):
        rod = loop.link.rod.name
        if loop.link.rod.kind == "cable":
            continue  # its slack is judged by itself
        plates = {t.name for t in x.layout.plates}.intersection(_beyond(x.layout, rod))
        if plates:
            value: Number = first(left(x, loop))
            yield Outcome(
                about=Ref("rod", rod),
                rank=ranked(value >= limit, LOOK),
                value=value,
                limit=limit,
                kind="length",
                digits=2,
                at=0.0,
                facts={"plates": tuple(sorted(plates)), "only": loop.link.rod.only},
            )


def _rest_words(o: Outcome) -> str:
    f, rod = o.facts, o.called
    where = "before it is tight" if f["only"] else "in its slot before it drives"
    if o.kinds.get(o.about.name) == "cam":
        where = "between it and its roller"
    text = f"{rod} has {say(o.value, 'length', 2)} at rest {where}"
    if o.rank == FITS:
        return text
    plates = " and ".join(f["plates"])
    return (
        f"{text}: heat or wear would open {plates} with the pedal up; at least "
        f"{say(o.limit, 'length', 2)} is asked"
    )


AT_REST: Final = Rule(
    code="slot-at-rest",
    judge=_at_rest,
    name="the way in slots at rest",
    words=_rest_words,
    short=lambda o: (
        f"{o.called} drives after {say(o.value, 'length', 2)} at rest",
        f"{say(o.limit, 'length', 2)} is asked, so that heat opens no plate",
    ),
    meaning="With the pedal up the pin of a rod that loses motion does not touch the end "
    "of its slot that opens a plate: heat and wear would open it. 0.1 to 0.5 mm at the "
    "lever is common practice, and more where the plate is to start later.",
    verdicts="fits, or look",
    refuses=False,
    limits=("idle_clearance",),
    silenced_by=(SHUT, JAM, Silence(by="idle"), Silence(by="slot-drives")),
    cures=("rod lost",),
    cure="the rod set so that a little motion is lost at rest",
)
