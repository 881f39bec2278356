"""``throttle-linkage measure``: a blank sheet to take to the vehicle."""

from pathlib import Path
from typing import Annotated

import typer

from linkage.cli import common


def measure(
    family: Annotated[
        str,
        typer.Argument(metavar="FAMILY", help="Which layout; see `new --list`."),
    ],
    output: Annotated[
        Path, typer.Argument(metavar="OUT.pdf", help="The sheet to print (.pdf).")
    ],
    paper: Annotated[
        str, typer.Option("--paper", help="Sheets: a4 or letter, upright.")
    ] = "a4",
    inches: Annotated[
        bool, typer.Option("--inches", help="Boxes in inches and pounds, not mm and N.")
    ] = False,
    force: common.Force = False,
    quiet: common.Quiet = False,
) -> None:
    """Write a blank measuring sheet to print: drawing, letters, a box for each size.

    Example: throttle-linkage measure hanging-pedal sheet.pdf --paper letter --inches

    The letters are those of the starter file that `new` writes for the same family.
    """
    from linkage.config import load
    from linkage.config.starters import starter
    from linkage.report.cautions import usual
    from linkage.sheet import measuring_sheet

    sheet = common.paper_of(paper)
    common.ending_for(output, ("pdf",), force=force)
    layout = load(starter(family).path).layout
    data = measuring_sheet(
        layout,
        name=family,
        paper=sheet,  # type: ignore[arg-type]  # `paper_of` refuses others
        inches=inches,
        cautions=usual(layout),
    )
    common.write(output, data, force=force, quiet=quiet)
    common.tell(
        f"next: print it at 100 %, fill it in, and run `throttle-linkage new {family}`",
        quiet=quiet,
    )
