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
    from linkage.drawing.curve import curve_figure
    from linkage.drawing.layout import layout_figure
    from linkage.errors import LinkageError
    from linkage.forces.summary import SpringCard, spring_card
    from linkage.model import Layout
    from linkage.motion import Motion, assemble, working_travel
    from linkage.motion.curve import TravelCurve, travel_curve
    from linkage.motion.sweep import sweep
    from linkage.rules import Finding
    from linkage.search import Check, check
    from linkage.search.arm import Choice, size_arms
    from linkage.search.springs import AtHand, choose_spring
    from linkage.swap import swap_sides

    __version__: str

#: Where each public name comes from.
_HOME = {
    "AtHand": "linkage.search.springs",
    "Check": "linkage.search",
    "Choice": "linkage.search.arm",
    "Finding": "linkage.rules",
    "Layout": "linkage.model",
    "LinkageError": "linkage.errors",
    "Loaded": "linkage.config",
    "Motion": "linkage.motion",
    "SpringCard": "linkage.forces.summary",
    "TravelCurve": "linkage.motion.curve",
    "assemble": "linkage.motion",
    "check": "linkage.search",
    "choose_spring": "linkage.search.springs",
    "curve_figure": "linkage.drawing.curve",
    "dump": "linkage.config",
    "layout_figure": "linkage.drawing.layout",
    "load": "linkage.config",
    "loads": "linkage.config",
    "size_arms": "linkage.search.arm",
    "spring_card": "linkage.forces.summary",
    "swap_sides": "linkage.swap",
    "sweep": "linkage.motion",
    "travel_curve": "linkage.motion.curve",
    "working_travel": "linkage.motion",
}

__all__ = [
    "AtHand",
    "Check",
    "Choice",
    "Finding",
    "Layout",
    "LinkageError",
    "Loaded",
    "Motion",
    "SpringCard",
    "TravelCurve",
    "assemble",
    "check",
    "choose_spring",
    "curve_figure",
    "dump",
    "layout_figure",
    "load",
    "loads",
    "size_arms",
    "spring_card",
    "swap_sides",
    "sweep",
    "travel_curve",
    "working_travel",
]


def __getattr__(name: str) -> object:
    if name == "__version__":
        return _version()
    if name not in _HOME:
        msg = f"module `linkage` has no attribute `{name}`"
        raise AttributeError(msg)
    return getattr(import_module(_HOME[name]), name)


def _version() -> str:
    from importlib.metadata import PackageNotFoundError, version  # noqa: PLC0415

    try:
        return version("throttle-linkage")
    except PackageNotFoundError:
        return "0+not.installed"


def __dir__() -> list[str]:
    return sorted([*__all__, "__version__"])
