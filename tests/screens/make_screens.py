"""The first screen of every shipped layout, as text: ``python -m tests.screens.make_screens``.

Look at what changed before it is kept: the texts are what a person reads.
"""

from __future__ import annotations

from contextvars import copy_context
from pathlib import Path

from linkage.cli.slips import doubts
from linkage.config import load
from linkage.quantities import speak_in
from linkage.report.screen import screen_lines
from linkage.report.slips import doubt_lines
from linkage.search import check

HERE = Path(__file__).parent
CONFIGS = HERE.parents[1] / "configs"
NAMES = tuple(sorted(path.stem for path in CONFIGS.glob("*.toml")))


def screen(name: str) -> str:
    """Return the first screen of a shipped layout at 80 columns."""
    return copy_context().run(_screen, name)


def _screen(name: str) -> str:
    loaded = load(CONFIGS / f"{name}.toml")
    speak_in(loaded.spoken())
    result = check(loaded.layout)
    slips, odd = doubts(result)
    told = doubt_lines(slips, odd, fits=result.verdict != "do not fit")
    return "\n".join(screen_lines(result, slips=told)) + "\n"


def kept(name: str) -> Path:
    """Return where the screen of a layout is kept."""
    return HERE / f"{name}.txt"


if __name__ == "__main__":
    for old in HERE.glob("*.txt"):
        old.unlink()
    for one in NAMES:
        kept(one).write_text(screen(one), encoding="utf-8")
