"""How a changed layout stands against what it was: mended, harmed, not to be offered.

A finding that vanished is not mended: a rule that another finding silences, that
has no travel to look at or nothing put together, could not be judged, and that
counts as failing, before a change as after it.

Not here: judging (`rules.engine`), the rows of a search (`search.tried`).
"""

from __future__ import annotations

from dataclasses import field
from functools import cached_property
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.forces import INTACT
from linkage.records import dataclass
from linkage.rules.governor_words import GOVERNED
from linkage.rules.judged import NOT_TOLD
from linkage.rules.order import BY_CODE, GAPS, RULES, TOUCHED, alike
from linkage.rules.rule import BAD, FITS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.rules.judged import Judged, Place

    BoolArray = NDArray[np.bool_]
    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.int_]

#: Rules that a change may break without harm: the pedal stop is set last.
SET_LAST: Final = frozenset({"stamp-load"})
#: Faults that no change may bring with it, not even as a first step.
NEVER: Final = frozenset(
    {
        *("reach", "dead-centre", "opening-sense", "rod-sense"),
        *("governor-reach", "governor-dead-centre", "governor-sense"),
        *("governor-rod-sense", "governor-rest"),
    }
)
#: Springs that work the wrong way, and the moved engine's jams and senses: a first
#: step may bring them for a second to mend, and nothing that is offered.
WRONG: Final = frozenset(
    {"spring-hand", "spring-line", "spring-pedal", "engine-senses"}
)
#: Rules that say nothing where nothing is wrong: no rod jams, no arm comes into line,
#: no rod is pushed, nothing rocks, no rod loses motion, no two parts are near. Of others
#: silence means that too little is known, or that another rule names it.
QUIET: Final = (
    alike(
        *("reach", "dead-centre", "dead-centre-worst", "rod-push"),
        *("engine-rock", "mount-gone"),
        *("engine-senses", "engine-springs", "engine-closing"),
        *("slot-drives", "slot-lets-go"),
    )
    | TOUCHED
    | GAPS
)
#: What a rule that is not in `QUIET` says at times only, by code and first part.
AT_TIMES: Final = frozenset({("pad-force", "locked")})
#: How much further from its limit, of what it was, is harm to what does not fit anyhow.
FURTHER: Final = 1.25
#: How near to its limit what does not fit must come, of how far it was, for a change
#: to go some way.
NEARER: Final = 0.8
#: Rules of motion that no rule of another kind silences.
SURE: Final = frozenset(
    rule.code
    for rule in (*RULES, *GOVERNED)
    if all(BY_CODE[s.by].needs == "motion" for s in rule.silenced_by)
)


def may_be_quiet(place: Place) -> bool:
    """Tell whether a finding that is no longer told, nor hidden, is gone."""
    code, _, part = place
    rule = BY_CODE[code]
    return not rule.refuses or code in QUIET or (code, *part[:1]) in AT_TIMES


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Before:
    """What a layout was before it was changed.

    Parameters
    ----------
    told : mapping of Place to int
        Rank of all that was told.
    hidden : mapping of Place to int
        Rank of what was found and named by another rule.
    mute : frozenset of str
        Codes of rules that could not be judged.
    short : mapping of Place to float
        How far from its limit is what did not fit. [SI]
    """

    told: Mapping[Place, int]
    hidden: Mapping[Place, int]
    mute: frozenset[str]
    short: Mapping[Place, float] = field(default_factory=dict)

    @classmethod
    def of(cls, judged: Judged, k: int, layout: Layout) -> Before:
        """Return what one row was; rules of force say nothing without springs."""
        mute = {code for code, rows in judged.mute.items() if rows[k]}
        if not layout.springs:
            rules = GOVERNED if layout.governed else RULES
            mute |= {r.code for r in rules if r.needs == "forces" and not r.springless}
        said = judged.told
        told = {p: int(r[k]) for p, r in judged.ranks.items() if said[p][k]}
        missing = {p: _missing(judged, p) for p, rank in told.items() if rank == BAD}
        return cls(
            told=told,
            hidden={p: int(r[k]) for p, r in judged.hidden.items()},
            mute=frozenset(mute),
            short={
                p: float(np.broadcast_to(far, judged.rows)[k])
                for p, far in missing.items()
                if far is not None
            },
        )

    @property
    def failing(self) -> frozenset[str]:
        """Codes of rules that could not be judged, of some part at least."""
        return self.mute | {p[0] for p, rank in self.hidden.items() if rank == BAD}

    def rank(self, place: Place) -> int:
        """Return a rank of before; what could not be judged counts as failing."""
        if place[0] in self.mute:
            return BAD
        return max(self.told.get(place, FITS), self.hidden.get(place, FITS))


