"""``throttle-linkage compare``: the linkage that worked and the one that is to be."""

import re
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from linkage.cli import common

if TYPE_CHECKING:
    from linkage.comparison import Comparison

#: Files that a run writes into --out-dir.
OWN_FILE = re.compile(
    r"both\.(svg|png|pdf)|curves\.(svg|png|pdf)|[0-9]{2}-set-back\.toml"
)


def compare(
    old: Annotated[
        Path, typer.Argument(metavar="OLD", help="The layout file that worked.")
    ],
    new: Annotated[
        Path, typer.Argument(metavar="NEW", help="The layout file that is to be.")
    ],
    picture: Annotated[
        Path | None,
        typer.Option(
            "--picture",
            metavar="FILE",
            help="Draw both, what turned round marked: .png, .svg, .pdf",
        ),
    ] = None,
    curves: Annotated[
        Path | None,
        typer.Option(
            "--curves",
            metavar="FILE",
            help="Draw both travel curves over each other: .png, .svg, .pdf",
        ),
    ] = None,
    paper: common.Paper = "a4",
    out_dir: Annotated[
        Path | None,
        typer.Option(
            "--out-dir",
            metavar="DIR",
            help="Write both pictures, and what mends it as layout files, here.",
        ),
    ] = None,
    everything: Annotated[
        bool, typer.Option("--all", help="Every part, change, trial and finding.")
    ] = False,
    as_json: common.Json = False,
    force: common.Force = False,
    quiet: common.Quiet = False,
) -> None:
    """Compare the old linkage with the new one: what turns round, where, and why.

    Example: throttle-linkage compare old.toml new.toml --picture both.png

    Each changed part is set back alone and with another, solved, and judged.

    Exit status: that of a check of the new layout: 0 fits, 1 do not fit; 3 a file is
    wrong, 4 one of them cannot be assembled.
    """
    from linkage.comparison import compare as run
    from linkage.comparison.compared import refuse_unlike
    from linkage.report.compare import compare_lines
    from linkage.report.compare_data import compare_data
    from linkage.search import check

    sheet = common.paper_of(paper)
    for path in (picture, curves):
        common.ending_for(path, common.PICTURES, force=force)
    if out_dir is not None:
        common.check_folder(out_dir, OWN_FILE, force=force)
    before, after = (common.load(path) for path in (old, new))
    refuse_unlike(before.layout, after.layout)
    with before.placing():
        check(before.layout, cures=False)  # so that what is wrong is told at its place
    with after.placing():
        found = run(before.layout, after.layout)
    written = (
        {} if out_dir is None else _write(found, out_dir, force=force, quiet=quiet)
    )
    if as_json:
        common.put_json(compare_data(found, written))
    else:
        common.put(compare_lines(found, everything=everything, layout=str(new)))
    for path, draw in ((picture, _both), (curves, _curves)):
        if path is not None:
            data = draw(found, path.suffix.removeprefix(".").lower(), sheet)
            common.write(path, data, force=force, quiet=quiet)
    raise typer.Exit(0 if found.fits else 1)


def _both(found: "Comparison", suffix: str, paper: Any) -> bytes:  # noqa: ANN401
    from linkage.report.compare_pictures import both_picture

    return both_picture(found, suffix=suffix, paper=paper)


def _curves(found: "Comparison", suffix: str, paper: Any) -> bytes:  # noqa: ANN401
    from linkage.report.pictures import banner_of, curve_picture

    return curve_picture(
        [("old", found.old.curve), ("NEW", found.new.curve)],
        refused=[banner_of(side.check) for side in (found.old, found.new)],
        called=("the old linkage", "the NEW linkage"),
        suffix=suffix,
        paper=paper,
    )


def _write(
    found: "Comparison", folder: Path, *, force: bool, quiet: bool
) -> dict[str, str]:
    """Write both pictures and each trial's layout; return the files' names."""
    from dataclasses import replace

    from linkage.config import dump
    from linkage.report.compare_trials import trial_text

    contents: dict[str, bytes | str] = {
        "both.svg": _both(found, "svg", None),
        "curves.svg": _curves(found, "svg", None),
    }
    for number, trial in enumerate(found.trials, start=1):
        text = trial_text(found, trial)
        title = f"{found.new.title}, {text.partition(':')[0]}".replace("`", "")
        contents[f"{number:02}-set-back.toml"] = dump(
            replace(trial.layout, title=title), comment=text
        )
    common.write_all(folder, contents, force=force, quiet=quiet)
    return {name.partition(".")[0]: str(folder / name) for name in contents}
