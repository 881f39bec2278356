"""From pydantic's list of faults to one error in the words of the trade.

Not here: the place in the file (`reader` fills it in).
"""

from collections.abc import Mapping
from typing import Any, Final

from pydantic_core import ValidationError

from linkage.config.bounds import MOST_TEXT
from linkage.config.models import LayoutFile
from linkage.config.tables import Table
from linkage.errors import LayoutError, did_you_mean
from linkage.model.names import NO_NAME, NO_NAME_HINT

Key = tuple[str, ...]

_POINT: Final = "a point has three: [x, y, z]"
#: How many values lists have that are none of points, by their table and key.
_LISTS: Final = {
    (
        "shafts",
        "rim",
    ): "a point of a rim has two: [turn from the nipple on, radius there]",
    (
        "shafts",
        "bearings",
    ): "a shaft has two bearings: [place of one, place of the other]",
    (
        "cams",
        "profile",
    ): "a point of a profile has two: [turn from the arm on, radius there]",
    ("cams", "arcs"): "an arc has two: [its radius, the angle that it goes round]",
    ("obstacles", "holes"): (
        "a hole has four: its middle and its diameter, [x, y, z, diameter]"
    ),
}
#: The same of lists of two points.
_ENDS: Final = {
    ("obstacles", "corners"): "a box has two opposite corners, each [x, y, z]",
    ("springs", "loads"): "a spring has two loads, each [force, length]",
    ("slides", "guide"): "a guide has two ends, each [x, y, z]",
}
#: The same of what is read on the vehicle, by the table alone.
_READ: Final = {
    "throttle": "each reading of a throttle has two: [pad travel, its angle]",
    "throttles": "each reading of a throttle has two: [pad travel, its angle]",
    "levers": "each reading of an arm has two: [pad travel, its angle]",
    "pulls": "each pull has three: [pad travel, opening, letting go]",
}
#: What each of pydantic's faults of shape is called here: message and hint.
_SHAPES: Final[dict[str, tuple[str, str]]] = {
    "model_type": ("`{key}` must be a table", "write it as [{path}] with keys below"),
    "dict_type": ("`{key}` must be a table", "write it as [{path}.NAME]"),
    "list_type": ("`{key}` must be a list", 'write it as ["one", "two"]'),
    "tuple_type": ("`{key}` must be a list", "write it in brackets: [x, y, z]"),
    "too_long": ("`{key}` has too many values", _POINT),
    "string_type": ("`{key}` must be text", "write it in quotes"),
    "string_pattern_mismatch": (NO_NAME, NO_NAME_HINT),
    "string_too_long": (
        f"`{{key}}` has more than {MOST_TEXT} signs",
        "a title, a hole and a material are one short line",
    ),
}


_PLATE: Final = (
    "the carburettor is [throttle]: the shaft of its plate, which way that opens, and "
    "its swing; of several each is [throttles.NAME]"
)
_NEAR: Final = (
    "what is near the linkage is [obstacles.NAME]: its shape (pipe, sphere, box or "
    "plane), its points, and its kind (fixed, moving or exhaust)"
)
_WARM: Final = (
    "how warm it gets is [heat]: where the mounts hold the engine, of what block and "
    "manifold are, and temperatures where they were measured"
)
#: What people call tables that have another name here, and what to do.
_CALLED_OTHERWISE: Final = dict.fromkeys(
    ("carburetor", "carburettor", "carburetter", "carb", "carbs", "carburetors",
     "carburettors", "butterfly", "plate", "plates"),
    _PLATE,
) | dict.fromkeys(
    ("obstacle", "clearances", "gaps", "exhaust", "bonnet", "hood", "bulkhead", "firewall"),
    _NEAR,
) | dict.fromkeys(
    ("temperature", "temperatures", "thermal", "expansion", "growth", "warm"), _WARM
)  # fmt: skip


