"""What a check did not judge, by name, and why.

Not here: the rules (`rules.order`), the cautions (`report.cautions`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.model.called import rod_kinds
from linkage.model.heat import heat_known
from linkage.model.measured import errors_known
from linkage.report import governed
from linkage.report.cables import bending, cables_of, unjudged_cables
from linkage.report.cams import unjudged_cams
from linkage.report.gaps import NONE_SHORT, gaps_unjudged
from linkage.report.governed import governed_unjudged
from linkage.report.heat import HEAT, heat_unjudged, worn_by
from linkage.report.slides import has_slides, unjudged_slides
from linkage.rules import gaps_moved, moved
from linkage.rules.by_hand import BEFORE
from linkage.rules.finding import RANK
from linkage.rules.order import AT_WORST, BY_CODE, FORCE_CODES, ROCK_CODES, RULES
from linkage.rules.rule import JAM
from linkage.rules.sheath_moved import spans, unknown_length
from linkage.rules.sheaths import bends_known
from linkage.rules.springs import STRESS
from linkage.rules.states import movements, moves_some
from linkage.rules.two_inputs import PEDAL_DRAGS
from linkage.search.work import too_large

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from linkage.model import Layout
    from linkage.rules.rule import Rule
    from linkage.search import Check

#: What no rule looks at.
BENDING: Final = "bending of rods, levers, pedal and bulkhead"
MEASURED: Final = (
    "measuring errors of springs and friction, by hand and with the engine moved"
)
NEVER: Final = (
    BENDING,
    HEAT,
    "air that turns the plate",
    MEASURED,
)
#: The same in a few words.
NEVER_SHORT: Final = (
    "measuring errors of springs",
    "bending",
    HEAT,
    "air on the plate",
)
#: Rules that ask of the moved engine what they ask of it at rest.
ENGINE_CODES: Final = frozenset(
    {moved.SENSES.code, moved.SPRINGS.code, moved.CLOSING.code, gaps_moved.MOVED.code}
)
#: Rules about a hand lever.
HAND_CODES: Final = (*(rule.code for rule in RULES if rule.hand), PEDAL_DRAGS.code)


def _fast(layout: Layout) -> bool:
    """Tell whether that is the choke's control."""
    return layout.hand is not None and layout.hand.fast_idle is not None


#: Rules that speak only of some layouts, and of which.
_ONLY: Final[dict[str, Callable[[Layout], bool]]] = {
    **dict.fromkeys(AT_WORST, errors_known),
    "kickdown": lambda x: any(t.kind == "kickdown" for t in x.throttles.values()),
    "slot-drives": lambda x: any(r.loose for r in x.rods.values()),
    "slot-at-rest": lambda x: any(
        r.loose and r.kind != "cable" for r in x.rods.values()
    ),
    **dict.fromkeys(
        ("cam-end", "cam-pressure"),
        lambda x: any(r.kind == "cam" for r in x.rods.values()),
    ),
    "cable-slack": lambda x: any(c.only for c in cables_of(x)),
    "cable-stroke": lambda x: any(not c.only and c.stroke for c in cables_of(x)),
    "sheath-bend": lambda x: any(bends_known(c) for c in cables_of(x)),
    "sheath-pulled": lambda x: (
        bool(movements(x))
        and any(spans(c) and not unknown_length(x, c) for c in cables_of(x))
    ),
    **dict.fromkeys(
        ("nipple-room", "sheath-loss", "wire-strength"), lambda x: bool(cables_of(x))
    ),
    **dict.fromkeys(
        ("drum-unwound", "drum-covered"),
        lambda x: any(
            x.shafts[h.shaft].arms[h.arm].wound
            for c in cables_of(x)
            for h in (c.start, c.end)
        ),
    ),
    "slot-lets-go": lambda x: (
        any(r.loose for r in x.rods.values())
        or any(t.kind == "kickdown" for t in x.throttles.values())
    ),
    "over-travel-load": lambda x: any(r.gives for r in x.rods.values()),
    **dict.fromkeys(("guide-jam", "guide-room"), has_slides),
    "throttle-spread": lambda x: len(x.plates) > 1,
    **dict.fromkeys(("gap", "touched-at-rest", "own-gap"), lambda x: bool(x.obstacles)),
    **dict.fromkeys(("heat-idle", "heat-clearance", "heat-full"), heat_known),
    "engine-rock": lambda x: bool(moves_some(x) and x.engine.roll),
    "mount-gone": lambda x: bool(moves_some(x) and x.engine.lift),
    **dict.fromkeys(ENGINE_CODES, lambda x: bool(movements(x))),
    gaps_moved.MOVED.code: lambda x: bool(x.obstacles and movements(x)),
    **dict.fromkeys(("hand-holds", "hand-opens"), lambda x: not _fast(x)),
    "hand-fast-idle": _fast,
    **dict.fromkeys(
        (
            *("hand-cable-slack", "hand-nipple-room", "hand-sheath-bend"),
            *("hand-sheath-loss", "hand-sheath-pulled", "hand-wire-strength"),
        ),
        lambda x: any(k.own is not None and k.rod.kind == "cable" for k in x.links),
    ),
}
#: What is asked of a pedal alone.
NOT_BY_HAND: Final = (
    "by hand: how heavy and how touchy it is, buckling of rods, plates beside each other, "
    "a kickdown lever, slots, senses, springs and closing torque with the engine moved, "
    "the time to idle"
)


