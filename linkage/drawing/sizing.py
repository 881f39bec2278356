"""Picture of the arm chooser: length against throttle reached and least angle.

What fits is a ring, what is refused a cross, what cannot be put together a dash at the
bottom; so all are told apart in black and white too.

Not here: the search (`search.arm`), its table (`report.sizing`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.drawing.fit import wrap_to
from linkage.drawing.key import Entry, draw_key, key_height
from linkage.drawing.labels import Placer, Tag
from linkage.drawing.margin import End, name_in_margin
from linkage.drawing.style import (
    BLACK,
    BLUE,
    GREY,
    VERMILION,
    new_figure,
    notes,
    still_style,
)
from linkage.drawing.words import as_written
from linkage.model.called import a_rod, rod_kinds
from linkage.quantities import say, shown
from linkage.spoken import in_spoken, say_hole, unit_word

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from linkage.drawing.style import Paper
    from linkage.model import Layout
    from linkage.search.sized import Row, Sizing

    FloatArray = NDArray[np.float64]

APART_WORD: Final = "cannot be put together"
#: How every line and mark is drawn; the key over the field shows the same.
REACHED: Final[dict[str, Any]] = {"color": BLUE, "ls": "-"}
#: What is said of a pedal, and of a governor, which shuts: of the axis, and both lines.
AXIS: Final = (
    "throttle reached [% of swing],\nfull met at [% of the pad's travel]",
    "throttle shut by [% of swing],\nshut at [% of the arm's travel]",
)
NAMED: Final = (("throttle reached", "full throttle met at"), ("shut by", "shut at"))
FULL: Final[dict[str, Any]] = {"color": VERMILION, "ls": (0, (6, 2))}
FITS: Final[dict[str, Any]] = {
    "ls": "none",
    "marker": "o",
    "ms": 4.5,
    "mfc": "white",
    "mec": BLUE,
}
FAILS: Final[dict[str, Any]] = {"ls": "none", "marker": "x", "ms": 4.5, "mec": GREY}
APART: Final[dict[str, Any]] = {"ls": "none", "marker": "_", "ms": 7, "mec": BLACK}
BEST: Final[dict[str, Any]] = {
    "ls": "none", "marker": "o", "ms": 9, "mfc": "none", "mec": BLACK, "mew": 1.6,
}  # fmt: skip
BOUND: Final[dict[str, Any]] = {"color": GREY, "lw": 0.8, "ls": ":"}


def _apart(row: Row) -> bool:
    """Tell whether a candidate cannot be put together, so that nothing of it is known."""
    return isinstance(row.broken, str) or not np.isfinite(row.throttle_share)


def _varied(sizing: Sizing) -> list[tuple[int, str]]:
    """Return what varies, by number of the arm and kind; the first is drawn along."""
    varied: list[tuple[int, str]] = []
    for i, choice in enumerate(sizing.choices):
        varied += [(i, "length")] * (len(choice.lengths) > 1)
        varied += [(i, "angle")] * (len(choice.angles) > 1)
    return varied or [(0, "length")]


def _along(sizing: Sizing, layout: Layout) -> tuple[str, FloatArray, list[int]]:
    """Return label, values and rows of the axis: the first quantity that varies.

    With two varied, the other is held at the chosen row's value (at the nearest
    one's where none fits, at the middle one's where none can be put together).
    """
    kept = _kept(sizing)
    (index, kind), *held = _varied(sizing)

    def same(row: Row) -> bool:
        return all(_value(row, i, k) == _value(kept, i, k) for i, k in held)

    rows = [n for n, row in enumerate(sizing.rows) if same(row)]
    values = [in_spoken(_value(sizing.rows[n], index, kind), kind) for n in rows]
    label = f"{_called(sizing, layout, index, kind)} [{unit_word(kind)}]"
    return label, np.array(values), rows


def _kept(sizing: Sizing) -> Row:
    return sizing.best or sizing.rows[len(sizing.rows) // 2]


def _called(sizing: Sizing, layout: Layout, index: int, kind: str) -> str:
    """Return what is varied: length or angle of an arm, radius or nipple of a drum."""
    hole = sizing.choices[index].hole
    if not layout.shafts[hole.shaft].arms[hole.arm].wound:
        return f"{kind} of arm {hole}"
    what = "radius of" if kind == "length" else f"{kind} of the nipple of"
    return f"{what} drum {hole}"


def _held(sizing: Sizing, layout: Layout) -> str:
    """Return at what the further quantities are held; nothing where one varies."""
    kept = _kept(sizing)
    parts = [
        f"{_called(sizing, layout, i, kind)} {_said(_value(kept, i, kind), kind)}"
        for i, kind in _varied(sizing)[1:]
    ]
    return f"Held meanwhile: {', '.join(parts)}" if parts else ""


def _value(row: Row, index: int, kind: str) -> float:
    return row.lengths[index] if kind == "length" else row.angles[index]


def _said(value: float, kind: str) -> str:
    """Return a length or an angle to the digits in which arms are chosen."""
    return say_hole(value, 2) if kind == "length" else say(value, kind)


@as_written
def draw_sizing(ax: Axes, angle_ax: Axes, sizing: Sizing, layout: Layout) -> None:
    """Draw throttle reached above, least arm-rod angle below.

    Parameters
    ----------
    ax, angle_ax : Axes
        Share one horizontal axis; their places on the page must be settled.
    sizing : Sizing
        From `search.arm.size_arms`.
    layout : Layout
        For its limits.
    """
    label, x, indices = _along(sizing, layout)
    rows = [sizing.rows[i] for i in indices]
    lost = np.array([_apart(row) for row in rows])
    share = np.array([row.throttle_share * 100 for row in rows])
    share[lost] = np.nan
    full = np.array(
        [np.nan if r.full_share is None else r.full_share * 100 for r in rows]
    )
    least = np.array([shown(row.least_angle, "angle") for row in rows])
    least[lost] = np.nan
    fits = np.array([row.fits for row in rows])
    ax.plot(x, share, gid="throttle", **REACHED)
    ax.plot(x, full, gid="full", **FULL)
    angle_ax.plot(x, least, gid="least", **REACHED)
    known = np.concatenate([share, full, [60.0]])
    bottom = float(np.nanmin(known[np.isfinite(known)])) - 4
    for axes, curve, foot in ((ax, share, bottom + 1.5), (angle_ax, least, 1.5)):
        axes.plot(x[fits], curve[fits], gid="fits", **FITS)
        axes.plot(x[~fits & ~lost], curve[~fits & ~lost], gid="fails", **FAILS)
        axes.plot(x[lost], np.full(int(lost.sum()), foot), gid="apart", **APART)
    ax.set_ylabel(AXIS[layout.governed])
    ax.set_ylim(bottom, 112)
    ax.set_yticks([t for t in ax.get_yticks() if bottom <= t <= 100])
    ax.tick_params(labelbottom=False)
    angle_ax.set_ylabel(f"least angle of\narm and {a_rod(rod_kinds(layout))} [°]")
    angle_ax.set_ylim(-2, 92)
    angle_ax.set_xlabel(label)
    wide = float(np.ptp(x)) if len(x) > 1 else abs(float(x[0])) or 1.0
    ax.set_xlim(float(x.min()) - 0.06 * wide, float(x.max()) + 0.06 * wide)
    for axes in (ax, angle_ax):
        axes.grid(visible=True)
        axes.set_axisbelow(True)
    _draw_bounds(ax, angle_ax, layout)
    _label(ax, angle_ax, sizing, (x, indices))


def _draw_bounds(ax: Axes, angle_ax: Axes, layout: Layout) -> None:
    """Draw what is asked of the throttle, and of the arm-rod angle."""
    limit = layout.limits.full_throttle * 100
    ax.axhline(limit, gid="asked", **BOUND)
    name_in_margin(ax, [End(value=limit, word=f"{limit:g} % of swing asked")])
    ends = []
    for bound, word in (
        (layout.limits.arm_rod_look, "look below"),
        (layout.limits.arm_rod_refuse, "do not fit below"),
    ):
        angle_ax.axhline(shown(bound, "angle"), gid=word, **BOUND)
        value = shown(bound, "angle")
        ends.append(End(value=value, word=f"{word} {say(bound, 'angle', 0)}"))
    name_in_margin(angle_ax, ends)


def _label(
    ax: Axes, angle_ax: Axes, sizing: Sizing, along: tuple[FloatArray, list[int]]
) -> None:
    """Mark the best row on both fields, and name it and the lines where there is room."""
    x, indices = along
    room = Placer(ax, (0.01, 0.02, 0.99, 0.98))
    lines = {line.get_gid(): np.asarray(line.get_xydata(), float) for line in ax.lines}
    for axes in (ax, angle_ax):
        _mark_best(axes, sizing, along)
    for gid in ("throttle", "full"):
        room.avoid(lines[gid])
    for gid in ("fits", "fails", "apart"):
        room.avoid_points(lines[gid], 6.0)
    level = float(lines["asked"][0, 1])
    room.avoid(np.array([[ax.get_xlim()[0], level], [ax.get_xlim()[1], level]]))
    tags = []
    index, kind = _varied(sizing)[0]
    best = sizing.chosen if sizing.chosen is not None else sizing.nearest
    if best is not None and best in indices:
        place = float(x[indices.index(best)])
        low, top = ax.get_ylim()
        room.avoid(np.array([[place, low], [place, top]]))
        word = "chosen" if sizing.chosen is not None else "nearest, but refused:"
        said = _said(_value(sizing.rows[best], index, kind), kind)
        spots = [(place, low + s * (top - low)) for s in (0.3, 0.2, 0.45, 0.6, 0.1)]
        style = {"fontsize": 9, "weight": "bold", "gid": "best"}
        text = f"{word} {said}"
        tags.append(
            Tag(
                text=text,
                at=spots[0],
                also=tuple(spots[1:]),
                toward=(1, 0),
                style=style,
            )
        )
    named = NAMED[sizing.rows[0].base.governed]
    for gid, words in zip(("throttle", "full"), named, strict=True):
        points = lines[gid][np.isfinite(lines[gid]).all(axis=1)]
        if len(points):
            spots = [tuple(p) for p in points[:: max(len(points) // 9, 1)]]
            style = {"gid": f"name: {gid}"}
            tags.append(
                Tag(
                    text=words,
                    at=spots[0],
                    also=tuple(spots[1:]),
                    toward=(1, 1),
                    lead=0.0,
                    style=style,
                )
            )
    room.place(tags)


def _mark_best(axes: Axes, sizing: Sizing, along: tuple[FloatArray, list[int]]) -> None:
    """Draw a line at the chosen value, or a broken one at what comes nearest."""
    x, indices = along
    best = sizing.chosen if sizing.chosen is not None else sizing.nearest
    if best is None or best not in indices:
        return
    i = indices.index(best)
    dash: Any = "-" if sizing.chosen is not None else (0, (2, 2))
    axes.axvline(float(x[i]), color=BLACK, lw=0.8, ls=dash, gid="best")
    curve = np.asarray(axes.lines[0].get_ydata(), dtype=float)
    axes.plot([x[i]], [curve[i]], gid="best mark", **BEST)


def _entries(sizing: Sizing) -> list[Entry]:
    """Return the rows of the key over the field."""
    rows = sizing.rows
    bad = [row for row in rows if not row.fits]
    lost = [row for row in bad if _apart(row)]
    good = _count(rows, len(rows) - len(bad))
    out = [
        Entry(line={**REACHED, **FITS, "ls": "-"}, name="fits", text=good),
        Entry(
            line={**REACHED, **FAILS, "ls": "-"}, name="refused", text=_why(rows, bad)
        ),
    ]
    if lost:
        said = f"{len(lost)} {APART_WORD}"
        out.append(Entry(line=APART, name="apart", text=said))
    return out


def _count(rows: tuple[Row, ...], count: int) -> str:
    return f"{count} of {len(rows)} tried"


def _why(rows: tuple[Row, ...], bad: list[Row]) -> str:
    """Return for what candidates are refused, the most frequent reasons first."""
    reasons: dict[str, int] = {}
    for row in bad:
        broken = row.broken
        word = (
            APART_WORD
            if broken is None or isinstance(broken, str)
            else broken.rule.name
        )
        reasons[word] = reasons.get(word, 0) + 1
    most = sorted(reasons.items(), key=lambda r: -r[1])[:3]
    text = _count(rows, len(bad))
    return f"{text}: {', '.join(f'{w} ({n})' for w, n in most)}" if most else text


def sizing_figure(
    sizing: Sizing, layout: Layout, *, paper: Paper | None = None
) -> Figure:
    """Return the picture of a search.

    Parameters
    ----------
    sizing : Sizing
        From `search.arm.size_arms`.
    layout : Layout
        As it was before.
    paper : {"a4", "letter"}, optional
        None gives a size for the screen.
    """
    with still_style():
        figure = new_figure(paper)
        entries = _entries(sizing)
        width, height = figure.get_size_inches()
        if paper is None:  # a page has its size, a screen not
            height += key_height(figure, entries)
            figure.set_size_inches(width, height)
        banner = None if sizing.chosen is not None else "nothing tried fits"
        notes(figure, title=f"{layout.title}: choosing an arm", banner=banner)
        top = draw_key(figure, entries, height - (0.8 if banner else 0.48)) - 0.05
        for line in wrap_to(_held(sizing, layout), 0.94 * width * 72, 8, most=2):
            figure.text(0.03, top / height, line, size=8, va="top", gid="held")
            top -= 0.16
        low = 0.95
        foot = 0.36 * (top - low - 0.3)
        ax = figure.add_axes(
            (
                0.085,
                (low + foot + 0.22) / height,
                0.745,
                (top - low - foot - 0.3) / height,
            )
        )
        angle_ax = figure.add_axes(
            (0.085, low / height, 0.745, foot / height), sharex=ax
        )
        draw_sizing(ax, angle_ax, sizing, layout)
    return figure
