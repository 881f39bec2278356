"""``throttle-linkage curve``: throttle against pedal, as picture and table."""

from pathlib import Path
from typing import Annotated

import typer

from linkage.cli import common

KINDS = ("png", "svg", "pdf", "csv", "json")


def curve(
    layout: common.LayoutFile,
    over: Annotated[
        list[Path] | None,
        typer.Option(
            "--over",
            metavar="LAYOUT",
            help="Lay another layout's curve over it; may be repeated.",
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
    rows: Annotated[
        int, typer.Option("--rows", min=2, max=100_001, help="Rows of the table.")
    ] = 11,
    csv: Annotated[bool, typer.Option("--csv", help="Print the table as CSV.")] = False,
    inches: Annotated[
        bool, typer.Option("--inches", help="Pad travel in inches on the picture.")
    ] = False,
    paper: Annotated[
        str, typer.Option("--paper", help="Sheet of the picture: a4 or letter.")
    ] = "a4",
    as_json: common.Json = False,
    force: common.Force = False,
    quiet: common.Quiet = False,
) -> None:
    """Print the travel curve: throttle angle and share against pad travel.

    Example: throttle-linkage curve car.toml -o curve.pdf
    """
    from linkage.cli.check import paper_of
    from linkage.motion import assemble, working_travel
    from linkage.motion.curve import travel_curve
    from linkage.report import curve as report

    suffix = None
    if output is not None:
        suffix = common.suffix_of(output, KINDS)
        common.check_place(output, force=force)
    sheet = paper_of(paper)
    named = []
    drawn = suffix in {"png", "svg", "pdf"}
    for path in (layout, *(over or ())):
        loaded = common.load(path)
        with loaded.placing():
            assembly = assemble(loaded.layout)
        points = 201 if drawn else rows
        named.append(
            (path.stem, travel_curve(assembly, working_travel(assembly), points=points))
        )
    curves = [c for _, c in named]
    if suffix is None:
        _print(named, csv=csv, as_json=as_json, rows=rows)
        return
    if output is None:  # pragma: no cover - suffix is only set with it
        return
    if suffix == "csv":
        data: str | bytes = "\n".join(report.curve_csv(c) for c in curves)
    elif suffix == "json":
        import json

        data = json.dumps([report.curve_data(c) for c in curves], indent=2) + "\n"
    else:
        from linkage.report.pictures import curve_picture

        unit = "in" if inches else "mm"
        data = curve_picture(named, suffix=suffix, paper=sheet, length_unit=unit)
    common.write(output, data, force=force, quiet=quiet)
    if not quiet and drawn:
        _print(named, csv=csv, as_json=as_json, rows=rows)


def _print(named: list, *, csv: bool, as_json: bool, rows: int) -> None:  # type: ignore[type-arg]
    from linkage.report import curve as report

    if as_json:
        data = [report.curve_data(c) for _, c in named]
        common.put_json(data[0] if len(data) == 1 else data)
    elif csv:
        common.put(report.curve_csv(c).rstrip("\n") for _, c in named)
    else:
        for i, (_, one) in enumerate(named):
            common.put([""] * (i > 0) + report.curve_lines(one, rows=rows))
