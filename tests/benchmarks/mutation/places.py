"""Where a module may be changed by a word so that it says something else: one change a mutant."""

from __future__ import annotations

import ast
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate, pairwise

OPERATORS: dict[type[ast.AST], tuple[str, str]] = {
    ast.Lt: ("<", "<="),
    ast.LtE: ("<=", "<"),
    ast.Gt: (">", ">="),
    ast.GtE: (">=", ">"),
    ast.Eq: ("==", "!="),
    ast.NotEq: ("!=", "=="),
    ast.Is: ("is", "is not"),
    ast.IsNot: ("is not", "is"),
    ast.In: ("in", "not in"),
    ast.NotIn: ("not in", "in"),
    ast.Add: ("+", "-"),
    ast.Sub: ("-", "+"),
    ast.Mult: ("*", "/"),
    ast.Div: ("/", "*"),
    ast.FloorDiv: ("//", "/"),
    ast.Pow: ("**", "*"),
    ast.And: ("and", "or"),
    ast.Or: ("or", "and"),
}
CALLS = {"min": "max", "max": "min", "any": "all", "all": "any", "sin": "cos", "cos": "sin"}
TELLING = {"error", "warning", "note", "question", "Finding", "Line", "Cause", "cause_of", "bounded"}  # mostly words
UNSEEN = (ast.JoinedStr, ast.Raise, ast.Assert, ast.Import, ast.ImportFrom)


@dataclass(frozen=True, kw_only=True)
class Place:
    """One change of one file: the characters from ``start`` to ``end`` become ``new``."""

    file: str
    line: int
    start: int
    end: int
    old: str
    new: str
    text: str

    def __str__(self) -> str:
        return f"{self.file} | {self.text} | {self.old} -> {self.new}"


class Finder:
    """The places of one file."""

    def __init__(self, file: str, source: str) -> None:
        self.file, self.source = file, source
        self.lines = source.splitlines(keepends=True)
        self.starts = list(accumulate(map(len, self.lines), initial=0))

    def find(self) -> list[Place]:
        """All of them, in the order of the text."""
        found = self._walk(ast.parse(self.source))
        return sorted(found, key=lambda place: (place.start, place.end, place.new))

    def _walk(self, node: ast.AST) -> Iterator[Place]:
        if isinstance(node, UNSEEN) or (isinstance(node, ast.keyword) and node.arg == "strict"):
            return  # a zip that need not be strict says the same of lists that are equally long, as all of them are
        yield from self._own(node)
        for name, value in ast.iter_fields(node):
            # What is annotated, decorated or told in words is left alone.
            if name in ("annotation", "returns", "decorator_list", "bases", "type_params"):
                continue
            if isinstance(node, ast.Call) and name != "func" and _called(node) in TELLING:
                continue
            for child in value if isinstance(value, list) else [value]:
                if isinstance(child, ast.AST):
                    yield from self._walk(child)

    def _own(self, node: ast.AST) -> Iterator[Place]:
        match node:
            case ast.Compare(left=left, ops=ops, comparators=right):
                sides = [left, *right]
                for i, op in enumerate(ops):
                    yield from self._operator(op, sides[i], sides[i + 1])
            case ast.BinOp(left=left, op=op, right=right) if not _is_type(node):
                yield from self._operator(op, left, right)
            case ast.AugAssign(target=target, op=op, value=value):
                yield from self._operator(op, target, value)
            case ast.BoolOp(op=op, values=values):
                for left, right in pairwise(values):
                    yield from self._operator(op, left, right)
            case ast.UnaryOp(op=ast.Not()):
                yield self._place(self._at(node), self._at(node) + len("not "), "")
            case ast.UnaryOp(op=ast.USub()):
                yield self._place(self._at(node), self._at(node) + 1, "+")
            case ast.Constant(value=value) if isinstance(value, (bool, int, float)):
                for new in _nudged(value):
                    yield self._place(self._at(node), self._to(node), new)
            case ast.Call(func=ast.Name(id=name) | ast.Attribute(attr=name)) if name in CALLS:
                end = self._to(node.func)
                yield self._place(end - len(name), end, CALLS[name])
            case ast.If(body=[ast.Return() | ast.Continue() | ast.Break() as only]):
                yield self._place(self._at(only), self._to(only), "pass")

    def _operator(self, op: ast.AST, left: ast.AST, right: ast.AST) -> Iterator[Place]:
        pair = OPERATORS.get(type(op))
        between = self.source[self._to(left) : self._from(right)]
        if pair is None or pair[0] not in between or "#" in between:
            return
        start = self._to(left) + between.index(pair[0])
        yield self._place(start, start + len(pair[0]), pair[1])

    def _place(self, start: int, end: int, new: str) -> Place:
        line = bisect_right(self.starts, start)
        text = " ".join(self.lines[line - 1].split())
        return Place(file=self.file, line=line, start=start, end=end, old=self.source[start:end], new=new, text=text)

    def _at(self, node: ast.AST) -> int:
        return self._offset(node.lineno, node.col_offset)  # type: ignore[attr-defined]

    _from = _at

    def _to(self, node: ast.AST) -> int:
        return self._offset(node.end_lineno, node.end_col_offset)  # type: ignore[attr-defined]

    def _offset(self, line: int, column: int) -> int:
        """The place in the text; the parser counts bytes."""
        own = self.lines[line - 1].encode()[:column].decode()
        return self.starts[line - 1] + len(own)


def _called(node: ast.Call) -> str:
    return getattr(node.func, "id", getattr(node.func, "attr", ""))


def _is_type(node: ast.BinOp) -> bool:
    """Such as ``float | None`` outside an annotation."""
    return isinstance(node.op, ast.BitOr)


def _nudged(value: bool | float) -> list[str]:
    if isinstance(value, bool):
        return [str(not value)]
    if isinstance(value, int):
        return [str(value + 1), str(value - 1)]
    return [repr(value * 1.1)] if value else ["0.1"]


def places(file: str, source: str) -> list[Place]:
    """All places of a file where one word may be another.

    >>> [(p.old, p.new) for p in places("a.py", "def f(x: int = 3) -> int:\\n    return -x if x < 2.5 else x * x")]
    [('3', '2'), ('3', '4'), ('-', '+'), ('<', '<='), ('2.5', '2.75'), ('*', '/')]
    """
    return Finder(file, source).find()
