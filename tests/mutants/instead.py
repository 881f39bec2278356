"""What may stand in place of an expression: one operator, number or name changed.

Not here: where in a module (`changes`).
"""

from __future__ import annotations

import ast
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

EDGE = {ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt}
TURNED = {
    ast.Lt: ast.Gt,
    ast.LtE: ast.GtE,
    ast.Gt: ast.Lt,
    ast.GtE: ast.LtE,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
SWAPPED = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
    ast.BitAnd: ast.BitOr,
    ast.BitOr: ast.BitAnd,
}
OTHER = {
    "minimum": "maximum",
    "min": "max",
    "nanmin": "nanmax",
    "argmin": "argmax",
    "nanargmin": "nanargmax",
    "fmin": "fmax",
    "any": "all",
    "sin": "cos",
    "floor": "ceil",
    "least": "most",
}
OTHER |= {new: old for old, new in OTHER.items()}
#: Of these the order of arguments does not matter, or is no matter of numbers.
EITHER = {
    *OTHER,
    "isinstance",
    "cast",
    "add",
    "dot",
    "hypot",
    "zip",
    "allclose",
    "isclose",
}
EITHER |= {"getattr", "greater", "lesser", "Silence", "Ref", "say", "join"}
SMALL = 1e-6


def others(node: ast.expr) -> Iterator[ast.expr]:
    """Yield what may stand in place of an expression."""
    kind = type(node)
    if kind in _MAKERS:
        yield from _MAKERS[kind](node)


def _compare(node: ast.Compare) -> Iterator[ast.expr]:
    for k, op in enumerate(node.ops):
        for table in (EDGE, TURNED):
            if type(op) in table:
                ops = [*node.ops[:k], table[type(op)](), *node.ops[k + 1 :]]
                yield ast.Compare(left=node.left, ops=ops, comparators=node.comparators)


def _binary(node: ast.BinOp) -> Iterator[ast.expr]:
    texts = (ast.JoinedStr, ast.List, ast.Tuple)
    if any(isinstance(n, texts) or is_text(n) for n in (node.left, node.right)):
        return
    if type(node.op) in SWAPPED:
        yield ast.BinOp(left=node.left, op=SWAPPED[type(node.op)](), right=node.right)


def _unary(node: ast.UnaryOp) -> Iterator[ast.expr]:
    yield node.operand
    if isinstance(node.op, ast.USub) and isinstance(node.operand, ast.Constant):
        for value in _numbers(node.operand.value):
            yield ast.UnaryOp(op=ast.USub(), operand=ast.Constant(value))


def _constant(node: ast.Constant) -> Iterator[ast.expr]:
    for value in _numbers(node.value):
        yield ast.Constant(value)


def _numbers(value: object) -> Iterator[object]:
    if isinstance(value, bool):
        yield not value
    elif isinstance(value, int):
        yield value + 1
    elif isinstance(value, float):
        if value == 0:
            yield 1.0
        elif abs(value) > SMALL:
            yield value * 1.01


def _bool(node: ast.BoolOp) -> Iterator[ast.expr]:
    other = ast.Or if isinstance(node.op, ast.And) else ast.And
    yield ast.BoolOp(op=other(), values=node.values)


def _if(node: ast.IfExp) -> Iterator[ast.expr]:
    yield ast.IfExp(test=node.test, body=node.orelse, orelse=node.body)


def _tuple(node: ast.Tuple) -> Iterator[ast.expr]:
    two = len(node.elts) == 2 and isinstance(node.ctx, ast.Load)
    if two and ast.dump(node.elts[0]) != ast.dump(node.elts[1]):
        yield ast.Tuple(elts=node.elts[::-1], ctx=ast.Load())


def _call(node: ast.Call) -> Iterator[ast.expr]:
    func = node.func
    name = func.attr if isinstance(func, ast.Attribute) else getattr(func, "id", "")

    def again(args: list, new: ast.expr = func) -> ast.expr:
        return ast.Call(func=new, args=args, keywords=node.keywords)

    if name in OTHER and isinstance(func, ast.Attribute):
        new = ast.Attribute(value=func.value, attr=OTHER[name], ctx=ast.Load())
        yield again(node.args, new)
    elif name in OTHER and name not in ("least", "most"):
        yield again(node.args, ast.Name(id=OTHER[name], ctx=ast.Load()))
    if name == "where" and len(node.args) == 3:
        yield again([node.args[0], node.args[2], node.args[1]])
    elif name in ("abs", "asarray", "sorted") and len(node.args) == 1:
        yield node.args[0]
    elif len(node.args) >= 2 and name not in EITHER:
        first, second, *rest = node.args
        if not any(isinstance(a, ast.Starred) or is_words(a) for a in (first, second)):
            yield again([second, first, *rest])


_MAKERS = {
    ast.Compare: _compare,
    ast.BinOp: _binary,
    ast.UnaryOp: _unary,
    ast.Constant: _constant,
    ast.BoolOp: _bool,
    ast.IfExp: _if,
    ast.Tuple: _tuple,
    ast.Call: _call,
}


def is_text(node: ast.AST) -> bool:
    """Return whether a node is a text."""
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def is_words(node: ast.AST) -> bool:
    """Return whether a node is left alone, as no number comes of it."""
    if isinstance(node, ast.keyword):
        return node.arg == "strict"
    if isinstance(node, ast.Constant):
        return isinstance(node.value, (str, type(None), type(...)))
    return isinstance(node, ast.Call) and ast.unparse(node.func) in (
        "cast",
        "isinstance",
    )
