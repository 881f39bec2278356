"""What a travel curve says of itself: names at the lines, not a legend.

Not here: the lines (`drawing.curve`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, Literal

import numpy as np

from linkage.drawing.labels import Placer, Tag
from linkage.drawing.style import look
from linkage.quantities import spoken_unit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D
    from matplotlib.text import Text

    from linkage.motion.curve import ThrottleCurve, TravelCurve

LengthUnit = Literal["mm", "in"]


def length_word(unit: LengthUnit | None) -> LengthUnit:
    """Return the unit of lengths on a picture: as asked for, else that of the file."""
    if unit is not None:
        return unit
    return "in" if spoken_unit("length").unit == "in" else "mm"


Named = tuple[str, "TravelCurve"]

#: SI value of one shown unit. [m]
LENGTH: Final[dict[str, float]] = {"mm": 1e-3, "in": 0.0254}
#: Two throttles nearer than this everywhere are drawn as one. [rad]
SAME_CURVE: Final = float(np.radians(0.25))


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Drawn:
    """What labels keep off.

    Parameters
    ----------
    lines, across, symbols : sequence of Line2D
        Curves; lines across the whole field; markers.
    """

    lines: Sequence[Line2D]
    across: Sequence[Line2D]
    symbols: Sequence[Line2D]


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """What the axes show, from SI.

    Parameters
    ----------
    length : float
        SI value of the shown unit. [m]
    unit : str
        Its name.
    shares : bool
        Whether throttles are compared in per cent, as their swings differ.
    """

    length: float
    unit: str
    shares: bool

    def pad(self, travel: Any) -> Any:  # noqa: ANN401 - float or array
        """Return pad travel in the shown unit."""
        return travel / self.length

    def angle(self, angle: Any, throttle: ThrottleCurve) -> Any:  # noqa: ANN401
        """Return a throttle angle in degrees, or in per cent of its swing."""
        return 100 * angle / throttle.swing if self.shares else np.degrees(angle)

    def say_pad(self, travel: float) -> str:
        """Return pad travel as text with its unit."""
        decimals = 1 if self.unit == "mm" else 2
        return f"{travel / self.length:.{decimals}f} {self.unit}"


def others(curve: TravelCurve) -> list[ThrottleCurve]:
    """Return the further throttles that do not run with the main one."""
    return [
        other
        for name, other in curve.throttles.items()
        if name != curve.main.name
        and np.nanmax(np.abs(other.throttle_angle - curve.main.throttle_angle))
        > SAME_CURVE
    ]


def label_lines(
    ax: Axes, curves: Sequence[Named], scale: Scale, drawn: Drawn
) -> list[Text]:
    """Label lines, marks, limits and ends of a travel curve in place."""
    placer = Placer(ax, room=(0.004, 0.008, 0.996, 0.992))
    for line in drawn.lines:
        placer.avoid(line.get_xydata())  # type: ignore[arg-type]
    for line in drawn.across:
        placer.avoid(np.column_stack([ax.get_xlim(), np.asarray(line.get_ydata())]))
    for line in drawn.symbols:
        placer.avoid_points(line.get_xydata())  # type: ignore[arg-type]
    for end in {c.pedal_end for _, c in curves}:
        placer.avoid(np.column_stack([[scale.pad(end)] * 2, ax.get_ylim()]))
    tags = _limit_tags(curves, scale)
    for index, (name, curve) in enumerate(curves):
        tags += _curve_tags(name, curve, index, scale, alone=len(curves) == 1)
    return list(placer.place(tags))


def _limit_tags(curves: Sequence[Named], scale: Scale) -> list[Tag]:
    main = curves[0][1].main
    full = scale.angle(main.swing, main)
    limits = sorted({c.full_limit for _, c in curves})
    grey = {"color": "0.2", "fontsize": 7.5}
    x = 0.1 * scale.pad(max(c.pedal_end for _, c in curves))
    stop = "full stop" if scale.shares else f"full stop {full:.1f}°"
    tags = [Tag(text=stop, at=(x, full), toward=(0, 1), leader=False, style=grey)]  # fmt: skip
    for limit in limits:
        text = f"full throttle from {100 * limit:.0f} %"
        if not scale.shares:
            text += f": {limit * full:.1f}°"
        tags.append(
            Tag(
                text=text,
                at=(1.5 * x, limit * full),
                toward=(0, -1),
                leader=False,
                style=grey,
            )
        )
    ends = sorted({c.pedal_end for _, c in curves})
    for end in ends:
        text = f"pedal's own end\n{scale.say_pad(end)}"
        tags.append(
            Tag(text=text, at=(scale.pad(end), 0.1 * full), toward=(-1, 0), style=grey)
        )
    return tags


def _on_line(curve: TravelCurve, share: float, scale: Scale) -> tuple[float, float]:
    """Return the point at a share of a curve's own length along the pad axis."""
    i = round(share * (len(curve.pad_travel) - 1))
    angle = scale.angle(curve.main.throttle_angle[i], curve.main)
    return float(scale.pad(curve.pad_travel[i])), float(angle)


