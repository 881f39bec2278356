"""Springs that were tried: what became of each.

Not here: trying them (`search.springs`), how they are printed.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.model import Known
from linkage.records import short
from linkage.search.buying import buying_line
from linkage.tabular import Tabular

if TYPE_CHECKING:
    from linkage.model import Layout, Spring
    from linkage.search.alone import Alone
    from linkage.springs import SpringLaw


@dataclass(frozen=True, slots=True, kw_only=True)
class AtHand:
    """A spring at hand, by what is known of it.

    Parameters
    ----------
    name : str
        As the user calls it.
    known : Known
        Its numbers, in SI.
    material : str
        Wire, by its standard; empty where it plays no part.
    """

    name: str
    known: Known = field(default_factory=Known)
    material: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SpringRow:
    """One candidate and what became of it.

    Numbers that could not be worked out are nan.

    Parameters
    ----------
    spring : Spring
        The candidate.
    at_hand : str
        Its name in the list; empty where rates were tried.
    law : SpringLaw, optional
        Its rate, free length and initial tension; None where it cannot be.
    radius : float
        Of its hook from the shaft. [m]
    first_load, last_load : float
        At start and end of the travel. [N]
    first_length, last_length : float
        At start and end of the travel. [m]
    shortest, longest : float
        Anywhere in the travel, with the engine moved too: its greatest length must
        be more. [m]
    pad_force : float
        Greatest, pressing, with all springs. [N]
    least_ratio : float
        Least closing torque over friction with all springs; inf without
        friction.
    alone : Alone
        What it gives with all other springs off.
    reasons : tuple of str
        Every broken rule in words; empty where all are kept.
    layout : Layout
        With the candidate in it.
    """

    spring: Spring
    at_hand: str
    law: SpringLaw | None
    radius: float
    first_load: float
    last_load: float
    first_length: float
    last_length: float
    shortest: float
    longest: float
    pad_force: float
    least_ratio: float
    alone: Alone
    reasons: tuple[str, ...]
    layout: Layout

    def __repr__(self) -> str:
        why = "fits" if self.fits else f"breaks {len(self.reasons)} rules"
        pad = f"pad {self.pad_force:.1f} N"
        return f"<SpringRow {short(self.at_hand or self.spring.name)!r}: {pad}, {why}>"

    @property
    def fits(self) -> bool:
        """Whether every rule is kept."""
        return not self.reasons

    @property
    def rate(self) -> float:
        """Its rate; nan where it cannot be. [N/m]."""
        return float("nan") if self.law is None else float(self.law.rate)

    @property
    def buying(self) -> str:
        """What to ask for when it is bought, in one line, and what it gives alone."""
        return buying_line(self)


class SpringRows(tuple[SpringRow, ...], Tabular):
    """All springs tried, a tuple of `SpringRow`: the best first."""

    __slots__ = ()

    def __repr__(self) -> str:
        fitting = sum(row.fits for row in self)
        best = f", best {self[0]!r}" if fitting else ""
        return f"<SpringRows: {len(self)} tried, {fitting} fit{best}>"

    def columns(self) -> dict[str, Any]:
        """Return what became of every spring, by name with unit, in shown units."""
        mm = [tuple(1e3 * float(c) for c in row.spring.anchor or ()) for row in self]
        pulled = [r.spring.kind == "extension" for r in self]

        def of_law(name: str) -> list[float]:
            return [np.nan if r.law is None else getattr(r.law, name) for r in self]

        def worst(which: bool) -> list[float]:  # noqa: FBT001
            return [
                (r.longest if p else r.shortest) if p == which else np.nan
                for r, p in zip(self, pulled, strict=True)
            ]

        return {
            "spring": [r.at_hand or r.spring.name for r in self],
            "hook_radius_mm": 1e3 * np.array([r.radius for r in self]),
            "rate_N_per_mm": 1e-3 * np.array([r.rate for r in self]),
            "free_length_mm": 1e3 * np.array(of_law("free_length")),
            "initial_tension_N": np.array(of_law("initial")),
            "anchor_mm": mm,
            "load_idle_N": np.array([r.first_load for r in self]),
            "load_end_N": np.array([r.last_load for r in self]),
            "length_idle_mm": 1e3 * np.array([r.first_length for r in self]),
            "length_end_mm": 1e3 * np.array([r.last_length for r in self]),
            "greatest_length_needed_mm": 1e3 * np.array(worst(True)),  # noqa: FBT003
            "solid_length_allowed_mm": 1e3 * np.array(worst(False)),  # noqa: FBT003
            "pad_force_N": np.array([r.pad_force for r in self]),
            "closing_over_friction": np.array([r.least_ratio for r in self]),
            "closing_torque_alone_N_m": np.array([r.alone.torque for r in self]),
            "closing_over_friction_alone": np.array([r.alone.ratio for r in self]),
            "closing_left_alone_N_m": np.array([r.alone.left for r in self]),
            "pad_force_alone_N": np.array([r.alone.pad_force for r in self]),
            "fits": np.array([r.fits for r in self]),
            "reasons": [r.reasons for r in self],
        }
