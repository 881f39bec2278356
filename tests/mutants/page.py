"""What the last runs gave, kept in told.json, and its part of docs/validation.md.

Not told are changes at which no test of those asked failed. Of these some change
nothing that can be seen; `equal.toml` says of each why. The rest stands on the page.
"""

from __future__ import annotations

import json
import tomllib
from collections import Counter
from pathlib import Path

HERE = Path(__file__).parent
TOLD = HERE / "told.json"
EQUAL = HERE / "equal.toml"
HEAD = """
## Would the tests notice?

Small changes made in the code one by one: a comparison turned or its edge moved, a
sign, an operation, a constant (a whole number by one, any other by 1 %), `and` for
`or`, least for greatest, arguments or results swapped, a statement left out. Words
are not changed, nor tables of data, nor tolerances under 1e-6. Each is made on a line
that a test runs; it is *told* where a test of motion, forces, springs or rules fails,
in {budget} s of them at most. *Equal* are those that change nothing that can be seen,
listed below with why; the share is of all others. A seeded sample of each package;
again: `python -m tests.mutants --package forces --sample {sample} --seed {seed}`.

| package | tried | told | equal | not told | share told | when first measured |
|---|---:|---:|---:|---:|---:|---:|
"""


def keep(rows: list[dict], options) -> None:
    """Keep what a run gave, beside what was first measured."""
    package = options.package
    data = json.loads(TOLD.read_text(encoding="utf-8")) if TOLD.exists() else {}
    made = [row for row in rows if row["end"] != "not made"]
    left = sorted(row["key"] for row in made if row["end"] == "not told")
    before = data.get(package, {}).get("first", [len(made) - len(left), len(made)])
    data[package] = {
        "sample": options.sample,
        "seed": options.seed,
        "budget": options.budget,
        "tried": len(made),
        "not told": left,
        "first": before,
    }
    text = json.dumps(data, indent=1, ensure_ascii=False, sort_keys=True)
    TOLD.write_text(text + "\n", encoding="utf-8")


def equal() -> dict[str, str]:
    """Return the changes that change nothing, by key, each with why."""
    return tomllib.loads(EQUAL.read_text(encoding="utf-8"))


def part() -> str:
    """Return the part of the page."""
    data, same = json.loads(TOLD.read_text(encoding="utf-8")), equal()
    any_one = next(iter(data.values()))
    out = [HEAD.format(**any_one).rstrip("\n")]
    why: Counter[str] = Counter()
    rest = []
    for package, d in data.items():
        alike = [key for key in d["not told"] if key in same]
        left = [key for key in d["not told"] if key not in same]
        told, count = d["tried"] - len(d["not told"]), d["tried"] - len(alike)
        first, tried = d["first"]
        out.append(
            f"| {package} | {d['tried']} | {told} | {len(alike)} | {len(left)} "
            f"| {told / count:.1%} | {first / tried:.1%} |"
        )
        why.update(same[key] for key in alike)
        rest += left
    out.append("\nEqual, and why:\n")
    out += [f"- {reason} ({number})" for reason, number in why.most_common()]
    out.append("\nNot told by any test near:\n")
    out += [f"- `{key.replace('`', '')}`" for key in rest]
    return "\n".join(out) + "\n"
