"""What every command shares: options, output, progress.

Data go to stdout, words to stderr.
"""

import re
import sys
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from linkage.seen import seen, seen_json

if TYPE_CHECKING:
    from linkage.config import Loaded
    from linkage.model import Layout

LayoutFile = Annotated[
    Path, typer.Argument(metavar="LAYOUT", help="The layout file (TOML).")
]
Json = Annotated[bool, typer.Option("--json", help="Print plain data as JSON.")]
Output = Annotated[
    Path | None,
    typer.Option("-o", "--output", metavar="FILE", help="Write the result here."),
]
Force = Annotated[bool, typer.Option("--force", help="Replace an existing file.")]
Quiet = Annotated[bool, typer.Option("--quiet", help="No words on stderr.")]
Both = Annotated[
    bool,
    typer.Option("--both", help="Sizes in inches and pounds beside, or mm and N."),
]
Paper = Annotated[
    str, typer.Option("--paper", help="Sheet of the picture: a4 or letter.")
]

By = Annotated[str, typer.Option("--by", help="Which input drives: pedal, or hand.")]

#: Endings of a file that a picture can be written as, and of one of a picture or data.
PICTURES = ("png", "svg", "pdf")
DRAWN = (*PICTURES, "json")

Drawn = Annotated[
    Path | None,
    typer.Option(
        "-o", "--output", metavar="FILE", help="Write .png, .svg, .pdf or .json"
    ),
]


def check_folder(folder: Path, own: re.Pattern[str], *, force: bool) -> None:
    """Refuse a folder that holds files of an earlier run, before any long work.

    Parameters
    ----------
    folder : Path
        In which a command will write.
    own : Pattern
        Names of what it writes.
    force : bool
        Whether they may be replaced.
    """
    from linkage.outside import files

    files.refuse_folder(folder)
    if folder.is_dir():
        for name in files.names_in(folder):
            if own.fullmatch(name):
                files.refuse_existing(folder / name, force=force)


def load(path: Path, *, speaks: bool = True, both: bool = False) -> "Loaded":
    """Read a layout; all but plain data speaks in its units from here on.

    Parameters
    ----------
    path : Path
        The file.
    speaks : bool
        Not of a second layout, laid over or beside the first.
    both : bool
        Whether sizes are told in the other system too.
    """
    from linkage import config, quantities

    loaded = config.load(path)
    if speaks:
        quantities.speak_in(loaded.spoken())
        quantities.speak_both(both=both)
    return loaded


def by_hand(text: str) -> bool:
    """Return whether the hand lever is to drive.

    Raises
    ------
    UsageError
        If it is neither input.
    """
    from linkage.errors import UsageError

    if text not in {"pedal", "hand"}:
        msg = f"`{text}` is no input"
        raise UsageError(msg, hint="write pedal or hand")
    return text == "hand"


def refuse_handless(layout: "Layout") -> None:
    """Refuse a layout that has no hand lever.

    Raises
    ------
    UsageError
        If it has none.
    """
    from linkage.errors import UsageError

    if layout.hand is None:
        msg = "the layout has no hand lever"
        raise UsageError(msg, hint="add a [hand] table, or leave `--by hand` out")


def put(lines: Iterable[str]) -> None:
    """Print lines of data."""
    sys.stdout.write(seen("\n".join(lines), lines=True) + "\n")
    sys.stdout.flush()


def put_json(data: Any) -> None:  # noqa: ANN401
    """Print plain data; numbers that are not finite do not occur."""
    import json

    from linkage.report.signs import shows

    text = json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False)
    if not shows(text):  # data keep every sign, written as JSON writes them
        text = json.dumps(data, indent=2, allow_nan=False)
    put([seen_json(text)])


def tell(text: str, *, quiet: bool = False) -> None:
    """Print words for a person."""
    if not quiet:
        sys.stderr.write(seen(text, lines=True) + "\n")


def put_drawn(
    output: Path | None,
    *,
    data: Callable[[], Any],
    picture: Callable[[str], bytes],
    lines: Callable[[], Iterable[str]],
    as_json: bool,
    force: bool,
    quiet: bool,
) -> None:
    """Write a result as a picture or as data, and print it as data or as words.

    Parameters
    ----------
    output : Path, optional
        A file with one of the endings `DRAWN`.
    data : callable
        The result as plain data.
    picture : callable
        Draws it, given the ending.
    lines : callable
        The result as lines for a terminal.
    as_json, force, quiet : bool
        Options of the command. With a file written and quiet no words are printed.
    """
    import json

    if output is not None:
        suffix = output.suffix.lower().removeprefix(".")
        if suffix == "json":
            write(output, json.dumps(data(), indent=2) + "\n", force=force, quiet=quiet)
        else:
            write(output, picture(suffix), force=force, quiet=quiet)
    if as_json:
        put_json(data())
    elif output is None or not quiet:
        put(lines())


def write(path: Path, data: bytes | str, *, force: bool, quiet: bool) -> None:
    """Write a whole file and say so."""
    from linkage.outside import files

    files.write(path, data, force=force)
    tell(f"wrote {seen(str(path))}", quiet=quiet)


def write_all(
    folder: Path, contents: Mapping[str, bytes | str], *, force: bool, quiet: bool
) -> None:
    """Write several whole files into a folder, or none, and say so."""
    from linkage.outside import files

    files.write_all(folder, contents, force=force)
    for name in contents:
        tell(f"wrote {seen(str(folder / name))}", quiet=quiet)


def suffix_of(path: Path, known: Iterable[str]) -> str:
    """Return the file's ending without its point, or refuse it.

    Raises
    ------
    UsageError
        If it is not one of the known endings.
    """
    from linkage.errors import UsageError

    ending = path.suffix.removeprefix(".").lower()
    if ending not in known:
        named = f"`.{ending}`" if ending else "a name without an ending"
        msg = f"{named} is no kind of file that can be written here"
        raise UsageError(msg, hint="end the name in ." + ", .".join(known))
    return ending


def paper_of(text: str) -> str:
    """Return the sheet's name, or refuse it."""
    from linkage.errors import UsageError

    if text.lower() not in {"a4", "letter"}:
        msg = f"there is no sheet `{text}`"
        raise UsageError(msg, hint="write a4 or letter")
    return text.lower()


def ending_for(path: Path | None, known: Iterable[str], *, force: bool) -> str:
    """Return the ending of the result's file, before any long work.

    Parameters
    ----------
    path : Path, optional
        Where the result goes; None where none is asked for.
    known : iterable of str
        Endings it may have.
    force : bool
        Whether an existing file may be replaced.

    Returns
    -------
    str
        Without its point; empty where no file is asked for.

    Raises
    ------
    UsageError
        If the ending is another.
    OutputError
        If nothing can be written there.
    """
    from linkage.outside import files

    if path is None:
        return ""
    ending = suffix_of(path, known)
    files.refuse_existing(path, force=force)
    return ending


def progress(word: str, *, quiet: bool = False) -> Callable[[int, int], None] | None:
    """Return a counter for a terminal, or None in a pipe."""
    if quiet or not sys.stderr.isatty():
        return None

    shown = 0

    def show(done: int, total: int) -> None:
        nonlocal shown
        if done == total:
            sys.stderr.write("\r" + " " * (len(word) + 30) + "\r")
        elif not done or abs(done - shown) >= total // 100:
            sys.stderr.write(f"\r{word} {done} of {total}")
            shown = done
        sys.stderr.flush()

    return show
