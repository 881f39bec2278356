"""Every quantity of a file by its key path, and its measuring error.

Not here: what the quantities make (`build`).
"""

import math
from collections.abc import Iterator, Mapping

from linkage.config.models import ArmTable, LayoutFile, ShaftTable
from linkage.config.tables import Table
from linkage.errors import LayoutError
from linkage.model import Arm, Shaft
from linkage.units import Parsed

Key = tuple[str, ...]
#: Sizes that are above nothing.
_SIZES = frozenset(
    {"length", "travel", "swing", "slot", "stop", "rate", "free_length", "diameter"}
)


def quantities(part: object, key: Key = ()) -> Iterator[tuple[Key, Parsed]]:
    """Yield every quantity in a table with its key path, in the file's words.

    Parameters
    ----------
    part : object
        A table, or a value in one.
    key : tuple of str
        Its own path.
    """
    if isinstance(part, Parsed):
        yield key, part
    elif isinstance(part, Table):
        for name, field in type(part).model_fields.items():
            yield from quantities(getattr(part, name), (*key, field.alias or name))
    elif isinstance(part, Mapping):
        for name, inner in part.items():
            yield from quantities(inner, (*key, name))
    elif isinstance(part, tuple | list):
        for number, inner in enumerate(part):
            yield from quantities(inner, (*key, str(number)))


def tolerances(file: LayoutFile, shafts: Mapping[str, Shaft]) -> dict[Key, float]:
    """Return the measuring error of every number that has one, by key path.

    Parameters
    ----------
    file : LayoutFile
        Its tables, each value read.
    shafts : mapping of str to Shaft
        What was made of them, for arms that are given by their pin.

    Raises
    ------
    LayoutError
        If a size is no better known than that it may be nothing.
    """
    found: dict[Key, float] = {}
    alone = [*(file.throttles or {})] == ["throttle"]
    for key, parsed in quantities(file):
        path = _data_path(key[1:] if alone and key[0] == "throttles" else key)
        if parsed.tolerance > 0:
            _refuse_wide(key, parsed)
            if path is not None:
                found[path] = parsed.tolerance
    for name, table in file.shafts.items():
        for arm, row in table.arms.items():
            if row.pin is not None:
                carried = _pin_tolerances(row, table, shafts[name].arms[arm])
                for word, margin in carried.items():
                    found["shafts", name, "arms", arm, word] = margin
    return found


def _refuse_wide(key: Key, parsed: Parsed) -> None:
    """Refuse a measuring error as large as the size itself."""
    if key[-1] not in _SIZES:
        return  # a place, a direction, or what may be nothing, as play
    if parsed.tolerance >= abs(parsed.value) > 0:
        msg = f"the measuring error of `{key[-1]}` is as large as the value itself"
        hint = "a size that may be nothing is not known; measure it again, or correct the ±"
        raise LayoutError(msg, hint=hint, key=key)


def _pin_tolerances(table: ArmTable, shaft: ShaftTable, arm: Arm) -> dict[str, float]:
    """Carry measuring errors of a pin over to length, angle and offset.

    First order, the worst of all signs.
    """
    assert table.pin is not None  # noqa: S101
    margins = [p.tolerance for p in table.pin]
    if not any(margins):
        return {}
    u, v, n = shaft.axis.u, shaft.axis.v, shaft.axis.n
    cos, sin = math.cos(arm.angle), math.sin(arm.angle)
    radial = [cos * u[i] + sin * v[i] for i in range(3)]
    across = [(cos * v[i] - sin * u[i]) / arm.length for i in range(3)]
    found = {
        name: sum(abs(way[i]) * margins[i] for i in range(3))
        for name, way in (("length", radial), ("angle", across), ("offset", n))
    }
    return {name: margin for name, margin in found.items() if margin > 1e-15}


def _data_path(key: Key) -> Key | None:
    """Return the path under which the layout knows a key's tolerance."""
    if key[0] == "springs" and key[2:3] == ("loads",):
        word = "load" if key[4] == "0" else "length"
        return *key[:2], f"{word}_{int(key[3]) + 1}"
    if key[0] == "shafts" and key[-2] == "pin":
        return None  # carried over to length, angle and offset
    return key
