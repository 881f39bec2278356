"""The drills, in a process of their own: ``python -m tests.drills.drill KIND COUNT``.

All is loaded and every output made once; then each moment is tried in a forked
process, in a folder of its own. Prints how many moments were tried and what was wrong.

A call to the system is broken by number: with a signal that comes just before it, or
by the system saying that the disk is full. Files are written in two pieces, so that
there is a half. Waiting for the disk is left out: who is killed needs none.
"""

from __future__ import annotations

import errno
import json
import os
import pickle
import shutil
import signal
import sys
import tempfile
import time
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.__main__ import main
from linkage.errors import OutputError
from linkage.outside import files, staging, stopping
from tests.drills.outputs import OUTPUTS, Output

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

CONFIGS: Final = Path(__file__).parents[2] / "configs"
SIGNALS: Final = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)
#: Calls by which files are written, and which of them a full disk fails.
CALLS: Final = ("open", "write", "fsync", "chmod", "mkdir", "link", "rename", "replace", "unlink", "close")  # fmt: skip
FULL: Final = {"open", "write", "fsync", "mkdir", "link"}
MOVES: Final = {"rename", "replace"}
OLD: Final = b"old " * 500


@dataclass(frozen=True)
class Made:
    """An output as it comes out, the call that wrote it, and how long the command took."""

    name: str
    new: Mapping[str, bytes]
    call: str
    words: tuple[Any, ...]
    seconds: float

    @property
    def output(self) -> Output:
        """The command."""
        return OUTPUTS[self.name]

    @property
    def old(self) -> list[Mapping[str, bytes] | None]:
        """What may stand there before: nothing, all of it, or in a folder another."""
        among = [] if Path(self.output.place).suffix else [{"mine.txt": b"mine"}]
        return [None, dict.fromkeys(self.new, OLD), *among]

    def write(self, *, force: bool) -> None:
        """Write it as the command does."""
        getattr(files, self.call)(*self.words, force=force)


