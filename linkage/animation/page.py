"""The animation as one HTML file that needs no network and no other file.

Not here: the drawing (`markup`), the numbers (`columns`), moving it (``page.js``).
"""

from __future__ import annotations

import json
from html import escape
from importlib.resources import files
from string import Template
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.animation.columns import columns
from linkage.animation.geometry import LETTERS, drawn_views
from linkage.animation.markup import curve, dash_of, drawing, plate, width_of
from linkage.animation.scene import deepest, refuse_others, scene, shared_views
from linkage.animation.words import (
    SENSES,
    driver_of,
    end_words,
    force_decimals,
    joined_words,
    line_words,
)
from linkage.drawing.cables import HUNG
from linkage.drawing.held import held_turns
from linkage.drawing.layout_labels import HELD, slide_words, turn_words
from linkage.drawing.loose import HALF, LIP, NECK
from linkage.drawing.pose import WIRE
from linkage.drawing.sprung import COIL
from linkage.drawing.sprung import COILS as TUBE_COILS
from linkage.drawing.symbols import COILS
from linkage.drawing.track import SLACK
from linkage.model import Slide
from linkage.model.called import all_rods, rod_kinds
from linkage.quantities import spoken_unit
from linkage.rules.caution import CAUTION
from linkage.seen import seen

if TYPE_CHECKING:
    from collections.abc import Sequence

    from linkage.animation.scene import Scene
    from linkage.search import Check

#: Positions of each layout's travel; the script goes straight between them.
POSITIONS: Final = 121
COUNT: Final = {1: "one", 2: "two"}
#: In which order the script has the looks of rods.
ORDER: Final = (-1, 0, 1, SLACK)
#: What is said of a line that only some layouts have.
SLACK_WORDS: Final = (
    " A thin line with dots between its dashes is a rod that is slack: it carries nothing"
    " until its pin is at the end of its slot, in its hook or in its cup."
)
CAM_WORDS: Final = (
    " A cam pushes its roller, the ring about a pin; as long as they do not touch, it"
    " carries nothing."
)
HUNG_WORDS: Final = (
    " A hollow line is the sheath of a cable: the body holds it at a hatched collar, the"
    " engine at a black one. Wire drawn with dots between its dashes hangs slack."
)

OBSTACLE_WORDS: Final = (
    " Grey outlines are what is near: bold where it moves, double of an exhaust; a red"
    " mark stands where a part comes too near."
)


def page(checks: Sequence[Check]) -> str:
    """Return the page.

    Parameters
    ----------
    checks : sequence of Check
        Of one layout, or of two to stand side by side.

    Returns
    -------
    str
        HTML with its style, script and numbers inside.

    Raises
    ------
    UsageError
        If one is a governed engine and the other is not.
    """
    refuse_others(checks)
    views = shared_views(checks)
    shown = [
        scene(one, np.linspace(0.0, one.examined.working.end, POSITIONS), views)
        for one in checks
    ]
    fields = [drawn_views(one) for one in shown]
    driver = driver_of(shown[0])  # one input drives all
    loose = {r.kind for drawn in fields for view in drawn for r in view.loose.values()}
    data = {
        "driver": {
            "end": driver.end,
            "rest": driver.rest,
            "ways": driver.ways,
        },
        "end": round(deepest(checks) * 1e3, 3),
        "length": _unit("length", 1e-3, spoken_unit("length").decimals),
        "force": _unit("force", 1.0, force_decimals()),
        "letters": LETTERS,
        "coils": COILS,
        "dashes": [dash_of(sense) for sense in ORDER],
        "widths": [width_of(sense) for sense in ORDER],
        "wires": [min(width_of(sense), WIRE) for sense in ORDER],
        "hung": HUNG.tolist(),
        "slot": [HALF, NECK, LIP],
        "tube": [TUBE_COILS, COIL],
        "layouts": [columns(s, f) for s, f in zip(shown, fields, strict=True)],
    }
    parts = []
    for k, one in enumerate(shown):
        others = [s for s in shown if s is not one]
        parts.append(_layout(k, one, drawing(fields[k], spoken(one)), others))
    title = " and ".join(dict.fromkeys(one.layout.title for one in shown))
    # Nothing in the numbers may end the script that holds them.
    packed = json.dumps(
        data, ensure_ascii=False, separators=(",", ":"), allow_nan=False
    ).replace("<", "\\u003c")
    return Template(_text("page.html")).substitute(
        title=escape(seen(title)),
        caution=escape(CAUTION),
        css=_text("page.css").strip(),
        js=_text("page.js").strip(),
        steps=POSITIONS - 1,
        count=COUNT[len(shown)],
        layouts="\n".join(parts),
        rod=line_words(shown),
        joined=joined_words(shown),
        driver=driver.name,
        driver_head=driver.name.capitalize(),
        rest=driver.rest,
        full=driver.full,
        still=driver.still,
        going=driver.going,
        slack=SLACK_WORDS * bool(loose - {"roller"}) + CAM_WORDS * ("roller" in loose),
        cables=HUNG_WORDS * any(view.cables for drawn in fields for view in drawn)
        + OBSTACLE_WORDS * any(one.layout.obstacles for one in shown),
        data=packed,
    )


