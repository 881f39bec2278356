"""Letters in circles for labels that have no room in a view, and what they stand for.

Where parts stand so close that a label or its leader would run over another, a
letter takes its place and the words stand in a list, which is put where a view is
empty. A part about which not even a letter finds room is in the list by its name.
What another view of the layout says has neither a letter nor a line of the list.

Not here: labels that have room (`lettering`).
"""

from __future__ import annotations

import textwrap
from dataclasses import replace
from string import ascii_lowercase
from typing import TYPE_CHECKING, Any, Final

from linkage.drawing.canvas import outer, point_of
from linkage.drawing.fit import wrap_to
from linkage.drawing.lettering import letter

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.figure import Figure
    from matplotlib.text import Text

    from linkage.drawing.board import Board
    from linkage.drawing.label import Label
    from linkage.drawing.pose import Pose

#: Signs a line of the list may hold in a view.
LINES: Final = (44, 66, 30)
#: Size of its letters at the foot, and from line to line. [pt]
FOOT_SIZE: Final = 6.5
LEADING: Final = 9.6
#: How far over the lower edge of the page it stands there. [in]
ABOVE: Final = 0.34
_LOOK: Final[dict[str, Any]] = {"fontsize": 7, "linespacing": 1.25}


def write_keys(
    figure: Figure, poses: Sequence[Pose], foot: float = 0.0, *, last: bool = False
) -> float:
    """Give letters to labels without room, and write what they stand for.

    Parameters
    ----------
    figure : Figure
        Where the list is written, in a view or at the foot.
    poses : sequence of Pose
        Every view with its labels.
    foot : float
        Height of the room at the foot that is kept for the list. [in]
    last : bool
        Whether it is written there even where it takes more.

    Returns
    -------
    float
        Height at the foot that the list takes: where that is more than `foot`, it
        is not written and the views are to be drawn with less room. [in]
    """
    views = [(p.board, _unsaid(p, poses)) for p in poses if p.board is not None]
    told: list[str] = []
    number = 0
    for board, tags in views:
        keys = []
        for tag in tags:
            keys.append(_key(tag, _sign(number)))
            number += 1
        _, without = letter(board, keys)
        lost = {key.told for key in without}
        for tag, key in zip(tags, keys, strict=True):
            words = tag.told or tag.text.replace("\n", " ")
            told.append(words if key.told in lost else f"({key.text}) {words}")
    if not told:
        return 0.0
    text = figure.text(0, 0, "", gid="keys", va="bottom", **_LOOK)
    if foot == 0 and _in_a_view(figure, text, [board for board, _ in views], told):
        return 0.0
    text.set_fontsize(FOOT_SIZE)
    width = figure.get_size_inches()[0] * 72
    lines = wrap_to("; ".join(told), 0.94 * width, FOOT_SIZE)
    high = (len(lines) * LEADING + 4) / 72
    if high > foot + 1e-9 and not last:
        text.remove()
        return high
    text.set_text("\n".join(lines))
    text.set_position((0.03, ABOVE / figure.get_size_inches()[1]))
    return high


def _unsaid(pose: Pose, poses: Sequence[Pose]) -> list[Label]:
    """Return the labels without room of which no view of the same layout says all."""
    said: set[str] = set()
    said.update(*(p.said for p in poses if p.track.motion is pose.track.motion))
    return [
        tag for tag in pose.without if not tag.says or not said.issuperset(tag.says)
    ]


def _sign(number: int) -> str:
    """Return the letter with this number.

    >>> _sign(0), _sign(25), _sign(26)
    ('a', 'z', 'aa')
    """
    before, last = divmod(number, len(ascii_lowercase))
    return (_sign(before - 1) if before else "") + ascii_lowercase[last]


def _key(tag: Label, sign: str) -> Label:
    look = {
        "fontsize": 7,
        "color": tag.style.get("color", "black"),
        "bbox": {"boxstyle": "circle,pad=0.12", "fc": "white", "lw": 0.6,
                 "ec": tag.style.get("color", "black")},
    }  # fmt: skip
    return replace(tag, text=sign, forms=(), style=look, told=sign)


def _in_a_view(
    figure: Figure, text: Text, boards: Sequence[Board], told: Sequence[str]
) -> bool:
    """Write the list where a view has room for it, in one column or several."""
    for line in LINES:
        text.set_text("\n".join(_lines(told, line)))
        box = outer(text) / point_of(figure)
        for board in boards:
            corner = board.free(*(box[2:] - box[:2]))
            if corner is not None:
                page = figure.get_size_inches() * 72
                text.set_position((corner[0] / page[0], corner[1] / page[1]))
                return True
    return False


def _lines(told: Sequence[str], line: int) -> list[str]:
    """Return the list in lines, each entry in its own."""
    return [
        part
        for words in told
        for part in textwrap.wrap(words, line, subsequent_indent="      ")
    ]
