"""Shipped layouts with small edits, for tests of the checks.

Each edit is a line of the file as it stands and what takes its place, so that a
test reads as a person's slip of the hand. All sizes are invented.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.config import loads
from linkage.motion import assemble
from tests.cli.conftest import CONFIGS

if TYPE_CHECKING:
    from linkage.model import Layout

TRUCK = "hanging-pedal"
HAULER = "bulkhead-cross-shaft"
TWIN = "twin-side-draught"

#: Edits of the truck that stand for themselves.
LEVER = "arms.lever        = { length = 32, angle = 52, offset = 10 }"
PEDAL_ROD = "arms.rod = { length = 115, angle = 80 }"
PIVOT = "pivot   = [430, -30, 82]"
STOP = "stop   = 69.5\n"
JOINTS = 'joints   = "ball with clip"'
TO = 'to       = "spindle.lever"'


def edited(name: str, *edits: tuple[str, str]) -> Layout:
    """Return a shipped layout with lines changed."""
    text = (CONFIGS / f"{name}.toml").read_text(encoding="utf-8")
    for old, new in edits:
        assert text.count(old) == 1, f"stands {text.count(old)} times: {old}"
        text = text.replace(old, new)
    return loads(text).layout


def lever(length: float = 32, angle: float = 52, offset: float = 10) -> tuple[str, str]:
    """Return the edit of the truck's carburettor lever."""
    new = f"arms.lever = {{ length = {length}, angle = {angle}, offset = {offset} }}"
    return LEVER, new


def rod_length(text: str) -> tuple[str, str]:
    """Return the edit that gives the truck's rod a length."""
    return TO, f'{TO}\nlength = "{text}"'


def set_to(name: str, known_to: float, *edits: tuple[str, str]) -> Layout:
    """Return a layout whose rod `link` is as long as it is cut, known to so much. [mm]."""
    long = 1e3 * assemble(edited(name, *edits)).loop("link").length
    return edited(name, *edits, (TO, f'{TO}\nlength = "{long:.1f} ± {known_to} mm"'))


def limit(key: str, value: str) -> tuple[str, str]:
    """Return the edit that changes one limit of any shipped layout."""
    return "\n[engine]", f'\n[limits]\n{key} = "{value}"\n\n[engine]'
