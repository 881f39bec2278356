"""Where sheaths, cams, obstacles and a manifold go with a swap, as text and plain data.

Not here: the rest of a swap (`report.swap`), how they are moved (`swap.sheaths`,
`swap.cams`, `swap.obstacles`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from linkage.model import turning
from linkage.model.called import rod_kinds
from linkage.quantities import say, say_point
from linkage.report.compare_words import quoted
from linkage.report.tables import mm, wrapped
from linkage.spoken import listed
from linkage.swap.kept import fixed_parts

if TYPE_CHECKING:
    from linkage.model import Layout
    from linkage.swap import Swap
    from linkage.swap.sheaths import Led

#: What a sheath is longer or shorter by, below which no other is asked for. [m]
TOLD: Final = 5e-4


def across_lines(swap: Swap) -> list[str]:
    """Return what goes across besides shafts and springs, what stays and what is fixed."""
    gone = sheath_lines(swap) + cam_lines(swap) + obstacle_lines(swap)
    return gone + seat_lines(swap) + _kept(swap.before)


def sheath_lines(swap: Swap) -> list[str]:
    """Return where the ends of sheaths go, and by how much these get longer."""
    if not swap.sheaths:
        return []
    out = ["Cables led across, their adjusters set anew:"]
    for led in swap.sheaths:
        out += wrapped(_text(swap, led), "    ", first="  - ")
    return [*out, ""]


def _text(swap: Swap, led: Led) -> str:
    ends = [f"at `{hole}` goes to {say_point(point)}" for hole, point in led.ends]
    text = f"the sheath of cable `{led.cable}`: its end {listed(ends)}"
    if abs(led.longer) < TOLD:
        return text
    word = "longer" if led.longer > 0 else "shorter"
    text += f"; it is {say(abs(led.longer), 'length', 0)} {word} that way"
    if led.longer <= 0:
        return text
    if swap.before.rods[led.cable].fixed:
        return f"{text}, and that cable is fixed: does it reach?"
    return f"{text}: a longer cable, unless there is so much to spare"


def sheath_data(swap: Swap) -> list[dict[str, Any]]:
    """Return the same as plain data."""
    return [
        {
            "cable": led.cable,
            "ends_mm": {str(h): [mm(c) for c in point] for h, point in led.ends},
            "longer_mm": mm(led.longer),
        }
        for led in swap.sheaths
    ]


def cam_lines(swap: Swap) -> list[str]:
    """Return which cams are of the other hand after a swap."""
    if not swap.cams:
        return []
    said = []
    for name in swap.cams:
        cam: Any = swap.after.rods[name]
        seen = swap.after.shafts[cam.start.shaft].axis.seen_from
        way = f"{turning(cam.goes)}, it was {turning(-cam.goes)}"
        said.append(f"the profile of cam `{name}` goes round {way}, seen from {seen}")
    text = (
        f"Cams of the other hand: {listed(said)}. A flat cam is the same plate turned over; "
        "one with a hub on one side is made anew."
    )
    return [*wrapped(text, "  ", first=""), ""]


def obstacle_lines(swap: Swap) -> list[str]:
    """Return which obstacles went across with the engine, and which stayed."""
    if not swap.before.obstacles:
        return []
    gone = [f"`{name}`" for name in swap.obstacles]
    stay = [f"`{name}`" for name in swap.before.obstacles if name not in swap.obstacles]
    said = []
    if gone:
        said.append(f"{listed(gone)} on the engine went across with it")
    if stay:
        said.append(f"{listed(stay)} stayed where measured")
    text = (
        f"Obstacles: {'; '.join(said)}. Measure what stands elsewhere on the new side."
    )
    return [*wrapped(text, "  "), ""]


def seat_lines(swap: Swap) -> list[str]:
    """Return where the manifold sits after a swap, where heat is told of."""
    heat = swap.after.heat
    if heat is None or heat.seat is None or swap.before.heat == heat:
        return []
    text = (
        f"Heat: the manifold sits at {say_point(heat.seat)} then, and the mounts hold the "
        "engine where they did. Measure its seat there."
    )
    return [*wrapped(text, "  ", first=""), ""]


def _kept(layout: Layout) -> list[str]:
    """Return what is not to be touched; nothing where all may be."""
    kept = [quoted(part, rod_kinds(layout)) for part in fixed_parts(layout)]
    if not kept:
        return []
    text = f"Fixed, neither the swap nor a cure makes it anew: {', '.join(kept)}"
    return [*wrapped(text, "  ", first=""), ""]
