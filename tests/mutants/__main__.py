"""Change one package, and count what the tests notice.

``python -m tests.mutants --package forces --sample 300 --seed 1``
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from collections import Counter
from pathlib import Path

#: Tests that are near to the four packages. Those of searches, whole commands, pages
#: and pictures are left out: who changes a rule should not need them.
UNIT = (
    "assembly",
    "connect",
    "curve",
    "forces_*",
    "frame",
    "kernels",
    "motion_rows",
    "plate",
    "rock",
    "rules_*",
    "setting",
    "springs_*",
    "sweep",
    "working",
)
NEAR = (
    "tests/published/test_andrews.py",
    "tests/published/test_plate_area.py",
    "tests/published/test_published.py",
    "linkage/motion",
    "linkage/forces",
    "linkage/springs",
    "linkage/rules",
)


def main() -> int:
    """Read the command line, run, and print the share."""
    options = _options()
    for path in (options.keep, options.out):
        path.parent.mkdir(parents=True, exist_ok=True)
    for name in ("OPENBLAS", "OMP", "MKL"):
        os.environ[f"{name}_NUM_THREADS"] = "1"

    import pytest

    from tests.mutants import page
    from tests.mutants.server import Server, read

    server = Server(options)
    found = (sorted(Path("tests/unit").glob(f"test_{name}.py")) for name in UNIT)
    units = [str(path) for paths in found for path in paths]
    plain = ["-q", "-s", "-p", "no:cacheprovider", "-p", "no:xdist"]
    pytest.main([*units, *NEAR, *plain], plugins=[server])
    rows = [row for key, row in read(options.out).items() if key in server.drawn]
    if options.tell:
        page.keep(rows, options)
    ends = Counter(row["end"] for row in rows)
    made = sum(ends.values()) - ends["not made"]
    told = made - ends["not told"]
    sys.stdout.write(f"{options.package}: {told} of {made} told; {dict(ends)}\n")
    return 0


def _options() -> argparse.Namespace:
    kept = Path(tempfile.gettempdir()) / "throttle-linkage-mutants"
    parser = argparse.ArgumentParser(
        prog="python -m tests.mutants", description=__doc__
    )
    say = parser.add_argument
    say("--package", choices=("motion", "forces", "springs", "rules"))
    say("--sample", type=int, default=0, help="so many changes; 0 is all")
    say("--seed", type=int, default=1)
    say("--only", default="", help="text that the key of a change must hold")
    say("--again", action="store_true", help="only what --out has not as told")
    say("--tell", action="store_true", help="keep what --out has for the page")
    say("--budget", type=float, default=10, help="seconds of tests a change")
    say("--known", action="store_true", help="measure no test anew")
    say("--keep", type=Path, default=kept / "traces.json", help="what was measured")
    say("--out", type=Path, default=kept / "told.jsonl", help="one line a change")
    return parser.parse_args()


if __name__ == "__main__":
    raise SystemExit(main())