def _missing(judged: Judged, place: Place) -> NDArray[np.float64] | None:
    """Return how far from its limit what was found is, shape (rows,) or (1,)."""
    outcome = judged.outcome(place)
    if outcome.value is None or outcome.limit is None:
        return None
    with np.errstate(invalid="ignore"):  # of what is without bound, or no number
        return np.ravel(np.abs(np.subtract(outcome.value, outcome.limit)))


#: Nothing was before: whatever is bad is harm.
NOTHING: Final = Before(told={}, hidden={}, mute=frozenset())


class Standing:
    """Rows that were judged, against what they were made from.

    Parameters
    ----------
    judged : Judged
        By every rule.
    before : Before
        What was changed.
    count : int, optional
        How many rows, where all are alike once the pedal stop is set.
    """

    def __init__(
        self, judged: Judged, before: Before, count: int | None = None
    ) -> None:
        self.judged = judged
        self.before = before
        self.count = judged.rows if count is None else count
        self._silenced: dict[Place, BoolArray] = {}

    def _rows(self, value: bool) -> BoolArray:  # noqa: FBT001
        return np.full(self.count, value)

    @cached_property
    def ok(self) -> BoolArray:
        """Whether it can be put together."""
        ok = np.ravel(self.judged.x.ok)
        return np.broadcast_to(ok, self.count).astype(bool)

    def told(self, place: Place) -> BoolArray:
        """Tell in which rows a rule has something to say, be it that all is well."""
        told = self.judged.told.get(place)
        return self._rows(False) if told is None else told  # noqa: FBT003

    def silenced(self, place: Place) -> BoolArray:
        """Tell in which rows nothing could be found at a place."""
        if place not in self._silenced:
            code, about, part = place
            mute = self.judged.mute.get(code, self._rows(False))  # noqa: FBT003
            quiet = self.judged.silenced(BY_CODE[code], about, part)
            self._silenced[place] = mute | (quiet & ~self.told(place))
        return self._silenced[place]

    def gone(self, place: Place, most: int = FITS) -> BoolArray:
        """Tell in which rows a finding is gone, and not just told no more.

        With ``most`` as `LOOK`, where it no longer says ``do not fit``.
        """
        ranks = self.judged.ranks.get(place, FITS)
        hidden = self.judged.hidden.get(place, FITS)
        good = np.less_equal(ranks, most) & np.less_equal(hidden, most)
        return self.ok & good & ~self.silenced(place) & ~self.unknown(place)

    def unknown(self, place: Place) -> BoolArray:
        """Tell in which rows nothing is known of what a rule found before.

        It is not told, no other finding silences it, and there is no reason why
        nothing should be wrong.
        """
        if may_be_quiet(place):
            return self._rows(False)  # noqa: FBT003
        found = np.greater(self.judged.hidden.get(place, NOT_TOLD), NOT_TOLD)
        known = self.told(place) | found | self.silenced(place)
        return ~known & ~self._cannot_fail(place)

    def _cannot_fail(self, place: Place) -> BoolArray:
        """Tell in which rows there is no such failure of a part any more."""
        code, _, part = place
        if code != "closing-torque-one-off":
            return self._rows(False)  # noqa: FBT003
        out = self._rows(True)  # noqa: FBT003
        for failure in (INTACT, *self.judged.x.failures):
            if failure == part[0]:
                out &= ~np.broadcast_to(np.ravel(failure.applies), out.shape)
        return out

    def _failed(self) -> dict[Place, BoolArray]:
        """Return by place where it says ``do not fit``, or another for it."""
        out = {p: ranks == BAD for p, ranks in self.judged.ranks.items()}
        for place, ranks in self.judged.hidden.items():
            out[place] = out.get(place, False) | (ranks == BAD)
        return out

    @cached_property
    def worse(self) -> BoolArray:
        """Rows in which anything that is told is worse than before."""
        out = self.harmed.copy()
        for place, ranks in self.judged.ranks.items():
            if place[0] not in SET_LAST:
                out |= ranks > self.before.told.get(place, FITS)
        return out

    def _harm(self, codes: frozenset[str]) -> BoolArray:
        out = ~self.ok
        for place, failed in self._failed().items():
            if place[0] in codes and self.before.rank(place) < BAD:
                out |= failed
        for code, mute in self.judged.mute.items():
            if code in codes and code not in self.before.mute:
                out |= mute
        for place, rank in self.before.told.items():
            if place[0] in codes and BY_CODE[place[0]].refuses:
                out |= self._lost(place) if rank < BAD else self._further(place)
        return out

    def _further(self, place: Place) -> BoolArray:
        """Tell in which rows what did not fit before is much further from fitting."""
        was, far = self._short(place)
        if far is None:
            return self._rows(False)  # noqa: FBT003
        return (self.judged.ranks[place] == BAD) & (far > FURTHER * was)

    def nearer(self, place: Place) -> FloatArray:
        """Return how far from its limit a finding still is, of how far it was. [1].

        Infinite where it comes nearer by less than a fifth, does harm, is told no more
        or where that is not known.
        """
        was, far = self._short(place)
        if far is None or not was:
            return np.full(self.count, np.inf)
        told = self.ok & (self.judged.ranks[place] == BAD) & ~self.harmed
        share = np.broadcast_to(far, self.count) / was
        return np.where(told & (share <= NEARER), share, np.inf)

    def _short(self, place: Place) -> tuple[float, FloatArray | None]:
        """Return how far from its limit a finding was and is; None where not known."""
        was = self.before.short.get(place)
        if was is None or place not in self.judged.ranks:
            return 0.0, None
        return was, _missing(self.judged, place)

    def _lost(self, place: Place) -> BoolArray:
        """Tell in which rows nothing can be told any more of what was in order."""
        told = self.told(place)
        return self._rows(False) if told.all() else self.silenced(place) & ~told  # noqa: FBT003

    @cached_property
    def harmed(self) -> BoolArray:
        """Rows in which a rule fails that did not before, or cannot be judged now."""
        return self._harm(frozenset(BY_CODE) - SET_LAST)

    @property
    def surely_harmed(self) -> BoolArray:
        """The same of rules that only others of motion silence."""
        return self._harm(SURE)

    @cached_property
    def never(self) -> BoolArray:
        """Rows with a fault that no change may bring with it, nor a first step.

        One that could not be judged before is brought all the same.
        """
        out = ~self.ok
        for place, ranks in self.judged.ranks.items():
            if place[0] in NEVER and self.before.told.get(place, FITS) < BAD:
                out |= ranks == BAD
        return out

    @cached_property
    def barred(self) -> BoolArray:
        """Rows that may not be offered, however much they mend.

        They bring a jam, a dead centre or a wrong sense, or the pedal's end opens
        the throttle by less than nothing, or by no number.
        """
        share = np.ravel(self.judged.x.throttle_share)
        opens = np.broadcast_to(share >= 0, self.count)
        return self.never | self._harm(WRONG) | ~opens

    @cached_property
    def looks(self) -> BoolArray:
        """Rows in which something asks for a look that a change might spare."""
        out = ~self.ok
        for place, ranks in self.judged.ranks.items():
            if BY_CODE[place[0]].cures:
                out |= ranks > FITS
        return out

    @cached_property
    def failing(self) -> IntArray:
        """How many rules fail or cannot be judged; all of them where it is in pieces."""
        count = np.sum([*self._failed().values(), *self.judged.mute.values()], axis=0)
        for place, rank in self.before.told.items():
            if rank == BAD:
                count = count + self.unknown(place)
        return np.where(self.ok, count, len(BY_CODE))
