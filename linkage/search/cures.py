"""Cures: for every finding the least that mends it, and a plan for the whole.

Not here: the search (`search.plan`), the words of a step (`search.said`).
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from linkage.model.called import rod_kinds
from linkage.motion.as_made import made_length, made_to_pull
from linkage.quantities import say
from linkage.rules.finding import Cure
from linkage.rules.order import called_in
from linkage.rules.rule import BAD, FITS, LOOK
from linkage.search.kept import named
from linkage.search.plan import seek
from linkage.search.said import (
    BOUGHT,
    new_parts,
    said,
    spring_said,
)
from linkage.search.said_of_rods import cut_said, cut_step
from linkage.search.sources import barred, families
from linkage.search.standing import SET_LAST
from linkage.search.work import too_large

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from linkage.rules.finding import Finding
    from linkage.rules.judged import Place
    from linkage.search.family import Step
    from linkage.search.node import Node
    from linkage.search.plan import Sought

#: Rules that are named where they cannot be judged; of more their number is told.
FEW: Final = 3
#: Kinds of steps whose angle a viewer sees.
CLOCKED: Final = frozenset({"arm angle", "arm side"})

#: How a rod of a governor is set when it is cut.
_TURNED: Final = ", which is with both pins in line and then one turn that shuts"


def _looks(node: Node) -> str:
    """Return what asks for a look that a change might spare, in words."""
    rules = {p[0]: node.finding(p).rule for p in node.places(LOOK)}
    bad = {p[0] for p in node.places(BAD)}
    looks = [r.called for c, r in sorted(rules.items()) if r.cures and c not in bad]
    return f"then look at {', '.join(looks)}" if looks else ""


def _told(node: Node, steps: Sequence[Step]) -> Iterator[tuple[Step, str]]:
    """Yield the steps in words; of a spring that is bought, all that it must be at once."""
    bought = Counter(s.about for s in steps if s.kind in BOUGHT)
    for step in steps:
        many = bought[step.about] if step.kind in BOUGHT else 1
        if many == 1:
            yield step, said(step)
        elif many > 1:
            bought[step.about] = 0
            yield step, spring_said(node.layout.springs[step.about.name])


def spoken(root: Node, node: Node) -> str:
    """Return all steps to a layout in words, and what came of them."""
    x, n = node.many, node.number
    text = "; then ".join(words for _, words in _told(node, node.steps))
    known = [s.about.name for s in node.each if _slack(s)]
    cut = [name for name in node.cut if name not in known]
    lengths = {name: n(made_length(x.assembly.loop(name))) for name in cut}
    text += cut_said(node.layout.rods, lengths)
    stop = _stop(root, node)
    if stop is not None:
        text += f", and set the pedal stop to {say(stop, 'length')}"
    return f"{text}: solved again, {_reached(node)}"


def _slack(step: Step) -> bool:
    """Tell whether a step sets the slack of a cable."""
    return step.kind == "rod lost" and step.more["rod"] == "cable"


def _stop(root: Node, node: Node) -> float | None:
    """Return where the pedal stop is set anew, if no step says so. [m]."""
    stop, old = node.layout.pedal.stop, root.layout.pedal.stop
    told = any(step.kind == "pedal stop" for step in node.steps)
    moved = stop is not None and abs(stop - (old or 0.0)) > 1e-6
    return stop if moved and not told else None


def _reached(node: Node) -> str:
    """Return how far the plate opens after all steps, in words."""
    x, n = node.many, node.number
    if x.layout.governed:
        return (
            f"the governor shuts {x.layout.main.name} by "
            f"{say(n(x.throttle_share), 'fraction')} at {say(n(x.working.end), 'length')} "
            "of its arm's travel"
        )
    return (
        f"{x.layout.main.name} reaches {say(n(x.throttle_share), 'fraction')} at "
        f"{say(n(x.working.end), 'length')} of pad"
    )


def steps(root: Node, node: Node) -> tuple[str, ...]:
    """Return what to do, one thing after the other, rods and pedal stop last."""
    shafts = node.layout.shafts
    out = []
    for step, words in _told(node, node.each):
        if _slack(step):
            continue  # it is said how far the adjuster is turned for it
        seen = step.kind in CLOCKED and step.about.name in shafts
        by = f", seen from {shafts[step.about.name].axis.seen_from}" if seen else ""
        if step.kind == "arm offset":
            way = shafts[step.about.name].axis.toward(step.new - step.old)
            by = f", {say(abs(step.new - step.old), 'length')} {way}"
        out.append(words + by)
    out += [_cut(root, node, name) for name in node.cut]
    stop = _stop(root, node)
    if stop is not None:
        out.append(f"set the pedal stop to {say(stop, 'length')} of pad travel")
    return tuple(out)


def _cut(root: Node, node: Node, name: str) -> str:
    """Return to what a rod is cut, or set, in words."""
    loop, rod = node.many.assembly.loop(name), node.layout.rods[name]
    anew = any((s.kind, s.about.name) == ("rod lost", name) for s in node.each)
    was = root.number(made_length(root.many.assembly.loop(name)))
    length, pulls = node.number(made_length(loop)), node.number(made_to_pull(loop))
    text = cut_step(rod, length, was, pulls=bool(pulls), set_anew=anew)
    return f"{text}{_TURNED}" if node.layout.governed else text


def _named(finding: Finding) -> str:
    """Return a finding by its rule, part and number, in a few words."""
    who, value = finding.rule.who(finding.outcome), finding.value
    if value is None or not math.isfinite(value) or finding.kind == "ratio":
        return f"{finding.called} ({who})"
    return f"{finding.called} ({who} {say(value, finding.kind)})"


def _listed(node: Node, places: Iterable[Place]) -> str:
    """Return some findings of a layout, of each rule and part the first."""
    return ", ".join(dict.fromkeys(_named(node.finding(p)) for p in places))


def left(node: Node) -> str:
    """Return what fails still after all steps, in words; empty where nothing does."""
    parts = []
    if places := node.places(BAD):
        parts.append(f"still do not fit then: {_listed(node, places)}")
    if mute := node.mute:
        what = f"{len(mute)} other rules"
        if len(mute) <= FEW:
            kinds = rod_kinds(node.layout)
            what = " and ".join(called_in(kinds, code) for code in mute)
        parts.append(f"cannot be judged then: {what}")
    return "; ".join(parts)


def _new(root: Node, node: Node) -> list[Place]:
    """Return what says ``do not fit`` and could not be judged before."""
    told = root.before.told
    new = [p for p in node.places(BAD) if told.get(p, FITS) < BAD]
    return [p for p in new if p[0] not in SET_LAST]


def _few(node: Node, places: Iterable[Place]) -> str:
    """Return the same for a screen: the rules, no more than a few."""
    called = list(dict.fromkeys(node.finding(p).rule.called for p in places))
    more = f" and {len(called) - FEW} more" if len(called) > FEW else ""
    return ", ".join(called[:FEW]) + more


def _revealed(root: Node, node: Node) -> str:
    """Return what fails and could not be judged before, in words."""
    new = _new(root, node)
    return f"not judged before, and do not fit then: {_listed(node, new)}" * bool(new)


def _proven(root: Node, node: Node) -> Cure:
    left_over = _revealed(root, node) if node.bad else _looks(node)
    text = "; ".join(filter(None, (spoken(root, node), left_over)))
    new = _new(root, node) if node.bad else []
    short = f"not judged before, and do not fit then: {_few(node, new)}"
    told = Cure(text=text, leaves=short if new else left_over, proven=True)
    return _with_steps(root, node, told)


def _with_steps(root: Node, node: Node, cure: Cure) -> Cure:
    """Return a cure with its layout, its steps and what comes of them."""
    x = node.many
    rods = {p.link.rod.name: node.number(made_length(p)) for p in x.assembly.loops}
    return replace(
        cure,
        layout=node.layout,
        steps=steps(root, node),
        outcome=_reached(node),
        rods=rods,
        cut=frozenset(node.cut),
        sets_stop=_stop(root, node) is not None
        or any(step.kind == "pedal stop" for step in node.steps),
    )


def _nearest(root: Node, node: Node, place: Place) -> Cure | None:
    """Return what comes nearest and what it leaves, where it mends a finding."""
    most = LOOK if place in root.places(BAD) else FITS
    if not node.mends(root, place, most):
        return None
    text = f"nearest: {spoken(root, node)}; {left(node)}"
    bad = node.places(BAD)
    leaves = f"still do not fit then: {_few(node, bad)}" if bad else left(node)
    return _with_steps(root, node, Cure(text=text, leaves=leaves, proven=False))


def _goes_further(plan: Node, alone: Node) -> bool:
    """Tell whether a plan makes or buys the same parts with other numbers.

    Then a person who follows the least cure first does so twice.
    """
    one, whole = ({(s.kind, s.about): s for s in n.each} for n in (alone, plan))
    return set(one) <= set(whole) and any(
        whole[k].new != step.new and new_parts(step) for k, step in one.items()
    )


def _cure(root: Node, sought: Sought, place: Place) -> Cure | None:
    """Return the cure of one finding."""
    plan, alone = sought.plan, sought.alone.get(place)
    mends = plan is not None and plan.mends(root, place)
    if plan is not None and alone is not None and mends:
        further = alone.bad and _goes_further(plan, alone)
        alone = None if further or _new(root, alone) else alone
    if alone is not None:
        return _proven(root, alone)
    if plan is not None and mends:
        return _proven(root, plan)
    if plan is not None and place in root.places(BAD):
        return replace(_proven(root, plan), proven=False)  # it asks for a look still
    ways = (sought.nearest, sought.near.get(place))
    told = (_nearest(root, node, place) for node in ways if node is not None)
    return next(filter(None, told), None)


def _barred(root: Node, finding: Finding) -> Cure | None:
    """Return what was not looked at for a cure, and why; None where all was.

    Fixed parts, and what a search of a very large layout did not come to.
    """
    parts, cut = barred(root.x, finding), root.work.cut
    if not parts:
        return Cure(text=_uncome(root), barred=True) if cut else None
    text = f"not looked for: {named(root.layout, parts)}"
    if cut:
        return Cure(text=f"{_uncome(root)}; and {text}", barred=True)
    any_left = families(root.x, finding)
    none = "no other change within reach mends this; " if any_left else ""
    return Cure(text=f"{none}{text}", barred=True)


def _uncome(root: Node) -> str:
    """Say to what a search did not come: to some changes, or to any at all."""
    begun = root.work.left < root.work.most
    what = "no cure among the changes looked at, others" if begun else "cures"
    return f"{what} not looked for: {too_large(root.layout)}"


def with_cures(
    root: Node, progress: Callable[[int, int], None] | None = None
) -> tuple[tuple[Finding, ...], Cure | None]:
    """Return all findings, each that is not in order with its cure, and a plan.

    Parameters
    ----------
    root : Node
        The layout as it is.
    progress : callable, optional
        Called with the number of cures found so far and of those looked for.

    Returns
    -------
    findings : tuple of Finding
        In the order in which a fitter looks.
    plan : Cure, optional
        The least found after which nothing says ``do not fit``; None where the
        layout may be fitted as it is, or none was found.
    """
    findings = root.judged.findings()
    total = sum(f.verdict != "fits" for f in findings)
    if not total:
        return findings, None
    if progress is not None:
        progress(0, total)
    sought = seek(root)
    out: list[Finding] = []
    done = 0
    for finding in findings:
        if finding.verdict == "fits":
            out.append(finding)
            continue
        found = None if finding.rule.advised_last else finding.cure
        found = found or _cure(root, sought, finding.place)
        found = found or finding.cure or _barred(root, finding)
        out.append(replace(finding, cure=found))
        done += 1
        if progress is not None:
            progress(done, total)
    plan = None if sought.plan is None else _proven(root, sought.plan)
    return tuple(out), plan
