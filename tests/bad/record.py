"""What `linkage.check` finds and cures on a layout, as plain data.

``python -m tests.bad.record FILE`` writes one line of JSON a layout, all shipped
faults first, then the bad ones, then `swap` and `arm`; lines that are there
already are not made again. Only public names are used, so that it runs on any
state of the package.

Not here: comparing two records (`tests.bad.compare`).
"""

from __future__ import annotations

import json
import sys
import time
from functools import partial
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tests.bad.change import changes
from tests.bad.layouts import CONFIGS, bad_text
from tests.build import pedalled

if TYPE_CHECKING:
    from collections.abc import Callable

#: What is kept of a finding.
KEPT = ("code", "verdict", "where", "value", "limit")
HERE = Path(__file__).parent
#: Names of `swap` runs: layout, then what follows it.
SWAPS = {
    "swap turned": ["scenario-before", "--carburettor", "turned"],
    "swap mirrored": ["scenario-before", "--carburettor", "mirrored"],
} | {
    f"swap {name}": [name, "--carburettor", "turned"]
    for name in (
        "bulkhead-cross-shaft",
        "down-pull-side-draught",
        "hanging-pedal",
        "twin-side-draught",
        "up-pull-side-draught",
    )
}
#: Names of `arm` runs: layout, then arms and their lengths or angles.
ARMS = {
    "arm hanging lever": ["hanging-pedal", "spindle.lever"],
    "arm hanging lever turned": [
        "hanging-pedal", "spindle.lever",
        "--lengths", "26 to 40 mm by 1 mm", "--angles", "30 to 70 deg by 5 deg",
    ],
    "arm short cross shaft": ["fault-cross-shaft-arm-short", "cross shaft.outer"],
    "arm bulkhead crank": ["bulkhead-cross-shaft", "bell crank.out"],
    "arm hanging two": [
        "hanging-pedal", "pedal.rod", "spindle.lever",
        "--lengths", "100 to 130 mm by 3 mm", "--lengths", "26 to 40 mm by 1 mm",
    ],
    "arm up-pull two": [
        "up-pull-side-draught", "cross shaft.outer", "spindle.lever",
        "--lengths", "60 to 90 mm by 3 mm", "--lengths", "28 to 40 mm by 1 mm",
    ],
    "arm short cross shaft two": [
        "fault-cross-shaft-arm-short", "cross shaft.outer", "spindle.lever",
    ],
}  # fmt: skip


def seeds() -> dict[str, str]:
    """Return the 300 seeds, each with the beginning of its text's SHA-256."""
    return json.loads((HERE / "seeds.json").read_text(encoding="utf-8"))


def mark(text: str) -> str:
    """Return the beginning of a text's SHA-256."""
    return sha256(text.encode()).hexdigest()[:12]


def faults() -> list[str]:
    """Return the shipped layouts that have a fault."""
    names = sorted(p.stem for p in pedalled(CONFIGS, "fault-*.toml"))
    return [*names, "scenario-wrongly-swapped"]


def text_of(key: str) -> str:
    """Return the text of a layout by its key: a shipped one's name, or a seed."""
    if key.isdigit():
        return bad_text(int(key))
    return (CONFIGS / f"{key}.toml").read_text(encoding="utf-8")


def unjudged(layout: Any) -> set[str]:
    """Return the codes of rules that say nothing at all of a layout.

    They were left out where something else is wrong, or there is nothing to say.
    """
    import linkage
    from linkage.rules.order import RULES

    told = {f.code for f in linkage.check(layout, cures=False).findings}
    return {rule.code for rule in RULES} - told


def _cure(before: str, cure: Any, told: bool, seen: dict[str, Any]) -> dict[str, Any]:
    """Return a cure as data; its layout is written out, read and checked again.

    What was seen of a layout is kept, as findings often share their cure.
    """
    out: dict[str, Any] = {"proven": cure.proven}
    if told:
        out["text"] = cure.text
    if cure.layout is None:
        return out
    import linkage

    after = linkage.dump(cure.layout)
    if after not in seen:
        found = linkage.check(linkage.loads(after).layout, cures=False)
        seen[after] = {
            "verdict": found.verdict,
            "bad": sorted({f.code for f in found.reasons}),
            "look": sorted({f.code for f in found.findings if f.verdict == "look"}),
            "changes": changes(before, after),
        }
    return out | seen[after]


def _whole(layout: Any, repeats: int = 3) -> float:
    """Return the processor time of a check without cures, the least of some. [s]."""
    import linkage

    times = []
    for _ in range(repeats):
        begin = time.process_time()
        linkage.check(layout, cures=False)
        times.append(time.process_time() - begin)
    return min(times)


