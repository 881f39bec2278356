"""The page of slips: which are tried, and what was told of forty that were made.

Not here: making and judging them (`tests.slips`).
"""

from __future__ import annotations

from typing import Final

from tests.docs.reference_pages import GENERATED, table
from tests.slips.cases import CASES, VEHICLES
from tests.slips.record import recorded

_HEAD: Final = """\
Before metal is cut for a layout that cannot be, `check` asks whether it was measured or
written down wrongly. Of a layout that cannot be put together, whose motion does not fit,
whose spring sits on the wrong side, or with a [size that is not
usual](limits.md#sizes-that-are-usual) every slip of the table is taken back, one at a time,
and the whole check is asked about what comes of it. At most three are told, right under the
verdict, or under the error where the parts cannot be put together.

First comes a slip after which nothing says "do not fit"; then what leaves the fewest odd
sizes; then what asks for no look; then the likelier kind, in the order of the table; then
what changes least. That order is common practice, no source. Where several make all well
none of them is sure: "one of these"; of one number no slip is told twice, and none that asks
for two looks more than the likeliest. Where none does, the one is told after which at least
all moves as it should and nothing new is wrong, with what it leaves.

What is only too weak, too heavy or too few, springs say, is no slip of measuring, and none
is looked for. Nor is one found that leaves a layout which still fits, nor two slips at once.
Where the layout names no springs, geometry alone is judged.
"""


def slips() -> str:
    """Return docs/slips.md."""
    from linkage.slips.kinds import KINDS

    kinds = [[f"`{name}`", k.meaning, k.why] for name, k in KINDS.items()]
    return (
        f"# Slips\n\n{GENERATED}\n\n{_HEAD}\n"
        + table(["slip", "what was done", "why it stands here in the order"], kinds)
        + _made()
    )


def _made() -> str:
    """Return what was told of the forty."""
    found = recorded()
    first = sum(row["place"] == 1 for row in found.values())
    out = (
        f"\n## Forty slips in {len(VEHICLES)} vehicles\n\nThe vehicles are invented, and no "
        "starter: two rods and a cross shaft (`orchard`), one rod,\nin inches (`quarry`), "
        "rods that lean between shafts across and along (`harbour`), and two\ncarburettors "
        f"(`ferry`). Each slip was typed into the sound file; {first} of {len(found)} are "
        "named first. Slips\nafter which the layout still fits are not among them: there "
        "is nothing to find. The record is\nof `python -m tests.slips.record`; a test "
        "compares.\n\n"
    )
    rows = []
    for case in CASES:
        row = found[case.name]
        told = row["told"] or ["nothing"]
        place = f"place {row['place']}" if row["place"] else "no"
        typed = case.name.split(": ", 2)[2]
        right = "yes" if row["place"] == 1 else place
        rows.append([case.vehicle, case.kind, f"`{typed}`", told[0], right])
    return out + table(["vehicle", "slip", "typed", "told first", "right"], rows)
