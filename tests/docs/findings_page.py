"""The page of findings: every rule, printed from its object."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.model import LIMIT_ROWS
from linkage.quantities import say
from linkage.rules.governor_words import GOVERNED
from linkage.rules.order import RULES
from tests.docs.reference_pages import GENERATED

if TYPE_CHECKING:
    from collections.abc import Iterable

    from linkage.rules import Rule, Silence

HEAD = f"""# Findings

{GENERATED}

`check` looks at a linkage by these rules, in this order, in which `--json` has them too;
on the screen and with `--all` the worst stand first, and in this order those that weigh
alike. Each finding carries a verdict, the place in the travel, the number found and the
limit it is held against, and, where it is not in order, a **cure**: the least change that
mends it. The changed layout is solved again by every rule. It says *cure* only where the
finding is gone and nothing that was judged before has become a reason not to fit. What
then asks for a look, also where it did not before, is told after it as "then look at",
and so is what could not be judged before and does not fit then. Else it says *try*, and
what is left. Rods at a changed arm are cut again, and a pedal stop is set last (decision
[0002](decisions/0002-pedal-stop-set-last.md)).

- **fits**: in order.
- **look**: it works, but look before you fit it.
- **DO NOT FIT**: it must not be fitted so. One is enough; the exit status is 1.

The screen of `check` tells the worst first, each in a short sentence, with its code in
brackets at the line's end: `check car.toml --why dead-centre` explains that one in your
layout, what it looks at, its number and limit, where the limit comes from, what leaves
it out, and its cure. `check car.toml --all` tells every finding in full.

A finding that is only the consequence of another is left out, so that what is named
is what is wrong.
"""

GOVERNOR = """
# Governed engines

Of a layout with a [governor] these are asked instead, and no others.
"""


def _codes(silences: Iterable[Silence]) -> str:
    return ", ".join(f"[{s.by}](#{s.by})" for s in silences)


def _silences(rule: Rule) -> list[str]:
    all_of_it = [s for s in rule.silenced_by if not (s.same or s.keeps_good)]
    same = [s for s in rule.silenced_by if s.same]
    but_good = [s for s in rule.silenced_by if s.keeps_good]
    return [
        f"- {words}: {_codes(some)}."
        for words, some in (
            ("Left out where something is wrong by", all_of_it),
            ("Left out where the same part is wrong by", same),
            ("Told only if it fits where something is wrong by", but_good),
        )
        if some
    ]


def _section(rule: Rule) -> str:
    lines = [f"## {rule.code}\n", rule.meaning + "\n"]
    lines += [f"- In a sentence: {rule.called}.", f"- Verdict: {rule.verdicts}."]
    for key in rule.limits:
        row = LIMIT_ROWS[key]
        lines.append(
            f"- Limit `{key}`: {row.meaning}, {say(row.default, row.kind)} ({row.source})."
        )
    lines += _silences(rule)
    if rule.cures:
        lines.append(f"- Cure: {rule.cure}. Changes tried: {', '.join(rule.cures)}.")
    else:
        lines.append("- Cure: none is sought.")
    return "\n".join(lines) + "\n"


def findings() -> str:
    """Return docs/findings.md."""
    return "\n".join([HEAD, *map(_section, RULES), GOVERNOR, *map(_section, GOVERNED)])
