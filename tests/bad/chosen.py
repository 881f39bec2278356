"""Which 300 seeds are taken: ``python -m tests.bad.chosen`` writes seeds.json.

Not here: the layouts (`tests.bad.layouts`).
"""

from __future__ import annotations

import json
from itertools import count, islice
from typing import TYPE_CHECKING

from tests.bad.layouts import bad_text
from tests.bad.record import HERE, mark

if TYPE_CHECKING:
    from collections.abc import Iterator

#: How many are taken.
MANY = 300


def refused(seed: int) -> bool:
    """Tell whether the layout of a seed can be put together and does not fit."""
    import linkage

    try:
        found = linkage.check(linkage.loads(bad_text(seed)).layout, cures=False)
    except linkage.LinkageError:
        return False
    return found.verdict == "do not fit"


def chosen() -> Iterator[int]:
    """Yield the seeds whose layouts are taken, from 0."""
    return filter(refused, count())


def main() -> None:
    """Name the seeds, four in a line."""
    pairs = [
        f"{json.dumps(str(seed))}: {json.dumps(mark(bad_text(seed)))}"
        for seed in islice(chosen(), MANY)
    ]
    lines = [", ".join(pairs[i : i + 4]) for i in range(0, MANY, 4)]
    text = "{\n" + ",\n".join(lines) + "\n}\n"
    (HERE / "seeds.json").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
