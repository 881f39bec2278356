"""What a rule finds is said with its number and its limit, in a sentence and on a line."""

from __future__ import annotations

import numpy as np
import pytest

from linkage.quantities import say
from linkage.rules.finding import Finding
from linkage.rules.order import RULES
from tests.unit.ruled import rule
from tests.unit.test_rules_edges import examined

BOTH = {
    "joint-tilt",
    "left-over-travel",
    "lost-travel",
    "mount-gone",
    "pad-force",
    "pad-force-light",
    "spring-overstretched",
    "spring-stress",
    "throttle-spread",
    "tip-in",
}
NUMBER = {
    "arm-rod-angle",
    "dead-centre",
    "engine-rock",
    "full-throttle",
    "spring-stretch",
}
#: Which rules say what, and where.
SAID = {
    ("value", "sentence"): BOTH | NUMBER,
    ("value", "line"): BOTH | NUMBER | {"rod-push"},
    ("limit", "sentence"): BOTH
    | {"closing-torque", "closing-torque-one-off", "dead-centre", "engine-rock"}
    | {"engine-springs", "full-throttle", "spring-line", "time-to-idle"},
    ("limit", "line"): BOTH | {"engine-springs", "rod-push", "time-to-idle"},
}


def findings(code):
    for x in examined():
        for o in rule(code).judge(x):
            if np.all(o.applies) and o.value is not None and np.isfinite(o.value):
                yield Finding(rule=rule(code), rows=o)


@pytest.mark.parametrize(
    ("what", "where", "code"),
    [(*key, code) for key, codes in SAID.items() for code in sorted(codes)],
)
def test_number_and_limit_are_said(what, where, code):
    seen = 0
    for f in findings(code):
        o = f.rows
        number = getattr(o, what)
        if number is None:
            continue
        digits = () if o.digits is None else (o.digits,)
        word = say(float(np.ravel(number)[0]), o.kind, *digits)
        assert word in (f.text if where == "sentence" else " | ".join(f.rule.short(o)))
        seen += 1
    assert seen


@pytest.mark.parametrize("mine", RULES, ids=lambda r: r.code)
def test_every_finding_has_a_sentence_and_a_line(mine):
    """The line begins with what is found; its number beside it may be left out."""
    for x in examined():
        for o in mine.judge(x):
            if np.all(o.applies):
                text, (what, _) = Finding(rule=mine, rows=o).text, mine.short(o)
                assert what
                assert "nan" not in text + what
