"""``throttle-linkage animate``: the pedal going down and up, as GIF, MP4 or HTML."""

import signal
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from linkage.cli import common

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from linkage.config import Loaded
    from linkage.search import Check

    Progress = Callable[[int, int], None]

KINDS = ("gif", "mp4", "html")


def animate(
    layout: common.LayoutFile,
    output: Annotated[
        Path | None,
        typer.Option(
            "-o", "--output", metavar="FILE", help="Write .gif, .mp4 or .html"
        ),
    ] = None,
    beside: Annotated[
        Path | None,
        typer.Option(
            "--beside",
            metavar="LAYOUT",
            help="Another layout side by side, on the same pad travel.",
        ),
    ] = None,
    by: common.By = "pedal",
    frames: Annotated[
        int, typer.Option("--frames", help="Frames, pedal down and up (not HTML).")
    ] = 120,
    fps: Annotated[
        float, typer.Option("--fps", help="Frames a second (not HTML).")
    ] = 25.0,
    size: Annotated[
        str, typer.Option("--size", help="Width and height in pixels (not HTML).")
    ] = "960x540",
    force: common.Force = False,
    quiet: common.Quiet = False,
) -> None:
    """Show the linkage at work: pedal down and up, one layout or two side by side.

    Example: throttle-linkage animate car.toml -o car.html

    Film and page may show the hand lever at work: --by hand. Of a governed engine they
    show the governor.

    Before and after: throttle-linkage animate old.toml --beside new.toml -o both.gif
    """
    place = _place(output, force=force)
    kind = common.suffix_of(place, KINDS)
    pixels = size_of(size)
    hand = common.by_hand(by)
    _refuse(kind, frames, fps, pixels)
    first = common.load(layout)  # words speak in its units
    both = (first, *_others(beside))
    checks = [_by_hand(_checked(one)) if hand else _checked(one) for one in both]
    if kind == "html":
        from linkage.animation.page import page

        common.write(place, page(checks), force=force, quiet=quiet)
        return
    from linkage.animation.gif import gif
    from linkage.animation.mp4 import mp4
    from linkage.animation.scene import deepest, scenes
    from linkage.animation.schedule import schedule

    timing = schedule(deepest(checks), frames)
    make = gif if kind == "gif" else mp4
    shown = scenes(checks, timing.pad_travel)
    with stopped_between_frames(common.progress("drawing", quiet=quiet)) as progress:
        data = make(shown, timing, size=pixels, fps=fps, progress=progress)
    common.write(place, data, force=force, quiet=quiet)


@contextmanager
def stopped_between_frames(show: "Progress | None") -> "Iterator[Progress]":
    """Let Ctrl-C take effect between two frames.

    In the middle of one it can come up inside compiled code, which makes another
    error of it. A second Ctrl-C takes effect at once.

    Yields
    ------
    callable
        To be called with frames done and frames in all.

    Raises
    ------
    KeyboardInterrupt
        After Ctrl-C; the encoder, which gets it too, may fail first.
    """
    from linkage.errors import OutputError

    before = signal.getsignal(signal.SIGINT)
    pressed = False

    def note(_number: int, _frame: object) -> None:
        nonlocal pressed
        pressed = True
        signal.signal(signal.SIGINT, before)

    def step(done: int, total: int) -> None:
        if pressed:
            raise KeyboardInterrupt
        if show is not None:
            show(done, total)

    signal.signal(signal.SIGINT, note)
    try:
        yield step
    except OutputError:
        if pressed:
            raise KeyboardInterrupt from None
        raise
    finally:
        signal.signal(signal.SIGINT, before)
    if pressed:
        raise KeyboardInterrupt


def _place(output: Path | None, *, force: bool) -> Path:
    """Return where the result goes; it is no text, so a pipe will not do."""
    from linkage.errors import UsageError

    if output is None or str(output) in {"-", "/dev/stdout"}:
        msg = "an animation cannot be printed"
        raise UsageError(msg, hint="name a file with -o, such as -o car.html")
    common.ending_for(output, KINDS, force=force)
    return output


def size_of(text: str) -> tuple[int, int]:
    """Return width and height, written such as 960x540.

    Raises
    ------
    UsageError
        If it is not two whole numbers.
    """
    from linkage.errors import UsageError

    parts = text.lower().replace("×", "x").split("x")
    if len(parts) != 2 or not all(
        p.strip().isascii() and p.strip().isdigit() and len(p) < 7 for p in parts
    ):
        msg = f"`{text}` is no size"
        raise UsageError(msg, hint="write width and height in pixels, such as 960x540")
    return int(parts[0]), int(parts[1])


def _refuse(kind: str, frames: int, fps: float, pixels: tuple[int, int]) -> None:
    """Refuse what cannot be made, before any work."""
    if kind == "html":
        return
    from linkage.animation.mp4 import refuse_odd, refuse_without_encoder
    from linkage.animation.picture import refuse_size
    from linkage.animation.schedule import refuse_timing

    refuse_timing(frames, fps, kind)
    refuse_size(pixels)
    if kind == "mp4":
        refuse_odd(pixels)
        refuse_without_encoder()


def _by_hand(check: "Check") -> "Check":
    """Return a check whose layout is looked at as the hand sees it.

    Raises
    ------
    UsageError
        If it has no hand lever, or cannot be put together so.
    """
    from dataclasses import replace

    from linkage.errors import UsageError

    common.refuse_handless(check.examined.layout)
    pulled = check.examined.by_hand
    if pulled is None:
        msg = check.examined.torn_by_hand(0)
        raise UsageError(msg, hint="`check` tells what is wrong with it")
    return replace(check, examined=pulled)


def _others(beside: Path | None) -> "list[Loaded]":
    from linkage.config import load

    return [] if beside is None else [load(beside)]


def _checked(loaded: "Loaded") -> "Check":
    from linkage.search import check

    with loaded.placing():
        return check(loaded.layout, cures=False)
