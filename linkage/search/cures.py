"""Cures: for every finding the least that mends it, and a plan for the whole.

Not here: the search (`search.plan`), the words of a step (`search.said`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from linkage.quantities import say
from linkage.rules.finding import Cure
from linkage.rules.rule import BAD, LOOK
from linkage.search.plan import seek
from linkage.search.said import cut_said, said

if TYPE_CHECKING:
    from collections.abc import Callable

    from linkage.rules.engine import Place
    from linkage.rules.finding import Finding
    from linkage.search.node import Node
    from linkage.search.plan import Sought


def _looks(node: Node) -> str:
    codes = {p[0] for p in node.places(LOOK)} - {p[0] for p in node.places(BAD)}
    return f"; then look at {', '.join(sorted(codes))}" if codes else ""


def spoken(root: Node, node: Node) -> str:
    """Return all steps to a layout in words, and what came of them."""
    x, n = node.many, node.number
    text = "; then ".join(said(step) for step in node.steps)
    text += cut_said({name: n(x.assembly.loop(name).length) for name in node.cut})
    stop, old = node.layout.pedal.stop, root.layout.pedal.stop
    told = any(step.kind == "pedal stop" for step in node.steps)
    if stop is not None and not told and abs(stop - (old or 0.0)) > 1e-6:
        text += f", and set the pedal stop to {say(stop, 'length')}"
    return (
        f"{text}: solved again, {x.layout.main.name} reaches "
        f"{say(n(x.throttle_share), 'fraction')} at {say(n(x.working.end), 'length')} of pad"
    )


def _proven(root: Node, node: Node) -> Cure:
    text = spoken(root, node) + ("" if node.bad else _looks(node))
    return Cure(text=text, layout=node.layout, proven=True)


def _nearest(root: Node, node: Node, place: Place) -> Cure | None:
    if place in node.places(LOOK):
        return None
    left = ", ".join(sorted({p[0] for p in node.places(BAD)}))
    text = f"{spoken(root, node)}; that mends {place[0]} but leaves: {left}"
    return Cure(text=text, layout=node.layout, proven=False)


def _cure(root: Node, sought: Sought, place: Place) -> Cure | None:
    """Return the cure of one finding."""
    if place in sought.alone:
        return _proven(root, sought.alone[place])
    plan = sought.plan
    if plan is not None and place not in plan.places(LOOK):
        return _proven(root, plan)
    if plan is not None and place in root.places(BAD):
        return replace(_proven(root, plan), proven=False)  # it asks for a look still
    if sought.nearest is not None:
        return _nearest(root, sought.nearest, place)
    return None


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
        found = finding.cure or _cure(root, sought, finding.place)
        out.append(replace(finding, cure=found))
        done += 1
        if progress is not None:
            progress(done, total)
    plan = None if sought.plan is None else _proven(root, sought.plan)
    return tuple(out), plan
