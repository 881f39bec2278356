"""``throttle-linkage new``: a commented layout to start from."""

from typing import TYPE_CHECKING, Annotated

import typer

from linkage.cli import common

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.config.starters import Starter


def new(
    name: Annotated[
        str | None,
        typer.Argument(metavar="[STARTER]", help="Which layout; see --list."),
    ] = None,
    output: common.Output = None,
    listed: Annotated[
        bool,
        typer.Option("--list", help="List the layouts that come with the program."),
    ] = False,
    schema: Annotated[
        bool,
        typer.Option(
            "--schema", help="The JSON Schema of the layout file, for editors."
        ),
    ] = False,
    as_json: common.Json = False,
    force: common.Force = False,
    quiet: common.Quiet = False,
) -> None:
    """Write a commented starter layout of a chosen family, in measuring order.

    Example: throttle-linkage new hanging-pedal -o car.toml
    """
    import json

    from linkage.config import schema as make_schema
    from linkage.config.starters import starter, starters
    from linkage.errors import UsageError

    if schema:
        text = json.dumps(make_schema(), indent=2, ensure_ascii=False) + "\n"
    elif listed:
        found = starters()
        if as_json:
            common.put_json(
                [{"name": s.name, "title": s.title} for s in found.values()]
            )
            return
        text = "\n".join(_listed(found)) + "\n"
    elif name is None:
        msg = "no starter layout is named"
        raise UsageError(msg, hint="`throttle-linkage new --list` lists them")
    else:
        text = starter(name).path.read_text(encoding="utf-8")
    if output is None:
        common.put([text.rstrip("\n")])
        return
    common.write(output, text, force=force, quiet=quiet)
    if name is not None and not schema:
        common.tell(
            f"next: measure, fill it in, and run `throttle-linkage check {output}`",
            quiet=quiet,
        )


def _listed(found: "Mapping[str, Starter]") -> list[str]:
    """Return name and title of every starter, one under the other where it is narrow."""
    from linkage.report.lines import terminal_width, wrapped

    width = max(len(n) for n in found)
    lines = [f"{s.name.ljust(width)}  {s.title}" for s in found.values()]
    most = terminal_width()
    if most is None or max(map(len, lines)) <= most:
        return lines
    return [
        line for s in found.values() for line in (s.name, *wrapped(s.title, "    "))
    ]
