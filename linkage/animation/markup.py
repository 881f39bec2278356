"""A layout's drawing as inline SVG: what stands is written, what moves is named.

Colours are left to the style sheet where it must change them in the dark or on
paper: black, white, grey, and the tints of shafts.

Not here: where things fall (`geometry`), the page around (`page`).
"""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.animation.gauges import NAMED
from linkage.animation.geometry import LETTERS
from linkage.animation.words import short_names
from linkage.drawing import curve_others, drums
from linkage.drawing.plate import DRAWN_SPINDLE
from linkage.drawing.pose import SENSE_DASHES, SPRING_WIDTH, THIN, WIDTH, WIRE
from linkage.drawing.track import SLACK
from linkage.quantities import spoken_unit
from linkage.rules.other_words import in_words_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from linkage.animation.scene import Scene, ThrottleColumns
    from linkage.animation.shapes import Shape, ViewScene, Word
    from linkage.motion.curve import TravelCurve

    FloatArray = NDArray[np.float64]

#: What moves lies under shapes of this order and more.
OVER: Final = 5.2
#: Lines of words, one under the other, over their size.
LINE: Final = 1.2
#: Travel curve: width and height of its field, and room left and under it. [px]
CURVE: Final = (220, 140, 48, 40)
#: Ticks along it, at most, and steps from one to the next, over a power of ten.
TICKS: Final = 7
STEPS: Final = (1, 2, 5)
#: Size of its letters, and how near two of them may stand under each other. [px]
CURVE_LETTERS: Final = 12
APART: Final = 15
#: Width of a letter there [px], and to how many letters a throttle's name is cut.
LETTER: Final = 6.8
LETTERS_CUT: Final = 14


def ink(colour: str, part: str) -> str:
    """Return a colour as attributes of SVG.

    Parameters
    ----------
    colour : str
        As ``#rrggbb``; empty for none.
    part : str
        ``stroke`` or ``fill``.

    >>> ink("#000000", "stroke"), ink("#0072b2", "fill")
    ('stroke="currentColor"', 'class="tint-fill" style="--c:#0072b2"')
    """
    if not colour:
        return f'{part}="none"'
    red, green, blue = (int(colour[k : k + 2], 16) for k in (1, 3, 5))
    if colour == "#000000":
        return f'{part}="currentColor"'
    if colour == "#ffffff":
        return f'{part}="var(--paper)"'
    if red == green == blue:
        return f'{part}="var(--soft)"'
    return f'class="tint-{part}" style="--c:{colour}"'


def shape(one: Shape) -> str:
    """Return a standing shape."""
    both = f"{ink(one.stroke, 'stroke')} {ink(one.fill, 'fill')}"
    dash = f' stroke-dasharray="{one.dash}"' if one.dash else ""
    return f'<path d="{one.path}" {both} stroke-width="{one.width:g}"{dash}/>'


def word(one: Word) -> str:
    """Return standing words, each line in the middle of its box."""
    lines = one.text.split("\n")
    top = one.y - (len(lines) - 1) * LINE * one.size / 2
    spans = "".join(
        f'<tspan x="{one.x:.1f}" y="{top + i * LINE * one.size:.1f}">{escape(line)}</tspan>'
        for i, line in enumerate(lines)
    )
    near = " ".join(f"{part:.1f}" for part in one.near)
    return (
        f'<text data-near="{near}" font-size="{one.size:g}" '
        f"{ink(one.colour, 'fill')}>{spans}</text>"
    )


def dash_of(sense: int) -> str:
    """Return a rod's dashes as on the drawings; empty for a whole line. [pt].

    >>> dash_of(1), dash_of(-1)
    ('', '8.55 3.04')
    """
    style: Any = SENSE_DASHES[sense]
    if style == "-":
        return ""
    lengths: Sequence[float] = (1.0, 1.65) if style == ":" else style[1]
    return " ".join(f"{width_of(sense) * length:.2f}" for length in lengths)


def width_of(sense: int) -> float:
    """Return the width of a rod's line. [pt]."""
    return THIN if sense == SLACK else WIDTH


