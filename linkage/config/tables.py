"""What a table of the layout file is: a class with a field for each key.

The fields become a core schema of pydantic's engine, which reads the file, and from
which pydantic makes the JSON Schema. The engine alone starts in a tenth of the time
that pydantic's own model classes take.

Not here: the tables themselves (`models`), their values (`fields`).
"""

from collections.abc import Callable
from dataclasses import dataclass
from inspect import get_annotations
from types import UnionType
from typing import Any, ClassVar, Final, Self, Union, get_args, get_origin

from pydantic_core import CoreSchema, SchemaValidator, core_schema

from linkage.config.bounds import MOST_TEXT

_MISSING: Final = object()


@dataclass(slots=True)
class Key:
    """One key of a table.

    Parameters
    ----------
    default : object
        Where the file does not have it; a key without one must be there.
    made : callable or None
        Makes the default, where it is a new list or dict each time.
    alias : str
        Its name in the file, where Python cannot have that.
    description : str
        For the JSON Schema.
    annotation : object
        What it holds.
    """

    default: Any = _MISSING
    made: Callable[[], Any] | None = None
    alias: str = ""
    description: str = ""
    annotation: Any = None


def key(
    description: str = "",
    *,
    default: Any = _MISSING,  # noqa: ANN401
    made: Callable[[], Any] | None = None,
    alias: str = "",
) -> Any:  # noqa: ANN401
    """Return a key of a table; see `Key`."""
    return Key(default=default, made=made, alias=alias, description=description)


def optional(description: str = "") -> Any:  # noqa: ANN401
    """Return a key that may be left out and is None then."""
    return Key(default=None, description=description)


def without(*keys: str) -> dict[str, Any]:
    """Return a schema that none of the keys satisfies."""
    return {"not": {"anyOf": [{"required": [key]} for key in keys]}}


class Table:
    """A table whose keys are all known."""

    #: Keys by name of the field.
    model_fields: ClassVar[dict[str, Key]] = {}
    #: What pydantic is to add to the JSON Schema.
    model_config: ClassVar[dict[str, Any]] = {}

    def __init_subclass__(cls) -> None:
        cls.model_fields = dict(cls.model_fields)
        cls.model_config = {"extra": "forbid", **cls.__dict__.get("model_config", {})}
        for name, annotation in get_annotations(cls).items():
            if annotation is ClassVar:
                continue
            given = cls.__dict__.get(name, _MISSING)
            field = given if isinstance(given, Key) else Key(default=given)
            field.annotation = annotation
            cls.model_fields[name] = field

    def _together(self) -> Self:
        """Judge the keys together; raises `LayoutError`."""
        return self

    @classmethod
    def core(cls) -> CoreSchema:
        """Return the core schema that reads this table."""
        fields = {name: _field(field) for name, field in cls.model_fields.items()}
        model = core_schema.model_schema(
            cls,
            core_schema.model_fields_schema(fields, extra_behavior="forbid"),
            ref=f"{cls.__module__}.{cls.__qualname__}:{id(cls)}",
        )
        return core_schema.no_info_after_validator_function(cls._together, model)


def reader(table: type[Table]) -> SchemaValidator:
    """Return what reads a table from plain data."""
    return SchemaValidator(table.core())


def _field(field: Key) -> core_schema.ModelField:
    schema = _schema(field.annotation)
    if field.made is not None:
        schema = core_schema.with_default_schema(schema, default_factory=field.made)
    elif field.default is not _MISSING:
        schema = core_schema.with_default_schema(schema, default=field.default)
    said = {"description": field.description} if field.description else {}
    return core_schema.model_field(
        schema,
        validation_alias=field.alias or None,
        serialization_alias=field.alias or None,
        metadata={"pydantic_js_updates": said},
    )


def _schema(annotation: Any) -> CoreSchema:  # noqa: ANN401
    """Return the core schema of what a key holds."""
    if marks := getattr(annotation, "__metadata__", ()):
        made: CoreSchema = marks[0].core()
        return made
    if isinstance(annotation, type) and issubclass(annotation, Table):
        return annotation.core()
    if annotation is str:
        return core_schema.str_schema(max_length=MOST_TEXT)
    origin, inner = get_origin(annotation), get_args(annotation)
    parts = [_schema(part) for part in inner if part is not type(None)]
    if origin in {Union, UnionType}:
        return core_schema.nullable_schema(*parts)
    if origin is dict:
        return core_schema.dict_schema(*parts)
    return (
        core_schema.list_schema(*parts)
        if origin is list
        else core_schema.tuple_schema(parts)
    )
