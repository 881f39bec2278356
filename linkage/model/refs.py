"""What is spoken of, as data: a part of the layout, named by its kind and names.

Nothing in the program takes a name out of a sentence: what belongs together is
told by equal refs. A ref turns into words when it is written out, and only then.

Not here: the parts themselves (`model.parts`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

Kind: TypeAlias = Literal[
    "all",
    "arm",
    "engine",
    "floor",
    "full stop",
    "hand",
    "jam",
    "obstacle",
    "pedal",
    "pedal stop",
    "pin",
    "rod",
    "shaft",
    "spring",
    "stop",
    "throttle",
]


@dataclass(frozen=True, slots=True, order=True)
class Ref:
    """A part, or a place at a part.

    Parameters
    ----------
    kind : str
        What it is. ``full stop`` and ``jam`` are what can stop the pedal: the
        full stop of the throttle, or the jam of the rod, that is named.
    name : str
        Of the shaft, rod, spring, stop, obstacle or throttle; empty where there is but one.
    part : str
        Of the arm, where it is an arm of the named shaft; ``cable`` of the jam of one.

    >>> Ref("arm", "cross shaft", "outer") == Ref("arm", "cross shaft", "outer")
    True
    >>> print(Ref("full stop", "throttle"), Ref("arm", "spindle", "lever"), sep=", ")
    full stop of throttle, spindle.lever
    >>> print(Ref("jam", "drag"), Ref("jam", "main", "cable"), sep=", ")
    jam of rod drag, jam of cable main
    """

    kind: Kind
    name: str = ""
    part: str = ""

    def __str__(self) -> str:
        if self.kind == "full stop":
            return f"full stop of {self.name}"
        if self.kind == "jam":
            return f"jam of {self.part or 'rod'} {self.name}"
        if self.kind == "arm":
            return f"{self.name}.{self.part}"
        if self.kind in {"shaft", "throttle"}:
            return self.name
        return f"{self.kind} {self.name}".rstrip()
