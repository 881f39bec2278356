"""Run the command line; turn errors into words and an exit status."""

from __future__ import annotations

import contextlib
import gc
import os
import sys
from contextvars import copy_context
from pathlib import Path

from linkage.errors import LinkageError
from linkage.report.signs import show_everywhere

#: Exit status of a fault of the program, by sysexits.h.
FAULT = 70
#: Exit status after Ctrl-C: 128 + SIGINT.
STOPPED = 130
#: Exit status where the reader of a pipe went away: 128 + SIGPIPE. Neither 0
#: nor 1: the verdict was not read to its end.
UNREAD = 141


def _run(words: list[str]) -> None:
    """Run one command line.

    A layout to check and no option leaves nothing to parse; typer, which starts a
    machinery for every option that is not given, would take longer than the check.
    """
    from linkage import cli

    match words:
        case ["check", layout] if not layout.startswith("-"):
            _check(Path(layout))
        case _:
            cli.app()


def _check(layout: Path) -> None:
    """Check a layout; end as typer ends a command."""
    from typer import Exit

    from linkage import cli

    try:
        cli.check(layout)
    except Exit as stop:
        raise SystemExit(stop.exit_code) from None
    except KeyboardInterrupt:
        raise SystemExit(STOPPED) from None
    except BrokenPipeError:
        # What is left goes nowhere, or the interpreter would complain at its end.
        with contextlib.suppress(OSError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        raise SystemExit(UNREAD) from None


def main() -> None:
    """Run the command line and exit.

    A user's mistake is told in words; anything else is a fault of the program
    and shows its traceback.
    """
    gc.set_threshold(100_000)  # collecting while importing costs a few per cent
    show_everywhere()
    try:
        copy_context().run(
            _run, sys.argv[1:]
        )  # the units that sentences speak in end with the run
    except LinkageError as error:
        from linkage.report.errors import render_error

        print(render_error(error), file=sys.stderr)
        sys.exit(error.exit_code)
    except SystemExit as stop:
        # Ctrl-C and a closed pipe come out of a command as a bare exit status.
        if stop.code == STOPPED:
            print("stopped; nothing half-written is left", file=sys.stderr)
        if isinstance(stop.__context__, BrokenPipeError):
            sys.exit(UNREAD)
        raise
    except Exception:  # noqa: BLE001 - the last stop before the user
        import traceback

        traceback.print_exc()
        print(
            "this is a fault of the program, not of your file; please report it "
            "with the lines above and the layout file",
            file=sys.stderr,
        )
        sys.exit(FAULT)


if __name__ == "__main__":
    main()
