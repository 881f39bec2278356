"""The JSON Schema of the layout file, for editors.

It says all that one value shows by itself: keys, tables, words, the grammar of
numbers and the units of each kind. Outside it are: whether a bare number's unit
is named in ``[units]``; names that must be known elsewhere in the file; sizes
that a kind of part cannot have (zero length, greatest number, a zero under a
fraction's line, a fraction above 100 % or a negative zero as text); an axis of
zero length; and all that the parts together cannot be.
"""

from typing import Any, Final

from linkage.model import JOINT_TILT, NAMED
from linkage.model.fits import HOLES, PINS
from linkage.units import UNITS, number_pattern, words
from linkage.units.grammar import GREATEST, MOST_TEXT

_DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"


def schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of a layout file.

    Returns
    -------
    dict
        Ready for `json.dumps`.
    """
    from pydantic.json_schema import GenerateJsonSchema

    from linkage.config.models import LayoutFile

    made = GenerateJsonSchema().generate(LayoutFile.core())
    defs: dict[str, Any] = made.pop("$defs")
    used: dict[str, Any] = {}
    body = _tidy(made, used)
    tables = {name: _tidy(table, used) for name, table in defs.items()}
    return {
        "$schema": _DIALECT,
        **body,
        "$defs": {**tables, **dict(sorted(used.items()))},
    }


def _tidy(part: Any, used: dict[str, Any]) -> Any:  # noqa: ANN401
    """Replace our marks by references, and drop what TOML does not know."""
    if isinstance(part, list):
        return [_tidy(inner, used) for inner in part]
    if not isinstance(part, dict):
        return part
    if "x-kind" in part:
        mark = part["x-kind"]
        name = mark.replace(" ", "_").replace("+", "_not_negative").replace("|", "_or_")
        used[name] = _definition(mark)
        rest = {k: v for k, v in part.items() if k == "description"}
        return {"$ref": f"#/$defs/{name}", **rest}
    kept = {
        key: _tidy(inner, used)
        for key, inner in part.items()
        if not (key == "default" and inner is None)
    }
    return _named_tables(_not_null(kept))


def _not_null(part: dict[str, Any]) -> dict[str, Any]:
    """Drop ``null``: TOML has none; a key that is not given is left out."""
    choices = part.get("anyOf")
    if not isinstance(choices, list) or {"type": "null"} not in choices:
        return part
    (one,) = [choice for choice in choices if choice != {"type": "null"}]
    rest = {key: inner for key, inner in part.items() if key != "anyOf"}
    return {**rest, **one}


def _named_tables(part: dict[str, Any]) -> dict[str, Any]:
    """Refuse names that the pattern of names does not allow."""
    patterns = part.pop("patternProperties", None)
    if patterns is None:
        return part
    ((pattern, table),) = patterns.items()
    names = {"pattern": pattern + r"(?!\n)"}
    return {**part, "propertyNames": names, "additionalProperties": table}


def _definition(mark: str) -> dict[str, Any]:
    own = {"axis": _axis, "fit": _fit}.get(mark)
    if own is not None:
        return own()
    if mark == "joints":
        one = {"enum": list(JOINT_TILT)}
        two = {"type": "array", "items": one, "minItems": 2, "maxItems": 2}
        return {
            "title": "Joints",
            "description": "One kind, or one an end.",
            "anyOf": [one, two],
        }
    if mark == "format":
        return {"title": "Format", "const": 1}
    if mark.startswith("one of "):
        words = mark.removeprefix("one of ").split("|")
        yes = {"title": "Yes or no", "type": "boolean"}
        return yes if words == ["true", "false"] else {"enum": words}
    if mark.startswith("unit of "):
        return {"enum": list(UNITS[mark.removeprefix("unit of ")])}
    return _quantity(mark.removesuffix("+"), signed=not mark.endswith("+"))


def _fit() -> dict[str, Any]:
    return {
        "title": "Fit",
        "description": "Classes of hole and pin by ISO 286.",
        "type": "string",
        "pattern": rf"^\s*({'|'.join(HOLES)})\s*/\s*({'|'.join(PINS)})\s*$",
    }


def _axis() -> dict[str, Any]:
    component = {"type": "number", "exclusiveMinimum": -1e9, "exclusiveMaximum": 1e9}
    vector = {"type": "array", "items": component, "minItems": 3, "maxItems": 3}
    return {
        "title": "Axis",
        "description": "A named axis, or a vector that points at the viewer.",
        "anyOf": [{"enum": list(NAMED)}, vector],
    }


def _quantity(kind: str, *, signed: bool) -> dict[str, Any]:
    number: dict[str, Any] = {"type": "number", "exclusiveMaximum": GREATEST}
    if kind == "fraction":
        number = {"type": "number", "maximum": 1}
    if signed:
        number["exclusiveMinimum"] = -GREATEST
    else:
        number["minimum"] = 0
    units = ", ".join(words(kind)) or "none"
    text = {
        "type": "string",
        "maxLength": MOST_TEXT,
        "pattern": number_pattern(kind, signed=signed),
    }
    return {
        "title": kind.capitalize() + ("" if signed else ", not negative"),
        "description": f"A number with its unit ({units}), a tolerance if known.",
        "anyOf": [number, text],
    }
