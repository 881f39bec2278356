"""One process that has everything loaded, and one fork of it for every change.

The fork puts its change in and runs the tests that run that line: quick ones first,
those of the same family before others, the one that told of a neighbour before all.
It stops at the first that fails.
"""

from __future__ import annotations

import ast
import gc
import hashlib
import json
import os
import resource
import signal
import sys
import time
from collections import Counter, defaultdict
from typing import TYPE_CHECKING, NamedTuple

from _pytest.runner import runtestprotocol

from tests.mutants import live, page
from tests.mutants.changes import changes
from tests.mutants.traces import ROOT, Named, Traces

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator
    from pathlib import Path

FAMILY = {
    "motion": "working sweep assembly curve frame plate rock setting motion axes",
    "forces": "forces equilibrium joint_friction virtual_work return_time",
    "springs": "springs",
    "rules": "rules judge",
}
#: Memory a fork may ask for.
MEMORY = 6 << 30


#: How a change ends that need not be made again.
DONE = {"told", "looped", "crashed", "not made"}


def read(out: Path) -> dict[str, dict]:
    """Return what was written of earlier runs, the last of every change."""
    rows = map(json.loads, out.read_text().splitlines() if out.exists() else ())
    return {row["key"]: row for row in rows}


class Case(NamedTuple):
    """One change and the tests that may tell of it."""

    path: Path
    short: str
    key: str
    line: int
    where: str
    tests: tuple[str, ...]


class Server:
    """A pytest plugin that runs changes in place of the tests."""

    def __init__(self, options: argparse.Namespace) -> None:
        self.options = options
        self.drawn: set[str] = set()
        self.helped: dict[str, Counter[str]] = defaultdict(Counter)

    def pytest_sessionstart(self) -> None:
        """Let failing random cases be; a smaller one is of no use here."""
        from hypothesis import Phase, settings

        phases = (Phase.explicit, Phase.generate)
        parent = settings.get_profile("fixed")
        settings.register_profile("mutants", parent=parent, phases=phases)
        settings.load_profile("mutants")

    def pytest_runtestloop(self, session) -> bool:
        items = {item.nodeid: item for item in session.items}
        traces = Traces(self.options.keep)
        sources = _sources(("motion", "forces", "springs", "rules"))
        new = [item for item in session.items if not traces.fresh(item.nodeid)]
        if new and not self.options.known:
            _say(f"measuring {len(new)} of {len(items)} tests")
            traces.measure(new, sources, _run)
        if self.options.package:
            self._all(items, traces)
        return True

    def _all(self, items: dict, traces: Traces) -> None:
        sources = _sources([self.options.package])
        functions = live.made_from({str(p) for p in sources})
        cases, bare = _cases(sources, traces, set(items), self.options)
        self.drawn = {case.key for case in cases}
        if self.options.again:
            ends = read(self.options.out)
            done = {key for key, row in ends.items() if row["end"] in DONE}
            done |= page.equal().keys() & ends.keys()
            cases = [case for case in cases if case.key not in done]
        _say(f"{len(cases)} changes; {bare} more on lines that no test here runs")
        clock = time.monotonic()
        gc.collect()
        gc.freeze()  # or every fork would copy what its collector looks at
        for k, case in enumerate(cases, 1):
            order = self._order(case, traces)
            result = _fork(
                case, [items[t] for t in order], functions, traces, self.options
            )
            if result["end"] == "told" and result["by"] in items:
                self.helped[case.where][result["by"]] += 1
            row = {"key": case.key, "line": case.line, **result}
            with self.options.out.open("a") as out:
                out.write(json.dumps(row) + "\n")
            if result["end"] == "not told" or k % 50 == 0:
                spent = time.monotonic() - clock
                _say(f"{k}/{len(cases)} {spent:.0f} s  {result['end']}: {case.key}")

    def _order(self, case: Case, traces: Traces) -> list[str]:
        near = FAMILY[self.options.package].split()
        rank: Counter[str] = Counter()
        scored = []
        for test in sorted(case.tests, key=traces.seconds.__getitem__):
            function = test.split("[")[0]
            score = (traces.seconds[test] + 0.004) * (1 + rank[function])
            rank[function] += 1
            score /= 4 if any(f"_{n}" in test for n in near) else 1
            score /= 4 if case.path.stem.rstrip("s") in test else 1
            helped = self.helped[case.where][test]
            scored.append((score / (1 + 30 * helped), test))
        return [test for _, test in sorted(scored)]


