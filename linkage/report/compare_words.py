"""What differs between two layouts, and what turned the sense round, as sentences.

Not here: the screen they stand on (`report.compare`).
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from linkage.comparison.change import apart
from linkage.comparison.senses import driven_order
from linkage.model import turning
from linkage.model.called import called
from linkage.quantities import say
from linkage.report.compare_cables import CABLES
from linkage.report.compare_ways import moved, size, ways_words
from linkage.spoken import listed

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from linkage.comparison import Change, Comparison, Turn, Way
    from linkage.model import Layout
    from linkage.model.refs import Ref

_NO_CABLES: Final[Mapping[str, str]] = MappingProxyType({})
#: How the new layout stands as a whole, by `senses.MIRRORS`.
STANDS: Final = {
    "left for right": "is the mirror image of the old one, left for right",
    "front for back": "is the mirror image of the old one, front for back",
    "half a turn": "is the old one turned half a turn about upright",
}


def kinds_of(c: Comparison) -> Mapping[str, str]:
    """Return of every rod of both layouts whether it is a rod or a cable, now if it is."""
    rods = {**c.old.layout.rods, **c.new.layout.rods}
    return {name: rod.kind for name, rod in rods.items()}


def quoted(ref: Ref, kinds: Mapping[str, str] = _NO_CABLES) -> str:
    """Return a part's name in backticks, with its kind where a name tells none."""
    if ref.kind == "rod":
        return called(kinds, ref.name)
    if ref.kind in {"spring", "obstacle"}:
        return f"{ref.kind} `{ref.name}`"
    if ref.kind == "all":
        return ref.name
    inputs = {"pedal": "the pedal", "hand": "the hand lever"}
    return inputs.get(ref.kind, f"`{ref}`")


def _was(kind: str, about: str = "") -> Callable[[Change], str]:
    return lambda c: f"{about}{say(c.new, kind)} (was {say(c.old, kind)})"


def _length(value: float | None) -> str:
    return "cut to fit" if value is None else say(value, "length")


def _can(only: str) -> str:
    return f"can only {only}" if only else "can pull and push"


def _slot(change: Change) -> str:
    old, new = (say(length, "length") for length in (change.old, change.new))
    if not change.old:
        return f"has a slot of {new} (had none)"
    return f"slot {new} (was {old})" if change.new else f"has no slot (had {old})"


def _gives(over: Sequence[float] | None) -> str:
    """Return what a rod's over-travel spring does, in words."""
    if over is None:
        return "does not give"
    way, load, rate = over
    return f"gives {say(way, 'length')} from {say(load, 'force')} on at {say(rate, 'rate')}"


def _wanted(opening: float | None) -> str:
    """Return what a hand lever is to open, in words."""
    if opening is None:
        return "opens as far as it may"
    return f"is to open {say(opening, 'angle')}, a fast idle"


def _held(force: float | None) -> str:
    """Return up to what something holds a hand lever."""
    return (
        "is held, how is not known"
        if force is None
        else f"holds to {say(force, 'force')}"
    )


def _hooked(place: Sequence[str]) -> str:
    """Return where a spring hooks; the shaft alone of one that is about it."""
    return ".".join(filter(None, place))


def _anchored(change: Change) -> str:
    if change.old is None or change.new is None:
        return "anchored another way"
    return f"anchor {moved(change.old, change.new)}"


def _obstacle(change: Change) -> str:
    """Return in what an obstacle differs: whether it is there, stands or is otherwise."""
    if change.old is None:
        return "is new beside it"
    if change.new is None:
        return "is gone"
    same = change.old.points == change.new.points
    return "is another" if same else "stands elsewhere"


def _guide(change: Change) -> str:
    """Return which end of a slide's guide went where."""
    told = [
        f"the {word} end of its guide {moved(one, two)}"
        for word, one, two in zip(
            ("first", "second"), change.old, change.new, strict=True
        )
        if apart(one, two)
    ]
    return f"has {', '.join(told)}"


