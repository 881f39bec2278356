"""The page of findings: every code, what it means, its limits and its cure."""

from __future__ import annotations

import ast
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import linkage.rules


@dataclass(frozen=True)
class Entry:
    """One code."""

    meaning: str
    verdicts: str
    limits: tuple[str, ...] = ()
    cure: str = ""


BOTH: Final = "fits, or do not fit"
LOOK: Final = "fits, or look"
FINDINGS: Final[dict[str, Entry]] = {
    "reach": Entry("Every rod reaches from its driving to its driven arm through the whole travel. If not: which jams, at which pad position, and by how much it is too short or too long at the pedal's end.", BOTH, (), "the arms at the rod turned or made longer or shorter"),
    "opening-sense": Entry("Pressing opens every plate. If the pedal shuts one, only the senses of shafts and rods are told besides: the travel means nothing then (decision [0003](decisions/0003-wrong-sense-suppresses-travel.md)).", BOTH, (), "an arm put on the other side of its shaft"),
    "full-throttle": Entry("Each plate reaches its full stop with the pedal on its own, less the play of all rods on the way. The shortfall is given in degrees and in mm at the lever.", BOTH, ("full_throttle",), "an arm longer or shorter, an arm turned, or a rod of given length cut to fit"),
    "left-over-travel": Entry("Pad travel left after the full stop of the carburettor. Past the limit the foot loads rods and carburettor stop.", LOOK, ("left_over_travel",), "a pedal stop where the full stop is met"),
    "idle": Entry("Each lever rests on its idle stop with the pedal up, and not on its rod, nor held off by another lever that meets its own stop first.", BOTH, ("idle_gap",), "a rod of given length set to fit the lever on its stop"),
    "lost-travel": Entry("Pad travel that is gone before the main plate moves: free play and slack.", LOOK, ("lost_travel",), "the rod set to fit, or the pedal's free play taken up"),
    "full-then-idle": Entry("The trade's order of setting, in numbers: the last rod's length that meets the full stop with the pedal on its stop, and whether the lever then rests on its idle stop.", LOOK, ("idle_gap",), "an arm longer or shorter, or turned, so that the linkage moves the lever by its whole swing"),
    "stop-gap": Entry("The gap at the lever at both of its stops.", "fits: told, not judged"),
    "throttle-spread": Entry("How much two plates differ anywhere in the travel.", LOOK, ("throttle_spread",), "an arm on the way to the second plate longer or shorter, or turned"),
    "kickdown": Entry("The kickdown lever of a gearbox never stops the plate short of full.", BOTH, ("full_throttle",), "an arm on the way to the lever longer or shorter, or turned"),
    "tip-in": Entry("How much throttle a millimetre of pad gives over the first tenth of the travel. Past the limit it is touchy.", LOOK, ("tip_in",), "an arm longer or shorter, or turned"),
    "shaft-sense": Entry("Which way each shaft turns with the pedal going down, and for which viewer.", "fits: told, not judged"),
    "rod-sense": Entry("Whether each rod pulls or pushes its arm while the pedal goes down. One that changes over on the way has met a dead centre.", BOTH, (), "the arms at the rod turned or made longer or shorter"),
    "arm-rod-angle": Entry("The angle between an arm and its rod, at both ends of every rod, least anywhere in the travel. Its sine is the share of the rod force that turns the shaft (decision [0001](decisions/0001-arm-rod-angle-by-leverage.md)).", "fits, look, or do not fit", ("arm_rod_look", "arm_rod_strong", "arm_rod_refuse"), "the arms at the rod turned or made longer or shorter"),
    "joint-tilt": Entry("How far each joint leans out of the plane in which it turns freely, against what its kind allows: ball 18°, ball with clip 15° (DIN 71802), rod end 13° (ISO 12240-4, from memory), clevis 3° (common practice, no source).", "fits, look from 80 % of what is allowed, or do not fit", (), "a joint that leans further, or an arm slid along its shaft"),
    "spring-line": Entry("The least distance of each spring's line from the shaft it acts on: the arm that is left to its pull. A line that crosses the shaft holds the plate open.", "fits, look, or do not fit", ("spring_line",), "the spring's arm turned or lengthened, or its anchor swung round"),
    "dead-centre": Entry("How far beyond either end of the working travel, stops removed, each arm comes into line with its rod, in degrees of its shaft and mm of pad. Too near beyond the full end: do not fit; beyond the idle end: look (decision [0004](decisions/0004-dead-centre-by-side.md)).", "fits, look, or do not fit", ("dead_centre",), "the arms at the rod turned or made longer or shorter"),
    "spring-hand": Entry("Whether each spring shuts the plate through the whole travel. One of the wrong hand opens it, hangs slack at idle or is driven past its length.", BOTH, (), "the anchor put on the other side, or a torsion spring of the other hand"),
    "spring-slack": Entry("Whether each spring carries at idle, so that it brings the plate to its stop.", BOTH, (), "the anchor moved away along the spring's line"),
    "spring-overstretched": Entry("Whether each spring stays within its greatest length, or a compression spring short of solid.", BOTH, (), "the anchor moved nearer"),
    "spring-stress": Entry("The greatest stress in the wire, in body or hook, against what its standard allows. Without a tabled strength: look.", "fits, look, or do not fit", (), "the anchor moved nearer"),
    "energy-sources": Entry("Two springs that shut the plate at every position, at least one on the spindle itself, not sharing a hook or an anchor (49 CFR 571.124 S5.1). A layout without any spring: look, as shutting was not checked.", "fits, look, or do not fit", (), "one more spring at the spindle"),
    "unsprung-if-parted": Entry("Whether any one rod or joint that parts leaves the plate without a spring (49 CFR 571.124 S5.2).", BOTH, (), "one more spring at the spindle"),
    "closing-torque": Entry("The least closing torque of all springs together, against friction. Where the bearing and drag of a shaft are not given: look, as its friction was not counted.", "fits, look, or do not fit", ("closing_ratio",), "stronger springs or freer bearings"),
    "closing-torque-one-off": Entry("The same with any one spring off or any one rod parted, one finding each.", BOTH, ("closing_ratio_one_off",), "stronger springs or freer bearings"),
    "time-to-idle": Entry("The time from full to idle on release, with any one part failed (49 CFR 571.124 S5.3).", BOTH, ("return_light", "return_heavy", "return_cold"), "stronger springs or freer bearings"),
    "pad-force": Entry("The greatest force on the pad while pressing, split spring by spring and friction.", "fits, look, or do not fit", ("pad_force_look", "pad_force_refuse"), "weaker springs"),
    "pad-force-light": Entry("The force on the pad at the start: below the limit the foot has no feel.", LOOK, ("pad_force_light",), "stronger springs"),
    "pull-changes": Entry("Whether a rod changes between pull and push under load: its joints then knock through their play.", LOOK),
    "rod-push": Entry("Every push, a stamped foot included, against Euler's limit of the straight, pin-ended rod. Without `diameter`: look, as buckling was not checked.", "fits, look, or do not fit", ("euler_share", "stamp_load"), "a thicker bar"),
    "stamp-load": Entry("What takes a stamped foot at the end of the travel: the pedal stop or floor, or rods, clamps and the carburettor's stop, or a stop on another shaft.", LOOK, ("stamp_load",), "a pedal stop where the full stop is met"),
    "engine-rock": Entry("How far the engine, rolled either way as `[engine]` says, moves each plate with the pedal held up and held down. The rods keep their length.", "fits, look, or do not fit", ("engine_rock_look", "engine_rock_refuse"), "a shaft bracketed to the body instead of the engine, or an engine steady"),
    "mount-gone": Entry("How far an engine that lifts off a lost mount opens each plate with the pedal up.", "fits, look, or do not fit", ("engine_rock_look", "engine_rock_refuse"), "a shaft bracketed to the body, or a chain that catches the engine"),
}  # fmt: skip


