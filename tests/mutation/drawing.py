"""Changes drawn by chance: one token of the code at a time, evenly from all packages of glaze."""

from __future__ import annotations

import ast
import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from tests.mutation.running import ROOT, Mutation, mutations_of, packages

TURNED = {
    ast.Lt: (" < ", " > "), ast.Gt: (" > ", " < "), ast.LtE: (" <= ", " >= "),
    ast.GtE: (" >= ", " <= "), ast.Eq: (" == ", " != "), ast.NotEq: (" != ", " == "),
    ast.In: (" in ", " not in "), ast.NotIn: (" not in ", " in "),
    ast.Is: (" is ", " is not "), ast.IsNot: (" is not ", " is "),
    ast.Add: (" + ", " - "), ast.Sub: (" - ", " + "), ast.Mult: (" * ", " / "),
    ast.Div: (" / ", " * "), ast.Pow: ("**", "*"), ast.FloorDiv: (" // ", " * "),
    ast.And: (" and ", " or "), ast.Or: (" or ", " and "),
}  # fmt: skip
TEST_ROOMS = (
    *("physics", "published", "materials", "picture", "sketch", "sheet", "region", "patch", "step"),
    *("scene", "painting", "planning", "charts", "calibrate", "cli"),
)
"""Folders with tests that want neither a window nor minutes, the quickest first."""
MOST_FILES = 6
"""Of tests that are tried on one change."""


@dataclass(frozen=True)
class Site:
    """A token that can be changed: where it stands in the text, and into what."""

    kind: str
    start: int
    end: int
    new: str


def drawn(seed: int, count: int, root: Path = ROOT) -> list[Mutation]:
    """So many changes, as many of each package as of any other, the same for the same seed."""
    chance = random.Random(seed)
    places = {name: _places(root, files) for name, files in _files(root).items()}
    found: dict[tuple[str, int, int], Mutation] = {}
    while len(found) < count:
        for package in sorted(places):
            kinds = sorted({site.kind for _, site in places[package]})
            kind = chance.choice(kinds)
            file, site = chance.choice([one for one in places[package] if one[1].kind == kind])
            change = _change(package, file, root, site)
            if change is not None and len(found) < count:
                found.setdefault((change.file, site.start, site.end), change)
    return list(found.values())


def _files(root: Path) -> dict[str, list[Path]]:
    """The modules of every package of glaze; those at its top count as one."""
    found: dict[str, list[Path]] = {}
    for file in sorted((root / "glaze").rglob("*.py")):
        parts = file.relative_to(root / "glaze").parts
        # scripts that made the tables aren't the program
        if file.name != "__init__.py" and not file.name.startswith("make_"):
            found.setdefault(parts[0] if len(parts) > 1 else "pipeline", []).append(file)
    return found


def _places(root: Path, files: list[Path]) -> list[tuple[Path, Site]]:
    return [(file, site) for file in files for site in sites(file.read_text(encoding="utf-8"))]


@cache
def sites(text: str) -> list[Site]:
    """Every token of a module's code that can be changed."""
    tree = ast.parse(text)
    lines = [0]
    for line in text.splitlines(keepends=True):
        lines.append(lines[-1] + len(line.encode()))
    whole = text.encode()

    def at(node: ast.AST) -> tuple[int, int]:
        start, end = (
            lines[getattr(node, row) - 1] + getattr(node, column)
            for row, column in (("lineno", "col_offset"), ("end_lineno", "end_col_offset"))
        )
        return len(whole[:start].decode()), len(whole[:end].decode())

    found = []
    for node, of in _code(tree, None):
        for kind, start, end, old, new in _changes(node, of, at):
            piece = text[start:end]
            if not old:
                found.append(Site(kind, start, end, new))
            elif piece.count(old) == 1:
                begin = start + piece.index(old)
                found.append(Site(kind, begin, begin + len(old), new))
    return found


def _code(node: ast.AST, of: ast.AST | None) -> Iterator[tuple[ast.AST, ast.AST | None]]:
    """Every node that is run, with the function it belongs to."""
    if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
        of = node
    yield node, of
    index = isinstance(node, ast.Subscript) and _whole(node.slice)
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "decorator_list") or (index and name == "slice"):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST) and not isinstance(child, ast.Raise | ast.JoinedStr):
                yield from _code(child, of)


