"""Tables whose keys are rows of another list: units and limits.

Not here: the other tables (`models`).
"""

from typing import TYPE_CHECKING, Annotated

from linkage.config.fields import Quantity, unit_of
from linkage.config.tables import Key, Table
from linkage.model import LIMIT_ROWS
from linkage.units import KINDS, Parsed
from linkage.units.table import BARE


def _made(name: str, means: str, keys: dict[str, Key]) -> type[Table]:
    """Return a table whose keys are rows of another list."""
    space = {
        "__doc__": means,
        "__module__": __name__,
        "__annotations__": {k: v.annotation for k, v in keys.items()},
    }
    return type(name, (Table,), {**space, **keys})


if TYPE_CHECKING:
    UnitsTable = Table
    LimitsTable = Table
else:
    UnitsTable = _made(
        "UnitsTable",
        "Unit of every bare number of a kind.",
        {
            kind.replace(" ", "_"): Key(
                None, annotation=Annotated[str, unit_of(kind)] | None
            )
            for kind in KINDS
            if kind not in BARE
        },
    )
    LimitsTable = _made(
        "LimitsTable",
        "Limits of the check that differ from their defaults.",
        {
            name: Key(
                None,
                description=row.meaning,
                annotation=Annotated[Parsed, Quantity(row.kind)] | None,
            )
            for name, row in LIMIT_ROWS.items()
        },
    )
