"""One thing in which two layouts differ, and from when on numbers and places do.

Not here: which differ (`comparison.changes`, `comparison.cables`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from linkage.model.axes import add, norm
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.model.refs import Ref

#: Differences under these are none. [m], [1]
SAME_LENGTH: Final = 1e-6
SAME_SHARE: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One number or choice that is another than it was.

    Parameters
    ----------
    kind : str
        ``place``, ``axis``, ``arm length``, ``arm angle``, ``arm offset``,
        ``rod ends``, ``rod length``, ``rod way`` (what alone it can do), ``rod slot``,
        ``rod lost``, ``rod over-travel`` (way, load and rate), ``spring hook``,
        ``spring anchor``, ``spring`` (what it is), ``opens``, ``swing``, ``presses``,
        ``travel``, ``hand`` (whether there is a hand lever), ``pulls``, ``holds``,
        ``heat``, ``limits`` or ``obstacle``; of slides ``guide`` (both ends) and
        ``pin``; of drums and cables those of `report.compare_cables`.
    about : Ref
        The part, by its name in the new layout.
    old, new : object
        In SI; a point, a number, a hole, a word, or None where the file gives none.
    """

    kind: str
    about: Ref
    old: Any = None
    new: Any = None


def differ(one: Any, two: Any) -> bool:  # noqa: ANN401
    """Tell whether two numbers or words differ; None is another than any."""
    if one is None or two is None or isinstance(one, str):
        return bool(one != two)
    return bool(abs(two - one) > SAME_SHARE * max(abs(one), abs(two)))


def apart(one: Any, two: Any) -> bool:  # noqa: ANN401
    """Tell whether two places differ."""
    return bool(norm(add(two, one, -1)) > SAME_LENGTH)
