"""Two records held against each other: ``python -m tests.bad.compare then.jsonl now.jsonl``.

Not here: making either record (`tests.bad.record`).
"""

from __future__ import annotations

import sys
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from tests.bad.change import effort
from tests.bad.record import read

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    Row = dict[str, Any]
    Rows = Mapping[str, Row]

#: Efforts nearer than this are one.
SAME = 1e-3
#: Quantiles of the times that are told.
SHARES = (0.5, 0.75, 0.9, 0.95, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """One finding of before, and the same one now.

    Parameters
    ----------
    key, code, where : str
        Layout, rule and place.
    old, new : dict, optional
        Its cure before and now; None where there is none.
    found : bool
        Whether the finding is still made.
    """

    key: str
    code: str
    where: str
    old: Row | None
    new: Row | None
    found: bool

    @property
    def lost(self) -> bool:
        """Whether it had a proven cure and has none now."""
        return proven(self.old) and not proven(self.new)

    @property
    def larger(self) -> bool:
        """Whether its cure is more work now without leaving less undone."""
        if not (proven(self.old) and proven(self.new)):
            return False
        more_whole = whole(self.new) and not whole(self.old)
        return not more_whole and work(self.new) > work(self.old) + SAME

    def __str__(self) -> str:
        said = f"{self.key:>28} {self.code} at {self.where}"
        told = [
            f"{name} {'proven' if proven(c) else 'not proven'}"
            f" {c.get('verdict', 'no layout')} {work(c):.3f}"
            for name, c in (("before", self.old), ("now", self.new))
            if c is not None
        ]
        gone = "" if self.found else "; the finding itself is gone"
        return f"{said}: {', '.join(told) or 'no cure'}{gone}"


def proven(cure: Row | None) -> bool:
    """Tell whether there is a cure that was proven."""
    return cure is not None and cure["proven"]


def whole(cure: Row | None) -> bool:
    """Tell whether a cured layout may be fitted."""
    return cure is not None and cure.get("verdict") in {"fits", "look"}


def work(cure: Row | None) -> float:
    """Return how much work a cure is, by today's measure."""
    return effort(cure.get("changes", {})) if cure else 0.0


def places(row: Row) -> dict[tuple[str, str, int], Row]:
    """Return the findings of a layout by rule, part, and count of the same before."""
    out: dict[tuple[str, str, int], Row] = {}
    for f in row["findings"]:
        place = (f["code"], f["where"].split(",", maxsplit=1)[0])
        count = sum(p[:2] == place for p in out)
        out[*place, count] = f
    return out


def pairs(old: Rows, new: Rows) -> Iterator[Pair]:
    """Yield every finding of before on the layouts that both records hold."""
    for key, row in old.items():
        if key not in new or "findings" not in row:
            continue
        now = places(new[key])
        for place, f in places(row).items():
            same = now.get(place, {})
            yield Pair(
                key=key,
                code=f["code"],
                where=f["where"],
                old=f.get("cure"),
                new=same.get("cure"),
                found=bool(same),
            )


def cures_of(row: Row) -> list[Row]:
    """Return the cures of a layout's findings, and its plan where there is one."""
    made = [f["cure"] for f in row["findings"] if "cure" in f]
    return [*made, row["plan"]] if "plan" in row else made


def least(row: Row) -> float:
    """Return the least work by which a layout is mended whole; inf where it is not."""
    return min((work(c) for c in cures_of(row) if whole(c)), default=np.inf)


#: What nothing that is offered may bring, even where it could not be judged before.
NEVER = {"reach", "dead-centre", "opening-sense", "rod-sense"}


def harmful(rows: Rows) -> list[str]:
    """Return what is offered and does not fit for a new reason.

    Of cures that were proven any reason that was judged before and is new; of all,
    a jam, a dead centre or a wrong sense that was not told before.
    """
    out = []
    for key, row in rows.items():
        known = {f["code"] for f in row["findings"] if f["verdict"] == "do not fit"}
        for cure in cures_of(row):
            new = set(cure.get("bad", ())) - known
            judged = new - set(row.get("unjudged", ())) if cure["proven"] else set()
            if more := judged | new & NEVER:
                out.append(
                    f"{key:>28}: {', '.join(sorted(more))} by: {cure.get('text', '')}"
                )
    return out


def ratios(rows: Rows) -> np.ndarray:
    """Return the time of a check with cures over that of one whole check."""
    return np.array(
        [r["cpu_s"] / r["whole_s"] for r in rows.values() if "whole_s" in r]
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """Two records held against each other.

    Parameters
    ----------
    old, new : mapping
        The checks that both hold, by layout.
    pairs : tuple of Pair
        Every finding of before.
    """

    old: Rows
    new: Rows
    pairs: tuple[Pair, ...] = field(repr=False)

    def mended(self) -> tuple[float, float]:
        """Return the shares of layouts that one cure or plan mends whole."""
        one, two = (
            [r["mended"] for r in rows.values()] for rows in (self.old, self.new)
        )
        return float(np.mean(one)), float(np.mean(two))

    def unmended(self) -> list[str]:
        """Return the layouts that were mended whole before and are not now."""
        return [
            k for k, r in self.old.items() if r["mended"] and not self.new[k]["mended"]
        ]

    def harder(self) -> list[str]:
        """Return the layouts that take more work now to be mended whole."""
        works = {k: (least(r), least(self.new[k])) for k, r in self.old.items()}
        return [
            f"{key:>28}: before {was:.3f}, now {now:.3f}"
            for key, (was, now) in works.items()
            if was + SAME < now < np.inf
        ]


def compared(old: Rows, new: Rows) -> Outcome:
    """Hold two records against each other, on the layouts that both hold.

    Raises
    ------
    ValueError
        If a layout's text is not the same in both.
    """
    both = [k for k, r in old.items() if k in new and "findings" in r]
    other = [k for k in both if old[k]["text"] != new[k]["text"]]
    if other:
        msg = f"not the same layouts any more: {', '.join(other)}"
        raise ValueError(msg)
    one, two = {k: old[k] for k in both}, {k: new[k] for k in both}
    return Outcome(old=one, new=two, pairs=tuple(pairs(one, two)))


def told(outcome: Outcome) -> Iterator[str]:
    """Yield the lines of a comparison."""
    bad = compared(
        *(
            {k: r for k, r in x.items() if k.isdigit()}
            for x in (outcome.old, outcome.new)
        )
    )
    for name, one in (("shipped and bad layouts", outcome), ("bad layouts", bad)):
        was, now = one.mended()
        yield f"{len(one.old)} {name}; mended whole: {was:.1%}, now {now:.1%}"
        count = [sum(proven(c) for c in (p.old for p in one.pairs))]
        count.append(sum(proven(c) for c in (p.new for p in one.pairs)))
        yield f"  findings {len(one.pairs)}; with a proven cure: before {count[0]}, now {count[1]}"
    for name, rows in (("before", bad.old), ("now", bad.new)):
        taken = ratios(rows)
        parts = [f"{s:.0%} {np.quantile(taken, s):.1f}" for s in SHARES]
        under = [f"{np.mean(taken <= n):.1%} within {n}" for n in (10, 15)]
        yield f"time with cures over one whole check, {name}: {', '.join([*parts, *under])}"
    lists = {
        "cures lost": [p for p in outcome.pairs if p.lost],
        "mended whole before, not now": outcome.unmended(),
        "of a finding more work now": [p for p in outcome.pairs if p.larger],
        "of the whole more work now": outcome.harder(),
        "ended in an error": [
            f"{k}: {r['error']}" for k, r in outcome.new.items() if "error" in r
        ],
        "proven, with a new reason not to fit": harmful(outcome.new),
    }
    for name, rows in lists.items():
        yield f"{name}: {len(rows)}"
        yield from (f"  {row}" for row in rows)


def runs(old: Rows, new: Rows) -> Iterator[str]:
    """Yield what `swap` and `arm` offered, before and now."""
    for key, row in old.items():
        if "findings" in row or key not in new:
            continue
        yield f"{key}: {row['cpu_s']} s before, {new[key]['cpu_s']} s now"
        for name, rows in (("before", row), ("now", new[key])):
            if "cures" in rows:
                offered = [
                    f"{c['name']} {'fits' if c['fits'] else 'fails'}"
                    f" parts {c['parts']} work {c['work']}"
                    for c in rows["cures"]
                ]
                yield f"  {name}: {'; '.join(offered) or 'fits as it is'}"
            else:
                yield f"  {name}: {rows['fitting']} of {rows['tried']} fit; {rows['chosen']}"


def main() -> None:
    """Print what became of the cures."""
    old, new = (read(Path(name)) for name in sys.argv[1:3])
    for line in (*told(compared(old, new)), *runs(old, new)):
        sys.stdout.write(line + "\n")


if __name__ == "__main__":
    main()
