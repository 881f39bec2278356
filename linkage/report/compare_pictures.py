"""The picture of a comparison as bytes: what is marked, and what is said beside it.

Not here: how it is drawn (`drawing.compare`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from linkage.report.compare import verdict_text
from linkage.report.compare_trials import trial_text
from linkage.report.verdict import reason
from linkage.seen import seen

if TYPE_CHECKING:
    from linkage.comparison import Comparison, Side
    from linkage.model.refs import Ref

#: Beside a mark on the old layout, and on the new one in turn.
WAS = "as it was"
IS = ("turns round here", "turns back here")


def marked(c: Comparison) -> list[tuple[Ref, str]]:
    """Return the parts that turn the sense round, the first first, each with its word."""
    out = [(r, IS[i % 2]) for i, t in enumerate(c.turned.turns) for r in t.parts]
    for turns in c.turned.branches.values():
        out += [(r, IS[i % 2]) for i, t in enumerate(turns) for r in t.parts]
    return out


def both_picture(c: Comparison, *, suffix: str, paper: Any = None) -> bytes:  # noqa: ANN401
    """Return the picture of both layouts, with DO NOT FIT where the new one does not.

    Parameters
    ----------
    c : Comparison
        From `comparison.compare`.
    suffix : str
        png, svg or pdf.
    paper : {"a4", "letter"}, optional
        Lying.
    """
    from linkage.drawing.compare import Drawn, compare_figure
    from linkage.drawing.style import save

    def drawn(side: Side, name: str, words: tuple[str, ...]) -> Drawn:
        x = side.examined
        return Drawn(
            heading=f"{name}: {seen(side.title)}",
            assembly=x.assembly,
            working=x.working,
            curve=side.curve,
            words=words,
        )

    refs = [ref for ref, _ in marked(c)]
    now = tuple(word for _, word in marked(c))
    mends = " ".join(
        f"{n}. {trial_text(c, t).replace('`', '')}." for n, t in enumerate(c.trials, 1)
    )
    text = verdict_text(c).replace("`", "")
    if mends:
        text += f" Set back and solved: {mends}"
    why = reason(c.new.check)
    figure = compare_figure(
        drawn(c.old, "old", (WAS,) * len(refs)),
        drawn(c.new, "NEW", now),
        refs,
        text=text,
        paper=paper,
        banner=None if why is None else why.replace("`", ""),
    )
    return save(figure, "." + suffix)
