"""Reading a layout file.

Not here: writing one (`writer`), changing one (`editor`).
"""

import tomllib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any

from pydantic_core import SchemaValidator, ValidationError

from linkage.config.build import build
from linkage.config.complaints import first_of
from linkage.config.models import LayoutFile
from linkage.config.places import nearest
from linkage.config.quantities import quantities
from linkage.config.tables import reader
from linkage.config.toml import tables
from linkage.errors import LayoutError, LinkageError, Place
from linkage.model import Layout
from linkage.outside import files
from linkage.records import dataclass, short
from linkage.units import KINDS, spoken_words
from linkage.units.table import BARE, UNITS, canonical


@dataclass(frozen=True, slots=True)
class Loaded:
    """A layout with the file it came from.

    Parameters
    ----------
    layout : Layout
        In SI.
    path : Path
        As the user named it.
    text : str
        The file.
    echo : tuple of (key, as written, understood)
        Every quantity, in the file's order.
    measured : mapping of str to str
        By kind of quantity: the unit in which all of that kind were measured; kinds
        that were measured in several are left out.
    """

    layout: Layout
    path: Path
    text: str
    echo: tuple[tuple[str, str, str], ...]
    measured: Mapping[str, str]

    def __repr__(self) -> str:
        return f"<Loaded {short(self.path.name, 40)!r}: {self.layout!r}>"

    def spoken(self) -> dict[str, str]:
        """Return the units that results should speak in: those of the file.

        Of kinds that its table of units does not name, those in which all of that kind
        are quoted.
        """
        words = dict(self.measured)
        for key, written in tomllib.loads(self.text).get("units", {}).items():
            kind = key.replace("_", " ")
            words[kind] = canonical(kind, written)
        return spoken_words(words)

    @contextmanager
    def placing(self) -> Iterator[None]:
        """Add the place in this file to an error of the layout raised within."""
        try:
            yield
        except LinkageError as error:
            if error.key and error.place is None:
                error.place = place(self.text, str(self.path), error.key)
            raise


def load(path: Path | str) -> Loaded:
    """Read a layout file.

    Parameters
    ----------
    path : Path or str
        The file.

    Returns
    -------
    Loaded
        The layout, and what was understood.

    Raises
    ------
    LayoutError
        If it cannot be read or is not a layout; `place` says where.
    """
    return loads(files.read_text(Path(path)), str(path))


def loads(text: str, name: str = "layout.toml") -> Loaded:
    """Read a layout from text.

    Parameters
    ----------
    text : str
        A whole layout file.
    name : str
        What to call it in an error.

    Returns
    -------
    Loaded
        The layout, and what was understood.

    Raises
    ------
    LayoutError
        If it is not a layout; `place` says where.
    """
    text = text.replace("\r\n", "\n")
    data = tables(text, name)
    try:
        file = read_tables(data)
        layout = build(file)
    except LayoutError as error:
        error.place = place(text, name, error.key)
        raise
    echo = _echo(file, data, layout)
    return Loaded(layout, Path(name), text, echo, _measured(file))


def read_tables(data: Mapping[str, Any]) -> LayoutFile:
    """Read every value of a parsed file, without asking whether they fit together.

    Parameters
    ----------
    data : mapping
        As `tomllib` gives it.

    Returns
    -------
    LayoutFile
        The tables.

    Raises
    ------
    LayoutError
        With `key`, but no place yet.
    """
    try:
        read: LayoutFile = _reader().validate_python(data, context=units_of(data))
    except ValidationError as fault:
        error = first_of(fault)
    else:
        return read
    raise error


@cache
def _reader() -> SchemaValidator:
    return reader(LayoutFile)


def units_of(data: Mapping[str, Any]) -> dict[str, str]:
    """Return the unit of bare numbers by kind, as far as the file names them well."""
    table = data.get("units")
    if not isinstance(table, dict):
        return {}
    found = {}
    for kind in (k for k in KINDS if k not in BARE):
        word = table.get(kind.replace(" ", "_"))
        if isinstance(word, str) and word in UNITS[kind]:
            found[kind] = word
    return found


def place(text: str, name: str, key: tuple[str, ...]) -> Place:
    """Return where a key stands: its line, or that of the table it belongs to.

    Parameters
    ----------
    text : str
        The file.
    name : str
        What it is called.
    key : tuple of str
        Path of the key.
    """
    found = nearest(text, key)
    if found is None and key[:1] == ("throttle",):
        several = nearest(text, ("throttles", *key))
        if several is not None and several[0][1:2] == ("throttle",):
            key, found = ("throttles", *key), several
    if found is None:
        return Place(name, ".".join(key))
    line = found[1]
    return Place(name, ".".join(key), line, text.split("\n")[line - 1])


def _measured(file: LayoutFile) -> dict[str, str]:
    """Return by kind the one unit in which all of it is given; feet count as inches."""
    words: dict[str, set[str]] = {}
    for _, parsed in quantities(file):
        if parsed.unit:
            words.setdefault(parsed.kind, set()).add(parsed.unit.replace("ft", "in"))
    return {kind: found.pop() for kind, found in words.items() if len(found) == 1}


def _echo(
    file: LayoutFile, data: Mapping[str, Any], layout: Layout
) -> tuple[tuple[str, str, str], ...]:
    rows = []
    for key, parsed in quantities(file):
        written: Any = data
        for part in key:
            written = written[int(part) if isinstance(written, list) else part]
        understood = parsed.understood
        if key[0] == "shafts" and (key[-1] == "offset" or key[2] == "bearings"):
            toward = layout.shafts[key[1]].axis.toward(parsed.value)
            understood += f", {toward}" if toward else ""
        rows.append((".".join(key), str(written), understood))
    return tuple(rows)
