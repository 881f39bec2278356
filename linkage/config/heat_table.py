"""The table of heat in a layout file.

Not here: the other tables (`models`), what the values mean together (`heat`).
"""

from typing import Annotated, ClassVar, Self

from linkage.config.fields import Point, Temperature, one_of
from linkage.config.tables import Table, key, optional
from linkage.errors import LayoutError
from linkage.model.heat import MATERIALS

_Material = Annotated[str, one_of("material", *MATERIALS)]
#: Keys of the manifold that mean nothing without it.
_OF_MANIFOLD = ("seat", "carries", "manifold_hot")


class HeatTable(Table):
    """How warm the vehicle gets, of what its engine is, and from where that grows."""

    model_config: ClassVar = {
        "json_schema_extra": {
            "dependentRequired": {
                "manifold": ["seat"],
                **{word: ["manifold"] for word in _OF_MANIFOLD},
            }
        }
    }

    held: Point = key("Amid its mounts: where the body holds the engine.")
    block: _Material = key("Of what the block is.")
    manifold: _Material | None = optional("Of what the manifold is.")
    seat: Point | None = optional(
        "Middle of the face at which the manifold sits on the block."
    )
    carries: list[str] | None = optional(
        "Shafts on the manifold; the throttles' that the engine carries where left out."
    )
    body: _Material | None = optional("Of what the body is; steel where left out.")
    set_at: Temperature | None = optional("Of all, when it was measured and set.")
    cold: Temperature | None = optional("Of all, in a cold start.")
    block_hot: Temperature | None = optional("Of the block when hot.")
    manifold_hot: Temperature | None = optional("Of the manifold when hot.")
    rods_hot: Temperature | None = optional("Of rods, wires and sheaths when hot.")
    body_hot: Temperature | None = optional("Of the body when hot.")

    def _together(self) -> Self:
        if self.manifold is None:
            for word in _OF_MANIFOLD:
                if getattr(self, word) is not None:
                    msg = f"`{word}` is of a manifold, and none is given"
                    hint = "add `manifold`, of what it is, and `seat`, where it sits"
                    raise LayoutError(msg, hint=hint, key=(word,))
        elif self.seat is None:
            msg = "the key `seat` is missing"
            hint = (
                "add the middle of the face at which the manifold sits on the block, "
                "[x, y, z]: from there it grows"
            )
            raise LayoutError(msg, hint=hint)
        return self
