"""``throttle-linkage curve``: throttle against pedal, as picture and table."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from linkage.cli import common
from linkage.seen import seen

if TYPE_CHECKING:
    from collections.abc import Sequence

    from linkage.config import Loaded
    from linkage.model import Layout
    from linkage.motion import Assembly
    from linkage.motion.curve import TravelCurve

#: Endings of the files that can be written.
KINDS = (*common.PICTURES, "csv", "json")


def curve(
    layout: common.LayoutFile,
    over: Annotated[
        list[Path] | None,
        typer.Option(
            "--over",
            metavar="LAYOUT",
            help="Lay another layout's curve over it; up to five on a picture.",
        ),
    ] = None,
    output: Annotated[
        Path | None,
        typer.Option(
            "-o",
            "--output",
            metavar="FILE",
            help="Write .png, .svg, .pdf, .csv or .json",
        ),
    ] = None,
    by: common.By = "pedal",
    rows: Annotated[
        int, typer.Option("--rows", min=2, max=100_001, help="Rows of the table.")
    ] = 11,
    csv: Annotated[bool, typer.Option("--csv", help="Print the table as CSV.")] = False,
    inches: Annotated[
        bool,
        typer.Option(
            "--inches",
            help="Pad travel of the picture in inches, whatever the file speaks.",
        ),
    ] = False,
    both: common.Both = False,
    paper: common.Paper = "a4",
    as_json: common.Json = False,
    force: common.Force = False,
    quiet: common.Quiet = False,
) -> None:
    """Print the travel curve: throttle angle and share against pad travel.

    Example: throttle-linkage curve car.toml -o curve.pdf

    With --by hand it is the curve of the hand lever; of a governed engine that of its
    governor.
    """
    from linkage.motion import assemble, working_travel
    from linkage.motion.curve import travel_curve

    hand = common.by_hand(by)
    suffix = common.ending_for(output, KINDS, force=force)
    sheet = common.paper_of(paper)
    named: list[tuple[str, TravelCurve]] = []
    refused: list[str | None] = []
    drawn = suffix in common.PICTURES
    for path in (layout, *(over or ())):
        loaded = common.load(path, speaks=not named, both=both)
        if named:
            _refuse_other(named[0][1].governed, loaded)
        with loaded.placing():
            assembly = assemble(loaded.layout)
            if hand:
                assembly = assemble(_as_pulled(assembly))
        points = 201 if drawn else rows
        named.append(
            (
                seen(path.stem),
                travel_curve(assembly, working_travel(assembly), points=points),
            )
        )
        if drawn:
            refused.append(_why_not(loaded))
    if output is not None:
        data = _file(named, suffix, refused=refused, paper=sheet, inches=inches)
        common.write(output, data, force=force, quiet=quiet)
    if output is None or (drawn and not quiet):
        _print(named, csv=csv, as_json=as_json, rows=rows)


def _refuse_other(governed: bool, loaded: "Loaded") -> None:
    """Refuse a governed engine over a pedal's curve, or the other way round."""
    from linkage.errors import UsageError

    if governed != loaded.layout.governed:
        msg = "the one curve is of a pedal, which opens, the other of a governor, which shuts"
        raise UsageError(msg, hint="lay curves of one kind over each other")


def _as_pulled(assembly: "Assembly") -> "Layout":
    """Return a layout as the hand sees it, or refuse one without a hand lever."""
    from linkage.motion.by_hand import by_hand

    common.refuse_handless(assembly.layout)
    return by_hand(assembly)


def _why_not(loaded: "Loaded") -> str | None:
    """Return why a layout must not be fitted by the whole check; None where it may."""
    from linkage.errors import LinkageError
    from linkage.report.pictures import banner_of
    from linkage.search import check

    try:
        return banner_of(check(loaded.layout, cures=False))
    except LinkageError as error:  # of its springs; the curve can be drawn
        return f"it could not be judged: {error}".replace("`", "")


def _file(
    named: "Sequence[tuple[str, TravelCurve]]",
    suffix: str,
    *,
    refused: "Sequence[str | None]",
    paper: str,
    inches: bool,
) -> bytes | str:
    """Return what is written: a table, plain data or a picture."""
    from linkage.report import curve as report

    curves = [c for _, c in named]
    if suffix == "csv":
        return "\n".join(report.curve_csv(c) for c in curves)
    if suffix == "json":
        import json

        return json.dumps([report.curve_data(c) for c in curves], indent=2) + "\n"
    from linkage.report.pictures import curve_picture

    unit = "in" if inches else None
    return curve_picture(
        named, suffix=suffix, refused=refused, paper=paper, length_unit=unit
    )


def _print(
    named: "Sequence[tuple[str, TravelCurve]]",
    *,
    csv: bool,
    as_json: bool,
    rows: int,
) -> None:
    """Print the table, or the same as CSV or JSON."""
    from linkage.report import curve as report

    if as_json:
        data = [report.curve_data(c) for _, c in named]
        common.put_json(data[0] if len(data) == 1 else data)
    elif csv:
        common.put(report.curve_csv(c).rstrip("\n") for _, c in named)
    else:
        for i, (_, one) in enumerate(named):
            common.put([""] * (i > 0) + report.curve_lines(one, rows=rows))
