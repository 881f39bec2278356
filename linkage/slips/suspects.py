"""Which slips would explain a layout that cannot be.

A layout is suspected where it cannot be put together, where its motion does not fit,
where a spring sits on the wrong side, or where a size is not usual. Then every usual
slip is taken back alone, and judged by the whole check.

Not here: the slips (`slips.kinds`), judging them (`slips.judging`).
"""

from __future__ import annotations

from itertools import chain
from typing import TYPE_CHECKING, Any, Final

from linkage.errors import AssemblyError, LayoutError
from linkage.rules.engine import judge
from linkage.rules.examine import COARSE, WHOLE, examine
from linkage.rules.governor_words import GOVERNED
from linkage.rules.order import GAPS, RULES, alike
from linkage.rules.rule import GEOMETRY, NEEDS
from linkage.search.standing import Before
from linkage.search.work import Work, is_large
from linkage.slips.cables import cable_slips
from linkage.slips.judging import Asked, meant, tried
from linkage.slips.kinds import KINDS, Hypothesis
from linkage.slips.questions import questions
from linkage.slips.sizes import size_slips
from linkage.slips.slip import Slip, Slips
from linkage.slips.slots import slot_slips
from linkage.slips.turned import place_slips
from linkage.slips.wholes import whole_slips

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Layout
    from linkage.rules.examine import Grain
    from linkage.rules.rule import Need
    from linkage.search import Check
    from linkage.slips.judging import Tried

#: Rules beside those of motion that a place or an angle typed wrongly breaks. What is
#: only too weak or too heavy is no slip of measuring.
MISPLACED: Final = frozenset(
    {r.code for r in (*RULES, *GOVERNED) if r.needs in {"motion", "dead centres"}}
    | alike("spring-hand", "spring-slack", "spring-overstretched", "sheath-loss")
)
#: Slips that are told, and those that are looked at closely for them.
TOLD: Final = 3
CLOSELY: Final = 8
#: What looking for them may work, the share of it that is kept to look closely, into which
#: part of it a large layout must go, and the fewest that are worth a look.
MOST_WORK: Final = 1e8
KEPT_WORK: Final = 0.2
LARGER: Final = 3
FEWEST: Final = 32
#: What asks for more looks than these beside the likeliest is not told.
MORE_LOOKS: Final = 1


def hypotheses(layout: Layout) -> list[Hypothesis]:
    """Return every usual slip of a layout, the likeliest first, no layout twice."""
    found: dict[Any, Hypothesis] = {}
    kinds = (cable_slips, place_slips, size_slips, slot_slips, whole_slips)
    for slip in sorted(
        chain.from_iterable(of(layout) for of in kinds),
        key=lambda s: (KINDS[s.kind].order, s.change),
    ):
        sets = (
            (path, round(v, 9) if isinstance(v, float) else id(v))
            for path, v in slip.sets.items()
        )
        found.setdefault((frozenset(sets), slip.turned), slip)
    return [slip for slip in found.values() if _possible(layout, slip)]


def _possible(layout: Layout, slip: Hypothesis) -> bool:
    try:
        meant(layout, slip)
    except LayoutError:
        return False
    return True


def suspected(
    layout: Layout, *, check: Check | None = None, geometry: bool = False
) -> Slips:
    """Return the usual slips that would explain what is wrong with a layout.

    Parameters
    ----------
    layout : Layout
        As it was measured; one.
    check : Check, optional
        Of the layout; it is checked here where none is given.
    geometry : bool
        Judge geometry alone, as is done of a layout without springs anyhow.

    Returns
    -------
    Slips
        A tuple of Slip, three at most, the likeliest first: those that make all well,
        or where there are none the one after which at least all moves as it should and
        nothing new is wrong. Empty of a layout that fits and whose sizes are usual.
    """
    needs = GEOMETRY if geometry or not layout.springs else NEEDS
    odd = questions(layout)
    failed, moved, bad = None, True, set[str]()
    try:
        x = examine(layout) if check is None else check.examined
        judged = judge(x, needs)
    except (AssemblyError, LayoutError):  # in pieces, or a spring that cannot be
        pass
    else:
        odd = questions(layout, {p.link.rod.name: p.length for p in x.assembly.loops})
        bad = {f.code for f in judged.findings() if f.verdict == "do not fit"}
        moved = bool(bad & MISPLACED)
        failed = bad | Before.of(judged, 0, layout).failing
    asked = frozenset(q.key for q in odd)
    if not moved and not asked:
        return Slips()
    # Where gaps alone are wrong, a part that works well was hardly measured wrongly, and
    # what it comes near to was.
    near = moved and failed is not None and not (bad & MISPLACED) - GAPS
    wrong = _Wrong(layout, needs, asked, failed, moved=moved, near=near)
    out = Slips(wrong.told())
    out.cut = wrong.work.cut
    return out


