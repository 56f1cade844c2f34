"""Delete cases from a module, one at a time: a branch, an operand, a `yield`, a member, a recorded read.

An operator mutant seldom removes a case, so a case that no test needs survives it. These mutants are texts of the
module without the case; everything else keeps its place, so that a survivor's line is the line of the source.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass

RECORDING = ("_record", "record_read")
"""Methods whose call, as a statement of its own, records a read."""


Case = tuple[str, ast.expr | ast.stmt, str]
"""The kind of case, the node to replace, and the text in its place."""


@dataclass(frozen=True)
class Deletion:
    """A module's text without one case: the kind of case, its line, what was deleted, and the text."""

    kind: str
    line: int
    deleted: str
    text: str


def deletions(source: str) -> Iterator[Deletion]:
    """Yield every deletion of a module, in the order of its lines."""
    tree = ast.parse(source)
    found: list[Case] = [each for node in ast.walk(tree) for each in _deletions_at(node)]
    for statement in tree.body:
        if isinstance(statement, ast.Assign | ast.AnnAssign) and statement.value is not None:
            found += _members_of(statement.value)
    for kind, node, instead in sorted(found, key=lambda each: (each[1].lineno, each[1].col_offset)):
        deleted = ast.get_source_segment(source, node) or ""
        yield Deletion(kind, node.lineno, deleted, _replaced(source, node, instead))


def _deletions_at(node: ast.AST) -> Iterator[Case]:
    """Yield the cases that a node contains."""
    match node:
        case ast.If(test=test, orelse=other):
            yield "branch", test, "False"
            if other and not isinstance(other[0], ast.If):
                yield from (("else", each, "pass") for each in other if not isinstance(each, ast.Pass))
        case ast.IfExp(test=test):
            yield "branch", test, "False"
            yield "else", test, "True"
        case ast.Match(cases=cases):
            for case in cases:
                yield from (("case", statement, "pass") for statement in case.body)
        case ast.BoolOp(op=op, values=values):
            for each in values:
                yield "operand", each, str(isinstance(op, ast.And))
        case ast.comprehension(ifs=conditions):
            yield from (("operand", each, "True") for each in conditions)
        case ast.Expr(value=ast.Yield() | ast.YieldFrom()):
            yield "yield", node, "if False: yield"
        case ast.Expr(value=ast.Call(func=ast.Attribute(attr=name))) if name in RECORDING:
            yield "read", node, "pass"
        case ast.Tuple(elts=members, ctx=ast.Load()) | ast.List(elts=members, ctx=ast.Load()):
            if any(isinstance(each, ast.Starred) for each in members):
                yield from (("member", each, "*()") for each in members)
        case _:
            pass


def _members_of(value: ast.expr) -> Iterator[Case]:
    """Yield the members of a list that a module defines, such as all judges."""
    if isinstance(value, ast.Tuple | ast.List):
        yield from (("member", each, "*()") for each in value.elts if not isinstance(each, ast.Starred))
    elif isinstance(value, ast.Dict):
        for key, each in zip(value.keys, value.values, strict=True):
            if key is not None:
                yield "member", _both(key, each), "**{}"


def _both(key: ast.expr, value: ast.expr) -> ast.expr:
    """Return a node that reaches from a key to the end of its value."""
    whole = ast.Constant(None, lineno=key.lineno, col_offset=key.col_offset)
    whole.end_lineno, whole.end_col_offset = value.end_lineno, value.end_col_offset
    return whole


def _replaced(source: str, node: ast.expr | ast.stmt, instead: str) -> str:
    """Return the source with a node replaced. Offsets of `ast` count bytes of UTF-8."""
    assert node.end_lineno is not None
    assert node.end_col_offset is not None
    lines = source.encode().splitlines(keepends=True)
    begin = sum(map(len, lines[: node.lineno - 1])) + node.col_offset
    end = sum(map(len, lines[: node.end_lineno - 1])) + node.end_col_offset
    kept_lines = b"\n" * (node.end_lineno - node.lineno) if isinstance(node, ast.stmt) else b""
    whole = source.encode()
    return (whole[:begin] + instead.encode() + kept_lines + whole[end:]).decode()