def speaks_of(code: str, layout: Layout) -> bool:
    """Tell whether a rule has anything to say of a layout at all."""
    if code in HAND_CODES and layout.hand is None:
        return False
    # Of the same rule by hand where nothing else is said of that.
    speaks = _ONLY.get(code, _ONLY.get(code.removeprefix(BEFORE)))
    return speaks is None or speaks(layout)


def unjudged(check: Check) -> list[str]:
    """Return what a check did not look at, in words.

    Parameters
    ----------
    check : Check
        From `search.check`: what another finding left without meaning is named,
        and what was not given.
    """
    if check.examined.layout.governed:
        return governed_unjudged(check)
    return _unjudged(check)


def _unjudged(check: Check) -> list[str]:
    """Return the same of a linkage with a pedal."""
    layout = check.examined.layout
    told = {f.code for f in check.findings}
    forces = not check.geometry and not told.isdisjoint(FORCE_CODES)
    rock = not told.isdisjoint(ROCK_CODES)
    out = [*_never(layout), *unjudged_cables(layout), *unjudged_cams(layout)]
    out += unjudged_slides(layout)
    if check.geometry:
        out.append(
            "every spring, force, friction and failure: geometry alone was asked"
        )
    elif not layout.springs:
        out.append("return springs: the layout names none")
    elif not forces:
        out.append("return springs' load, friction and failures")
    if not rock:
        out.append("the engine rocking on its mounts")
    elif moves_some(layout):
        out += _unmoved(layout)
    waits = _left_out(check, told, forces=forces and bool(layout.springs), rock=rock)
    for cause, called in waits.items():
        out.append(f"until what is wrong with {cause} is mended: {', '.join(called)}")
    if forces:
        out += _unknown(check)
    out += _by_hand(layout)
    out += [f"every change that may mend it: {too_large(layout)}"] * check.cut
    return [*out, *heat_unjudged(layout), *gaps_unjudged(layout)]


def _by_hand(layout: Layout) -> Iterator[str]:
    """Yield what of a hand lever is not judged."""
    if layout.hand is not None:
        yield NOT_BY_HAND
        if layout.hand.holds is None:
            yield "whether the hand lever stays where it is left: `holds` is not given"


def _never(layout: Layout) -> Iterator[str]:
    """Yield what no rule looks at."""
    kinds = rod_kinds(layout)
    for text in NEVER:
        yield worn_by(layout) if text == HEAT else bending(text, kinds)


