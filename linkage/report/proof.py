"""What readings on the vehicle tell of a layout, as text and as plain data.

Not here: the numbers (`proof`), the picture (`drawing.proof`), the paper to read them on
(`report.proof_blank`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model.paths import read
from linkage.model.readings import LEAST_PULL
from linkage.proof.doubt import TOLD
from linkage.proof.proved import AGREES
from linkage.proof.said import NINE
from linkage.proof.unknowns import is_setting
from linkage.quantities import SHOWN as SHOWN_UNITS
from linkage.quantities import say, say_round
from linkage.report.band import SHOWN, nearest, share, what_of
from linkage.report.tables import in_shown, plain, table, wrapped
from linkage.report.verdict import headline
from linkage.rules.caution import CAUTION
from linkage.spoken import DATA_UNITS, number

if TYPE_CHECKING:
    from linkage.band import Answer
    from linkage.model.measured import Measured
    from linkage.model.readings import Reading
    from linkage.proof import Proof
    from linkage.proof.dangers import Danger
    from linkage.proof.doubt import Explanation

#: Odds below which two are as likely.
ALIKE: Final = 1.5


def proof_lines(p: Proof) -> list[str]:
    """Return what readings tell as lines for a terminal.

    Parameters
    ----------
    p : Proof
        From `proof.prove`.
    """
    out = [*wrapped(_head(p), "  ", first=""), p.layout.title]
    out += [line for d in p.dangers for line in wrapped(danger(d), "  ", first="")]
    out += ["", *_readings(p)]
    if not p.sound:
        out += ["", *_wrong(p)]
    rubs = _rubs(p)
    out += ["", *rubs] if rubs else []
    out += ["", *_after(p)] if p.after is not None else []
    how = (
        "Predicted from the file, each measured number and reading within what it is "
        "known to, rods set to half a turn of their thread: nine of ten vehicles lie "
        "between the bounds. One sound vehicle in twenty does not agree."
    )
    return [*out, "", *wrapped(how, "  ", first=""), CAUTION]


def _head(p: Proof) -> str:
    """Return the verdict."""
    many = f"{share(p.agrees)} of sound vehicles would differ more"
    if p.dangers:
        return "DO NOT DRIVE: what was read is wrong whatever the file says"
    if p.sound and p.good:
        return f"The vehicle AGREES with the file, and it fits: {many}"
    if p.sound:
        return f"The vehicle agrees with the file, and it DOES NOT FIT: {many}"
    return "The vehicle DOES NOT AGREE with the file: what was checked is not what is there"


def danger(d: Danger) -> str:
    """Return what is wrong with a reading by itself, and what to do."""
    if d.kind == "open":
        return (
            f"With the pedal up the throttle was read {say(d.value, 'angle')} open: it "
            "does not rest on its stop. Set rod and stop screw so that it does, first."
        )
    return (
        f"The {d.reading.called}: it shuts with {say(d.value, 'ratio', 1)} times the "
        f"friction, and {say(d.limit, 'ratio', 1)} times is asked. Free what rubs, or "
        "fit springs that pull more, first."
    )


def _readings(p: Proof) -> list[str]:
    rows = []
    for r, said, sure, off in zip(p.readings, p.said, p.sure, p.off, strict=True):
        rows.append(
            [
                r.called,
                say(said, r.kind),
                f"{number(said - sure, r.kind)} to {number(said + sure, r.kind)}",
                say(r.value, r.kind),
                signed(off, r.kind),
                "outside" if abs(off) > sure else "",
            ]
        )
    head = ["read on the vehicle", "predicted", "nine of ten", "seen", "differs", ""]
    return table(head, rows)


def signed(off: float, kind: str) -> str:
    """Return a difference with its sign; without one where it is nothing as told."""
    told = say(abs(off), kind)
    if not any(digit in told for digit in "123456789"):
        return told
    return f"{'-' if off < 0 else '+'}{told}"


def named(p: Proof, about: Measured | Reading) -> str:
    """Return what a number is called, that it was read where it was."""
    return about.called if about in p.unknowns else f"reading: {about.called}"


def _was(p: Proof, e: Explanation) -> float:
    if e.is_reading:
        return p.readings[e.place].value
    m = p.unknowns[e.place]
    return 0.0 if is_setting(m) else float(read(p.layout, m.path))


def nearer(p: Proof, e: Explanation) -> str:
    """Return what a wrong number would be, in words, with its bounds."""
    bounds = f"± {say(NINE * e.sure, e.about.kind)}"
    if not e.is_reading and is_setting(p.unknowns[e.place]):
        way = "longer" if e.off > 0 else "shorter"
        return f"{say(abs(e.off), 'length')} {way} {bounds}"
    return f"{say(_was(p, e) + e.off, e.about.kind)} {bounds}"


def _wrong(p: Proof) -> list[str]:
    """Return what may be wrong, and what would tell."""
    if not p.explanations:
        told = (
            "No one wrong number explains it: two or more are wrong, or a part is not "
            "where the file has it. Read again what stands outside, look whether each rod "
            "is in the hole that the file names, and whether units and viewing sides are "
            "right."
        )
        return wrapped(told, "  ", first="")
    rows = []
    for i, e in enumerate(p.explanations, start=1):
        setting = not e.is_reading and is_setting(p.unknowns[e.place])
        was = "as it fits" if setting else say(_was(p, e), e.about.kind)
        rows.append([f"{i}", named(p, e.about), was, nearer(p, e), _likely(e, i)])
    head = ["", "most likely wrong", "in the file", "nearer", ""]
    return [*table(head, rows, left=2), "", *wrapped(_advice(p), "  ", first="")]


def _likely(e: Explanation, i: int) -> str:
    if i == 1:
        return "most likely"
    if e.odds < ALIKE:
        return "as likely"
    if e.odds > 1000:
        return "far less likely"
    return f"{e.odds:.0f} times less likely"


def _advice(p: Proof) -> str:
    """Return what to do about what may be wrong."""
    first = p.explanations[0]
    if p.open < 2:
        again = (
            f"Measure the {first.about.called} again: nothing else explains what was seen "
            "a tenth as well."
        )
        if p.taken is None:
            return again + " `--take 1` goes on as if it were wrong."
        return f"{again} What follows takes it as {nearer(p, first)}."
    some = f"The readings do not tell the first {p.open} apart. "
    if p.deciding is None:
        some += "No one further measurement does: measure each of them again."
    else:
        d = p.deciding
        kind, (one, *others) = d.about.kind, d.expected
        low, high = (say(v, kind) for v in (min(others), max(others)))
        else_ = low if low == high else f"{low} to {high}"
        some += (
            f"Measure the {d.about.called}, to {say_round(d.error, kind)}: it shows "
            f"{say(one, kind)} if number 1 is wrong, and {else_} if another is."
        )
    if p.taken is None:
        return some + " `--take 1` goes on as if the first were wrong."
    return some + f" What follows takes number {p.taken + 1}."


def _rubs(p: Proof) -> list[str]:
    """Return friction as it was seen beside what is reckoned with."""
    rows = [
        [
            r.called.replace("pull", "friction", 1),
            say(reckoned, "force"),
            say(r.rubs, "force"),
            "more than is reckoned with" if r.rubs > reckoned + unsure(r) else "",
        ]
        for r, reckoned in zip(p.readings, p.rubs, strict=True)
        if r.what == "pull"
    ]
    if not rows:
        return []
    return table(["half of opening less letting go", "reckoned", "seen", ""], rows)


def unsure(r: Reading) -> float:
    """Return how far the friction of a pull may be off: both pulls are read alike. [N]."""
    return max(LEAST_PULL, r.rubs * r.error / r.value)


def _after(p: Proof) -> list[str]:
    """Return what is known before and after, and whether that fits."""
    assert p.after is not None  # noqa: S101
    assert p.check is not None  # noqa: S101
    rows = [
        [
            "pad travel where it stops",
            _between(p.before.full_at, "length"),
            _between(p.after.full_at, "length"),
        ]
    ]
    for code in SHOWN:
        some = [a for a in p.before.answers if a.place[0] == code]
        if not some:
            continue
        one = nearest(some)
        two = next((a for a in p.after.answers if a.place == one.place), None)
        now = "-" if two is None else _of(two)
        rows.append([what_of(p.before, one), _of(one), now])
    rows.append(["of such vehicles fit", share(p.before.fits), share(p.after.fits)])
    out = table(["nine of ten lie", "as measured", "with what was read"], rows)
    said = f"With the file corrected so, rods set anew: {headline(p.check)}"
    return [*out, "", *wrapped(said, "  ", first="")]


def _between(some: tuple[float, float, float], kind: str) -> str:
    return f"{number(some[0], kind)} to {say(some[2], kind)}"


def _of(a: Answer) -> str:
    return f"{number(a.low, a.kind)} to {say(a.high, a.kind)}"


def _explained(p: Proof, e: Explanation) -> dict[str, Any]:
    kind = e.about.kind
    return {
        "about": e.about.called,
        "is_reading": e.is_reading,
        "unit": SHOWN_UNITS[kind].unit,
        "was": in_shown(_was(p, e), kind),
        "nearer": in_shown(_was(p, e) + e.off, kind),
        "nine_of_ten_within": in_shown(NINE * e.sure, kind),
        "times_less_likely": plain([float(min(e.odds, 1e300))])[0],
        "left_agrees": round(e.agrees, 6),
    }


def proof_data(p: Proof) -> dict[str, Any]:
    """Return what readings tell as plain data."""
    d = p.deciding
    return {
        "title": p.layout.title,
        "units": DATA_UNITS,
        "agrees": p.sound,
        "share_that_differs_more": round(p.agrees, 6),
        "asked_share": AGREES,
        "good": p.good,
        "dangers": [
            {"kind": one.kind, "reading": one.reading.called, "words": danger(one)}
            for one in p.dangers
        ],
        "readings": [
            {
                "what": r.what,
                "about": str(r.about),
                "reading": r.called,
                "unit": SHOWN_UNITS[r.kind].unit,
                "predicted": in_shown(said, r.kind),
                "nine_of_ten_within": in_shown(sure, r.kind),
                "seen": in_shown(r.value, r.kind),
                "known_to": in_shown(r.error, r.kind),
                "outside": bool(abs(r.value - said) > sure),
                "friction_seen": in_shown(r.rubs, "force"),
                "friction_reckoned": in_shown(float(rubs), "force"),
            }
            for r, said, sure, rubs in zip(
                p.readings, p.said, p.sure, p.rubs, strict=True
            )
        ],
        "explanations": [_explained(p, e) for e in p.explanations],
        "not_told_apart": p.open,
        "told_apart_from_odds": TOLD,
        "taken": None if p.taken is None else p.taken + 1,
        "measure": None
        if d is None
        else {
            "about": d.about.called,
            "unit": SHOWN_UNITS[d.about.kind].unit,
            "known_to": in_shown(d.error, d.about.kind),
            "shows": [in_shown(v, d.about.kind) for v in d.expected],
        },
        "corrected": None
        if p.corrected is None
        else [
            {
                "about": m.called,
                "unit": SHOWN_UNITS[m.kind].unit,
                "was": in_shown(float(read(p.layout, m.path)), m.kind),
                "now": in_shown(float(read(p.corrected, m.path)), m.kind),
            }
            for m in p.unknowns
            if not is_setting(m) and read(p.corrected, m.path) != read(p.layout, m.path)
        ],
        "verdict": None if p.check is None else p.check.verdict,
        "fit_before": round(p.before.fits, 6),
        "fit_after": None if p.after is None else round(p.after.fits, 6),
        "columns": _curves(p),
        "caution": CAUTION,
    }


def _curves(p: Proof) -> dict[str, list[Any]]:
    """Return the curve's bands before and after."""
    out = {"pad_travel_mm": plain(1e3 * p.before.pad_travel)}
    for word, band in (("before", p.before), ("after", p.after)):
        if band is None:
            continue
        for percent, curve in zip((5, 50, 95), np.degrees(band.curve), strict=True):
            out[f"throttle_angle_{word}_{percent}_deg"] = plain(curve)
    return out