def recorded(text: str, *, told: bool = True, timed: bool = True) -> dict[str, Any]:
    """Check a layout and return what was found, with cures and times.

    Parameters
    ----------
    text : str
        A layout file.
    told : bool
        Whether the words of the cures are kept.
    timed : bool
        Whether the time of a check of the mended layout is taken.
    """
    import linkage

    layout = linkage.loads(text).layout
    before = linkage.dump(layout)
    begin = time.process_time()
    found = linkage.check(layout)
    taken = time.process_time() - begin
    findings = []
    seen: dict[str, Any] = {}
    cured = [] if getattr(found, "plan", None) is None else [found.plan]
    for f in found.findings:
        if f.verdict == "fits":
            continue
        row = {k: v for k, v in f.record().items() if k in KEPT}
        if f.cure is not None:
            row["cure"] = _cure(before, f.cure, told, seen)
            cured.append(f.cure)
        findings.append(row)
    out = {"text": mark(text), "verdict": found.verdict, "findings": findings}
    out["unjudged"] = sorted(unjudged(layout))
    offered = [f["cure"] for f in findings if "cure" in f]
    if getattr(found, "plan", None) is not None:
        out["plan"] = _cure(before, found.plan, told, seen)
        offered.append(out["plan"])
    out["mended"] = any(c.get("verdict") in {"fits", "look"} for c in offered)
    if not timed:
        return out
    whole = next((c.layout for c in cured if c.proven and c.layout is not None), None)
    again = layout if whole is None else linkage.loads(linkage.dump(whole)).layout
    return out | {"cpu_s": round(taken, 3), "whole_s": round(_whole(again), 4)}


def tried(key: str) -> dict[str, Any]:
    """Return `recorded` of a layout by its key, or the error that it ended in."""
    text = text_of(key)
    try:
        return recorded(text)
    except Exception as error:  # noqa: BLE001 - a record of everything goes on
        said = f"{type(error).__name__}: {error}"
        return {"text": mark(text), "error": said, "findings": [], "mended": False}


def _told(arguments: list[str]) -> tuple[dict[str, Any], float]:
    """Run a command with ``--json`` and return what it says and its processor time."""
    from typer.testing import CliRunner

    from linkage.cli import app

    begin = time.process_time()
    said = CliRunner().invoke(app, [*arguments, "--json", "--quiet"])
    return json.loads(said.stdout), time.process_time() - begin


def swapped(arguments: list[str]) -> dict[str, Any]:
    """Return what `swap` offers, the best first."""
    name, *rest = arguments
    data, taken = _told(["swap", str(CONFIGS / f"{name}.toml"), *rest])
    return {
        "cpu_s": round(taken, 3),
        "fits": data["fits"],
        "as_it_is": data["fits_as_it_is"],
        "cures": [
            {
                "name": c["name"],
                "fits": c["fits"],
                "reason": c["reason"],
                "looks": c["looks"],
                "push": c["rods_that_push"],
                "parts": len(c["new_parts"]),
                "work": len(c["work"]),
                "share": (c["check"] or {}).get("throttle_share_pct"),
            }
            for c in data["cures"]
        ],
    }


def chosen(arguments: list[str]) -> dict[str, Any]:
    """Return what `arm` chooses."""
    name, *rest = arguments
    data, taken = _told(["arm", str(CONFIGS / f"{name}.toml"), *rest])
    index, columns = data["chosen"], data["columns"]
    return {
        "cpu_s": round(taken, 3),
        "tried": len(columns["fits"]),
        "fitting": sum(columns["fits"]),
        "chosen": index if index is None else {k: v[index] for k, v in columns.items()},
    }


def works() -> dict[str, Callable[[], dict[str, Any]]]:
    """Return everything that is recorded, by its key, each as a call that makes it."""
    made: dict[str, Callable[[], dict[str, Any]]] = {}
    for key in [*faults(), *seeds()]:
        made[key] = partial(tried, key)
    made |= {name: partial(swapped, rest) for name, rest in SWAPS.items()}
    made |= {name: partial(chosen, rest) for name, rest in ARMS.items()}
    return made


def read(path: Path) -> dict[str, dict[str, Any]]:
    """Return what a file of lines holds, by key."""
    if not path.exists():
        return {}
    rows = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    return dict(rows)


def main() -> None:
    """Record everything that a file does not hold yet, line by line."""
    path = Path(sys.argv[1])
    recorded(text_of("hanging-pedal"))  # formulas are compiled before any time is taken
    done = read(path)
    for key, work in works().items():
        if key not in done:
            line = json.dumps([key, work()], ensure_ascii=False)
            with path.open("a", encoding="utf-8") as stream:
                stream.write(line + "\n")


if __name__ == "__main__":
    main()
