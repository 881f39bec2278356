"""Run the command line; turn errors into words and an exit status."""

from __future__ import annotations

import os
import sys

from linkage.errors import LinkageError

#: Exit status of a fault of the program, by sysexits.h.
FAULT = 70
#: Exit status after Ctrl-C: 128 + SIGINT.
STOPPED = 130


def main() -> None:
    """Run the command line and exit.

    A user's mistake is told in words; anything else is a fault of the program
    and shows its traceback.
    """
    from linkage.cli import app

    try:
        app()
    except LinkageError as error:
        from linkage.report.errors import render_error

        print(render_error(error), file=sys.stderr)
        sys.exit(error.exit_code)
    except KeyboardInterrupt:
        print("stopped; nothing half-written is left", file=sys.stderr)
        sys.exit(STOPPED)
    except BrokenPipeError:
        # The reader closed the pipe, as `head` does: no fault of anyone.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(0)
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
