"""``throttle-linkage check``: fit it, or not, and why."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from linkage.cli import common

if TYPE_CHECKING:
    from collections.abc import Sequence

    from linkage.search import Check


def check(
    layout: common.LayoutFile,
    picture: Annotated[
        Path | None,
        typer.Option(
            "--picture", metavar="FILE", help="Draw the layout: .png, .svg, .pdf"
        ),
    ] = None,
    at: Annotated[
        str,
        typer.Option(
            "--at", help="Where the picture stands: idle, full, or such as 50%."
        ),
    ] = "full",
    by: Annotated[
        str,
        typer.Option("--by", help="Which input drives in the picture: pedal, or hand."),
    ] = "pedal",
    swept: Annotated[
        bool,
        typer.Option(
            "--swept", help="All that its parts sweep is in the picture, pale."
        ),
    ] = False,
    paper: common.Paper = "a4",
    geometry: Annotated[
        bool,
        typer.Option("--geometry", help="Judge geometry alone: no springs, no forces."),
    ] = False,
    every: Annotated[
        bool, typer.Option("--all", help="Every finding, not one screen.")
    ] = False,
    why: Annotated[
        str | None,
        typer.Option(
            "--why", metavar="CODE", help="Explain one finding by its code, as [code]."
        ),
    ] = None,
    echo: Annotated[
        bool, typer.Option("--echo", help="Show how every number was understood.")
    ] = False,
    both: common.Both = False,
    as_json: common.Json = False,
    force: common.Force = False,
    quiet: common.Quiet = False,
) -> None:
    """Check a linkage before fitting it: verdict, why, what to do, in one screen.

    Example: throttle-linkage check car.toml --picture car.png

    With --all every finding stands there with its number and limit, and every
    caution; --why full-throttle explains one of them by its code.

    A layout without any spring is not to be fitted yet; with --geometry its travel,
    senses, angles and the rocking engine are judged alone, and the answer says so.

    Exit status: 0 fits, 1 do not fit, 3 the file is wrong, 4 cannot be assembled.
    """
    from linkage.cli.slips import doubts, explained
    from linkage.report.findings import check_data
    from linkage.report.slips import doubt_lines, slip_data
    from linkage.search import check as run

    if why is not None:
        from linkage.report.why import rule_of

        rule_of(why)  # a code that is none is refused before any work
    sheet, share = common.paper_of(paper), position(at)
    hand = common.by_hand(by)
    suffix = common.ending_for(picture, common.PICTURES, force=force)
    loaded = common.load(layout, both=both)
    if hand:
        common.refuse_handless(loaded.layout)
    with loaded.placing(), explained(loaded.layout, geometry=geometry):
        result = run(
            loaded.layout,
            geometry=geometry,
            progress=common.progress("cures", quiet=quiet),
        )
    slips, odd = doubts(result)
    if as_json:
        common.put_json({**check_data(result), **slip_data(slips, odd)})
    else:
        told = doubt_lines(slips, odd, fits=result.verdict != "do not fit")
        read = loaded.echo if echo else ()
        common.put(_told(result, every=every, why=why, slips=told, echo=read))
    if picture is not None:
        from linkage.report.pictures import layout_picture

        data = layout_picture(
            result,
            share=share,
            suffix=suffix,
            paper=sheet,
            by_hand=hand,
            swept=swept,
        )
        common.write(picture, data, force=force, quiet=quiet)
    raise typer.Exit(1 if result.verdict == "do not fit" else 0)


def _told(
    result: "Check",
    *,
    every: bool,
    why: str | None,
    slips: "Sequence[str]",
    echo: "Sequence[tuple[str, str, str]]",
) -> list[str]:
    """Return a check in one screen, in full, or one finding of it explained."""
    if why is not None:
        from linkage.report.why import why_lines

        return why_lines(result, why)
    if every:
        from linkage.report.findings import check_lines

        return check_lines(result, slips=slips, echo=echo)
    from linkage.report.screen import screen_lines

    return screen_lines(result, slips=slips, echo=echo)


def position(text: str) -> float:
    """Return a place in the working travel as a share, 0 idle to 1 full.

    Raises
    ------
    UsageError
        If it is neither a word nor a share from 0 to 100 %.
    """
    from linkage.errors import UsageError

    words = {"idle": 0.0, "full": 1.0}
    if text in words:
        return words[text]
    try:
        share = float(text.strip().removesuffix("%")) / 100
    except ValueError:
        share = -1.0
    if not 0 <= share <= 1:
        msg = f"`{text}` is no place in the travel"
        raise UsageError(msg, hint="write idle, full, or a share such as 50%")
    return share
