"""Small changes of the code, one at a time, and whether a test notices: what the tests are worth.

    python tests/small_changes.py map               which test reaches which line (minutes, once)
    python tests/small_changes.py 200 --seed 1      so many changes by chance; the share noticed

A change is one of: a comparison the other way or its edge, + and -, * and /, `and` and `or`, a
`not` or a condition turned round, a number a quarter larger (a whole one by 1). They are made in a
copy of the tracked files, never here. First the quickest tests that reach the line are run, then,
where none of them notices, the golden answers and the others that reach it, first one of each file
(of a line that is run as a module is loaded, or for a fixture alone: those that reach the module),
as many as take `--most` seconds. Seconds are those of a processor, so that a busy machine judges as
an idle one does. A test counts that passes without the change. Lines that no test reaches count as
not noticed, and so does a change whose time is up. Sentences, types and what stands at `__all__`
are left alone.

The method: DeMillo, Lipton and Sayward (1978), Hints on test data selection, Computer 11(4).
"""

from __future__ import annotations

import argparse
import ast
import json
import os
import random
import re
import resource
import shutil
import subprocess
import sys
import tempfile
from collections import defaultdict
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from queue import Queue
from typing import Any

import pytest

ROOT = Path(__file__).parents[1]
FOLDERS = ("model", "advice", "ingest", "words", "record")
KEPT = Path(tempfile.gettempdir()) / "pricing-small-changes"
MAP, TIMES = KEPT / "coverage", KEPT / "times.json"
QUICK_TESTS, QUICK_SECONDS = 25, 8.0
LOOP = 120.0  # seconds of a processor after which tests that take a few are in a loop
# Its tests reach nearly everything: asked last, and only where the others are silent.
GOLDEN = "tests/test_golden.py"
# Any change at all fails it, right or wrong: the scripts of the phone are made from the Python.
MADE_ANEW = "tests/test_wording.py::test_the_script_is_made_of_the_modules"
OTHER_WAY = {
    ast.Lt: "<=", ast.LtE: "<", ast.Gt: ">=", ast.GtE: ">", ast.Eq: "!=", ast.NotEq: "==",
    ast.Is: "is not", ast.IsNot: "is", ast.In: "not in", ast.NotIn: "in",
    ast.Add: "-", ast.Sub: "+", ast.Mult: "/", ast.Div: "*", ast.Pow: "*", ast.Mod: "*",
    ast.FloorDiv: "*", ast.And: "or", ast.Or: "and", ast.BitAnd: "|", ast.BitOr: "&",
}  # fmt: skip
SIGNS = {
    ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">=", ast.Eq: "==", ast.NotEq: "!=",
    ast.Is: "is", ast.IsNot: "is not", ast.In: "in", ast.NotIn: "not in",
    ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.Pow: "**", ast.Mod: "%",
    ast.FloorDiv: "//", ast.And: "and", ast.Or: "or", ast.BitAnd: "&", ast.BitOr: "|",
}  # fmt: skip


@dataclass(frozen=True)
class Change:
    """Text from `start` to `end` (offsets in bytes) of a file becomes `new`."""

    path: str
    line: int
    start: int
    end: int
    old: str
    new: str

    def __str__(self) -> str:
        return f"{self.path}:{self.line}  {self.old} -> {self.new}"


def changes_of(path: str, text: str) -> list[Change]:
    """All small changes of a module, in the order of its text.

    >>> [str(one) for one in changes_of("x.py", "def f(a, b):\\n    return a + 2 < b\\n")]
    ['x.py:2  + -> -', 'x.py:2  2 -> 3', 'x.py:2  < -> <=']
    """
    data = text.encode()
    starts = [0]
    for line in data.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))
    found = [
        Change(path, line, start, end, data[start:end].decode(), new)
        for node in _looked_at(ast.parse(text))
        for line, start, end, new in _spots(node, data, starts)
    ]
    return sorted(set(found), key=lambda one: (one.start, one.end, one.new))


def _looked_at(tree: ast.AST) -> Iterator[ast.AST]:
    """The nodes of code that is run: no annotations, defaults of types or docstrings."""
    for name, value in ast.iter_fields(tree):
        if name in ("annotation", "returns", "type_comment", "type_params"):
            continue
        for node in value if isinstance(value, list) else [value]:
            if isinstance(node, ast.AST):
                yield node
                yield from _looked_at(node)


