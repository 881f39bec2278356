"""Which part of one layout is which of another: by name, else by its place in the chain.

Not here: what differs between parts that are matched (`comparison.changes`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, TypeAlias

from linkage.model import Hole
from linkage.model.refs import Ref
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from linkage.model import Layout, Spring

By: TypeAlias = Literal["name", "place"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """A part of the old layout and the part that is it in the new one.

    Parameters
    ----------
    old, new : Ref
        Of one kind: shaft, arm, rod, spring or throttle.
    by : {"name", "place"}
        How they were matched: by place where the names differ.
    """

    old: Ref
    new: Ref
    by: By


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Matching:
    """All that two layouts have in common, and what only one of them has.

    Parameters
    ----------
    pairs : tuple of Pair
        Shafts in driving order, then their arms, rods, springs and throttles.
    only_old, only_new : tuple of Ref
        Parts that have no counterpart.
    """

    pairs: tuple[Pair, ...]
    only_old: tuple[Ref, ...]
    only_new: tuple[Ref, ...]

    def __repr__(self) -> str:
        lone = len(self.only_old) + len(self.only_new)
        return f"<Matching: {len(self.pairs)} pairs, {lone} parts in one layout only>"

    def names(self, kind: str) -> dict[str, str]:
        """Return the new name by the old one, of one kind but arms."""
        return {p.old.name: p.new.name for p in self.pairs if p.new.kind == kind}

    def arms(self) -> dict[Hole, Hole]:
        """Return the new hole by the old one."""
        return {
            Hole(shaft=p.old.name, arm=p.old.part): Hole(
                shaft=p.new.name, arm=p.new.part
            )
            for p in self.pairs
            if p.new.kind == "arm"
        }

    @property
    def by_place(self) -> tuple[Pair, ...]:
        """Pairs whose names differ; arms only where their own names do."""
        return tuple(
            p
            for p in self.pairs
            if p.by == "place" and (p.new.kind != "arm" or p.old.part != p.new.part)
        )


def match(old: Layout, new: Layout) -> Matching:
    """Match the parts of two layouts.

    Parameters
    ----------
    old, new : Layout
        One each.
    """
    shafts = _shafts(old, new)
    rods = _rods(old, new, shafts)
    springs = _springs(old, new, shafts)
    throttles = _throttles(old, new, shafts)
    arms = _arms(old, new, shafts, rods, springs)
    pairs: list[Pair] = []
    found = {"shaft": shafts, "rod": rods, "spring": springs, "throttle": throttles}
    for kind, named in found.items():
        pairs += [_pair(Ref(kind, a), Ref(kind, b)) for a, b in named.items()]  # type: ignore[arg-type]
        if kind == "shaft":
            pairs += [_pair(_arm(a), _arm(b)) for a, b in arms.items()]
    return Matching(
        pairs=tuple(pairs),
        only_old=tuple(r for r in _parts(old) if r not in {p.old for p in pairs}),
        only_new=tuple(r for r in _parts(new) if r not in {p.new for p in pairs}),
    )


def _pair(old: Ref, new: Ref) -> Pair:
    same = (old.part or old.name) == (new.part or new.name)
    return Pair(old=old, new=new, by="name" if same else "place")


def _arm(hole: Hole) -> Ref:
    return Ref("arm", hole.shaft, hole.arm)


def _parts(layout: Layout) -> Iterator[Ref]:
    for name, shaft in layout.shafts.items():
        yield Ref("shaft", name)
        yield from (Ref("arm", name, arm) for arm in shaft.arms)
    yield from (Ref("rod", name) for name in layout.rods)
    yield from (Ref("spring", name) for name in layout.springs)
    yield from (Ref("throttle", name) for name in layout.throttles)


def _order(layout: Layout) -> list[str]:
    return [layout.pedal.shaft, *(link.driven.shaft for link in layout.links)]


def _shafts(old: Layout, new: Layout) -> dict[str, str]:
    """Match pedals and hand levers, then by name, main spindles, then along the rods."""
    out = {old.pedal.shaft: new.pedal.shaft}
    if old.hand is not None and new.hand is not None:
        _put(out, old.hand.shaft, new.hand.shaft)
    for name in _order(old):
        if name in out or name in out.values() or name not in new.shafts:
            continue
        if _of_one_kind(old, new, (name, name)):
            out[name] = name
    _put(out, old.main.shaft, new.main.shaft)
    while _along(old, new, out):
        pass
    return {name: out[name] for name in _order(old) if name in out}


def _of_one_kind(old: Layout, new: Layout, pair: tuple[str, str]) -> bool:
    """Tell whether both are shafts, or both slides."""
    return old.shafts[pair[0]].slides is new.shafts[pair[1]].slides


def _put(out: dict[str, str], one: str, two: str) -> bool:
    if one in out or two in out.values():
        return False
    out[one] = two
    return True


def _along(old: Layout, new: Layout, out: dict[str, str]) -> bool:
    """Match one more shaft that is driven by, or drives, a matched one."""
    for a in old.links:
        for b in new.links:
            if out.get(a.driver.shaft) == b.driver.shaft:
                pair = a.driven.shaft, b.driven.shaft
                ends = (old.throttle_on(pair[0]), new.throttle_on(pair[1]))
                alike = (ends[0] is None) == (ends[1] is None)
                if alike and _of_one_kind(old, new, pair) and _put(out, *pair):
                    return True
            if out.get(a.driven.shaft) == b.driven.shaft:
                pair = a.driver.shaft, b.driver.shaft
                if _of_one_kind(old, new, pair) and _put(out, *pair):
                    return True
    return False


def _rods(old: Layout, new: Layout, shafts: Mapping[str, str]) -> dict[str, str]:
    """Match rods by name where they share an end, else by the shaft they drive."""
    there = {link.rod.name: link for link in new.links}
    out: dict[str, str] = {}
    for a in old.links:
        b = there.get(a.rod.name)
        if b is not None and any(
            shafts.get(one.shaft) == two.shaft
            for one, two in zip(a.holes, b.holes, strict=True)
        ):
            out[a.rod.name] = b.rod.name
    for a in old.links:
        for b in new.links:
            if shafts.get(a.driven.shaft) == b.driven.shaft:
                _put(out, a.rod.name, b.rod.name)
    return {
        link.rod.name: out[link.rod.name] for link in old.links if link.rod.name in out
    }


def _springs(old: Layout, new: Layout, shafts: Mapping[str, str]) -> dict[str, str]:
    out = {n: n for n in old.springs if n in new.springs}

    def alike(one: Spring, two: Spring) -> bool:
        return shafts.get(one.shaft) == two.shaft

    for a, one in old.springs.items():
        for b, two in new.springs.items():
            if alike(one, two):
                _put(out, a, b)
    return {n: out[n] for n in old.springs if n in out}


def _throttles(old: Layout, new: Layout, shafts: Mapping[str, str]) -> dict[str, str]:
    out = {n: n for n in old.throttles if n in new.throttles}
    for a, one in old.throttles.items():
        for b, two in new.throttles.items():
            if shafts.get(one.shaft) == two.shaft:
                _put(out, a, b)
    return out


def _arms(
    old: Layout,
    new: Layout,
    shafts: Mapping[str, str],
    rods: Mapping[str, str],
    springs: Mapping[str, str],
) -> dict[Hole, Hole]:
    """Match arms by name, else by the rod, the spring or the pad that they carry."""
    out: dict[Hole, Hole] = {}
    for a, b in shafts.items():
        for arm in old.shafts[a].arms:
            if arm in new.shafts[b].arms:
                out[Hole(shaft=a, arm=arm)] = Hole(shaft=b, arm=arm)
    for one, two in _used(old, new, rods, springs):
        same = shafts.get(one.shaft) == two.shaft
        if same and one not in out and two not in out.values():
            out[one] = two
    return out


def _used(
    old: Layout, new: Layout, rods: Mapping[str, str], springs: Mapping[str, str]
) -> Iterator[tuple[Hole, Hole]]:
    yield (
        Hole(shaft=old.pedal.shaft, arm=old.pedal.pad),
        Hole(shaft=new.pedal.shaft, arm=new.pedal.pad),
    )
    if old.waits is not None and new.waits is not None:
        yield old.waits, new.waits
    there = {link.rod.name: link for link in new.links}
    for link in old.links:
        if link.rod.name in rods:
            yield from zip(link.holes, there[rods[link.rod.name]].holes, strict=True)
    for a, b in springs.items():
        one, two = old.springs[a], new.springs[b]
        if one.arm and two.arm:
            yield Hole(shaft=one.shaft, arm=one.arm), Hole(shaft=two.shaft, arm=two.arm)
