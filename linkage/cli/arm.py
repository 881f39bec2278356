"""``throttle-linkage arm``: choose a crank arm length for full throttle."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from linkage.cli import common
from linkage.seen import seen

if TYPE_CHECKING:
    from linkage.config import Loaded
    from linkage.model import Layout
    from linkage.search.sized import Choice, Row, Sizing


def arm(
    layout: common.LayoutFile,
    arms: Annotated[
        list[str],
        typer.Argument(
            metavar="SHAFT.ARM...", help="One arm, or two or three at once."
        ),
    ],
    lengths: Annotated[
        list[str] | None,
        typer.Option(
            "--lengths",
            help="Lengths of each arm in turn: '25 to 45 mm by 0.5 mm', or holes '28, 31, 34 mm'.",
        ),
    ] = None,
    angles: Annotated[
        list[str] | None,
        typer.Option(
            "--angles",
            help="Angles at rest of each arm in turn: '-60 to -20 deg by 5 deg'.",
        ),
    ] = None,
    output: Annotated[
        Path | None,
        typer.Option(
            "-o",
            "--output",
            metavar="FILE",
            help="Write the layout with the choice in it (.toml).",
        ),
    ] = None,
    picture: Annotated[
        Path | None,
        typer.Option(
            "--picture",
            metavar="FILE",
            help="Draw length against throttle reached: .png, .svg, .pdf",
        ),
    ] = None,
    every: Annotated[bool, typer.Option("--all", help="Show every row.")] = False,
    both: common.Both = False,
    as_json: common.Json = False,
    force: common.Force = False,
    quiet: common.Quiet = False,
) -> None:
    """Choose a crank arm length, or a hole, for full throttle; rods are cut again.

    Example: throttle-linkage arm car.toml spindle.lever --lengths "25 to 45 mm by 0.5 mm"

    Every candidate is judged by every rule. Of a governed engine it is chosen so that the
    governor's whole travel shuts the throttle, its rod set one turn off. Exit status: that
    of `check` on the layout with the choice in it; 1 where no length fits.
    """
    from linkage.report.sizing import sizing_data, sizing_lines
    from linkage.search.arm import size_arms

    suffix = common.ending_for(picture, common.PICTURES, force=force)
    common.ending_for(output, ("toml",), force=force)
    loaded = common.load(layout, both=both)
    choices = _choices(loaded.layout, arms, lengths or [], angles or [])
    with loaded.placing():
        sizing = size_arms(
            loaded.layout, choices, progress=common.progress("trying", quiet=quiet)
        )
    if as_json:
        common.put_json(sizing_data(sizing))
    else:
        common.put([seen(loaded.layout.title), "", *sizing_lines(sizing, every=every)])
    if picture is not None:
        from linkage.report.pictures import sizing_picture

        common.write(
            picture,
            sizing_picture(sizing, loaded.layout, suffix=suffix),
            force=force,
            quiet=quiet,
        )
    raise typer.Exit(_written(loaded, sizing, output, force=force, quiet=quiet))


def _written(
    loaded: "Loaded",
    sizing: "Sizing",
    output: Path | None,
    *,
    force: bool,
    quiet: bool,
) -> int:
    """Check the layout with the choice in it as it is written; write it where asked.

    What comes nearest is written where it leaves only what was so before.

    Returns
    -------
    int
        Exit status: that of `check` on what is written; 1 where nothing is.
    """
    from linkage.config import loads
    from linkage.report.verdict import reason
    from linkage.search import check

    row = sizing.best if sizing.chosen is not None or sizing.only_as_before else None
    if row is None:
        if output is not None:
            common.tell(f"{output} not written: nothing fits", quiet=quiet)
        return 1
    text = _chosen_text(loaded, sizing, row)
    with loaded.placing():
        found = check(loads(text, str(output or loaded.path)).layout, cures=False)
    if output is not None:
        common.write(output, text, force=force, quiet=quiet)
    if found.verdict != "do not fit":
        return 0
    why = reason(found)
    common.tell(f"with the choice in it the layout does not fit: {why}", quiet=quiet)
    return 1


def _choices(
    layout: "Layout", arms: list[str], lengths: list[str], angles: list[str]
) -> "list[Choice]":
    from linkage.errors import UsageError

    if len(arms) > 3:
        msg = f"{len(arms)} arms at once are too many"
        raise UsageError(msg, hint="name one arm, two or three")
    if len(set(arms)) < len(arms):
        twice = next(a for a in arms if arms.count(a) > 1)
        msg = f"arm `{twice}` is named twice"
        raise UsageError(msg, hint="name different arms, or one")
    for given, word in ((lengths, "--lengths"), (angles, "--angles")):
        if len(given) > len(arms):
            msg = f"{word} is given {len(given)} times for {len(arms)} arm"
            raise UsageError(msg, hint="give it once for each arm, in the same order")
    return [
        _choice(
            layout, text, (lengths[i : i + 1], angles[i : i + 1]), alone=len(arms) == 1
        )
        for i, text in enumerate(arms)
    ]


def _choice(
    layout: "Layout", text: str, given: tuple[list[str], list[str]], *, alone: bool
) -> "Choice":
    """Return what is tried of one arm: as given, or about its present length."""
    from linkage.errors import UsageError
    from linkage.search.arm import find_hole
    from linkage.search.sized import Choice
    from linkage.search.steps import around, stepped, usual_step

    lengths, angles = given
    hole = find_hole(layout, text)
    now = layout.shafts[hole.shaft].arms[hole.arm]
    turned = _values(angles[0], "angle") if angles else (now.angle,)
    if lengths:
        tried = _values(lengths[0], "length")
    elif angles:
        tried = (now.length,)
    else:
        tried = stepped(*around(now.length), usual_step(alone=alone))
    if min(tried) <= 0:
        msg = f"a length of `{text}` must be more than zero"
        raise UsageError(msg, hint="give the radius of the hole from its pivot")
    return Choice(hole=hole, lengths=tried, angles=turned)


def _values(text: str, kind: str) -> tuple[float, ...]:
    from linkage.search.changes import ANGLE_STEP
    from linkage.search.steps import INCH_STEP, METRIC_STEP, stepped
    from linkage.units.series import parse_series
    from linkage.units.table import INCH_MARKS

    series = parse_series(text, kind)
    if series.values:
        return series.values
    inch = text.rstrip().endswith(("in", "inch", "inches", *INCH_MARKS))
    usual = ANGLE_STEP if kind == "angle" else INCH_STEP if inch else METRIC_STEP
    return stepped(series.low, series.high, series.step or usual)


def _chosen_text(loaded: "Loaded", sizing: "Sizing", row: "Row") -> str:
    """Return the layout file with the chosen arms in it, all else as it was."""
    from linkage.config import chosen_arms, edit

    holes = [c.hole for c in sizing.choices]
    return edit(loaded.text, chosen_arms(loaded, row.layout, holes, row.rods))
