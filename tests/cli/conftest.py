"""Run the command line in this process, as a terminal would."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

from linkage.__main__ import main

CONFIGS = Path(__file__).parents[2] / "configs"


@dataclass(frozen=True)
class Ran:
    """Exit status and both outputs of one run."""

    code: int
    out: str
    err: str


@pytest.fixture
def run(monkeypatch, capsys):
    """Return a function that runs one command."""

    def call(*words: object) -> Ran:
        monkeypatch.setattr(sys, "argv", ["throttle-linkage", *map(str, words)])
        with pytest.raises(SystemExit) as stop:
            main()
        code = stop.value.code
        captured = capsys.readouterr()
        return Ran(0 if code is None else int(code), captured.out, captured.err)

    return call


#: What commands that write no file said, by their words: see `once`.
_SAID: dict[tuple[str, ...], Ran] = {}


@pytest.fixture
def once(run):
    """Return a function that runs a command which writes no file, and remembers it.

    For the shipped layouts, of which many tests ask different things.
    """

    def call(*words: object) -> Ran:
        key = tuple(map(str, words))
        if key not in _SAID:
            _SAID[key] = run(*words)
        return _SAID[key]

    return call


@pytest.fixture
def configs() -> Path:
    """Return the folder of the shipped layouts."""
    return CONFIGS


@pytest.fixture
def car(tmp_path) -> Path:
    """Return a copy of a shipped layout in a folder of its own."""
    path = tmp_path / "car.toml"
    path.write_bytes((CONFIGS / "bulkhead-cross-shaft.toml").read_bytes())
    return path
