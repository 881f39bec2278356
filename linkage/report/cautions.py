"""The cautions that go with every result a person may act on, and that with a cable.

Not here: the one line of them (`rules.caution`), what was not judged (`report.unjudged`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.model.called import a_rod, rod_kinds
from linkage.model.heat import heat_known
from linkage.report import governed

if TYPE_CHECKING:
    from linkage.model import Layout

CAUTIONS: Final[tuple[str, ...]] = tuple(
    """\
An estimate from your measurements: it sees no flex, wear, heat, hose, carpet or \
ice. Prove it on the vehicle, engine off, before it runs.
Two return springs on separate hooks, side by side; either alone must shut the \
throttle from anywhere; at least one acts at the carburettor spindle.
Part each joint in turn: the throttle must shut.
Fit a pedal stop: neither rods nor carburettor stop may take the foot's load.
Split pins and lock nuts on every joint; levers pinned or on flats, not clamped.
First start: neutral, brakes on, wheels chocked, a second person at the ignition.
Changes may need inspection by the local authority or a licensed engineer; \
competition rules differ; they come before this estimate. Not for aircraft.
""".splitlines()
)
#: What it does not see, where heat is not judged, and where it is.
NOT_SEEN: Final = "wear, heat, hose, carpet or ice."
NOT_SEEN_HOT: Final = "wear, hose, carpet or ice; of heat it sees growth alone."
#: The same in three lines for a screen; all of them stand in docs/cautions.md.
BRIEF: Final[tuple[str, ...]] = (
    "An estimate from your measurements: prove it on the vehicle, engine off.",
    "Two springs, either alone shuts it; a pedal stop; part each joint: it shuts.",
    "First start in neutral, brakes on. All cautions: --all, docs/cautions.md.",
)
#: What a cable is to be told besides: no spring at the spindle helps there.
CABLE: Final = (
    "A wire that frays, rusts or freezes in its sheath holds the throttle open, and no "
    "spring at the spindle helps: sheath clear of the exhaust and of sharp bends, no "
    "broken strand, free by hand before every first start."
)
#: The same in a few words, after the first of the brief ones.
JAMS: Final = "A jammed wire holds it open."
CABLE_BRIEF: Final = f"An estimate: prove it on the vehicle, engine off. {JAMS}"
GOVERNED_BRIEF: Final = f"An estimate: prove it on the engine, stopped. {JAMS}"


def cautions(layout: Layout) -> tuple[str, ...]:
    """Return all cautions that go with a layout.

    Parameters
    ----------
    layout : Layout
        One.
    """
    kinds = rod_kinds(layout)
    return (*usual(layout), CABLE) if "cable" in kinds.values() else usual(layout)


def usual(layout: Layout) -> tuple[str, ...]:
    """Return those that go with a layout whatever its rods are, as on a sheet."""
    if layout.governed:
        each = f"each {a_rod(rod_kinds(layout))}"
        return tuple(text.replace("each rod", each) for text in governed.CAUTIONS)
    if heat_known(layout):
        return tuple(text.replace(NOT_SEEN, NOT_SEEN_HOT) for text in CAUTIONS)
    return CAUTIONS


def brief(layout: Layout) -> tuple[str, ...]:
    """Return the same in a line each for a screen."""
    first, three = CABLE_BRIEF, BRIEF
    if layout.governed:
        first, three = GOVERNED_BRIEF, governed.BRIEF
    cable = "cable" in rod_kinds(layout).values()
    return (first, *three[1:]) if cable else three
