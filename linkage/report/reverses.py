"""What a change of side reverses, in words: one sentence a fact.

Not here: the facts themselves (`swap.reverses`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.model import turning
from linkage.model.axes import add
from linkage.quantities import say
from linkage.report.governed_words import of_governors
from linkage.swap.changes import turned
from linkage.swap.moves import NO_MOVE
from linkage.swap.slides import reached_along

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.model import Layout
    from linkage.swap import Fact, Reversal, Slide, Swap

#: Directions in vehicle axes, negative and positive.
_WAYS: Final = (
    ("rearward", "forward"),
    ("to the right", "to the left"),
    ("down", "up"),
)
_TURNS: Final = {1: turning(1), -1: turning(-1), 0: "still"}
#: The same of a slide, which goes along its guide.
_GOES: Final = {
    1: "toward the second end of its guide",
    -1: "toward the first end of its guide",
    0: "still",
}
#: By kind of fact: the word for each sense.
_WORDS: Final = {
    "shaft": _TURNS,
    "throttle": _TURNS,
    "pedal": {1: "opens", -1: "shuts", 0: "does not move"},
    "rod": {1: "pulls", -1: "pushes"},
    "spring": {1: "closing", -1: "opening"},
}
#: The same as plain data of governed engines, where inside what shuts counts as opening.
_GOVERNED: Final = {
    **_WORDS,
    "pedal": {1: "shuts", -1: "opens", 0: "does not move"},
    "spring": {1: "opening", -1: "closing"},
}
_PAST: Final = {
    "opens": "opened",
    "shuts": "shut",
    "does not move": "did not move",
    "pulls": "pulled",
    "pushes": "pushed",
}


def sense_word(swap: Swap, fact: Fact, sense: int | None) -> str:
    """Return the word for a sense of a fact; ``unknown`` for None."""
    return _word(_WORDS, swap, fact, sense)


def _word(
    words: Mapping[str, Mapping[int, str]], swap: Swap, fact: Fact, sense: int | None
) -> str:
    if sense is None:
        return "unknown"
    return _GOES[sense] if _slides(swap, fact) else words[fact.kind][sense]


def _slides(swap: Swap, fact: Fact) -> bool:
    """Tell whether a fact is about the way in which a slide goes."""
    return fact.kind == "shaft" and swap.before.shafts[fact.about.name].slides


def fact_text(swap: Swap, fact: Fact) -> str:
    """Return a fact as one sentence.

    Parameters
    ----------
    swap : Swap
        What was moved.
    fact : Fact
        One of its reversal's.
    """
    if fact.kind == "shaft" and fact.about.name == swap.beyond:
        return of_governors(_stays(swap, fact), governed=swap.after.governed)
    words = {
        "shaft": _shaft,
        "throttle": _throttle,
        "pedal": _pedal,
        "rod": _rod,
        "spring": _spring,
    }
    text = words[fact.kind](swap, fact)
    return of_governors(text, governed=swap.after.governed)


def fact_data(swap: Swap, reversal: Reversal) -> list[dict[str, object]]:
    """Return every fact as plain data."""
    words = _GOVERNED if swap.after.governed else _WORDS
    return [
        {
            "kind": fact.kind,
            "part": fact.about.name,
            "before": _word(words, swap, fact, fact.before),
            "after": _word(words, swap, fact, fact.after),
            "reverses": fact.reverses,
            "text": fact_text(swap, fact),
        }
        for fact in reversal.facts
    ]


def _stays(swap: Swap, fact: Fact) -> str:
    """Say that a longer shaft alone reverses nothing: common practice, no source."""
    name = swap.beyond
    one, two = swap.before.shafts[name], swap.after.shafts[name]
    way, seen = sense_word(swap, fact, fact.before), one.axis.seen_from
    if _slides(swap, fact):
        return f"{name} stays as it is: pedal down it goes {way}, before and after"
    if not swap.slides:
        return (
            f"{name} stays as it is: pedal down it turns {way} seen from {seen}, "
            "before and after"
        )
    grown = reached_along(two) - reached_along(one)
    if abs(grown) < NO_MOVE:
        size = "stays as long as it was"
    else:
        word = "longer" if grown > 0 else "shorter"
        size = f"becomes {say(abs(grown), 'length')} {word} between its outer arms"
    moved = ", and ".join(_slid(swap, slide) for slide in swap.slides)
    return (
        f"{name} stays and {size}: {moved}. That alone reverses nothing: pedal down it "
        f"turns {way} seen from {seen}, before and after; only from the other side "
        "of the car does the same turn look the other way"
    )


def _slid(swap: Swap, slide: Slide) -> str:
    arm, shaft = slide.hole.arm, slide.hole.shaft
    was = swap.before.shafts[shaft].arms[slide.added_to or arm].offset
    now = swap.after.shafts[shaft].arms[arm].offset
    moved = (
        f"arm `{slide.added_to}` carries another rod and stays; a second one, `{arm}`, is added"
        if slide.added_to
        else f"arm `{arm}` slides"
    )
    return f"{moved} along it from {say(was, 'length')} to {say(now, 'length')}"


def _shaft(swap: Swap, fact: Fact) -> str:
    name = fact.about.name
    one, two = swap.before.shafts[name], swap.after.shafts[name]
    before, after = (
        sense_word(swap, fact, fact.before),
        sense_word(swap, fact, fact.after),
    )
    seen = two.axis.seen_from
    was, now = say(one.pivot[1], "length"), say(two.pivot[1], "length")
    went = f"{name} goes from y = {was} to y = {now}"
    if _slides(swap, fact):
        return f"{went}: {_goes(before, after, fact)}"
    if fact.after is None:
        return f"{went}; which way it turns cannot be told"
    if fact.reverses:
        return f"{went}: pedal down it turned {before} seen from {seen}, and now turns {after}"
    return f"{went}: pedal down it turns {after} seen from {seen}, as before"


def _goes(before: str, after: str, fact: Fact) -> str:
    """Return how a slide goes along its guide, before and after."""
    if fact.after is None:
        return "which way it goes cannot be told"
    if fact.reverses:
        return f"pedal down it went {before}, and now goes {after}"
    return f"pedal down it goes {after}, as before"


def _throttle(swap: Swap, fact: Fact) -> str:
    name = fact.about.name
    one, two = swap.before.throttles[name], swap.after.throttles[name]
    plate = one.kind == "plate"
    what = ""
    if one.shaft in swap.moved:
        what = {
            "mirrored": ", a part of the other hand,",
            "turned": ", turned half a turn about upright," if plate else "",
            "replaced": ", another part," if plate else "",
        }[swap.carburettor]
    lever = swap.before.path_to(one.shaft)[-1].driven.arm
    shaft = swap.after.shafts[two.shaft]
    was, arm = swap.before.shafts[one.shaft].arms[lever], shaft.arms[lever]
    # Not 205° before and -155° now where nothing is turned.
    angle = arm.angle if turned(was, arm) else was.angle
    part = f"the nipple of its {arm.called}" if arm.wound else "its lever"
    change = (
        f"it was {sense_word(swap, fact, fact.before)}"
        if fact.reverses
        else "as before"
    )
    way, seen = sense_word(swap, fact, fact.after), shaft.axis.seen_from
    return (
        f"{name}{what} opens {way} seen from {seen}, "
        f"{change}; {part} `{lever}` stands at {say(angle, 'angle')} "
        f"at idle, it was at {say(was.angle, 'angle')}"
    )


def _pedal(swap: Swap, fact: Fact) -> str:
    name = fact.about.name
    if fact.after is None:
        return f"whether pressing opens {name} cannot be told"
    after = sense_word(swap, fact, fact.after)
    if not fact.reverses:
        return f"pressing {after} {name}, as before"
    return f"pressing NOW {after} {name}; before it {_PAST[sense_word(swap, fact, fact.before)]} it"


def _rod(swap: Swap, fact: Fact) -> str:
    name = fact.about.name
    before = sense_word(swap, fact, fact.before)
    if fact.after is None:
        return f"{swap.after.rods[name].called} {before} before; now it cannot be told"
    hole = next(link.driven for link in swap.after.links if link.rod.name == name)
    change = f"before it {_PAST[before]}" if fact.reverses else "as before"
    after, rod = sense_word(swap, fact, fact.after), swap.after.rods[name]
    must = "pull" if fact.after > 0 else "push"
    if rod.only and rod.only != must:
        return (
            f"{rod.called} can only {rod.only}, and would have to {must} `{hole}`, "
            f"{change}: it lets go, and pressing does not move what it drives"
        )
    if rod.slot and fact.reverses:
        end = "outer" if fact.after > 0 else "inner"
        change += f"; its pin drives at the {end} end of its slot now"
    return f"pedal down: {rod.called} {after} `{hole}`, {change}"


def _pulls_to(layout: Layout, name: str) -> str:
    """Return the main direction from a spring's hook to its anchor, in words."""
    spring = layout.springs[name]
    if spring.anchor is None or not spring.arm:
        return ""
    away = add(spring.anchor, layout.shafts[spring.shaft].pin(spring.arm), -1)
    i = max(range(3), key=lambda k: abs(away[k]))
    return _WAYS[i][away[i] > 0]


def _spring(swap: Swap, fact: Fact) -> str:
    name = fact.about.name
    after = swap.after.springs[name]
    was, now = _pulls_to(swap.before, name), _pulls_to(swap.after, name)
    verb = "pushes" if after.kind == "compression" else "pulls" if now else "acts"
    side = f"spring `{name}` {verb} {now}".rstrip()
    if was != now:
        side += f", before {was}"
    if fact.after is None:
        return f"{side}; whether it shuts the throttle cannot be told"
    if fact.wrong_hand:
        return (
            f"{side}: NOW the opening way. It is a spring of the wrong hand here: "
            f"hook it to the other side of {after.shaft}"
        )
    same = "the other way than before" if fact.reverses else "as before"
    return f"{side}: the {sense_word(swap, fact, fact.after)} way, {same}"
