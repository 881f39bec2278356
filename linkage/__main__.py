"""Run the command line; turn errors into words and an exit status.

Nothing is loaded here but inside `main`, so that Ctrl-C is told in words from the
first instant.
"""

import sys

#: Exit status of a fault of the program, by sysexits.h.
FAULT = 70
#: Exit status where the answer could not be written, by sysexits.h.
UNWRITTEN = 74
#: Exit status after Ctrl-C: 128 + SIGINT.
STOPPED = 130
#: Exit status where the reader of a pipe went away: 128 + SIGPIPE. Neither 0
#: nor 1: the verdict was not read to its end.
UNREAD = 141


def main() -> None:
    """Run the command line and exit.

    A user's mistake is told in words; anything else is a fault of the program
    and shows its traceback.
    """
    try:
        from linkage.outside import stopping

        alone = sys.stdout is sys.__stdout__  # not called by another program
        with stopping.stoppable(alone=alone):
            if alone:
                from linkage.outside.apart import keep_apart

                keep_apart()
            status = _told(sys.argv[1:])
    except KeyboardInterrupt:
        status = STOPPED
    sys.exit(status)


def _told(words: list[str]) -> int:
    """Run one command line; return the exit status, that of a lost answer first."""
    import gc

    from linkage.outside import streams
    from linkage.report.signs import show_everywhere

    gc.set_threshold(100_000)  # collecting while importing costs a few per cent
    show_everywhere()
    with streams.spared() as out:
        status = _status(words)
        lost = out.lost()
        if lost is None or status not in {0, 1}:
            return status
        if isinstance(lost, BrokenPipeError):
            return UNREAD
        from linkage.outside.targets import reason

        print(f"the answer was not written: {reason(lost)}", file=sys.stderr)
        return UNWRITTEN


def _status(words: list[str]) -> int:
    """Run one command line; tell errors and return the exit status."""
    from contextvars import copy_context

    from linkage.errors import LinkageError

    try:
        # The units that sentences speak in end with the run.
        copy_context().run(_run, words)
    except LinkageError as error:
        from linkage.report.errors import render_error

        print(render_error(error), file=sys.stderr)
        return error.exit_code
    except SystemExit as stop:
        # Ctrl-C comes out of typer as a bare exit status.
        return _stopped() if stop.code == STOPPED else _number(stop.code)
    except KeyboardInterrupt:
        return _stopped()
    except Exception:  # noqa: BLE001 - the last stop before the user
        import traceback

        traceback.print_exc()
        print(
            "this is a fault of the program, not of your file; please report it "
            "with the lines above and the layout file",
            file=sys.stderr,
        )
        return FAULT
    return 0


def _number(code: str | int | None) -> int:
    """Return an exit status as a number; words would end as `do not fit`."""
    if code is None:
        return 0
    return code if isinstance(code, int) else FAULT


def _stopped() -> int:
    from linkage.outside.stopping import STOPPED as WORDS

    print(WORDS, file=sys.stderr)
    return STOPPED


def _run(words: list[str]) -> None:
    """Run one command line.

    A layout to check and no option leaves nothing to parse; typer, which starts a
    machinery for every option that is not given, would take longer than the check.
    """
    from linkage import cli

    match words:
        case ["check", layout] if not layout.startswith("-"):
            from pathlib import Path

            from typer import Exit

            try:
                cli.check(Path(layout))
            except Exit as stop:
                raise SystemExit(stop.exit_code) from None
        case ["--install-completion" | "--show-completion", *_]:
            _complete()
        case _:
            cli.app()


def _complete() -> None:
    """Install or print completion for a shell; what fails there is no verdict."""
    from linkage import cli
    from linkage.errors import OutputError
    from linkage.outside.targets import reason

    hint = "set HOME to a folder that is yours, or use --show-completion with a shell"
    try:
        cli.app()
    except (OSError, RuntimeError) as fault:
        msg = f"completion cannot be installed: {reason(fault)}"
        raise OutputError(msg, hint=hint) from None
    except SystemExit as stop:
        raise SystemExit(2 if stop.code == 1 else stop.code) from None


if __name__ == "__main__":
    main()
