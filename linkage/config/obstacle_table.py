"""The table of an obstacle in a layout file.

Not here: the other tables (`models`), what the values mean together (`obstacles`).
"""

from typing import Annotated, Any, ClassVar, Final, Self

from linkage.config.fields import AxisWord, Length, Point, Size, one_of
from linkage.config.tables import Table, key, optional
from linkage.errors import LayoutError
from linkage.model.obstacle import NATURES, SHAPES

#: Most points of a pipe, and holes of a plane.
MOST_POINTS: Final = 64
#: Keys that each shape needs, and those that it may have beside them.
_KEYS: Final[dict[str, tuple[tuple[str, ...], tuple[str, ...]]]] = {
    "pipe": (("points", "diameter"), ()),
    "sphere": (("centre", "diameter"), ()),
    "box": (("corners",), ()),
    "plane": (("point", "axis"), ("holes",)),
}
_OWN: Final = ("points", "centre", "corners", "point", "axis", "diameter", "holes")
_HINT: Final = (
    "a pipe has `points` along its middle and `diameter`, a sphere `centre` and "
    "`diameter`, a box two opposite `corners`, a plane a `point` in it and the `axis` "
    "square to it"
)

#: Middle of a hole, and its diameter.
HolePoint = tuple[Length, Length, Length, Length]


def _schema(schema: dict[str, Any]) -> None:
    """Say in the schema what `_KEYS` says."""
    rules = []
    for shape, (asked, more) in _KEYS.items():
        barred = [word for word in _OWN if word not in {*asked, *more}]
        rules.append(
            {
                "if": {"properties": {"shape": {"const": shape}}},
                "then": {
                    "required": list(asked),
                    "not": {"anyOf": [{"required": [word]} for word in barred]},
                },
            }
        )
    schema["allOf"] = rules


class ObstacleTable(Table):
    """What is near the linkage and must not be touched: a pipe, bonnet or bulkhead."""

    model_config: ClassVar = {"json_schema_extra": _schema}

    shape: Annotated[str, one_of("shape of an obstacle", *SHAPES)] = key("What it is.")
    kind: Annotated[str, one_of("kind of obstacle", *NATURES)] = key(
        "As what it is looked on, which sets how near a part may come.", default="fixed"
    )
    on: Annotated[str, one_of("carrier", "body", "engine")] = key(
        "What holds it.", default="body"
    )
    points: list[Point] | None = optional("Of a pipe: along its middle, two or more.")
    centre: Point | None = optional("Of a sphere: its middle.")
    corners: tuple[Point, Point] | None = optional("Of a box: two opposite corners.")
    point: Point | None = optional("Of a plane: any point in it.")
    axis: AxisWord | None = optional("Of a plane: the way square to it.")
    diameter: Size | None = optional("Of a pipe or sphere: from side to side.")
    holes: list[HolePoint] | None = optional(
        "Of a plane: holes in it, each its middle and its diameter."
    )
    gap: Size | None = optional("Least gap asked of it, instead of that of its kind.")

    def _together(self) -> Self:
        asked, more = _KEYS[self.shape]
        for word in _OWN:
            given = getattr(self, word) is not None
            if given and word not in {*asked, *more}:
                msg = f"an obstacle of shape `{self.shape}` has no `{word}`"
                raise LayoutError(msg, hint=_HINT, key=(word,))
            if word in asked and not given:
                msg = f"the key `{word}` is missing"
                raise LayoutError(msg, hint=_HINT)
        return self
