"""Findings for tests: of one rule by itself, of all rules, or made up."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from linkage.model.called import rod_kinds
from linkage.model.columns import some
from linkage.model.refs import Ref
from linkage.rules import Cure, Examined, Finding, Outcome, Rule, examine, judge
from linkage.rules.finding import RANK
from linkage.rules.order import FORCE_CODES, RULES
from linkage.rules.rule import fixed

if TYPE_CHECKING:
    from linkage.model import Layout


def rule(code: str) -> Rule:
    """Return a rule by its code."""
    return next(r for r in RULES if r.code == code)


def alone(x: Examined, code: str) -> list[Finding]:
    """Return what one rule finds by itself, silenced by none."""
    mine = rule(code)
    kinds = rod_kinds(x.layout)
    found = (replace(o, kinds=kinds) for o in mine.judge(x))
    return [Finding(rule=mine, rows=o) for o in found if some(o.applies)]


def found_in(layout: Layout | Examined) -> tuple[Finding, ...]:
    """Return the findings of all rules."""
    return judge(layout if isinstance(layout, Examined) else examine(layout)).findings()


def of_force(layout: Layout | Examined) -> list[Finding]:
    """Return the findings that rest on forces."""
    return [f for f in found_in(layout) if f.code in FORCE_CODES]


def changed(x: Examined, **parts: Any) -> Examined:
    """Return an examined layout with assembly, working or motion in place of its own."""
    names = ("assembly", "working", "motion", "grain")
    named = {n: getattr(x, n) for n in names}
    return Examined(**(named | parts))


def made(
    code: str = "idle",
    verdict: str = "fits",
    about: Ref | None = None,
    *,
    text: str = "t",
    cure: Cure | None = None,
    **more: Any,
) -> Finding:
    """Return a finding as no rule would make it."""
    odd = Rule(code=code, judge=lambda _: (), words=fixed(text), meaning="none")
    about = about or Ref("throttle", "throttle")
    outcome = Outcome(about=about, rank=RANK[verdict], **{"at": 0.0, **more})
    return Finding(rule=odd, rows=outcome, cure=cure)