def view(one: ViewScene, label: str) -> str:
    """Return one view with its name over it.

    Parameters
    ----------
    one : ViewScene
        Where everything falls.
    label : str
        What a screen reader says of it.
    """
    under = [shape(s) for s in one.shapes if s.order < OVER]
    over = [shape(s) for s in one.shapes if s.order >= OVER]
    ends = 'stroke-linecap="round"'
    moving = [
        *(
            f'{_arm(one, h)} {ink(outline, "stroke")} '
            f'stroke-width="{drums.EDGE if h in one.drums else 7:g}" {ends}/>'
            for h, (_, _, outline) in one.arms.items()
        ),
        *(
            f'{_arm(one, h)} stroke="{body}" '
            f'stroke-width="{drums.FILL if h in one.drums else 4.8:g}" {ends}/>'
            for h, (_, body, _) in one.arms.items()
        ),
        *(
            f'{_arm(one, h)} {ink(colour, "stroke")} stroke-width="{wide:g}"'
            + (f' stroke-dasharray="{dash}"/>' if dash else "/>")
            for h, (colour, wide, dash) in one.bands.items()
        ),
        *(
            f'<polyline data-spring="{escape(n)}" fill="none" stroke="currentColor" '
            f'stroke-width="0.9" data-width="{SPRING_WIDTH * 1e3 * one.scale:.2f}"/>'
            for n in one.springs
        ),
        *(
            f'<line data-rod="{escape(n)}" stroke="currentColor" '
            f'stroke-width="{WIDTH}"/>'
            for n in one.rods
            if n not in one.cables
        ),
        *(
            f'<polyline data-{part}="{escape(n)}" fill="none" stroke="currentColor" '
            f'stroke-width="{WIRE}"/>'
            for n in one.cables
            for part in ("rod", "wire")
        ),
        *(
            f'<path data-slot="{escape(n)}" fill="none" stroke="currentColor" '
            'stroke-width="1.3"/>'
            for n in (*one.loose, *one.sprung)
        ),
        *(f'<line data-gap="{escape(n)}" class="gap"/>' for n in one.parted),
        f'<line data-pad="" stroke="currentColor" stroke-width="5" {ends}/>'
        * bool(one.pad.size),
        *(f'<g data-pin="{escape(h)}">{shape(joint)}</g>' for h, joint in one.joints.items()),
        *(f'<circle data-end="{escape(n)}" r="3" class="gap"/>' for n in one.parted),
    ]  # fmt: skip
    words = [word(w) for w in one.words]
    words += [
        f'<text data-word="{escape(n)}" font-size="{LETTERS:g}" fill="currentColor"/>'
        for n in one.word_places
    ]
    wide, high = one.size
    missing = ""
    if one.left_out:
        missing = f" No room to name: {escape(', '.join(one.left_out))}."
    inside = "".join([*under, *moving, *over, *words])
    return (
        f'<figure class="view"><figcaption><b>{escape(one.name)}</b>, '
        f"{escape(one.compass)}.{missing}</figcaption>"
        f'<svg data-view="{escape(one.name)}" viewBox="0 0 {wide:g} {high:g}" '
        f'style="--high:{high:.0f}px" role="img" aria-label="{escape(label)}">{inside}</svg>'
        "</figure>"
    )


def _arm(one: ViewScene, hole: str) -> str:
    """Return the start of the element that is an arm, a bar, or spoke and rim of a drum."""
    if hole in one.drums or hole in one.bars:
        return f'<polyline data-arm="{escape(hole)}" fill="none"'
    return f'<line data-arm="{escape(hole)}"'


def drawing(drawn: Sequence[ViewScene], label: str) -> str:
    """Return all views of a layout, which stand beside each other where there is room.

    Parameters
    ----------
    drawn : sequence of ViewScene
        Where everything falls.
    label : str
        What a screen reader says of all of it, with the first of them.
    """
    labels = [f"Linkage {one.name}" for one in drawn]
    labels[0] += f". {label}"
    views = "".join(view(one, text) for one, text in zip(drawn, labels, strict=True))
    return f'<div class="views">{views}</div>'


def plate(scene: Scene, one: ThrottleColumns) -> str:
    """Return a plate in its bore, seen along its spindle, bore drawn upright."""
    t = one.throttle
    seen = scene.layout.shafts[t.shaft].axis.seen_from
    half = 40 / np.cos(t.closed_angle)
    hub = 40 * (t.spindle / t.bore if t.bore and t.spindle else DRAWN_SPINDLE)
    ticks = "".join(
        f'<path d="M{x} {y}l{11} -11" stroke="var(--soft)"/>'
        for x in (-52, 41)
        for y in range(-41, 56, 8)
    )
    label = f"plate of {t.name} in its bore, seen from {seen}"
    return (
        '<figure class="plate"><svg viewBox="-60 -60 120 120" role="img" '
        f'aria-label="{escape(label)}">{ticks}<path d="M-41 -54V54M41 -54V54" '
        'stroke="currentColor" stroke-width="1.4" fill="none"/>'
        f'<line data-plate="{escape(t.name)}" x1="{-half:.2f}" x2="{half:.2f}" '
        'stroke="currentColor" stroke-width="4"/>'
        f'<circle r="{hub:.2f}" fill="var(--paper)" '
        'stroke="currentColor" stroke-width="1.4"/></svg>'
        f"<figcaption>{escape(t.name)}, seen from {escape(seen)}, bore drawn upright "
        f'<b data-plate-state="{escape(t.name)}"></b></figcaption></figure>'
    )


