"""What is measured of a layout, in measuring order, each place with its letter.

The letters of the printed sheet are those of the starter files' comments: both come
from here.

Not here: the boxes themselves (`boxes`), how the sheet is drawn (`measuring`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, TypeAlias

from linkage.model import Cable, Cam, Hole
from linkage.model.called import all_rods, rod_kinds
from linkage.model.refs import Ref
from linkage.records import dataclass
from linkage.sheet import boxes

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from linkage.model import Layout, Rod, Shaft
    from linkage.sheet.boxes import Box

#: No I and no O, which are read as one and nought.
ALPHABET: Final = "ABCDEFGHJKLMNPQRSTUVWXYZ"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One place that is measured.

    Parameters
    ----------
    letter : str
        Its letter on the drawing and in the starter file.
    about : Ref
        Part of the layout: kinds ``shaft``, ``arm``, ``rod``, ``pedal``,
        ``throttle``, ``spring``, ``engine``, ``obstacle``. Of a cable's sheath the ref of
        the cable, with ``from``, ``to`` or the number of a point between, from 1, as its
        part; of an obstacle's further points and holes the number, from 1.
    words : str
        What it is.
    boxes : tuple of Box
        What is written down of it, in order.
    """

    letter: str
    about: Ref
    words: str
    boxes: tuple[Box, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Places that are measured together.

    Parameters
    ----------
    title : str
        What they belong to.
    note : str
        From where it is seen and which way counts positive; how it is done.
    rows : tuple of Row
        One or more.
    """

    title: str
    note: str
    rows: tuple[Row, ...]


def letter_of(index: int) -> str:
    """Return the letter of the place with this number.

    >>> letter_of(0), letter_of(8), letter_of(23), letter_of(24)
    ('A', 'J', 'Z', 'AA')
    """
    more, rest = divmod(index, len(ALPHABET))
    return (ALPHABET[more - 1] if more else "") + ALPHABET[rest]


#: What a group is before its rows have letters.
_Part: TypeAlias = "tuple[Ref, str, tuple[Box, ...]]"
_Draft: TypeAlias = "tuple[str, str, list[_Part]]"


def lettered(layout: Layout) -> tuple[Group, ...]:
    """Return what is measured of a layout, in the order of its file.

    Parameters
    ----------
    layout : Layout
        One.

    Returns
    -------
    tuple of Group
        Shafts as the file has them, pedal first as a rule; rods and cables; pad travel;
        hand lever; throttles; springs; engine; heat; obstacles.
    """
    count = 0
    out = []
    for title, note, drafts in _drafts(layout):
        rows = []
        for about, words, asked in drafts:
            rows.append(
                Row(letter=letter_of(count), about=about, words=words, boxes=asked)
            )
            count += 1
        out.append(Group(title=title, note=note, rows=tuple(rows)))
    return tuple(out)


def letters(layout: Layout) -> dict[Ref, str]:
    """Return the letter of every part that has one."""
    return {row.about: row.letter for group in lettered(layout) for row in group.rows}


def _drafts(layout: Layout) -> Iterator[_Draft]:
    for shaft in layout.shafts.values():
        yield _shaft(layout, shaft)
    cables = [rod for rod in layout.rods.values() if isinstance(rod, Cable)]
    rods = [rod for rod in layout.rods.values() if rod.kind == "rod"]
    cams = [rod for rod in layout.rods.values() if isinstance(rod, Cam)]
    joined = [_rods(rods)] * bool(rods) + [_cables(cables)] * bool(cables)
    # What the pedal drives is measured first.
    first = layout.links and isinstance(layout.links[0].rod, Cable)
    yield from reversed(joined) if first else joined
    if cams:
        yield _cams(cams)
    yield _driver(layout)
    if (hand := layout.hand) is not None:
        seen = layout.shafts[hand.shaft].axis.seen_from
        words = f"{hand.shaft}.{hand.lever} along its arc; seen from {seen}"
        note = "Pushed home to pulled full; the pull at its end that it still holds."
        yield "Hand lever", note, [(Ref("hand", ""), words, boxes.HAND)]
    yield _throttles(layout)
    if layout.springs:
        yield _springs(layout)
    if layout.engine.carries:
        carried = ", ".join(layout.engine.carries)
        note = "Someone holds it on the brake; watch a pointer against a card."
        draft: _Part = (Ref("engine", ""), f"engine; carries {carried}", boxes.ENGINE)
        yield "Engine", note, [draft]
    if layout.heat is not None:
        note = (
            "A magnet tells iron from aluminium. Thermometer on each after a hard drive, "
            "stopped a quarter of an hour."
        )
        seated = layout.heat.seat is not None
        words = "mounts, and the seat of the manifold" if seated else "mounts"
        asked = (*boxes.HEAT, *(boxes.MANIFOLD if seated else ()))
        yield "Heat", note, [(Ref("engine", "heat"), words, asked)]
    if layout.obstacles:
        yield _obstacles(layout)


#: What is measured first of an obstacle, and what its further points are.
_FIRST: Final = {
    "pipe": ("its first point, at the middle", "point"),
    "sphere": ("its middle", "point"),
    "box": ("one corner", "opposite corner"),
    "plane": ("any point in it", "hole"),
}


def _obstacles(layout: Layout) -> _Draft:
    note = (
        "Engine at rest, bonnet shut, air cleaner on; pipes with lagging, at each bend."
    )
    drafts: list[_Part] = []
    for name, obstacle in layout.obstacles.items():
        begins, more = _FIRST[obstacle.shape]
        words = f"{obstacle.shape} {name}: {begins}"
        drafts.append((Ref("obstacle", name), words, boxes.OBSTACLES[obstacle.shape]))
        asked = boxes.OBSTACLE_HOLE if obstacle.holes else boxes.OBSTACLE_POINT
        for i in range(1, len(obstacle.points[1:]) + len(obstacle.holes) + 1):
            number = "" if obstacle.shape == "box" else f" {i + (not obstacle.holes)}"
            words = f"{name}: {more}{number}"
            drafts.append((Ref("obstacle", name, str(i)), words, asked))
    return "What is near", note, drafts


def _rods(rods: Sequence[Rod]) -> _Draft:
    note = "Centre to centre, not over the ends; its length only if it is to stay."
    if any(rod.loose for rod in rods):
        note += " In a slot: where it drives."
    if any(rod.gives for rod in rods):
        note += " With a spring in it: until it gives."
    drafts: list[_Part] = [
        (Ref("rod", r.name), f"rod {r.name}: {r.start} to {r.end}", _rod(r))
        for r in rods
    ]
    return "Rods", note, drafts


def _cables(cables: Sequence[Cable]) -> _Draft:
    note = (
        "Lengths only if they are to stay; ends of a sheath: where the wire comes out."
    )
    drafts: list[_Part] = []
    for cable in cables:
        name = cable.name
        asked: tuple[Box, ...] = boxes.CABLE if cable.only else boxes.PUSH_PULL
        if not cable.through:
            asked += boxes.BENDS
        words = f"cable {name}: {cable.start} to {cable.end}"
        drafts.append((Ref("rod", name), words, asked))
        words = f"sheath of {name}, its end near"
        drafts.append(
            (Ref("rod", name, "from"), f"{words} {cable.start}", boxes.SHEATH_END)
        )
        for i in range(1, len(cable.through) + 1):
            point = f"sheath of {name}, point {i} on its way"
            drafts.append((Ref("rod", name, str(i)), point, boxes.SHEATH_POINT))
        drafts.append(
            (Ref("rod", name, "to"), f"{words} {cable.end}", boxes.SHEATH_END)
        )
    return "Cables", note, drafts


def _cams(cams: Sequence[Cam]) -> _Draft:
    note = "Turns round it from where it begins on, with a protractor on its shaft."
    drafts: list[_Part] = [
        (
            Ref("rod", c.name),
            f"cam {c.name}: {c.start} to the roller on {c.end}",
            boxes.CAM,
        )
        for c in cams
    ]
    return "Cams", note, drafts


def _rod(rod: Rod) -> tuple[Box, ...]:
    if rod.gives:
        return boxes.SPRUNG_ROD
    if rod.only:
        return boxes.ONE_WAY_ROD
    return boxes.SLOTTED_ROD if rod.loose else boxes.ROD


def counts_from(shaft: Shaft) -> str:
    """Return from where angles of a shaft's arms count, and which way is positive."""
    zero = {"across": "forward", "along": "to the right", "upright": "forward"}
    start = zero.get(shaft.axis.name, shaft.axis.zero)
    quarter = {"across": "up", "along": "up", "upright": "to the left"}
    then = quarter.get(shaft.axis.name)
    more = f", 90° {then}" if then else ""
    return (
        f"Seen from {shaft.axis.seen_from}: 0° is {start}{more}; anticlockwise counts +"
    )


def _driver(layout: Layout) -> _Draft:
    """Return the boxes of the pedal's travel, or a governor's."""
    words = f"{layout.pedal.shaft}.{layout.pedal.pad} along its arc"
    if layout.governed:
        seen = layout.shafts[layout.pedal.shaft].axis.seen_from
        note = (
            "Engine stopped, rod or cable off: moved by hand from its rest to its end."
        )
        told = f"{words}; seen from {seen}"
        return "Governor", note, [(Ref("pedal", ""), told, boxes.GOVERNOR)]
    note = "Carpet and mat in place, engine off, rod or cable off the carburettor."
    return "Pad travel", note, [(Ref("pedal", ""), words, boxes.PEDAL)]


def _at_rest(layout: Layout, *, plate: bool) -> str:
    """Return how a shaft stands when its angles are measured."""
    if layout.governed:
        return "lever on its full stop" if plate else "engine stopped"
    return "lever on its idle stop" if plate else "pedal up"


def _slide(slide: Shaft) -> _Draft:
    name = slide.name
    words = f"guide of {name}: its ends, on the bar's middle"
    drafts: list[_Part] = [(Ref("shaft", name), words, boxes.GUIDE)]
    drafts += [
        (Ref("arm", name, pin), f"pin {pin}: its middle", boxes.PIN)
        for pin in slide.arms
    ]
    seen = slide.viewed.seen_from
    return name, f"Pins point to one who sees it from {seen}; pedal up.", drafts


def _shaft(layout: Layout, shaft: Shaft) -> _Draft:
    if shaft.slides:
        return _slide(shaft)
    name = shaft.name
    plate = any(t.shaft == name for t in layout.plates)
    asked = boxes.PIVOT + (boxes.DRAG if plate else ())
    off = all_rods(rod_kinds(layout))
    pulls = f"; pulls with {off} and springs off" if plate else ""
    begins = {cam.start for cam in layout.rods.values() if isinstance(cam, Cam)}
    drafts: list[_Part] = [(Ref("shaft", name), f"pivot of {name}{pulls}", asked)]
    for arm, wound in shaft.arms.items():
        is_pad = (name, arm) == (layout.pedal.shaft, layout.pedal.pad)
        is_pad = is_pad and not layout.governed
        asked = boxes.PAD if is_pad else boxes.ARM
        words = f"arm {arm}: middle of pad" if is_pad else f"arm {arm}: its hole"
        if (hand := layout.hand) and (name, arm) == (hand.shaft, hand.lever):
            asked, words = boxes.PAD, f"arm {arm}: where the hand holds it"
        if wound.wound:
            asked = boxes.SNAIL if wound.rim else boxes.DRUM
            words = f"arm {arm}: nipple of a {'snail' if wound.rim else 'drum'}"
        if Hole(shaft=name, arm=arm) in begins:
            asked, words = boxes.CAM_ARM, f"arm {arm}: where the cam begins"
        drafts.append((Ref("arm", name, arm), words, asked))
    rest = _at_rest(layout, plate=plate)
    if layout.hand is not None and name == layout.hand.shaft:
        rest = "hand lever pushed home"
    return name, f"{counts_from(shaft)}; {rest}.", drafts


def _throttles(layout: Layout) -> _Draft:
    drafts: list[_Part] = []
    for name, throttle in layout.throttles.items():
        seen = layout.shafts[throttle.shaft].axis.seen_from
        asked = boxes.PLATE if throttle.kind == "plate" else boxes.SWING
        called = "" if name in {throttle.shaft, "throttle"} else f" {name}"
        words = f"swing of {throttle.shaft}{called}, seen from {seen}"
        drafts.append((Ref("throttle", name), words, asked))
    note = "From idle stop to full stop, choke off."
    if layout.governed:
        note = "From full stop to idle stop; which way it opens."
    return "Throttle", note, drafts


def _springs(layout: Layout) -> _Draft:
    drafts: list[_Part] = []
    for name, spring in layout.springs.items():
        hook = f", hooked to {spring.shaft}.{spring.arm}" if spring.arm else ""
        asked = boxes.SPRINGS.get(spring.kind, boxes.SPRING)
        drafts.append((Ref("spring", name), f"spring {name}{hook}", asked))
    note = "Anchor: where its fixed end pulls. Lengths inside the hooks."
    return "Return springs", note, drafts
