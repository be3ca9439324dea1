"""Every small slip that could be made in a module, one at a time, each with a name that stays.

A mutant is one edit of the module's syntax tree. Its name tells the file, the function and what
became of what, and no line number, so that it holds while other code moves:

    dosing/rules.py OverDoseCap.look: case.working.rounded <= cap => case.working.rounded < cap

A second edit of the same name in one function has " #2" behind it. Not mutated: type annotations,
docstrings, slots, the cache decorator, assertions (they only tell the type checker what holds),
and the text of an error that is raised (no user sees it).
"""

import ast
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

COMPARED: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE), ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE), ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,), ast.NotEq: (ast.Eq,), ast.Is: (ast.IsNot,), ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,), ast.NotIn: (ast.In,),
}  # fmt: skip
WORKED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult, ast.Mod: ast.Mult, ast.Pow: ast.Mult, ast.BitAnd: ast.BitOr,
}  # fmt: skip
PAIRS = (("min", "max"), ("any", "all"), ("low", "high"), ("numerator", "denominator"))
SWAPPED = dict(PAIRS) | {b: a for a, b in PAIRS}
ONLY_WRAPS = {"abs", "reversed", "sorted", "name_key", "plain", "set"}
"""Calls that may be left out, so that their argument stands alone."""


@dataclass(frozen=True)
class Mutant:
    """A name, and the edit: of a fresh tree it makes the changed one."""

    name: str
    change: Callable[[ast.Module], ast.Module]


@dataclass(frozen=True)
class Place:
    """A node by its number in the walk over the tree, and the function or class around it."""

    number: int
    scope: str
    node: ast.AST


def _shown(node: ast.AST | None) -> str:
    text = "nothing" if node is None else " ".join(ast.unparse(node).split())
    return text if len(text) <= 80 else f"{text[:45]} ... {text[-30:]}"


def _skipped(parent: ast.AST, field: str) -> bool:
    """Parts of the tree in which nothing is mutated."""
    match parent, field:
        case (_, "annotation" | "returns" | "type_params"):
            return True
        case ast.Raise(), _:
            return True
        case ast.Assert(), _:
            return True
        case ast.Subscript(value=ast.Name(id="Literal" | "Mapping" | "tuple" | "list")), _:
            return True
        case ast.Import() | ast.ImportFrom(), _:
            return True
        case ast.Assign(targets=[ast.Name(id="__all__")]), _:
            return True
        case ast.keyword(arg="slots" | "key" | "encoding" | "cache_folder"), _:
            return True
    return False


def _places(tree: ast.Module) -> Iterator[Place]:
    """Every node that may be mutated, in a fixed order."""
    number = -1

    def walk(node: ast.AST, scope: str) -> Iterator[Place]:
        nonlocal number
        number += 1
        yield Place(number, scope, node)
        inner = scope
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            inner = f"{scope}.{node.name}" if scope else node.name
        for field, value in ast.iter_fields(node):
            if _skipped(node, field):
                continue
            for child in value if isinstance(value, list) else [value]:
                if not isinstance(child, ast.AST) or _is_docstring(child):
                    continue
                yield from walk(child, inner)

    yield from walk(tree, "")


def _is_docstring(node: ast.AST) -> bool:
    match node:
        case ast.Expr(value=ast.Constant(value=str() | EllipsisType())):
            return True
    return False


EllipsisType = type(...)


class _Put(ast.NodeTransformer):
    """Puts another node, or none, in the place of one."""

    def __init__(self, old: ast.AST, new: ast.AST | None) -> None:
        self.old, self.new = old, new

    def visit(self, node: ast.AST) -> ast.AST | None:
        return self.new if node is self.old else self.generic_visit(node)


def _true(value: bool) -> ast.Constant:
    return ast.Constant(value)


def _compare(node: ast.Compare) -> Iterator[ast.expr]:
    for place, op in enumerate(node.ops):
        for other in COMPARED[type(op)]:
            ops = [*node.ops[:place], other(), *node.ops[place + 1 :]]
            yield ast.Compare(node.left, ops, node.comparators)


def _text(text: str) -> Iterator[str]:
    """Each figure in a text with another last digit; a text without one is another text."""
    figures = list(re.finditer(r"\d+(?:\.\d+)?", text))
    for found in figures:
        end = found.end() - 1
        yield f"{text[:end]}{(int(text[end]) + 1) % 10}{text[end + 1 :]}"
    if not figures:
        yield "other" if text else "something"
    elif "; " in text:  # a table, one row after each semicolon
        rows = text.split("; ")
        for row in range(len(rows)):
            yield "; ".join(rows[:row] + rows[row + 1 :])


