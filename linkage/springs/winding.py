"""A wire and a coil that make an extension spring of given rate and length.

Rate and free length leave one choice open, the wire; usual diameters are tried, and
of those that bear the load the one whose usual initial tension comes nearest is taken.

Not here: formulas (`wire`), what a wire may bear (`materials`, `stress`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.spring import Known, Spring
from linkage.records import dataclass
from linkage.springs import wire
from linkage.springs.materials import wire_named
from linkage.springs.stress import stresses

if TYPE_CHECKING:
    from linkage.springs.law import SpringLaw

#: Usual diameters of spring wire; common practice, no source. [m]
WIRES: Final = tuple(
    d * 1e-3
    for d in (
        0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.25, 1.3, 1.4, 1.5, 1.6, 1.7, 1.8,
        2.0, 2.2, 2.5, 2.8, 3.0,
    )
)  # fmt: skip
#: What is asked for where nothing else is named.
USUAL: Final = "EN 10270-1 SM"
#: Between which the mean diameter over the wire's is wound (Shigley, 10th ed., section
#: 10-4, 4 to 12, from memory), and least turns; common practice, no source.
INDEX: Final = (4.0, 12.0)
TURNS: Final = 5.0
#: Share by which more initial tension than the usual can be wound (the range about Eq.
#: (10-41) of Shigley, from memory); less can be had of any maker.
TENSION: Final = 0.25
_STEPS: Final = 401


@dataclass(frozen=True, slots=True, kw_only=True)
class Winding:
    """A way to wind a spring.

    Parameters
    ----------
    wire, coil : float
        Diameter of the wire, and outside diameter of the coils. [m]
    turns : float
        Of the body.
    tension : float
        Initial tension as it is usually wound. [N]
    material : str
        Wire, by its standard.
    """

    wire: float
    coil: float
    turns: float
    tension: float
    material: str


def _mean(law: SpringLaw, d: float, young: float, shear: float) -> float | None:
    """Return the mean diameter at which a wire gives rate and free length. [m]."""
    mean = d * np.linspace(*INDEX, _STEPS)
    body = (law.free_length - 2 * (mean - d)) / d - 1  # (10-39)
    wound = body >= TURNS
    mean, body = mean[wound], body[wound]
    over = wire.coil_rate(d, mean, wire.extension_turns(body, young, shear), shear)
    over = over - law.rate
    (crossing,) = np.nonzero(over[:-1] * over[1:] <= 0)
    if not crossing.size:
        return None
    i = int(crossing[0])
    share = over[i] / (over[i] - over[i + 1]) if over[i] != over[i + 1] else 0.0
    return float(mean[i] + share * (mean[i + 1] - mean[i]))


def wound_for(law: SpringLaw, load: float, material: str = USUAL) -> Winding | None:
    """Return wire, coil and turns for an extension spring; None where none does.

    Parameters
    ----------
    law : SpringLaw
        Its rate, free length and initial tension; full loops at both ends, taken as
        in `stresses`.
    load : float
        The greatest it has to bear. [N]
    material : str
        Wire, by its standard.
    """
    kind = wire_named(material)
    best: tuple[float, Winding] | None = None
    for d in WIRES:
        young, shear = kind.elastic(d)
        mean = _mean(law, d, young, shear)
        if mean is None:
            continue
        found = Winding(
            wire=d,
            coil=mean + d,
            turns=(law.free_length - 2 * (mean - d)) / d - 1,
            tension=wire.usual_initial_tension(d, mean),
            material=material,
        )
        over = law.initial / found.tension - 1
        if over > TENSION or not _bears(found, load):
            continue
        if best is None or abs(over) < best[0]:
            best = abs(over), found
    return None if best is None else best[1]


def _bears(w: Winding, load: float) -> bool:
    """Tell whether a wire bears a load in body and hooks."""
    spring = Spring(name="wound", kind="extension", shaft="", arm="hook")
    known = Known(wire=w.wire, coil=w.coil, turns=w.turns)
    found = stresses(replace(spring, known=known, material=w.material), load)
    return bool(found) and all(
        s.allowed is not None and s.value <= s.allowed for s in found
    )