def _cases(
    sources: list[Path], traces: Traces, known: set[str], options: argparse.Namespace
) -> tuple[list[Case], int]:
    """Return the changes that are asked for, and how many more no test runs."""
    runs: dict[str, list[str]] = defaultdict(list)
    for test in known & traces.lines.keys():
        for line in traces.lines[test]:
            runs[line].append(test)
    every = [case for path in sources for case in _of_module(path, sources, runs)]
    cases = [case for case in every if case.tests]
    bare = len(every) - len(cases)
    if options.sample:  # by its key, so that the rest stays as code changes
        cases.sort(key=lambda case: _drawn(options.seed, case.key))
        cases = cases[: options.sample]
    return [case for case in cases if options.only in case.key], bare


def _drawn(seed: int, key: str) -> str:
    return hashlib.sha256(f"{seed} {key}".encode()).hexdigest()


def _of_module(path: Path, sources: list[Path], runs: dict) -> Iterator[Case]:
    short = str(path.relative_to(ROOT / "linkage"))
    named = Named(path)
    for change in changes(short, ast.parse(path.read_text(encoding="utf-8"))):
        if change.names:
            tests = _readers(sources, change.names[0], runs)
        else:  # a line of an expression may have no code of its own
            lines = [named.get(change.line - back, "") for back in range(3)]
            same = lines[0].rpartition("+")[0]
            near = [runs[at] for at in lines if at.rpartition("+")[0] == same]
            tests = next(filter(None, near), [])
        where = f"{short} {change.where}"
        yield Case(path, short, change.key, change.line, where, tuple(tests))


def _readers(sources: list[Path], name: str, runs: dict) -> list[str]:
    """Return the tests that run a line which reads a named number."""
    out: set[str] = set()
    for path in sources:
        named = Named(path)
        for k, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            if name in line and k in named:
                out |= set(runs[named[k]])
    return sorted(out)


def _fork(case, items, functions, traces, options) -> dict:
    near, far = os.pipe()
    start = time.monotonic()
    child = os.fork()
    if child == 0:
        os.close(near)
        _child(case, items, functions, traces, options, far)
    os.close(far)
    with os.fdopen(near) as pipe:
        text = pipe.read()
    _, status = os.waitpid(child, 0)
    spent = round(time.monotonic() - start, 2)
    rows = text.splitlines()
    if rows and rows[-1].startswith("{"):
        return {**json.loads(rows[-1]), "seconds": spent}
    last = rows[-1] if rows else ""
    end = (
        "looped"
        if os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGPROF
        else "crashed"
    )
    return {"end": end, "by": last, "seconds": spent}


def _child(case, items, functions, traces, options, far) -> None:
    def say(text: str) -> None:
        os.write(far, f"{text}\n".encode())

    try:
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        null = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(null, stream)
        try:
            live.put(case.path, case.key, case.short, functions[str(case.path)])
        except live.CannotBeMadeError:
            say(json.dumps({"end": "not made", "by": ""}))
            os._exit(0)
        start, ran = time.process_time(), 0
        for k, item in enumerate(items):
            usual = traces.seconds[item.nodeid]
            if ran and time.process_time() - start + usual > options.budget:
                continue
            say(item.nodeid)
            signal.setitimer(signal.ITIMER_PROF, 10 + 10 * usual)
            after = items[k + 1] if k + 1 < len(items) else None
            ran += 1
            if not _run(item, after):
                say(json.dumps({"end": "told", "by": item.nodeid, "ran": ran}))
                os._exit(0)
        say(json.dumps({"end": "not told", "by": "", "ran": ran, "of": len(items)}))
    finally:
        os._exit(0)


def _run(item, after) -> bool:
    """Run one test; return whether it passed."""
    reports = runtestprotocol(item, log=False, nextitem=after)
    return not any(report.failed for report in reports)


def _sources(packages) -> list[Path]:
    return sorted(
        p for package in packages for p in (ROOT / "linkage" / package).glob("*.py")
    )


def _say(text: str) -> None:
    sys.stderr.write(f"{text}\n")
    sys.stderr.flush()
