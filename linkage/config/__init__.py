"""The layout file: read, checked, written and changed.

What writes is handed on when it is first asked for; a check only reads.
"""

from importlib import import_module
from typing import TYPE_CHECKING

from linkage.config.places import locate
from linkage.config.reader import Loaded, load, loads, read_tables

if TYPE_CHECKING:
    from linkage.config.chosen import chosen_arm, chosen_arms
    from linkage.config.describe import schema
    from linkage.config.editor import edit
    from linkage.config.writer import dump

#: Where each of the others comes from.
_HOME = {
    "chosen_arm": "chosen",
    "chosen_arms": "chosen",
    "dump": "writer",
    "edit": "editor",
    "schema": "describe",
}

__all__ = [
    "Loaded",
    "chosen_arm",
    "chosen_arms",
    "dump",
    "edit",
    "load",
    "loads",
    "locate",
    "read_tables",
    "schema",
]


def __getattr__(name: str) -> object:
    if name not in _HOME:
        msg = f"module `{__name__}` has no attribute `{name}`"
        raise AttributeError(msg)
    return getattr(import_module(f"{__name__}.{_HOME[name]}"), name)
