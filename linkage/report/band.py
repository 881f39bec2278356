"""The band of measuring errors as text and as plain data.

Not here: the numbers (`band`), the picture (`drawing.band`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.band.setting import TURN, settings
from linkage.model.called import rod_kinds
from linkage.quantities import SHOWN as SHOWN_UNITS
from linkage.quantities import say, say_round
from linkage.report.slop import plays, slop_lines
from linkage.report.tables import evenly, in_shown, mm, plain, table, wrapped
from linkage.rules.caution import CAUTION
from linkage.rules.corners import WORN
from linkage.rules.finding import VERDICTS
from linkage.rules.order import BY_CODE, gravity
from linkage.rules.rule import BAD
from linkage.spoken import DATA_UNITS, number, unit_word

if TYPE_CHECKING:
    from collections.abc import Sequence

    from linkage.band import Answer, Band, Chance
    from linkage.band.effects import Effect
    from linkage.band.setting import Setting
    from linkage.model.measured import Measured

#: Numbers of which the band is shown first, where they are found; the rest is data.
SHOWN: Final = (
    "full-throttle",
    "arm-rod-angle",
    "dead-centre",
    "closing-torque",
    "closing-torque-one-off",
    "pad-force",
)
#: Less than this off its stop at idle is nothing. [rad]
SHUT: Final = math.radians(0.1)
#: [m]
INCH: Final = 0.0254
#: Most measured numbers that are told to be measured again, and findings that turn.
FIRST: Final = 8
TURNS: Final = 6
#: What a number does that is not told. [rad]
LEAST: Final = math.radians(0.05)
#: Share of samples below which it is not told that a finding turns.
RARE: Final = 0.005
#: Steps by which people read what a millimetre and a degree do. [SI]
_STEPS: Final = {"length": 0.5e-3, "angle": math.radians(1)}


def share(value: float) -> str:
    """Return a share of samples in words that claim no more than samples tell.

    >>> share(0.123), share(0.0004), share(0.0), share(1.0)
    ('12%', 'under 1%', 'none', 'all')
    """
    if value <= 0:
        return "none"
    if value >= 1:
        return "all"
    if value < 0.01:
        return "under 1%"
    return "over 99%" if value > 0.99 else f"{value:.0%}"


def _head(b: Band) -> list[str]:
    """Return the first lines: how many of those vehicles would do."""
    bad = [c for c in b.chances if c.was == BAD]
    if bad:
        kinds = rod_kinds(b.examined.layout)
        worst = min(bad, key=lambda c: gravity(c.place[0]))
        what = BY_CODE[worst.place[0]].called_in(kinds)
        head = f"DO NOT FIT as measured, for {what}: mend that first, see `check`"
    elif b.fits >= 1:
        head = f"All of {b.count} that would have been measured so would fit"
    else:
        head = (
            f"{share(b.fits)} of {b.count} that would have been measured so would fit"
        )
        if not b.fits:
            head = f"None of {b.count} that would have been measured so would fit"
    return [*wrapped(head, "  ", first=""), b.examined.layout.title]


def what_of(b: Band, one: Answer | Chance) -> str:
    """Return a finding by its rule and part, in a few words."""
    called = BY_CODE[one.place[0]].called_in(rod_kinds(b.examined.layout))
    return f"{called}: {one.who}" if one.who else called


def _turning(b: Band) -> list[Chance]:
    turning = [c for c in b.chances if c.turns >= RARE]
    return sorted(turning, key=lambda c: (-c.bad, -c.turns))[:TURNS]


def _chances(b: Band) -> list[str]:
    turning = _turning(b)
    if not turning:
        return ["No finding turns in one of two hundred of them."]
    rows = [
        [
            what_of(b, c),
            VERDICTS[c.was],
            share(c.looks),
            share(c.bad),
        ]
        for c in turning
    ]
    return table(["what may turn", "as measured", "look", "do not fit"], rows)


def _numbers(b: Band) -> list[str]:
    rows = []
    for code in SHOWN:
        some = [a for a in b.answers if a.place[0] == code]
        if not some:
            continue
        one = nearest(some)
        cells = [_said(v, one.kind) for v in (one.nominal, one.low, one.high)]
        straight = "" if one.straight else "do not add up"
        rows.append([what_of(b, one), *cells, straight])
    low, middle, high = b.full_at
    at = b.judged.x.working.end
    rows.insert(
        0,
        ["pad travel where it stops", *(say(v, "length") for v in (at, low, high)), ""],
    )
    assert middle is not None  # noqa: S101
    notes = [] if not any(row[-1] for row in rows) else ["single effects"]
    cut = [row if notes else row[:-1] for row in rows]
    return table(["nine of ten lie", "as measured", "from", "to", *notes], cut)


def _said(value: float, kind: str) -> str:
    return say(value, kind) if math.isfinite(value) else "-"


def nearest(some: Sequence[Answer]) -> Answer:
    """Return the answer that is nearest to a limit: the least, or of loads the most."""
    if some[0].place[0] == "pad-force":
        return max(some, key=lambda a: a.high)
    return min(some, key=lambda a: a.low)


def _unit(m: Measured) -> tuple[float, str]:
    """Return the step by which an effect is told, and its words."""
    step = _STEPS.get(m.kind)
    if step is None:
        return m.error, say(m.error, m.kind)
    if m.kind == "length" and unit_word("length") == "in":
        return INCH / 64, "1/64 in"
    return step, say(step, m.kind)


def _first(b: Band) -> list[str]:
    rows = []
    for e in b.effects.each[:FIRST]:
        m = e.measured
        if not abs(e.opening * m.error) > LEAST:
            continue
        step, words = _unit(m)
        better = m.better()
        rows.append(
            [
                m.called,
                f"{say(m.error, m.kind)}, {m.by or 'given'}",
                say(abs(e.opening) * m.error, "angle"),
                f"{say(abs(e.opening) * step, 'angle')} by {words}",
                "" if better is None else f"{better[0]}: {say(better[1], m.kind)}",
            ]
        )
    head = [
        "measure again first",
        "known to",
        "plate at full",
        "which is",
        "better with",
    ]
    return table(head, rows)


def _setting(b: Band) -> list[str]:
    each = settings(b.examined)
    if not each:
        return []
    rows = [
        [f"`{s.rod}`", *(say(v, "angle") if v else "-" for v in (s.at_idle, s.at_full))]
        for s in each
    ]
    head = [f"one turn of a rod's thread ({say(TURN, 'length')})", "at idle", "at full"]
    if each[0].missing:
        head += ["turns to full throttle", "and at idle then"]
        rows = [[*row, *_turns(s)] for row, s in zip(rows, each, strict=True)]
    return [*table(head, rows), ""]


def _turns(s: Setting) -> tuple[str, str]:
    """Return how many turns bring full throttle back, and what that does at idle."""
    if not math.isfinite(s.turns):
        return "-", "-"
    way = "longer" if s.turns > 0 else "shorter"
    turns = f"{abs(s.turns):.1f} {way}"
    if s.idle_then > SHUT:
        return turns, f"HELD OPEN {say(s.idle_then, 'angle')}"
    return turns, "on its stop"


def _curve(b: Band, rows: int) -> list[str]:
    picked = evenly(len(b.pad_travel), rows)
    head = [f"pad\n{unit_word('length')}", "least\nof ten", "middle", "most\nof ten"]
    told = [
        [
            number(float(b.pad_travel[i]), "length"),
            *(say(float(c[i]), "angle") for c in b.curve),
        ]
        for i in picked
    ]
    return table(head, told, left=0)


def band_lines(b: Band, *, rows: int = 11) -> list[str]:
    """Return a band as lines for a terminal.

    Parameters
    ----------
    b : Band
        From `band.sampled`.
    rows : int
        Of the table of the curve.
    """
    how = "evenly spread" if b.even else "drawn at random"
    out = [*_head(b), "", *_chances(b), "", *_numbers(b), "", *_first(b), ""]
    out += _setting(b)
    out += slop_lines(b.examined)
    out += _curve(b, rows)
    if b.torn:
        out += ["", f"{share(b.torn)} of them could not be put together at all."]
    told = (
        f"{b.count} samples {how}, seed {b.seed}: each measured number anywhere within "
        "what it is known to, as likely here as there, rods and pedal stop set anew on "
        f"each, joints worn by up to {say_round(WORN, 'length')} a rod. Nine of "
        "ten lie within a band."
    )
    return [*out, "", *wrapped(told, "  ", first=""), CAUTION]


def _answer_data(a: Answer) -> dict[str, Any]:
    code, about, part = a.place

    return {
        "code": code,
        "about": str(about),
        "part": [str(p) for p in part],
        "unit": SHOWN_UNITS[a.kind].unit,
        "as_measured": in_shown(a.nominal, a.kind),
        "low": in_shown(a.low, a.kind),
        "middle": in_shown(a.middle, a.kind),
        "high": in_shown(a.high, a.kind),
        "spread": in_shown(a.spread, a.kind),
        "spread_first_order": in_shown(a.first_order, a.kind),
        "effects_add_up": a.straight,
    }


def _effect_data(e: Effect) -> dict[str, Any]:
    m = e.measured
    error = in_shown(m.error, m.kind)
    return {
        "path": ".".join(map(str, m.path)),
        "measured": m.called,
        "known_to": error,
        "kind": m.kind,
        "unit": SHOWN_UNITS[m.kind].unit,
        "by": m.by or None,
        "assumed": m.assumed,
        "throttle_angle_at_end_deg": plain([float(np.degrees(e.opening * m.error))])[0],
        "pad_travel_at_full_mm": mm(e.pad * m.error),
    }


def band_data(b: Band) -> dict[str, Any]:
    """Return a band as plain data."""
    return {
        "title": b.examined.layout.title,
        "units": DATA_UNITS,
        "samples": b.count,
        "seed": b.seed,
        "even": b.even,
        "fits": round(b.fits, 6),
        "torn": round(b.torn, 6),
        "pad_travel_at_end_mm": [mm(v) for v in b.full_at],
        "chances": [
            {
                "code": c.place[0],
                "about": str(c.place[1]),
                "part": [str(p) for p in c.place[2]],
                "as_measured": VERDICTS[c.was],
                "look": round(c.looks, 6),
                "do_not_fit": round(c.bad, 6),
            }
            for c in b.chances
        ],
        "numbers": [_answer_data(a) for a in b.answers],
        "measured": [_effect_data(e) for e in b.effects.each],
        "setting": [
            {
                "rod": s.rod,
                "turn_mm": mm(TURN),
                "at_idle_deg": plain([math.degrees(s.at_idle)])[0],
                "at_full_deg": plain([math.degrees(s.at_full)])[0],
                "turns_to_full": plain([s.turns if s.missing else math.nan])[0],
                "idle_then_deg": plain(
                    [math.degrees(s.idle_then) if s.missing else math.nan]
                )[0],
            }
            for s in settings(b.examined)
        ],
        "plays": [
            {
                "part": name,
                "play_mm": mm(play),
                "at_plate_deg": plain([math.degrees(plate)])[0],
                "at_pad_mm": mm(pad),
            }
            for name, play, plate, pad in plays(b.examined)
        ],
        "columns": {k: plain(v) for k, v in b.columns().items()},
        "caution": CAUTION,
    }
