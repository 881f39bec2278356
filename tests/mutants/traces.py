"""Which test runs which line, and how long it takes; measured once and kept.

A line is named by its function and its place in it, so that what is kept holds
while other functions change. A test file that has changed is measured anew.
"""

from __future__ import annotations

import ast
import hashlib
import json
import time
import warnings
from pathlib import Path

import coverage

ROOT = Path(__file__).parents[2]


class Traces:
    """What is known of the tests.

    `seconds` and `lines` are by test; `hashes` of the files that were measured.
    """

    def __init__(self, keep: Path) -> None:
        self.keep = keep
        data = json.loads(keep.read_text()) if keep.exists() else {}
        self.hashes: dict[str, str] = data.get("hashes", {})
        self.seconds: dict[str, float] = data.get("seconds", {})
        self.lines: dict[str, list[str]] = data.get("lines", {})

    def save(self) -> None:
        """Keep it all for the next run."""
        data = {"hashes": self.hashes, "seconds": self.seconds, "lines": self.lines}
        self.keep.write_text(json.dumps(data))

    def fresh(self, test: str) -> bool:
        """Return whether a test is known, and its file as it was then."""
        file = test.partition("::")[0]
        return test in self.seconds and self.hashes.get(file) == digest(file)

    def measure(self, items: list, sources: list[Path], run) -> None:
        """Run tests and note what they run; saved every file."""
        names = {str(p): Named(p) for p in sources}
        watch = coverage.Coverage(
            data_file=None, config_file=False, include=list(names), messages=False
        )
        last = None
        for k, item in enumerate(items):
            after = items[k + 1] if k + 1 < len(items) else None
            watch.erase()
            watch.start()
            start = time.process_time()
            run(item, after)
            spent = time.process_time() - start
            watch.stop()
            with warnings.catch_warnings(action="ignore"):  # that it ran no line
                data = watch.get_data()
            self.seconds[item.nodeid] = round(spent, 4)
            self.lines[item.nodeid] = sorted(
                {
                    names[file][line]
                    for file in data.measured_files()
                    for line in data.lines(file) or ()
                    if line in names[file]
                }
            )
            file = item.nodeid.partition("::")[0]
            if last is not None and file != last:
                self.hashes[last] = digest(last)
                self.save()
            last = file
        if last is not None:
            self.hashes[last] = digest(last)
        self.save()


class Named(dict):
    """Lines of a module by number, named by function and place in it."""

    def __init__(self, path: Path) -> None:
        super().__init__()
        short = str(path.relative_to(ROOT / "linkage"))
        self._fill(ast.parse(path.read_text(encoding="utf-8")), short)

    def _fill(self, node: ast.AST, name: str) -> None:
        for child in ast.iter_child_nodes(node):
            inner = name
            if isinstance(child, (ast.FunctionDef, ast.ClassDef)):
                inner = f"{name}.{child.name}"
            if isinstance(child, (ast.FunctionDef, ast.Lambda)):
                for line in range(child.lineno, child.end_lineno + 1):
                    place = line - child.lineno
                    if isinstance(child, ast.Lambda):
                        self[line] = f"{name}~{ast.unparse(child)[:60]}+{place}"
                    else:
                        self[line] = f"{inner}+{place}"
            self._fill(child, inner)


def digest(file: str) -> str:
    """Return what a file's text is known by."""
    return hashlib.sha256((ROOT / file).read_bytes()).hexdigest()[:16]
