"""Every worked example in a docstring is run, and every public function says what it does."""

from __future__ import annotations

import ast
import doctest
import importlib
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "pricing"
MODULES = [path for path in sorted(PACKAGE.rglob("*.py")) if path.name != "__main__.py"]


def name_of(path: Path) -> str:
    parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@pytest.mark.parametrize(
    "path", [p for p in MODULES if ">>>" in p.read_text(encoding="utf-8")], ids=name_of
)
def test_worked_examples_are_true(path: Path) -> None:
    result = doctest.testmod(
        importlib.import_module(name_of(path)), optionflags=doctest.NORMALIZE_WHITESPACE
    )

    assert result.attempted > 0
    assert result.failed == 0


@pytest.mark.parametrize(
    "path", [p for p in MODULES if p.read_text(encoding="utf-8").strip()], ids=name_of
)
def test_modules_and_public_functions_say_what_they_are(path: Path) -> None:
    """A module docstring always; one for each public function and class of more than a few
    lines."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    silent = [
        node.name
        for node in tree.body
        if isinstance(node, ast.FunctionDef | ast.ClassDef)
        and not node.name.startswith("_")
        and ast.get_docstring(node) is None
        and node.end_lineno - node.lineno > 4
    ]

    assert ast.get_docstring(tree), "no module docstring"
    assert not silent, f"no docstring: {silent}"
