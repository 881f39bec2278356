"""A scene as compact columns of numbers, for the page's script.

Not here: the script (``page.js``), what stands (`markup`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.animation.geometry import ROD_LETTERS
from linkage.animation.words import end_words, sense_texts
from linkage.drawing.plate import plate_words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from linkage.animation.scene import RodColumns, Scene, ThrottleColumns
    from linkage.animation.shapes import ViewScene
    from linkage.drawing.cables import Free
    from linkage.drawing.drums import Drum
    from linkage.drawing.loose import Loose

    FloatArray = NDArray[np.float64]


def column(values: FloatArray, decimals: int) -> list[float | int | None]:
    """Return rounded numbers, None where one is not known.

    >>> import numpy as np
    >>> column(np.array([1.0, 2.34, np.nan]), 1)
    [1, 2.3, None]
    """
    out: list[float | int | None] = []
    for value in np.round(np.asarray(values, dtype=float), decimals).tolist():
        if value != value:  # noqa: PLR0124 - nan alone differs from itself
            out.append(None)
        else:
            out.append(int(value) if value == int(value) else value)
    return out


def columns(scene: Scene, drawn: Sequence[ViewScene]) -> dict[str, Any]:
    """Return one layout's numbers by short names; see the head of ``page.js``.

    Parameters
    ----------
    scene : Scene
        Over pad positions spread evenly from 0 to the end of its travel.
    drawn : sequence of ViewScene
        Where its points fall.
    """
    short = sense_texts(scene, ROD_LETTERS)
    main = scene.main
    limits = scene.layout.limits
    return {
        "end": round(scene.working.end * 1e3, 3),
        "stop": end_words(scene),
        "throttle": column(np.degrees(main.angle), 2),
        "share": column(100 * main.share, 1),
        "area": None if main.area is None else column(100 * main.area, 1),
        "force": None if scene.pad_force is None else [column(f, 1) for f in scene.pad_force],
        "bounds": [
            round(float(np.degrees(a)), 2)
            for a in (limits.arm_rod_refuse, limits.arm_rod_look)
        ],
        "rods": [_rod(rod, short[rod.name][0]) for rod in scene.rods],
        "plates": [_plate(t) for t in scene.throttles.values() if t.throttle.kind == "plate"],
        "views": [_view(view) for view in drawn],
    }  # fmt: skip


def _rod(rod: RodColumns, short: str) -> dict[str, Any]:
    return {
        "name": rod.name,
        "short": short,
        "holes": [str(hole) for hole in rod.holes],
        "sense": [way.tolist() for way in rod.sense],
        "force": None if rod.force is None else [column(f, 1) for f in rod.force],
        "left": column(np.degrees(rod.left), 2),
        "nearer": rod.nearer.tolist(),
        "given": None if rod.given is None else column(1e3 * rod.given, 3),
        "way": round(1e3 * rod.way, 3),
    }


def _plate(columns_of: ThrottleColumns) -> dict[str, Any]:
    """Return a plate's angle on the picture, anticlockwise, and what stop it is on."""
    throttle = columns_of.throttle
    said = []
    for asked in columns_of.asked:
        last = plate_words(throttle, float(asked)).splitlines()[-1]
        said.append(last if last.startswith(("on ", "pushed ")) else "")
    kinds = list(dict.fromkeys(said))
    angle = throttle.opens * np.degrees(throttle.closed_angle + columns_of.angle)
    return {
        "angle": column(angle, 2),
        "words": kinds,
        "state": [kinds.index(text) for text in said],
    }


def _view(view: ViewScene) -> dict[str, Any]:
    return {
        "scale": round(view.scale, 6),
        "origin": [round(part, 3) for part in view.origin],
        "pins": {h: [column(way[:, 0], 2), column(way[:, 1], 2)] for h, way in view.pins.items()},
        "feet": {h: [round(part, 2) for part in foot] for h, (foot, _, _) in view.arms.items()},
        "rods": {n: list(holes) for n, holes in view.rods.items()},
        "parted": {
            n: [hole, column(way[:, 0], 2), column(way[:, 1], 2)]
            for n, (hole, way) in view.parted.items()
        },
        "loose": {
            n: [loose.at, loose.kind, column(loose.near, 5), column(loose.far, 5), *_roller(loose)]
            for n, loose in view.loose.items()
        },
        "sprung": {
            n: [one.at, *(column(share, 5) for share in (one.seat, one.bottom, one.collar))]
            for n, one in view.sprung.items()
        },
        "cables": {n: [_free(free) for free in one.free] for n, one in view.cables.items()},
        "drums": {h: _drum(drum, turn) for h, (drum, turn) in view.drums.items()},
        "bars": {h: _pair_of(foot / 1e3) for h, foot in view.bars.items()},
        "words": {n: [round(part, 3) for part in place] for n, place in view.word_places.items()},
        "springs": {
            n: [hole, *(round(part, 2) for part in anchor)]
            for n, (hole, anchor) in view.springs.items()
        },
        "pad": [column(way, 2) for way in view.pad.T],
    }  # fmt: skip


def _pair_of(points: FloatArray) -> list[list[float | int | None]]:
    """Return places as two columns. [mm]."""
    return [column(1e3 * points[:, 0], 2), column(1e3 * points[:, 1], 2)]


def _roller(loose: Loose) -> Iterator[list[list[float | int | None]]]:
    """Yield a roller about its pin, of a cam. [mm]."""
    if len(loose.roller):
        yield _pair_of(loose.roller)


def _free(free: Free) -> dict[str, Any]:
    """Return the wire at one end of a cable: its nipple's hole, foot, sheath and sag."""
    return {
        "hole": free.hole,
        "foot": _pair_of(free.foot),
        "sheath": column(1e3 * free.sheath, 2),
        "sag": _pair_of(free.sag) if free.sag.any() else None,
        "wound": column(np.degrees(free.wound), 3) if free.drum is not None else None,
        "turn": column(np.degrees(free.turns), 3),
    }


def _drum(drum: Drum, turn: FloatArray) -> dict[str, Any]:
    """Return a drum: middle, axes of its plane, nipple, sense, rim, and how it turns."""
    return {
        "root": column(1e3 * drum.root, 2),
        "axes": [column(axis, 6) for axis in drum.axes],
        "nipple": round(float(np.degrees(drum.nipple)), 3),
        "sense": drum.sense,
        "rim": [column(np.degrees(drum.turns), 3), column(1e3 * drum.radii, 3)],
        "closed": drum.closed,
        "turn": column(np.degrees(turn), 3),
    }
