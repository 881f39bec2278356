"""Ctrl-C while the program still loads: 130, in words, never a traceback."""

from __future__ import annotations

import io
import json
import os
import signal
import subprocess
import sys

import numpy as np
import pytest

from linkage.outside import apart, stopping
from tests.cli.conftest import CONFIGS

#: Runs a command in a process of its own for each moment, and stops it there: where
#: the given number of modules was asked for, counted from the first of `main`.
DRILL = '''
import json, os, signal, sys

class Stop:
    def __init__(self, moment):
        self.moment, self.asked = moment, 0
    def find_spec(self, name, path=None, target=None):
        self.asked += bool(self.asked) or name == "linkage.outside.stopping"
        if self.asked == self.moment:
            os.kill(os.getpid(), signal.SIGINT)

def run(moment):
    finder = Stop(moment)
    sys.meta_path.insert(0, finder)
    from linkage.__main__ import main
    try:
        main()
    finally:
        if moment < 0:
            os.write(3, str(finder.asked).encode())

def drill(moment, words):
    out, end = os.pipe()
    child = os.fork()
    if not child:
        os.dup2(end, 3 if moment < 0 else 2)
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        signal.signal(signal.SIGINT, signal.default_int_handler)
        sys.argv = ["throttle-linkage", *words]
        run(moment)
    os.close(end)
    with os.fdopen(out) as stream:
        said = stream.read()
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), said

print(json.dumps([drill(moment, sys.argv[2:]) for moment in json.loads(sys.argv[1])]))
'''  # fmt: skip


def drilled(moments: list[int], words: list[object]) -> list[tuple[int, str]]:
    done = subprocess.run(
        [sys.executable, "-c", DRILL, json.dumps(moments), *map(str, words)],
        capture_output=True, text=True, check=False,
        env={**os.environ, "OPENBLAS_NUM_THREADS": "1"},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return [(code, said) for code, said in json.loads(done.stdout)]


@pytest.mark.parametrize("words", [["check"], ["check", "--picture", "car.png"]])
def test_ctrl_c_while_loading(tmp_path, words, request):
    command, *options = words
    options = [str(tmp_path / o) if o == "car.png" else o for o in options]
    words = [command, CONFIGS / "hanging-pedal.toml", *options]
    [(code, count)] = drilled([-1], words)
    assert code == 0
    assert int(count) > 100
    for path in tmp_path.iterdir():
        path.unlink()
    few = 200 if request.config.getoption("--every") else 8
    seeded = np.random.default_rng(1).integers(9, int(count), few)
    moments = [*range(1, 9), *map(int, seeded)]
    for moment, ended in zip(moments, drilled(moments, words), strict=True):
        code, said = ended
        assert code == 130, (moment, said)
        assert said in {"", "stopped; nothing half-written is left\n"}, moment
    assert list(tmp_path.iterdir()) == []


def test_only_a_run_by_itself_keeps_matplotlib_apart_and_minds_signals(
    run, monkeypatch
):
    monkeypatch.setattr(sys, "__stdout__", sys.stdout)
    monkeypatch.setattr(apart, "_wanted", [])
    minded = []
    monkeypatch.setattr(
        "linkage.report.signs.show_everywhere",
        lambda: minded.append(signal.getsignal(signal.SIGTERM)),
    )
    before = signal.getsignal(signal.SIGTERM)
    assert run("new", "--list").code == 0
    assert apart._wanted == [True]
    apart._wanted.clear()
    monkeypatch.setattr(sys, "__stdout__", io.StringIO())
    assert run("new", "--list").code == 0
    assert apart._wanted == []
    assert minded == [stopping._stop, before]
    assert signal.getsignal(signal.SIGTERM) is before


def test_ctrl_c_before_any_command_is_130(run, monkeypatch):
    def stopped(_words):
        raise KeyboardInterrupt

    monkeypatch.setattr("linkage.__main__._told", stopped)
    assert run("new", "--list").code == 130


@pytest.mark.parametrize(
    ("stop", "code"), [(None, 0), (SystemExit(), 0), (SystemExit(5), 5), (SystemExit("odd"), 70)]
)  # fmt: skip
def test_however_a_command_ends_it_has_a_status(run, monkeypatch, stop, code):
    """Words would be status 1, which says `do not fit`."""

    def ends():
        if stop is not None:
            raise stop

    monkeypatch.setattr("linkage.cli.app", ends)
    assert run("new", "--list").code == code
