"""The file of what was read on the vehicle, beside the layout's own.

    format   = 1
    full     = "71 mm"
    throttle = [["20 mm", "14 deg"], ["40 mm", "31 deg ± 2 deg"]]

    [rods]
    link = "242 mm"

Not here: what the readings are (`model.readings`), the layout file (`reader`).
"""

import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, Literal

from pydantic_core import SchemaValidator, ValidationError

from linkage.config.complaints import first_of
from linkage.config.fields import Angle, Force, FormatNumber, Name, Size, Turn
from linkage.config.listed import UnitsTable, instruments_in, instruments_table
from linkage.config.reader import Loaded, place, units_of
from linkage.config.tables import Table, key, optional, reader
from linkage.config.toml import tables
from linkage.errors import LayoutError
from linkage.model.readings import LEAST_PULL, READ_WITH, Reading, refuse_readings
from linkage.model.refs import Ref
from linkage.outside import files
from linkage.units import Parsed

#: Pad travel and angle; pad travel, pull that opens and pull at which it lets go.
AngleAt = tuple[Size, Angle]
OpeningAt = tuple[Size, Turn]
PullAt = tuple[Size, Force, Force]

Where = tuple[str, ...]

if TYPE_CHECKING:
    ReadWithTable = Table
else:
    ReadWithTable = instruments_table(
        "ReadWithTable",
        "What was read with what; the usual instrument where it is left out.",
        READ_WITH,
    )


class ReadingsFile(Table):
    """What was read on the vehicle with the linkage fitted, the engine off."""

    model_config: ClassVar = {"title": "Readings of a throttle linkage on the vehicle"}

    format: FormatNumber = key("Version of the file format.")
    title: str = key("One line that names the vehicle, or the day.", default="")
    units: UnitsTable | None = optional(
        "Unit of every bare number of a kind; else as the layout's file."
    )
    measured: ReadWithTable | None = optional("What was read with what.")
    full: Size | None = optional(
        "Pad travel at which the main throttle meets its full stop."
    )
    throttle: list[OpeningAt] = key(
        "Pad travel, and how far the throttle stands from its idle stop then.",
        made=list,
    )
    throttles: dict[Name, list[OpeningAt]] = key(
        "The same of each of several throttles.", made=dict
    )
    levers: dict[Name, dict[Name, list[AngleAt]]] = key(
        "By shaft and arm: pad travel, and the arm's angle for the viewer of its shaft.",
        made=dict,
    )
    rods: dict[Name, Size] = key("Lengths of rods as they fitted, by name.", made=dict)
    pulls: dict[Name, dict[Name, list[PullAt]]] = key(
        "By throttle shaft and arm: pad travel, and what a spring balance square to the "
        "arm shows while it opens, and as it lets go.",
        made=dict,
    )


@cache
def _reader() -> SchemaValidator:
    return reader(ReadingsFile)


def load_readings(path: Path, loaded: Loaded) -> tuple[Reading, ...]:
    """Read a file of readings.

    Parameters
    ----------
    path : Path
        The file.
    loaded : Loaded
        The layout that they are of; bare numbers take its units where the readings
        name none of their own.

    Returns
    -------
    tuple of Reading
        In the order in which they are set out.

    Raises
    ------
    LayoutError
        If it cannot be read, or tells of what the layout does not have; `place` says
        where.
    """
    text = files.read_text(
        path, what="file of readings", made_by="`prove --blank` writes one to fill in"
    )
    name = str(path)
    data = tables(text, name)
    try:
        units = {**units_of(tomllib.loads(loaded.text)), **units_of(data)}
        try:
            file: ReadingsFile = _reader().validate_python(data, context=units)
        except ValidationError as fault:
            error = first_of(fault, ReadingsFile)
        else:
            found = tuple(_readings(file, loaded.layout.main.name))
            refuse_readings(loaded.layout, found)
            return found
        raise error
    except LayoutError as error:
        error.place = place(text, name, error.key)
        raise


def _readings(file: ReadingsFile, main: str) -> Iterator[Reading]:
    if file.full is not None:
        error, by = _known(file, file.full, "pad")
        value = file.full.value
        yield Reading(
            what="full",
            about=Ref("throttle", main),
            value=value,
            error=error,
            pad=value,
            pad_error=error,
            key=("full",),
            by=by,
        )
    for i, row in enumerate(file.throttle):
        yield _one(file, "throttle", Ref("throttle", main), ("throttle", str(i)), row)
    for name, rows in file.throttles.items():
        for i, row in enumerate(rows):
            where: Where = ("throttles", name, str(i))
            yield _one(file, "throttle", Ref("throttle", name), where, row)
    yield from _levers(file)
    for name, length in file.rods.items():
        error, by = _known(file, length, "rods")
        yield Reading(
            what="rod",
            about=Ref("rod", name),
            value=length.value,
            error=error,
            key=("rods", name),
            by=by,
        )
    yield from _pulls(file)


def _levers(file: ReadingsFile) -> Iterator[Reading]:
    for shaft, arms in file.levers.items():
        for arm, rows in arms.items():
            for i, row in enumerate(rows):
                where = ("levers", shaft, arm, str(i))
                yield _one(file, "lever", Ref("arm", shaft, arm), where, row)


def _pulls(file: ReadingsFile) -> Iterator[Reading]:
    for shaft, pulled in file.pulls.items():
        for arm, pulls in pulled.items():
            for i, pull in enumerate(pulls):
                where = ("pulls", shaft, arm, str(i))
                yield _pull(file, Ref("arm", shaft, arm), where, pull)


def _one(
    file: ReadingsFile,
    what: Literal["throttle", "lever"],
    about: Ref,
    where: Where,
    row: tuple[Parsed, Parsed],
) -> Reading:
    pad, angle = row
    error, by = _known(file, angle, "throttle" if what == "throttle" else "levers")
    return Reading(
        what=what,
        about=about,
        value=angle.value,
        error=error,
        pad=pad.value,
        pad_error=_pad_error(file, pad),
        key=where,
        by=by,
    )


def _pull(
    file: ReadingsFile, about: Ref, where: Where, row: tuple[Parsed, Parsed, Parsed]
) -> Reading:
    """Return the middle of both pulls, which friction does not change."""
    pad, opening, letting_go = row
    known = [_known(file, pull, "pulls") for pull in (opening, letting_go)]
    # Both are off the same way by one spring balance: the middle is no better known.
    error = sum(error for error, _ in known) / 2
    return Reading(
        what="pull",
        about=about,
        value=(opening.value + letting_go.value) / 2,
        error=max(error, LEAST_PULL),
        pad=pad.value,
        pad_error=_pad_error(file, pad),
        rubs=(opening.value - letting_go.value) / 2,
        key=where,
        by=known[0][1],
    )


def _pad_error(file: ReadingsFile, pad: Parsed) -> float:
    """Return how far a pad travel may be off; that of rest is not."""
    if not pad.value and not pad.tolerance:
        return 0.0
    return _known(file, pad, "pad")[0]


def _known(file: ReadingsFile, value: Parsed, group: str) -> tuple[float, str]:
    """Return how far a value may be off, and with what it was read; none of a ±."""
    if value.tolerance > 0:
        return value.tolerance, ""
    with_what = READ_WITH[group]
    by = instruments_in(file.measured, READ_WITH).get(group, with_what.usual)
    return with_what.off(value.value, by), by
