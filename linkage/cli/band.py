"""``throttle-linkage band``: how sure a layout is, with all its measuring errors."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from linkage.cli import common

if TYPE_CHECKING:
    from linkage.band import Band
    from linkage.config import Loaded


def band(
    layout: common.LayoutFile,
    samples: Annotated[
        int, typer.Option("--samples", metavar="N", help="How many are judged.")
    ] = 2000,
    seed: Annotated[
        int, typer.Option("--seed", min=0, help="Of the draws: one seed, one answer.")
    ] = 1,
    even: Annotated[
        bool,
        typer.Option(
            "--even",
            help="Spread the samples evenly (scrambled Sobol sequence; needs SciPy).",
        ),
    ] = False,
    worst: Annotated[
        Path | None,
        typer.Option(
            "--worst",
            metavar="FILE",
            help="Write the layout with every error unkind, for `check`.",
        ),
    ] = None,
    output: common.Drawn = None,
    paper: common.Paper = "a4",
    both: common.Both = False,
    as_json: common.Json = False,
    force: common.Force = False,
    quiet: common.Quiet = False,
) -> None:
    """Tell how sure a layout is: what measuring errors and wear make of it.

    Example: throttle-linkage band car.toml -o band.pdf

    How far each number may be off is its ± in the file, or follows from what it was
    measured with: the table [measured], or the usual instrument. Tells what to
    measure again first.
    """
    from linkage.band import band as sampled
    from linkage.report.band import band_data, band_lines

    common.ending_for(output, common.DRAWN, force=force)
    sheet = common.paper_of(paper)
    common.ending_for(worst, ("toml",), force=force)
    loaded = common.load(layout, both=both)
    with loaded.placing():
        found = sampled(
            loaded.layout,
            samples=samples,
            seed=seed,
            even=even,
            progress=common.progress("samples", quiet=quiet),
        )
    if worst is not None:
        common.write(worst, _worst(loaded, found), force=force, quiet=quiet)
    common.put_drawn(
        output,
        data=lambda: band_data(found),
        picture=lambda suffix: _picture(loaded, found, suffix, paper=sheet),
        lines=lambda: band_lines(found),
        as_json=as_json,
        force=force,
        quiet=quiet,
    )


def _worst(loaded: "Loaded", found: "Band") -> str:
    """Return the file of the layout with every error unkind."""
    from linkage import config
    from linkage.band.worst import worst_layout

    layout, what = worst_layout(found.examined)
    said = (
        f"Not to be made: {loaded.layout.title or loaded.path.name}\n"
        f"with every measuring error the unkind way for {what}, joints worn,\n"
        "rods and pedal stop set anew. `check` tells what comes of it."
    )
    return config.dump(layout, comment=said)


def _picture(loaded: "Loaded", found: "Band", suffix: str, *, paper: str) -> bytes:
    """Return the picture, with why it must not be fitted."""
    from linkage.report.pictures import band_picture, banner_of
    from linkage.search import check

    refused = banner_of(check(loaded.layout, cures=False))
    return band_picture(found, suffix=suffix, refused=refused, paper=paper)
