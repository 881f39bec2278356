"""``throttle-linkage check``: fit it, or not, and why."""

from pathlib import Path
from typing import Annotated

import typer

from linkage.cli import common


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
    paper: common.Paper = "a4",
    geometry: Annotated[
        bool,
        typer.Option("--geometry", help="Judge geometry alone: no springs, no forces."),
    ] = False,
    echo: Annotated[
        bool, typer.Option("--echo", help="Show how every number was understood.")
    ] = False,
    both: common.Both = False,
    as_json: common.Json = False,
    force: common.Force = False,
    quiet: common.Quiet = False,
) -> None:
    """Check a linkage before fitting it: every finding with number, limit and cure.

    Example: throttle-linkage check car.toml --picture car.png

    A layout without any spring is not to be fitted yet; with --geometry its travel,
    senses, angles and the rocking engine are judged alone, and the answer says so.

    Exit status: 0 fits, 1 do not fit, 3 the file is wrong, 4 cannot be assembled.
    """
    from linkage.report.findings import check_data, check_lines
    from linkage.search import check as run

    sheet, share = common.paper_of(paper), position(at)
    suffix = common.ending_for(picture, common.PICTURES, force=force)
    loaded = common.load(layout, both=both)
    with loaded.placing():
        result = run(
            loaded.layout,
            geometry=geometry,
            progress=common.progress("cures", quiet=quiet),
        )
    if as_json:
        common.put_json(check_data(result))
    else:
        common.put(check_lines(result, echo=loaded.echo if echo else ()))
    if picture is not None:
        from linkage.report.pictures import layout_picture

        data = layout_picture(result, share=share, suffix=suffix, paper=sheet)
        common.write(picture, data, force=force, quiet=quiet)
    raise typer.Exit(1 if result.verdict == "do not fit" else 0)


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
