"""Computed cures: the least change that mends a finding, solved again as proof.

Not here: the changes themselves (`checks.adjust`), the rules (`checks.rules`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import chain
from typing import TYPE_CHECKING, Final

from linkage.errors import LinkageError
from linkage.model import Hole
from linkage.quantities import say
from linkage.rules import adjust, rock_cures, spring_cures
from linkage.rules.engine import judge
from linkage.rules.examine import Examined, examine, stop_set_last
from linkage.rules.finding import RANK, Cure, Finding
from linkage.rules.order import FORCE_CODES, ROCK_CODES

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from linkage.rules.adjust import Adjustment
    from linkage.rules.engine import Place
    from linkage.rules.rule import Need

    Source = Callable[[Examined, Finding], Iterable[Adjustment]]

#: Rules that a change of arms may break without harm: the pedal stop is set last.
SET_LAST: Final = frozenset({"stamp-load"})
#: How much worse than others a fault is that a cure brings with it: a stroke too
#: short is soon mended, a rod that runs out is not.
WORSE: Final = {"reach": 9, "arm-rod-angle": 4, "dead-centre": 4}
#: Most adjustments solved for one finding; the nearest come first.
TRIES: Final = 700
#: First changes from which a second is sought, and most of those solved for each.
STARTS: Final = 4
SECONDS: Final = 300
#: How good two changes together are: some fault left, something to look at of the
#: finding itself, all of it mended.
PARTLY, FAIR, MENDED = range(3)


def all_findings(x: Examined) -> tuple[Finding, ...]:
    """Return what all rules find."""
    return judge(x).findings()


def _rod_holes(x: Examined, finding: Finding) -> list[Hole]:
    link = x.assembly.loop(finding.about.name).link
    return [link.driven, link.driver]


def _throttle_holes(x: Examined, finding: Finding) -> list[Hole]:
    named = x.layout.throttles.get(finding.about.name)
    throttle = named if named and finding.about.kind == "throttle" else x.layout.main
    return adjust.holes_to(x.layout, throttle.shaft)


def _stroke(x: Examined, finding: Finding) -> Iterator[Adjustment]:
    holes = _throttle_holes(x, finding)
    return chain(
        adjust.rods_cut_to_fit(x.layout),
        adjust.less_play(x.layout),
        adjust.lengths(x.layout, holes),
        adjust.angles(x.layout, holes, most=math.radians(20)),
    )


def _clocking(x: Examined, finding: Finding) -> Iterator[Adjustment]:
    holes = _rod_holes(x, finding)
    return chain(adjust.angles(x.layout, holes), adjust.lengths(x.layout, holes))


def _side(x: Examined, finding: Finding) -> Iterator[Adjustment]:
    return adjust.other_side(x.layout, _throttle_holes(x, finding))


def _rest(x: Examined, finding: Finding) -> Iterator[Adjustment]:  # noqa: ARG001
    return chain(adjust.rods_cut_to_fit(x.layout), adjust.less_free_play(x.layout))


def _lean(x: Examined, finding: Finding) -> Iterator[Adjustment]:
    return chain(
        adjust.joints(x.layout, finding.about.name),
        adjust.offsets(x.layout, _rod_holes(x, finding)),
    )


def _hook(x: Examined, finding: Finding) -> Iterator[Adjustment]:
    spring = x.layout.springs[finding.about.name]
    hole = Hole(shaft=spring.shaft, arm=spring.arm)
    return chain(
        adjust.angles(x.layout, [hole], most=3.1),
        adjust.lengths(x.layout, [hole]),
        spring_cures.turned(x, spring.name),
    )


SOURCES: Final[dict[str, Source]] = {
    **spring_cures.SOURCES,
    **rock_cures.SOURCES,
    "reach": _clocking,
    "opening-sense": _side,
    "full-throttle": _stroke,
    "left-over-travel": spring_cures.pedal_stop,
    "idle": _rest,
    "lost-travel": _rest,
    "full-then-idle": _stroke,
    "throttle-spread": _stroke,
    "kickdown": _stroke,
    "tip-in": _stroke,
    "rod-sense": _clocking,
    "arm-rod-angle": _clocking,
    "dead-centre": _clocking,
    "joint-tilt": _lean,
    "spring-line": _hook,
}


def _ranks(findings: Iterable[Finding]) -> dict[Place, int]:
    out: dict[Place, int] = {}
    for f in findings:
        out[f.place] = max(RANK[f.verdict], out.get(f.place, 0))
    return out


def _judged(candidate: Adjustment, code: str) -> tuple[Examined, list[Finding]] | None:
    """Solve a candidate by the rules that are quick for what is to be mended.

    None where it cannot be assembled or a spring becomes impossible.
    """
    try:
        if candidate.moves_stroke:
            _, y = stop_set_last(candidate.layout)
        else:
            y = examine(candidate.layout)
        needs: list[Need] = ["motion"]
        if code == "dead-centre":
            needs.append("dead centres")
        if code in FORCE_CODES or code == "spring-line":
            needs.append("forces")
        if code in ROCK_CODES:
            needs.append("rock")
        found = list(judge(y, needs).findings())
    except LinkageError:
        return None
    return y, found


def _mends(
    finding: Finding, before: dict[Place, int], after: Iterable[Finding]
) -> bool:
    """Tell whether the finding is gone and nothing else got worse."""
    ranks = _ranks(after)
    if ranks.get(finding.place, 0) > 0:
        return False
    return all(
        rank <= before.get(place, 0) or place[0] in SET_LAST
        for place, rank in ranks.items()
    )


def _blinds(
    finding: Finding, before: dict[Place, int], after: Iterable[Finding]
) -> bool:
    """Tell whether pressing shuts a plate: nothing else is judged then.

    Where the sense itself is to be mended, other plates may be wrong as before.
    """
    shut = {f.place for f in after if f.code == "opening-sense" and f.verdict != "fits"}
    if finding.code != "opening-sense":
        return bool(shut)
    return any(before.get(place, 0) == 0 for place in shut)


def _spoken(candidate: Adjustment, y: Examined) -> str:
    cut = [
        f"rod `{n}` to {say(y.assembly.loop(n).length, 'length')}"
        for n in candidate.cut
    ]
    text = candidate.text + (f" and cut {' and '.join(cut)}" if cut else "")
    stop, old = y.layout.pedal.stop, candidate.layout.pedal.stop
    if stop is not None and abs(stop - (old or 0.0)) > 1e-6:
        text += f", and set the pedal stop to {say(stop, 'length')}"
    return f"{text}: solved again, {y.layout.main.name} reaches {say(y.throttle_share, 'fraction')} at {say(y.working.end, 'length')} of pad"


def cure(x: Examined, finding: Finding, before: Iterable[Finding]) -> Cure | None:
    """Find the least change that mends a finding.

    Parameters
    ----------
    x : Examined
        The layout as it is.
    finding : Finding
        What is to be mended.
    before : list of Finding
        All findings of the layout as it is.

    Returns
    -------
    Cure or None
        Proven where the changed layout was solved again, the finding was gone
        and nothing else had become worse; None where no change within reach
        mends it.
    """
    source = SOURCES.get(finding.code)
    if source is None:
        return None
    ranks = _ranks(before)
    candidates = sorted(source(x, finding), key=lambda a: a.effort)
    partly: list[tuple[int, Adjustment, Examined]] = []
    for candidate in candidates[:TRIES]:
        judged = _judged(candidate, finding.code)
        if judged is None:
            continue
        y, after = judged
        if _blinds(finding, ranks, after):
            continue  # what cannot be judged there only seems mended
        if _mends(finding, ranks, after) and _mends(finding, ranks, all_findings(y)):
            return Cure(text=_spoken(candidate, y), layout=y.layout, proven=True)
        bad = sum(WORSE.get(f.code, 1) for f in after if f.verdict == "do not fit")
        if _gone(finding, after):
            partly.append((bad, candidate, y))
    return _second_step(finding, partly) if partly else None


def _gone(finding: Finding, after: Iterable[Finding]) -> bool:
    return _ranks(after).get(finding.place, 0) == 0


def _second_step(
    finding: Finding, partly: list[tuple[int, Adjustment, Examined]]
) -> Cure:
    """Mend what a change that mends the finding brings with it, if one more does.

    The first changes are those that bring least with them: the least of them,
    and a few that go further, as the second may need the room.
    """
    least = min(bad for bad, _, _ in partly)
    starts = [(a, y) for bad, a, y in partly if bad == least]
    tried: list[tuple[int, Cure]] = []
    for i in sorted({len(starts) * k // STARTS for k in range(STARTS)}):
        tried.append(_two_steps(finding, *starts[i]))
        if tried[-1][0] == MENDED:
            break
    return max(tried, key=lambda t: t[0])[1]


def _two_steps(finding: Finding, first: Adjustment, y: Examined) -> tuple[int, Cure]:
    """Return how good the best second change is, and both as one cure."""
    after = all_findings(y)
    left = [f for f in after if f.verdict == "do not fit"]
    if not left:
        text = _spoken(first, y) + _looks(after)
        return MENDED, Cure(text=text, layout=y.layout, proven=True)
    fair: Cure | None = None
    for more, other in _seconds(y, left):
        judged = _judged(more, other.code)
        if judged is None or any(f.verdict == "do not fit" for f in judged[1]):
            continue
        z = judged[0]
        last = all_findings(z)
        if any(f.verdict == "do not fit" for f in last):
            continue
        text = f"{first.text}; then {_spoken(more, z)}{_looks(last)}"
        made = Cure(text=text, layout=z.layout, proven=_gone(finding, last))
        if made.proven:
            return MENDED, made
        fair = fair or made
    if fair is not None:
        return FAIR, fair
    rest = ", ".join(sorted({f.code for f in left}))
    text = f"{_spoken(first, y)}; that mends {finding.code} but leaves: {rest}"
    return PARTLY, Cure(text=text, layout=y.layout, proven=False)


def _seconds(y: Examined, left: list[Finding]) -> Iterator[tuple[Adjustment, Finding]]:
    """Yield the changes that may mend one of what is left, the least first."""
    for other in left:
        if other.code in SOURCES:
            tried = sorted(SOURCES[other.code](y, other), key=lambda a: a.effort)
            for more in tried[:SECONDS]:
                yield more, other


def _looks(findings: Iterable[Finding]) -> str:
    looks = ", ".join(sorted({f.code for f in findings if f.verdict == "look"}))
    return f"; then look at {looks}" if looks else ""


def with_cures(
    x: Examined,
    findings: Iterable[Finding],
    progress: Callable[[int, int], None] | None = None,
) -> list[Finding]:
    """Return the findings, each that does not fit or asks for a look with its cure.

    Parameters
    ----------
    x : Examined
        The layout as it is.
    findings : list of Finding
        All of them.
    progress : callable, optional
        Called with the number of cures found so far and of those looked for.
    """
    findings = tuple(findings)
    total = sum(f.verdict != "fits" for f in findings)
    out: list[Finding] = []
    done = 0
    for finding in findings:
        if finding.verdict == "fits":
            out.append(finding)
            continue
        if progress is not None:
            progress(done, total)
        out.append(replace(finding, cure=finding.cure or cure(x, finding, findings)))
        done += 1
    if progress is not None:
        progress(done, total)
    return out
