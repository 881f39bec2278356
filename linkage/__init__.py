"""Throttle linkages from pedal to carburettor: solve, check, size, draw.

The public names are handed on when they are first asked for, so that
``import linkage`` costs nothing and loads neither sympy nor matplotlib.

>>> import linkage
>>> linkage.assemble.__name__
'assemble'
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from linkage.config import Loaded, dump, load, loads
    from linkage.errors import LinkageError
    from linkage.model import Layout
    from linkage.motion import Motion, assemble, working_travel
    from linkage.motion.sweep import sweep
    from linkage.rules import Check, Finding, check

#: Where each public name comes from.
_HOME = {
    "Check": "linkage.rules",
    "Finding": "linkage.rules",
    "Layout": "linkage.model",
    "LinkageError": "linkage.errors",
    "Loaded": "linkage.config",
    "Motion": "linkage.motion",
    "assemble": "linkage.motion",
    "check": "linkage.rules",
    "dump": "linkage.config",
    "load": "linkage.config",
    "loads": "linkage.config",
    "sweep": "linkage.motion",
    "working_travel": "linkage.motion",
}

__all__ = [
    "Check",
    "Finding",
    "Layout",
    "LinkageError",
    "Loaded",
    "Motion",
    "assemble",
    "check",
    "dump",
    "load",
    "loads",
    "sweep",
    "working_travel",
]


def __getattr__(name: str) -> object:
    if name not in _HOME:
        msg = f"module `linkage` has no attribute `{name}`"
        raise AttributeError(msg)
    return getattr(import_module(_HOME[name]), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
