"""Further throttles beside the main one: where each starts, and which is full first.

A second carburettor that a slot picks up later, a kickdown lever at the gearbox.

Not here: their lines (`curve`), where words stand (`curve_labels`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.drawing.style import look

if TYPE_CHECKING:
    from collections.abc import Iterator

    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D

    from linkage.drawing.curve_words import Scale, Spot
    from linkage.motion.curve import TravelCurve
    from linkage.motion.throttle_curve import ThrottleCurve

#: Two throttles nearer than this everywhere are drawn as one. [rad]
SAME_CURVE: Final = float(np.radians(0.25))
#: Swings nearer than this are one. [rad]
SAME_SWING: Final = 1e-9
#: Starts within this of rest are at once, fulls within it of each other together. [m]
AT_ONCE: Final = 1e-4
#: Up to this share of the pedal's travel all lines lie close, with no room for words.
CLOSE: Final = 0.08


def others(curve: TravelCurve) -> list[ThrottleCurve]:
    """Return the further throttles that do not run with the main one."""
    return [
        other
        for name, other in curve.throttles.items()
        if name != curve.main.name
        and np.nanmax(np.abs(other.throttle_angle - curve.main.throttle_angle))
        > SAME_CURVE
    ]


def one_swing(curve: TravelCurve) -> bool:
    """Tell whether all that is drawn of a curve swings as far as its main throttle."""
    return all(abs(o.swing - curve.main.swing) < SAME_SWING for o in others(curve))


def _full(curve: TravelCurve, other: ThrottleCurve, scale: Scale) -> str:
    """Return in words which is full first, a further throttle or the main one."""
    main = curve.main.name
    full = "shut" if curve.governed else "full"
    if other.full_at is None:
        return f"{100 * other.throttle_share[-1]:.0f} % at the end"
    if curve.main.full_at is None:
        return f"{full}, {main} never"
    late = float(other.full_at - curve.main.full_at)
    if abs(late) < AT_ONCE:
        return f"{full} together with {main}"
    first = "after" if late > 0 else "BEFORE"
    return f"{full} {scale.say_pad(abs(late))} {first} {main}"


def start_words(curve: TravelCurve, scale: Scale) -> Iterator[Spot]:
    """Give of every further throttle that starts late where: words, place and way."""
    for other in others(curve):
        if other.starts is None:
            at, words = curve.end, "never starts"
        elif other.starts > AT_ONCE:
            at, words = other.starts, f"starts at {scale.say_pad(other.starts)}"
        else:
            continue
        y = float(scale.angle(other.swing, other)) * curve.governed
        yield f"{other.name} {words}", (float(scale.pad(at)), y), (1, 1)


def placed_words(curve: TravelCurve, scale: Scale) -> Iterator[Spot]:
    """Give those of `start_words` that have room at their place."""
    least = CLOSE * scale.pad(curve.pedal_end)
    yield from (spot for spot in start_words(curve, scale) if spot[1][0] > least)


def head_words(curve: TravelCurve, scale: Scale) -> list[str]:
    """Return what is said over the field: `full_words`, and starts without room."""
    least = CLOSE * scale.pad(curve.pedal_end)
    starts = [text for text, at, _ in start_words(curve, scale) if at[0] <= least]
    return [*starts, *full_words(curve, scale)]


def full_words(curve: TravelCurve, scale: Scale) -> list[str]:
    """Return of every further throttle that starts whether it is full first."""
    return [
        f"{other.name} {_full(curve, other, scale)}"
        for other in others(curve)
        if other.starts is not None
    ]


def further_look(index: int, number: int) -> dict[str, Any]:
    """Return how the line of a further throttle is drawn: as its layout's, with marks."""
    return {
        "color": look(index).colour,
        "linestyle": look(index).dash,
        "marker": look(index + number).marker,
        "markersize": 4,
        "markerfacecolor": "white",
    }


def draw_starts(ax: Axes, curve: TravelCurve, index: int, scale: Scale) -> list[Line2D]:
    """Mark where further throttles start late and where they are full.

    Each mark is that of the throttle's own line, larger.
    """
    drawn = []
    for number, other in enumerate(others(curve), start=1):
        of = other if scale.shares else curve.main
        spots = []
        if other.starts is not None and other.starts > AT_ONCE:
            spots.append((other.starts, other.swing * curve.governed))
        if other.full_at is not None:
            limit = curve.full_limit
            share = 1 - limit if curve.governed else limit
            spots.append((other.full_at, share * other.swing))
        drawn += ax.plot(
            [scale.pad(at) for at, _ in spots],
            [scale.angle(angle, of) for _, angle in spots],
            linestyle="none",
            marker=look(index + number).marker,
            markersize=6.5,
            markerfacecolor="white",
            markeredgecolor=look(index).colour,
            markeredgewidth=1.4,
            gid=f"starts {index} {other.name}",
        )
    return drawn
