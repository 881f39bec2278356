"""``throttle-linkage rim``: shape a drum or a cam so that the throttle follows as wanted."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from linkage.cli import common

if TYPE_CHECKING:
    from linkage.config import Loaded
    from linkage.search.cam_profile import Profile
    from linkage.search.rim import Rim


def rim(
    layout: common.LayoutFile,
    drum: Annotated[
        str, typer.Argument(metavar="SHAFT.ARM", help="The drum, or the cam.")
    ],
    throttle: Annotated[
        str | None,
        typer.Option("--throttle", help="Share of the throttle wanted: '33 %'."),
    ] = None,
    at: Annotated[
        str | None,
        typer.Option("--at", help="Share of the pedal at which it is wanted: '45 %'."),
    ] = None,
    least: Annotated[
        str | None,
        typer.Option(
            "--least-radius",
            help="Least arm of the wire, or of the cam: '12 mm'.",
        ),
    ] = None,
    output: Annotated[
        Path | None,
        typer.Option(
            "-o", "--output", metavar="FILE", help="Write the layout with it (.toml)."
        ),
    ] = None,
    template: Annotated[
        Path | None,
        typer.Option("--template", metavar="FILE", help="Draw it at true size (.pdf)."),
    ] = None,
    as_it_is: Annotated[
        bool,
        typer.Option(
            "--as-it-is", help="Change nothing: the template of what is there."
        ),
    ] = False,
    paper: Annotated[
        str, typer.Option("--paper", help="Of the template: a4 or letter, upright.")
    ] = "a4",
    both: common.Both = False,
    as_json: common.Json = False,
    force: common.Force = False,
    quiet: common.Quiet = False,
) -> None:
    """Shape a cable's drum, or a cam, for a gentle start, and draw it to cut it by.

    Example: throttle-linkage rim car.toml spindle.drum --throttle "33 %" --at "45 %"

    Exit status: that of `check` on the layout with it; 0 with --as-it-is.
    """
    from linkage.report.rim import rim_data, rim_lines
    from linkage.search.cam_profile import is_cam, shape_cam
    from linkage.search.rim import shape_rim
    from linkage.search.wanted import LEAST, PEDAL, THROTTLE

    sheet = common.paper_of(paper)
    common.ending_for(output, ("toml",), force=force)
    common.ending_for(template, ("pdf",), force=force)
    if as_it_is:
        sought = {"--throttle": throttle, "--at": at, "--least-radius": least}
        _refuse_sought({**sought, "--output": output, "--json": as_json or None})
    loaded = common.load(layout, both=both)
    if as_it_is:
        _as_it_is(loaded, drum, template, sheet, force=force, quiet=quiet)
        raise typer.Exit(0)
    with loaded.placing():
        shape = shape_cam if is_cam(loaded.layout, drum) else shape_rim
        found = shape(
            loaded.layout,
            drum,
            _share(throttle, THROTTLE),
            _share(at, PEDAL),
            least=LEAST if least is None else _size(least),
        )
    if as_json:
        common.put_json(rim_data(found))
    else:
        common.put(rim_lines(found))
    if output is not None:
        common.write(output, _text(loaded, found), force=force, quiet=quiet)
    if template is not None:
        from linkage.report.pictures import banner_of
        from linkage.sheet.rim import rim_sheet

        data = rim_sheet(
            found.layout,
            found.hole,
            paper=sheet,  # type: ignore[arg-type]  # `paper_of` refuses others
            refused=banner_of(found.check),
        )
        common.write(template, data, force=force, quiet=quiet)
    raise typer.Exit(1 if found.check.verdict == "do not fit" else 0)


def _refuse_sought(options: dict[str, object]) -> None:
    """Refuse options that are about a rim that is sought, where none is."""
    from linkage.errors import UsageError

    for option, given in options.items():
        if given is not None:
            msg = f"{option} is about a rim that is sought, and --as-it-is seeks none"
            raise UsageError(msg, hint="take one of both out")


def _as_it_is(
    loaded: "Loaded",
    drum: str,
    template: Path | None,
    paper: str,
    *,
    force: bool,
    quiet: bool,
) -> None:
    """Draw the template of a drum or cam that is there."""
    from linkage.errors import UsageError
    from linkage.report.pictures import banner_of
    from linkage.search import check
    from linkage.search.arm import find_hole
    from linkage.sheet.rim import cam_at, rim_sheet

    if template is None:
        msg = "nothing is asked for: no rim is sought, and no template drawn"
        raise UsageError(msg, hint="add --template drum.pdf, or take --as-it-is out")
    hole = find_hole(loaded.layout, drum, fixed=True)
    wound = loaded.layout.shafts[hole.shaft].arms[hole.arm].wound
    if not wound and cam_at(loaded.layout, hole) is None:
        msg = f"`{drum}` is a bare arm: no wire lies on it, and no cam begins there"
        hint = "name a drum, an arm with `wound`, or the arm that a cam is `from`"
        raise UsageError(msg, hint=hint)
    with loaded.placing():
        refused = banner_of(check(loaded.layout, cures=False))
    data = rim_sheet(
        loaded.layout,
        hole,
        paper=paper,  # type: ignore[arg-type]  # `paper_of` refuses others
        refused=refused,
    )
    common.write(template, data, force=force, quiet=quiet)


def _share(text: str | None, usual: float) -> float:
    from linkage.errors import UsageError
    from linkage.units import parse

    if text is None:
        return usual
    value = parse(text, "fraction").value
    if not 0 < value < 1:
        msg = f"`{text}` is no share between none and all"
        raise UsageError(msg, hint='write it as "33 %" or 0.33')
    return value


def _size(text: str) -> float:
    from linkage.units import parse

    return parse(text, "length", default_unit="mm").value


def _text(loaded: "Loaded", found: "Rim | Profile") -> str:
    """Return the layout file with the rim or profile in it, all else as it was."""
    from linkage.config import chosen_arm, edit

    return edit(loaded.text, chosen_arm(loaded, found.layout, found.hole))
