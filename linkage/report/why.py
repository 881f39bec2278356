"""One finding explained: what it looks at, number, limit, cure.

Not here: the findings of a whole check (`report.findings`).
"""

from __future__ import annotations

import difflib
import math
from typing import TYPE_CHECKING

from linkage.errors import UsageError
from linkage.model import LIMIT_ROWS
from linkage.model.called import rod_kinds
from linkage.quantities import say
from linkage.report.tables import wrapped
from linkage.report.twins import twin_lines
from linkage.report.verdict import headline
from linkage.rules.order import BY_CODE, called_in
from linkage.rules.together import SPREAD

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.rules import Finding
    from linkage.rules.rule import Rule
    from linkage.search import Check

#: How a code is looked up beside the program.
PAGE = "docs/findings.md"


def rule_of(code: str) -> Rule:
    """Return a rule by its code.

    Raises
    ------
    UsageError
        If there is none.
    """
    wanted = code.strip().strip("[]").lower()
    if wanted in BY_CODE:
        return BY_CODE[wanted]
    near = difflib.get_close_matches(wanted, BY_CODE, n=1, cutoff=0.5)
    msg = f"there is no finding `{code}`"
    hint = f"did you mean `{near[0]}`?" if near else f"{PAGE} lists every code"
    raise UsageError(msg, hint=hint)


def why_lines(check: Check, code: str) -> list[str]:
    """Return one rule explained, with what it finds in this layout.

    Parameters
    ----------
    check : Check
        From `search.check`.
    code : str
        Of the rule; see docs/findings.md.

    Raises
    ------
    UsageError
        If there is no such rule.
    """
    rule = rule_of(code)
    found = [f for f in check.findings if f.code == rule.code]
    out = [*wrapped(headline(check), "  ", first=""), ""]
    kinds = rod_kinds(check.examined.layout)
    out += [*wrapped(f"{rule.code}: {rule.called_in(kinds)}", "  ", first=""), ""]
    out += _part("It looks at", _plain(rule.meaning))
    out += _part("It says", rule.verdicts)
    out += _limits(check, rule)
    out += _silences(rule, kinds)
    out += ["", "In this layout:", *_found(check, rule, found)]
    if rule.code == SPREAD.code and (twins := twin_lines(check)):
        out += ["", *twins[:-1]]
    if rule.cure:
        out += ["", *_part("What mends it", rule.cure)]
    return [*out, f"More: {PAGE}, docs/limits.md"]


def _part(head: str, text: str) -> list[str]:
    return wrapped(f"{head}: {text}", "  ", first="")


def _plain(text: str) -> str:
    """Return words without the links of a page."""
    import re

    return re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", text)


def _limits(check: Check, rule: Rule) -> list[str]:
    """Return its limits as they hold, whence each comes, and whether it was changed."""
    if not rule.limits:
        return ["It has no limit that can be set."]
    limits, out = check.examined.layout.limits, ["Limits, set under [limits]:"]
    changed = limits.changed()
    for name in rule.limits:
        row = LIMIT_ROWS[name]
        text = f"{name} {say(getattr(limits, name), row.kind)}: {_plain(row.source)}"
        if name in changed:
            text += f"; changed in the file from {say(changed[name][1], row.kind)}"
        out += wrapped(text, "    ", first="  - ")
    return out


def _silences(rule: Rule, kinds: Mapping[str, str]) -> list[str]:
    if not rule.silenced_by:
        return ["Nothing silences it."]
    names = list(dict.fromkeys(s.by for s in rule.silenced_by))
    told = ", ".join(f"{called_in(kinds, n)} [{n}]" for n in names)
    return _part("Not judged where one of these is wrong already", told)


def _found(check: Check, rule: Rule, found: list[Finding]) -> list[str]:
    if not found:
        first = next(
            (
                f
                for f in check.reasons
                if f.code in {"reach", *(s.by for s in rule.silenced_by)}
            ),
            None,
        )
        if first is not None:
            return _part("  not judged, as this is wrong already", first.short)
        if check.geometry and rule.needs == "forces":
            return ["  not judged: geometry alone was asked"]
        return ["  nothing: it has no part to speak of here"]
    out = []
    for finding in found:
        out += wrapped(f"{finding.verdict}: {finding.text}", "    ", first="  - ")
        out += wrapped(_numbers(finding), "    ") if _numbers(finding) else []
        if finding.cure is not None:
            word = "cure" if finding.cure.proven else "try"
            word = "" if finding.cure.barred else f"{word}: "
            out += wrapped(word + finding.cure.text, "      ", first="    ")
    return out


def _numbers(finding: Finding) -> str:
    """Return its number and limit, where it has both."""
    value, limit = finding.value, finding.limit
    if value is None or limit is None or not math.isfinite(value):
        return ""
    return f"number {say(value, finding.kind)}, limit {say(limit, finding.kind)}"
