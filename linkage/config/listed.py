"""Tables whose keys are rows of another list: units, limits and instruments.

Not here: the other tables (`models`).
"""

from typing import TYPE_CHECKING, Annotated

from linkage.config.fields import Quantity, one_of, unit_of
from linkage.config.tables import Key, Table
from linkage.model import LIMIT_ROWS
from linkage.model.instruments import GROUPS
from linkage.units import KINDS, Parsed
from linkage.units.table import BARE


def made(name: str, means: str, keys: dict[str, Key]) -> type[Table]:
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
    MeasuredTable = Table
else:
    UnitsTable = made(
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
    LimitsTable = made(
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
    MeasuredTable = made(
        "MeasuredTable",
        "What was measured with what; the usual instrument where it is left out.",
        {
            name: Key(
                None,
                description=f"Of {group.means}; usual: {group.usual}.",
                annotation=Annotated[str, one_of(name, *group.errors)] | None,
            )
            for name, group in GROUPS.items()
        },
    )
