"""A spring as it is given: where it sits, and what is known of it.

Not here: the force law made of it (`springs.law`).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.model.axes import Vector


@dataclass(frozen=True, slots=True, kw_only=True)
class Spring:
    """A return spring, as geometry and as a maker of force.

    Extension and compression springs act along the line from hook to anchor;
    a torsion spring acts about its shaft. What is not given is None; the force
    law is made in `springs`.

    Parameters
    ----------
    name : str
        Unique in the layout.
    kind : {"extension", "compression", "torsion", "measured"}
        ``measured``: a pull found with a spring balance at a hole at idle and
        at full, such as a carburettor's inner spring.
    shaft : str
        The shaft it acts on.
    arm : str
        The arm it is hooked to; empty for a torsion spring.
    anchor : tuple of 3 floats, optional
        The fixed end. [m]
    anchored_on : {"body", "engine"}
        What carries the fixed end.
    data : mapping of str to float
        Its other numbers by their key in the file, in SI.
    material : str
        Wire, by standard; empty where it is not given.
    """

    name: str
    kind: Literal["extension", "compression", "torsion", "measured"]
    shaft: str
    arm: str = ""
    anchor: Vector | None = None
    anchored_on: Literal["body", "engine"] = "body"
    data: Mapping[str, float] = field(default_factory=dict)
    material: str = ""
