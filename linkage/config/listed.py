"""Tables whose keys are rows of another list: units, limits and instruments.

Not here: the other tables (`models`).
"""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated

from linkage.config.fields import Quantity, one_of, unit_of
from linkage.config.tables import Key, Table
from linkage.model import LIMIT_ROWS
from linkage.model.instruments import GROUPS, Group
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


def instruments_table(
    name: str, means: str, groups: Mapping[str, Group]
) -> type[Table]:
    """Return a table that names the instrument of each group; the usual is left out."""
    keys = {
        group: Key(
            None,
            description=f"Of {row.means}; usual: {row.usual}.",
            annotation=Annotated[str, one_of(group, *row.errors)] | None,
        )
        for group, row in groups.items()
    }
    return _made(name, means, keys)


def instruments_in(table: Table | None, groups: Mapping[str, Group]) -> dict[str, str]:
    """Return by group the instrument that such a table names; none without a table."""
    named = {group: getattr(table, group, None) for group in groups}
    return {group: by for group, by in named.items() if by is not None}


if TYPE_CHECKING:
    UnitsTable = Table
    LimitsTable = Table
    MeasuredTable = Table
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
    MeasuredTable = instruments_table(
        "MeasuredTable",
        "What was measured with what; the usual instrument where it is left out.",
        GROUPS,
    )
