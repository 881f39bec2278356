"""What the last runs gave, kept in told.json, and its part of docs/validation.md.

Not told are changes at which no test of those asked failed. Of these some change
nothing that can be seen; `equal.toml` says of each why. The rest stands on the page.
"""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

HERE = Path(__file__).parent
TOLD = HERE / "told.json"
EQUAL = HERE / "equal.toml"
HEAD = """
## Would the tests notice?

Small changes made in the code one by one: a comparison turned or its edge moved, a
sign, an operation, a constant (a whole number by one, any other by 1 %), `and` for
`or`, least for greatest, arguments or results swapped, a statement left out. Words
are not changed, nor tables of data outside functions, nor tolerances under 1e-6. Each
is made on a line that a test of these packages runs, and is *told* where one of these
tests fails, within {budget:g} s of them. *Equal* are those that change nothing that can
be seen; the share is of all others. A sample of each package, drawn by seed. *At first*
is what the first run gave, before tests were written for what it showed; *another
sample* is a smaller one by seed 2, less what is in the first, for which none was
written, so that it tells what the rest is like; both of all, equal ones too. Again: `python -m tests.mutants --package forces --sample {sample} --seed {seed}
--budget {budget:g}`.

| package | tried | told | equal | not told | share told | at first | another sample |
|---|---:|---:|---:|---:|---:|---:|---:|
"""


def keep(rows: list[dict], options) -> None:
    """Keep what a run gave, beside what was first measured."""
    package = options.package
    data = json.loads(TOLD.read_text(encoding="utf-8")) if TOLD.exists() else {}
    made = [row for row in rows if row["end"] != "not made"]
    left = sorted(row["key"] for row in made if row["end"] == "not told")
    share = [len(made) - len(left), len(made)]
    known = data.get(package, {})
    if known.get("seed", options.seed) != options.seed:
        known["other"] = share
    else:
        data[package] = _kept(left, share, known, options)
    text = json.dumps(data, indent=1, ensure_ascii=False, sort_keys=True)
    TOLD.write_text(text + "\n", encoding="utf-8")


def _kept(left: list[str], share: list[int], known: dict, options) -> dict:
    return {
        "sample": options.sample,
        "seed": options.seed,
        "budget": options.budget,
        "tried": share[1],
        "not told": left,
        "first": known.get("first", share),
        "other": known.get("other", share),
    }


def equal() -> dict[str, str]:
    """Return the changes that change nothing, by key, each with why."""
    return tomllib.loads(EQUAL.read_text(encoding="utf-8"))


def part() -> str:
    """Return the part of the page."""
    data, same = json.loads(TOLD.read_text(encoding="utf-8")), equal()
    any_one = next(iter(data.values()))
    out = [HEAD.format(**any_one).rstrip("\n")]
    why: dict[str, list[str]] = {}
    rest = []
    for package, d in data.items():
        alike = [key for key in d["not told"] if key in same]
        left = [key for key in d["not told"] if key not in same]
        told, count = d["tried"] - len(d["not told"]), d["tried"] - len(alike)
        others = (f"{a} of {b}, {a / b:.1%}" for a, b in (d["first"], d["other"]))
        out.append(
            f"| {package} | {d['tried']} | {told} | {len(alike)} | {len(left)} "
            f"| {told / count:.1%} | {' | '.join(others)} |"
        )
        for key in alike:
            why.setdefault(same[key], []).append(key)
        rest += left
    out.append("\nEqual, and why:\n")
    for reason, keys in sorted(why.items()):
        out += [f"- {reason}:", *(f"  - {_code(key)}" for key in keys)]
    out.append("\nNot told by these tests in that time:\n")
    out += [f"- {_code(key)}" for key in rest]
    return "\n".join(out) + "\n"


def _code(key: str) -> str:
    return f"`` {key} ``" if "`" in key else f"`{key}`"
