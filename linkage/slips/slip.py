"""A slip that would explain what is wrong, as it is told.

Not here: finding slips (`slips.suspects`), their words (`report.slips`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from linkage.quantities import SHOWN
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.model import Layout
    from linkage.model.refs import Ref


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Slip:
    """A slip of measuring or meaning that would explain what is wrong.

    Parameters
    ----------
    kind : str
        A key of `slips.kinds.KINDS`.
    about : Ref
        The part.
    key : tuple of str
        Where it stands in the layout file.
    old, new : object
        As it is and as it would be: a number, a place, numbers by arm, or a word. [SI]
    unit : str
        Kind of the numbers, a key of `quantities.SHOWN`; empty of a word.
    text : str
        What may have been done, and what it then is.
    layout : Layout
        As it would be.
    left : tuple of str
        Codes of what then still says "do not fit"; empty where all is well.
    looks : int
        Findings that then ask for a look.
    """

    kind: str
    about: Ref
    key: tuple[str, ...]
    old: object
    new: object
    unit: str
    text: str
    layout: Layout
    left: tuple[str, ...] = ()
    looks: int = 0

    @property
    def whole(self) -> bool:
        """Whether nothing else is wrong then."""
        return not self.left

    def record(self) -> dict[str, Any]:
        """Return it as plain data, in the shown unit, for ``--json``."""
        return {
            "kind": self.kind,
            "where": str(self.about),
            "key": list(self.key),
            "old": _shown(self.old, self.unit),
            "new": _shown(self.new, self.unit),
            "unit": SHOWN[self.unit].unit if self.unit else "",
            "text": self.text,
            "leaves": list(self.left),
            "looks": self.looks,
        }


class Slips(tuple[Slip, ...]):  # noqa: SLOT001 - a tuple has no room for one
    """The likeliest slips, first to last.

    Attributes
    ----------
    cut : bool
        Whether the layout is so large that not every usual slip was looked at.
    """

    cut: bool = False


def _shown(value: Any, unit: str) -> Any:  # noqa: ANN401
    if not unit:
        return value
    if isinstance(value, dict):
        return {name: _shown(v, unit) for name, v in value.items()}
    if isinstance(value, tuple):
        return [_shown(v, unit) for v in value]
    return round(value / SHOWN[unit].factor, 6)
