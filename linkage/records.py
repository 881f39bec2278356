"""Dataclasses that are made in a tenth of the time.

The standard decorator writes and compiles source for every method of every class;
for the sixty classes behind a check that takes a third of what NumPy takes to start.
Here all classes share a few plain functions. `dataclasses.fields`, `replace` and
`is_dataclass` work on them, and type checkers see the standard decorator. One says
itself in one short line, whatever it holds.

Not here: a dataclass that is ordered; the standard decorator makes the few of those.
"""

from __future__ import annotations

import dataclasses
import inspect
from dataclasses import MISSING, FrozenInstanceError, fields
from operator import attrgetter
from typing import TYPE_CHECKING, Any, Final, NoReturn

__all__ = ["dataclass", "short"]

#: Most signs of what a record says of itself.
LONGEST: Final = 160


def short(text: str, most: int = 66) -> str:
    """Return words that somebody gave as one line, cut where they are long.

    >>> short("a name  of many words", 10)
    'a name of…'
    """
    line = " ".join(text.split())
    return line if len(line) <= most else f"{line[: most - 1].rstrip()}…"


if TYPE_CHECKING:
    from dataclasses import dataclass
else:

    def dataclass(  # noqa: ANN201
        cls=None,  # noqa: ANN001
        /,
        *,
        frozen=False,  # noqa: ANN001
        eq=True,  # noqa: ANN001
        repr=True,  # noqa: A002, ANN001
        **options,  # noqa: ANN003
    ):
        """Make a class a dataclass; options as for the standard decorator."""

        def made(cls):  # noqa: ANN001, ANN202
            plain = {"init": False, "repr": False, "eq": False, "match_args": False}
            cls = dataclasses.dataclass(cls, **plain, **options)
            finish = getattr(cls, "__post_init__", None)
            init = _init(fields(cls), finish)
            methods = {"__init__": init, "__signature__": _Signature()}
            if repr:
                methods["__repr__"] = _repr
            if eq:
                methods |= _alike(fields(cls), hashed=frozen)
            if frozen:
                methods |= _FROZEN
            for name, method in methods.items():
                if name not in vars(cls) or (name == "__hash__" and eq):
                    setattr(cls, name, method)
            return cls

        return made if cls is None else made(cls)


def _init(known: tuple[dataclasses.Field[Any], ...], finish: Any) -> Any:  # noqa: ANN401
    """Return a method that takes the fields, sets them and calls ``__post_init__``."""
    asked = {f.name for f in known if f.init}
    ordered = [f.name for f in known if f.init and not f.kw_only]
    plain = {f.name: f.default for f in known if f.default is not MISSING}
    made = {f.name: f.default_factory for f in known if callable(f.default_factory)}
    open_ones = (f.name for f in known if f.name in asked - {*plain, *made})
    needed = dict.fromkeys(open_ones).keys()
    count = len(known)
    put = object.__setattr__

    def __init__(self: Any, *args: Any, **given: Any) -> None:  # noqa: ANN401, N807
        if args:
            _name(self, args, ordered, given)
        if not needed <= given.keys() <= asked:
            _unlike(self, given, asked, needed)
        for name, make in made.items():
            if name not in given:
                given[name] = make()
        values = given if len(given) == count else plain | given
        for name, value in values.items():
            put(self, name, value)
        if finish is not None:
            finish(self)

    return __init__


def _name(
    self: object, args: tuple[Any, ...], ordered: list[str], given: dict[str, Any]
) -> None:
    values = dict(zip(ordered, args, strict=False))
    if len(args) > len(ordered) or values.keys() & given.keys():
        _misfit(self, "got too many or repeated arguments")
    given |= values


def _unlike(self: object, given: Any, asked: Any, needed: Any) -> NoReturn:  # noqa: ANN401
    if wrong := given.keys() - asked:
        _misfit(self, f"has no argument `{min(wrong)}`")
    _misfit(self, f"lacks the argument `{next(n for n in needed if n not in given)}`")


def _misfit(self: object, what: str) -> NoReturn:
    msg = f"{type(self).__name__}() {what}"
    raise TypeError(msg)


class _Signature:
    """The signature of a class, worked out where somebody looks at it."""

    def __get__(self, _instance: object, cls: Any) -> inspect.Signature:  # noqa: ANN401
        shown = [f for f in fields(cls) if f.init]
        return inspect.Signature(
            [_parameter(f) for f in sorted(shown, key=lambda f: bool(f.kw_only))]
        )


def _parameter(field: dataclasses.Field[Any]) -> inspect.Parameter:
    made = inspect.Parameter.empty if field.default_factory is MISSING else ...
    return inspect.Parameter(
        field.name,
        inspect.Parameter.KEYWORD_ONLY
        if field.kw_only
        else inspect.Parameter.POSITIONAL_OR_KEYWORD,
        default=made if field.default is MISSING else field.default,
        annotation=field.type,
    )


def _alike(
    known: tuple[dataclasses.Field[Any], ...], *, hashed: bool
) -> dict[str, Any]:
    """Return the methods by which records of one class are compared and hashed."""
    names = [f.name for f in known if f.compare]
    # A getter of two names or more gives a tuple, and soon.
    values = attrgetter(*names, *names[: len(names) == 1]) if names else lambda _: ()

    def __eq__(self: object, other: object) -> bool:  # noqa: N807
        if type(self) is not type(other):
            return NotImplemented
        return values(self) == values(other)

    def __hash__(self: object) -> int:  # noqa: N807
        return hash(values(self))

    return {"__eq__": __eq__, "__hash__": __hash__ if hashed else None}


def _repr(self: Any) -> str:  # noqa: ANN401
    """Say what differs from its default, in one line; what is too long is cut."""
    values = ((f, getattr(self, f.name)) for f in fields(self) if f.repr)
    told = (f"{f.name}={_said(v)}" for f, v in values if not _usual(f, v))
    return short(f"{type(self).__qualname__}({', '.join(told)}", LONGEST - 1) + ")"


def _usual(field: dataclasses.Field[Any], value: Any) -> bool:  # noqa: ANN401
    same = type(value) is type(field.default)
    return same and (value is field.default or bool(value == field.default))


def _said(value: Any) -> str:  # noqa: ANN401
    if getattr(value, "shape", ()):
        return f"<array {'×'.join(map(str, value.shape))}>"
    if isinstance(value, dict):
        return f"{{{', '.join(map(str, value))}}}"
    return repr(value)


def _refuse(_self: object, name: str, *_value: object) -> NoReturn:
    msg = f"`{name}` cannot be changed; make a changed copy with `dataclasses.replace`"
    raise FrozenInstanceError(msg)


def _state(self: Any) -> dict[str, Any]:  # noqa: ANN401
    return {
        f.name: getattr(self, f.name) for f in fields(self) if hasattr(self, f.name)
    }


def _restore(self: object, state: dict[str, Any]) -> None:
    for name, value in state.items():
        object.__setattr__(self, name, value)


_FROZEN = {
    "__setattr__": _refuse,
    "__delattr__": _refuse,
    "__getstate__": _state,
    "__setstate__": _restore,
}
