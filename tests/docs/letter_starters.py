"""Write the letters of the measuring sheet into the comments of the starter layouts.

Run with ``python -m tests.docs.letter_starters``; nothing but comments changes, and a
test asks that a second run changes nothing.
"""

from __future__ import annotations

import sys
import textwrap
import tomllib
from pathlib import Path
from typing import TYPE_CHECKING, Final

from linkage.config import loads
from linkage.model import Cable
from linkage.model.refs import Ref
from linkage.sheet.letters import letters

if TYPE_CHECKING:
    from linkage.model import Layout, Rod

CONFIGS: Final = Path(__file__).parents[2] / "configs"
#: By kind of part: which boxes of its row each key of its table takes.
BOXES: Final = {
    "shaft": "pivot 1 to 3, bearing 4",
    "slide": "guide 1 to 6, diameter 7",
    "plate": "pivot 1 to 3, bearing 4, drag 5 to 7",
    "rod": "diameter 1, length 2, joints 3",
    "slotted rod": "diameter 1, length 2, joints 3, slot 4, slot_at 5, lost 6",
    "one-way rod": "diameter 1, length 2, joints 3, only 4, lost 5",
    "sprung rod": (
        "diameter 1, length 2, joints 3, over_travel 4, over_travel_load 5, "
        "over_travel_rate 6"
    ),
    "cable": "wire 1, sheath_length 2, wire_length 3, slack 4",
    "push-pull cable": (
        "wire 1, sheath_length 2, wire_length 3, play 4, stroke 5, push_limit 6"
    ),
    "cam": "roller 1, pin_diameter 2, round 3, profile 4 to 15",
    "pedal": "travel 1, stop 2, free_play 3",
    "governor": "travel 1, turns 2",
    "hand": "travel 1, holds 2, pulls 3",
    "throttle": "swing 1, opens 2, bore 3, spindle 4, closed_angle 5",
    "spring": (
        "anchor 1 to 3, anchored_on 4, free_length 5, greatest_length 6, rate 11, "
        "initial_tension 12"
    ),
    "engine": "roll 1, lift 2, about 3 to 5",
    "heat": (
        "held 1 to 3, block 4, block_hot 5, rods_hot 6, body_hot 7, manifold 8, "
        "manifold_hot 9, seat 10 to 12"
    ),
    "pipe": "points 1 to 3, diameter 4, on 5",
    "sphere": "centre 1 to 3, diameter 4, on 5",
    "box": "corners 1 to 3, on 4",
    "plane": "point 1 to 3, on 4",
}
_TABLES: Final = {
    "shafts": "shaft", "slides": "shaft", "rods": "rod", "cables": "rod", "cams": "rod", "springs": "spring",
    "throttles": "throttle", "pedal": "pedal", "governor": "pedal", "hand": "hand", "throttle": "throttle",
    "engine": "engine", "obstacles": "obstacle",
}  # fmt: skip
_MARK: Final = "# Sheet: "
_MORE: Final = "#        "


def _about(table: str) -> Ref | None:
    """Return the part a table is about."""
    keys: list[str] = []
    inner = tomllib.loads(f"[{table}]")
    while isinstance(inner, dict) and inner:
        key, inner = next(iter(inner.items()))
        keys.append(key)
    if keys == ["heat"]:
        return Ref("engine", "heat")
    kind = _TABLES.get(keys[0])
    if kind is None:
        return None
    if len(keys) == 1:
        return Ref(kind, "throttle" if kind == "throttle" else "")
    return Ref(kind, keys[1])


def _shaft_kind(layout: Layout, about: Ref) -> str:
    """Return what of shafts one is: a plate's, a slide; of any other part its kind."""
    if about.kind != "shaft":
        return about.kind
    if layout.shafts[about.name].slides:
        return "slide"
    return "plate" if any(t.shaft == about.name for t in layout.plates) else "shaft"


