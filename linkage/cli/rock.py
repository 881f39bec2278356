"""``throttle-linkage rock``: what a moving engine does to the throttle."""

from typing import Annotated

import typer

from linkage.cli import common


def rock(
    layout: common.LayoutFile,
    by: Annotated[
        str,
        typer.Option("--by", metavar="LENGTH", help='How far it goes, as "10 mm".'),
    ] = "10 mm",
    output: common.Drawn = None,
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
    from linkage.motion.drift import drift
    from linkage.report.pictures import rock_picture
    from linkage.report.rock import rock_data, rock_lines
    from linkage.rules.examine import examine
    from linkage.units import parse

    common.ending_for(output, common.DRAWN, force=force)
    sheet = common.paper_of(paper)
    far = parse(by, "length").value
    loaded = common.load(layout, both=both)
    with loaded.placing():
        x = examine(loaded.layout)
        found = drift(x.assembly, float(x.working.end), far)
    common.put_drawn(
        output,
        data=lambda: rock_data(found),
        picture=lambda suffix: rock_picture(
            found, loaded.layout, suffix=suffix, paper=sheet
        ),
        lines=lambda: rock_lines(found, loaded.layout),
        as_json=as_json,
        force=force,
        quiet=quiet,
    )