def _constant(node: ast.Constant) -> Iterator[ast.expr]:
    value = node.value
    if isinstance(value, bool):
        yield ast.Constant(not value)
    elif isinstance(value, int):
        yield ast.Constant(value + 1)
    elif isinstance(value, str):
        for other in _text(value):
            yield ast.Constant(other)


def _listed(node: ast.Tuple | ast.List | ast.Set) -> Iterator[ast.expr]:
    """A table without one of its rows. Not a pair of figures that a function returns."""
    plain = (ast.Constant, ast.Starred, ast.Call, ast.Tuple, ast.Name)
    if not isinstance(node, ast.Set) and not isinstance(node.ctx, ast.Load):
        return
    table = len(node.elts) > 2 or all(
        isinstance(e, ast.Constant | ast.Starred | ast.Tuple) for e in node.elts
    )
    if not table or not all(isinstance(e, plain) for e in node.elts):
        return
    for place in range(len(node.elts)):
        rest = node.elts[:place] + node.elts[place + 1 :]
        yield (
            ast.Call(ast.Name("set"), [], [])
            if isinstance(node, ast.Set) and not rest
            else (ast.Set(rest) if isinstance(node, ast.Set) else type(node)(rest, ast.Load()))
        )


def _call(node: ast.Call) -> Iterator[ast.expr]:
    match node:
        case ast.Call(func=ast.Name(id=name), args=[only], keywords=[]) if name in ONLY_WRAPS:
            yield only
    for place, keyword in enumerate(node.keywords):
        if keyword.arg in {"slots", "key", "encoding", "cache_folder"}:
            continue
        yield ast.Call(node.func, node.args, node.keywords[:place] + node.keywords[place + 1 :])


def _instead(node: ast.AST) -> Iterator[ast.AST | None]:
    """What may stand in the place of a node; None leaves it out."""
    match node:
        case ast.Compare():
            yield from _compare(node)
        case ast.BinOp(left, op, right) if type(op) in WORKED:
            yield ast.BinOp(left, WORKED[type(op)](), right)
        case ast.BoolOp(op, values):
            yield ast.BoolOp(ast.Or() if isinstance(op, ast.And) else ast.And(), values)
            for place in range(len(values)):
                rest = values[:place] + values[place + 1 :]
                yield rest[0] if len(rest) == 1 else ast.BoolOp(op, rest)
        case ast.UnaryOp(ast.Not() | ast.USub(), operand):
            yield operand
        case ast.Constant():
            yield from _constant(node)
        case ast.Name(id, ctx) if id in SWAPPED and isinstance(ctx, ast.Load):
            yield ast.Name(SWAPPED[id], ctx)
        case ast.Attribute(value, attr, ctx):
            if attr in SWAPPED:
                yield ast.Attribute(value, SWAPPED[attr], ctx)
            elif attr.endswith("grams"):
                yield ast.Attribute(value, attr.replace("grams", "millilitres"), ctx)
            elif attr.endswith("millilitres"):
                yield ast.Attribute(value, attr.replace("millilitres", "grams"), ctx)
        case ast.Tuple() | ast.List() | ast.Set():
            yield from _listed(node)
        case ast.Dict(keys, values):
            for place in range(len(keys)):
                yield ast.Dict(
                    keys[:place] + keys[place + 1 :], values[:place] + values[place + 1 :]
                )
        case ast.Call():
            yield from _call(node)
        case ast.IfExp(_, body, orelse):
            yield body
            yield orelse
        case ast.comprehension(target, it, ifs, is_async) if ifs:
            for place in range(len(ifs)):
                yield ast.comprehension(target, it, ifs[:place] + ifs[place + 1 :], is_async)
        case ast.AugAssign(target, op, value) if type(op) in WORKED:
            yield ast.AugAssign(target, WORKED[type(op)](), value)
            yield ast.Pass()
        case ast.If(_, body, orelse):
            yield ast.If(_true(True), body, orelse)
            yield ast.If(_true(False), body, orelse)
        case ast.Return(value) if value is not None and not _is_none(value):
            yield ast.Return(ast.Constant(None))
        case ast.Expr() | ast.Raise() | ast.Continue():
            yield ast.Pass()
        case ast.ExceptHandler(type=caught, name=name):
            yield ast.ExceptHandler(caught, name, [ast.Raise()])
        case ast.match_case(pattern, _, body) if not isinstance(pattern, ast.MatchAs):
            yield ast.match_case(pattern, _true(False), body)


