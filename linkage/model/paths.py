"""Numbers of a layout by their path, set as columns: how candidates become rows.

A path leads from the layout through its parts to one number, as
``("shafts", "spindle", "arms", "lever", "length")``.

Not here: which numbers may change (`search`), rows as such (`model.rows`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, TypeAlias

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from linkage.model import Hole, Layout

Path: TypeAlias = tuple[Any, ...]


def arm_path(hole: Hole, field: str) -> Path:
    """Return the path of one number of an arm."""
    return ("shafts", hole.shaft, "arms", hole.arm, field)


def read(part: Any, path: Path) -> Any:  # noqa: ANN401
    """Return what stands at a path."""
    for key in path:
        part = getattr(part, key) if _is_field(part, key) else part[key]
    return part


def stand(part: Any, paths: Iterable[Path]) -> bool:  # noqa: ANN401
    """Tell whether all paths lead to something, as those of a sheath's points may not."""
    try:
        for path in paths:
            read(part, path)
    except LookupError:
        return False
    return True


def _is_field(part: Any, key: object) -> bool:  # noqa: ANN401
    return isinstance(key, str) and hasattr(type(part), "__dataclass_fields__")


def applied(layout: Layout, sets: Mapping[Path, Any]) -> Layout:
    """Return a layout with some of its numbers set; the rest is shared.

    Parameters
    ----------
    layout : Layout
        As it is.
    sets : mapping of path to value
        Floats, or columns: then the layout is a batch. The hole of a governor's own arm
        goes as much further as it is made longer.
    """
    sets = {**_governors(layout, sets), **sets}
    tree: dict[Any, Any] = {}
    for path, value in sets.items():
        branch = tree
        for key in path[:-1]:
            branch = branch.setdefault(key, {})
        branch[path[-1]] = _Leaf(value)
    return _set(layout, tree)


def _governors(layout: Layout, sets: Mapping[Path, Any]) -> dict[Path, Any]:
    """Return the travel that a governor's arm of another length has: it turns as far."""
    if not layout.governed:
        return {}
    hole = layout.pad_hole
    length = sets.get(arm_path(hole, "length"))
    if length is None:
        return {}
    now = layout.shafts[hole.shaft].arms[hole.arm].length
    return {("pedal", "travel"): layout.pedal.travel * length / now}


class _Leaf:
    """A value to be set, told apart from a further branch."""

    def __init__(self, value: Any) -> None:  # noqa: ANN401
        self.value = value


def _set(part: Any, tree: Mapping[Any, Any] | _Leaf) -> Any:  # noqa: ANN401
    if isinstance(tree, _Leaf):
        return tree.value
    if hasattr(type(part), "__dataclass_fields__"):
        return replace(part, **{k: _set(getattr(part, k), t) for k, t in tree.items()})
    if isinstance(part, tuple):
        return tuple(_set(v, tree[i]) if i in tree else v for i, v in enumerate(part))
    return {**part, **{k: _set(part.get(k), t) for k, t in tree.items()}}
