"""The cautions that go with every result a person may act on.

Not here: the one line of them (`rules.caution`), findings (`report.findings`).
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


def not_checked(
    *, springs: bool, forces: bool, rock: bool, geometry: bool = False
) -> list[str]:
    """Return what a check did not look at, in words.

    Parameters
    ----------
    springs : bool
        Whether the layout has any spring.
    forces : bool
        Whether forces were judged.
    rock : bool
        Whether the rocking engine was judged.
    geometry : bool
        Whether geometry alone was asked for.
    """
    out = ["bending of rods, levers, pedal and bulkhead", "heat, ice, dirt and wear"]
    out += ["air load on the plate", "measuring errors, given tolerances included"]
    if geometry:
        out.append(
            "every spring, force, friction and failure: geometry alone was asked"
        )
    elif not springs:
        out.append("return springs: the layout names none")
    elif not forces:
        out.append("return springs' load, friction and failures")
    if not rock:
        out.append("the engine rocking on its mounts")
    out.append("gaps to other parts")
    return out