def _is_none(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and node.value is None


def _settings_again(tree: ast.Module) -> Iterator[tuple[str, ast.Assign]]:
    """In a function, a name that is given its value a second time: the later lines may go."""
    for function in ast.walk(tree):
        if not isinstance(function, ast.FunctionDef):
            continue
        seen: set[str] = set()
        for node in ast.walk(function):
            targets = node.targets if isinstance(node, ast.Assign) else []
            if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name) and node.value:
                seen.add(node.target.id)
            names = {n.id for t in targets for n in ast.walk(t) if isinstance(n, ast.Name)}
            if names and names <= seen and isinstance(node, ast.Assign):
                yield function.name, node
            seen |= names


def _without(before: ast.AST, after: ast.AST | None) -> str | None:
    """ "without 'sugars'", where a row of a table or a mapping was left out."""
    match before, after:
        case ((ast.Tuple() | ast.List() | ast.Set()), (ast.Tuple() | ast.List() | ast.Set())):
            rows, rest = before.elts, after.elts
        case ast.Dict(), ast.Dict():
            rows, rest = [k for k in before.keys if k], [k for k in after.keys if k]
        case _:
            return None
    gone = [row for row in rows if not any(row is each for each in rest)]
    return f"{_shown(before)} without {_shown(gone[0])}" if gone else None


def _title(before: ast.AST, after: ast.AST | None) -> str:
    if (without := _without(before, after)) is not None:
        return without
    match before, after:
        case ast.If(), ast.If():
            return f"if {_shown(before.test)} => if {_shown(after.test)}"
        case ast.ExceptHandler(), _:
            return "except => raise again"
        case ast.match_case(), _:
            return f"case {_shown(before.pattern)} => never"
        case _:
            return f"{_shown(before)} => {_shown(after)}"


def _edit(number: int, choice: int) -> Callable[[ast.Module], ast.Module]:
    def change(tree: ast.Module) -> ast.Module:
        node = next(p.node for p in _places(tree) if p.number == number)
        new = list(_instead(node))[choice]
        return ast.fix_missing_locations(_Put(node, new).visit(tree))

    return change


def _unset(place: int) -> Callable[[ast.Module], ast.Module]:
    def change(tree: ast.Module) -> ast.Module:
        node = [n for _, n in _settings_again(tree)][place]
        return ast.fix_missing_locations(_Put(node, ast.Pass()).visit(tree))

    return change


def _named(file: str, scope: str, title: str, seen: dict[str, int]) -> str:
    name = f"{file} {scope or 'module'}: {title}"
    seen[name] = seen.get(name, 0) + 1
    return name if seen[name] == 1 else f"{name} #{seen[name]}"


def _decorators(file: str, tree: ast.Module, seen: dict[str, int]) -> Iterator[Mutant]:
    for place, node in enumerate(ast.walk(tree)):
        for at, decorator in enumerate(getattr(node, "decorator_list", ())):
            if not isinstance(decorator, ast.Name) or decorator.id == "cache":
                continue

            def change(fresh: ast.Module, place: int = place, at: int = at) -> ast.Module:
                del list(ast.walk(fresh))[place].decorator_list[at]  # type: ignore[attr-defined]
                return fresh

            title = f"@{decorator.id} => nothing"
            yield Mutant(_named(file, node.name, title, seen), change)  # type: ignore[attr-defined]


def mutants(file: str, source: str) -> list[Mutant]:
    """Every mutant of a module, always in the same order. file: as it stands in the names."""
    tree = ast.parse(source)
    seen: dict[str, int] = {}
    found = []
    for place in _places(tree):
        for choice, new in enumerate(_instead(place.node)):
            name = _named(file, place.scope, _title(place.node, new), seen)
            found.append(Mutant(name, _edit(place.number, choice)))
    for number, (function, node) in enumerate(_settings_again(tree)):
        found.append(
            Mutant(_named(file, function, f"{_shown(node)} => pass", seen), _unset(number))
        )
    found.extend(_decorators(file, tree, seen))
    return found
