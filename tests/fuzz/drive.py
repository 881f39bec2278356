"""Run many cases, try again alone what was slow, and say what was found."""

from __future__ import annotations

import contextlib
import gc
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from tests.fuzz.cases import case
from tests.fuzz.run import Case, Ran, most_seconds, run, wrong
from tests.fuzz.seeds import ROOT, layouts

if TYPE_CHECKING:
    from collections.abc import Iterator


@dataclass
class Found:
    """What became of many cases."""

    cases: int = 0
    read: int = 0
    statuses: Counter[int] = field(default_factory=Counter)
    faults: list[tuple[str, str]] = field(default_factory=list)
    slowest: tuple[float, str] = (0.0, "")
    largest: tuple[int, str] = (0, "")
    seconds: float = 0.0

    def add(self, one: Case, ran: Ran, fault: str) -> None:
        """Count a case."""
        self.cases += 1
        self.read += ran.read
        self.statuses[ran.status] += 1
        self.seconds += ran.seconds
        self.slowest = max(self.slowest, (ran.seconds, one.name))
        self.largest = max(self.largest, (ran.grown, one.name))
        if fault:
            self.faults.append((one.name, f"{' '.join(one.words)[:100]}: {fault}"))


@contextlib.contextmanager
def a_folder() -> Iterator[Path]:
    """Give an empty folder for cases to run in."""
    with tempfile.TemporaryDirectory(prefix="linkage-fuzz-") as name:
        yield Path(name)


def warm(folder: Path) -> None:
    """Load what commands load, so that it counts for none of the cases."""
    sound = layouts()["hanging-pedal"].encode()
    for words in (
        ("check", "{layout}"),
        ("curve", "{layout}"),
        ("springs", "{layout}", "--json"),
        ("curve", "{layout}", "-o", "{out}.svg"),
        ("compare", "{layout}", "{other}"),
        ("swap", "{layout}"),
        ("animate", "{layout}", "-o", "{out}.gif", "--frames", "4"),
        ("measure", "hanging-pedal", "{out}.pdf"),
        ("arm", "{layout}", "spindle.lever", "--lengths", "32 mm", "-o", "{out}.toml"),
    ):
        tried(Case("warm", words, sound, sound), folder)
    gc.collect()
    gc.freeze()  # what is loaded stays: to look for waste in it takes a tenth of the time


def tried(one: Case, folder: Path) -> tuple[Ran, str]:
    """Run a case in an empty folder; return what became of it and what is wrong.

    The folder is emptied, not taken away: for that a disk takes longer than most cases.
    """
    ran = run(one, folder)
    fault = wrong(one, ran)
    if not fault and (folder / "car.toml").read_bytes() != one.layout:
        fault = "the layout file was changed"
    for path in folder.iterdir():
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)
        else:
            path.unlink()
    return ran, fault


def again(name: str, *, deep: bool) -> bool:
    """Tell whether a case that was slow is so in a process of its own."""
    command = [sys.executable, "-m", "tests.fuzz", "--case", name]
    command += ["--deep"] * deep
    return subprocess.run(command, cwd=ROOT, capture_output=True, check=False).returncode != 0  # fmt: skip


def drive(
    seed: int, numbers: range, *, deep: bool = False, loud: bool = False
) -> Found:
    """Run cases of a seed."""
    found = Found()
    with a_folder() as folder:
        warm(folder)
        for number in numbers:
            one = case(seed, number, deep=deep)
            ran, fault = tried(one, folder)
            slow = ran.seconds > most_seconds(one)
            if slow and fault.endswith(" s") and not again(one.name, deep=deep):
                fault = ""
            found.add(one, ran, fault)
            if loud and fault:
                print(*found.faults[-1], flush=True)
    return found
