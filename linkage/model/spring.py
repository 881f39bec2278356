"""A spring as it is given: where it sits, and what is known of it.

Not here: the force law made of it (`springs.law`).
"""

from __future__ import annotations

from dataclasses import field, fields
from typing import TYPE_CHECKING, Literal

from linkage.errors import LayoutError
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model.axes import Vector
    from linkage.model.columns import Number


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What is known of a spring: by its rate, two loads, its wire, or its pull.

    Each is None where it is not given; in a batch then in all rows. Names are
    those of the file.

    Parameters
    ----------
    rate : float or column, optional
        [N/m], or [N·m/rad] of a torsion spring.
    free_length : float or column, optional
        Without load, between the insides of the hooks. [m]
    initial_tension : float or column, optional
        Load that opens the coils. [N]
    greatest_length, solid_length : float or column, optional
        Longest it may be pulled; length with coils touching. [m]
    load_1, load_2 : float or column, optional
        Two measured loads. [N]
    length_1, length_2 : float or column, optional
        The length at each. [m]
    wire, coil : float or column, optional
        Diameter of the wire, and outside diameter of the coils. [m]
    turns, end_turns : float or column, optional
        Number of all turns, and of those at the ends that do not work.
    hook_bend_radius, hook_twist_radius : float or column, optional
        Mean bend of the hook, and bend at its root. [m]
    preload : float or column, optional
        Torque at rest of a torsion spring. [N·m]
    pull_idle, pull_full : float or column, optional
        Pull found with a spring balance, square to the arm. [N]
    shuts : {1, -1}, optional
        Sense in which it turns its shaft, anticlockwise positive.
    """

    rate: Number | None = None
    free_length: Number | None = None
    initial_tension: Number | None = None
    greatest_length: Number | None = None
    solid_length: Number | None = None
    load_1: Number | None = None
    length_1: Number | None = None
    load_2: Number | None = None
    length_2: Number | None = None
    wire: Number | None = None
    coil: Number | None = None
    turns: Number | None = None
    end_turns: Number | None = None
    hook_bend_radius: Number | None = None
    hook_twist_radius: Number | None = None
    preload: Number | None = None
    pull_idle: Number | None = None
    pull_full: Number | None = None
    shuts: Literal[1, -1] | None = None

    @property
    def wound(self) -> bool:
        """Whether its wire, coil and turns are all given."""
        return all(x is not None for x in (self.wire, self.coil, self.turns))

    def numbers(self) -> Iterator[tuple[str, Number]]:
        """Yield name and value of every number that is given."""
        for f in fields(self):
            value = getattr(self, f.name)
            if value is not None and f.name != "shuts":
                yield f.name, value


@dataclass(frozen=True, slots=True, kw_only=True)
class Spring:
    """A return spring, as geometry and as a maker of force.

    Extension and compression springs act along the line from hook to anchor;
    a torsion spring acts about its shaft. The force law is made in `springs`.

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
    anchor : tuple of 3 floats or columns, optional
        The fixed end. [m]
    anchored_on : {"body", "engine"}
        What carries the fixed end.
    known : Known
        Its other numbers.
    material : str
        Wire, by standard; empty where it is not given.
    fixed : bool
        Bought, or not to be touched: neither its make nor where it sits is to be
        changed.

    Raises
    ------
    LayoutError
        If it is no torsion spring and has no hook.
    """

    name: str
    kind: Literal["extension", "compression", "torsion", "measured"]
    shaft: str
    arm: str = ""
    anchor: Vector | None = None
    anchored_on: Literal["body", "engine"] = "body"
    known: Known = field(default_factory=Known)
    material: str = ""
    fixed: bool = False

    def __post_init__(self) -> None:
        if self.kind != "torsion" and not self.arm:
            msg = f"spring `{self.name}` needs a hook"
            hint = '`hook = "shaft.arm"` names the hole it is hooked to'
            raise LayoutError(msg, hint=hint, key=("springs", self.name, "hook"))
