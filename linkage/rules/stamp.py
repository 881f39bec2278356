"""The rule about a stamped foot: what takes it, and what it puts on the linkage.

Not here: rods that buckle under it (`rules.loads`), its forces (`forces.stamp`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from linkage.forces.stamp import may_take
from linkage.model.columns import pick
from linkage.model.refs import Ref
from linkage.motion.giving import spares_main
from linkage.quantities import say
from linkage.rules.rule import FITS, JAM, LOOK, SHUT, Outcome, Rule, Short
from linkage.rules.travel import stopped_by

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from linkage.forces.stamp import Taken
    from linkage.rules.examine import Examined

#: Lateness of a pedal stop below which it is not told. [m]
TOLD: Final = 0.05e-3


def _stamp(x: Examined) -> Iterator[Outcome]:
    s = x.forces.stamp
    yield Outcome(
        about=Ref("pedal"),
        rank=pick(s.by_pedal, FITS, LOOK),
        value=s.real.stop_torque,
        kind="torque",
        at=s.pad_travel,
        facts={
            "foot": s.load,
            "without": _load(x, s.plate_stop),
            "until": _load(x, s.pedal_stop),
            "may take": tuple(may_take(x.layout)),
            "on slides": tuple(
                Ref("stop", n)
                for n, s in x.layout.stops.items()
                if x.layout.shafts[s.shaft].slides
            ),
            "stop": s.pedal_stop.pedal_stop,
            "late": s.late,
            "stiffness": s.stiffness,
            "passed on": s.passed_on,
            "spared": s.spared,
            "floor": x.layout.pedal.travel,
            "sprung": spares_main(x.assembly),
            **x.stopped,
        },
    )


def _load(x: Examined, taken: Taken) -> dict[str, Any]:
    """Return what rods, clamps and stop take, as facts."""
    pedal = x.layout.pedal.shaft
    return {
        "rods": {k.rod.name: taken.rods[k.rod.name] for k in x.layout.links},
        "clamps": {r: t for r, t in taken.clamps.items() if r.name != pedal},
        "torque": taken.stop_torque,
    }


def _load_words(o: Outcome, f: Mapping[str, Any], stop: Ref) -> str:
    rods = ", ".join(
        f"{o.rod(n)} {'pulled' if pull >= 0 else 'pushed'} with {say(abs(pull), 'force', 0)}"
        for n, pull in f["rods"].items()
    )
    # Arms of one shaft take the same; which of them is named is not left to rounding.
    clamp, torque = max(f["clamps"].items(), key=lambda pair: float(f"{pair[1]:.9g}"))
    # A slide is stopped by a force along its guide.
    kind, digits = (
        ("force", 0) if stop in o.facts.get("on slides", ()) else ("torque", 1)
    )
    return (
        f"{rods}; {say(torque, 'torque', 1)} on the clamp of `{clamp}`, "
        f"{say(f['torque'], kind, digits)} on the {stop}"
    )


def _stamp_words(o: Outcome) -> str:
    f, place = o.facts, say(o.at, "length")
    foot, met = say(f["foot"], "force", 0), stopped_by(o)
    taken = met if met in f["may take"] else f["may take"][0]
    load = _load_words(o, f["without"], taken)
    late = say(f["late"], "length")
    if o.rank and f["late"]:
        return (
            f"the pedal stop comes {late} after the {met}, too late for a foot of {foot} "
            f"at pad {place}, which is all taken by then: {load}"
        )
    if o.rank:
        return (
            f"no pedal stop takes a foot of {foot} at pad {place}; the {met} does: "
            f"{load}"
        )
    by = "pedal stop" if f["late"] or met.kind == "full stop" else str(met)
    until = ""
    if f["late"] >= TOLD:
        until = (
            f"; it comes {late} after the {met}, and until then the linkage, about "
            f"{say(f['stiffness'], 'rate', 0)} stiff at the pad, takes "
            f"{say(f['passed on'], 'force', 0)}: {_load_words(o, f['until'], taken)}"
        )
    taken_by = (
        f"a foot of {foot} at pad {place} is taken by the {by}, "
        f"{say(f['stop'], 'force', 0)} on it"
    )
    if f["spared"]:
        spared = (
            "with the over-travel spring in the way it puts no more on the rest than"
        )
        floor = ""
        if met.kind != "floor":
            floor = f"; without it the floor takes it at pad {say(f['floor'], 'length')}: {load}"
        return f"{taken_by}; {spared} {_load_words(o, f['until'], taken)}{floor}"
    used = ", the over-travel spring used up" * f["sprung"]
    return f"{taken_by}{until}; without it{used}: {load}"


def _stamp_short(o: Outcome) -> Short:
    f, foot = o.facts, say(o.facts["foot"], "force", 0)
    if o.rank and f["late"]:
        what = f"the pedal stop comes {say(f['late'], 'length')} too late"
        return what, f"a foot of {foot} is taken by {o.rods} and levers by then"
    if o.rank:
        pull = max(f["without"]["rods"].values(), key=abs)
        what = f"no pedal stop takes a foot of {foot}"
        return what, f"it loads a {o.a_rod} with {say(abs(pull), 'force', 0)}"
    return (
        f"the pedal stop takes a foot of {foot}",
        f"{say(f['stop'], 'force', 0)} on it",
    )


STAMP: Final = Rule(
    name="a stamped foot",
    short=_stamp_short,
    code="stamp-load",
    needs="forces",
    judge=_stamp,
    words=_stamp_words,
    meaning="What takes a stamped foot at the end of the travel: the pedal stop or floor, "
    "or rods, clamps and the carburettor's stop, or a stop on another shaft. What they "
    "take until a pedal stop that comes late is met is told: its lateness times the "
    "stiffness at the pad, of rods that stretch, levers that bend (steel flat 20 mm x "
    "4 mm) and shafts that twist (12 mm bar where `bearing` is not given). Behind an "
    "over-travel spring rods and stop take the load of that alone, until it is used up.",
    verdicts="fits, or look",
    refuses=False,
    limits=("stamp_load", "pin_apart"),
    silenced_by=(SHUT, JAM),
    cures=("pedal stop",),
    cure="a pedal stop where the full stop is met",
)
