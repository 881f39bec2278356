"""Two layouts side by side as plain data for ``--json``; in mm, N and degrees.

Not here: the same as text (`report.compare`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from linkage.quantities import shown
from linkage.report.cautions import cautions
from linkage.report.compare_trials import trial_text, unit_text
from linkage.report.compare_ways import ways_words
from linkage.report.compare_words import (
    change_text,
    kinds_of,
    quoted,
    turn_text,
)
from linkage.report.governed_words import of_governors
from linkage.report.tables import mm

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.comparison import Comparison, Side, Trial, Tried, Turn, Unit, Way
    from linkage.model.refs import Ref


def compare_data(
    c: Comparison, written: Mapping[str, str] | None = None
) -> dict[str, Any]:
    """Return a comparison as plain data.

    Parameters
    ----------
    c : Comparison
        From `comparison.compare`.
    written : mapping of str to str, optional
        Files that were written, by what they hold.
    """
    governed = c.new.layout.governed
    return {
        "units": {"length": "mm", "force": "N", "angle": "deg"},
        "old": _side(c.old),
        "new": _side(c.new),
        "fits": c.fits,
        "nothing_turned_round": not (c.turned.turns or c.turned.branches),
        "mirrored": c.turned.mirror,
        "turned_round": [_turn(c, t) for t in c.turned.turns],
        "branches": [
            {"throttle": name, "turned_round": [_turn(c, t) for t in turns]}
            for name, turns in c.turned.branches.items()
        ],
        "shafts": [_turning(w) for w in c.shafts],
        "throttles": [_turning(w) for w in c.throttles],
        "rods": [_rod(c, w) for w in c.rods],
        "springs": [_spring(w, governed=governed) for w in c.springs],
        "changes": [
            {
                "kind": k.kind,
                "part": _part(k.about),
                "text": of_governors(change_text(k, kinds_of(c)), governed=governed),
            }
            for k in c.changes
        ],
        "set_back": [_trial(c, t) for t in c.trials],
        "tried": [_tried(c, t) for t in c.tried],
        "matched": [
            {"kind": p.new.kind, "old": _part(p.old), "new": _part(p.new), "by": p.by}
            for p in c.matching.pairs
        ],
        "only_old": [_lone(r, kinds_of(c)) for r in c.matching.only_old],
        "only_new": [_lone(r, kinds_of(c)) for r in c.matching.only_new],
        "written": dict(written or {}),
        "cautions": list(cautions(c.new.layout)),
    }


def _turn(c: Comparison, turn: Turn) -> dict[str, Any]:
    return {
        "parts": [_part(r) for r in turn.parts],
        "other_hand": turn.hand,
        "moved": turn.moved,
        "text": of_governors(turn_text(c, turn), governed=c.new.layout.governed),
    }


def _part(ref: Ref) -> str:
    return str(ref) if ref.kind == "arm" else ref.name or ref.kind


def _lone(ref: Ref, kinds: Mapping[str, str]) -> dict[str, str]:
    return {"kind": ref.kind, "part": _part(ref), "text": quoted(ref, kinds)}


def _side(side: Side) -> dict[str, Any]:
    low, high = side.pad_force or (None, None)
    dead = side.dead_centre
    return {
        "title": side.title,
        "verdict": side.check.verdict,
        "reasons": list(dict.fromkeys(f.code for f in side.check.reasons)),
        "right_way": side.opens,
        "starts_at_mm": mm(side.curve.start) if side.opens else None,
        "full_at_mm": mm(side.curve.full_at) if side.opens else None,
        "throttle_share_pct": round(float(side.examined.throttle_share) * 100, 4),
        "pad_force_least_N": None if low is None else round(low, 4),
        "pad_force_most_N": None if high is None else round(high, 4),
        "least_angle_deg": round(shown(side.least_angle, "angle"), 4),
        "least_angle_at": str(side.least_at[1]),
        "dead_centre_deg": None if dead is None else round(shown(dead[0], "angle"), 4),
        "dead_centre_at": None if dead is None else str(dead[1]),
    }


def _senses(way: Way) -> dict[str, Any]:
    return {
        "part": way.about.name,
        **dict(zip(("old", "new"), ways_words(way), strict=True)),
        "turned": way.turned,
    }


def _rod(c: Comparison, way: Way) -> dict[str, Any]:
    """Return a rod's senses, and from where it drives: null where it never does."""
    known = {d.about: (d.old, d.new) for d in c.slack}
    old, new = known.get(way.about, (0.0, 0.0))
    return {
        **_senses(way),
        "old_drives_from_mm": mm(old),
        "new_drives_from_mm": mm(new),
    }


def _turning(way: Way) -> dict[str, Any]:
    one, two = way.seen
    return {
        **_senses(way),
        "old_seen_from": one,
        "new_seen_from": two,
        "old_measured_from": way.measured or one,
    }


def _spring(way: Way, *, governed: bool) -> dict[str, Any]:
    driver = "governor" if governed else "pedal"
    work = {1: f"against the {driver}", -1: f"with the {driver}", 0: "neither"}
    plate = {1: "shuts", -1: "opens", 0: None}
    if governed:  # inside, the way in which a governor shuts counts as opening
        plate = {1: "opens", -1: "shuts", 0: None}
    return {
        "part": way.about.name,
        "old": work[way.old],
        "new": work[way.new],
        "old_plate": plate[way.shuts[0]],
        "new_plate": plate[way.shuts[1]],
        "turned": way.turned,
    }


def _unit(c: Comparison, unit: Unit) -> dict[str, Any]:
    return {
        "kind": unit.kind,
        "part": _part(unit.about),
        "was_so": unit.back,
        "text": unit_text(c, unit),
    }


def _trial(c: Comparison, t: Trial) -> dict[str, Any]:
    x = t.outcome.examined
    return {
        "parts": [_unit(c, u) for u in t.units],
        "right_way": t.opens,
        "pad_travel_end_mm": mm(x.working.end),
        "throttle_share_pct": round(float(x.throttle_share) * 100, 4),
        "verdict": t.outcome.verdict,
        "left": list(t.left),
        "text": trial_text(c, t),
    }


def _tried(c: Comparison, t: Tried) -> dict[str, Any]:
    return {
        "parts": [_unit(c, u) for u in t.units],
        "assembles": t.assembles,
        "right_way": t.opens,
        "throttle_share_pct": round(t.reached * 100, 4),
        "left": sorted(t.left),
    }
