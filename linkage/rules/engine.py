"""Judging by every rule there is.

Not here: how rules are heard and silence each other (`rules.judged`), which there are
(`rules.order`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.rules.governor_words import GOVERNED
from linkage.rules.judged import judged_by
from linkage.rules.order import RULES
from linkage.rules.rule import NEEDS

if TYPE_CHECKING:
    from collections.abc import Iterable

    from linkage.rules.examine import Examined
    from linkage.rules.judged import Judged
    from linkage.rules.rule import Need, Rule


def judge(
    x: Examined,
    needs: Iterable[Need] = NEEDS,
    *,
    rules: tuple[Rule, ...] | None = None,
    refusing: bool = False,
) -> Judged:
    """Judge every row by every rule there is: `judged.judged_by`, which knows none.

    Parameters
    ----------
    x : Examined
        From `examine`; one layout, or many as rows.
    needs : iterable of str
        Only rules that need one of these, as there.
    rules : tuple of Rule
        Others than those of `order`, or of a governed layout its own, to try one out.
    refusing : bool
        Only those that may say ``do not fit``.

    Raises
    ------
    LayoutError
        If a spring of a single layout is impossible.
    """
    if rules is None:
        rules = GOVERNED if x.layout.governed else RULES
    return judged_by(x, rules, needs, refusing=refusing)