class _Wrong:
    """A layout that cannot be, or with odd sizes.

    Parameters
    ----------
    layout : Layout
        As it is written.
    needs : tuple of str
        What it is judged by.
    asked : frozenset of tuple of str
        Keys of its odd sizes.
    failed : set of str, optional
        Codes of rules that fail or could not be judged; None where none could be.
    moved : bool
        Whether what is wrong may come of a place or an angle.
    near : bool
        Whether that is only what comes too near: then of where an obstacle is.
    """

    def __init__(
        self,
        layout: Layout,
        needs: tuple[Need, ...],
        asked: frozenset[tuple[str, ...]],
        failed: set[str] | None,
        *,
        moved: bool,
        near: bool,
    ) -> None:
        self.layout, self.needs = layout, needs
        self.asked, self.failed, self.moved = asked, failed, moved
        self.near = near and not asked
        # Of a large layout the slips alone take long to put together.
        self.work = Work(MOST_WORK / LARGER if is_large(layout) else MOST_WORK)

    def told(self) -> Iterator[Slip]:
        """Yield the likeliest of all slips that explain it, coarsely looked at first."""
        # Of a layout so large that few could be solved they are not even listed.
        if self._few(FEWEST, COARSE) < FEWEST:
            return
        slips = [
            slip
            for slip in hypotheses(self.layout)
            if not self.near or slip.about.kind == "obstacle"
        ]
        near = self._likeliest(slips, closely=False)
        near = near[: self._few(min(len(near), CLOSELY), WHOLE)]
        close = self._likeliest([t.slip for t in near], closely=True)
        whole = [t for t in close if not t.bad]
        # One slip of a number may make two others of it; the likelier is told.
        first = {(t.slip.kind, t.slip.key): t for t in reversed(whole)}
        kept = [t for t in whole if t in first.values()]
        least = kept[0].looks + MORE_LOOKS if kept else 0
        few = [t for t in kept if t.looks <= least][:TOLD]
        yield from (_slip(self.layout, t) for t in few or close[:1])

    def _few(self, many: int, grain: Grain) -> int:
        return self.work.afford(self.layout, many, grain)

    def _likeliest(self, slips: list[Hypothesis], *, closely: bool) -> list[Tried]:
        kept = 0.0 if closely else KEPT_WORK * self.work.most
        asked = Asked(needs=self.needs, bars=self._bars, work=self.work, kept=kept)
        found = tried(self.layout, slips, asked, closely=closely)
        ranked = [(t, self._odd(t)) for t in found]
        good = [(t, odd) for t, odd in ranked if self._explained(t, odd)]
        return [t for t, odd in sorted(good, key=lambda both: _rank(*both))]

    def _odd(self, t: Tried) -> frozenset[tuple[str, ...]]:
        """Return which sizes are not usual then."""
        return frozenset(
            q.key for q in questions(meant(self.layout, t.slip), t.lengths)
        )

    def _explained(self, t: Tried, odd: frozenset[tuple[str, ...]]) -> bool:
        """Tell whether a slip explains it: all moves then, and nothing new is wrong."""
        bad = set(t.bad)
        if odd - self.asked or any(map(self._bars, bad)):
            return False
        return self.moved or odd < self.asked

    def _bars(self, code: str) -> bool:
        """Tell whether nothing is explained where a rule is broken then."""
        if code in MISPLACED:
            return True
        return self.failed is not None and code not in self.failed


def _rank(t: Tried, odd: frozenset[tuple[str, ...]]) -> tuple[Any, ...]:
    """Return the rank of a slip: least first.

    First what leaves least wrong and the fewest odd sizes, then what asks for no look,
    then by the order of kinds, then the least change.
    """
    kind = KINDS[t.slip.kind].order
    return len(t.bad), len(odd), t.looks > 0, kind, t.slip.change


def _slip(layout: Layout, t: Tried) -> Slip:
    slip = t.slip
    return Slip(
        kind=slip.kind,
        about=slip.about,
        key=slip.key,
        old=slip.old,
        new=slip.new,
        unit=slip.unit,
        text=f"if {slip.clause}, {slip.then}",
        layout=meant(layout, slip),
        left=t.bad,
        looks=t.looks,
    )
