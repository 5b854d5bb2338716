"""The whole answers of 300 questions are those that were kept, to 1e-9.

They hold still what is moved, and show what a change of a formula changes. Where an answer is to
change, `python tests/golden/questions.py` writes them anew, and the commit says why.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from pricing.basis.home import Home
from pricing.cli import group

HERE = Path(__file__).parent / "golden"
sys.path.insert(0, str(HERE))
import questions  # noqa: E402


@pytest.fixture(scope="session")
def empty_home(tmp_path_factory: pytest.TempPathFactory) -> Home:
    """A home with settings and no unit."""
    home = tmp_path_factory.mktemp("empty")
    for command in (["setup", "--defaults"], ["fit", "--as-of", questions.DAY]):
        result = CliRunner().invoke(group, [*command, "--home", str(home)])
        assert result.exit_code == 0, result.output
    return Home(home)


def differences(now: Any, kept: Any, where: str = "") -> list[str]:
    """Every place in which two answers differ: keys, words, and numbers by more than 1e-9."""
    if isinstance(kept, dict) and isinstance(now, dict):
        apart = [f"{where}: keys {sorted(set(now) ^ set(kept))}"] if set(now) ^ set(kept) else []
        both = (key for key in kept if key in now)
        return apart + [
            d for key in both for d in differences(now[key], kept[key], f"{where}.{key}")
        ]
    if isinstance(kept, list) and isinstance(now, list):
        if len(now) != len(kept):
            return [f"{where}: {len(now)} entries, {len(kept)} kept"]
        pairs = enumerate(zip(now, kept, strict=True))
        return [d for i, (a, b) in pairs for d in differences(a, b, f"{where}[{i}]")]
    numbers = (int, float)
    if isinstance(kept, numbers) and isinstance(now, numbers) and not isinstance(kept, bool):
        same = now == pytest.approx(kept, rel=1e-9, abs=1e-9)
        return [] if same else [f"{where}: {now}, kept {kept}"]
    return [] if now == kept else [f"{where}: {now!r}, kept {kept!r}"]


def check(home: Home, name: str, command: str, only: slice) -> None:
    lines = (HERE / f"{name}-{command}.jsonl").read_text(encoding="utf-8").splitlines()
    kept = [json.loads(line) for line in lines]
    assert len(kept) == questions.EACH
    now = [questions.plain(one) for one in questions.answers(home.path, command, 1, only)]
    found = [
        f"{command} {i}{d}"
        for i, (a, b) in enumerate(zip(now, kept[only], strict=True))
        for d in differences(a, b)
    ]
    assert not found, "\n".join(found[:20])


@pytest.mark.parametrize("command", ["offer", "bench", "ask"])
@pytest.mark.parametrize("name", ["demo", "empty"])
def test_a_fifth_of_the_answers(
    demo_home_once: Home, empty_home: Home, name: str, command: str
) -> None:
    check(demo_home_once if name == "demo" else empty_home, name, command, slice(None, None, 5))


@pytest.mark.slow
@pytest.mark.parametrize("command", ["offer", "bench", "ask"])
@pytest.mark.parametrize("name", ["demo", "empty"])
def test_all_answers(demo_home_once: Home, empty_home: Home, name: str, command: str) -> None:
    check(demo_home_once if name == "demo" else empty_home, name, command, slice(None))


def test_what_is_said_in_words(empty_home: Home) -> None:
    """Reading, tags, dangers and cautions of lines that tell of them."""
    lines = (HERE / "empty-spoken.jsonl").read_text(encoding="utf-8").splitlines()
    kept = [json.loads(line) for line in lines]
    now = [questions.plain(one) for one in questions.spoken(empty_home.path)]

    assert sum(bool(one["answer"].get("dangers")) for one in kept) >= 20
    found = [
        f"{a['command']} {i // 3}{d}"
        for i, (a, b) in enumerate(zip(now, kept, strict=True))
        for d in differences(a, b)
    ]
    assert not found, "\n".join(found[:20])


def test_the_list_the_groups_and_the_reading(demo_home_once: Home) -> None:
    kept = json.loads((HERE / "demo-sums.json").read_text(encoding="utf-8"))

    found = differences(questions.plain(questions.sums(demo_home_once.path)), kept)

    assert not found, "\n".join(found[:20])


def test_a_lost_danger_line_is_seen() -> None:
    line = (HERE / "empty-spoken.jsonl").read_text(encoding="utf-8").splitlines()[0]
    kept = json.loads(line)
    without = {**kept, "answer": {**kept["answer"], "dangers": [], "heard": {}}}

    assert kept["answer"]["dangers"]
    assert len(differences(questions.plain(without), kept)) >= 2


def test_differences_are_seen() -> None:
    """A check of the check: a digit, a word, a key, an entry."""
    kept = {"a": [1.0, {"b": "x"}], "c": None}
    assert not differences(kept, kept)
    for now in (
        {"a": [1.00000001, {"b": "x"}], "c": None},
        {"a": [1.0, {"b": "y"}], "c": None},
        {"a": [1.0, {"b": "x"}]},
        {"a": [1.0], "c": None},
    ):
        assert len(differences(now, kept)) == 1
