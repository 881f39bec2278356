"""What may move, and the table in which the frozen numbers are kept.

A number ``new`` is as before where::

    |new - old| <= tolerance * max(|old|, scale of its kind)

The tolerance is 1e-12, or 20 times the greatest movement that was seen when the
last bits were shaken while the table was made (`tests.frozen.sensitivity`),
whichever is more. It is kept beside each number, as a whole power of the square
root of two above 1e-12. A number that came and went, or turned finite or not, is
marked `EITHER` and is not compared; a word that flipped may be any that was seen.

A second tolerance beside it holds if events are found in another way too; the
test uses it only if it is told to.
"""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

TABLE = Path(__file__).with_name("table.npz")
#: Relative tolerance of every number that rounding does not move further.
TIGHT = 1e-12
#: Times the movement that was seen.
SAFETY = 20.0
#: Mark of a number that is not compared.
EITHER = 255
#: Something over a friction that is zero but for rounding: any size from here on.
BOUNDLESS = 1e12
#: Below these sizes a number of the kind is compared absolutely: `TIGHT` times it
#: is far under anything measurable, yet above what rounding leaves of a zero.
SCALE = {
    "length": 0.01,  # 1e-14 m
    "angle": 0.1,  # 1e-13 rad
    "sine": 0.1,  # 1e-13
    "angle per travel": 1.0,  # 1e-12 rad/m
    "curvature": 100.0,  # 1e-10 rad/m²
    "force": 1.0,  # 1e-12 N
    "torque": 0.01,  # 1e-14 N·m
    "ratio": 0.01,  # 1e-14
    "fraction": 0.01,  # 1e-14
    "time": 0.01,  # 1e-14 s
    "stress": 1e6,  # 1e-6 Pa
    "rate": 1.0,  # 1e-12 N/m
}


@dataclass
class Frozen:
    """What is known of one layout.

    Parameters
    ----------
    numbers : dict of str to (float, int, int)
        Value, code of its tolerance, code of that if events are found otherwise.
    words : dict of str to tuple of (str or None)
        All that were seen; None where it was missing once.
    text : int
        Check sum of the layout file.
    """

    text: int
    numbers: dict[str, tuple[float, int, int]]
    words: dict[str, tuple[str | None, ...]]


def moved(name: str, new: float, old: float) -> float:
    """Return the movement of a number on its own scale; inf where it flipped."""
    if new == old or (math.isnan(new) and math.isnan(old)):
        return 0.0
    if not (math.isfinite(new) and math.isfinite(old)):
        return math.inf
    if name.startswith("ratio|") and min(new, old) > BOUNDLESS:
        return 0.0
    return abs(new - old) / max(abs(old), SCALE[name.partition("|")[0]])


def code_of(movement: float) -> int:
    """Return the code of the tolerance for a movement that was seen."""
    if math.isinf(movement):
        return EITHER
    if SAFETY * movement <= TIGHT:
        return 0
    return min(math.ceil(2 * math.log2(SAFETY * movement / TIGHT)), EITHER - 1)


def tolerance(code: int) -> float:
    """Return the relative tolerance of a code."""
    return math.inf if code == EITHER else TIGHT * 2 ** (code / 2)


def differences(
    old: Frozen,
    numbers: Mapping[str, float],
    words: Mapping[str, str],
    *,
    events_move: bool = False,
) -> list[str]:
    """Return what is not as before, in words; nothing where all is.

    Parameters
    ----------
    old : Frozen
        From the table.
    numbers, words : mapping
        As they are now.
    events_move : bool
        Whether events are found in another way than when the table was made.
    """
    out = []
    for name, (value, one, two) in old.numbers.items():
        code = max(one, two) if events_move else one
        if code == EITHER:
            continue
        if name not in numbers:
            out.append(f"{name}: gone, was {value!r}")
            continue
        by = moved(name, numbers[name], value)
        if not by <= tolerance(code):
            out.append(
                f"{name}: {numbers[name]!r}, was {value!r}: "
                f"moved {by:.1e}, may {tolerance(code):.1e}"
            )
    out += [f"{n}: new, {numbers[n]!r}" for n in numbers if n not in old.numbers]
    for name, seen in old.words.items():
        if words.get(name) not in seen:
            out.append(f"{name}: {words.get(name)!r}, was {seen}")
    out += [f"{n}: new, {words[n]!r}" for n in words if n not in old.words]
    return out


def _packed(data: Any) -> np.ndarray:
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return np.frombuffer(text.encode(), dtype=np.uint8)


def _unpacked(array: np.ndarray) -> Any:
    return json.loads(array.tobytes())


def write(keys: Sequence[str], all_frozen: Sequence[Frozen]) -> None:
    """Write the table; names stand in it as places in one list."""
    names = sorted({n for f in all_frozen for n in f.numbers})
    strings = sorted(
        {n for f in all_frozen for n in f.words}
        | {w for f in all_frozen for s in f.words.values() for w in s if w is not None}
    )
    at = {n: i for i, n in enumerate(names)}
    word_at: dict[str | None, int] = {w: i for i, w in enumerate(strings)}
    word_at[None] = -1
    rows = [(at[n], *row) for f in all_frozen for n, row in f.numbers.items()]
    np.savez_compressed(
        TABLE,
        keys=_packed(list(keys)),
        texts=np.array([f.text for f in all_frozen], dtype=np.uint32),
        names=_packed(names),
        strings=_packed(strings),
        words=_packed(
            [
                [[word_at[n], *(word_at[w] for w in s)] for n, s in f.words.items()]
                for f in all_frozen
            ]
        ),
        counts=np.array([len(f.numbers) for f in all_frozen], dtype=np.int32),
        index=np.array([r[0] for r in rows], dtype=np.uint16),
        values=np.array([r[1] for r in rows], dtype="<f8"),
        tolerances=np.array([r[2] for r in rows], dtype=np.uint8),
        if_events_move=np.array([r[3] for r in rows], dtype=np.uint8),
    )  # fmt: skip


def read() -> dict[str, Frozen]:
    """Return the table by key of its layouts."""
    with np.load(TABLE) as file:
        table = dict(file)
    names, strings = _unpacked(table["names"]), [*_unpacked(table["strings"]), None]
    values = table["values"].tolist()
    rows = list(
        zip(
            [names[i] for i in table["index"].tolist()],
            values,
            table["tolerances"].tolist(),
            table["if_events_move"].tolist(),
            strict=True,
        )
    )
    found = {}
    begin = 0
    for key, text, count, words in zip(
        _unpacked(table["keys"]),
        table["texts"].tolist(),
        table["counts"].tolist(),
        _unpacked(table["words"]),
        strict=True,
    ):
        found[key] = Frozen(
            text=text,
            numbers={n: (v, a, b) for n, v, a, b in rows[begin : begin + count]},
            words={strings[n]: tuple(strings[w] for w in seen) for n, *seen in words},
        )
        begin += count
    return found
