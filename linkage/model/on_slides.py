"""What a slide cannot have that a shaft can, and what knows of none: refused with words.

Not here: whether the parts that a layout names are there (`known`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.errors import LayoutError, UsageError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model.model import Layout

    Key = tuple[str, ...]

_THROTTLE: Final = (
    "a slide that is itself what is to be moved is not judged: name the shaft of the "
    "lever that it hands on to"
)
#: What to do instead, by the table that names the slide.
_HINTS: Final = {
    "throttle": _THROTTLE,
    "throttles": _THROTTLE,
    "springs": (
        "give a slide a spring along a line, with `hook` at one of its pins and `anchor`"
    ),
}


def _turning(layout: Layout) -> Iterator[tuple[str, str, Key]]:
    """Yield all that needs a shaft that turns: what it is, on what, and its key."""
    drives = "governor" if layout.governed else "pedal"
    if layout.foot is None:  # as the hand sees it both are named already
        yield drives, layout.pedal.shaft, (drives, "shaft")
    if layout.hand is not None:
        yield "the hand lever", layout.hand.shaft, ("hand", "shaft")
    for spring in layout.springs.values():
        if not spring.arm:
            key = ("springs", spring.name, "shaft")
            yield f"torsion spring `{spring.name}`", spring.shaft, key
    for name, throttle in layout.throttles.items():
        table: Key = (name,) if name == "throttle" else ("throttles", name)
        yield name, throttle.shaft, (*table, "shaft")


def refuse_on_slides(layout: Layout) -> None:
    """Refuse on a slide what only a shaft can have.

    Raises
    ------
    LayoutError
        With the key of the first.
    """
    slides = {name for name, shaft in layout.shafts.items() if shaft.slides}
    if not slides:
        return
    for what, shaft, where in _turning(layout):
        if shaft in slides:
            msg = f"{what} is on slide `{shaft}`, which does not turn"
            hint = _HINTS.get(where[0], "name the shaft that it is on")
            raise LayoutError(msg, hint=hint, key=where)
    _refuse_others(layout, slides)


def refuse_slides(layout: Layout, what: str) -> None:
    """Refuse a layout with a slide, for what does not know of them.

    Parameters
    ----------
    layout : Layout
        One.
    what : str
        The command that does not.

    Raises
    ------
    UsageError
        With the name of the first.
    """
    slides = [shaft.called for shaft in layout.shafts.values() if shaft.slides]
    if slides:
        msg = f"`{what}` knows of no slides, and there is {slides[0]}"
        hint = "what measuring errors do to a slide is not known; `check` judges it"
        raise UsageError(msg, hint=hint)


def _refuse_others(layout: Layout, slides: set[str]) -> None:
    """Refuse what joins a slide and is no rod: a cable, a cam."""
    for rod in layout.rods.values():
        for hole, end in ((rod.start, "from"), (rod.end, "to")):
            if rod.kind != "rod" and hole.shaft in slides:
                msg = f"{rod.called} ends on slide `{hole.shaft}`"
                hint = (
                    f"a {rod.kind} straight to a slide is not solved: lead it to a lever, "
                    "and a rod from there to the slide"
                )
                raise LayoutError(msg, hint=hint, key=(*rod.key, end))
