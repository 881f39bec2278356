"""Which tests are slow: measured, kept in a table, left out by ``pytest --fast``.

Run as a module it runs all tests, which takes as long as they take, and writes the
table anew: by the time of the processor, so that what else runs tells little.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from collections.abc import Generator, Mapping

TABLE = Path(__file__).with_name("slow.txt")
#: From how many seconds on a test is slow: one case of it, or all together; and from
#: how many seconds of such tests their whole file, most of it a fixture they share.
LONG_CASE, LONG_TEST, LONG_FILE = 0.15, 1.2, 8.0
#: By which name a report tells what was used.
USED = "processor"


def function(test: str) -> str:
    """Return the name of a test without that of its case."""
    return test.partition("[")[0]


def named() -> list[str]:
    """Return the slow tests, and files all of whose tests are."""
    return TABLE.read_text(encoding="utf-8").split("\n")[:-1]


def slow_of(seconds: Mapping[str, float]) -> list[str]:
    """Return which tests or files are slow, of the seconds of every case."""
    tests: Counter[str] = Counter()
    for case, took in seconds.items():
        tests[function(case)] += took
    long = {function(case) for case, took in seconds.items() if took >= LONG_CASE}
    slow = {x: took for x, took in tests.items() if x in long or took >= LONG_TEST}
    files: Counter[str] = Counter()
    for test, took in slow.items():
        files[test.partition("::")[0]] += took
    whole = {file for file, took in files.items() if took >= LONG_FILE}
    return sorted(whole | {t for t in slow if t.partition("::")[0] not in whole})


def used() -> float:
    """Return how long this process and those that it saw end have run. [s]"""
    import resource

    whose = (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    return sum(u.ru_utime + u.ru_stime for u in map(resource.getrusage, whose))


class Told:
    """Tells with each report how much was used since the one before."""

    def __init__(self) -> None:
        self.before = 0.0

    def pytest_collection_finish(self) -> None:
        self.before = used()

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_makereport(self) -> Generator[None, Any, Any]:
        report = yield
        now = used()
        report.user_properties = [(USED, now - self.before)]
        self.before = now
        return report


def pytest_configure(config: pytest.Config) -> None:
    """Tell it in every worker, where this is a plugin."""
    config.pluginmanager.register(Told())


class Measured:
    """Adds up what setting up, running and clearing away of every test use."""

    def __init__(self) -> None:
        self.seconds: Counter[str] = Counter()

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self.seconds[report.nodeid] += dict(report.user_properties)[USED]


if __name__ == "__main__":
    measured = Measured()
    words = ["-q", "-n", "2", "--dist", "worksteal", "--browser", "-p", "tests.slow"]
    ended = pytest.main(words, plugins=[measured])
    if ended == pytest.ExitCode.OK:
        lines = slow_of(measured.seconds)
        TABLE.write_text("".join(f"{x}\n" for x in lines), encoding="utf-8")
    sys.exit(ended)
