"""Two layouts side by side as one screen, and all of it on request.

Not here: its table (`report.compare_table`), the sentences (`report.compare_words`,
`report.compare_trials`), plain data (`report.compare_data`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.comparison.senses import opens_at
from linkage.model.called import a_rod, rod_kinds
from linkage.quantities import say
from linkage.report.compare_table import side_by_side
from linkage.report.compare_trials import called, trial_text, unit_text
from linkage.report.compare_words import (
    change_text,
    changes_text,
    datum_moved,
    kinds_of,
    quoted,
    stands_text,
    turn_text,
)
from linkage.report.findings import closing_lines
from linkage.report.governed_words import of_governors
from linkage.report.lines import line_width, wrapped
from linkage.report.screen import spaced
from linkage.report.verdict import headline
from linkage.rules.caution import CAUTION
from linkage.spoken import listed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from linkage.comparison import Comparison, Side, Tried
    from linkage.model.refs import Ref

#: Most of what mends it, on the screen.
MOST: Final = 2
#: Most parts that are named as matched by place, or as in one linkage only.
FEW: Final = 3
#: Lines of what moved on one screen.
_MOVED: Final = 2


def compare_lines(
    c: Comparison, *, everything: bool = False, layout: str = "", width: int = 0
) -> list[str]:
    """Return a comparison as lines for a terminal.

    Parameters
    ----------
    c : Comparison
        From `comparison.compare`.
    everything : bool
        All parts and changes, each part set back, findings and cautions.
    layout : str
        File of the new layout, for what to do next.
    width : int
        Signs a line holds; 0 for as many as the terminal takes.
    """
    width = width or line_width()
    head = [*_head("old", c.old, width), *_head("NEW", c.new, width)]
    table = side_by_side(c, everything=everything, width=width)
    moved = _what_moved(c, everything=everything, width=width) + _unlike(
        c, everything=everything, width=width
    )
    causes = _causes(c, everything=everything, width=width)
    blocks = [head, _put(verdict_text(c), width), table]
    if everything:
        blocks = [*blocks, moved, causes, *_rest(c, width)]
        return spaced(blocks, room=sum(map(len, blocks)) + len(blocks))
    do = "" if c.fits else f" What to do: throttle-linkage check {layout}".rstrip()
    last = [*_put(f"More: --all.{do}", width), *_put(CAUTION, width)]
    return spaced([*blocks, [*moved, *causes, *last]])


def _put(text: str, width: int, *, first: str = "", then: str = "  ") -> list[str]:
    return wrapped(text, then, width=width, first=first)


def _head(word: str, side: Side, width: int) -> list[str]:
    text = f"{word}: {headline(side.check)} ({side.title})"
    return _put(text, width, then="     ")


def verdict_text(c: Comparison) -> str:
    """Return where the sense turns round, and what comes of it, in a few sentences."""
    return _said(c, _verdict_text(c))


def _said(c: Comparison, text: str) -> str:
    return of_governors(text, governed=c.new.layout.governed)


def _verdict_text(c: Comparison) -> str:
    turns = c.turned.turns
    stands = stands_text(c.turned.mirror)
    if not turns:
        where = f" on the way to `{c.new.layout.main.name}`" * bool(c.turned.branches)
        words = f"othing turned round{where}."
        words = f"{stands}: n{words}" if stands else f"N{words}"
        return f"{words}{_measured(c)} {_opening(c)}{_branches(c)}"
    words = f"{stands}. " if stands else ""
    words += f"The sense first turns round here: {turn_text(c, turns[0])}."
    words += _wrong_hand(c)
    for i, turn in enumerate(turns[1:], start=2):
        word = "It turns back here" if i % 2 == 0 else "It turns round again here"
        words += f" {word}: {turn_text(c, turn)}."
    return f"{words} {_opening(c)}{_branches(c)}"


def _branches(c: Comparison) -> str:
    """Return what turns the sense round on the way to further throttles."""
    out = ""
    for name, turns in c.turned.branches.items():
        told = "; ".join(turn_text(c, t) for t in turns)
        out += f" On the way to `{name}`: {told}."
    return out


def _wrong_hand(c: Comparison) -> str:
    """Name the crank that another carburettor wants of the other hand."""
    first = c.turned.first
    if first is None or first.parts[0].kind != "throttle":
        return ""
    good = [t for t in c.trials if not t.back and not t.left]
    return (
        f" `{good[0].units[0].about.name}` is of the wrong hand for it." if good else ""
    )


def _measured(c: Comparison) -> str:
    """Tell which shafts were measured from the other side, which turns nothing round."""
    other = [w for w in c.shafts if w.measured]
    if not other:
        return ""
    names = listed([f"`{w.about.name}`" for w in other])
    verb = "are" if len(other) > 1 else "is"
    return (
        f" {names} {verb} measured from {other[0].seen[1]}, in the old file from "
        f"{other[0].measured}: only the words for it change."
    )


def _opening(c: Comparison) -> str:
    name = c.new.layout.main.name
    was, now = c.old.opens, c.new.opens
    # As if every rod drove: where one cannot do what it must, the plate stays.
    would = [opens_at(s.examined, s.layout.main.name) for s in (c.old, c.new)]
    before = "opened" if was else "did not move" if would[0] else "shut"
    if not now and would[1]:
        rod = a_rod(rod_kinds(c.new.layout))
        return f"Pressing {before} `{name}`; now a {rod} lets go, and it does NOT MOVE."
    if was and not now:
        return f"Pressing opened `{name}`; now it SHUTS it."
    if now and not was:
        return f"Pressing {before} `{name}`; now it opens it."
    if not now:
        as_before = ", as it did" if before == "shut" else ""
        return f"Pressing SHUTS `{name}`{as_before}."
    if c.new.curve.full_at is None and c.old.curve.full_at is not None:
        share = say(c.new.examined.throttle_share, "fraction", 0)
        return f"Pressing opens `{name}`, but to {share} only."
    return f"Pressing opens `{name}`, as before."


def _what_moved(c: Comparison, *, everything: bool, width: int) -> list[str]:
    if not c.changes:
        return _put("Nothing that both files give has changed.", width)
    if everything:
        out = ["Changed:"]
        for change in c.changes:
            text = _said(c, change_text(change, kinds_of(c)))
            out += _put(text, width, first="  - ", then="    ")
        return out
    datum = datum_moved(c.old.layout, c.new.layout, c.changes)
    changes = [k for k in c.changes if not (datum and k.kind == "place")]
    phrases = [f"all shafts {datum}"] * bool(datum) + changes_text(changes, kinds_of(c))
    lines: list[str] = []
    for count in range(len(phrases), 0, -1):
        more = len(phrases) - count
        tail = f"; and {more} more" if more else ""
        text = _said(c, "; ".join(phrases[:count]))
        lines = _put(f"Changed: {text}{tail}.", width)
        if len(lines) <= _MOVED:
            break
    return lines[:_MOVED]


def _unlike(c: Comparison, *, everything: bool, width: int) -> list[str]:
    """Tell what was matched by its place, and what only one of them has.

    Arms alone are left to `everything`, and how many more there are is told.
    """
    most = 999 if everything else FEW
    pairs = [p for p in c.matching.by_place if everything or p.new.kind != "arm"]
    by_place = [f"`{_short(p.old)}` is now {quoted(p.new, kinds_of(c))}" for p in pairs]
    out = []
    if by_place:
        out += _put(f"Matched by place: {_few(by_place, most)}.", width)
    for word, refs in (("old", c.matching.only_old), ("new", c.matching.only_new)):
        whole = {r.name for r in refs if r.kind == "shaft"}
        lone = [r for r in refs if not (r.kind == "arm" and r.name in whole)]
        lone.sort(key=lambda r: r.kind == "arm")
        if lone:
            told = _few([_lone(c, word, r) for r in lone], most)
            out += _put(f"Only in the {word} linkage: {told}.", width)
    return out


def _lone(c: Comparison, word: str, ref: Ref) -> str:
    """Return a part that only the old or the new linkage has; a slide as one."""
    slides = {
        "old": {p.name for p in c.old.layout.shafts.values() if p.slides},
        "new": {p.name for p in c.new.layout.shafts.values() if p.slides},
    }
    named = quoted(ref, kinds_of(c))
    return (
        f"slide {named}" if ref.kind == "shaft" and ref.name in slides[word] else named
    )


def _short(ref: Ref) -> str:
    return str(ref).removeprefix("rod ").removeprefix("spring ")


def _few(words: Sequence[str], most: int) -> str:
    more = len(words) - most
    told = ", ".join(words[:most])
    return f"{told} and {more} more" if more > 0 else told


def _causes(c: Comparison, *, everything: bool, width: int) -> list[str]:
    """Return what mends it, set back alone or in pairs, each solved."""
    if not c.tried:
        return []
    if not c.trials:
        text = "Set back alone and in pairs, no changed part mends it."
        return _put(text, width)
    # Of three the first mends a part alone of what the second, a pair, mends whole.
    few = c.trials if everything else c.trials[-MOST:]
    texts = [trial_text(c, t) for t in few]
    head = "Set back and solved by every rule:"
    if not any(t.back for t in c.trials):
        head = "No changed part mends it, set back alone or in pairs. But, solved too:"
    if len(texts) == 1:
        return _put(f"{head} {texts[0]}.", width)
    out = [head]
    for number, text in enumerate(texts, start=1):
        out += _put(f"{text}.", width, first=f"  {number}. ", then="     ")
    return out


def _rest(c: Comparison, width: int) -> list[list[str]]:
    """Return each part set back, what is not in order, and all cautions, as blocks."""
    tried = [
        f"{listed([unit_text(c, u) for u in t.units])}: {_said(c, _tried(t))}"
        for t in c.tried
    ]
    wrong = [
        f"{f.text} [{f.code}]" for f in c.new.check.findings if f.verdict != "fits"
    ]
    return [
        _points("Each changed part set back, at a first look:", tried, width),
        _points("Not in order in the new one:", wrong, width),
        closing_lines(c.new.check),
    ]


def _points(head: str, texts: Sequence[str], width: int) -> list[str]:
    """Return texts as points under a head; nothing where there are none."""
    out = []
    for text in texts:
        out += _put(text, width, first="  - ", then="    ")
    return [*_put(head, width), *out] if out else []


def _tried(t: Tried) -> str:
    if not t.assembles:
        return "cannot be put together"
    opens = f"opens {say(t.reached, 'fraction', 0)}" if t.opens else "shuts"
    return f"{opens}; {called(sorted(t.left), t.layout) or 'nothing left'}"
