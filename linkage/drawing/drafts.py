"""Labels before they are placed: parts that lie over each other share one.

Where two carburettors stand behind each other, a view shows one spindle where
there are two; two labels with two leaders to one place would be told apart by
nobody. Here their names stand together.

Not here: what is said of a part (`layout_labels`), where it stands (`board`).
"""

from __future__ import annotations

import textwrap
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.drawing.label import Label

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]

#: Parts whose ends are nearer than this lie over each other. [pt]
SAME: Final = 2.5
#: Signs a line of a label holds.
LINE: Final = 26


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Draft:
    """What is to be said of one part.

    Parameters
    ----------
    name : str
        The part.
    whole : str
        The same, so that it is not mixed up with that of another shaft.
    tail : tuple of str
        Further lines; what follows the name in its line begins with a space or a
        colon.
    spots : ndarray, shape (n, 2)
        What must coincide for parts to lie over each other. [m]
    tips : ndarray, shape (m, 2)
        Where a leader may end, the best first. [m]
    owners : tuple of str
        Parts in which it may end, as `inked.Ink` names them.
    toward : tuple of 2 floats
        Wished direction on the picture.
    style : mapping
        Of the text.
    broken : mapping of str to str
        Line ends that may stand elsewhere: what for what.
    optional : bool
        Whether another view says it too.
    """

    name: str
    whole: str
    tail: tuple[str, ...]
    spots: FloatArray
    tips: FloatArray
    owners: tuple[str, ...]
    toward: tuple[float, float] = (0.0, 0.0)
    style: Mapping[str, Any] = field(default_factory=dict)
    broken: Mapping[str, str] = field(default_factory=dict)
    optional: bool = False


def together(drafts: Iterable[Draft], scale: float) -> list[Label]:
    """Return the labels of parts of one kind, those that lie over each other as one.

    Parameters
    ----------
    drafts : iterable of Draft
        All of one kind.
    scale : float
        Printed points a metre. [pt/m]
    """
    groups: list[list[Draft]] = []
    for draft in drafts:
        for group in groups:
            if _over(group[0].spots, draft.spots, scale):
                group.append(draft)
                break
        else:
            groups.append([draft])
    return [_tag(group) for group in groups]


def _over(one: FloatArray, other: FloatArray, scale: float) -> bool:
    if one.shape != other.shape:
        return False
    apart = np.hypot(*(one - other).T) * scale
    back = np.hypot(*(one - other[::-1]).T) * scale
    return bool(apart.max() < SAME or (back.max() < SAME))


def _tag(group: Sequence[Draft]) -> Label:
    text = _joined(group)
    forms = []
    for old, new in group[0].broken.items():
        if old in text:
            forms.append(text.replace(old, new))
    owners = tuple(owner for draft in group for owner in draft.owners)
    tips = [(float(x), float(y)) for x, y in group[0].tips]
    whole = _joined(group, whole=True).replace("\n", " ")
    says = tuple(_joined([d], whole=True) for d in group)
    return Label(
        text=text,
        at=tips[0],
        also=tuple(tips[1:]),
        toward=group[0].toward,
        style=_look(group),
        forms=tuple(forms),
        owners=owners,
        told=whole,
        says=says,
        optional=all(draft.optional for draft in group),
    )


def _look(group: Sequence[Draft]) -> Mapping[str, Any]:
    """Return the look of the first, in black where others have another colour."""
    look = group[0].style
    if len({d.style.get("color") for d in group}) > 1:
        return {**look, "color": "0.1"}
    return look


def _joined(group: Sequence[Draft], *, whole: bool = False) -> str:
    """Return the names of all with what is said of them, or each with its own."""
    if len({d.tail for d in group}) > 1:
        each = [_joined([d], whole=True) for d in group]
        return ("; " if whole else "\n").join(each)
    several = len(group) > 1
    names = [d.whole if whole or several else d.name for d in group]
    if several and not whole and len({n.rpartition(".")[0] for n in names}) == 1:
        names = [d.name for d in group]
    tail = group[0].tail
    after = tail[0] if tail and tail[0][:1] in {" ", ":"} else ""
    lines = list(tail[1:] if after else tail)
    if several:
        lines = [line.replace("this shaft", "each shaft") for line in lines]
    head = " and\n".join("\n".join(wrapped(name)) for name in names)
    last = head.rpartition("\n")[2]
    gap = "\n" if after and len(last + after) > LINE + 4 else ""
    return "\n".join([head + (gap + after.lstrip() if gap else after), *lines])


def wrapped(name: str, line: int = LINE) -> list[str]:
    """Return a long name in lines.

    >>> wrapped("throttle"), wrapped("the second throttle of the rear carburettor")
    (['throttle'], ['the second throttle of the', 'rear carburettor'])
    """
    return textwrap.wrap(name, line, break_long_words=True) or [name]


def around(
    middle: FloatArray, radius: float, angles: FloatArray | None = None
) -> FloatArray:
    """Return places on a circle, all about it or at some angles, shape (n, 2)."""
    if angles is None:
        angles = np.linspace(0, 2 * np.pi, 12, endpoint=False)
    way = np.column_stack([np.cos(angles), np.sin(angles)])
    return np.asarray(middle + radius * way)


def along(one: FloatArray, two: FloatArray, shares: FloatArray) -> FloatArray:
    """Return places between two, those in the middle first."""
    order = np.argsort(np.abs(shares - 0.5), kind="stable")
    return np.asarray(one + shares[order][:, None] * (two - one))