def _changes(
    node: ast.AST, of: ast.AST | None, at: Callable[[ast.AST], tuple[int, int]]
) -> Iterator[tuple[str, int, int, str, str]]:
    """What can be changed in one node: kind, the stretch it lies in, what there, into what."""
    if isinstance(node, ast.Compare) and len(node.ops) == 1:
        old, new = TURNED[type(node.ops[0])]
        yield "comparison", at(node.left)[1], at(node.comparators[0])[0], old, new
    elif isinstance(node, ast.BinOp) and type(node.op) in TURNED:
        old, new = TURNED[type(node.op)]
        yield "arithmetic", at(node.left)[1], at(node.right)[0], old, new
    elif isinstance(node, ast.BoolOp):
        old, new = TURNED[type(node.op)]
        yield "logic", at(node.values[0])[1], at(node.values[1])[0], old, new
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield "not", at(node)[0], at(node.operand)[0], "not ", ""
    elif isinstance(node, ast.Subscript) and _whole(node.slice):
        start, end = at(node.slice)
        yield "index", start, end, "", str(ast.literal_eval(node.slice) + 1)
    elif isinstance(node, ast.Constant) and type(node.value) in (int, float):
        start, end = at(node)
        new = str(node.value + 1) if isinstance(node.value, int) else repr(node.value * 1.1 or 0.1)
        yield "constant", start, end, "", new
    elif isinstance(node, ast.Return) and isinstance(of, ast.FunctionDef):
        names = [arg.arg for arg in of.args.args if arg.arg not in ("self", "cls")]
        if names and isinstance(node.value, ast.Call | ast.BinOp):
            start, end = at(node.value)
            yield "return", start, end, "", names[0]


def _whole(node: ast.expr) -> bool:
    """Whether it is a whole number written out, also with a minus."""
    inner = (
        node.operand if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub) else node
    )
    return isinstance(inner, ast.Constant) and type(inner.value) is int


def _change(package: str, file: Path, root: Path, site: Site) -> Mutation | None:
    """The change of a token, with as many lines after it as make it the only such place."""
    text = file.read_text(encoding="utf-8")
    begin = text.rfind("\n", 0, site.start) + 1
    end = text.find("\n", site.end)
    while end != -1 and text.count(text[begin:end]) > 1:
        end = text.find("\n", end + 1)
    old = text[begin : end if end != -1 else None]
    new = text[begin : site.start] + site.new + text[site.end : begin + len(old)]
    if text.count(old) != 1 or old == new:
        return None
    name = file.relative_to(root).as_posix()
    return Mutation(package, name, old, new, held_by(name, root), ())


def held_by(file: str, root: Path = ROOT) -> tuple[str, ...]:
    """Tests of a module: those its list names, then files of tests that name it, then its room's.

    Of a room's files those come first whose names have most words in common with the module's.
    """
    listed = [test for name in packages() for change in mutations_of(name) if change.file == file
              for test in change.tests]  # fmt: skip
    module = file.removesuffix(".py").replace("/", ".")
    words = set(Path(file).stem.split("_"))
    rooms = [room for room in TEST_ROOMS if room in Path(file).parts] or ["cli"]
    near = [test for room in rooms for test in (root / "tests" / room).rglob("test_*.py")]
    near.sort(key=lambda test: (-len(words & set(test.stem.split("_"))), test.stat().st_size))
    every = [
        test for room in TEST_ROOMS for test in sorted((root / "tests" / room).rglob("test_*.py"))
    ]
    every += sorted((root / "tests").glob("test_*.py"))
    naming = [test for test in every if _names(test.read_text(encoding="utf-8"), module)]
    files = [test.relative_to(root).as_posix() for test in (*naming, *near)]
    whole = list(dict.fromkeys(files))[:MOST_FILES]
    single = [test for test in dict.fromkeys(listed) if test.partition("::")[0] not in whole]
    return (*single, *whole)


def _names(text: str, module: str) -> bool:
    """Whether a file of tests takes something out of a module."""
    room, _, name = module.rpartition(".")
    return f"{module} " in text or f"from {room} import {name}" in text
