"""The fast run leaves out what is named as slow, and still touches everything."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

import pytest

from tests.slow import LONG_CASE, LONG_FILE, LONG_TEST, function, named, slow_of

ROOT = Path(__file__).parents[2]
PACKAGES = sorted(p.parent.name for p in (ROOT / "linkage").glob("*/__init__.py"))


@cache
def names_in(path: Path) -> list[str]:
    """Return the names of the tests in a file."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [
        node.name
        for node in tree.body
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_")
    ]


@cache
def fast_texts() -> list[str]:
    """Return the texts of the files of which the fast run takes at least one test."""
    slow = set(named())
    return [
        path.read_text(encoding="utf-8")
        for path in sorted((ROOT / "tests").rglob("test_*.py"))
        if (file := path.relative_to(ROOT).as_posix()) not in slow
        and any(f"{file}::{name}" not in slow for name in names_in(path))
    ]


def test_every_slow_test_is_there():
    for line in named():
        file, _, test = line.partition("::")
        assert (ROOT / file).is_file(), line
        assert not test or test in names_in(ROOT / file), line


def test_the_table_is_in_order_and_names_none_twice():
    lines = named()
    assert lines == sorted(set(lines))
    whole = {line for line in lines if "::" not in line}
    assert not [x for x in lines if "::" in x and x.partition("::")[0] in whole]


@pytest.mark.parametrize("package", PACKAGES)
def test_the_fast_run_touches_every_package(package):
    assert any(f"from linkage.{package}" in text for text in fast_texts())


def test_what_is_slow_is_named_by_test_and_in_bulk_by_file():
    seconds = {
        "a.py::test_quick": LONG_CASE / 2,
        "a.py::test_one_long_case[1]": LONG_CASE,
        "a.py::test_one_long_case[2]": 0.0,
        "b.py::test_long": LONG_FILE,
        "b.py::test_other": LONG_CASE,
        "b.py::test_quick": 0.0,
    }
    for case in range(100):
        seconds[f"a.py::test_many[{case}]"] = LONG_TEST / 100
        seconds[f"a.py::test_few[{case}]"] = LONG_TEST / 200
    assert slow_of(seconds) == ["a.py::test_many", "a.py::test_one_long_case", "b.py"]
    assert function("a.py::test_cases[x::y]") == "a.py::test_cases"
