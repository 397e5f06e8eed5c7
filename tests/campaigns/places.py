"""Places in a module where one condition, bound or branch can be changed, each with the text it becomes."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

_COMPARED: Final = {
    ast.Lt: ("<", "<="),
    ast.LtE: ("<=", "<"),
    ast.Gt: (">", ">="),
    ast.GtE: (">=", ">"),
    ast.Eq: ("==", "!="),
    ast.NotEq: ("!=", "=="),
    ast.In: ("in", "not in"),
    ast.NotIn: (r"not\s+in", "in"),
    ast.Is: ("is", "is not"),
    ast.IsNot: (r"is\s+not", "is"),
}
_CALLED: Final = {"any": "all", "all": "any", "min": "max", "max": "min"}
_LEAVES: Final = (ast.Continue, ast.Break, ast.Return)
_CONDITIONS: Final = (ast.Compare, ast.BoolOp, ast.UnaryOp)


@dataclass(frozen=True, slots=True)
class Place:
    """A piece of a module's text and what it becomes.

    Attributes:
        start: Where the piece begins, in characters of the text.
        end: Where it ends.
        becomes: What stands there instead.
        line: Its line, from 1.
        function: The first line of the innermost function around it; 0 outside of any.
    """

    start: int
    end: int
    becomes: str
    line: int
    function: int

    def applied(self, text: str) -> str:
        """The whole text, changed."""
        return text[: self.start] + self.becomes + text[self.end :]

    def shown(self, text: str) -> tuple[str, str]:
        """The line before and after, without its margin."""
        number = self.line - 1
        before, after = text.splitlines()[number], self.applied(text).splitlines()[number]
        return before.strip(), after.strip()


def places(text: str) -> list[Place]:
    """Every place of a module, in order."""
    found = set(_Finder(text).walk(ast.parse(text), 0))
    return sorted(found, key=lambda each: (each.start, each.end, each.becomes))


class _Finder:
    def __init__(self, text: str) -> None:
        self.text = text
        self.lines = text.splitlines(keepends=True)
        self.begins = [0]
        for line in self.lines:
            self.begins.append(self.begins[-1] + len(line))

    def walk(self, node: ast.AST, function: int) -> Iterator[Place]:
        if isinstance(node, ast.FunctionDef | ast.Lambda):
            # A function's code begins at its first decorator.
            decorators = node.decorator_list if isinstance(node, ast.FunctionDef) else []
            function = min([node.lineno, *(each.lineno for each in decorators)])
        for start, end, becomes in self._changes(node, outside=function == 0):
            line = self.text.count("\n", 0, start) + 1
            yield Place(start, end, becomes, line, function)
        for name, value in ast.iter_fields(node):
            if name in {"annotation", "returns", "decorator_list"} or isinstance(node, ast.Assert):
                continue
            for each in value if isinstance(value, list) else [value]:
                if isinstance(each, ast.AST):
                    yield from self.walk(each, function)

    def _at(self, line: int, column: int) -> int:
        # The parser counts columns in bytes.
        return self.begins[line - 1] + len(self.lines[line - 1].encode()[:column].decode())

    def _span(self, node: ast.expr) -> tuple[int, int]:
        assert node.end_lineno is not None
        assert node.end_col_offset is not None
        return self._at(node.lineno, node.col_offset), self._at(node.end_lineno, node.end_col_offset)

    def _between(self, left: ast.expr, right: ast.expr, sign: str, becomes: str) -> Iterator[tuple[int, int, str]]:
        start, end = self._span(left)[1], self._span(right)[0]
        found = re.search(rf"(?<![\w<>=!]){sign}(?![\w<>=])", self.text[start:end])
        if found:
            yield start + found.start(), start + found.end(), becomes

    def _wrapped(self, node: ast.expr) -> tuple[int, int, str]:
        start, end = self._span(node)
        return start, end, f"(not ({self.text[start:end]}))"

    def _changes(self, node: ast.AST, *, outside: bool) -> Iterator[tuple[int, int, str]]:
        match node:
            case ast.Compare():
                sides = [node.left, *node.comparators]
                for operator, left, right in zip(node.ops, sides, sides[1:], strict=False):
                    yield from self._between(left, right, *_COMPARED[type(operator)])
                yield from (change for side in sides for change in self._one_more(side))
            case ast.BoolOp():
                signs = ("and", "or") if isinstance(node.op, ast.And) else ("or", "and")
                for left, right in zip(node.values, node.values[1:], strict=False):
                    yield from self._between(left, right, *signs)
            case ast.UnaryOp(op=ast.Not()):
                yield self._span(node)[0], self._span(node.operand)[0], ""
            case ast.Call(func=ast.Name(id=name)) if name in _CALLED:
                yield *self._span(node.func), _CALLED[name]
            case ast.BinOp(op=ast.Add() | ast.Sub()) if not _is_text(node.left) and not _is_text(node.right):
                signs = (r"\+", "-") if isinstance(node.op, ast.Add) else ("-", "+")
                yield from self._between(node.left, node.right, *signs)
            case ast.AnnAssign(value=ast.expr() as value) if outside:
                yield from self._one_more(value)
            case ast.Return(value=ast.expr() as value) if isinstance(value, _CONDITIONS) or _is_any(value):
                yield self._wrapped(value)
            case ast.IfExp():
                yield self._wrapped(node.test)
            case ast.comprehension():
                yield from ((*self._span(test), "True") for test in node.ifs)
            case ast.If():
                if not isinstance(node.test, _CONDITIONS):
                    yield self._wrapped(node.test)
                if len(node.body) == 1 and isinstance(node.body[0], _LEAVES):
                    yield *self._span(node.test), "False"
            case _:
                return

    def _one_more(self, node: ast.expr) -> Iterator[tuple[int, int, str]]:
        if isinstance(node, ast.Constant) and type(node.value) is int:
            yield *self._span(node), str(node.value + 1)


def _is_text(node: ast.expr) -> bool:
    return isinstance(node, ast.JoinedStr) or (isinstance(node, ast.Constant) and isinstance(node.value, str))


def _is_any(node: ast.expr) -> bool:
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in {"any", "all"}
