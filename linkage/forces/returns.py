"""What still shuts the plate after any single failure: a spring off, a rod parted.

At every position, for every plate: the closing force of what still hangs
together with it, against the friction of the same parts. Friction depends on
how the rest is held, so it is taken twice, once with the foot letting the pad
up slowly and once with the plate held by hand, and the larger counts.

Not here: how fast (`time`), the verdict (`checks.forces`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from linkage.forces.balance import balance, loads, rubbing
from linkage.forces.lines import Lines, force_lines
from linkage.forces.statics import closing_force, hanging_together, per_opening

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Failure:
    """What has failed.

    Parameters
    ----------
    kind : {"none", "spring", "rod"}
        ``rod``: the rod or either of its joints has parted.
    name : str
        Of the part; empty where nothing has failed.
    """

    kind: Literal["none", "spring", "rod"]
    name: str = ""

    @property
    def text(self) -> str:
        """The failure in words.

        >>> Failure(kind="rod", name="last").text
        'rod last parted'
        """
        if self.kind == "none":
            return "nothing failed"
        return f"{self.kind} {self.name} {'off' if self.kind == 'spring' else 'parted'}"


INTACT = Failure(kind="none")


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Return:
    """What shuts one plate after one failure.

    Parameters
    ----------
    failure : Failure
        What has failed.
    throttle : str
        The plate.
    springs : tuple of str
        Springs that still act on it, in part of the travel at least.
    closing_torque, friction_torque : ndarray, shape (n,)
        At its spindle, positive shutting and positive resisting. Friction is
        inf where it locks. [N·m]
    ratio : ndarray, shape (n,)
        Closing over friction; inf without friction, 0 or less where nothing
        shuts.
    """

    failure: Failure
    throttle: str
    springs: tuple[str, ...]
    closing_torque: FloatArray
    friction_torque: FloatArray
    ratio: FloatArray

    @property
    def unsprung(self) -> bool:
        """Whether no spring is left on the plate."""
        return not self.springs

    @property
    def worst(self) -> int:
        """Index of the position where least is left to shut it."""
        if np.all(np.isinf(self.ratio)):
            return int(np.argmin(self.closing_torque))
        return int(np.argmin(self.ratio))


def failures(layout: Layout) -> tuple[Failure, ...]:
    """Return every single failure: each spring, then each rod."""
    springs = tuple(Failure(kind="spring", name=name) for name in layout.springs)
    return springs + tuple(Failure(kind="rod", name=name) for name in layout.rods)


def left_after(failure: Failure, springs: Iterable[str]) -> tuple[str, ...]:
    """Return the springs that are left after a failure."""
    return tuple(
        n for n in springs if not (failure.kind == "spring" and n == failure.name)
    )


def pad_forces(
    lines: Lines,
    throttle: str,
    *,
    springs: Sequence[str],
    parted: Iterable[str] = (),
    factor: float = 1.0,
) -> tuple[FloatArray, FloatArray, list[str]]:
    """Return closing force and friction as felt at the pad, and the parts.

    Where pressing shuts the plate, closing is the way in which the pad goes down.

    Parameters
    ----------
    lines : Lines
        Geometry.
    throttle : str
        The plate.
    springs : sequence of str
        Those that act.
    parted : iterable of str
        Rods that have parted.
    factor : float
        On every coefficient of friction.

    Returns
    -------
    closing, friction : ndarray, shape (n,)
        By virtual work over what hangs together with the plate; friction inf
        where it locks. [N]
    shafts : list of str
        What hangs together with the plate.
    """
    layout = lines.motion.assembly.layout
    spindle = layout.throttles[throttle].shaft
    shafts = hanging_together(layout, spindle, parted)
    way = 1 if np.nansum(per_opening(lines, throttle)) >= 0 else -1
    closing = way * closing_force(lines, springs, shafts)
    rub = rubbing(layout, factor)
    if not rub.among(shafts):
        return closing, np.zeros(closing.shape), shafts
    on = loads(lines, springs, shafts)
    foot = layout.pedal.shaft in shafts
    root = layout.pedal.shaft if foot else _nearest_pedal(layout, shafts)
    held = balance(lines, on, root=root, sense=-way, rub=rub, foot=foot).hold
    at_pad = held if foot else held * lines.first[root]
    by_hand = balance(lines, on, root=spindle, sense=-way, rub=rub).hold
    least = np.minimum(way * at_pad, way * by_hand * lines.first[spindle])
    friction = closing - least
    jammed = np.isnan(closing)
    friction = np.where(np.isnan(friction) & ~jammed, np.inf, friction)
    return closing, friction, shafts


def _nearest_pedal(layout: Layout, shafts: list[str]) -> str:
    """Return the shaft of a parted branch that the parted rod drove."""
    return min(shafts, key=lambda s: len(layout.path_to(s)))


def after(
    lines: Lines,
    failure: Failure,
    throttle: str,
    *,
    springs: Iterable[str] | None = None,
    factor: float = 1.0,
) -> Return:
    """Return what shuts one plate after one failure.

    Parameters
    ----------
    lines : Lines
        Geometry.
    failure : Failure
        What has failed.
    throttle : str
        The plate.
    springs : iterable of str, optional
        Those fitted; all where not given.
    factor : float
        On every coefficient of friction.
    """
    fitted = lines.springs if springs is None else springs
    acting = left_after(failure, fitted)
    parted = (failure.name,) if failure.kind == "rod" else ()
    closing, friction, shafts = pad_forces(
        lines, throttle, springs=acting, parted=parted, factor=factor
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        opening = np.abs(per_opening(lines, throttle))
        ratio = np.where(
            friction > 0,
            np.where(np.isinf(friction), 0.0, closing / friction),
            np.where(closing > 0, np.inf, np.where(closing < 0, -np.inf, 0.0)),
        )
        torque, lost = closing / opening, friction / opening
    return Return(
        failure=failure,
        throttle=throttle,
        springs=tuple(
            n
            for n in acting
            if lines.springs[n].shaft in shafts and np.any(lines.springs[n].load != 0)
        ),
        closing_torque=torque,
        friction_torque=lost,
        ratio=ratio,
    )


def returns(
    motion: Motion, *, lines: Lines | None = None, factor: float = 1.0
) -> tuple[Return, ...]:
    """Try every single failure on every plate.

    Parameters
    ----------
    motion : Motion
        Over the working travel.
    lines : Lines, optional
        Of this motion, where they are known already.
    factor : float
        On every coefficient of friction, for cold grease.

    Returns
    -------
    tuple of Return
        Nothing failed first, then springs, then rods; for each, every plate.
    """
    lines = force_lines(motion) if lines is None else lines
    layout = motion.assembly.layout
    return tuple(
        after(lines, failure, plate.name, factor=factor)
        for failure in (INTACT, *failures(layout))
        for plate in layout.plates
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Sources:
    """Sources of energy that shut a plate.

    Parameters
    ----------
    throttle : str
        The plate.
    shutting : tuple of str
        Springs that shut it at every position; one of several strands is one.
    on_spindle : tuple of str
        Those of them that act on its spindle itself.
    shared : tuple of (str, str)
        Pairs of springs that share a hook or an anchor, so that one fault may
        take both.
    """

    throttle: str
    shutting: tuple[str, ...]
    on_spindle: tuple[str, ...]
    shared: tuple[tuple[str, str], ...]


def sources(lines: Lines) -> tuple[Sources, ...]:
    """Count the sources of energy of every plate (49 CFR 571.124 S5.1)."""
    layout = lines.motion.assembly.layout

    def opens(spring: str, plate: str) -> FloatArray:
        """Return the sign by which a torque on the spring's shaft opens the plate."""
        shaft = lines.springs[spring].shaft
        return np.sign(lines.first[shaft] * per_opening(lines, plate))

    out = []
    for plate in layout.plates:
        shutting = tuple(
            name
            for name in lines.springs
            if np.all(-lines.springs[name].torque * opens(name, plate.name) > 0)
        )
        out.append(
            Sources(
                throttle=plate.name,
                shutting=shutting,
                on_spindle=tuple(
                    n for n in shutting if lines.springs[n].shaft == plate.shaft
                ),
                shared=_shared(layout, shutting),
            )
        )
    return tuple(out)


def _shared(layout: Layout, names: Sequence[str]) -> tuple[tuple[str, str], ...]:
    found = []
    for i, one in enumerate(names):
        for two in names[i + 1 :]:
            a, b = layout.springs[one], layout.springs[two]
            hook = bool(a.arm) and (a.shaft, a.arm) == (b.shaft, b.arm)
            anchor = a.anchor is not None and a.anchor == b.anchor
            if hook or anchor:
                found.append((one, two))
    return tuple(found)
