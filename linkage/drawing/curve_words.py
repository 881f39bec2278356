"""Scales of a travel curve's picture, and what is said of a curve's ends and area.

Not here: where the words stand (`curve_labels`, `key`), further throttles
(`curve_others`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, Literal

import numpy as np

from linkage.drawing.curve_others import full_words, head_words, others, start_words
from linkage.drawing.key import Entry
from linkage.drawing.style import look
from linkage.motion.plate import rest_of_area
from linkage.rules.other_words import in_words_of
from linkage.shown_units import in_inches

if TYPE_CHECKING:
    from collections.abc import Sequence

    from linkage.motion.curve import TravelCurve
    from linkage.motion.throttle_curve import ThrottleCurve

LengthUnit = Literal["mm", "in"]
Named = tuple[str, "TravelCurve"]
Spot = tuple[str, tuple[float, float], tuple[float, float]]

#: SI value of one shown unit. [m]
LENGTH: Final[dict[str, float]] = {"mm": 1e-3, "in": 0.0254}
#: From this share of the swing on it is told where the open area ends.
TOLD: Final = 0.5
#: Longest name at a line, and how much of a longer one, in letters; the key has more.
LONGEST: Final = 26
CUT: Final = 14


def length_word(unit: LengthUnit | None) -> LengthUnit:
    """Return the unit of lengths on a picture: as asked for, else that of the file."""
    if unit is not None:
        return unit
    return "in" if in_inches() else "mm"


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

    @property
    def ratio(self) -> float:
        """Shown value of a local ratio of 1 rad/m."""
        return float(np.degrees(1) * self.length)

    def say_pad(self, travel: float) -> str:
        """Return pad travel as text with its unit."""
        decimals = 1 if self.unit == "mm" else 2
        return f"{travel / self.length:.{decimals}f} {self.unit}"

    def say_ratio(self, ratio: float) -> str:
        """Return a local ratio as text with its unit."""
        return f"{ratio * self.ratio:.{2 if self.unit == 'mm' else 0}f} °/{self.unit}"


def short_names(names: Sequence[str]) -> list[str]:
    """Return names short enough to stand at a line, by number where they are cut.

    >>> short_names(["old", "NEW"])
    ['old', 'NEW']
    >>> short_names(["old", "the lorry with the carburettor turned"])
    ['1 old', '2 the lorry with…']
    """
    if all(len(name) <= LONGEST for name in names) and len(set(names)) == len(names):
        return list(names)
    if len(names) == 1:
        return [names[0][:LONGEST].rstrip() + "…"]
    cut = [n if len(n) <= LONGEST else n[:CUT].rstrip() + "…" for n in names]
    return [f"{i} {name}" for i, name in enumerate(cut, start=1)]


def title_of(curves: Sequence[Named]) -> str:
    """Return the title of a picture: of one curve its layout's, and who drives."""
    title = curves[0][1].title if len(curves) == 1 else "Travel curves"
    return title + ": by hand" * curves[0][1].by_hand


def head_text(curve: TravelCurve, scale: Scale) -> str:
    """Return what is said over the field of one curve."""
    return in_words_of(curve.driver, "; ".join(head_words(curve, scale)))


def stopped_by(curve: TravelCurve) -> str:
    """Return what stops the pedal, or what drives in its place."""
    met = curve.stopped_by
    if met is not None and met.kind == "floor" and curve.driver != "pedal":
        return "the end of its own travel"
    text = str(met)
    return text.replace("full stop", "shut stop") if curve.governed else text


def end_text(curve: TravelCurve, scale: Scale) -> str:
    """Return where a curve ends, by what, and what is left of the pedal's travel."""
    text = f"{_reached(curve)} at {scale.say_pad(curve.end)}"
    text += f"\nstopped by {stopped_by(curve)}"
    if curve.left_over > 1e-4:
        text += f"\n{scale.say_pad(curve.left_over)} of pedal left over"
    return text


def _reached(curve: TravelCurve) -> str:
    share = 100 * curve.main.throttle_share[-1]
    return f"{np.degrees(curve.main.throttle_angle[-1]):.1f}° ({share:.0f} %)"


def area_word(curve: TravelCurve) -> str:
    """Return where the open area ends, and what takes the rest of the bore."""
    area, most = curve.main.open_area, curve.main.most_area
    if area is None or most is None or curve.main.throttle_share[-1] < TOLD:
        return ""
    text = f"open area ends at {100 * area[-1]:.0f} %"
    rest = rest_of_area(area, float(most), float(curve.main.throttle_share[-1]))
    return f"{text}:\n{rest}" if rest else text


