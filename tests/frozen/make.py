"""Freeze the numbers: ``python -m tests.frozen.make`` writes the table.

Only ever run on code whose numbers are known to be right.
"""

from __future__ import annotations

import math
import sys
from collections import Counter
from multiprocessing import Pool

from tests.frozen.cases import check_sum, keys, text_of
from tests.frozen.compare import (
    EITHER,
    Frozen,
    code_of,
    moved,
    tolerance,
    write,
)
from tests.frozen.numbers import frozen
from tests.frozen.sensitivity import regridded, shaken

#: Seeds of the shaken evaluations, and how hard they are shaken.
SHAKES = ((1, 1.0), (2, 1.0), (3, 10.0), (4, 10.0))
#: Numbers of positions of the regridded ones. The package takes 241; one less of
#: each has no divisor in common with one less of that.
GRIDS = (240, 234, 252)


def freeze(key: str) -> Frozen:
    """Solve one layout, plain, shaken and regridded."""
    text = text_of(key)
    plain, plain_words = frozen(text)
    rough, grids, said = [], [], [plain_words]
    for seed, force in SHAKES:
        with shaken(seed, force) as change:
            numbers, words = frozen(text, change)
        rough.append((numbers, force))
        said.append(words)
    for samples in GRIDS:
        with regridded(samples):
            grids.append((frozen(text)[0], 1.0))
    names = dict.fromkeys([*plain, *(n for one, _ in rough for n in one)])
    return Frozen(
        text=check_sum(text),
        numbers={
            name: (
                plain.get(name, math.nan),
                _worst(name, plain, rough),
                _worst(name, plain, grids),
            )
            for name in names
        },
        words={
            name: tuple(dict.fromkeys(one.get(name) for one in said))
            for name in dict.fromkeys(n for one in said for n in one)
        },
    )


def _worst(
    name: str, plain: dict[str, float], others: list[tuple[dict[str, float], float]]
) -> int:
    """Return the code for the greatest movement, each divided by its force."""
    if name not in plain or any(name not in one for one, _ in others):
        return EITHER
    return code_of(
        max(moved(name, one[name], plain[name]) / force for one, force in others)
    )


def group(name: str) -> str:
    """Return kind and group of a name, for the summary."""
    parts = name.split("|")
    if parts[1] == "value":
        return f"value {parts[2]} [{parts[0]}]"
    return f"{parts[1]} [{parts[0]}]"


def tell(line: str) -> None:
    """Write a line to the terminal at once."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def summary(found: list[Frozen]) -> None:
    """Print what assembled, the verdicts, and which groups rounding moves."""
    said = Counter(f.words.get("word|error", ("solved",))[0] for f in found)
    verdicts = Counter(f.words.get("word|verdict", ("none",))[0] for f in found)
    stops = Counter(
        (f.words.get("word|stopped by", ("none",))[0] or "").split(" of ")[0]
        for f in found
    )
    for line in (len(found), dict(said), dict(verdicts), dict(stops)):
        tell(str(line))
    flips = Counter(
        n.split("|")[1] for f in found for n, s in f.words.items() if len(s) > 1
    )
    tell(f"words that may be either: {dict(flips)}")
    table: dict[str, list[tuple[int, int]]] = {}
    for f in found:
        for name, (_, one, two) in f.numbers.items():
            table.setdefault(group(name), []).append((one, two))
    tell(f"{'group':46} count  wide either worst | events: wide either worst")
    for name, codes in sorted(table.items()):
        cells = []
        for k in (0, 1):
            column = [c[k] for c in codes]
            wide = [c for c in column if 0 < c < EITHER]
            worst = tolerance(max(wide, default=0))
            cells.append(f"{len(wide):6} {column.count(EITHER):5} {worst:8.1e}")
        tell(f"{name:46} {len(codes):6} {cells[0]} | {cells[1]}")


def main() -> None:
    """Freeze all layouts over two processes and write the table."""
    names = keys()
    found: list[Frozen] = []
    with Pool(2) as pool:
        for one in pool.imap(freeze, names, chunksize=10):
            found.append(one)
            if len(found) % 100 == 0:
                tell(f"{len(found)} of {len(names)}")
    write(names, found)
    summary(found)


if __name__ == "__main__":
    main()
