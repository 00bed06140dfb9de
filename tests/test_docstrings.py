"""Public functions of arrays say what shape they take and give, and in which unit."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

GLAZE = Path(__file__).resolve().parents[1] / "glaze"
ARRAYS = re.compile(
    r"\b(NDArray|ArrayLike|ndarray|Array|Field|Mask|Linear|Image|Shares|Labels|Counts|Places"
    r"|Outline|Areas)\b"
)
"""Annotations that mean an array; the later ones are the rooms' own short names for some."""
SHAPE = re.compile(
    r"shapes? \(|shape of|same shape|alike in shape|broadcast|any shape|`shape`|\(rows, columns",
    re.I,
)
UNIT = re.compile(
    r"\[(?!IEC|CIE 1|ASTM)[^\]]+\]|uint8|uint16|65535|65536|255|True|index|indices|number of|share"
)
"""A unit in brackets, [-] for pure numbers; or what whole numbers and flags stand for."""


def functions_of_arrays() -> dict[str, str]:
    """Docstrings of public functions and methods with an array among what they take or give."""
    found = {}
    for path in sorted(GLAZE.rglob("*.py")):
        module = ast.parse(path.read_text(encoding="utf-8"))
        owners = [module, *(n for n in module.body if isinstance(n, ast.ClassDef))]
        for owner in owners:
            name = getattr(owner, "name", "")
            for node in owner.body:
                if _is_public(node) and not name.startswith("_") and _takes_arrays(node):
                    place = path.relative_to(GLAZE).with_suffix("").as_posix()
                    dotted = f"{place}:{name}.{node.name}" if name else f"{place}:{node.name}"
                    found[dotted] = _said(node, owner)
    return found


def _is_public(node: ast.AST) -> bool:
    return isinstance(node, ast.FunctionDef) and not node.name.startswith("_")


def _takes_arrays(node: ast.FunctionDef) -> bool:
    arguments = [*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs]
    notes = [argument.annotation for argument in arguments] + [node.returns]
    return any(note is not None and ARRAYS.search(ast.unparse(note)) for note in notes)


def _said(node: ast.FunctionDef, owner: ast.AST) -> str:
    """A function's docstring; a method may leave it to its class."""
    own = ast.get_docstring(node) or ""
    return own + (ast.get_docstring(owner) or "" if isinstance(owner, ast.ClassDef) else "")


FOUND = functions_of_arrays()


def test_there_are_many_of_them():
    assert len(FOUND) > 150


@pytest.mark.parametrize("name", FOUND)
def test_a_function_of_arrays_says_shape_and_unit(name):
    assert SHAPE.search(FOUND[name]), "says no shape"
    assert UNIT.search(FOUND[name]), "says no unit"
