"""A change put into the running program: the code of its functions is swapped.

Rules, tables and other modules hold function objects; they keep these, and what
is run in them is another. So nothing is imported anew.
"""

from __future__ import annotations

import ast
import gc
import sys
from types import CodeType, FunctionType, ModuleType
from typing import TYPE_CHECKING

from tests.mutants.changes import assigned, changes

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


class CannotBeMadeError(Exception):
    """The change leaves nothing that can be compiled or swapped."""


def put(path: Path, key: str, short: str, functions: list[FunctionType]) -> None:
    """Make one change of a module in this process.

    Parameters
    ----------
    path : Path
        Of the module.
    key, short : str
        Of the change; how its keys name the path.
    functions : list of function
        All that were made from this file.
    """
    text = path.read_text(encoding="utf-8")
    tree = ast.parse(text)
    mine = next((c for c in changes(short, tree) if c.key == key), None)
    if mine is None:
        raise CannotBeMadeError(key)
    before = list(_codes(compile(text, str(path), "exec", dont_inherit=True)))
    mine.make()
    try:
        after = list(_codes(compile(tree, str(path), "exec", dont_inherit=True)))
    except (SyntaxError, ValueError) as error:
        raise CannotBeMadeError(key) from error
    if mine.names:
        _name(_module(path), mine.names[0], tree)
        return
    if len(before) != len(after):
        raise CannotBeMadeError(key)
    new = dict(zip(map(_mark, before), after, strict=True))
    try:
        for function in functions:
            function.__code__ = new[_mark(function.__code__)]
    except (KeyError, ValueError) as error:
        raise CannotBeMadeError(key) from error


def made_from(paths: set[str]) -> dict[str, list[FunctionType]]:
    """Return all functions there are by the file they were made from."""
    found: dict[str, list[FunctionType]] = {path: [] for path in paths}
    for thing in gc.get_objects():
        if type(thing) is FunctionType and thing.__code__.co_filename in found:
            found[thing.__code__.co_filename].append(thing)
    return found


def _mark(code: CodeType) -> tuple:
    positions = tuple(code.co_positions())
    return code.co_qualname, code.co_firstlineno, positions


def _codes(code: CodeType) -> Iterator[CodeType]:
    yield code
    for part in code.co_consts:
        if isinstance(part, CodeType):
            yield from _codes(part)


def _module(path: Path) -> ModuleType:
    return next(
        m for m in list(sys.modules.values()) if getattr(m, "__file__", "") == str(path)
    )


def _name(module: ModuleType, name: str, tree: ast.Module) -> None:
    """Give a named number its other value, wherever it was imported to."""
    for node in tree.body:
        target = assigned(node)
        if isinstance(target, ast.Name) and target.id == name:
            code = compile(ast.Expression(node.value), module.__file__, "eval")
            value = eval(code, vars(module))  # noqa: S307 the module's own text
            break
    old = getattr(module, name)
    for other in list(sys.modules.values()):
        if isinstance(other, ModuleType) and vars(other).get(name) is old:
            setattr(other, name, value)