def _unit(kind: str, factor: float, decimals: int) -> list[str | float | int]:
    """Return the unit words speak in, how many of the numbers' unit it is, digits."""
    unit = spoken_unit(kind)
    return [unit.unit, round(unit.factor / factor, 9), decimals]


def _text(name: str) -> str:
    return files("linkage.animation").joinpath(name).read_text(encoding="utf-8")


def spoken(one: Scene) -> str:
    """Return the drawing in words, for those who do not see it.

    Parameters
    ----------
    one : Scene
        What is drawn.
    """
    layout = one.layout
    driver = driver_of(one)
    said, turns = [f"{driver.going}:".capitalize()], held_turns(one.motion)
    for name, shaft in layout.shafts.items():
        if isinstance(shaft, Slide):
            said.append(f"slide {name} {slide_words(one.motion, shaft)};")
            continue
        turn = turn_words(one.motion, shaft, 1)
        held = turns[name][np.isfinite(turns[name])]
        if held.size and np.ptp(held) < HELD:
            turn = turn.replace("turns ", "is held by its stop and pushed ")
        said.append(f"{name} {turn} seen from {shaft.axis.seen_from};")
    for rod in one.rods:
        start, end = rod.holes
        sense = {"pull": "pulls", "push": "pushes", "slack": "is slack"}.get(
            SENSES[int(rod.sense[0][len(rod.left) // 2])], "neither pulls nor pushes"
        )
        kind = layout.rods[rod.name].kind
        said.append(f"{kind} {rod.name} from {start} to {end} {sense};")
    said.append(f"{driver.name} {end_words(one)}.")
    return " ".join(said)


def _layout(k: int, one: Scene, picture: str, others: Sequence[Scene]) -> str:
    plates = "".join(
        plate(one, t) for t in one.throttles.values() if t.throttle.kind == "plate"
    )
    driver = driver_of(one)
    rows = [(f"{driver.end} travel", "pad"), ("throttle", "throttle")]
    rows += [("open area", "area")] * (one.main.area is not None)
    rows += [(f"{driver.end} force", "force")] * (one.pad_force is not None)
    rows += [(driver.name, "stop")]
    numbers = "".join(
        f'<tr><th scope="row">{name}</th>'
        f'<td data-show="{key}"{" class=stop" * (key == "stop")}></td></tr>'
        for name, key in rows
    )
    return (
        f'<section class="layout" aria-labelledby="title-{k}">'
        f'<h2 id="title-{k}">{escape(seen(one.layout.title))}</h2>'
        f"{_banner(one)}{picture}"
        f'<div class="below">{plates}{curve(one, others)}'
        f'<table class="numbers"><caption>Position</caption><tbody>{numbers}</tbody></table></div>'
        f"{_rods(one)}</section>"
    )


def _banner(one: Scene) -> str:
    if not one.reasons:
        return f'<p class="fits" role="note" aria-label="verdict">{escape(one.verdict)}</p>'
    reasons = "".join(f"<li>{escape(reason)}</li>" for reason in one.reasons)
    said = f"DO NOT FIT<ul>{reasons}</ul>"
    return f'<div class="banner" role="note" aria-label="verdict">{said}</div>'


def _rods(one: Scene) -> str:
    limits = one.layout.limits
    bounds = "".join(
        f'<b style="left:{np.degrees(bound) / 0.9:.1f}%"></b>'
        for bound in (limits.arm_rod_refuse, limits.arm_rod_look)
    )
    rows = "".join(
        f'<tr data-row="{escape(rod.name)}"><th scope="row">{escape(rod.name)}</th>'
        "<td></td><td></td>"
        f'<td aria-hidden="true"><div class="bar"><i></i>{bounds}</div></td></tr>'
        for rod in one.rods
    )
    title = all_rods(rod_kinds(one.layout)).capitalize()
    return (
        f'<table class="rods"><caption>{title}</caption><thead><tr>'
        f'<th scope="col">{joined_words([one])}</th>'
        '<th scope="col">force</th><th scope="col">left to dead centre</th>'
        '<td aria-hidden="true"></td></tr></thead>'
        f"<tbody>{rows}</tbody></table>"
    )
