"""What to read on a vehicle: a table, plain data, and a file of readings to fill in.

Not here: what was read (`report.proof`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from linkage.config.written import key_of, text_of
from linkage.model.readings import READ_WITH
from linkage.quantities import SHOWN as SHOWN_UNITS
from linkage.quantities import say
from linkage.report.tables import in_shown, table, wrapped
from linkage.rules.caution import CAUTION
from linkage.spoken import DATA_UNITS, number, unit_word

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from linkage.config import Loaded
    from linkage.proof.blank import Blank

#: What stands where a number is to be filled in.
GAP = "____"


def _bounds(b: Blank) -> str:
    r = b.reading
    return f"{number(r.value - b.sure, r.kind)} to {number(r.value + b.sure, r.kind)}"


def _said(b: Blank) -> str:
    """Return what is predicted; of a pull what opening and letting go show."""
    r = b.reading
    if r.what == "pull":
        more, less = r.value + b.rubs, max(r.value - b.rubs, 0.0)
        return f"{number(more, 'force')}, {say(less, 'force')}"
    return say(r.value, r.kind)


def blank_lines(blanks: Sequence[Blank]) -> list[str]:
    """Return what to read as lines for a terminal.

    Parameters
    ----------
    blanks : sequence of Blank
        From `proof.blank.blanks`.
    """
    rows = [[b.reading.called, _said(b), _bounds(b), GAP] for b in blanks]
    told = (
        "Read these on the vehicle, engine off, and write them down: `--blank FILE` "
        "writes a file to fill in. Throttle angles are from the idle stop, angles of arms "
        "as the file has them, for the viewer of their shaft. Of a pull: what a spring "
        "balance square to the lever shows while it opens, and as it lets go; its bounds "
        "are those of the middle of both."
    )
    head = ["to read on the vehicle", "predicted", "nine of ten", "seen"]
    return [*table(head, rows), "", *wrapped(told, "  ", first=""), CAUTION]


def blank_data(blanks: Sequence[Blank]) -> dict[str, Any]:
    """Return what to read as plain data."""
    return {
        "units": DATA_UNITS,
        "readings": [
            {
                "what": b.reading.what,
                "about": str(b.reading.about),
                "reading": b.reading.called,
                "pad_travel_mm": in_shown(b.reading.pad, "length"),
                "unit": SHOWN_UNITS[b.reading.kind].unit,
                "predicted": in_shown(b.reading.value, b.reading.kind),
                "nine_of_ten_within": in_shown(b.sure, b.reading.kind),
                "friction_reckoned": in_shown(b.rubs, "force"),
            }
            for b in blanks
        ],
        "caution": CAUTION,
    }


def blank_text(loaded: Loaded, blanks: Sequence[Blank]) -> str:
    """Return a file of readings to fill in.

    Parameters
    ----------
    loaded : Loaded
        The layout.
    blanks : sequence of Blank
        What to read.

    Returns
    -------
    str
        TOML in which every reading stands behind a ``#`` with what is predicted.
    """
    title = loaded.layout.title or loaded.path.name
    lines = [
        "# Fill in what you read, engine off, and take the # before it away. What was not",
        "# read stays as it is. A ± beside a value says how far it may be off.",
        "format = 1",
        f"title = {text_of(title + ': read on the vehicle')}",
        "",
        "[measured]",
        "# What was read with what; the usual instrument where it is left out.",
        *_instruments(),
    ]
    # Keys of the file itself stand before its first table.
    own = [b for b in blanks if b.reading.what in {"full", "throttle"}]
    several = len(loaded.layout.throttles) > 1
    head, rest = lines[:4], lines[4:]
    body = [*_full(own), *(_throttles(own) if not several else [])]
    tail = list(_tables(own, several=several))
    tail += _levers([b for b in blanks if b.reading.what == "lever"], "levers")
    tail += _rods([b for b in blanks if b.reading.what == "rod"])
    tail += _levers([b for b in blanks if b.reading.what == "pull"], "pulls")
    return "\n".join([*head, "", *body, *rest, "", *tail]).rstrip() + "\n"


def _instruments() -> Iterator[str]:
    for name, group in READ_WITH.items():
        others = ", ".join(group.errors)
        yield f"# {name} = {text_of(group.usual)}  # {group.means}; one of {others}"


def _note(b: Blank) -> str:
    return f"predicted {_said(b)}, nine of ten {_bounds(b)}"


def _full(own: Sequence[Blank]) -> Iterator[str]:
    for b in own:
        if b.reading.what == "full":
            yield "# Pad travel at which the throttle meets its full stop."
            yield f'# full = "{GAP} {unit_word("length")}"  # {_note(b)}'
            yield ""


def _rows(some: Sequence[Blank], unit: str, gaps: int = 1) -> Iterator[str]:
    for b in some:
        r = b.reading
        pad = f"{number(r.pad, 'length')} {unit_word('length')}" if r.pad else "0"
        gap = ", ".join([f'"{GAP} {unit}"'] * gaps)
        yield f"#   [{text_of(pad) if r.pad else 0}, {gap}],  # {_note(b)}"


def _throttles(own: Sequence[Blank]) -> list[str]:
    some = [b for b in own if b.reading.what == "throttle"]
    return [
        "# Pad travel, and the throttle's angle from its idle stop then.",
        "# throttle = [",
        *_rows(some, "deg"),
        "# ]",
        "",
    ]


def _tables(own: Sequence[Blank], *, several: bool) -> Iterator[str]:
    if not several:
        return
    yield "[throttles]"
    yield "# Pad travel, and each throttle's angle from its idle stop then."
    names = dict.fromkeys(b.reading.about.name for b in own)
    for name in names:
        some = [
            b
            for b in own
            if b.reading.what == "throttle" and b.reading.about.name == name
        ]
        yield f"# {key_of(name)} = ["
        yield from _rows(some, "deg")
        yield "# ]"
    yield ""


def _levers(some: Sequence[Blank], word: str) -> list[str]:
    if not some:
        return []
    told = {
        "levers": "# Pad travel, and the arm's angle for the viewer of its shaft.",
        "pulls": "# Pad travel, and a spring balance square to the arm: opening, letting go.",
    }[word]
    out = [f"[{word}]", told]
    for about in dict.fromkeys(b.reading.about for b in some):
        mine = [b for b in some if b.reading.about == about]
        out.append(f"# {key_of(about.name)}.{key_of(about.part)} = [")
        unit, gaps = ("deg", 1) if word == "levers" else (unit_word("force"), 2)
        out += [*_rows(mine, unit, gaps), "# ]"]
    return [*out, ""]


def _rods(some: Sequence[Blank]) -> list[str]:
    if not some:
        return []
    out = ["[rods]", "# Lengths from centre to centre, as they fitted."]
    unit = unit_word("length")
    for b in some:
        name = key_of(b.reading.about.name)
        out.append(f'# {name} = "{GAP} {unit}"  # {_note(b)}')
    return [*out, ""]
