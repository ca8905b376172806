"""What a mutant is: one small wrong turn in one file, as a slip of the hand would make it.

Text that only people read is left alone, and so are annotations, decorators and docstrings, where
a change means nothing to the behaviour.
"""

from __future__ import annotations

import ast
import copy
from collections.abc import Callable, Iterator
from dataclasses import dataclass

SWAPPED: dict[type[ast.AST], tuple[type[ast.AST], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
    ast.And: (ast.Or,),
    ast.Or: (ast.And,),
    ast.Add: (ast.Sub,),
    ast.Sub: (ast.Add,),
    ast.Mult: (ast.Div,),
    ast.Div: (ast.Mult,),
    ast.FloorDiv: (ast.Mult,),
    ast.Mod: (ast.Mult,),
    ast.BitOr: (ast.BitAnd,),
    ast.BitAnd: (ast.BitOr,),
}
CALLS = {"min": "max", "max": "min", "any": "all", "all": "any", "sorted": "list"}


@dataclass(frozen=True, slots=True)
class Mutant:
    """One change: where it stands, what stood there, what stands there now, and the whole text."""

    file: str
    line: int
    last_line: int
    statement_line: int
    before: str
    after: str
    text: str

    @property
    def name(self) -> str:
        return f"{self.file}:{self.line}: {self.before} -> {self.after}"


def mutants(file: str, text: str) -> Iterator[Mutant]:
    """Every mutant of a file's text, in order of place."""
    raw = text.encode()
    starts = [0]
    for line in raw.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))
    for node, statement in _nodes(ast.parse(text)):
        assert isinstance(node, ast.expr | ast.stmt)
        assert node.end_lineno is not None
        assert node.end_col_offset is not None
        first = starts[node.lineno - 1] + node.col_offset
        last = starts[node.end_lineno - 1] + node.end_col_offset
        for after in _changes(node, statement):
            changed = (raw[:first] + after.encode() + raw[last:]).decode()
            before = " ".join(raw[first:last].decode().split())
            yield Mutant(
                file, node.lineno, node.end_lineno, statement.lineno, before, after, changed
            )


def _nodes(tree: ast.AST) -> Iterator[tuple[ast.AST, ast.stmt]]:
    """The expressions and statements that run, each with the statement it stands in."""

    def inside(node: ast.AST, statement: ast.stmt | None) -> Iterator[tuple[ast.AST, ast.stmt]]:
        for field, value in ast.iter_fields(node):
            if field in ("annotation", "returns", "decorator_list", "type_comment", "bases"):
                continue
            if field == "keywords" and isinstance(node, ast.ClassDef):
                continue  # whether values may be changed, or compared: a matter of speed and care
            for child in value if isinstance(value, list) else [value]:
                if not isinstance(child, ast.AST) or isinstance(child, ast.JoinedStr):
                    continue  # before Python 3.12 the parts of an f-string have no true place
                if isinstance(child, ast.stmt):
                    if not _says_nothing(child):
                        yield child, child
                        yield from inside(child, child)
                    continue
                if isinstance(child, ast.expr) and statement is not None:
                    yield child, statement
                yield from inside(child, statement)

    yield from inside(tree, None)


def _says_nothing(node: ast.stmt) -> bool:
    """Docstrings, imports and blocks for type checkers only."""
    return (
        isinstance(node, ast.Import | ast.ImportFrom)
        or (isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant))
        or (isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING")
    )


def _changes(node: ast.AST, statement: ast.stmt) -> Iterator[str]:
    if isinstance(statement, ast.If | ast.While) and node is statement.test:
        already = isinstance(node, ast.Compare | ast.UnaryOp)
        yield from () if already else (f"(not ({ast.unparse(node)}))",)
    for kind, change in CHANGES:
        if isinstance(node, kind):
            yield from change(node)


def _with(node: ast.AST, field: str, value: object) -> str:
    made = copy.copy(node)
    setattr(made, field, value)
    text = ast.unparse(made)
    return f"({text})" if isinstance(made, ast.expr) else text


def _compare(node: ast.Compare) -> Iterator[str]:
    for place, operator in enumerate(node.ops):
        for other in SWAPPED.get(type(operator), ()):
            operators = [*node.ops]
            operators[place] = other()  # type: ignore[call-overload]
            yield _with(node, "ops", operators)


def _operator(node: ast.BoolOp | ast.BinOp | ast.AugAssign) -> Iterator[str]:
    for other in SWAPPED.get(type(node.op), ()):
        yield _with(node, "op", other())


def _not(node: ast.UnaryOp) -> Iterator[str]:
    if isinstance(node.op, ast.Not | ast.USub):
        yield f"({ast.unparse(node.operand)})"


def _constant(node: ast.Constant) -> Iterator[str]:
    if isinstance(node.value, bool):
        yield str(not node.value)
    elif isinstance(node.value, int):
        yield str(node.value + 1)


def _condition(node: ast.IfExp) -> Iterator[str]:
    swapped = ast.IfExp(test=node.test, body=node.orelse, orelse=node.body)
    yield f"({ast.unparse(swapped)})"


def _comprehension(
    node: ast.ListComp | ast.SetComp | ast.DictComp | ast.GeneratorExp,
) -> Iterator[str]:
    for place, loop in enumerate(node.generators):
        for gone in range(len(loop.ifs)):
            kept = copy.copy(loop)
            kept.ifs = [test for at, test in enumerate(loop.ifs) if at != gone]
            loops = [*node.generators]
            loops[place] = kept
            made = copy.copy(node)
            made.generators = loops
            yield ast.unparse(made)


def _call(node: ast.Call) -> Iterator[str]:
    if isinstance(node.func, ast.Name) and (other := CALLS.get(node.func.id)):
        made = copy.copy(node)
        made.func = ast.Name(other, ast.Load())
        if other == "list":
            made.keywords = []
        yield ast.unparse(made)
    if isinstance(node.func, ast.Name) and node.func.id == "Decimal" and node.args:
        figure = node.args[0]
        if isinstance(figure, ast.Constant) and isinstance(figure.value, str):
            yield f"({ast.unparse(node)} + 1)"


def _statement(node: ast.Expr) -> Iterator[str]:
    if isinstance(node.value, ast.Yield | ast.YieldFrom):
        yield "yield from ()"
    else:
        yield "pass"


def _return(node: ast.Return) -> Iterator[str]:
    if node.value is not None and not (
        isinstance(node.value, ast.Constant) and node.value.value is None
    ):
        yield "return None"


def _jump(node: ast.Break | ast.Continue) -> Iterator[str]:
    yield "continue" if isinstance(node, ast.Break) else "break"


CHANGES: tuple[tuple[type[ast.AST] | tuple[type[ast.AST], ...], Callable[..., Iterator[str]]], ...]
CHANGES = (
    (ast.Compare, _compare),
    ((ast.BoolOp, ast.BinOp, ast.AugAssign), _operator),
    (ast.UnaryOp, _not),
    (ast.Constant, _constant),
    (ast.IfExp, _condition),
    ((ast.ListComp, ast.SetComp, ast.DictComp, ast.GeneratorExp), _comprehension),
    (ast.Call, _call),
    (ast.Expr, _statement),
    (ast.Return, _return),
    ((ast.Break, ast.Continue), _jump),
)
