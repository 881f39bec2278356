"""``throttle-linkage prove``: what is read on the vehicle, held against the file."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from linkage.cli import common

if TYPE_CHECKING:
    from linkage.config import Loaded
    from linkage.proof import Proof


def prove(
    layout: common.LayoutFile,
    readings: Annotated[
        Path | None,
        typer.Argument(
            metavar="[READINGS]",
            help="What was read on the vehicle (TOML); without it, what to read.",
        ),
    ] = None,
    blank: Annotated[
        Path | None,
        typer.Option(
            "--blank", metavar="FILE", help="Write a file of readings to fill in."
        ),
    ] = None,
    take: Annotated[
        int | None,
        typer.Option(
            "--take", metavar="N", help="Go on as if the Nth explanation were right."
        ),
    ] = None,
    corrected: Annotated[
        Path | None,
        typer.Option(
            "--corrected",
            metavar="FILE",
            help="Write the layout that fits the readings.",
        ),
    ] = None,
    output: common.Drawn = None,
    paper: common.Paper = "a4",
    both: common.Both = False,
    as_json: common.Json = False,
    force: common.Force = False,
    quiet: common.Quiet = False,
) -> None:
    """Prove a fitted linkage: whether the vehicle shows what the file says.

    Example: throttle-linkage prove car.toml --blank car-read.toml
    then: throttle-linkage prove car.toml car-read.toml

    Throttle angles, pad travel at full, lengths of rods, angles of levers and pulls,
    read with the engine off, are held against what the file predicts. Where they do not
    agree it tells which number is most likely wrong and by how much, and what to
    measure to be sure.

    Exit status: 0 the vehicle agrees and it fits, 1 not, 3 a file is wrong.
    """
    from linkage.errors import UsageError
    from linkage.report.pictures import proof_picture
    from linkage.report.proof import proof_data, proof_lines

    common.ending_for(output, common.DRAWN, force=force)
    sheet = common.paper_of(paper)
    common.ending_for(blank, ("toml",), force=force)
    common.ending_for(corrected, ("toml",), force=force)
    loaded = common.load(layout, both=both)
    if readings is None:
        given = {"--take": take, "--corrected": corrected, "-o": output}
        unused = [word for word, value in given.items() if value is not None]
        if unused:
            msg = f"`{unused[0]}` needs readings"
            raise UsageError(msg, hint="`--blank FILE` writes a file to fill in")
        _blank(loaded, blank, as_json=as_json, force=force, quiet=quiet)
        return
    if blank is not None:
        msg = "`--blank` writes a file to fill in, and readings are there already"
        raise UsageError(msg, hint="leave one of them out")
    found = _proved(loaded, readings, take=take, quiet=quiet)
    if corrected is not None:
        common.write(corrected, _corrected(loaded, found), force=force, quiet=quiet)
    common.put_drawn(
        output,
        data=lambda: proof_data(found),
        picture=lambda suffix: proof_picture(found, suffix=suffix, paper=sheet),
        lines=lambda: proof_lines(found),
        as_json=as_json,
        force=force,
        quiet=quiet,
    )
    raise typer.Exit(0 if found.good else 1)


def _proved(
    loaded: "Loaded", readings: Path, *, take: int | None, quiet: bool
) -> "Proof":
    from linkage.config.readings import load_readings
    from linkage.errors import UsageError
    from linkage.proof import prove as run

    if take is not None and take < 1:
        msg = f"`--take {take}`: explanations are counted from 1"
        raise UsageError(msg, hint="leave it out to see them")
    read = load_readings(readings, loaded)
    with loaded.placing():
        return run(
            loaded.layout,
            read,
            take=None if take is None else take - 1,
            progress=common.progress("samples", quiet=quiet),
        )


def _blank(
    loaded: "Loaded", blank: Path | None, *, as_json: bool, force: bool, quiet: bool
) -> None:
    """Tell what to read, and write the file to fill in."""
    from linkage.proof.blank import blanks
    from linkage.report.proof_blank import blank_data, blank_lines, blank_text

    with loaded.placing():
        found = blanks(loaded.layout)
    if blank is not None:
        common.write(blank, blank_text(loaded, found), force=force, quiet=quiet)
    if as_json:
        common.put_json(blank_data(found))
    elif blank is None or not quiet:
        common.put(blank_lines(found))


def _corrected(loaded: "Loaded", found: "Proof") -> str:
    """Return the file of the layout that fits the readings."""
    from linkage import config
    from linkage.errors import UsageError

    if found.corrected is None:
        msg = "there is no layout yet that fits the readings"
        hint = (
            "measure again first, or choose an explanation with `--take N`"
            if found.explanations
            else "no one wrong number explains them"
        )
        raise UsageError(msg, hint=hint)
    said = (
        f"{loaded.layout.title or loaded.path.name}\n"
        "corrected by what was read on the vehicle. Its rods are set anew: measure what\n"
        "was found wrong again before anything is cut."
    )
    return config.dump(found.corrected, comment=said)
