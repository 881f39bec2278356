"""Axes of a travel curve, and the bounds drawn on them.

Not here: the curves (`curve`), their words (`curve_labels`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.drawing.style import GREY, look
from linkage.rules.other_words import in_words_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D

    from linkage.drawing.curve_words import Named, Scale


def draw_frame(
    ax: Axes, curves: Sequence[Named], scale: Scale, ratio_ax: Axes | None
) -> None:
    """Set axes, their second scales and their words."""
    ends = {round(c.pedal_end, 9) for _, c in curves}
    widest = max(c.pedal_end for _, c in curves)
    ax.set_xlim(0, scale.pad(widest) * 1.02)
    tops = [scale.angle(c.main.swing, c.main) for _, c in curves]
    lows = [
        scale.angle(float(np.nanmin(c.main.asked_angle)), c.main) for _, c in curves
    ]
    low = max(min(lows), -0.3 * max(tops))  # past the idle stop only as a hint
    head = 1.3 if len(curves) == 1 else 1.12  # for what is said of the end
    floor = 1.1 * low if low < -1e-6 else -0.03 * max(tops)  # none on the edge itself
    ax.set_ylim(floor, max(tops) * head)
    ax.grid(visible=True)
    ax.set_axisbelow(True)
    driver = curves[0][1].driver
    pad_label = in_words_of(driver, f"pad travel [{scale.unit}]")
    if ratio_ax is None:
        ax.set_xlabel(pad_label)
    else:
        ax.tick_params(labelbottom=False)
        ratio_ax.set_xlim(ax.get_xlim())
        ratio_ax.set_xlabel(pad_label)
        ratio_ax.set_ylabel(f"local ratio\n[°/{scale.unit}]")
        ratio_ax.grid(visible=True)
        ratio_ax.set_axisbelow(True)
    if len(ends) == 1:
        factor = 100 / scale.pad(widest)
        top = ax.secondary_xaxis(
            "top", functions=(lambda x: x * factor, lambda x: x / factor)
        )
        top.set_xlabel(in_words_of(driver, "share of the pedal's travel [%]"))
    areas = any(c.main.open_area is not None for _, c in curves)
    words = "throttle share [%]" + (", open area [%]" if areas else "")
    if scale.shares:
        ax.set_ylabel(words)
        return
    ax.set_ylabel("throttle angle [°]")
    swing = 100 / tops[0]
    right = ax.secondary_yaxis(
        "right", functions=(lambda y: y * swing, lambda y: y / swing)
    )
    right.set_ylabel(words)
    right.set_yticks([0, 20, 40, 60, 80, 100])  # there is no more than full


def draw_limits(ax: Axes, curves: Sequence[Named], scale: Scale) -> list[Line2D]:
    """Draw the full stop and the share of it that counts as full, or as shut."""
    main = curves[0][1].main
    full = scale.angle(main.swing, main)
    line: dict[str, Any] = {"color": "0.2", "linewidth": 0.9}
    drawn = [ax.axhline(full, gid="full stop", **line)]
    for limit in sorted({c.full_limit for _, c in curves}):
        dash = (0, (4, 3))
        level = (1 - limit if curves[0][1].governed else limit) * full
        drawn.append(ax.axhline(level, linestyle=dash, gid="full limit", **line))
    return drawn


def draw_ends(ax: Axes, curves: Sequence[Named], scale: Scale) -> list[Line2D]:
    """Show where each curve stops, and pedal travel that is left over."""
    drawn = []
    for index, (_, curve) in enumerate(curves):
        y = scale.angle(curve.main.throttle_angle[-1], curve.main)
        kind = look(index)
        if curve.left_over > 1e-6:
            drawn += ax.plot(
                [scale.pad(curve.end), scale.pad(curve.pedal_end)],
                [y, y],
                color=kind.colour,
                linewidth=0.8,
                linestyle=":",
                gid=f"left over {index}",
            )
        drawn += ax.plot(
            [scale.pad(curve.end)],
            [y],
            marker="|",
            markersize=11,
            color=kind.colour,
            markeredgewidth=1.8,
            linestyle="none",
            gid=f"end {index}",
        )
    for end in sorted({c.pedal_end for _, c in curves}):
        ax.axvline(
            scale.pad(end),
            color=GREY,
            linewidth=0.8,
            linestyle=(0, (8, 3, 1, 3)),
            gid="pedal end",
        )
    return drawn
