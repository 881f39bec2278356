"""Single failures as data: what has failed, and which springs and rods it takes.

Not here: what hangs on one part (`common`), what still shuts the plate after one
(`returns`), how fast (`time`).
"""

from __future__ import annotations

from dataclasses import field, replace
from typing import TYPE_CHECKING, Final, Literal, TypeAlias

import numpy as np

from linkage.forces.common import Taken, anchored, on_levers, on_pins
from linkage.model.called import rod_kinds
from linkage.model.columns import some
from linkage.model.refs import Ref
from linkage.records import dataclass
from linkage.spoken import listed

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from linkage.model import Layout
    from linkage.model.columns import Truth

Kind: TypeAlias = Literal["none", "spring", "rod", "pin", "arm", "anchor", "shaft"]


@dataclass(frozen=True, slots=True)
class Failure:
    """What has failed.

    Parameters
    ----------
    kind : {"none", "spring", "rod", "pin", "arm", "anchor", "shaft"}
        How. ``rod``: the rod or either of its joints has parted; of a cable its wire, or
        its sheath has come out of its bracket, so that it is slack; of a cam its roller
        is lost. ``pin``: the ball
        stud or pin of some holes has broken; ``arm``: a lever has broken off or its
        clamp slips; ``anchor``: a bracket or hook on which springs are anchored
        has gone; ``shaft``: it has come off its pivot.
    ref : Ref
        The part that has failed; of kind ``all`` where nothing has.
    gone : frozenset of Ref
        Springs and rods that act no more: all there is to know for the forces.
    applies : bool or column
        In which rows that part takes just these.
    named : tuple of Ref
        The same as ``gone`` in the order in which it is told.
    kinds : mapping of str to str
        What each of the rods is, by its name, where not all are rods.
    slides : bool
        Of kind ``shaft``: whether it is a slide, that has come out of its guide.
    """

    kind: Kind
    ref: Ref
    gone: frozenset[Ref]
    applies: Truth = field(default=True, compare=False)
    named: tuple[Ref, ...] = field(default=(), compare=False)
    kinds: Mapping[str, str] = field(default_factory=dict, compare=False)
    slides: bool = field(default=False, compare=False)

    @property
    def what(self) -> str:
        """Its kind, of a cable ``cable`` and of a cam ``cam``."""
        return self.kind if self.kind != "rod" else self._kind(self.ref)

    def _kind(self, ref: Ref) -> str:
        return self.kinds.get(ref.name, "rod") if ref.kind == "rod" else ref.kind

    @property
    def text(self) -> str:
        """The failure in words.

        >>> failed("rod", "last").text
        'rod `last` parted'
        """
        alone = self.kind == "none" or self.kind in _ALONE
        return self.brief if alone else f"{self.brief} ({self.took} with it)"

    @property
    def brief(self) -> str:
        """The failure in words, without what goes with it."""
        if self.kind == "none":
            return "nothing failed"
        if self.what == "cam":
            return f"the roller of cam `{self.ref.name}` lost"
        if self.kind in _ALONE:
            return f"{self.what} `{self.ref.name}` {_ALONE[self.kind]}"
        kind = "slide" if self.slides else self.kind
        return _FAILED[kind].format(self.ref)

    @property
    def took(self) -> str:
        """All that goes with it, in words."""
        return listed(
            [f"{self._kind(ref)} `{ref.name}`" for ref in self.named or self.gone]
        )


_ALONE: Final = {"spring": "off", "rod": "parted"}
_FAILED: Final = {
    "pin": "the pin at `{}` broken",
    "arm": "lever `{}` off or slipping",
    "anchor": "the anchor of {} gone",
    "shaft": "shaft `{}` off its pivot",
    "slide": "slide `{}` out of its guide",
}

INTACT: Final = Failure("none", Ref("all"), frozenset())


def failed(kind: Literal["spring", "rod"], name: str) -> Failure:
    """Return the failure of one spring or rod.

    >>> failed("spring", "main").gone
    frozenset({Ref(kind='spring', name='main', part='')})
    """
    ref = Ref(kind, name)
    return Failure(kind, ref, frozenset({ref}))


def failures(layout: Layout) -> tuple[Failure, ...]:
    """Return every single failure of a part.

    Each spring, each rod, then what takes several of them at once: pins, levers,
    anchors, shafts between the pedal's and a spindle. What takes the same as a part
    before it in every row is left out.

    Parameters
    ----------
    layout : Layout
        One or many.
    """
    out: list[Failure] = [failed("spring", name) for name in layout.springs]
    out += [failed("rod", name) for name in layout.rods]
    parts = [Ref("rod", name) for name in layout.rods]
    parts += [Ref("spring", name) for name in layout.springs]
    known: dict[frozenset[Ref], Truth] = {f.gone: True for f in out}
    for failure in _common(layout):
        told = known.get(failure.gone, False)
        applies = failure.applies & np.logical_not(told)
        if some(applies):
            named = tuple(ref for ref in parts if ref in failure.gone)
            out.append(replace(failure, applies=applies, named=named))
            known[failure.gone] = told | applies
    kinds = rod_kinds(layout)
    return tuple(replace(f, kinds=kinds) for f in out) if kinds else tuple(out)


def _common(layout: Layout) -> Iterator[Failure]:
    groups: tuple[tuple[Kind, Iterator[Taken]], ...] = (
        ("pin", on_pins(layout)),
        ("arm", on_levers(layout)),
        ("anchor", anchored(layout)),
    )
    for kind, found in groups:
        for part in found:
            yield Failure(kind, part.ref, part.gone, part.applies)
    ends = {layout.pedal.shaft, *(t.shaft for t in layout.throttles.values())}
    for shaft, moves in layout.shafts.items():
        if shaft not in ends:
            gone = {
                Ref("spring", n) for n, s in layout.springs.items() if s.shaft == shaft
            }
            for link in layout.links:
                if shaft in {hole.shaft for hole in link.holes}:
                    gone.add(Ref("rod", link.rod.name))
            yield Failure(
                "shaft", Ref("shaft", shaft), frozenset(gone), slides=moves.slides
            )
