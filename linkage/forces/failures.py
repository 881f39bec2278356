"""Single failures as data: what has failed, and which springs and rods it takes.

Not here: what still shuts the plate after one (`returns`), how fast (`time`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal

from linkage.model.refs import Ref
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.model import Layout


@dataclass(frozen=True, slots=True)
class Failure:
    """What has failed.

    Parameters
    ----------
    kind : {"none", "spring", "rod"}
        How. ``rod``: the rod or either of its joints has parted.
    ref : Ref
        The part that has failed; of kind ``all`` where nothing has.
    gone : frozenset of Ref
        Springs and rods that act no more: all there is to know for the forces.
    """

    kind: Literal["none", "spring", "rod"]
    ref: Ref
    gone: frozenset[Ref]

    @property
    def text(self) -> str:
        """The failure in words.

        >>> failed("rod", "last").text
        'rod last parted'
        """
        if self.kind == "none":
            return "nothing failed"
        how = "off" if self.kind == "spring" else "parted"
        return f"{self.kind} {self.ref.name} {how}"


INTACT: Final = Failure("none", Ref("all"), frozenset())


def failed(kind: Literal["spring", "rod"], name: str) -> Failure:
    """Return the failure of one spring or rod.

    >>> failed("spring", "main").gone
    frozenset({Ref(kind='spring', name='main', part='')})
    """
    ref = Ref(kind, name)
    return Failure(kind, ref, frozenset({ref}))


def failures(layout: Layout) -> tuple[Failure, ...]:
    """Return every single failure: each spring, then each rod."""
    springs = tuple(failed("spring", name) for name in layout.springs)
    return springs + tuple(failed("rod", name) for name in layout.rods)
