"""The house in numbers: how long, how branched and how explained the code of `pricing/` is.

    python tests/house.py             one line a measure: today, at most, aim
    python tests/house.py --names     and below it the functions, names and circles that are counted

What is counted, and how:

- lines: every line of `pricing/**/*.py` and of the JavaScript that is written by hand (what
  `to_js.py` makes is left out).
- long functions: from `def` to the last line, docstring and comments included, over 60.
- complexity: ways through a function after McCabe (1976): 1, and 1 for each `if`, loop, `except`
  and `case`; the same count as ruff's C901. Over 15.
- decisions: the same and 1 more for each `and`, `or`, `a if b else c`, and each `for` and `if` of a
  comprehension, since these must be thought through too. Over 15.
- arguments: all of a function, keyword ones and `*rest` included. Over 8.
- comments: lines that hold nothing but a comment, of all lines of Python (tools' own marks left
  out).
- names twice: class names and file names (`__init__` left out) that stand for two things or more.
- circles: groups of modules that reach each other by imports, those for types and those inside
  functions included.
- late imports: import statements inside functions.
- dead names: what stands at a module's top and nothing in the package, its pages or the tests reads.
- private names: `module._name` read, or imported, from another module of ours.
"""

from __future__ import annotations

import ast
import io
import re
import sys
import tokenize
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from to_js import SCRIPTS

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "pricing"
LONGEST, MOST_WAYS, MOST_ARGUMENTS = 60, 15, 8

COMMENTS = "comment lines, %"  # the one measure that must not fall


def held() -> dict[str, tuple[float, float]]:
    """(held to, aim) by measure: the table of the contributor guide."""
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = guide.split("| measure | held to | aim |", 1)[1].split("\n\n", 1)[0]
    rows = [[cell.strip() for cell in row.split("|")[1:-1]] for row in table.splitlines()[2:]]
    return {name: (float(bound), float(aim)) for name, bound, aim in rows}


@dataclass(frozen=True)
class Function:
    """One function with its place and its three sizes."""

    place: str
    lines: int
    ways: int
    decisions: int
    arguments: int


def functions_of(tree: ast.Module, place: str) -> list[Function]:
    """All functions of a module, methods and inner ones too (an inner one counts in the outer)."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            ways, decisions = counted(node)
            given = node.args
            arguments = len(given.posonlyargs) + len(given.args) + len(given.kwonlyargs)
            arguments += bool(given.vararg) + bool(given.kwarg)
            lines = node.end_lineno - node.lineno + 1
            found.append(Function(f"{place}:{node.name}", lines, ways, decisions, arguments))
    return found


def counted(function: ast.AST) -> tuple[int, int]:
    """(complexity, decisions) of a function.

    >>> tree = ast.parse("def f(a, b):\\n    if a and b:\\n        return [c for c in a if c]")
    >>> counted(tree.body[0])
    (2, 5)
    """
    ways = more = 0
    for node in ast.walk(function):
        ways += isinstance(
            node, ast.If | ast.For | ast.AsyncFor | ast.While | ast.ExceptHandler | ast.match_case
        )
        more += isinstance(node, ast.IfExp)
        if isinstance(node, ast.BoolOp):
            more += len(node.values) - 1
        if isinstance(node, ast.comprehension):
            more += 1 + len(node.ifs)
    return 1 + ways, 1 + ways + more


def own_comments(text: str) -> int:
    """Lines that hold a comment and nothing else, marks for tools left out.

    >>> own_comments("# why\\nx = 1  # beside\\n#!/bin/sh\\n")
    1
    """
    if not re.search(r"^\s*#", text, re.MULTILINE):
        return 0  # most modules have none, and taking a text apart is slow
    found = tokenize.generate_tokens(io.StringIO(text).readline)
    return sum(
        token.type == tokenize.COMMENT
        and token.line.strip() == token.string
        and not token.string.startswith(("#!", "# noqa", "# type:", "# fmt:"))
        for token in found
    )


def dotted(path: Path) -> str:
    """The name that a file is imported by."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imported(tree: ast.Module, known: set[str]) -> set[str]:
    """Our own modules that a module imports anywhere in it."""
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module:
            for name in node.names:
                whole = f"{node.module}.{name.name}"
                found.add(whole if whole in known else node.module)
        elif isinstance(node, ast.Import):
            found |= {name.name for name in node.names}
    return found & known


def circles(reach: dict[str, set[str]]) -> list[list[str]]:
    """Groups of two modules or more that reach each other, largest first.

    >>> circles({"a": {"b"}, "b": {"a"}, "c": {"a"}})
    [['a', 'b']]
    """
    all_of = {name: _reached(name, reach) for name in reach}
    groups = {
        tuple(sorted(other for other in all_of[name] if name in all_of[other]))
        for name in reach
        if name in all_of[name]
    }
    return sorted((list(group) for group in groups), key=len, reverse=True)


def _reached(name: str, reach: dict[str, set[str]]) -> set[str]:
    found: set[str] = set()
    open_ = list(reach[name])
    while open_:
        other = open_.pop()
        if other not in found:
            found.add(other)
            open_ += reach[other]
    return found


