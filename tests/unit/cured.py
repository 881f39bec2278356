"""Find a fault by a rule, cure it, and look at the cured layout again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.rules import Examined, examine, judge
from linkage.search.cures import with_cures
from linkage.search.node import Node
from tests.unit.ruled import found_in

if TYPE_CHECKING:
    from linkage.model import Layout
    from linkage.rules import Cure, Finding


def found(layout: Layout, code: str, where: str = "") -> Finding:
    """Return the worst finding of a code whose place begins so."""
    mine = [f for f in found_in(layout) if f.code == code and f.where.startswith(where)]
    assert mine, f"no finding {code}"
    return max(mine, key=lambda f: ("fits", "look", "do not fit").index(f.verdict))


def named(layout: Layout) -> dict[str, str]:
    """Return what is not in order, by code, with its worst verdict."""
    out: dict[str, str] = {}
    for f in found_in(layout):
        if f.verdict != "fits" and out.get(f.code) != "do not fit":
            out[f.code] = f.verdict
    return out


def node_of(layout: Layout | Examined) -> Node:
    """Return a layout as the search takes it, judged."""
    x = layout if isinstance(layout, Examined) else examine(layout)
    return Node(many=x, judged=judge(x))


def searched(layout: Layout) -> tuple[tuple[Finding, ...], Cure | None]:
    """Return all findings with their cures, and the plan."""
    return with_cures(node_of(layout))


def cure(layout: Layout, finding: Finding) -> Cure | None:
    """Return the cure of one finding, found with those of all others."""
    return next(f.cure for f in searched(layout)[0] if f.place == finding.place)


def bad_places(layout: Layout) -> set[object]:
    """Return the places of all that says ``do not fit``."""
    return {f.place for f in found_in(layout) if f.verdict == "do not fit"}


def cured(layout: Layout, code: str, where: str = "") -> Cure:
    """Return the cure of one finding, shown to mend it.

    The cured layout is checked anew: the finding is gone and no reason not to
    fit has come.
    """
    finding = found(layout, code, where)
    assert finding.verdict != "fits"
    mended = cure(layout, finding)
    assert mended is not None
    assert mended.proven, mended.text
    assert mended.layout is not None
    after = found_in(mended.layout)
    assert finding.place not in {f.place for f in after if f.verdict != "fits"}
    assert bad_places(mended.layout) <= bad_places(layout)
    return mended