_CHANGES: Final[dict[str, Callable[[Change], str]]] = {
    "place": lambda c: moved(c.old, c.new),
    "axis": lambda c: f"lies another way (seen from {c.new.seen_from})",
    "guide": _guide,
    "pin": lambda c: f"stands {moved(c.old, c.new)}",
    "arm length": _was("length"),
    "arm angle": _was("angle", "at "),
    "arm offset": lambda c: f"slid {size(c.new - c.old)} along its shaft",
    "rod ends": lambda c: f"joins {c.new[0]} and {c.new[1]} (was {c.old[0]} and {c.old[1]})",
    "rod length": lambda c: f"{_length(c.new)} (was {_length(c.old)})",
    "rod way": lambda c: f"{_can(c.new)} (was one that {_can(c.old)})",
    "rod slot": _slot,
    "rod over-travel": lambda c: f"{_gives(c.new)} (was one that {_gives(c.old)})",
    "rod lost": lambda c: f"loses {say(c.new, 'length')} at rest (was {say(c.old, 'length')})",
    "spring hook": lambda c: f"hooked to {_hooked(c.new)} (was {_hooked(c.old)})",
    "spring anchor": _anchored,
    "spring": lambda _: "another spring",
    "opens": lambda c: f"opens {turning(c.new)} (was {turning(c.old)})",
    "swing": _was("angle", "swing "),
    "presses": lambda c: f"pressing turns it {turning(c.new)} (was {turning(c.old)})",
    "travel": _was("length", "travel "),
    "hand": lambda c: "is new" if c.new else "is gone",
    "pulls": lambda c: f"pulling turns it {turning(c.new)} (was {turning(c.old)})",
    "fast idle": lambda c: f"{_wanted(c.new)} (was one that {_wanted(c.old)})",
    "holds": lambda c: f"{_held(c.new)} (was one that {_held(c.old)})",
    "limits": lambda _: "limits of the check",
    "heat": lambda _: "is told otherwise",
    "obstacle": _obstacle,
    **CABLES,
}  # fmt: skip


def change_text(change: Change, kinds: Mapping[str, str] = _NO_CABLES) -> str:
    """Return one change of a part as a phrase."""
    if change.kind == "limits":
        return "the file's limits differ"
    return f"{quoted(change.about, kinds)} {_CHANGES[change.kind](change)}"


def changes_text(
    changes: Sequence[Change], kinds: Mapping[str, str] = _NO_CABLES
) -> list[str]:
    """Return what changed, a phrase a part; parts that changed alike in one."""
    parts: dict[Ref, list[str]] = {}
    for change in changes:
        if change.kind != "limits":
            parts.setdefault(change.about, []).append(_CHANGES[change.kind](change))
    alike: dict[tuple[str, str], list[Ref]] = {}
    for about, words in parts.items():
        kind = kinds.get(about.name, "rod") if about.kind == "rod" else about.kind
        alike.setdefault((kind, ", ".join(words)), []).append(about)
    out = []
    for (kind, said), refs in sorted(alike.items(), key=_late):
        if kind in {"rod", "cable", "cam", "spring"}:
            plural = f"{kind}{'s' * (len(refs) > 1)} "
            names = plural + listed([f"`{r.name}`" for r in refs])
        else:
            names = listed([quoted(r) for r in refs])
        several = len(refs) > 1
        told = said.replace(" its shaft", " their shafts") if several else said
        out.append(f"{names} {told}")
    return out


def _late(part: tuple[tuple[str, str], object]) -> int:
    """Sort springs after what drives, and what was only slid along its shaft last."""
    kind, said = part[0]
    return 2 if "slid" in said and "(was" not in said else int(kind == "spring")


def _both_seen(way: Way) -> str:
    one, two = way.seen
    if one == two:
        told = f"both seen from {two}"
        return (
            f"{told}, though the old file measures from {way.measured}"
            if way.measured
            else told
        )
    return f"the old seen from {one}, the new from {two}"


def _turned_shaft(c: Comparison, name: str, what: str = "turned") -> str:
    """Return how a shaft turned and turns now, with its viewer."""
    way = next((w for w in c.shafts if w.about.name == name), None)
    if way is None:
        return f"`{name}`"
    old, new = ways_words(way)
    if way.along:
        if old == new:
            return f"slide `{name}` goes {new}, as before"
        return f"slide `{name}` went {old}, now {new}"
    if old == new:
        return f"`{name}` turns {new} seen from {way.seen[1]}, as before"
    return f"`{name}` {what} {old}, now {new}, {_both_seen(way)}"


