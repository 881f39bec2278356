"""Every key that a layout file may have, as a path with names that stand in a layout."""

from __future__ import annotations

import tomllib
from functools import cache
from typing import Any

from linkage.config.models import LayoutFile
from linkage.config.tables import Table
from tests.fuzz.seeds import layouts

#: The layout whose names stand in the paths.
BASE = "hauler"


def _paths(annotation: Any, path: tuple[str, ...], here: Any) -> list[tuple[str, ...]]:
    if isinstance(annotation, type) and issubclass(annotation, Table):
        found = []
        for name, field in annotation.model_fields.items():
            key = field.alias or name
            inner = here.get(key, {}) if isinstance(here, dict) else {}
            found += [(*path, key), *_paths(field.annotation, (*path, key), inner)]
        return found
    args = getattr(annotation, "__args__", ())
    if getattr(annotation, "__origin__", None) is dict:
        name = next(iter(here), "new") if isinstance(here, dict) else "new"
        inner = here.get(name, {}) if isinstance(here, dict) else {}
        return [(*path, name), *_paths(args[1], (*path, name), inner)]
    found = []
    for inner_type in args:
        if isinstance(inner_type, type) or getattr(inner_type, "__args__", ()):
            found += _paths(inner_type, path, here)
    return found


@cache
def every_key() -> tuple[tuple[str, ...], ...]:
    """Return the path of every key of the schema, each once."""
    return tuple(dict.fromkeys(_paths(LayoutFile, (), tomllib.loads(layouts()[BASE]))))