def _spots(node: ast.AST, data: bytes, starts: list[int]) -> Iterator[tuple[int, int, int, str]]:
    """(line, start, end, new text) of each change that a node offers."""

    def begins(one: Any) -> int:
        return starts[one.lineno - 1] + int(one.col_offset)

    def ends(one: Any) -> int:
        return starts[one.end_lineno - 1] + int(one.end_col_offset)

    pairs: list[tuple[Any, ast.AST, Any]] = []
    if isinstance(node, ast.BinOp):
        pairs = [(node.left, node.op, node.right)]
    elif isinstance(node, ast.Compare):
        sides = [node.left, *node.comparators]
        pairs = [(sides[i], op, sides[i + 1]) for i, op in enumerate(node.ops)]
    elif isinstance(node, ast.BoolOp):
        pairs = [(a, node.op, b) for a, b in zip(node.values, node.values[1:], strict=False)]
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield node.lineno, begins(node), begins(node) + len("not"), ""
    elif isinstance(node, ast.If | ast.IfExp | ast.While):
        test = data[begins(node.test) : ends(node.test)].decode()
        yield node.test.lineno, begins(node.test), ends(node.test), f"(not ({test}))"
    elif isinstance(node, ast.Constant) and type(node.value) in (int, float):
        larger = node.value + 1 if isinstance(node.value, int) else node.value * 1.25 or 0.25
        yield node.lineno, begins(node), ends(node), repr(larger)
    for left, op, right in pairs:
        sign = SIGNS.get(type(op))
        # a sum of texts has no other way
        if sign is None or any(_is_text(side) for side in (left, right) if isinstance(op, ast.Add)):
            continue
        at = data.find(sign.encode(), ends(left), begins(right))
        if at >= 0:
            line = data.count(b"\n", 0, at) + 1
            yield line, at, at + len(sign), OTHER_WAY[type(op)]


def _is_text(node: ast.AST) -> bool:
    return isinstance(node, ast.JoinedStr) or (
        isinstance(node, ast.Constant) and isinstance(node.value, str)
    )


# ---- which test reaches which line


class Reached:
    """A plugin of the test run: lines are noted under the test that runs, with its seconds."""

    def __init__(self, measured: Any) -> None:
        self.measured = measured
        self.times: dict[str, float] = defaultdict(float)

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtest_setup(self, item: pytest.Item) -> None:
        self.measured.switch_context(item.nodeid)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self.times[report.nodeid] += report.duration


def make_map(selected: list[str]) -> None:
    """Run the tests once, one after the other, and keep what each reaches."""
    import coverage

    KEPT.mkdir(exist_ok=True)
    sources = [str(ROOT / "pricing" / folder) for folder in FOLDERS]
    measured = coverage.Coverage(data_file=str(MAP), source=sources, config_file=False)
    plugin = Reached(measured)
    measured.start()
    pytest.main(
        ["-q", "-p", "no:xdist", "-o", "addopts=--strict-markers", "--benchmark-disable",
         "-m", "not slow and not browser", "--deselect", MADE_ANEW, *(selected or ["tests"])],
        plugins=[plugin],
    )  # fmt: skip
    measured.stop()
    measured.save()
    TIMES.write_text(json.dumps(plugin.times), encoding="utf-8")


def tests_for(change: Change, reached: dict[int, list[str]], times: dict[str, float]) -> list[str]:
    """The quickest tests that reach the line, within the seconds of the first try."""
    names = sorted(filter(None, reached.get(change.line, [])), key=lambda name: times.get(name, 9))
    chosen, spent = [], 0.0
    for name in names[:QUICK_TESTS]:
        spent += times.get(name, 9)
        if chosen and spent > QUICK_SECONDS:
            break
        chosen.append(name)
    return chosen


def later_tests(
    change: Change, reached: dict[int, list[str]], times: dict[str, float], most: float
) -> list[str]:
    """Tests beyond the quickest: the golden answers, then as many as take `most` seconds, the
    cheapest of each file first.

    >>> known = {3: ["a.py::slow", "a.py::quick", "b.py::one"]}
    >>> later_tests(Change("x.py", 3, 0, 1, "+", "-"), known, {"a.py::slow": 9.0}, 30.0)[1:]
    ['a.py::quick', 'b.py::one', 'a.py::slow']
    """
    names = set(filter(None, reached.get(change.line, [])))
    # What only a fixture runs stands under the one test that asked for it first.
    if len(names) < 2:
        names = {name for each in reached.values() for name in each if name}
    rank: dict[str, int] = defaultdict(int)
    ordered = []
    for name in sorted(names, key=lambda name: (times.get(name, 1.0), name)):
        file = name.split("::")[0]
        ordered.append((rank[file], name))
        rank[file] += 1
    chosen, spent = [GOLDEN], 0.0
    for _, name in sorted(ordered, key=lambda one: one[0]):
        if spent + times.get(name, 1.0) <= most:
            chosen.append(name)
            spent += times.get(name, 1.0)
    return chosen


# ---- trying


