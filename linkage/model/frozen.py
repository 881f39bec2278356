"""A mapping that cannot be changed, so that a frozen part is frozen throughout.

Not here: the parts that hold it (`model.parts`, `model.model`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

if TYPE_CHECKING:
    from collections.abc import Mapping

K = TypeVar("K")
V = TypeVar("V")


class FrozenDict(dict[K, V]):
    """A dict whose entries stay; it reads, compares, copies and pickles as a dict.

    >>> {**FrozenDict({"a": 1}), "b": 2}
    {'a': 1, 'b': 2}
    >>> FrozenDict({"a": 1})["a"] = 2
    Traceback (most recent call last):
    ...
    TypeError: a part of a layout is not changed in place; make a changed copy
    """

    __slots__ = ()

    @classmethod
    def of(cls, mapping: Mapping[K, V]) -> FrozenDict[K, V]:
        """Return a mapping frozen, the same object where it already is."""
        return mapping if isinstance(mapping, cls) else cls(mapping)

    def _refuse(self, *_args: Any, **_named: Any) -> NoReturn:  # noqa: ANN401
        """Refuse to change."""
        msg = "a part of a layout is not changed in place; make a changed copy"
        raise TypeError(msg)

    __setitem__ = __delitem__ = __ior__ = _refuse
    clear = pop = popitem = setdefault = update = _refuse

    def __reduce__(self) -> tuple[type, tuple[dict[K, V]]]:
        return type(self), (dict(self),)
