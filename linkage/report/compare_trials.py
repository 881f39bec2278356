"""What is set back, and what comes of it, as sentences.

Not here: what changed and what turned round (`report.compare_words`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from linkage.comparison.trials import SPRINGS
from linkage.model import turning
from linkage.model.called import rod_kinds
from linkage.quantities import say, say_point
from linkage.report.governed_words import of_governors
from linkage.rules.order import called_in
from linkage.spoken import listed

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from linkage.comparison import Comparison, Trial, Unit
    from linkage.model import Layout
    from linkage.rules import Finding


def called(codes: Sequence[str], layout: Layout) -> str:
    """Return what rules are called in a layout, and their codes for looking up."""
    if not codes:
        return ""
    kinds = rod_kinds(layout)
    return f"{', '.join(called_in(kinds, c) for c in codes)} [{', '.join(codes)}]"


def unit_text(c: Comparison, unit: Unit) -> str:
    """Return what is set back, as a phrase after ``with``."""
    text = _UNITS[unit.kind](c, unit)
    return of_governors(text, governed=c.new.layout.governed)


def _arm(c: Comparison, unit: Unit) -> str:
    arm = unit.put(c.new.layout).shafts[unit.about.name].arms[unit.about.part]
    return f"the old `{unit.about}` ({_size(arm)})"


def _size(arm: Any) -> str:  # noqa: ANN401
    return f"{say(arm.length, 'length')} at {say(arm.angle, 'angle', 0)}"


def _crank(c: Comparison, unit: Unit) -> str:
    arms = unit.put(c.new.layout).shafts[unit.about.name].arms
    held = sorted(r.part for r in unit.holds)
    told = ", ".join(f"`{n}` {_size(arms[n])}" for n in held)
    return f"the old arms of `{unit.about}` ({told})"


def _hand(c: Comparison, unit: Unit) -> str:
    old = c.new.layout.shafts[unit.about.name].arms[unit.about.part].angle
    new = unit.put(c.new.layout).shafts[unit.about.name].arms[unit.about.part].angle
    return (
        f"`{unit.about.name}` of the other hand (arm `{unit.about.part}` at "
        f"{say(new, 'angle', 0)} instead of {say(old, 'angle', 0)})"
    )


def _stood(c: Comparison, unit: Unit) -> str:
    return say_point(unit.put(c.new.layout).shafts[unit.about.name].pivot)


def _imaged(c: Comparison) -> str:
    return " in the mirror image" if c.turned.mirror else ""


def _made(c: Comparison, unit: Unit) -> str:
    rod = unit.put(c.new.layout).rods[unit.about.name]
    if rod.slot:
        return f" (slot {say(rod.slot, 'length')})"
    return f" (it can only {rod.only})" if rod.only and rod.kind != "cam" else ""


def _rod(c: Comparison, unit: Unit) -> str:
    return unit.put(c.new.layout).rods[unit.about.name].called


def _opens(c: Comparison, unit: Unit) -> str:
    way = turning(-c.new.layout.throttles[unit.about.name].opens)
    seen = c.new.layout.shafts[
        c.new.layout.throttles[unit.about.name].shaft
    ].axis.seen_from
    return f"a carburettor that opens {way} seen from {seen}, as the old one did"


_UNITS: Final[dict[str, Callable[[Comparison, Unit], str]]] = {
    "arm": _arm,
    "crank": _crank,
    "hand": _hand,
    "opens": _opens,
    "offset": lambda _, u: f"`{u.about}` where it sat along its shaft",
    "place": lambda c, u: f"`{u.about}` where it stood{_imaged(c)} ({_stood(c, u)})",
    "shaft": lambda _, u: f"the old `{u.about}`, where it stood",
    "carburettor here": lambda *_: "the old carburettor, its lever and springs, in the new place",
    "carburettor": lambda *_: "the old carburettor, its lever and springs, where it stood",
    "slide": lambda c, u: f"slide `{u.about.name}` and its pins where they were{_imaged(c)}",
    "spring": lambda c, u: f"spring `{u.about.name}` as it was{_imaged(c)}",
    "rod": lambda c, u: f"{_rod(c, u)} joined as it was",
    "rod length": lambda c, u: f"{_rod(c, u)} of its old length",
    "rod make": lambda c, u: f"{_rod(c, u)} as it was made{_made(c, u)}",
    "pedal": lambda *_: "the pedal pressed the old way",
    "sheath": lambda c, u: f"the end of cable `{u.about.name}`'s sheath where it was{_imaged(c)}",
}  # fmt: skip


def trial_text(c: Comparison, trial: Trial) -> str:
    """Return what was set back and what comes of it, as a sentence without its stop."""
    what = listed([unit_text(c, u) for u in trial.units])
    then = of_governors(_comes_of_it(c, trial), governed=c.new.layout.governed)
    return f"with {what}: {then}"


def _comes_of_it(c: Comparison, trial: Trial) -> str:
    x = trial.outcome.examined
    share, end = say(x.throttle_share, "fraction", 0), say(x.working.end, "length")
    if not trial.opens:
        words = ["still does not open"]
    elif trial.back and not c.new.opens:
        words = [f"opens again, {share} at {end} of pad"]
    else:
        words = [f"opens {share} at {end} of pad"]
    right = _springs_right(c, trial)
    if right:
        one = f"spring `{right[0]}` then works"
        its = "its springs then work" if len(right) > 1 else one
        words.append(f"{its} the right way")
    older = dict.fromkeys(f.code for f in trial.outcome.reasons)
    if trial.left:
        words.append(f"left: {called(trial.left, trial.layout)}")
    elif older:
        words.append(f"left as in the old one: {called(tuple(older), trial.layout)}")
    else:
        words.append("it fits")
    return "; ".join(words)


def _springs_right(c: Comparison, trial: Trial) -> list[str]:
    """Return the springs that work wrongly in the new layout and rightly with this."""

    def wrong(findings: Sequence[Finding]) -> set[str]:
        some = (f for f in findings if f.code.startswith(SPRINGS))
        return {f.about.name for f in some if f.about.kind == "spring"}

    return sorted(wrong(c.new.check.reasons) - wrong(trial.outcome.reasons))
