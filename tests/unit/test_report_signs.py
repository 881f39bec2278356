"""A terminal that has not a sign is shown another."""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys

import pytest

from linkage.report import signs
from tests.cli.conftest import CONFIGS


def _shown(text: str, encoding: str) -> str:
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding=encoding)
    signs.show_everywhere(stream)
    stream.write(text)
    stream.flush()
    return raw.getvalue().decode(encoding)


@pytest.mark.parametrize(
    ("encoding", "text", "shown"),
    [
        ("utf-8", "76.0° ± 0.5° → N·m²", "76.0° ± 0.5° → N·m²"),
        ("ascii", "76.0° ± 0.5° → N·m²", "76.0 deg +/- 0.5 deg -> N.m2"),
        ("cp1252", "76.0° ± 0.5° → N·m²", "76.0° ± 0.5° -> N·m²"),
        ("ascii", "Käfig \N{SNOWMAN}", "Kafig ?"),
        ("latin-1", "τ ≥ 2 − 1", "tau >= 2 - 1"),
    ],
)
def test_a_sign_that_is_not_there_is_another(encoding, text, shown):
    assert _shown(text, encoding) == shown


def test_every_stand_in_is_a_sign_that_all_have():
    assert all(other.isascii() for other in signs.OTHERWISE.values())


@pytest.mark.parametrize(
    ("encoding", "more"),
    [
        ("ascii", ["--all", "--echo"]),
        ("cp1252", ["--all", "--echo"]),
        ("ascii", ["--json"]),
        ("ascii", ["--why", "full-throttle"]),
    ],
)
def test_a_check_runs_on_any_terminal(encoding, more):
    words = ["check", str(CONFIGS / "fault-hole-too-long.toml"), *more]
    ran = subprocess.run(
        [sys.executable, "-m", "linkage", *words],
        env={**os.environ, "PYTHONIOENCODING": encoding},
        capture_output=True,
        check=False,
    )
    assert ran.returncode == 1
    assert b"Traceback" not in ran.stderr
    out = ran.stdout.decode(encoding)
    assert "70.7" in out
    assert "?" not in re.sub(r"[a-z]\?", "", out)  # but for questions