def late_imports(tree: ast.Module) -> int:
    """Import statements inside functions."""
    inside = {
        id(node)
        for function in ast.walk(tree)
        if isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef)
        for node in ast.walk(function)
        if isinstance(node, ast.Import | ast.ImportFrom)
    }
    return len(inside)


def private_reads(tree: ast.Module) -> list[str]:
    """Private names of other modules of ours that a module reads."""
    modules, found = set(), []
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("pricing"):
            for name in node.names:
                modules.add(name.asname or name.name)
                if name.name.startswith("_") and not name.name.startswith("__"):
                    found.append(name.name)
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Attribute)
            and node.attr.startswith("_")
            and not node.attr.startswith("__")
            and isinstance(node.value, ast.Name)
            and node.value.id in modules
        ):
            found.append(f"{node.value.id}.{node.attr}")
    return found


def dead_names(trees: Mapping[Path, ast.Module], elsewhere: str) -> list[str]:
    """Names that stand at a module's top and that nothing reads: no code of the package, and no
    text of the pages and tests.

    >>> dead_names({Path("a.py"): ast.parse("def f(): pass\\nG = 1\\nprint(G)")}, "")
    ['f']
    """
    read: set[str] = set(re.findall(r"\w+", elsewhere))
    made: list[str] = []
    for tree in trees.values():
        for node in ast.walk(tree):
            if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load):
                read.add(node.id)
            elif isinstance(node, ast.Attribute):
                read.add(node.attr)
            elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                read.add(node.value)
        for node in tree.body:
            if isinstance(node, ast.FunctionDef | ast.ClassDef):
                made.append(node.name)
            elif isinstance(node, ast.Assign):
                made += [one.id for one in node.targets if isinstance(one, ast.Name)]
    return sorted(name for name in made if name not in read and not name.startswith("__"))


def twice(names: list[str]) -> list[str]:
    """Names that come more than once, with how often."""
    return [f"{name} x{n}" for name, n in sorted(Counter(names).items()) if n > 1]


@cache
def house() -> tuple[dict[str, float], dict[str, list[str]]]:
    """The measures by name, and by the same name what was counted, where that can be listed."""
    paths = sorted(PACKAGE.rglob("*.py"))
    texts = {path: path.read_text(encoding="utf-8") for path in paths}
    trees = {path: ast.parse(text) for path, text in texts.items()}
    known = {dotted(path) for path in paths}
    made = {name for name, _, _ in SCRIPTS}
    by_hand = [
        path.read_text(encoding="utf-8") for path in PACKAGE.rglob("*.js") if path.name not in made
    ]
    functions = [
        function
        for path, tree in trees.items()
        for function in functions_of(tree, str(path.relative_to(PACKAGE)))
    ]
    classes = [
        node.name
        for tree in trees.values()
        for node in ast.walk(tree)
        if isinstance(node, ast.ClassDef)
    ]
    private = {
        f"{path.relative_to(PACKAGE)}: {name}": 1
        for path, tree in trees.items()
        for name in private_reads(tree)
    }
    elsewhere = "".join(
        path.read_text(encoding="utf-8")
        for folder, ending in ((PACKAGE, "*.html"), (PACKAGE, "*.js"), (ROOT / "tests", "*.py"))
        for path in folder.rglob(ending)
    )
    rings = circles({dotted(path): imported(tree, known) for path, tree in trees.items()})
    python = sum(len(text.splitlines()) for text in texts.values())
    listed = {
        "functions over 60 lines": _over(functions, "lines", LONGEST),
        "complexity over 15": _over(functions, "ways", MOST_WAYS),
        "decisions over 15": _over(functions, "decisions", MOST_WAYS),
        "arguments over 8": _over(functions, "arguments", MOST_ARGUMENTS),
        "class names twice": twice(classes),
        "file names twice": twice([path.stem for path in paths if path.stem != "__init__"]),
        "import circles": [" - ".join(ring) for ring in rings],
        "private names read": sorted(private),
        "dead names": dead_names(trees, elsewhere),
    }
    measures: dict[str, float] = {
        "lines of Python": python,
        "lines of JS by hand": sum(len(text.splitlines()) for text in by_hand),
        **{name: len(found) for name, found in listed.items()},
        "late imports": sum(late_imports(tree) for tree in trees.values()),
        COMMENTS: 100 * sum(own_comments(text) for text in texts.values()) / python,
    }
    return measures, listed


def _over(functions: list[Function], what: str, most: int) -> list[str]:
    found = [(getattr(f, what), f.place) for f in functions if getattr(f, what) > most]
    return [f"{n} {place}" for n, place in sorted(found, reverse=True)]


def main(*told: str) -> None:
    measures, listed = house()
    bounds = held()
    print(f"{'':26}{'today':>10}{'held to':>10}{'aim':>10}")
    for name, value in measures.items():
        bound, aim = bounds[name]
        print(f"{name:26}{value:10,.5g}{bound:10,.5g}{aim:10,.5g}")
    if "--names" in told:
        for name, found in listed.items():
            print(f"\n{name}", *found, sep="\n  ")


if __name__ == "__main__":
    main(*sys.argv[1:])