def curve(scene: Scene, others: Sequence[Scene]) -> str:
    """Return the travel curve with its mark; other layouts' curves pale."""
    everyone = (scene, *others)
    unit = spoken_unit("length")
    end = max(s.curve.pedal_end for s in everyone) / unit.factor
    swing = float(np.degrees(scene.main.throttle.swing))
    shares = not curve_others.one_swing(scene.curve)
    top = 1.1 * max(float(np.degrees(s.main.throttle.swing)) for s in everyone)
    wide, high, left, under = CURVE

    def points(one: TravelCurve, share: FloatArray) -> FloatArray:
        """Return where shares of a swing fall, all running to one full stop."""
        x = one.pad_travel / unit.factor / end * wide
        y = high * (1 - np.degrees(share * one.main.swing) / top)
        return np.column_stack([x, y])

    def line(one: Scene) -> str:
        return _through(points(one.curve, one.curve.main.throttle_share))

    step = tick_step(end)
    ticks = "".join(
        f'<path d="M{k * step / end * wide:.1f} 0V{high}" class="grid"/>'
        f'<text x="{k * step / end * wide:.1f}" y="{high + 12}">{k * step:g}</text>'
        for k in range(int(end / step) + 1)
    )
    half = (swing / 2,) if high * swing / top > 2 * APART else ()
    for angle in (0.0, *half, swing):
        y = high * (1 - angle / top)
        ticks += (
            f'<path d="M0 {y:.1f}H{wide}" class="grid"/>'
            f'<text x="-4" y="{y:.1f}" class="end">'
            f"{f'{100 * angle / swing:.0f}%' if shares else f'{angle:.0f}°'}</text>"
        )
    full = high * (1 - swing / top)
    pale = "".join(f'<path d="{line(o)}" class="other"/>' for o in others)
    further = _further(
        points(scene.curve, scene.curve.main.throttle_share),
        {
            short: points(scene.curve, scene.curve.throttles[name].throttle_share)
            for name, short in _names(scene.curve).items()
        },
    )
    what = "share" if shares else "angle"
    travel = in_words_of(scene.layout.driver, "pad travel")
    label = f"travel curve: throttle {what} over {travel}, with a mark at the position shown"
    return (
        f'<svg class="curve" viewBox="{-left} -8 {wide + left + 18} {high + under + 8}" '
        f'role="img" aria-label="{label}" '
        f'data-x="{wide / end / unit.factor / 1e3:.6f}" data-y="{high / top:.6f}" '
        f'data-high="{high}">{ticks}<path d="M0 {full:.1f}H{wide}" class="full"/>'
        f'<path d="M0 0V{high}H{wide}" class="frame"/>'
        f'{pale}{further}<path d="{line(scene)}" class="own"/>'
        '<circle data-mark="" r="5"/>'
        f'<text x="{wide / 2}" y="{high + 30}">{travel} [{unit.unit}]</text>'
        f'<text x="{-left + 7}" y="{high / 2}" '
        f'transform="rotate(-90 {-left + 7} {high / 2})">'
        f"throttle [{'%' if shares else '°'}]</text></svg>"
    )


def _names(curve: TravelCurve) -> dict[str, str]:
    """Return the names of further throttles that are drawn, cut short."""
    return short_names(
        (other.name for other in curve_others.others(curve)), LETTERS_CUT
    )


def _through(points: FloatArray) -> str:
    """Return a path through every other point."""
    return "M" + "L".join(f"{a:.1f} {b:.1f}" for a, b in points[::2])


def _further(main: FloatArray, further: Mapping[str, FloatArray]) -> str:
    """Return the curves of further throttles, each named where its name hides least."""
    drawn, out = np.vstack([main, *further.values()]), []
    for name, points in further.items():
        half = np.array([LETTER * len(name) / 2, APART / 2])
        spots = points[(np.array(NAMED) * (len(points) - 1)).astype(int)]
        ways = np.array([[1, 1], [-1, -1], [1, 0], [-1, 0], [0, 1], [0, -1]])
        middles = (spots[:, None] + ways * (half + 5)).reshape(-1, 2)
        middles = np.clip(middles, half, np.array(CURVE[:2]) - half)
        inside = (np.abs(drawn - middles[:, None]) < half + 1).all(axis=2)
        x, y = middles[int(np.argmin(inside.sum(axis=1)))]
        # The next name keeps off this one.
        drawn = np.vstack(
            [drawn, np.array([x, y]) + half * np.mgrid[-1:2, -1:2].reshape(2, -1).T]
        )
        out.append(
            f'<path d="{_through(points)}" class="further"><title>{escape(name)}</title>'
            f'</path><text x="{x:.1f}" y="{y:.1f}" class="name">{escape(name)}</text>'
        )
    return "".join(out)


def tick_step(end: float) -> float:
    """Return a round step from tick to tick for an axis from 0 to a positive end.

    >>> tick_step(71.0), tick_step(2.8), tick_step(0.004)
    (20.0, 0.5, 0.001)
    """
    ten = 10.0 ** np.floor(np.log10(end / TICKS))
    return float(next(k * ten for k in (*STEPS, 10) if end / (k * ten) <= TICKS))
