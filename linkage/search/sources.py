"""From a finding to the changes that may mend it.

A rule names the kinds of changes (`Rule.cures`); the parts follow from what the
finding is about.

Not here: the changes (`search.changes` and its like), solving them (`search.engine`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from linkage.model import Hole
from linkage.model.columns import first
from linkage.model.refs import Ref
from linkage.rules.examine import stop_at
from linkage.rules.order import GAPS, TOUCHED
from linkage.rules.spring_lines import closing_arm
from linkage.search import (
    added,
    anchors,
    apart,
    bars_and_bearings,
    cable_makes,
    cables,
    cams,
    changes,
    drums,
    engine_changes,
    governors,
    guides,
    heat,
    kept,
    lost_motion,
    rubbing,
    spring_changes,
    wear,
)
from linkage.search.changes import place_step
from linkage.search.family import after

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from linkage.model import Layout
    from linkage.rules.examine import Examined
    from linkage.rules.finding import Finding
    from linkage.search.family import Family

    Source = Callable[[Examined, Finding], Iterable[Family]]

#: How far arms on the way to a throttle are turned for its stroke. [rad]
STROKE_TURN: Final = math.radians(20)


def _named(finding: Finding, kind: str) -> str | None:
    """Return the name of the part of some kind that a finding is about."""
    parts = (finding.outcome.about, *finding.outcome.part)
    refs = (getattr(part, "ref", part) for part in parts)
    return next((r.name for r in refs if isinstance(r, Ref) and r.kind == kind), None)


def _holes(x: Examined, finding: Finding) -> list[Hole]:
    """Return the arms that a finding is about; no pins of slides, which have no size."""
    return [h for h in _joined(x, finding) if not x.layout.shafts[h.shaft].slides]


def _joined(x: Examined, finding: Finding) -> list[Hole]:
    """Return arms and pins that a finding is about: of its rod, spring or throttle."""
    about = finding.about
    if about.kind == "arm" and finding.rule.code in TOUCHED | GAPS:
        return rubbing.own_hole(finding)
    rod, spring = _named(finding, "rod"), _named(finding, "spring")
    if spring is not None:
        s = x.layout.springs[spring]
        return [Hole(shaft=s.shaft, arm=s.arm)] if s.arm else []
    if rod is not None:
        link = x.assembly.loop(rod).link
        return [link.driven, link.driver]
    return changes.holes_to(_driven(x, finding), _throttle_shaft(x, finding))


def _driven(x: Examined, finding: Finding) -> Layout:
    """Return the layout as the input sees it that a finding is about."""
    y = x.by_hand if finding.rule.hand else None
    return x.layout if y is None else y.layout


def _throttle_shaft(x: Examined, finding: Finding) -> str:
    name = _named(finding, "throttle")
    return (x.layout.main if name is None else x.layout.throttles[name]).shaft


def _loose(x: Examined, finding: Finding) -> list[str]:
    """Return the rods that lose motion and that a finding is about.

    Its own rod, or those on the way to its throttles; all where it names none.
    """
    parts = (finding.outcome.about, *finding.outcome.part)
    refs = [r for r in parts if isinstance(r, Ref)]
    rods = [r.name for r in refs if r.kind == "rod"]
    names = [r.name for r in refs if r.kind == "throttle"]
    if names and not rods:
        layout = _driven(x, finding)
        ways = (layout.path_to(layout.throttles[n].shaft) for n in names)
        rods = [link.rod.name for way in ways for link in way]
    some = dict.fromkeys(rods) if rods or names else x.layout.rods
    return [n for n in some if x.layout.rods[n].loose]


def _about_spring(source: Callable[..., Iterator[Family]], *more: object) -> Source:
    def found(x: Examined, finding: Finding) -> Iterator[Family]:
        name = _named(finding, "spring")
        return source(x.motion, name, *more) if name is not None else iter(())

    return found


def _pedal_stop(x: Examined, _: Finding) -> Iterator[Family]:
    yield changes.pedal_stop(x.layout, stop_at(x, x.layout.pedal.travel))


def _slack(x: Examined, finding: Finding) -> Iterator[Family]:
    """Yield an anchor moved until the spring is loaded, some way further too.

    Of a spring that is wrong with the engine moved: nearer, or round its hook, where
    it is not slack but overstretched, or its line goes wrong.
    """
    name = _named(finding, "spring") or ""
    inner = finding.part[0] if finding.part else "spring-slack"
    if inner in {"spring-overstretched", "spring-stretch"}:
        return _nearer(x, finding)
    if inner != "spring-slack":
        return anchors.turned(x.motion, name)
    pressed = x.layout.springs[name].kind == "compression"
    first = math.ceil((finding.value or 0.0) / place_step()) + 1
    steps = range(first, first + 30)
    return anchors.along(x.motion, name, [-i for i in steps] if pressed else steps)


def _nearer(x: Examined, finding: Finding) -> Iterator[Family]:
    """Yield an anchor moved so that the spring is worked less."""
    name = _named(finding, "spring") or ""
    pressed = x.layout.springs[name].kind == "compression"
    steps = range(1, 81)
    return anchors.along(x.motion, name, steps if pressed else [-i for i in steps])


def _strength(x: Examined, finding: Finding) -> Iterator[Family]:
    """Yield stronger springs, but for the one that is taken off."""
    off = _named(finding, "spring")
    names = [n for n in x.layout.springs if n != off]
    return spring_changes.scaled(x.layout, names, spring_changes.STRONGER)


def _added(x: Examined, finding: Finding) -> Iterator[Family]:
    name = _named(finding, "throttle") or x.layout.main.name
    return added.added(x.motion, name)


def _shared(finding: Finding, *kinds: str) -> list[str]:
    """Return the springs that one part would take, of the failures it is about."""
    bare = finding.outcome.facts.get("bare", {})
    failures = [f for f, true in bare.items() if true] + [*finding.outcome.part]
    gone = [getattr(f, "gone", ()) for f in failures if getattr(f, "kind", "") in kinds]
    return sorted({r.name for refs in gone for r in refs if r.kind == "spring"})


def _apart(x: Examined, finding: Finding) -> Iterator[Family]:
    """Yield anchors that one bracket would take, each moved aside."""
    return apart.anchors_apart(x.layout, _shared(finding, "anchor"))


def _own_arm(x: Examined, finding: Finding) -> Iterator[Family]:
    """Yield springs on one pin or lever, each on another arm, or one of its own."""
    names = _shared(finding, "pin", "arm")
    yield from apart.hooked(x.layout, names)
    yield from apart.own_arms(x.layout, names)


def _turned_over(x: Examined, finding: Finding) -> Iterator[Family]:
    """Yield arms on their other side, with springs of the spindle that open it across.

    As where a carburettor that opens the other way was fitted.
    """
    layout, shaft = x.layout, _throttle_shaft(x, finding)
    steps = []
    for name, spring in layout.springs.items():
        if spring.shaft == shaft and spring.anchor is not None and spring.arm:
            step = anchors.across(x.motion, name)
            if step is not None and first(closing_arm(x, spring)) < 0:
                steps.append(step)
    if not steps:
        return
    base = layout
    for step in steps:
        spring = layout.springs[step.about.name]
        base = base.with_spring(replace(spring, anchor=step.new))
    holes = changes.holes_to(_driven(x, finding), shaft)
    for family in (*changes.other_side(base, holes), *drums.turned_over(base, holes)):
        yield after(steps, family)


def _bar(x: Examined, finding: Finding) -> Iterator[Family]:
    rod = _named(finding, "rod") or ""
    if x.layout.rods[rod].kind == "rod":
        length = x.assembly.loop(rod).length
        yield from bars_and_bearings.thicker(x.layout, rod, length, finding.value or 0)


def _joints(x: Examined, finding: Finding) -> Iterator[Family]:
    """Yield joints that lean as far as is asked of them."""
    least = finding.value or 0.0
    for family in changes.joints(x.layout, _named(finding, "rod") or ""):
        if family.step(0).more["allows"] >= least:
            yield family


def _all_scaled(*factors: object) -> Source:
    def found(x: Examined, _: Finding) -> Iterator[Family]:
        for some in factors:
            yield from spring_changes.all_scaled(x.layout, some)  # type: ignore[arg-type]

    return found


def _layout_only(source: Callable[..., Iterator[Family]]) -> Source:
    return lambda x, _: source(x.layout)


def _cables(x: Examined, finding: Finding) -> list[str]:
    """Return the rods that a finding is about: its own, those to its throttle, or all."""
    if (rod := _named(finding, "rod")) is not None:
        return [rod]
    if _named(finding, "throttle") is None:
        return list(x.layout.rods)
    links = x.layout.path_to(_throttle_shaft(x, finding))
    return [link.rod.name for link in links]


def _plates(source: Callable[[Examined, str], Iterator[Family]]) -> Source:
    """Return changes about the plate that a finding is about."""
    return lambda x, f: source(x, _named(f, "throttle") or x.layout.main.name)


#: By the kind of change that a rule names.
SOURCES: Final[dict[str, Source]] = {
    "arm length": lambda x, f: changes.lengths(x.layout, _holes(x, f)),
    "arm as its twin": _layout_only(changes.as_twins),
    "arm angle": lambda x, f: changes.angles(x.layout, _holes(x, f)),
    "arm angle within 20°": lambda x, f: changes.angles(
        x.layout, _holes(x, f), most=STROKE_TURN
    ),
    "arm angle any way": lambda x, f: changes.angles(x.layout, _holes(x, f), most=3.1),
    "arm side": lambda x, f: changes.other_side(x.layout, _holes(x, f)),
    "arm side with springs": _turned_over,
    "arm offset": lambda x, f: changes.offsets(x.layout, _holes(x, f)),
    "rod joints": _joints,
    "stop back": _layout_only(changes.stops_back),
    "rod cut": _layout_only(changes.rods_cut_to_fit),
    "rod play": _layout_only(wear.less_play),
    "slot longer": lambda x, f: lost_motion.slots_longer(x.assembly, _loose(x, f)),
    "rod lost": lambda x, f: lost_motion.lost_otherwise(x.layout, _loose(x, f)),
    "rod way": lambda x, f: lost_motion.other_ways(x.layout, _loose(x, f)),
    "free play": _layout_only(changes.less_free_play),
    "free play for heat": _layout_only(heat.more_free_play),
    "rod for heat": _plates(heat.turned),
    "pedal stop": _pedal_stop,
    "stop later": _layout_only(changes.stop_later),
    "rod bar": _bar,
    "over-travel load": lambda x, f: bars_and_bearings.firmer(
        x.layout, _named(f, "rod") or ""
    ),
    "over-travel load less": _layout_only(bars_and_bearings.softer),
    "over-travel way": lambda x, f: bars_and_bearings.farther(
        x.layout, _named(f, "rod") or "", float(x.working.end)
    ),
    **{kind: _layout_only(of) for kind, of in engine_changes.SOURCES.items()},
    **{kind: _layout_only(of) for kind, of in guides.SOURCES.items()},
    "spring stronger": _strength,
    "springs weaker": _all_scaled(spring_changes.WEAKER),
    "springs stronger": _all_scaled(spring_changes.STRONGER),
    "springs stronger together": lambda x, _: spring_changes.together(
        x.layout, spring_changes.STRONGER
    ),
    "springs balanced": _all_scaled(spring_changes.WEAKER, spring_changes.STRONGER),
    "spring added": _added,
    **rubbing.SOURCES,
    "spring hand": _about_spring(spring_changes.other_hand),
    "spring anchor across": _about_spring(anchors.mirrored),
    "spring anchor round": _about_spring(anchors.turned),
    "spring anchor away": _slack,
    "spring anchor nearer": _nearer,
    "spring anchor apart": _apart,
    "spring own arm": _own_arm,
    "spring anchor on engine": _layout_only(anchors.carried),
    "spring shorter": _about_spring(spring_changes.shorter),
    "spring longer": _about_spring(spring_changes.longer),
    "bearing": _layout_only(bars_and_bearings.freed),
    "cam longer": lambda x, f: cams.longer(x.layout, _named(f, "rod")),
    "drum turned over": lambda x, f: drums.turned_over(x.layout, _holes(x, f)),
    "sheath end": lambda x, f: cables.ends_moved(x.motion, _cables(x, f)),
    "sheath end aside": lambda x, f: cables.ends_moved(
        x.motion, _cables(x, f), aside=True
    ),
    "sheath held": _layout_only(cables.held),
    "sheath lined": _layout_only(cables.lined),
    "sheath bends": lambda x, f: cables.straighter(x.motion, _cables(x, f)),
    "sheath point": lambda x, f: cables.points_moved(x.layout, _cables(x, f)),
    "cable push": cable_makes.push_taken,
    "cable wire": cable_makes.thicker,
    **{kind: _plates(source) for kind, source in governors.SOURCES.items()},
    "cable stroke": lambda x, f: cables.of_make(
        x.layout, _named(f, "rod"), "stroke", f.value or 0.0, cables.STROKES
    ),
}


def _all(x: Examined, finding: Finding) -> Iterator[Family]:
    """Yield all changes; none of a spring that only a change before them adds."""
    names = {_named(finding, "spring"), *_shared(finding, "pin", "arm", "anchor")}
    if names - {None} <= set(x.layout.springs):
        for kind in finding.rule.cures:
            yield from SOURCES[kind](x, finding)


def families(x: Examined, finding: Finding) -> list[Family]:
    """Return every change that may mend a finding and alters nothing that is fixed."""
    layout = x.layout
    return [
        kept.kept(layout, f)
        for f in _all(x, finding)
        if f.size and not kept.barred(layout, f)
    ]


def barred(x: Examined, finding: Finding) -> frozenset[Ref]:
    """Return the fixed parts for which changes that may mend it are not looked for."""
    some = (kept.barred(x.layout, f) for f in _all(x, finding) if f.size)
    return frozenset().union(*some)
