"""``throttle-linkage springs``: will it shut, every time, and how heavy is the pedal."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from linkage.cli import common

if TYPE_CHECKING:
    from linkage.config import Loaded
    from linkage.search.spring_rows import SpringRows


def springs(
    layout: common.LayoutFile,
    output: Annotated[
        Path | None,
        typer.Option(
            "-o",
            "--output",
            metavar="FILE",
            help="Draw the spring card: .png, .svg, .pdf",
        ),
    ] = None,
    rows: Annotated[
        int, typer.Option("--rows", min=2, max=10_001, help="Rows of the table.")
    ] = 11,
    choose: Annotated[
        str | None,
        typer.Option(
            "--choose",
            metavar="SPRING",
            help="Try other springs in the place of this one; the best is a line to buy by.",
        ),
    ] = None,
    radii: Annotated[
        str | None,
        typer.Option("--radii", help="Hook radii to try: '20 to 36 mm by 2 mm'."),
    ] = None,
    rates: Annotated[
        str | None,
        typer.Option("--rates", help="Rates to try: '0.2 to 1 N/mm by 0.1 N/mm'."),
    ] = None,
    anchor: Annotated[
        list[str] | None,
        typer.Option(
            "--anchor", help="An anchor to try, 'x, y, z mm'; may be repeated."
        ),
    ] = None,
    at_hand: Annotated[
        Path | None,
        typer.Option(
            "--at-hand",
            metavar="FILE",
            help="Springs at hand: a TOML file of [springs.NAME] tables.",
        ),
    ] = None,
    every: Annotated[
        bool, typer.Option("--all", help="Show every spring tried.")
    ] = False,
    both: common.Both = False,
    paper: common.Paper = "a4",
    as_json: common.Json = False,
    force: common.Force = False,
    quiet: common.Quiet = False,
) -> None:
    """Return-spring loads, closing torque with all and with each alone, pad force.

    Example: throttle-linkage springs car.toml -o springs.png

    Of a governed engine it is the torque that opens, and the force at the governor's arm.
    Exit status 1 where it must not be fitted, or where no spring tried fits.
    """  # fmt: skip
    from linkage.errors import UsageError

    sheet = common.paper_of(paper)
    suffix = common.ending_for(output, common.PICTURES, force=force)
    loaded = common.load(layout, both=both)
    if not loaded.layout.springs:
        msg = "the layout has no spring"
        raise UsageError(
            msg,
            hint="add two [springs.NAME] tables; `throttle-linkage new hanging-pedal` shows how",
        )
    if choose is not None and loaded.layout.governed:
        msg = "no spring is chosen for a governed engine"
        hint = (
            "the governor's own sets its speed, which only a tachometer tells; `check` finds "
            "a light one that shuts"
        )
        raise UsageError(msg, hint=hint)
    if choose is not None:
        tried = _tried(loaded, choose, (radii, rates, at_hand), anchor or [])
        _tell_choice(tried, every=every, as_json=as_json)
        raise typer.Exit(0 if tried and tried[0].fits else 1)
    if any(o is not None for o in (radii, rates, at_hand)) or anchor:
        msg = "radii, rates, anchors and springs at hand are for choosing a spring"
        raise UsageError(msg, hint="name the spring to replace with --choose")
    code = _card(
        loaded,
        (output, suffix, sheet),
        rows=rows,
        as_json=as_json,
        words=(force, quiet),
    )
    raise typer.Exit(code)


def _card(
    loaded: "Loaded",
    picture: tuple[Path | None, str, str],
    *,
    rows: int,
    as_json: bool,
    words: tuple[bool, bool],
) -> int:
    """Print the spring card and draw it; return the exit status."""
    from linkage.forces.summary import spring_card
    from linkage.report.findings import told_lines
    from linkage.report.springs import card_data, card_lines
    from linkage.rules.governor_words import GOVERNED
    from linkage.rules.order import FORCE_CODES
    from linkage.search import check

    output, suffix, sheet = picture
    with loaded.placing():
        result = check(loaded.layout)
        card = spring_card(
            result.examined.assembly,
            result.examined.working,
            points=rows if output is None else 101,
        )
    codes = FORCE_CODES | {"spring-line", "spring-pedal"}
    if loaded.layout.governed:
        codes = frozenset(rule.code for rule in GOVERNED if rule.needs == "forces")
    about = [f for f in result.findings if f.code in codes]
    if as_json:
        data = card_data(card)
        data["verdict"] = result.verdict
        data["findings"] = [f.record() for f in about]
        common.put_json(data)
    else:
        common.put([*card_lines(card, rows=rows), ""])
        common.put(told_lines(result, about))
    if output is not None:
        from linkage.report.pictures import springs_picture

        data_out = springs_picture(card, result, suffix=suffix, paper=sheet)
        common.write(output, data_out, force=words[0], quiet=words[1])
    return 1 if any(f.verdict == "do not fit" for f in result.findings) else 0


def _tried(
    loaded: "Loaded",
    name: str,
    given: tuple[str | None, str | None, Path | None],
    anchors: list[str],
) -> "SpringRows":
    """Return every spring tried in the place of one."""
    from linkage.search.spring_rows import AtHand
    from linkage.search.springs import choose_spring
    from linkage.search.steps import INCH_RATE, INCH_STEP

    radii, rates, at_hand = given
    kept = []
    if at_hand is not None:
        from linkage.config.at_hand import springs_at_hand

        kept = [
            AtHand(name=s.name, known=s.known, material=s.material)
            for s in springs_at_hand(at_hand, loaded, name)
        ]
    with loaded.placing():
        return choose_spring(
            loaded.layout,
            name,
            radii=_series(radii, "length", (1e-3, INCH_STEP)),
            rates=_series(rates, "rate", (50.0, INCH_RATE)),
            anchors=[_point(text) for text in anchors],
            at_hand=kept,
        )


def _series(
    text: str | None, kind: str, usual: tuple[float, float]
) -> tuple[float, ...]:
    """Return what is tried; where no step is given the usual metric or inch one."""
    from linkage.search.steps import stepped
    from linkage.units.series import parse_series

    if text is None:
        return ()
    series = parse_series(text, kind)
    step = series.step or usual[text.rstrip().endswith("in")]
    return series.values or stepped(series.low, series.high, step)


def _point(text: str) -> tuple[float, float, float]:
    from linkage.errors import UsageError
    from linkage.units.series import parse_series

    values = parse_series(text, "length").values
    if len(values) != 3:
        msg = f"`{text}` is no point"
        raise UsageError(msg, hint="write three lengths, such as '445, -6, 180 mm'")
    return values[0], values[1], values[2]


def _tell_choice(tried: "SpringRows", *, every: bool, as_json: bool) -> None:
    from linkage.report.spring_choice import choice_data, choice_lines

    if as_json:
        common.put_json(choice_data(tried))
    else:
        common.put(choice_lines(tried, every=every))