def turn_text(c: Comparison, turn: Turn) -> str:
    """Return what happened at one place of the chain, as a sentence without its stop."""
    ref = turn.parts[0]
    if len(turn.parts) > 1:
        return _unclear(c, turn)
    if ref.kind == "pedal":
        return f"{_turned_shaft(c, ref.name)}: the pedal is pressed the other way"
    if ref.kind == "throttle":
        return _throttle(c, ref.name)
    link = next(
        k
        for k in c.new.layout.links
        if ref.name in {h.shaft for h in k.holes}
        and ref.part in {h.arm for h in k.holes if h.shaft == ref.name}
    )
    driven = _turned_shaft(c, link.driven.shaft)
    if link.driver.shaft == ref.name:
        as_before = "goes" if c.new.layout.shafts[ref.name].slides else "turns"
        driven += f", though `{ref.name}` {as_before} as before"
    return f"{driven}: {_arm_cause(c, turn, link.rod.name)}"


def _arm_cause(c: Comparison, turn: Turn, rod: str) -> str:
    ref = turn.parts[0]
    arms = c.new.layout.shafts[ref.name].arms
    if any(k.about == ref and k.kind == "drum wound" for k in c.changes):
        word = arms[ref.part].called
        return f"the wire lies round {word} `{ref}` the other way"
    if c.new.layout.shafts[ref.name].slides:
        return f"{called(kinds_of(c), rod)} now comes to `{ref}` from the other side"
    at = f"at {say(arms[ref.part].angle, 'angle', 0)}"
    change = next(
        (k for k in c.changes if k.about == ref and k.kind == "arm angle"), None
    )
    at += f", was at {say(change.old, 'angle', 0)}" if change else ""
    if turn.hand:
        return f"`{ref.name}` is of the other hand (arm `{ref.part}` {at})"
    if turn.moved:
        return f"arm `{ref}` stands on the other side of its shaft ({at})"
    ends = {h.shaft for k in c.new.layout.links if k.rod.name == rod for h in k.holes}
    places = {k.about.name for k in c.changes if k.kind in {"place", "axis"}}
    went = [f"`{n}`" for n in driven_order(c.new.layout) if n in ends & places]
    stand = "stand" if len(went) > 1 else "stands"
    why = f", as {listed(went)} {stand} elsewhere" if went else ""
    return (
        f"{called(kinds_of(c), rod)} now goes past `{ref.name}` on the other side{why}"
    )


def _throttle(c: Comparison, name: str) -> str:
    way = next(w for w in c.throttles if w.about.name == name)
    old, new = ways_words(way)
    shaft = c.new.layout.throttles[name].shaft
    if old == new:
        return f"`{name}` opens {new} as before, but `{shaft}` lies another way"
    told = f"`{name}` opened {old}, now {new}, {_both_seen(way)}"
    told += ": the carburettor opens the other way"
    alike = next((w for w in c.shafts if w.about.name == shaft), None)
    same = alike is not None and alike.turned is False
    return f"{told}; `{shaft}` turns as before" if same else told


def _unclear(c: Comparison, turn: Turn) -> str:
    parts = {r.name for r in turn.parts}
    new = {r.name for r in c.matching.only_new if r.kind == "shaft"}
    lone = [n for n in driven_order(c.new.layout) if n in new & parts]
    why = "a shaft lies another way"
    if lone:
        verb = "are" if len(lone) > 1 else "is"
        why = f"{listed([f'`{n}`' for n in lone])} {verb} new"
    one, two = (quoted(turn.parts[i], kinds_of(c)) for i in (0, -1))
    return f"between {one} and {two}, where {why}"


def stands_text(mirror: str) -> str:
    """Return how the new layout stands as a whole; empty where as the old one."""
    return f"The new linkage {STANDS[mirror]}" if mirror else ""


def datum_moved(old: Layout, new: Layout, changes: Sequence[Change]) -> str:
    """Return by how much all shafts went together; empty where they did not."""
    places = [c for c in changes if c.kind == "place"]
    both = [n for n in new.shafts if n in old.shafts]
    if len(places) < 2 or len(places) < len(both):
        return ""
    by = {
        tuple(round(b - a, 5) for a, b in zip(c.old, c.new, strict=True))
        for c in places
    }
    return moved(places[0].old, places[0].new) if len(by) == 1 else ""
