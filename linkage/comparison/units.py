"""What can be set back: parts of the new layout as they were in the old one.

Each is one thing that a person could leave as it was: an arm, a crank with all its
arms, where a shaft stands, a spring, the whole carburettor. Rods that touch what is
set back are cut to fit. Beside them stand cranks of the other hand, which were in
neither layout.

Not here: how each is set back (`comparison.back`), solving it (`comparison.trials`).
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

from linkage.comparison.back import (
    arm_back,
    carburettor_back,
    carburettor_here,
    crank_back,
    hand_changed,
    offset_back,
    opens_back,
    place_back,
    presses_back,
    rod_back,
    shaft_back,
    spring_back,
)
from linkage.comparison.cables import ENDS, old_end, sheath_back
from linkage.comparison.image import image
from linkage.comparison.senses import across_from
from linkage.comparison.slides import slide_back, slide_moved
from linkage.errors import LayoutError
from linkage.model import Slide
from linkage.model.refs import Ref
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from linkage.comparison.change import Change
    from linkage.model import Layout

#: How much each takes, for the order in which they are told: less is told first.
#: Common practice, no source: a spring is hooked over sooner than a hole is drilled,
#: and a carburettor is what a person wants to keep.
EFFORT: Final[dict[str, float]] = {
    "rod length": 0.5,
    "spring": 1.0,
    "sheath": 1.4,
    "arm": 1.5,
    "offset": 1.6,
    "rod make": 1.8,
    "rod": 2.0,
    "pedal": 2.5,
    "hand": 2.6,
    "crank": 2.8,
    "place": 3.0,
    "slide": 3.2,
    "shaft": 4.0,
    "opens": 5.0,
    "carburettor here": 5.5,
    "carburettor": 6.0,
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Unit:
    """One thing set back, or a crank of the other hand.

    Parameters
    ----------
    kind : str
        A key of `EFFORT`.
    about : Ref
        The part, by its name in the new layout.
    put : callable
        From the new layout to it with this set back.
    holds : frozenset of Ref
        Parts that it sets back; no two of a pair have one in common.
    """

    kind: str
    about: Ref
    put: Callable[[Layout], Layout]
    holds: frozenset[Ref]

    @property
    def effort(self) -> float:
        """How much it takes."""
        return EFFORT[self.kind]

    @property
    def back(self) -> bool:
        """Whether it was so in the old layout."""
        return self.kind != "hand"


def units(
    old: Layout, new: Layout, found: Iterable[Change], mirror: str = ""
) -> list[Unit]:
    """Return what can be set back, each once.

    Parameters
    ----------
    old, new : Layout
        Parts that are one by one name.
    found : iterable of Change
        From `changes`.
    mirror : str
        How the new layout stands to the old one: in a mirror image arms and rods are
        set back as they are in it, places and springs' anchors to where it shows them,
        and neither offsets nor whole carburettors.
    """
    kinds: dict[Ref, set[str]] = {}
    for change in found:
        kinds.setdefault(change.about, set()).add(change.kind)
    some = [
        *_arms(old, new, kinds, mirror),
        *(_in_image(old, new, kinds, mirror) if mirror else _shafts(old, new, kinds)),
        *_rods(old, kinds, mirror),
        *_sheaths(old, new, kinds, mirror),
        *_slides(old, new, kinds, mirror),
        *([] if mirror else _springs(old, kinds)),
        *_ends(old, new, kinds, mirror),
    ]
    return [unit for unit in some if _possible(unit, new)]


def _possible(unit: Unit, new: Layout) -> bool:
    """Tell whether one thing can be set back at all: no rod lies on a drum."""
    try:
        unit.put(new)
    except LayoutError:
        return False
    return True


def _arms(
    old: Layout, new: Layout, kinds: dict[Ref, set[str]], mirror: str
) -> Iterator[Unit]:
    turned: dict[str, list[Ref]] = {}
    for about, what in kinds.items():
        if about.kind != "arm":
            continue
        if what & {"arm length", "arm angle", "drum wound", "drum rim"}:
            turned.setdefault(about.name, []).append(about)
            put = arm_back(old, mirror, about)
            yield Unit(kind="arm", about=about, put=put, holds=frozenset({about}))
        elif not (mirror or new.shafts[about.name].slides):
            yield Unit(
                kind="offset",
                about=about,
                put=offset_back(old, new, about),
                holds=frozenset({about}),
            )
    for name, holes in turned.items():
        if len(holes) > 1:
            yield Unit(
                kind="crank",
                about=Ref("shaft", name),
                put=crank_back(old, mirror, tuple(holes)),
                holds=frozenset(holes),
            )


def _shafts(old: Layout, new: Layout, kinds: dict[Ref, set[str]]) -> Iterator[Unit]:
    for about, what in kinds.items():
        if about.kind != "shaft" or not what & {"place", "axis"}:
            continue
        name = about.name
        if new.shafts[name].slides:
            continue
        spindle = new.throttle_on(name)
        if "axis" not in what:
            yield Unit(
                kind="place",
                about=about,
                put=place_back(name, old.shafts[name].pivot),
                holds=frozenset({about}),
            )
        arms = {Ref("arm", name, a) for a in new.shafts[name].arms}
        if spindle is None and ("axis" in what or arms & set(kinds)):
            yield Unit(
                kind="shaft",
                about=about,
                put=shaft_back(old.shafts[name]),
                holds=frozenset({about, *arms}),
            )


#: Kinds of changes of what loses motion or gives in a rod.
_MAKE: Final = frozenset(
    {
        *("rod way", "rod slot", "rod over-travel", "rod kind"),
        *("sheath bends", "sheath friction", "cable stroke", "cable push"),
        *("cam profile", "cam roller"),
    }
)
#: Those that say nothing of how a rod is made or how long it is.
_LED: Final = frozenset({*ENDS, "sheath length", "cable wire"})


def _slides(
    old: Layout, new: Layout, kinds: dict[Ref, set[str]], mirror: str
) -> Iterator[Unit]:
    """Yield slides of which something is elsewhere, each with its guide and its pins."""
    shown = image(old, new, mirror) if mirror else None
    for name, slide in new.shafts.items():
        if not isinstance(slide, Slide) or name not in old.shafts:
            continue
        about = Ref("shaft", name)
        holds = frozenset({about, *(Ref("arm", name, pin) for pin in slide.points)})
        moved = shown is None or slide_moved(old.shafts[name], slide, shown)
        if moved and holds & set(kinds):
            put = slide_back(old, name, shown)
            yield Unit(kind="slide", about=about, put=put, holds=holds)


def _rods(old: Layout, kinds: dict[Ref, set[str]], mirror: str) -> Iterator[Unit]:
    for about, what in kinds.items():
        if about.kind != "rod":
            continue
        if what == {"rod lost"} and old.rods[about.name].length is not None:
            continue  # it follows from what else is changed
        if what <= _LED:
            continue
        kind = "rod make" if what & _MAKE else "rod length"
        kind = "rod" if "rod ends" in what else kind
        put = rod_back(old, about.name, mirror)
        yield Unit(kind=kind, about=about, put=put, holds=frozenset({about}))


def _sheaths(
    old: Layout, new: Layout, kinds: dict[Ref, set[str]], mirror: str
) -> Iterator[Unit]:
    """Yield ends of sheaths that are elsewhere, or held by something else."""
    shown = image(old, new, mirror) if mirror else None
    for about, what in kinds.items():
        for i, kind in enumerate(ENDS):
            if kind not in what:
                continue
            was = old_end(old, new, about.name, i)
            now: Any = new.rods[about.name]
            end = now.ends[i]
            if shown and was.on == end.on and not shown.moved(was.point, end.point):
                continue
            ref = Ref("rod", about.name, kind)
            put = sheath_back(old, about.name, i, shown)
            yield Unit(kind="sheath", about=ref, put=put, holds=frozenset({ref}))


def _springs(old: Layout, kinds: dict[Ref, set[str]]) -> Iterator[Unit]:
    for about in kinds:
        if about.kind == "spring":
            put = spring_back(old.springs[about.name])
            yield Unit(kind="spring", about=about, put=put, holds=frozenset({about}))


def _in_image(
    old: Layout, new: Layout, kinds: dict[Ref, set[str]], mirror: str
) -> Iterator[Unit]:
    """Yield places and springs that are not where the mirror shows the old ones."""
    shown = image(old, new, mirror)
    for about, what in kinds.items():
        holds = frozenset({about})
        if about.kind in {"shaft", "arm"} and new.shafts[about.name].slides:
            continue
        if about.kind == "shaft" and "place" in what and "axis" not in what:
            was = old.shafts[about.name].pivot
            if shown.moved(was, new.shafts[about.name].pivot):
                put = place_back(about.name, shown.of(was))
                yield Unit(kind="place", about=about, put=put, holds=holds)
        elif about.kind == "spring":
            one, two = old.springs[about.name], new.springs[about.name]
            if one.anchor is None or two.anchor is None:
                continue
            if what - {"spring anchor"} or shown.moved(one.anchor, two.anchor):
                put = spring_back(replace(one, anchor=shown.of(one.anchor)))
                yield Unit(kind="spring", about=about, put=put, holds=holds)


def _ends(
    old: Layout, new: Layout, kinds: dict[Ref, set[str]], mirror: str
) -> Iterator[Unit]:
    for name in new.throttles:
        about = Ref("throttle", name)
        if "opens" in kinds.get(about, set()):
            yield Unit(
                kind="opens",
                about=about,
                put=opens_back(name),
                holds=frozenset({about}),
            )
        if not mirror:
            yield from _carburettors(old, new, kinds, about)
    if "presses" in kinds.get(Ref("pedal"), set()):
        yield Unit(
            kind="pedal",
            about=Ref("pedal"),
            put=presses_back,
            holds=frozenset({Ref("pedal")}),
        )


def _carburettors(
    old: Layout, new: Layout, kinds: dict[Ref, set[str]], about: Ref
) -> Iterator[Unit]:
    """Yield a carburettor with lever and springs: in the new place, and where it was."""
    name, shaft = about.name, new.throttles[about.name].shaft
    if name not in old.throttles or old.throttles[name].shaft != shaft:
        return
    part = {about, Ref("shaft", shaft)}
    part |= {Ref("arm", shaft, a) for a in new.shafts[shaft].arms}
    part |= {
        Ref("spring", n)
        for n, s in new.springs.items()
        if s.shaft == shaft and n in old.springs
    }
    if len(part & set(kinds)) < 2:
        return
    holds = frozenset(part)
    yield Unit(
        kind="carburettor", about=about, put=carburettor_back(old, name), holds=holds
    )
    moved = kinds.get(Ref("shaft", shaft), set()) == {"place"}
    if moved and across_from(old.shafts[shaft], new.shafts[shaft]) > 0:
        put = carburettor_here(old, name)
        yield Unit(kind="carburettor here", about=about, put=put, holds=holds)


def hands(new: Layout) -> Iterator[Unit]:
    """Yield each crank on the way to the main throttle, of the other hand."""
    for into, out in pairwise(new.path_to(new.main.shaft)):
        if new.shafts[out.driver.shaft].slides:
            continue  # a bar has no hand
        ref = Ref("arm", out.driver.shaft, out.driver.arm)
        put = hand_changed(into.driven, out.driver)
        yield Unit(kind="hand", about=ref, put=put, holds=frozenset({ref}))
