"""``throttle-linkage rock``: what a moving engine does to the throttle."""

from pathlib import Path
from typing import Annotated

import typer

from linkage.cli import common

#: Endings of the files that can be written.
KINDS = (*common.PICTURES, "json")


def rock(
    layout: common.LayoutFile,
    by: Annotated[
        str,
        typer.Option("--by", metavar="LENGTH", help='How far it goes, as "10 mm".'),
    ] = "10 mm",
    output: Annotated[
        Path | None,
        typer.Option(
            "-o", "--output", metavar="FILE", help="Write .png, .svg, .pdf or .json"
        ),
    ] = None,
    paper: common.Paper = "a4",
    both: common.Both = False,
    as_json: common.Json = False,
    force: common.Force = False,
    quiet: common.Quiet = False,
) -> None:
    """Tell what the throttle does when the engine moves, in each direction.

    Example: throttle-linkage rock car.toml -o rock.pdf

    Along the last rod from body to engine every millimetre counts, across it hardly
    any. What the engine carries stands in the file: [engine] with `carries`.
    """
    import json

    from linkage.motion.drift import drift
    from linkage.report.rock import rock_data, rock_lines
    from linkage.rules.examine import examine
    from linkage.units import parse

    suffix = common.ending_for(output, KINDS, force=force)
    sheet = common.paper_of(paper)
    far = parse(by, "length").value
    loaded = common.load(layout, both=both)
    with loaded.placing():
        x = examine(loaded.layout)
        found = drift(x.assembly, float(x.working.end), far)
    if output is not None:
        if suffix == "json":
            data: bytes | str = json.dumps(rock_data(found), indent=2) + "\n"
        else:
            from linkage.report.pictures import rock_picture

            data = rock_picture(found, loaded.layout, suffix=suffix, paper=sheet)
        common.write(output, data, force=force, quiet=quiet)
    if as_json:
        common.put_json(rock_data(found))
    elif output is None or not quiet:
        common.put(rock_lines(found, loaded.layout))
