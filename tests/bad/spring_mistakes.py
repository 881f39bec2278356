"""Mistakes with return springs, as changes of a parsed layout file.

Not here: all other mistakes (`tests.bad.mistakes`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.bad.parts import NoSuchPartError, arm_of, either

if TYPE_CHECKING:
    from tests.bad.chance import Chance
    from tests.bad.parts import Table


def _spring(c: Chance, t: Table) -> Table:
    if not t["springs"]:
        raise NoSuchPartError
    return t["springs"][c.pick(list(t["springs"]))]


def weak_springs(c: Chance, t: Table) -> None:
    """Springs from the drawer, much too weak."""
    rate = c.between(0.03, 0.25)
    for spring in t["springs"].values():
        spring["rate"] = f"{rate:.3f} N/mm"
        spring["initial_tension"] = round(c.between(0, 2), 1)


def strong_spring(c: Chance, t: Table) -> None:
    """One spring much too strong."""
    _spring(c, t)["rate"] = f"{c.between(1.2, 4.5):.2f} N/mm"


def long_spring(c: Chance, t: Table) -> None:
    """A spring that hangs loose at idle."""
    spring = _spring(c, t)
    spring["free_length"] = round(spring["free_length"] * c.between(1.3, 1.9))


def short_spring(c: Chance, t: Table) -> None:
    """A spring pulled further than it may be."""
    spring = _spring(c, t)
    spring["free_length"] = round(spring["free_length"] * c.between(0.4, 0.7))
    spring["greatest_length"] = round(c.between(85, 125))


def anchor_off(c: Chance, t: Table) -> None:
    """A spring anchored at another bolt."""
    anchor = _spring(c, t)["anchor"]
    for k in (0, 2):
        anchor[k] = round(anchor[k] + either(c, 15, 90))


def wrong_hand(c: Chance, t: Table) -> None:
    """A spring anchored on the opening side, or in line with its spindle."""
    spring = _spring(c, t)
    pivot = t["shafts"][spring["hook"].split(".")[0]]["pivot"]
    anchor = spring["anchor"]
    for k in (0, 2) if c.yes(0.4) else (c.pick([0, 2]),):
        anchor[k] = round(2 * pivot[k] - anchor[k])


def hook_turned(c: Chance, t: Table) -> None:
    """The springs' arm clamped at the wrong angle."""
    arm = arm_of(t, _spring(c, t)["hook"])
    arm["angle"] = round(arm["angle"] + either(c, 35, 180))


def hook_length(c: Chance, t: Table) -> None:
    """A spring hooked too near the spindle, or too far out."""
    arm = arm_of(t, _spring(c, t)["hook"])
    arm["length"] = round(
        arm["length"] * c.pick([c.between(0.25, 0.6), c.between(1.6, 2.4)])
    )


def spring_lost(c: Chance, t: Table) -> None:
    """One spring alone."""
    if len(t["springs"]) < 2:
        raise NoSuchPartError
    t["springs"].pop(c.pick(list(t["springs"])))


def one_hook(c: Chance, t: Table) -> None:  # noqa: ARG001
    """All springs on one hook."""
    springs = list(t["springs"].values())
    if len(springs) < 2 or "throttles" in t:
        raise NoSuchPartError
    for spring in springs[1:]:
        spring["hook"] = springs[0]["hook"]


def more_springs(c: Chance, t: Table) -> None:
    """Springs added until it surely shuts, and the pedal is hard."""
    first = next(iter(t["springs"].values()), None)
    if first is None:
        raise NoSuchPartError
    for k in range(c.pick([1, 2, 3])):
        x, y, z = first["anchor"]
        anchor = [x, round(y + 20 * (k + 1)), z]
        more = {**first, "anchor": anchor, "rate": f"{c.between(0.8, 2.5):.2f} N/mm"}
        t["springs"][f"more {k + 1}"] = more


def one_bracket(c: Chance, t: Table) -> None:
    """Two springs anchored on one bracket, a few millimetres apart."""
    springs = list(t["springs"].values())
    if len(springs) < 2:
        raise NoSuchPartError
    x, y, z = springs[0]["anchor"]
    springs[1]["anchor"] = [x, round(y + either(c, 1, 8), 1), z]


def on_body(c: Chance, t: Table) -> None:
    """A spring anchored on the body, on an engine whose mounts are soft."""
    _spring(c, t)["anchored_on"] = "body"
    t["engine"]["lift"] = round(c.between(6, 16))
