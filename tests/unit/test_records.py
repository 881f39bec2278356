"""Quickly made dataclasses behave as the standard ones, whatever is asked of them."""

from __future__ import annotations

import copy
import dataclasses
import inspect
import pickle

import numpy as np
import pytest

from linkage import records


def pair(**options):
    """Return one class made by each decorator."""

    def made(decorator):
        @decorator(**options)
        class Part:
            """A part."""

            name: str
            size: float = 2.0
            list_of: list[int] = dataclasses.field(default_factory=list)
            note: str = dataclasses.field(default="", compare=False, repr=False)
            whole: str = dataclasses.field(init=False)

            def __post_init__(self) -> None:
                object.__setattr__(self, "whole", f"{self.name} {self.size}")

        Part.__qualname__ = "Part"
        return Part

    return made(records.dataclass), made(dataclasses.dataclass)


OPTIONS = [
    {},
    {"frozen": True, "slots": True},
    {"frozen": True, "slots": True, "kw_only": True},
    {"frozen": True, "eq": False, "kw_only": True},
    {"slots": True, "repr": False},
]


@pytest.mark.parametrize("options", OPTIONS, ids=str)
def test_both_kinds_do_the_same(options):
    shown = []
    for kind in pair(**options):
        one = kind(name="a", note="x")
        two = dataclasses.replace(one, size=3.0)
        assert one.list_of == []
        assert one.list_of is not kind(name="b").list_of
        assert dataclasses.is_dataclass(kind)
        assert [f.name for f in dataclasses.fields(kind)] == ["name", "size", "list_of", "note", "whole"]  # fmt: skip
        same = one == kind(name="a", note="y")
        hashed = kind.__hash__ is not None
        shown.append((two.whole, same, one == two, one == "a", hashed, hasattr(one, "__dict__")))  # fmt: skip
        assert copy.copy(two).whole == "a 3.0"
        assert str(inspect.signature(kind)).startswith(
            "(*, name" if options.get("kw_only") else "(name"
        )
    assert shown[0] == shown[1]


def test_a_record_says_in_one_line_what_is_not_usual():
    quick, _ = pair(frozen=True)
    assert repr(quick(name="a", list_of=[1])) == (
        "Part(name='a', list_of=[1], whole='a 2.0')"
    )
    assert repr(quick(name="a", size=3.0)).startswith("Part(name='a', size=3.0, ")
    assert repr(quick(name=np.ones((3, 1)), size=2)).startswith(
        "Part(name=<array 3×1>, size=2, "
    )
    assert repr(quick(name={"x": 1, "y": 2})).startswith("Part(name={x, y}, ")
    long = repr(quick(name="a\n" * 500))
    assert len(long) == records.LONGEST
    assert long.endswith("…)")
    assert "\n" not in long
    assert "name=" not in repr(pair(repr=False)[0](name="a"))


@pytest.mark.parametrize("options", [o for o in OPTIONS if o.get("frozen")], ids=str)
def test_frozen_is_frozen(options):
    for kind in pair(**options):
        one = kind(name="a")
        with pytest.raises(dataclasses.FrozenInstanceError):
            one.name = "b"
        with pytest.raises(dataclasses.FrozenInstanceError):
            del one.name
        assert one.name == "a"


@pytest.mark.parametrize(
    ("given", "named"),
    [
        ((), {}),
        ((), {"name": "a", "more": 1}),
        (("a",), {"name": "b"}),
        (tuple("abcdef"), {}),
    ],
)
def test_wrong_arguments_are_refused(given, named):
    for kind in pair():
        with pytest.raises(TypeError):
            kind(*given, **named)
    (kept, _) = pair(kw_only=True)
    with pytest.raises(TypeError, match="too many"):
        kept("a")


@records.dataclass(frozen=True, slots=True)
class Kept:
    """A part that pickle can find."""

    name: str
    size: float = 1.0


def test_pickled_and_found_in_a_set():
    one = Kept("a", 2.0)
    assert pickle.loads(pickle.dumps(one)) == one  # noqa: S301
    assert {one, Kept("a", 2.0), Kept("b")} == {Kept("b"), one}


def test_derived_classes_keep_the_fields_they_inherit():
    @records.dataclass(frozen=True)
    class More(Kept):
        more: int = 3

    assert (More("a").size, More("a", 2.0, 5).more) == (1.0, 5)
    assert More("a") != Kept("a")
