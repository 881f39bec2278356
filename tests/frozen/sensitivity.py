"""How far each number moves when the last bits of the arithmetic change.

Two changes, each about as large as rounding done in another order:

- shaken: every number of the layout by up to 1e-15 of itself, every result of the
  compiled formulas by up to 4e-16 of the largest beside it, or by ten times that:
  an event that lies near a line of the search grid hops over it ten times as often;
- regridded: events are looked for over another number of positions. Bracketing
  finds an event only to a few billionths of the span and always takes the upper
  end of the last bracket, so another grid moves it by that much, and everything
  that is worked out at the event with it.

This reaches into the package as it was when the table was made; comparing needs
only what it left in the table, so the parts that are patched are imported only when
they are.
"""

from __future__ import annotations

import random
from contextlib import contextmanager
from dataclasses import fields, is_dataclass, replace
from typing import TYPE_CHECKING, Any
from unittest.mock import patch

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

#: Relative change of every number of the layout.
LAYOUT = 1e-15
#: Change of every result of a compiled formula, of the largest beside it.
KERNEL = 4e-16
#: Fields of a layout that are no measure of it.
KEPT = {"limits", "tolerances"}
#: Numbers that only choose between two cases.
CHOICES = {"shuts", "vehicle.temperature", "vehicle.mass"}


def shaken_layout(part: Any, chance: random.Random, force: float = 1.0) -> Any:
    """Return a layout with each of its numbers changed in the last bits."""
    if isinstance(part, float):
        return part * (1 + force * LAYOUT * (2 * chance.random() - 1))
    if is_dataclass(part) and not isinstance(part, type):
        new = {
            f.name: shaken_layout(getattr(part, f.name), chance, force)
            for f in fields(part)
            if f.init and f.name not in KEPT
        }
        return replace(part, **new)
    if isinstance(part, tuple):
        return tuple(shaken_layout(p, chance, force) for p in part)
    if hasattr(part, "items"):
        return {
            k: v if k in CHOICES else shaken_layout(v, chance, force)
            for k, v in part.items()
        }
    return part


def _shaking(
    name: str,
    formula: Callable[..., tuple[Any, ...]],
    noise: np.random.Generator,
    force: float,
) -> Callable[..., tuple[Any, ...]]:
    most = force * KERNEL

    def call(*arguments: Any) -> tuple[Any, ...]:
        rows = formula(*arguments)
        if name == "coefficients":
            size = max(abs(float(r)) for r in rows)
            return tuple(r + most * size * noise.uniform(-1, 1) for r in rows)
        floor = 1.0 if name == "close" else 0.0
        return tuple(
            r + most * np.maximum(np.abs(r), floor) * noise.uniform(-1, 1, np.shape(r))
            for r in rows
        )

    return call


@contextmanager
def shaken(seed: int, force: float = 1.0) -> Iterator[Callable[[Any], Any]]:
    """Shake the formulas; the change it yields shakes a layout.

    Parameters
    ----------
    seed : int
        Of the noise.
    force : float
        Times the two sizes above.
    """
    from linkage.formulas import kernels as compiled

    noise = np.random.default_rng(seed)
    plain: Mapping[str, Any] = compiled.functions()
    rough = {name: _shaking(name, f, noise, force) for name, f in plain.items()}
    chance = random.Random(seed)  # noqa: S311
    with patch.object(compiled, "functions", lambda: rough):
        yield lambda layout: shaken_layout(layout, chance, force)


@contextmanager
def regridded(samples: int) -> Iterator[None]:
    """Look for events over another number of positions."""
    from linkage.motion import working

    with patch.object(working, "SAMPLES", samples):
        yield
