"""The house: the top level, the direction of imports, the size of rooms, no clock and no file where
there should be none."""

from __future__ import annotations

import ast
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "pricing"
LAYERS = (
    "words",
    "wording",
    "formulas",
    "basis",
    "ingest",
    "record",
    "model",
    "advice",
    "quarter",
    "proof",
    "pages",
    "pipeline",
    "api",
    "cli",
    "web",
)
# api, regressor, shop and the two doors stand side by side on top
RANK = {name: rank for rank, name in enumerate(LAYERS)} | {
    "regressor": LAYERS.index("api"),
    "shop": LAYERS.index("api"),
    "web": LAYERS.index("cli"),
    "__main__": 99,
    "__init__": 98,
}
MODULES = sorted(PACKAGE.rglob("*.py"))


def layer_of(dotted: str) -> str:
    """`pricing.model.price.price` -> `model`."""
    parts = dotted.split(".")
    return parts[1] if len(parts) > 1 else "__init__"


def imports_of(path: Path) -> list[str]:
    """Names of our own modules that a file imports anywhere in it, type-checking imports
    left out."""
    found = []

    def visit(node: ast.AST) -> None:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.If) and "TYPE_CHECKING" in ast.unparse(child.test):
                continue
            if (
                isinstance(child, ast.ImportFrom)
                and child.module
                and child.module.split(".")[0] == "pricing"
            ):
                if child.module == "pricing":
                    found.extend(f"pricing.{name.name}" for name in child.names)
                else:
                    found.append(child.module)
            elif isinstance(child, ast.Import):
                found.extend(
                    name.name for name in child.names if name.name.split(".")[0] == "pricing"
                )
            visit(child)

    visit(ast.parse(path.read_text(encoding="utf-8")))
    return found


def test_there_are_modules_in_every_layer() -> None:
    """The test below would pass on an empty house; this one would not."""
    assert {
        path.relative_to(PACKAGE).parts[0]
        for path in MODULES
        if len(path.relative_to(PACKAGE).parts) > 1
    } >= set(LAYERS) - {"api"}


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_imports_point_one_way(path: Path) -> None:
    """A module imports only from its own layer or those above it in the list of
    `pricing/__init__.py`."""
    parts = path.relative_to(PACKAGE).parts
    own = RANK[parts[0] if len(parts) > 1 else path.stem]
    wrong = [name for name in imports_of(path) if RANK[layer_of(name)] > own]

    assert not wrong, f"{path.name} imports from a lower layer: {wrong}"


def test_the_package_docstring_lists_the_layers_in_order() -> None:
    """The map that people read is the map that the test uses."""
    text = ast.get_docstring(ast.parse((PACKAGE / "__init__.py").read_text(encoding="utf-8"))) or ""
    named = [
        line.split()[0].rstrip(",")
        for line in text.splitlines()
        if line[:1].isalpha() and "  " in line
    ]

    assert named == [
        "words",
        "wording",
        "basis",
        "ingest",
        "record",
        "model",
        "advice",
        "quarter",
        "proof",
        "pages",
        "pipeline",
        "cli",
    ]


def test_top_level_is_as_the_contributor_guide_says() -> None:
    """README, the guide, changes, licence, the project file and five folders; dot files may stand
    beside them."""
    listed = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False
    ).stdout.split()
    if not listed:
        pytest.skip("not a git checkout")
    top = {name.split("/")[0] for name in listed if not name.startswith(".")}

    assert top == {
        "README.md",
        "DEVELOPERS.md",
        "CHANGELOG.md",
        "LICENSE",
        "pyproject.toml",
        "pricing",
        "data",
        "models",
        "tests",
        "reports",
        "docs",
    }


@pytest.mark.parametrize(
    "path",
    [p for p in MODULES if p.relative_to(PACKAGE).parts[0] not in ("cli", "web", "shop.py")],
    ids=lambda p: str(p.relative_to(PACKAGE)),
)
def test_no_clock_below_the_doors(path: Path) -> None:
    """`as_of` and `seed` are arguments: nothing under the doors (cli, web, shop) reads today's date
    or the time of day."""
    calls = {
        ast.unparse(node.func)
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call)
    }

    assert not calls & {
        "date.today",
        "datetime.now",
        "datetime.utcnow",
        "time.time",
        "datetime.date.today",
        "datetime.datetime.now",
    }


@pytest.mark.parametrize(
    "path", [p for p in MODULES if p.name != "charts.py"], ids=lambda p: str(p.relative_to(PACKAGE))
)
def test_only_charts_draws(path: Path) -> None:
    """matplotlib is imported in one module."""
    names = {
        name.name
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Import)
        for name in node.names
    }
    names |= {
        node.module or ""
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.ImportFrom)
    }

    assert not any(name.split(".")[0] == "matplotlib" for name in names)


def test_modules_are_seldom_long() -> None:
    """One noun or one step a module: at most one in five is over 300 lines, none over 710. These
    ceilings were 1/8 and 600 at 180 columns; at 100 they only ever fall."""
    lengths = {
        str(path.relative_to(PACKAGE)): len(path.read_text(encoding="utf-8").splitlines())
        for path in MODULES
    }
    long = {name: n for name, n in lengths.items() if n > 300}

    assert max(lengths.values()) <= 710, long
    assert len(long) <= len(lengths) / 5, long
