"""Every kind of output, by the command that writes it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from pathlib import Path

CAR: Final = "hanging-pedal.toml"
BEFORE: Final = "scenario-before.toml"
AFTER: Final = "scenario-wrongly-swapped.toml"
CABLE: Final = "cable-drum.toml"
_SHORT: Final = ["--frames", "6", "--size", "640x360"]


@dataclass(frozen=True)
class Output:
    """A command and the place that it writes to."""

    words: list[str]
    place: str

    def found(self, folder: Path) -> dict[str, bytes]:
        """Return what stands at the place, by name; empty where nothing does."""
        place = folder / self.place
        if place.is_dir():
            return {p.name: p.read_bytes() for p in place.iterdir() if p.is_file()}
        return {place.name: place.read_bytes()} if place.exists() else {}


OUTPUTS: Final = {
    "starter": Output(["new", "hanging-pedal", "-o", "out.toml"], "out.toml"),
    "schema": Output(["new", "--schema", "-o", "out.json"], "out.json"),
    "sheet": Output(["measure", "hanging-pedal", "out.pdf"], "out.pdf"),
    "layout picture": Output(["check", CAR, "--picture", "out.png"], "out.png"),
    "curve picture": Output(["curve", CAR, "-o", "out.svg"], "out.svg"),
    "curve table": Output(["curve", CAR, "-o", "out.csv"], "out.csv"),
    "curve data": Output(["curve", CAR, "-o", "out.json"], "out.json"),
    "chosen arm": Output(["arm", CAR, "spindle.lever", "--lengths", "32 mm", "-o", "out.toml"], "out.toml"),
    "arm picture": Output(["arm", CAR, "spindle.lever", "--lengths", "31, 32 mm", "--picture", "out.svg"], "out.svg"),
    "rim template": Output(["rim", CABLE, "spindle.drum", "--as-it-is", "--template", "out.pdf"], "out.pdf"),
    "spring card": Output(["springs", CAR, "-o", "out.pdf"], "out.pdf"),
    "page": Output(["animate", CAR, "-o", "out.html"], "out.html"),
    "gif": Output(["animate", CAR, "-o", "out.gif", *_SHORT], "out.gif"),
    "mp4": Output(["animate", CAR, "-o", "out.mp4", *_SHORT], "out.mp4"),
    "swapped set": Output(["swap", BEFORE, "--carburettor", "turned", "--out-dir", "out"], "out"),
    "compared set": Output(["compare", BEFORE, AFTER, "--out-dir", "out"], "out"),
}  # fmt: skip