def known_keys(loc: Key, root: type[Table] = LayoutFile) -> tuple[str, ...]:
    """Return the keys that a table of a file may have.

    Parameters
    ----------
    loc : tuple of str
        Path of the table; parts named by the user stand as they are.
    root : type
        The file's own table.

    >>> known_keys(("engine", "about"))
    ('point', 'axis')
    """
    table: Any = root
    for part in loc:
        if isinstance(table, type) and issubclass(table, Table):
            by_key = {f.alias or n: f for n, f in table.model_fields.items()}
            table = _inner(by_key[part].annotation)
        else:
            table = table.__args__[1]  # the values of a dict of named tables
    return tuple(f.alias or name for name, f in table.model_fields.items())


def _inner(annotation: Any) -> Any:  # noqa: ANN401
    """Return an annotation without its ``| None``."""
    args = getattr(annotation, "__args__", ())
    if type(None) in args:
        return next(arg for arg in args if arg is not type(None))
    return annotation


def _key(fault: Mapping[str, Any]) -> Key:
    """Return the path of the key that a fault is of; a part may be called anything."""
    loc = fault["loc"]
    if fault["type"] == "string_pattern_mismatch":
        loc = loc[:-1]  # pydantic marks that it is the name itself, not what it names
    return tuple(map(str, loc))


def _rank(fault: Mapping[str, Any]) -> int:
    """Return which faults are told first: unknown keys, wrong values, missing ones."""
    kind = fault["type"]
    if kind == "extra_forbidden":
        return 0
    if kind == "value_error":
        return 2 if fault["ctx"]["error"].message.endswith("is missing") else 1
    return 2 if kind == "missing" and not _key(fault)[-1].isdecimal() else 1


def _one(fault: Mapping[str, Any], root: type[Table]) -> LayoutError:
    """Return one fault as an error."""
    key = _key(fault)
    name, path = key[-1] if key else "", ".".join(key)
    kind = fault["type"]
    if kind == "extra_forbidden":
        hint = did_you_mean(name, known_keys(key[:-1], root))
        if root is LayoutFile and len(key) == 1 and name.lower() in _CALLED_OTHERWISE:
            hint = _CALLED_OTHERWISE[name.lower()]
        return LayoutError(f"unknown key `{name}`", hint=hint, key=key)
    if kind == "missing":
        if name.isdecimal():
            msg = f"`{key[-2]}` has too few values"
            return LayoutError(msg, hint=_how_many(key) or _POINT, key=key[:-1])
        return LayoutError(f"the key `{name}` is missing", hint=_ask(key), key=key)
    if kind == "value_error":
        error: LayoutError = fault["ctx"]["error"]
        error.key = (*key, *error.key)
        return error
    message, hint = _SHAPES[kind]
    if kind in {"too_long", "tuple_type", "list_type"}:
        hint = _how_many(key) or hint
    return LayoutError(message.format(key=name), hint=hint.format(path=path), key=key)


def _how_many(key: Key) -> str | None:
    """Return how many values a list of its own kind has; None of a point."""
    word = next(part for part in reversed(key) if not part.isdecimal())
    ends = _ENDS if len(key) < 5 else {}
    return {**_LISTS, **ends}.get((key[0], word)) or _READ.get(key[0])


def _ask(key: Key) -> str:
    """Return how to add a missing key."""
    if key == ("format",):
        return "write `format = 1` as the first line"
    table = ".".join(key[:-1])
    where = f"to [{table}]" if table else "to the file"
    return f"add `{key[-1]}` {where}"


def first_of(fault: ValidationError, root: type[Table] = LayoutFile) -> LayoutError:
    """Return the first error: unknown keys, then wrong values, then missing keys.

    Its hint says how many more there are.

    Parameters
    ----------
    fault : ValidationError
        Of pydantic.
    root : type
        The file's own table.
    """
    ranked = sorted(fault.errors(include_url=False), key=_rank)
    error = _one(ranked[0], root)
    others = [".".join(_key(other)) for other in ranked[1:]]
    if others:
        error.hint += f" ({len(others)} more to mend: {', '.join(others[:3])}"
        error.hint += ", ...)" if len(others) > 3 else ")"
    return error