def _unmoved(layout: Layout) -> Iterator[str]:
    """Yield the movements of the engine of which nothing is given."""
    if not layout.engine.roll:
        yield "the engine's roll: not given, or nothing"
    if not layout.engine.lift:
        yield "a lost engine mount: `lift` is not given"


def unjudged_short(check: Check) -> list[str]:
    """Return the same in a few words each, what is of this layout first."""
    if check.examined.layout.governed:
        bare = [NONE_SHORT] * (not check.examined.layout.obstacles)
        return [
            *_jams(check),
            *governed.NEVER_SHORT[:-1],
            *bare,
            governed.NEVER_SHORT[-1],
        ]
    return _unjudged_short(check)


def _unjudged_short(check: Check) -> list[str]:
    """Return the same of a linkage with a pedal."""
    told = {f.code for f in check.findings}
    forces = not check.geometry and not told.isdisjoint(FORCE_CODES)
    rock = not told.isdisjoint(ROCK_CODES)
    springs = check.examined.layout.springs
    out = ["every change that may mend it"] * check.cut
    out += _jams(check)
    if check.geometry:
        out.append("springs and forces")
    elif not springs:
        out.append("springs, as none is given")
    elif not forces:
        out.append("springs' load, friction and failures")
    waits = _left_out(check, told, forces=forces and bool(springs), rock=rock)
    if count := sum(map(len, waits.values())):
        out.append(f"{count} check{'s' * (count > 1)} until mended")
    if forces and (some := _untold(check)):
        out.append(f"stress in {len(some)} spring{'s' * (len(some) > 1)}")
    hand = check.examined.layout.hand
    out += ["what holds the hand lever"] * (hand is not None and hand.holds is None)
    engine = check.examined.layout.engine
    if not rock:
        out.append("the rocking engine")
    elif moves_some(check.examined.layout):
        out += ["the engine's roll"] * (not engine.roll)
        out += ["a lost engine mount"] * (not engine.lift)
    bare = [NONE_SHORT] * (not check.examined.layout.obstacles)
    worn = worn_by(check.examined.layout)
    return [*out, *(worn if text == HEAT else text for text in NEVER_SHORT), *bare]


def _jams(check: Check) -> list[str]:
    """Return the worst that a cable can do, where there is one."""
    return ["a wire that jams"] * bool(cables_of(check.examined.layout))


def _left_out(
    check: Check, told: set[str], *, forces: bool, rock: bool
) -> dict[str, list[str]]:
    """Return the rules that other findings leave nothing to say, by the finding."""
    layout = check.examined.layout
    kinds = rod_kinds(layout)
    by: dict[str, list[str]] = {}
    for rule in RULES:
        groups = (FORCE_CODES, forces), (ROCK_CODES, rock)
        if rule.code in told or any(rule.code in g and not on for g, on in groups):
            continue
        cause = _cause(rule, check)
        if cause and speaks_of(rule.code, layout):
            by.setdefault(cause, []).append(rule.called_in(kinds))
    return {BY_CODE[cause].called_in(kinds): called for cause, called in by.items()}


def _cause(rule: Rule, check: Check) -> str | None:
    """Return the finding that leaves a whole rule nothing to say."""
    for silence in (*rule.silenced_by, JAM):  # a jam ends the travel for all
        heard = (RANK[f.verdict] for f in check.findings if f.code == silence.by)
        if not silence.same and any(rank >= silence.at_least for rank in heard):
            return silence.by
    return None


def _unknown(check: Check) -> Iterator[str]:
    """Yield what could not be judged of a part, as too little of it is given."""
    if names := [f"`{n}`" for n in _untold(check)]:
        word = "springs" if len(names) > 1 else "spring"
        yield f"stress in {word} {', '.join(names)}: wire, coil, turns or material not given"


def _untold(check: Check) -> list[str]:
    """Return the springs of which the stress could not be judged."""
    known = {f.about.name for f in check.findings if f.code == STRESS.code}
    return [n for n in check.examined.layout.springs if n not in known]
