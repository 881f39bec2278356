"""Small files, no leftovers, and nothing that holds on one machine only."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TEXT = {".py", ".md", ".toml", ".txt", ".json", ".svg", ".html", ".css", ".js", ""}
LONGEST = 350
#: Written apart so that this file does not name them itself.
MACHINE = re.compile(r"(?<![\w.~/-])/(?:wo" r"rk|ro" r"ot|ho" r"me|tmp/w)/")
LEFTOVER = re.compile(
    r"\b(?:TO" r"DO|FIX" r"ME|XX" r"X)\b|\bxf" r"ail\(|mark\.sk" r"ip\("
)


def tracked() -> list[Path]:
    """Return the files that are kept; in an unpacked archive, all there are."""
    git, found = shutil.which("git"), []
    if git:
        done = subprocess.run([git, "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)  # fmt: skip
        found = [ROOT / line for line in done.stdout.splitlines()]
    if not found:
        found = [p for top in ("linkage", "tests", "docs", "configs") for p in (ROOT / top).rglob("*")]  # fmt: skip
    return sorted(p for p in found if p.is_file() and p.suffix in TEXT)


FILES = tracked()


def name(path: Path) -> str:
    return str(path.relative_to(ROOT))


@pytest.mark.parametrize(
    "path",
    [p for p in FILES if p.is_relative_to(ROOT / "linkage") and p.suffix == ".py"],
    ids=name,
)
def test_file_is_short(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST


@pytest.mark.parametrize("path", FILES, ids=name)
def test_file_names_no_place_of_one_machine_and_leaves_nothing_undone(path):
    text = path.read_text(encoding="utf-8")
    assert MACHINE.search(text) is None
    if path.suffix == ".py":
        assert LEFTOVER.search(text) is None


def test_top_level_holds_only_what_it_should():
    allowed = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml"}
    folders = {"linkage", "tests", "configs", "figures", "docs"}
    tops = {name(p).split("/")[0] for p in FILES}
    assert {t for t in tops if not t.startswith(".")} <= allowed | folders
