"""Try many arms of one rod at once: lengths and angles, as arrays.

Candidates are solved by the same closure as everything else, all together at
some positions of the driver, and scored. The best go on to be judged one by
one by the rules of the check; here is no verdict.

Not here: which arms may change (`swap.recipes`), the judging (`swap.cures`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage import formulas
from linkage.model import JOINT_TILT
from linkage.motion.tip_in import SHARE
from linkage.search.arm import BEST_FULL

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    from linkage.model import Link, Shaft

    FloatArray = NDArray[np.float64]

#: Positions over the pedal's travel at which candidates are solved.
SAMPLES: Final = 33
#: Arm-rod angle aimed at: the look limit and a little in hand. [rad]
HAND: Final = np.radians(2.0)
#: A wrong or impossible candidate.
NEVER: Final = 1e6


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Driven:
    """A shaft's turns at the pad positions of the search.

    Parameters
    ----------
    pad_travel : ndarray, shape (n,)
        From 0 to the floor, in equal steps. [m]
    turn : ndarray, shape (n,)
        From rest, anticlockwise positive for its viewer. [rad]
    """

    pad_travel: FloatArray
    turn: FloatArray

    def thinned(self) -> Driven:
        """Return every fourth position, for a first look at many candidates."""
        return Driven(pad_travel=self.pad_travel[::4], turn=self.turn[::4])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tries:
    """Candidates for the two arms of a rod, each of shape (m,).

    Parameters
    ----------
    driver_length, driver_angle, driven_length, driven_angle : ndarray
        [m], [rad]
    """

    driver_length: FloatArray
    driver_angle: FloatArray
    driven_length: FloatArray
    driven_angle: FloatArray

    def take(self, index: NDArray[np.intp]) -> Tries:
        """Return some of the candidates."""
        return Tries(
            driver_length=self.driver_length[index],
            driver_angle=self.driver_angle[index],
            driven_length=self.driven_length[index],
            driven_angle=self.driven_angle[index],
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """What the driven shaft of a rod shall do.

    Parameters
    ----------
    sense : {1, -1}
        Sense in which it shall turn while the pedal goes down.
    turn : float
        How far: a throttle's swing, or what an intermediate shaft turned
        before. [rad]
    throttle : bool
        Whether it is the throttle, which must get there at 95-98 % of the
        travel; another shaft only about so far.
    look : float
        Arm-rod angle below which the check asks for a look. [rad]
    tip_in : float
        Most throttle a metre of pad over the first tenth. [rad/m]
    pull : bool, optional
        Whether the rod shall pull, or push; None takes either.
    """

    sense: float
    turn: float
    throttle: bool
    look: float
    tip_in: float
    pull: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Outcome:
    """What became of candidates, each of shape (m,).

    Parameters
    ----------
    score : ndarray
        0 where nothing is short of its aim; `NEVER` where it is impossible or
        turns the wrong way.
    reached : ndarray
        Turn reached as a share of the aim's. [1]
    least : ndarray
        Least arm-rod angle from being in line. [rad]
    pulls : ndarray of bool
        Whether the rod pulls while the pedal goes down.
    turn : ndarray, shape (m, n)
        Of the driven shaft. [rad]
    """

    score: FloatArray
    reached: FloatArray
    least: FloatArray
    pulls: NDArray[np.bool_]
    turn: FloatArray


def _pins(shaft: Shaft, arm: tuple[FloatArray, FloatArray, float], turn: FloatArray) -> FloatArray:  # fmt: skip
    """Return holes of shape (m, n, 3) at turns that broadcast to (m, n)."""
    length, angle, offset = arm
    u, v, n = (np.array(w, dtype=float) for w in (shaft.axis.u, shaft.axis.v, shaft.axis.n))  # fmt: skip
    at = angle[:, None] + turn
    flat = np.cos(at)[..., None] * u + np.sin(at)[..., None] * v
    return np.asarray(np.array(shaft.pivot) + offset * n + length[:, None, None] * flat)


def _side(
    shaft: Shaft, pin: FloatArray, offset: float, along: FloatArray
) -> FloatArray:
    """Return the signed sine between arm and rod, positive anticlockwise."""
    n = np.array(shaft.axis.n, dtype=float)
    arm = pin - np.array(shaft.pivot) - offset * n
    arm = arm / np.linalg.norm(arm, axis=-1, keepdims=True)
    return np.asarray(np.cross(arm, along) @ n)


def attempt(
    shafts: tuple[Shaft, Shaft], link: Link, driver: Driven, tries: Tries, aim: Aim
) -> Outcome:
    """Solve and score candidates for the arms of one rod.

    Parameters
    ----------
    shafts : pair of Shaft
        Driver and driven; their own arms give the offsets alone.
    link : Link
        The rod; it is cut to fit every candidate.
    driver : Driven
        Turns of the driver.
    tries : Tries
        Candidates.
    aim : Aim
        What the driven shaft shall do.

    Returns
    -------
    Outcome
        In the order of the candidates.
    """
    one, two = shafts
    e1 = one.arms[link.driver.arm].offset
    e2 = two.arms[link.driven.arm].offset
    first = (tries.driver_length, tries.driver_angle, e1)
    second = (tries.driven_length, tries.driven_angle, e2)
    rest = np.zeros((1, 1))
    gap = (_pins(one, first, rest) - _pins(two, second, rest))[:, 0]
    length = np.linalg.norm(gap, axis=-1)
    moment = _side(two, _pins(two, second, rest)[:, 0], e2, gap / length[:, None])
    branch = np.where(moment > 0, 1.0, -1.0)[:, None]

    def row(shaft: Shaft, arm: tuple[FloatArray, FloatArray, float]) -> list[Any]:
        axis = shaft.axis
        return [arm[0][:, None], arm[1][:, None], arm[2], *shaft.pivot, *axis.u, *axis.v, *axis.n]  # fmt: skip

    parameters = [*row(one, first), *row(two, second), length[:, None]]
    reduced = formulas.coefficients(*parameters)
    cosine, sine = np.cos(driver.turn)[None, :], np.sin(driver.turn)[None, :]
    cos2, sin2, reach = formulas.close(cosine, sine, reduced, branch)
    # A jam ends the travel: nothing beyond it counts.
    open_way = np.logical_and.accumulate(np.nan_to_num(reach, nan=-1.0) >= 0, axis=1)
    turn = np.where(open_way, np.arctan2(sin2, cos2), np.nan)
    along = _pins(one, first, driver.turn[None, :]) - _pins(two, second, turn)
    along = along / np.linalg.norm(along, axis=-1, keepdims=True)
    one_side = _side(one, _pins(one, first, driver.turn[None, :]), e1, -along)
    two_side = _side(two, _pins(two, second, turn), e2, along)
    lean = np.maximum(np.abs(along @ np.array(one.axis.n)), np.abs(along @ np.array(two.axis.n)))  # fmt: skip
    return _scored(driver, aim, link, turn, (one_side, two_side, lean), moment)


def _scored(
    driver: Driven,
    aim: Aim,
    link: Link,
    turn: FloatArray,
    sines: tuple[FloatArray, FloatArray, FloatArray],
    moment: FloatArray,
) -> Outcome:
    end = float(driver.pad_travel[-1])
    opening = aim.sense * turn
    known = np.nan_to_num(opening, nan=-100.0)  # a jam: far below any turn
    last = len(driver.pad_travel) - 1
    full = known >= aim.turn
    met = full.any(axis=1)
    at = np.where(met, full.argmax(axis=1), last)
    used = np.arange(last + 1)[None, :] <= at[:, None]
    rising = np.all((np.diff(known, axis=1) > -1e-9) | ~used[:, 1:], axis=1)
    one_side, two_side, lean = sines
    folded = np.minimum(np.abs(one_side), np.abs(two_side))
    least = np.arcsin(np.clip(np.min(np.where(used, np.nan_to_num(folded), 1.0), axis=1), 0, 1))  # fmt: skip
    tilt = np.arcsin(np.clip(np.max(np.where(used, np.nan_to_num(np.abs(lean)), 0.0), axis=1), 0, 1))  # fmt: skip
    most = np.max(np.where(used, known, -np.inf), axis=1)
    reached = np.maximum(most, 0.0) / aim.turn
    pulls = np.sign(aim.sense) == np.sign(moment)
    score = np.degrees(np.maximum(aim.look + HAND - least, 0.0))
    allowed = 0.75 * min(JOINT_TILT[j] for j in link.rod.joints)
    score += np.degrees(np.maximum(tilt - allowed, 0.0))
    if aim.throttle:
        before = np.take_along_axis(known, np.maximum(at - 1, 0)[:, None], axis=1)[:, 0]
        there = np.take_along_axis(known, at[:, None], axis=1)[:, 0]
        with np.errstate(invalid="ignore", divide="ignore"):
            part = (aim.turn - before) / (there - before)
        place = np.maximum(at - 1, 0) + np.where(met, np.nan_to_num(part), 1.0)
        share = np.interp(place, np.arange(last + 1), driver.pad_travel) / end
        low, high = BEST_FULL
        away = np.maximum(np.maximum(low - share, share - high), 0.0)
        score += np.where(
            met, 100.0 * away, 30.0 + 100.0 * (1 - np.minimum(reached, 1))
        )
        whole, rest = divmod(SHARE * last, 1.0)
        tenth = known[:, int(whole)] * (1 - rest) + known[:, int(whole) + 1] * rest
        tip = tenth / (SHARE * end)
        score += np.degrees(np.maximum(tip - 0.97 * aim.tip_in, 0.0)) * 1e-3 * 30.0
    else:
        score += np.degrees(np.maximum(np.abs(most - aim.turn) - np.radians(4), 0.0))
        score += np.where(np.isfinite(opening).all(axis=1), 0.0, 60.0)
    impossible = ~rising | (np.abs(moment) < 1e-3) | ~(most > 0)
    if aim.pull is not None:
        impossible |= pulls != aim.pull
    return Outcome(
        score=np.where(impossible, NEVER, score),
        reached=reached,
        least=least,
        pulls=pulls,
        turn=turn,
    )


def grid(
    lengths: tuple[ArrayLike, ArrayLike],
    angles: tuple[ArrayLike, ArrayLike],
) -> Tries:
    """Return every combination of the lengths and angles of both arms."""
    parts = np.meshgrid(
        np.asarray(lengths[0]),
        np.asarray(angles[0]),
        np.asarray(lengths[1]),
        np.asarray(angles[1]),
        indexing="ij",
    )
    r1, a1, r2, a2 = (p.ravel() for p in parts)
    return Tries(driver_length=r1, driver_angle=a1, driven_length=r2, driven_angle=a2)