def _lines(layout: Layout, about: Ref) -> list[str]:
    """Return the comment that says which letters a table's numbers have."""
    known = letters(layout)
    kind = _shaft_kind(layout, about)
    if kind == "rod":
        kind = _made(layout.rods[about.name])
    if about == Ref("engine", "heat"):
        kind = "heat"
    if kind == "obstacle":
        kind = layout.obstacles[about.name].shape
    asked = BOXES["governor" if kind == "pedal" and layout.governed else kind]
    if kind == "throttle" and layout.throttles[about.name].kind != "plate":
        asked = "swing 1, opens 2"
    if kind == "spring" and layout.springs[about.name].kind != "extension":
        asked = "in the order of the sheet"
    told = [f"{known[about]} {asked}", *_sheath(layout, about)]
    told += _further(layout, about)
    if about.kind == "shaft":
        arms = layout.shafts[about.name].arms
        more = {
            n: ", wound 4" * bool(a.wound) + ", rim 5 on" * bool(a.rim)
            for n, a in arms.items()
        }
        each = ", ".join(
            f"{known[Ref('arm', about.name, arm)]} {arm}{f' ({also[2:]})' if also else ''}"
            for arm, also in more.items()
        )
        of_arms = "arms, length 1, angle 2, offset 3"
        told.append(f"{'pins, 1 to 3' if kind == 'slide' else of_arms}: {each}")
    return textwrap.wrap(
        "; ".join(told), 84, initial_indent=_MARK, subsequent_indent=_MORE
    )


def _made(rod: Rod) -> str:
    """Return which boxes a rod, cable or cam has."""
    if isinstance(rod, Cable):
        return "cable" if rod.only else "push-pull cable"
    if rod.kind == "cam":
        return "cam"
    if rod.gives:
        return "sprung rod"
    if rod.loose:
        return "one-way rod" if rod.only else "slotted rod"
    return "rod"


def _further(layout: Layout, about: Ref) -> list[str]:
    """Return the letters of an obstacle's further points and holes."""
    if about.kind != "obstacle":
        return []
    obstacle, known = layout.obstacles[about.name], letters(layout)
    many = len(obstacle.points) + len(obstacle.holes)
    each = [known[Ref("obstacle", about.name, str(i))] for i in range(1, many)]
    if not each:
        return []
    word = "holes" if obstacle.holes else "then"
    return [f"{word} {', '.join(each)}, each 1 to {4 if obstacle.holes else 3}"]


def _sheath(layout: Layout, about: Ref) -> list[str]:
    """Return the letters of the points of a cable's sheath."""
    cable = layout.rods.get(about.name) if about.kind == "rod" else None
    if not isinstance(cable, Cable):
        return []
    known = letters(layout)
    each = {part: known[Ref("rod", about.name, part)] for part in ("from", "to")}
    between = [
        known[Ref("rod", about.name, str(i + 1))] for i in range(len(cable.through))
    ]
    told = [
        f"sheath_{part} {letter} 1 to 3, sheath_{part}_on {letter}4"
        for part, letter in each.items()
    ]
    if between:
        told.insert(1, f"sheath_through {', '.join(between)}, each 1 to 3")
    else:
        told.append(f"bend {known[about]}{5 if cable.only else 7}")
    return told


def with_letters(name: str, text: str) -> str:
    """Return a starter's text with the letters of its measuring sheet."""
    layout = loads(text, name).layout
    out: list[str] = []
    for line in text.splitlines():
        if line.startswith((_MARK, _MORE)):
            continue
        about = _about(line.split("]")[0].strip("[")) if line.startswith("[") else None
        if about is not None and about in letters(layout):
            out += _lines(layout, about)
        out.append(line)
    return _told("\n".join(out) + "\n", name)


def _told(text: str, name: str) -> str:
    """Return it with a word on the letters at the end of its opening comment."""
    told = (
        "#\n# Letters and numbers after `Sheet:` are those of the sheet to measure by:\n"
        f"#   throttle-linkage measure {name} sheet.pdf\n"
    )
    if told in text:
        return text
    head, blank, rest = text.partition("\n\n")
    return f"{head}\n{told.rstrip()}{blank}{rest}"


def main() -> None:
    """Letter every starter."""
    for path in sorted(CONFIGS.glob("*.toml")):
        old = path.read_text(encoding="utf-8")
        new = with_letters(path.stem, old)
        if new != old:
            path.write_text(new, encoding="utf-8")
            sys.stdout.write(f"lettered {path.name}\n")


if __name__ == "__main__":
    main()