def idle_words(curve: TravelCurve, scale: Scale) -> list[Spot]:
    """Return what is not as it should be at the idle end: words, place and way."""
    out: list[Spot] = []
    main = curve.main
    if not curve.opens:
        i = len(curve.pad_travel) // 2
        y = float(scale.angle(main.throttle_angle[i], main))
        at = (float(scale.pad(curve.pad_travel[i])), y)
        out.append(("pressing does not open the plate", at, (0, 1)))
    if curve.held_open > np.radians(0.05):
        at = (0.0, float(scale.angle(main.throttle_angle[0], main)))
        text = f"held {np.degrees(curve.held_open):.1f}° open with the pedal up"
        out.append((text, at, (1, 1)))
    if curve.opens and curve.start > 1e-4:
        text = f"{scale.say_pad(curve.start)} of pad before the plate moves"
        out.append((text, (float(scale.pad(curve.start)), 0.0), (1, 1)))
    asked = main.asked_angle
    if asked.min() < -np.radians(1):
        i = int(np.argmax(asked < max(asked.min() / 2, -0.12 * main.swing)))
        text = "here the linkage pushes the plate\nagainst its idle stop"
        at = (float(scale.pad(curve.pad_travel[i])), float(scale.angle(asked[i], main)))
        out.append((text, at, (1, -0.2)))
    return out


def entries(
    curves: Sequence[Named], scale: Scale, refused: Sequence[str | None]
) -> list[Entry]:
    """Return the rows of the key of several curves, in words of what drives.

    Parameters
    ----------
    curves : sequence of (str, TravelCurve)
        Label and curve.
    scale : Scale
        How lengths are shown.
    refused : sequence of (str or None)
        Why each must not be fitted.
    """
    cut = any(len(name) > LONGEST for name, _ in curves)
    repeated = len({name for name, _ in curves}) < len(curves)
    out = []
    for i, (name, curve) in enumerate(curves):
        kind, why = look(i), refused[i] if i < len(refused) else None
        out.append(
            Entry(
                line={
                    "color": kind.colour,
                    "linestyle": kind.dash,
                    "linewidth": 1.9,
                    "marker": kind.marker,
                    "markersize": 6,
                    "markerfacecolor": "white",
                },
                name=f"{i + 1} {name}" if cut or repeated else name,
                text=in_words_of(curve.driver, "; ".join(_facts(curve, scale))),
                loud=f"DO NOT FIT: {why}" if why else "",
            )
        )
    return out


def legend(curves: Sequence[Named]) -> str:
    """Return what the thin lines and the marks of several curves are."""
    mains = [c.main for _, c in curves]
    parts = ["marks at 25, 50 and 75 % of the swing", "uprights: pedal's own end"]
    if any(m.open_area is not None for m in mains):
        parts.append("thin with filled marks: open area")
    if any(others(c) for _, c in curves):
        parts.append("thin with hollow marks: further throttles")
    if any(np.nanmin(m.asked_angle) < -1e-6 for m in mains):
        parts.append(
            "dotted below zero: where the linkage pushes the plate against its idle stop"
        )
    return in_words_of(curves[0][1].driver, "; ".join(parts)).capitalize()


def _facts(curve: TravelCurve, scale: Scale) -> list[str]:
    met = curve.stopped_by
    stopped = ""
    if met and met.kind != "full stop":
        stopped = f"stopped by {stopped_by(curve)}"
    left = f"{scale.say_pad(curve.left_over)} of pedal left over"
    left = left if curve.left_over > 1e-4 else ""
    end = f"pedal's own end {scale.say_pad(curve.pedal_end)}"
    left = f"{left} to its own end" if left else end if stopped else ""
    if not curve.opens:
        return [f for f in ("pressing does not open the plate", stopped, left) if f]
    reached = f"{_reached(curve)} at {scale.say_pad(curve.end)}"
    if scale.shares:
        reached += f" of {np.degrees(curve.main.swing):.0f}° swing"
    idle = [text for text, _, _ in idle_words(curve, scale)]
    starts = [text for text, _, _ in start_words(curve, scale)]
    area = area_word(curve).replace(":\n", ", as ", 1)
    facts = (
        reached,
        stopped,
        left,
        *idle,
        "" if curve.governed else f"tip-in {scale.say_ratio(curve.tip_in)}",
        area,
        *starts,
        *full_words(curve, scale),
    )
    return [fact.replace("\n", " ") for fact in facts if fact]
