"""Throttle linkages from pedal to carburettor: solve, check, size, draw.

The public names are handed on when they are first asked for, so that
``import linkage`` costs nothing and loads neither sympy nor matplotlib.

>>> import linkage
>>> linkage.assemble.__name__
'assemble'
"""

from __future__ import annotations

#: Known to type checkers; to import it would take longer than all the rest here.
TYPE_CHECKING = False

if TYPE_CHECKING:
    from linkage.comparison import Comparison, compare
    from linkage.config import Loaded, dump, load, loads
    from linkage.config.starters import Starter, starter, starters
    from linkage.drawing.curve import curve_figure
    from linkage.drawing.layout import layout_figure
    from linkage.drawing.sizing import sizing_figure
    from linkage.drawing.springs import springs_figure
    from linkage.errors import LinkageError
    from linkage.forces.summary import SpringCard, spring_card
    from linkage.model import Layout, row, rows_of, stack
    from linkage.model.columns import column
    from linkage.motion import Assembly, Motion, Working, assemble, working_travel
    from linkage.motion.curve import TravelCurve, travel_curve
    from linkage.motion.sweep import sweep
    from linkage.rules import Cure, Examined, Finding, Judged, judge
    from linkage.rules.examine import examine
    from linkage.search import Check, check
    from linkage.search.arm import size_arms
    from linkage.search.sized import Choice, Sizing
    from linkage.search.spring_rows import AtHand, SpringRow, SpringRows
    from linkage.search.springs import choose_spring
    from linkage.slips import Slip, suspected
    from linkage.swap import Solution, Swap, swap_sides
    from linkage.swap import solve as solve_swap

    __version__: str

#: Where each public name comes from, and what it is called there where that differs.
_HOME = {
    "Assembly": "linkage.motion",
    "AtHand": "linkage.search.spring_rows",
    "Check": "linkage.search",
    "Choice": "linkage.search.sized",
    "Comparison": "linkage.comparison",
    "Cure": "linkage.rules",
    "Examined": "linkage.rules",
    "Finding": "linkage.rules",
    "Judged": "linkage.rules",
    "Layout": "linkage.model",
    "LinkageError": "linkage.errors",
    "Loaded": "linkage.config",
    "Motion": "linkage.motion",
    "Sizing": "linkage.search.sized",
    "Slip": "linkage.slips",
    "Solution": "linkage.swap",
    "SpringCard": "linkage.forces.summary",
    "SpringRow": "linkage.search.spring_rows",
    "SpringRows": "linkage.search.spring_rows",
    "Starter": "linkage.config.starters",
    "Swap": "linkage.swap",
    "TravelCurve": "linkage.motion.curve",
    "Working": "linkage.motion",
    "assemble": "linkage.motion",
    "check": "linkage.search",
    "choose_spring": "linkage.search.springs",
    "column": "linkage.model.columns",
    "compare": "linkage.comparison",
    "curve_figure": "linkage.drawing.curve",
    "dump": "linkage.config",
    "examine": "linkage.rules",
    "judge": "linkage.rules",
    "layout_figure": "linkage.drawing.layout",
    "load": "linkage.config",
    "loads": "linkage.config",
    "row": "linkage.model",
    "rows_of": "linkage.model",
    "size_arms": "linkage.search.arm",
    "sizing_figure": "linkage.drawing.sizing",
    "solve_swap": "linkage.swap:solve",
    "spring_card": "linkage.forces.summary",
    "springs_figure": "linkage.drawing.springs",
    "stack": "linkage.model",
    "starter": "linkage.config.starters",
    "starters": "linkage.config.starters",
    "suspected": "linkage.slips",
    "swap_sides": "linkage.swap",
    "sweep": "linkage.motion",
    "travel_curve": "linkage.motion.curve",
    "working_travel": "linkage.motion",
}

__all__ = [
    "Assembly",
    "AtHand",
    "Check",
    "Choice",
    "Comparison",
    "Cure",
    "Examined",
    "Finding",
    "Judged",
    "Layout",
    "LinkageError",
    "Loaded",
    "Motion",
    "Sizing",
    "Slip",
    "Solution",
    "SpringCard",
    "SpringRow",
    "SpringRows",
    "Starter",
    "Swap",
    "TravelCurve",
    "Working",
    "assemble",
    "check",
    "choose_spring",
    "column",
    "compare",
    "curve_figure",
    "dump",
    "examine",
    "judge",
    "layout_figure",
    "load",
    "loads",
    "row",
    "rows_of",
    "size_arms",
    "sizing_figure",
    "solve_swap",
    "spring_card",
    "springs_figure",
    "stack",
    "starter",
    "starters",
    "suspected",
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
    from importlib import import_module  # noqa: PLC0415

    home, _, there = _HOME[name].partition(":")
    return getattr(import_module(home), there or name)


def _version() -> str:
    from importlib.metadata import PackageNotFoundError, version  # noqa: PLC0415

    try:
        return version("throttle-linkage")
    except PackageNotFoundError:
        return "0+not.installed"


def __dir__() -> list[str]:
    return sorted([*__all__, "__version__"])
