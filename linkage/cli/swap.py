"""``throttle-linkage swap``: the carburettor on the other side, and the cures."""

import re
from pathlib import Path
from typing import Annotated, Any

import typer

from linkage.cli import common

#: Files that a run writes into --out-dir.
OWN_FILE = re.compile(r"swapped\.toml|[0-9]{2}-[a-z-]+\.toml")


def swap(
    layout: common.LayoutFile,
    beyond: Annotated[
        str | None,
        typer.Option(
            "--beyond",
            metavar="SHAFT",
            help="The shaft that stays; all it drives moves. "
            "Default: the last across, on the body.",
        ),
    ] = None,
    plane: Annotated[
        str | None,
        typer.Option(
            "--plane",
            metavar="PLANE",
            help="Plane to cross, such as 'y = 50 mm'. Default: y = 0 mm.",
        ),
    ] = None,
    to: Annotated[
        str | None,
        typer.Option(
            "--to",
            metavar="PLACE",
            help="Instead: y of the spindle's pivot on the other side, such as '-240 mm'.",
        ),
    ] = None,
    carburettor: Annotated[
        str,
        typer.Option(
            "--carburettor",
            metavar="KIND",
            help="mirrored: of the other hand; turned: the same, half a turn "
            "about upright; replaced: another.",
        ),
    ] = "mirrored",
    opens: Annotated[
        str | None,
        typer.Option(
            "--opens",
            metavar="SENSE",
            help="Replaced: clockwise or anticlockwise, for the viewer of its axis.",
        ),
    ] = None,
    lever_angle: Annotated[
        str | None,
        typer.Option(
            "--lever-angle",
            metavar="ANGLE",
            help="Replaced: its lever at idle, such as '52 deg'.",
        ),
    ] = None,
    out_dir: Annotated[
        Path | None,
        typer.Option(
            "--out-dir", metavar="DIR", help="Write swapped.toml and every cure here."
        ),
    ] = None,
    as_json: common.Json = False,
    force: common.Force = False,
    quiet: common.Quiet = False,
) -> None:
    """Put the carburettor on the other side: what reverses, and cures that are solved.

    Example: throttle-linkage swap car.toml --carburettor turned --out-dir cures

    Exit status: 0 where the swap as it is or a cure fits, 1 where none does.
    """  # fmt: skip
    from linkage.report.swap import swap_data, swap_lines
    from linkage.swap import plane_to, solve, swap_sides

    across, place = _where(plane, to)
    sense, angle = _sense(opens), _angle(lever_angle)
    kind: Any = carburettor
    if out_dir is not None:
        common.check_folder(out_dir, OWN_FILE, force=force)
    loaded = common.load(layout)
    car = loaded.layout
    if car.governed and sense is not None:
        sense = -sense  # inside, the way in which a governor moves it counts as opening
    with loaded.placing():
        swapped = swap_sides(
            car,
            beyond=beyond,
            plane=across if place is None else plane_to(car, place),
            carburettor=kind,
            opens=sense,
            lever_angle=angle,
        )
        solution = solve(swapped, progress=common.progress("cure", quiet=quiet))
    written = (
        {} if out_dir is None else _write(solution, out_dir, force=force, quiet=quiet)
    )
    if as_json:
        common.put_json(swap_data(solution, written))
    else:
        common.put(swap_lines(solution))
    raise typer.Exit(0 if solution.fits else 1)


def _where(plane: str | None, to: str | None) -> tuple[float, float | None]:
    """Return the plane's y, and the spindle's own where that is given."""
    from linkage.errors import UsageError
    from linkage.units import parse

    if plane is not None and to is not None:
        msg = "--plane and --to both say where the parts go"
        raise UsageError(msg, hint="give the plane, or the spindle's new place")
    if to is not None:
        return 0.0, parse(_length_of(to), "length").value
    if plane is None:
        return 0.0, None
    if "=" not in plane:
        msg = f"`{plane}` is no plane along the car"
        raise UsageError(msg, hint="write --plane 'y = 50 mm'")
    return parse(_length_of(plane), "length").value, None


def _length_of(text: str) -> str:
    """Return what stands behind ``y =``, or the text itself."""
    from linkage.errors import UsageError

    word, equals, value = text.rpartition("=")
    if equals and word.strip().lower() != "y":
        msg = f"`{text}` is no place across the car"
        raise UsageError(
            msg, hint="the sides are told by y, to the left: write 'y = 50 mm'"
        )
    return value.strip()


def _sense(text: str | None) -> Any:  # noqa: ANN401
    from linkage.errors import UsageError, did_you_mean

    if text is None:
        return None
    words = {"clockwise": -1, "anticlockwise": 1}
    if text not in words:
        msg = f"a throttle cannot open `{text}`"
        raise UsageError(msg, hint=did_you_mean(text, words))
    return words[text]


def _angle(text: str | None) -> float | None:
    from linkage.units import parse

    return None if text is None else parse(text, "angle").value


def _write(
    solution: Any,  # noqa: ANN401
    folder: Path,
    *,
    force: bool,
    quiet: bool,
) -> dict[str, str]:
    """Write the swapped layout and every cure; return the files' names by cure."""
    from dataclasses import replace

    from linkage.config import dump
    from linkage.outside import files
    from linkage.report.swap import cure_comment, swapped_comment

    def text(layout: Any, words: str, comment: str) -> str:  # noqa: ANN401
        titled = replace(layout, title=", ".join(w for w in (layout.title, words) if w))
        return dump(titled, comment=comment)

    after = solution.swap.after
    names = {"swapped": "swapped.toml"}
    contents = {"swapped.toml": text(after, "swapped", swapped_comment(solution))}
    for number, cure in enumerate(solution.cures, start=1):
        if cure.layout is not None:
            names[cure.name] = f"{number:02}-{cure.name}.toml"
            by = cure.title if cure.mends_the_swap else f"not mended by {cure.title}"
            words = f"swapped, {by}".replace("`", "")
            contents[names[cure.name]] = text(
                cure.layout, words, cure_comment(solution, cure)
            )
    common.write_all(folder, contents, force=force, quiet=quiet)
    left = [
        name
        for name in files.names_in(folder)
        if OWN_FILE.fullmatch(name) and name not in contents
    ]
    if left:
        common.tell(f"left from an earlier run: {', '.join(left)}", quiet=quiet)
    return {cure: str(folder / name) for cure, name in names.items()}
