"""Which arm or anchor a finding about a gap is to move.

Not here: the changes themselves (`search.changes`, `search.apart`), all other findings
(`search.sources`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.model import Hole
from linkage.search import apart, changes

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.rules.examine import Examined
    from linkage.rules.finding import Finding
    from linkage.search.family import Family


def own_hole(finding: Finding) -> list[Hole]:
    """Return the arm that rubs itself; none where a rod or a spring does."""
    about = finding.about
    return [Hole(shaft=about.name, arm=about.part)] if about.kind == "arm" else []


def aside(x: Examined, finding: Finding) -> Iterator[Family]:
    """Yield the anchor of a spring that rubs moved aside, along its shaft.

    Of two springs that of either.
    """
    refs = (finding.about, finding.part[0]) if finding.part else (finding.about,)
    names = [ref.name for ref in refs if getattr(ref, "kind", "") == "spring"]
    return apart.anchors_apart(x.layout, names)


#: By the kind of change that a rule names.
SOURCES: Final = {
    "rubbing arm length": lambda x, f: changes.lengths(x.layout, own_hole(f)),
    "rubbing arm angle": lambda x, f: changes.angles(x.layout, own_hole(f)),
    "spring anchor aside": aside,
}
