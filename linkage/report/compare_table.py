"""Senses and numbers of two layouts side by side, as a table of three columns.

Not here: what stands over it and under it (`report.compare`).
"""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, Final, TypeAlias

from linkage.model import NAMED
from linkage.model.called import a_rod, part_name
from linkage.quantities import say, spoken_unit
from linkage.report.compare_ways import spring_word, ways_words
from linkage.report.compare_words import kinds_of
from linkage.report.governed_words import of_governors
from linkage.report.tables import wrapped

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from linkage.comparison import Comparison, Side, Way
    from linkage.comparison.slack import Drives
    from linkage.model import Hole

#: Pad travel that is told where a plate opens no sooner. [m]
_LATE: Final = 0.5e-3
#: Widths of the table's first two columns.
_PART, _OLD, _LEAST = 40, 20, 18
#: From where the table's senses are seen where it does not say so.
USUAL: Final = NAMED["across"].seen_from

Row: TypeAlias = tuple[str, str, str]


def side_by_side(c: Comparison, *, everything: bool, width: int) -> list[str]:
    """Return the table; parts of a kind that say the same share a row.

    Parameters
    ----------
    c : Comparison
        From `comparison.compare`.
    everything : bool
        Each part in a row of its own.
    width : int
        Signs a line holds.
    """
    rows = [
        *_grouped([_shaft_row(w) for w in c.shafts], everything=everything),
        *_grouped([_throttle_row(w) for w in c.throttles], everything=everything),
        *_grouped([_rod_row(w, kinds_of(c)) for w in c.rods], everything=everything),
        *_grouped([_spring_row(w) for w in c.springs], everything=everything),
        *(_slack_row(d, kinds_of(c)) for d in c.slack),
        *_numbers(c),
    ]
    head = (f"Pedal going down, from {USUAL}", "old", "NEW")
    if c.new.layout.governed:
        head, *rows = (_governors(row) for row in (head, *rows))
    return _columns(head, rows, width)


def _governors(row: Row) -> Row:
    one, two, three = (of_governors(cell, governed=True) for cell in row)
    return one, two, three


def _columns(head: Row, rows: Iterable[Row], width: int) -> list[str]:
    """Return rows in three columns, long words folded inside their own."""
    last = width - _PART - _OLD - 2
    if last < _LEAST:
        return _cards(head, rows, width)
    sizes = (_PART, _OLD, last)
    out: list[str] = []
    for row in (head, *rows):
        cells = [textwrap.wrap(w, s) or [""] for w, s in zip(row, sizes, strict=True)]
        for i in range(max(map(len, cells))):
            parts = [c[i] if i < len(c) else "" for c in cells]
            line = " ".join(p.ljust(s) for p, s in zip(parts, sizes, strict=True))
            out.append(line.rstrip())
    return out


def _cards(head: Row, rows: Iterable[Row], width: int) -> list[str]:
    """Return each row as words, where the table is wider than the terminal."""
    out = wrapped(f"{head[0]}:", "  ", width=width, first="")
    for name, old, new in rows:
        text = f"{name}: {head[1]} {old}, {head[2]} {new}"
        out += wrapped(text, "    ", width=width, first="  ")
    return out


def _grouped(
    rows: Sequence[tuple[str, str, str, str]], *, everything: bool
) -> list[Row]:
    """Join rows of one kind that say the same; each kind, name, old and new."""
    alike: dict[tuple[str, str, str, int], list[str]] = {}
    for i, (kind, name, old, new) in enumerate(rows):
        alike.setdefault((kind, old, new, i * everything), []).append(name)
    out = []
    for (kind, old, new, _), names in alike.items():
        plural = f"{kind}s" if kind and len(names) > 1 else kind
        now = "as before" if new == old else new
        out.append((f"{plural} {', '.join(names)}".strip(), old, now))
    return out


def _shaft_row(w: Way) -> tuple[str, str, str, str]:
    return "", *_turning(w, w.about.name)


def _throttle_row(w: Way) -> tuple[str, str, str, str]:
    return "", *_turning(w, f"{w.about.name} opens")


def _turning(w: Way, name: str) -> Row:
    """Return both senses, with the viewer where that is not the one at the right."""
    old, new = ways_words(w)
    one, two = w.seen
    if w.along:
        return f"{name} goes", old, new
    if one != two:
        return name, f"{old} from {one}", f"{new} from {two}"
    return (f"{name} (from {two})" if two != USUAL else name), old, new


def _rod_row(w: Way, kinds: Mapping[str, str]) -> tuple[str, str, str, str]:
    one, two = (word.replace("lets go", "LETS GO") for word in ways_words(w))
    return kinds.get(w.about.name, "rod"), w.about.name, one, two


def _spring_row(w: Way) -> tuple[str, str, str, str]:
    old, new = (spring_word(a, b) for a, b in zip((w.old, w.new), w.shuts, strict=True))
    return "spring", w.about.name, old, new


def _slack_row(d: Drives, kinds: Mapping[str, str]) -> Row:
    return (
        f"{part_name(kinds, d.about)} drives from pad",
        _drives(d.old),
        _drives(d.new),
    )


def _drives(travel: float | None) -> str:
    if travel is None:
        return "NEVER"
    return say(travel, "length") if travel else "at once"


def _numbers(c: Comparison) -> list[Row]:
    def row(name: str, one: str, two: str) -> Row:
        return name, one, two

    both = (c.old, c.new)
    late = any(s.opens and s.curve.start > _LATE for s in both)
    limit = say(c.new.curve.full_limit, "fraction", 0)
    return [
        *([row("opens from pad", *map(_start, both))] if late else []),
        row(f"pad at {limit} open; plate opens to", *map(_full, both)),
        row("pad force", *map(_force, both)),
        row(f"least angle, arm to {a_rod(kinds_of(c))}", *map(_angle, both)),
        row("turn left to dead centre", *map(_dead, both)),
    ]


def _start(side: Side) -> str:
    return say(side.curve.start, "length") if side.opens else "not at all"


def _full(side: Side) -> str:
    if not side.opens:
        return "-"
    share = say(side.examined.throttle_share, "fraction", 0)
    at = side.curve.full_at
    return f"{'not' if at is None else say(at, 'length')}; {share}"


def _force(side: Side) -> str:
    if side.pad_force is None:
        return "-"
    digits = 0 if spoken_unit("force").unit == "N" else 1
    low, high = (say(f, "force", digits) for f in side.pad_force)
    return f"{low.rpartition(' ')[0]} to {high}"


def _angle(side: Side) -> str:
    return _at(side.least_angle, side.least_at[1])


def _dead(side: Side) -> str:
    if not side.opens:
        return "-"
    if side.dead_centre is None:
        return "none within reach"
    return _at(*side.dead_centre)


def _at(angle: float, hole: Hole) -> str:
    """Return an angle with its arm, without it where that takes a line more."""
    told = say(angle, "angle", 0)
    whole = f"{told} {hole}"
    return whole if len(whole) < _OLD else told
