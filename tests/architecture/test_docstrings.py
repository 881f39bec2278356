"""Documented parameters are those of the signature, in name and order.

ruff finds a parameter that is missing, but neither one too many nor a misspelt
one; this does.
"""

from __future__ import annotations

import dataclasses
import importlib
import inspect
import pkgutil
import re

import linkage

HEADING = re.compile(r"^(\w[\w ]*)\n-+$", re.MULTILINE)


def modules():
    for info in pkgutil.walk_packages(linkage.__path__, "linkage."):
        yield importlib.import_module(info.name)


def documented(doc: str) -> list[str] | None:
    """Return the names under Parameters, or None where there is no such part."""
    text = inspect.cleandoc(doc)
    heads = list(HEADING.finditer(text))
    for i, head in enumerate(heads):
        if head[1] == "Parameters":
            end = heads[i + 1].start() if i + 1 < len(heads) else len(text)
            lines = text[head.end() : end].partition("\n>>>")[0].splitlines()
            entries = [x for x in lines if x and not x[0].isspace()]
            names = [x.partition(" :")[0] for x in entries]
            return [n.strip().lstrip("*") for x in names for n in x.split(",")]
    return None


def signature(thing: object) -> list[str]:
    if dataclasses.is_dataclass(thing):
        return [f.name for f in dataclasses.fields(thing) if not f.name.startswith("_")]
    names = list(inspect.signature(thing.__init__ if inspect.isclass(thing) else thing).parameters)  # type: ignore[misc]  # fmt: skip
    return [n for n in names if n not in {"self", "cls"}]


def things():
    for module in modules():
        for name, thing in vars(module).items():
            if (
                name.startswith("_")
                or getattr(thing, "__module__", "") != module.__name__
            ):
                continue
            yield f"{module.__name__}.{name}", thing
            if inspect.isclass(thing):
                for inner, member in vars(thing).items():
                    function = getattr(member, "__func__", member)
                    if inspect.isfunction(function) and not inner.startswith("_"):
                        yield f"{module.__name__}.{name}.{inner}", function


def agree(thing: object, names: list[str]) -> bool:
    """Tell whether these are the parameters of a thing."""
    if dataclasses.is_dataclass(thing):  # made by keyword: any order
        return sorted(names) == sorted(signature(thing))
    return names == signature(thing)


def test_parameters_match_the_signature():
    told = {
        name: (thing, names)
        for name, thing in things()
        if (inspect.isfunction(thing) or inspect.isclass(thing))
        and thing.__doc__
        and (names := documented(thing.__doc__)) is not None
    }
    assert len(told) > 400
    assert {n: names for n, (thing, names) in told.items() if not agree(thing, names)} == {}  # fmt: skip


def test_a_parameter_too_many_or_out_of_order_is_seen():
    assert agree(agree, ["thing", "names"])
    assert not agree(agree, ["names", "thing"])
    assert not agree(agree, ["thing", "names", "more"])


def test_every_public_thing_of_the_core_has_a_docstring():
    bare = [
        name
        for name, thing in things()
        if (inspect.isfunction(thing) or inspect.isclass(thing)) and not thing.__doc__
    ]
    assert bare == []
