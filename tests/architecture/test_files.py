"""Small files, no leftovers, and nothing that holds on one machine only."""

from __future__ import annotations

import re
import shutil
import subprocess
from functools import cache
from pathlib import Path

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


@cache
def texts() -> dict[str, str]:
    """Return the texts of all files, by name."""
    return {str(p.relative_to(ROOT)): p.read_text(encoding="utf-8") for p in tracked()}


def test_files_are_short():
    of_linkage = {n: t for n, t in texts().items() if re.match(r"linkage/.*\.py", n)}
    assert len(of_linkage) > 100
    assert [n for n, t in of_linkage.items() if t.count("\n") > LONGEST] == []


def test_no_file_names_a_place_of_one_machine():
    assert [n for n, text in texts().items() if MACHINE.search(text)] == []


def test_nothing_is_left_undone():
    code = {n: t for n, t in texts().items() if n.endswith(".py")}
    assert [n for n, text in code.items() if LEFTOVER.search(text)] == []


def test_top_level_holds_only_what_it_should():
    allowed = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml"}
    folders = {"linkage", "tests", "configs", "figures", "docs"}
    tops = {name.split("/")[0] for name in texts()}
    assert {t for t in tops if not t.startswith(".")} <= allowed | folders
