"""Rules about each spring: its hand, slack, greatest length and stress.

How near a spring's line comes to its spindle is a rule of geometry
(`checks.angles`).

Not here: whether the springs together shut the plate (`checks.shutting`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from linkage.quantities import say
from linkage.rules.finding import Finding, Verdict
from linkage.springs import stresses

if TYPE_CHECKING:
    from linkage.forces import SpringSense
    from linkage.rules.loaded import Loaded
    from linkage.springs import Stress


def _loads(y: Loaded, name: str) -> str:
    """Return the load of a spring at both ends of the travel, in words."""
    line = y.statics.lines.springs[name]
    kind = "force" if line.length is not None else "torque"
    first, last = (say(abs(float(line.load[i])), kind) for i in (0, -1))
    text = f"{first} at the start, {last} at the end"
    if line.length is not None:
        one, two = (say(float(line.length[i]), "length") for i in (0, -1))
        text += f", {one} to {two} long"
    return text


def hand(y: Loaded) -> list[Finding]:
    """Name the springs that open the plate.

    A spring whose line crosses its spindle part-way is named by the rule
    ``spring-line``.
    """
    out = []
    for sense in y.springs:
        if sense.hand == "crosses":
            continue
        law = y.statics.lines.springs[sense.spring].law
        verdict: Verdict = "fits"
        text = f"spring `{sense.spring}` shuts through the whole travel: {_loads(y, sense.spring)}"
        if sense.hand == "wrong":
            verdict = "do not fit"
            also = "".join(f", {s}" for s in sense.signs if s != "opens the plate")
            what = "pulls" if law.along_line else "turns"
            what = "pushes" if law.kind == "compression" else what
            text = (
                f"spring `{sense.spring}` is of the wrong hand: it {what} "
                f"{sense.shaft} the opening way through the whole travel{also}"
            )
        out.append(
            Finding(
                code="spring-hand",
                verdict=verdict,
                where=f"spring {sense.spring}, whole travel",
                text=text,
            )
        )
    return out


def slack(y: Loaded) -> list[Finding]:
    """Name the springs that hang slack at idle."""
    out = []
    for sense in y.springs:
        line = y.statics.lines.springs[sense.spring]
        if line.length is None or sense.hand == "wrong":
            continue
        verdict: Verdict = "fits"
        installed = say(float(line.length[0]), "length")
        free = say(line.law.free_length, "length")
        text = f"spring `{sense.spring}` is loaded at idle: {installed} installed, {free} free"
        if sense.slack > 0:
            verdict = "do not fit"
            until = (
                "never carries in the whole travel"
                if np.isnan(sense.slack_until)
                else f"carries from pad {say(sense.slack_until, 'length')} on"
            )
            text = (
                f"spring `{sense.spring}` hangs slack at idle by "
                f"{say(sense.slack, 'length')}: {installed} installed, {free} free; "
                f"it {until}, so it does not bring the plate to its stop"
            )
        out.append(
            Finding(
                code="spring-slack",
                verdict=verdict,
                where=f"spring {sense.spring}, at idle",
                value=sense.slack,
                limit=0.0,
                kind="length",
                text=text,
            )
        )
    return out


def overstretched(y: Loaded) -> list[Finding]:
    """Name the springs driven past their greatest length, or solid."""
    out = []
    for sense in y.springs:
        law = y.statics.lines.springs[sense.spring].law
        pressed = law.kind == "compression"
        bound = law.shortest if pressed else law.longest
        if not law.along_line or not 0 < bound < np.inf:
            continue
        worst = sense.shortest if pressed else sense.longest
        place = say(sense.over_at, "length")
        word = "solid" if pressed else "greatest"
        text = (
            f"spring `{sense.spring}` is {say(worst, 'length')} long at pad {place}; "
            f"its {word} length is {say(bound, 'length')}"
        )
        if sense.over > 0:
            text += (
                f", so the coils touch and the plate cannot move {say(sense.over, 'length')} of it"
                if pressed
                else f": it is driven {say(sense.over, 'length')} past it and stays longer"
            )
        out.append(
            Finding(
                code="spring-overstretched",
                verdict="do not fit" if sense.over > 0 else "fits",
                where=f"spring {sense.spring}, at pad {place}",
                value=worst,
                limit=bound,
                kind="length",
                text=text,
            )
        )
    return out


def _worst(found: tuple[Stress, ...]) -> Stress:
    """Return the stress nearest to what is allowed."""
    return max(found, key=lambda s: s.value / (s.allowed or s.share))


def stress(y: Loaded) -> list[Finding]:
    """Hold the greatest stress of each spring against what is allowed."""
    out = []
    for name, spring in y.examined.layout.springs.items():
        load = np.abs(y.statics.spring_load[name])
        at = int(np.argmax(load))
        found = stresses(spring, float(load[at]))
        if not found:
            continue
        worst = _worst(found)
        verdict: Verdict = "fits"
        text = f"spring `{name}`: {say(worst.value, 'stress')} in its {worst.place}"
        if worst.allowed is None:
            verdict = "look"
            text += "; no strength is tabled for wire of this diameter"
        else:
            text += (
                f", {say(worst.allowed, 'stress')} allowed "
                f"({say(worst.share, 'fraction', 0)} of the tensile strength)"
            )
            if worst.value > worst.allowed:
                verdict = "do not fit"
                text += ": it will stay longer or break"
        place = say(float(y.statics.pad_travel[at]), "length")
        out.append(
            Finding(
                code="spring-stress",
                verdict=verdict,
                where=f"spring {name}, at pad {place}",
                value=worst.value,
                limit=worst.allowed,
                kind="stress",
                text=text,
            )
        )
    return out


def misplaced(senses: tuple[SpringSense, ...]) -> bool:
    """Tell whether any spring works the wrong way or hangs slack at idle."""
    return any(s.hand != "right" or s.slack > 0 for s in senses)