def _curve_tags(
    name: str, curve: TravelCurve, index: int, scale: Scale, *, alone: bool
) -> list[Tag]:
    ink = {"color": look(index).colour}
    # Spread over the travel, so that labels of like curves do not meet.
    where = (0.62, 0.45, 0.78, 0.3, 0.88, 0.2)[index % 6]
    text = name
    if scale.shares:
        text += f"\n({np.degrees(curve.main.swing):.0f}° swing)"
    if not curve.opens:
        text += "\npressing does not open the plate"
    loud = {**ink, "fontsize": 9, "fontweight": "bold"}
    tags = [
        Tag(text=text, at=_on_line(curve, where, scale), toward=(-1, 1), style=loud)
    ]
    if alone:
        tags += _mark_tags(curve, scale, ink)
    text = _end_text(curve, scale, alone=alone)
    tags.append(
        Tag(text=text, at=_on_line(curve, 1, scale), toward=(-1, -1), style=ink)
    )
    tags += _idle_tags(curve, scale, ink)
    tags += _more_tags(name, curve, scale, ink, alone=alone)
    return tags


def _mark_tags(curve: TravelCurve, scale: Scale, ink: dict[str, str]) -> list[Tag]:
    main = curve.main
    return [
        Tag(
            text=f"{100 * share:.0f} % of swing at {scale.say_pad(at)}",
            at=(float(scale.pad(at)), float(scale.angle(share * main.swing, main))),
            toward=(1, -1),
            style=ink,
        )
        for share, at in curve.marks.items()
        if at is not None
    ]


def _idle_tags(curve: TravelCurve, scale: Scale, ink: dict[str, str]) -> list[Tag]:
    """Return what is not as it should be at the idle end."""
    tags = []
    if curve.held_open > np.radians(0.05):
        text = f"held {np.degrees(curve.held_open):.1f}° open with the pedal up"
        tags.append(
            Tag(text=text, at=_on_line(curve, 0, scale), toward=(1, 1), style=ink)
        )
    if curve.opens and curve.start > 1e-4:
        text = f"{scale.say_pad(curve.start)} of pad before the plate moves"
        tags.append(
            Tag(
                text=text,
                at=(float(scale.pad(curve.start)), 0.0),
                toward=(1, 1),
                style=ink,
            )
        )
    asked = curve.main.asked_angle
    if asked.min() < -np.radians(1):
        i = int(np.argmax(asked < max(asked.min() / 2, -0.12 * curve.main.swing)))
        text = "here the rods push the plate\nagainst its idle stop"
        at = (
            float(scale.pad(curve.pad_travel[i])),
            float(scale.angle(asked[i], curve.main)),
        )
        tags.append(Tag(text=text, at=at, toward=(1, -0.2), style=ink))
    return tags


def _more_tags(
    name: str, curve: TravelCurve, scale: Scale, ink: dict[str, str], *, alone: bool
) -> list[Tag]:
    """Return the names of further lines: other throttles, open area."""
    main, count = curve.main, len(curve.pad_travel)
    lines = []
    for other in others(curve):
        i = count * 2 // 5
        y = scale.angle(other.throttle_angle[i], other if scale.shares else main)
        lines.append((other.name, i, float(y)))
    if main.open_area is not None:
        i = count * 2 // 3
        y = main.open_area[i] * scale.angle(main.swing, main)
        lines.append(("open area", i, float(y)))
    return [
        Tag(
            text=line if alone else f"{line}, {name}",
            at=(float(scale.pad(curve.pad_travel[i])), y),
            toward=(1, -1),
            style=ink,
        )
        for line, i, y in lines
    ]


def _end_text(curve: TravelCurve, scale: Scale, *, alone: bool) -> str:
    main = curve.main
    share = 100 * main.throttle_share[-1]
    angle = np.degrees(main.throttle_angle[-1])
    text = f"{angle:.1f}° ({share:.0f} %) at {scale.say_pad(curve.end)}"
    met = curve.stopped_by
    if alone or (met and met.kind != "full stop"):
        text += f"\nstopped by {curve.stopped_by}"
    if curve.left_over > 1e-4:
        text += f"\n{scale.say_pad(curve.left_over)} of pedal left over"
    return text


def label_tip_in(
    ax: Axes, curves: Sequence[Named], scale: Scale, lines: Sequence[Line2D]
) -> list[Text]:
    """Write the mean ratio of the start beside its bar."""
    placer = Placer(ax, room=(0.004, 0.03, 0.996, 0.97))
    for line in lines:
        placer.avoid(np.column_stack([line.get_xdata(), line.get_ydata()]))
    factor = np.degrees(1) * scale.length
    tags = []
    for index, (_, curve) in enumerate(curves):
        if not curve.opens:
            continue
        middle = (curve.start + curve.tip_in_end) / 2
        number = f"{curve.tip_in * factor:.{2 if scale.unit == 'mm' else 0}f}"
        tags.append(
            Tag(
                text=f"tip-in {number} °/{scale.unit}",
                at=(float(scale.pad(middle)), float(curve.tip_in * factor)),
                toward=(1, 1) if index % 2 == 0 else (1, -1),
                style={"color": look(index).colour},
            )
        )
    return list(placer.place(tags))
