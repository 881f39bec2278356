"""Ways and senses side by side in words: whither something went, turns, goes or pulls.

Not here: the sentences that they stand in (`report.compare_words`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.model import turning
from linkage.quantities import say, say_round, spoken_unit
from linkage.spoken import listed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from linkage.comparison import Way

#: Directions in vehicle axes, positive and negative.
_WAYS: Final = (
    ("forward", "rearward"),
    ("to the left", "to the right"),
    ("up", "down"),
)
#: Shares of a move below which a direction is left out, and the least told. [1], [m]
_SMALL: Final = 0.1
_LEAST: Final = 0.5e-3


def moved(one: Sequence[float], two: Sequence[float]) -> str:
    """Return how far and which way something went.

    >>> moved((0.0, 0.22, 0.0), (0.0, -0.22, 0.0))
    '440 mm to the right'
    """
    by = [b - a for a, b in zip(one, two, strict=True)]
    most = max(map(abs, by))
    told = [
        f"{size(d)} {_WAYS[i][d < 0]}"
        for i, d in enumerate(by)
        if abs(d) >= max(_SMALL * most, _LEAST)
    ]
    return listed(told) or f"{size(most)} at most"


def size(length: float) -> str:
    """Return a length without its sign, with no more digits than it needs.

    >>> size(-0.44), size(0.0125)
    ('440 mm', '12.5 mm')
    """
    if spoken_unit("length").unit == "mm":
        return say_round(round(abs(length), 4), "length")
    return say(abs(length), "length")


def ways_words(way: Way) -> tuple[str, str]:
    """Return the words for both senses of a shaft, slide, rod or throttle."""
    return _ways_word(way, 0), _ways_word(way, 1)


def _ways_word(way: Way, which: int) -> str:
    value = (way.old, way.new)[which]
    if way.about.kind == "rod":
        return {1: "pulls", -1: "pushes", 0: "lets go"}[value]
    if not value:
        return "still"
    if not way.along:
        return turning(value)
    axis = way.along[which]
    most = max(range(3), key=lambda i: abs(axis[i]))
    return _WAYS[most][value * axis[most] < 0]


def spring_word(way: int, shuts: int) -> str:
    """Return how a spring works: against the pedal or with it, shutting or opening.

    >>> spring_word(1, -1)
    'against it, OPENS'
    """
    word = {1: "against it", -1: "WITH it"}.get(way, "neither")
    return f"{word}, OPENS" if shuts < 0 else f"{word}, shuts" if shuts else word
