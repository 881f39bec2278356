"""What the program tells of every slip: ``python -m tests.slips.record``.

Not here: the page that is made of it (`tests.docs.slips_page`).
"""

from __future__ import annotations

import json
from contextvars import copy_context
from pathlib import Path

from linkage import config, quantities
from linkage.errors import LinkageError
from linkage.search import check
from linkage.slips import suspected
from tests.slips.cases import CASES, Case

RECORD = Path(__file__).parent / "told.json"


def told(case: Case) -> dict[str, object]:
    """Return what is told of a slip: the verdict, the texts, the place of the right one."""
    return copy_context().run(_told, case)


def _told(case: Case) -> dict[str, object]:
    loaded = config.loads(case.text)
    quantities.speak_in(loaded.spoken())
    try:
        verdict = check(loaded.layout, cures=False).verdict
    except LinkageError as error:
        verdict = error.message
    slips = suspected(loaded.layout)
    right = [
        i for i, s in enumerate(slips) if (s.kind, s.key) == (case.kind, case.told_at)
    ]
    return {
        "verdict": verdict,
        "told": [slip.text for slip in slips],
        "place": right[0] + 1 if right else None,
    }


def recorded() -> dict[str, dict[str, object]]:
    """Return what was told of every slip, by its name."""
    return json.loads(RECORD.read_text(encoding="utf-8"))


def main() -> None:
    """Write the record anew."""
    found = {case.name: told(case) for case in CASES}
    text = json.dumps(found, indent=1, ensure_ascii=False)
    RECORD.write_text(text + "\n", encoding="utf-8")
    first = sum(row["place"] == 1 for row in found.values())
    print(f"{first} of {len(found)} named first")  # noqa: T201


if __name__ == "__main__":
    main()