def failed(folder: Path, tests: list[str], most: float) -> str | None:
    """The first test of the copy that fails; "" where none does, None where the time was up: so
    many seconds of a processor."""
    if not tests:
        return ""
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:xdist", "-p",
               "no:cacheprovider", "-o", "addopts=--strict-markers", "--benchmark-disable",
               "-m", "not slow and not browser", "--deselect", MADE_ANEW, *tests]  # fmt: skip
    limit = (round(most), round(most) + 5)
    done = subprocess.run(
        command,
        cwd=folder,
        env=_environment(folder),
        capture_output=True,
        text=True,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_CPU, limit),
        check=False,
    )
    if done.returncode < 0:
        return None
    if done.returncode in (0, 5):  # 5: none was left to run
        return ""
    found = re.search(r"^(?:FAILED|ERROR) (\S+)", done.stdout, re.MULTILINE)
    # no test named: the module cannot even be imported
    return found[1] if found else tests[0]


def _environment(folder: Path) -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": str(folder), "OPENBLAS_NUM_THREADS": "1",
            "PYTHONDONTWRITEBYTECODE": "1"}  # fmt: skip


def copy_here(folder: Path) -> Path:
    """The tracked files in a folder of their own."""
    listed = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.splitlines()
    for name in listed:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy2(ROOT / name, folder / name)
    return folder


def noticed(change: Change, folder: Path, quick: list[str], later: list[str], most: float) -> bool:
    """Whether a test fails with the change that does not fail without it. A quick run that does not
    end (they take seconds) is a loop that the change made; a long one that does not is no proof."""
    path = folder / change.path
    data = path.read_bytes()
    try:
        for tests, limit in ((quick, LOOP), (later, 2 * most + LOOP)):
            path.write_bytes(data[: change.start] + change.new.encode() + data[change.end :])
            test = failed(folder, tests, limit)
            path.write_bytes(data)
            if test is None and tests is quick:
                return True
            if test and failed(folder, [test], LOOP) == "":
                return True
    finally:
        path.write_bytes(data)
    return False


def run(n: int, seed: int, most: float, workers: int) -> None:
    import coverage

    known = coverage.CoverageData(str(MAP))
    known.read()
    times = json.loads(TIMES.read_text(encoding="utf-8"))
    paths = [
        path for folder in FOLDERS for path in sorted((ROOT / "pricing" / folder).rglob("*.py"))
    ]
    everything = [
        change
        for path in paths
        for change in changes_of(str(path.relative_to(ROOT)), path.read_text(encoding="utf-8"))
    ]
    picked = random.Random(seed).sample(everything, n)
    reached = {str(path.relative_to(ROOT)): known.contexts_by_lineno(str(path)) for path in paths}
    copies: Queue[Path] = Queue()
    with tempfile.TemporaryDirectory() as scratch:
        for number in range(workers):
            copies.put(copy_here(Path(scratch) / str(number)))

        def judged(change: Change) -> tuple[Change, bool]:
            lines = reached[change.path]
            quick = tests_for(change, lines, times)
            later = later_tests(change, lines, times, most)
            folder = copies.get()
            try:
                found = noticed(change, folder, quick, later, most)
            finally:
                copies.put(folder)
            print("noticed   " if found else "NOT       ", change, flush=True)
            return change, found

        with ThreadPoolExecutor(workers) as pool:
            results = list(pool.map(judged, picked))
    tell(results, len(everything))


def tell(results: list[tuple[Change, bool]], n_all: int) -> None:
    """The share noticed by folder, and what was not."""
    by_folder: dict[str, list[bool]] = defaultdict(list)
    for change, found in results:
        by_folder[change.path.split("/")[1]].append(found)
    print(f"\n{len(results)} of {n_all} possible changes")
    for folder, found in sorted(by_folder.items()):
        print(
            f"{folder:10}{sum(found):5} of {len(found):4}  {100 * sum(found) / len(found):3.0f} %"
        )
    share = sum(found for _, found in results) / len(results)
    print(f"{'all':10}{sum(f for _, f in results):5} of {len(results):4}  {100 * share:3.0f} %")
    print("\nnot noticed", *(change for change, found in results if not found), sep="\n  ")


if __name__ == "__main__":
    reader = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    reader.add_argument("what", help="map, or how many changes")
    reader.add_argument("tests", nargs="*", help="with map: tests to run instead of all")
    reader.add_argument("--seed", type=int, default=1)
    reader.add_argument("--most", type=float, default=60.0, help="seconds of the second try")
    reader.add_argument("--workers", type=int, default=2)
    asked = reader.parse_args()
    if asked.what == "map":
        make_map(asked.tests)
    else:
        run(int(asked.what), asked.seed, asked.most, asked.workers)
