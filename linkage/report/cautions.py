"""The cautions that go with every result a person may act on.

Not here: the one line of them (`rules.caution`), what was not judged (`report.unjudged`).
"""

from __future__ import annotations

from typing import Final

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
#: The same in three lines for a screen; all of them stand in docs/cautions.md.
BRIEF: Final[tuple[str, ...]] = (
    "An estimate from your measurements: prove it on the vehicle, engine off.",
    "Two springs, either alone shuts it; a pedal stop; part each joint: it shuts.",
    "First start in neutral, brakes on. All cautions: --all, docs/cautions.md.",
)
