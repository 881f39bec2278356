"""A list of springs at hand, from a TOML file of its own.

Each table is one spring as in a layout, without hook and anchor::

    [springs."blue, from the drawer"]
    rate            = "0.4 N/mm"
    free_length     = "80 mm"
    initial_tension = "5 N"

Not here: trying them (`search.springs`).
"""

import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

from linkage.config import toml
from linkage.config.build import build
from linkage.config.reader import Loaded, place, read_tables
from linkage.errors import LayoutError, LinkageError, Place, UsageError
from linkage.model import Spring
from linkage.model.names import refuse_name
from linkage.outside import files


def springs_at_hand(path: Path, loaded: Loaded, name: str) -> tuple[Spring, ...]:
    """Read springs to try in the place of one of a layout.

    Parameters
    ----------
    path : Path
        The list.
    loaded : Loaded
        The layout.
    name : str
        Its spring whose hook and anchor they get.

    Returns
    -------
    tuple of Spring
        Under their own names.

    Raises
    ------
    LayoutError
        If the list cannot be read; its place is in the list.
    UsageError
        If the layout has no such spring.
    """
    text = files.read_text(
        path, what="list of springs", made_by="it holds [springs.NAME] tables"
    )
    tables = _tables(text, path)
    base = tomllib.loads(loaded.text)
    here = base.get("springs", {}).get(name)
    if here is None:
        msg = f"the layout has no spring `{name}`"
        raise UsageError(msg, hint="springs: " + ", ".join(base.get("springs", {})))
    kept = {k: here[k] for k in ("hook", "anchor", "anchored_on") if k in here}
    out = []
    for title, table in tables.items():
        _refuse_title(title, text, path)
        given = dict(table) if isinstance(table, dict) else {"": table}
        out.append(_one(loaded, name, title, {**given, **kept}, (text, path)))
    return tuple(out)


def _tables(text: str, path: Path) -> dict[str, Any]:
    data = toml.tables(text, str(path))
    tables = data.get("springs")
    if not isinstance(tables, dict) or not tables or set(data) != {"springs"}:
        msg = "a list of springs holds [springs.NAME] tables and nothing else"
        error = LayoutError(
            msg, hint="a rate, a free length and an initial tension each"
        )
        error.place = Place(str(path))
        raise error
    return tables


def _refuse_title(title: str, text: str, path: Path) -> None:
    """Hold the name of a spring at hand to the rule for names of a layout."""
    try:
        refuse_name(title, ("springs", title))
    except LayoutError as error:
        error.place = place(text, str(path), error.key)
        raise


def _one(
    loaded: Loaded,
    name: str,
    title: str,
    table: dict[str, Any],
    source: tuple[str, Path],
) -> Spring:
    """Read one spring as if it stood in the layout, and place its errors in the list."""
    base = tomllib.loads(loaded.text)
    base["springs"] = {name: table}
    try:
        spring = build(read_tables(base)).springs[name]
    except LinkageError as error:
        key = ("springs", title, *error.key[2:])
        error.place = place(source[0], str(source[1]), key)
        raise
    return replace(spring, name=title)
