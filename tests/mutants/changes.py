"""Small changes of a module, each as one changed node of its syntax tree.

Words are left alone: strings, messages of errors, what ``repr`` says. So are
annotations, default values and tables of data outside functions; a number that
has a name outside functions is changed. Tolerances under 1e-6 are left alone.
"""

from __future__ import annotations

import ast
from collections import Counter
from typing import TYPE_CHECKING, NamedTuple

from tests.mutants.instead import is_text, is_words, others

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator


class Change(NamedTuple):
    """One change; `make` makes it in the tree from which it was read."""

    key: str
    where: str
    line: int
    names: tuple[str, ...]
    make: Callable[[], object]


def changes(path: str, tree: ast.Module) -> Iterator[Change]:
    """Yield every change of a module, in the order of the file."""
    seen: Counter[str] = Counter()
    for where, name, line, old, new, make in _Reader().module(tree):
        key = f"{path} {where}: {old} -> {new}"
        seen[key] += 1
        key += f" ({seen[key]})" if seen[key] > 1 else ""
        yield Change(key, where, line, (name,) if name else (), make)


class _Reader:
    def __init__(self) -> None:
        self.where: list[str] = []
        self.inside = 0
        self.constant = ""

    def module(self, tree: ast.Module) -> Iterator[tuple]:
        yield from self.body(tree.body)

    def body(self, nodes: list[ast.stmt]) -> Iterator[tuple]:
        for k, node in enumerate(nodes):
            yield from self.statement(node, nodes, k)

    def found(self, node: ast.AST, old: str, new: str, make) -> tuple:
        where = ".".join(self.where) or "module"
        return where, self.constant, node.lineno, _brief(old), _brief(new), make

    def statement(self, node: ast.stmt, nodes: list, k: int) -> Iterator[tuple]:
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)):
            yield from self.block(node)
        elif _is_apart(node):
            return
        elif self.inside:
            if _deletable(node, nodes):
                gone = ast.copy_location(ast.Pass(), node)
                yield self.found(
                    node, _first(node), "deleted", lambda: nodes.__setitem__(k, gone)
                )
            yield from self.fields(node)
        elif _named_number(node):
            self.constant = assigned(node).id
            yield from self.node(node.value, node, "value", None)
            self.constant = ""
        else:
            yield from self.lambdas(node)

    def block(self, node: ast.FunctionDef | ast.ClassDef) -> Iterator[tuple]:
        """Yield changes in a function or in the functions of a class."""
        function = isinstance(node, ast.FunctionDef)
        if node.name == "__repr__" or _overloaded(node):
            return
        self.where.append(node.name)
        self.inside += function
        yield from self.body(node.body)
        self.inside -= function
        self.where.pop()

    def lambdas(self, node: ast.AST) -> Iterator[tuple]:
        """Yield changes of what will be run later, of a table outside functions."""
        if isinstance(node, ast.Lambda):
            self.where.append("lambda")
            self.inside += 1
            yield from self.node(node.body, node, "body", None)
            self.inside -= 1
            self.where.pop()
            return
        target = assigned(node)
        if target is not None:
            self.where.append(ast.unparse(target))
        for child in ast.iter_child_nodes(node):
            yield from self.lambdas(child)
        if target is not None:
            self.where.pop()

    def fields(self, node: ast.AST) -> Iterator[tuple]:
        for field, value in ast.iter_fields(node):
            if field in ("annotation", "returns", "decorator_list", "args") and not (
                field == "args" and isinstance(node, ast.Call)
            ):
                continue
            if isinstance(value, list):
                for k, child in enumerate(value):
                    if isinstance(child, ast.stmt):
                        yield from self.statement(child, value, k)
                    elif isinstance(child, ast.AST):
                        yield from self.node(child, value, None, k)
            elif isinstance(value, ast.AST):
                yield from self.node(value, node, field, None)

    def node(self, node: ast.AST, home, field, k) -> Iterator[tuple]:
        """Yield changes of an expression and of what it is made of."""
        if is_words(node):
            return

        def put(new: ast.AST) -> Callable[[], None]:
            ast.copy_location(new, node)
            ast.fix_missing_locations(new)
            if field is None:
                return lambda: home.__setitem__(k, new)
            return lambda: setattr(home, field, new)

        if isinstance(node, ast.expr):
            old = ast.unparse(node)
            for new in others(node):
                yield self.found(node, old, ast.unparse(new), put(new))
        negative = isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub)
        if not (negative and isinstance(node.operand, ast.Constant)):
            yield from self.fields(node)


def _is_apart(node: ast.stmt) -> bool:
    """Return whether nothing in it is changed."""
    apart = (ast.Import, ast.ImportFrom, ast.Raise, ast.Assert)
    typing = isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"
    return isinstance(node, apart) or typing


def _deletable(node: ast.stmt, nodes: list) -> bool:
    """Return whether the rest still stands when this is left out."""
    if isinstance(node, ast.Expr):
        return not is_text(node.value)
    if isinstance(node, ast.If):
        return not node.orelse and not any(isinstance(n, ast.Raise) for n in node.body)
    if isinstance(node, ast.Assign):
        target = node.targets[0]
        if is_text(node.value) or isinstance(node.value, ast.JoinedStr):
            return False
        if isinstance(target, (ast.Subscript, ast.Attribute)):
            return True
        before = nodes[: nodes.index(node)]
        names = {
            ast.unparse(t)
            for n in before
            if isinstance(n, ast.Assign)
            for t in n.targets
        }
        return ast.unparse(target) in names
    return isinstance(node, (ast.AugAssign, ast.Continue, ast.Break))


def _named_number(node: ast.stmt) -> bool:
    """Return whether a number gets its name here, outside functions."""
    if not isinstance(assigned(node), ast.Name) or getattr(node, "value", None) is None:
        return False
    fine = (ast.Constant, ast.BinOp, ast.UnaryOp, ast.operator, ast.unaryop, ast.Name)
    fine += (ast.Call, ast.Attribute, ast.expr_context)
    parts = list(ast.walk(node.value))
    numbers = [p.value for p in parts if isinstance(p, ast.Constant)]
    return (
        all(isinstance(p, fine) for p in parts)
        and bool(numbers)
        and all(isinstance(n, (int, float)) for n in numbers)
    )


def assigned(node: ast.AST) -> ast.expr | None:
    """Return what an assignment gives a value to, the first of several."""
    if isinstance(node, ast.AnnAssign):
        return node.target
    if isinstance(node, ast.Assign):
        return node.targets[0]
    return None


def _overloaded(node: ast.FunctionDef) -> bool:
    return any(ast.unparse(d) == "overload" for d in node.decorator_list)


def _first(node: ast.stmt) -> str:
    return ast.unparse(node).splitlines()[0]


def _brief(text: str) -> str:
    text = " ".join(text.split())
    return text if len(text) <= 90 else f"{text[:43]} … {text[-43:]}"
