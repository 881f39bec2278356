"""Why a cam and its roller cannot be put together, in words.

Not here: whether they can (`connect.cam`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.errors import AssemblyError
from linkage.quantities import say

if TYPE_CHECKING:
    from linkage.model import Link
    from linkage.model.columns import Truth

#: How far a roller may stand beside its cam along the shaft. [m]
BESIDE: Final = 0.003


def why_refused(link: Link, why: tuple[Truth, ...]) -> AssemblyError:
    """Return the first of what speaks against a cam.

    Parameters
    ----------
    link : Link
        The cam and its two holes.
    why : tuple of bool
        One shaft alone moves with the engine, both are not parallel, the roller stands
        beside the cam, does not face the profile, or its arm is in line with the push.
    """
    cam = link.rod
    cam_hole, roller = link.holes
    apart, askew, beside, off, _ = why
    if apart:
        msg = f"of the shafts of {cam.called} one alone moves with the engine"
        hint = (
            "an engine that moves would lift the roller off its cam or press it on: "
            "carry both on one thing, and lead to it by a rod or a cable"
        )
        return AssemblyError(msg, hint=hint, key=("engine", "carries"))
    if askew:
        msg = f"the shafts of {cam.called} are not parallel"
        hint = (
            "a roller runs flat on its cam: see to the axes of "
            f"`{cam_hole.shaft}` and `{roller.shaft}`, or join both by a rod"
        )
        key = ("shafts", roller.shaft, "axis")
        return AssemblyError(msg, hint=hint, key=key)
    if beside:
        msg = f"the roller on `{roller}` stands beside {cam.called} along the shaft"
        hint = (
            f"more than {say(BESIDE, 'length')}, it would run off: see to both "
            "offsets, and to the pivots"
        )
        return AssemblyError(msg, hint=hint, key=(*cam.key, "to"))
    if off:
        msg = f"at rest the roller on `{roller}` does not face {cam.called}"
        hint = (
            "it stands before the profile begins, past its end, or in it: see to the angle of "
            f"`{cam_hole}`, from which on the profile goes round, to `round`, and to "
            "the roller's arm; or let the profile begin earlier"
        )
        return AssemblyError(msg, hint=hint, key=(*cam.key, "round"))
    msg = f"{cam.called} pushes along arm `{roller}` at rest, on dead centre"
    hint = "turn that arm on its shaft, or move its pivot"
    arm = ("shafts", roller.shaft, "arms", roller.arm)
    return AssemblyError(msg, hint=hint, key=arm)
