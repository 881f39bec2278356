"""The command line. Only this package prints or exits.

Heavy imports stand inside the commands, so that help is quick.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from linkage.cli.animate import animate
from linkage.cli.arm import arm
from linkage.cli.band import band
from linkage.cli.check import check
from linkage.cli.compare import compare
from linkage.cli.curve import curve
from linkage.cli.measure import measure
from linkage.cli.new import new
from linkage.cli.prove import prove
from linkage.cli.rim import rim
from linkage.cli.rock import rock
from linkage.cli.springs import springs
from linkage.cli.swap import swap
from linkage.report.lines import NARROW, USUAL, terminal_width
from linkage.seen import seen

__all__ = ["app", "check"]

_COLUMNS = terminal_width() or USUAL

#: What typer raises for words that it cannot read; it has no public name.
_MISREAD: type[Any] = next(
    c for c in typer.BadParameter.__mro__ if c.__name__ == "ClickException"
)


@contextmanager
def _seen() -> Iterator[None]:
    """Show every sign of a word that is told again as what it is."""
    try:
        yield
    except _MISREAD as error:
        error.message = seen(error.message)
        raise


class Told(TyperGroup):
    """The commands; words that cannot be read are told with every sign seen."""

    def make_context(self, *args: Any, **extra: Any) -> Any:  # noqa: ANN401
        """Read the words before the command."""
        with _seen():
            return super().make_context(*args, **extra)

    def invoke(self, ctx: Any) -> Any:  # noqa: ANN401
        """Read the words of the command, and run it."""
        with _seen():
            return super().invoke(ctx)


app = typer.Typer(
    name="throttle-linkage",
    cls=Told,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    add_completion=True,
    context_settings={
        "help_option_names": ["-h", "--help"],
        # Help would take 50 columns at least.
        "terminal_width": _COLUMNS - 2 if NARROW <= _COLUMNS < 52 else None,
    },
)


def _version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import PackageNotFoundError, version

        try:
            number = version("throttle-linkage")
        except PackageNotFoundError:
            number = "(run from its sources, not installed)"
        typer.echo(f"throttle-linkage {number}")
        raise typer.Exit


@app.callback()
def root(
    version: Annotated[
        bool,
        typer.Option(
            "--version", callback=_version, is_eager=True, help="Print the version."
        ),
    ] = False,
) -> None:
    """Check a throttle linkage, pedal to carburettor, before cutting or fitting it.

    Example: throttle-linkage new hanging-pedal -o car.toml
    then: throttle-linkage check car.toml

    An estimate from measurements: prove it on the vehicle, engine off.
    """


app.command()(new)
app.command()(measure)
app.command()(check)
app.command()(curve)
app.command()(band)
app.command()(prove)
app.command()(rock)
app.command()(arm)
app.command()(rim)
app.command()(springs)
app.command()(swap)
app.command()(compare)
app.command()(animate)