class Break:
    """Breaks the call of a number.

    Parameters
    ----------
    number : int
        Counted from 1.
    by : int
        A signal, or minus an errno.
    """

    def __init__(self, number: int, by: int) -> None:
        self.number, self.by, self.count = number, by, 0
        self.full = self.half = False
        for name in CALLS:
            setattr(os, name, self._broken(name, getattr(os, name)))

    def _broken(self, name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **names: Any) -> Any:
            creates = name != "open" or bool(args[1] & os.O_CREAT)
            counted = self.by > 0 or (name in FULL | MOVES and creates)
            self.count += counted
            if self.count == self.number and counted:
                self.full = True
                if self.by > 0:
                    os.kill(os.getpid(), self.by)
                elif name in MOVES:
                    raise OSError(-self.by, os.strerror(-self.by))
            if self.full and self.by < 0 and name in FULL and creates:
                raise OSError(-self.by, os.strerror(-self.by))
            if name == "write":  # a half, then the rest
                self.half = not self.half
                return real(
                    args[0], args[1][: len(args[1]) // 2 if self.half else None]
                )
            return real(*args, **names)

        return call


def run(words: list[str]) -> int:
    """Run a command here; return how it ended."""
    sys.argv = ["throttle-linkage", *words]
    try:
        main()
    except SystemExit as stop:
        return int(stop.code or 0)
    return 0


def fresh(folder: Path, old: Mapping[str, bytes] | None, output: Output) -> None:
    """Make a folder with the layouts in it, and old results where there are any."""
    os.chdir("/")
    shutil.rmtree(folder, ignore_errors=True)
    (folder / "tmp").mkdir(parents=True)
    os.chdir(folder)
    for name in (
        "hanging-pedal",
        "cable-drum",
        "scenario-before",
        "scenario-wrongly-swapped",
    ):
        shutil.copy(CONFIGS / f"{name}.toml", folder)
    if old is None:
        return
    place = folder / output.place
    if place.suffix:
        place.write_bytes(OLD)
    else:
        place.mkdir()
        for name, data in old.items():
            (place / name).write_bytes(data)


def made(folder: Path, name: str) -> Made:
    """Make an output once, and keep what was written by which call."""
    fresh(folder, None, OUTPUTS[name])
    kept: list[tuple[str, tuple[Any, ...]]] = []
    real = {call: getattr(files, call) for call in ("write", "write_all")}

    def note(call: str) -> Callable[..., None]:
        def noted(*args: Any, force: bool) -> None:
            kept.append((call, args))
            real[call](*args, force=force)

        return noted

    for call in real:
        setattr(files, call, note(call))
    try:
        start = time.perf_counter()
        assert run(OUTPUTS[name].words) in {0, 1}, name
        seconds = time.perf_counter() - start
    finally:
        for call, function in real.items():
            setattr(files, call, function)
    [(call, words)] = kept
    return Made(name, OUTPUTS[name].found(folder), call, words, seconds)


def all_made(folder: Path, *, loaded: bool) -> list[Made]:
    """Make every output once.

    Parameters
    ----------
    folder : Path
        In which.
    loaded : bool
        Whether all that was loaded for it stays loaded: a small process forks in a
        tenth of the time.
    """
    if loaded:
        return [made(folder, name) for name in OUTPUTS]
    kept = folder.with_name("made")

    def make() -> int:
        kept.write_bytes(pickle.dumps([made(folder, name) for name in OUTPUTS]))
        return 0

    assert forked(make) == 0
    return pickle.loads(kept.read_bytes())  # noqa: S301 - written just above


def forked(action: Callable[[], int], after: float = -1, by: int = 0) -> int:
    """Run something in a process of its own; return its status.

    Parameters
    ----------
    action : callable
        Returns an exit status.
    after : float
        When a signal comes; below zero none does. [s]
    by : int
        The signal.
    """
    ready, go = os.pipe()
    child = os.fork()
    if not child:
        code = 70
        try:
            os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
            for number in SIGNALS:
                signal.signal(number, signal.SIG_DFL)
            signal.signal(signal.SIGINT, signal.default_int_handler)
            os.write(go, b".")
            code = action()
        except KeyboardInterrupt:  # before the first line of the program
            code = 128 + signal.SIGINT
        finally:
            os._exit(code)
    os.read(ready, 1)
    os.close(ready)
    os.close(go)
    if after >= 0:
        time.sleep(after)
        os.kill(child, by)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def swept(folder: Path) -> list[str]:
    """Let the next run sweep; return what is still there of an earlier one."""
    end = time.monotonic() + 5  # an encoder that outlived its master ends soon
    while True:
        for place in (folder, folder / "out"):
            if place.is_dir():
                files.write(place / "next.txt", "next", force=True)
                (place / "next.txt").unlink()
        with files.scratch():
            pass
        left = ours(folder)
        if not left or time.monotonic() > end:
            return left
        time.sleep(0.05)


def ours(folder: Path) -> list[str]:
    """Return what stands there of what is there for a moment only."""
    return [str(p) for p in folder.rglob("*") if staging.OURS.fullmatch(p.name)]


def wrong(
    one: Made, folder: Path, old: Mapping[str, bytes] | None, how: tuple[int, int]
) -> Iterator[str]:
    """Say what is wrong after a moment.

    Parameters
    ----------
    one : Made
        What was written.
    folder : Path
        In which.
    old : mapping, optional
        What stood there before.
    how : pair of int
        What broke it, and how it ended.
    """
    by, code = how
    # A signal before the first line of the program ends it as the system does.
    expected = {-by, 128 + by} if by > 0 else {2}
    if code not in expected | {0, 1}:
        yield f"ended with {code}"
    if by != signal.SIGKILL and (left := ours(folder)):
        yield f"left {left}"
    if left := swept(folder):
        yield f"not swept: {left}"
    found = one.output.found(folder)
    yield from not_whole(one, old or {}, found)
    whole = found in ({**(old or {}), **one.new}, old or {})
    if not whole and (by != signal.SIGKILL or old is None):
        yield f"a part of the set: {sorted(found)}"
    if code in {0, 1} and not set(one.new) <= set(found):
        yield "not there though it ended well"


def not_whole(
    one: Made, old: Mapping[str, bytes], found: Mapping[str, bytes]
) -> Iterator[str]:
    """Say which files are neither the old nor the new, or gone."""
    for name, data in found.items():
        if data not in {one.new.get(name), old.get(name)}:
            yield f"{name} is neither the old nor the new"
    if missing := set(old) - set(found):
        yield f"lost {missing}"


def moments(kind: str, count: int, one: Made, seed: int) -> Iterator[tuple[int, int]]:
    """Yield the numbers of calls to break, and by what; a number of 0 is a time.

    Parameters
    ----------
    kind : str
        ``stopped``, ``full`` or ``whole``.
    count : int
        Moments for each signal, where not all are tried.
    one : Made
        What is written.
    seed : int
        By which moments are chosen.
    """
    chance = np.random.default_rng(seed)
    # Every second of the calls, of the many that write a set every third, unless many
    # moments are asked for: all kinds are written by the same ones.
    step = 1 if count > 10 else 2 if len(one.new) == 1 else 3
    numbers = range(1 + int(chance.integers(step)), 600, step)
    if kind == "whole":
        signals = (signal.SIGKILL, *SIGNALS)
        yield from ((0, signals[(seed + k) % 4]) for k in range(count))
    elif kind == "full":
        yield from ((number, -errno.ENOSPC) for number in numbers)
    else:
        yield from ((number, signal.SIGKILL) for number in numbers)
        # So far that the last calls are those that put a set in its places.
        most, often = 5 + 9 * len(one.new), count * (1 if len(one.new) == 1 else 4)
        for by in SIGNALS:
            yield from ((int(n), by) for n in chance.integers(1, most, often))


def tried(
    one: Made, folder: Path, old: Mapping[str, bytes] | None, moment: tuple[int, int], at: float
) -> tuple[int, list[str]]:  # fmt: skip
    """Try one moment; return how it ended and what was wrong."""
    number, by = moment
    fresh(folder, old, one.output)

    def write() -> int:
        with stopping.stoppable():
            Break(number, by)
            try:
                one.write(force=old is not None)
            except OutputError:
                return 2
        return 0

    if number:
        code = forked(write)
    else:
        words = [*one.output.words, *["--force"] * (old is not None)]
        code = forked(lambda: run(words), at * one.seconds, by)
    return code, list(wrong(one, folder, old, (by, code)))


def drill(kind: str, count: int) -> dict[str, Any]:
    """Try all moments of a kind; return how many, and what was wrong."""
    top = Path(tempfile.mkdtemp())
    folder = top / "car"
    told: dict[str, Any] = {"moments": 0, "stopped": 0, "wrong": [], "kinds": []}
    tempfile.tempdir = str(folder / "tmp")
    os.fsync = lambda _handle: None
    chance = np.random.default_rng(2)
    for seed, one in enumerate(all_made(folder, loaded=kind == "whole")):
        told["kinds"].append(one.name)
        for old in one.old:
            ended = set()  # what there are no more calls for
            for number, by in moments(kind, count, one, seed):
                if by in ended:
                    continue
                at = chance.uniform(0.05, 1.0)
                code, faults = tried(one, folder, old, (number, by), at)
                if len(told["wrong"]) > 20:
                    return told
                told["moments"] += 1
                told["stopped"] += code not in {0, 1}
                told["wrong"] += [f"{one.name}, {number} by {by}: {f}" for f in faults]
                if code in {0, 1} and number and by not in SIGNALS:
                    ended.add(by)
    os.chdir("/")
    with suppress(OSError):
        shutil.rmtree(top)
    return told


if __name__ == "__main__":
    sys.stderr.write(json.dumps(drill(sys.argv[1], int(sys.argv[2]))) + "\n")
