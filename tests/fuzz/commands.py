"""Command lines to try on a layout, with words that mean something and words that do not."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from tests.fuzz.seeds import layouts
from tests.fuzz.values import NAMES

if TYPE_CHECKING:
    from random import Random

#: Stands for the layout, another one, and a file to be written.
LAYOUT: Final = "{layout}"
OTHER: Final = "{other}"
OUT: Final = "{out}"

#: What most cases run: reads, assembles and moves a layout, and is soon done.
READ: Final = (
    ("curve", LAYOUT, "--rows", "3"),
    ("curve", LAYOUT, "--json"),
    ("curve", LAYOUT, "--csv"),
)
#: Judged whole, with cures.
WHOLE: Final = (
    ("check", LAYOUT),
    ("check", LAYOUT, "--geometry"),
    ("check", LAYOUT, "--all", "--echo"),
    ("check", LAYOUT, "--json"),
    ("check", LAYOUT, "--both"),
    ("check", LAYOUT, "--why", "full-throttle"),
    ("springs", LAYOUT),
    ("springs", LAYOUT, "--json"),
    ("band", LAYOUT, "--samples", "6"),
    ("band", LAYOUT, "--samples", "6", "--json"),
    ("prove", LAYOUT),
    ("rock", LAYOUT),
    ("rock", LAYOUT, "--json"),
    ("prove", LAYOUT, "--json"),
    ("compare", LAYOUT, OTHER),
    ("compare", OTHER, LAYOUT, "--json"),
    ("curve", LAYOUT, "--over", OTHER),
    ("curve", LAYOUT, "--by", "hand"),
)
#: Searches, which take longer.
LONG: Final = (
    ("arm", LAYOUT, "spindle.lever"),
    ("arm", LAYOUT, "spindle.lever", "--lengths", "28, 32, 36 mm", "--all", "--json"),
    (
        "arm",
        LAYOUT,
        "pedal.rod",
        "spindle.lever",
        "--lengths",
        "100 to 120 mm by 10 mm",
    ),
    ("swap", LAYOUT),
    ("swap", LAYOUT, "--carburettor", "turned", "--json"),
    ("springs", LAYOUT, "--choose", "near", "--radii", "20 to 30 mm by 5 mm"),
    ("rim", LAYOUT, "spindle.drum", "--json"),
)
PICTURES: Final = (
    ("check", LAYOUT, "--picture", OUT + ".svg"),
    ("curve", LAYOUT, "-o", OUT + ".svg"),
    ("springs", LAYOUT, "-o", OUT + ".svg"),
    ("band", LAYOUT, "--samples", "6", "-o", OUT + ".svg"),
    ("band", LAYOUT, "--samples", "6", "--worst", OUT + ".toml"),
    ("prove", LAYOUT, "--blank", OUT + ".toml"),
    ("animate", LAYOUT, "-o", OUT + ".html"),
    (
        "arm",
        LAYOUT,
        "spindle.lever",
        "--lengths",
        "30, 32 mm",
        "--picture",
        OUT + ".svg",
    ),
    ("arm", LAYOUT, "spindle.lever", "--lengths", "30, 32 mm", "-o", OUT + ".toml"),
    ("swap", LAYOUT, "--out-dir", OUT),
    ("compare", LAYOUT, OTHER, "--out-dir", OUT),
    ("rim", LAYOUT, "spindle.drum", "-o", OUT + ".toml", "--template", OUT + ".pdf"),
    ("check", LAYOUT, "--picture", OUT + ".svg", "--by", "hand"),
)
#: Options that take a word, by command.
OPTIONS: Final = {
    "check": ("--at", "--by", "--paper", "--why"),
    "curve": ("--rows", "--by", "--paper", "--over"),
    "springs": ("--rows", "--choose", "--radii", "--rates", "--anchor", "--at-hand", "--paper"),
    "arm": ("--lengths", "--angles"),
    "rim": ("--throttle", "--at", "--least-radius", "--paper"),
    "swap": ("--beyond", "--plane", "--to", "--carburettor", "--opens", "--lever-angle"),
    "compare": ("--paper",),
    "new": (),
    "measure": ("--paper",),
    "band": ("--seed", "--paper"),
    "rock": ("--by", "--paper"),
    "prove": ("--take", "--blank", "--corrected", "--paper"),
    "animate": ("--frames", "--fps", "--size", "--beside", "--by"),
}  # fmt: skip
WORDS: Final = (
    "", " ", "-1", "0", "1", "2", "nan", "inf", "1e400", "1e12", "9" * 400, "9" * 5000, "50%", "idle",
    "full", "-1%", "101%", "nan%", "a4", "letter", "A4", "near", "far", "main", "spindle", "pedal",
    "spindle.lever", "pedal.rod", "pedal.pad", "spindle.", ".", "..", "a.b.c", "1 to 2 mm", "2 to 1 mm",
    "0 to 50 mm by 0 mm", "-5 to 5 mm", "1 to 1e11 mm by 1e-9 mm", "1e-9 to 1e-8 mm by 1e-12 mm",
    "0 to 1e11 mm by 1e11 mm", "1, 2, 3 mm", "1,,2 mm", ", mm", "1 mm to 2 deg", "30 mm", "1/0 in",
    "1e11 mm", "-60 to -20 deg by 5 deg", "0 to 1e11 deg by 1e10 deg", "0 to 1e5 deg by 100 deg",
    "0.2 to 1 N/mm by 0.1 N/mm", "0 to 1e11 N/mm by 1e10 N/mm", "1 to 2 to 3 mm", "to mm by",
    "445, -6, 180 mm", "1e11, 1e11, 1e11 mm", "nan, 0, 0 mm", "y = 50 mm", "x = 50 mm", "y = 1e11 mm",
    "y =", "=", "-240 mm", "52 deg", "1e11 deg", "mirrored", "turned", "replaced", "clockwise",
    "anticlockwise", "full-throttle", "closing-torque", "no-such-code", "--", "-", "--help", "-h",
    "{layout}", "{other}", "/dev/null", "/", ".", "/proc/self/mem", "960x540", "1x1", "0x0", "99999x99999",
    "480x270", "999999x2", "960×540", "hand", "33 %", "0 %", "100 %", "1e-300", "spindle.drum", "25", "1e9", "12", "1001", "1,2,3" * 400 + " mm",
    ", ".join(str(i) for i in range(1, 200)) + " mm", "hanging-pedal", "fault-wrong-sense",
)  # fmt: skip


def words(rng: Random) -> tuple[str, ...]:
    """Return a command line made of words at random."""
    name = rng.choice([*OPTIONS])
    given = [name]
    match name:
        case "new":
            given += [rng.choice((*WORDS, *NAMES)) for _ in range(rng.randrange(3))]
        case "measure":
            given += [rng.choice((*layouts(), *WORDS)), OUT + ".pdf"]
        case "compare":
            given += [LAYOUT, OTHER]
        case "animate":
            given += [LAYOUT, "-o", OUT + rng.choice((".html", ".gif", ".txt", ""))]
        case "band":
            given += [LAYOUT, "--samples", "6"]
        case _:
            given += [LAYOUT]
    if name == "arm":
        given += rng.choice(
            (["spindle.lever"], ["spindle.lever", "pedal.rod"], [rng.choice(WORDS)])
        )
    if name == "rim":
        given.append(rng.choice(("spindle.drum", "spindle.drum", *WORDS)))
    for _ in range(rng.choice((1, 1, 2, 3))):
        options = OPTIONS[name]
        if options and rng.random() < 0.9:
            given += [rng.choice(options), rng.choice((*WORDS, *NAMES))]
        else:
            given.append(
                rng.choice(
                    ("--json", "--all", "--echo", "--both", "--csv", "--quiet", *WORDS)
                )
            )
    return tuple(given)