def emitted() -> set[str]:
    """Return every code that any rule in linkage/rules can give a finding."""
    found = set()
    for path in Path(linkage.rules.__file__).parent.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.keyword) and node.arg == "code":
                assert isinstance(node.value, ast.Constant), (
                    f"{path.name}:{node.lineno}"
                )
                found.add(str(node.value.value))
    return found


def findings() -> str:
    """Return docs/findings.md."""
    from linkage.model import LIMIT_ROWS
    from linkage.quantities import say
    from tests.docs.reference_pages import GENERATED

    out = [f"""# Findings

{GENERATED}

`check` looks at a linkage by these rules, in this order. Each finding carries a
verdict, the place in the travel, the number found and the limit it is held
against, and, where it is not in order, a **cure**: the least change that mends it.
The changed layout is solved again; only where the finding was gone and nothing
else had become worse does it say *cure*, else *try*, and what is left. Rods at a
changed arm are cut again, and a pedal stop is set last (decision
[0002](decisions/0002-pedal-stop-set-last.md)).

- **fits**: in order.
- **look**: it works, but look before you fit it.
- **DO NOT FIT**: it must not be fitted so. One is enough; the exit status is 1.
"""]  # fmt: skip
    for code, entry in FINDINGS.items():
        lines = [f"## {code}\n", entry.meaning + "\n", f"- Verdict: {entry.verdicts}."]
        for key in entry.limits:
            row = LIMIT_ROWS[key]
            lines.append(
                f"- Limit `{key}`: {row.meaning}, {say(row.default, row.kind)} ({row.source})."
            )
        lines.append(f"- Cure: {entry.cure}." if entry.cure else "- Cure: none is sought.")  # fmt: skip
        out.append("\n".join(lines) + "\n")
    return "\n".join(out)
