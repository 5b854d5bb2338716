"""The open acid corpus (invented data, tests/corpus/expected.json): every file right, no silent
fault, no warning on a plain row."""

from __future__ import annotations

import importlib.util
import json
from pathlib import Path
from types import ModuleType
from typing import Any

import corpus_adapter
import pytest

CORPUS = Path(__file__).parent / "corpus"
EXPECTED = json.loads((CORPUS / "expected.json").read_text(encoding="utf-8"))


def load_score() -> ModuleType:
    spec = importlib.util.spec_from_file_location("corpus_score", CORPUS / "score.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


SCORE = load_score()


def run(files: list[Path], tmp_path: Path) -> dict[str, Any]:
    out = tmp_path / "out.json"
    corpus_adapter.main(out, files)
    result: dict[str, Any] = json.loads(out.read_text(encoding="utf-8"))
    return result


@pytest.mark.parametrize(
    "case", EXPECTED["files"], ids=[case["file"] for case in EXPECTED["files"]]
)
def test_file(case: dict[str, Any], tmp_path: Path) -> None:
    verdict = SCORE.score_file(case, run([CORPUS / case["file"]], tmp_path))

    assert verdict["verdict"] == "right", verdict["detail"]
    assert verdict.get("plain_warned", 0) == 0


@pytest.mark.parametrize(
    "case", EXPECTED["sequences"], ids=[case["dir"] for case in EXPECTED["sequences"]]
)
def test_sequence(case: dict[str, Any], tmp_path: Path) -> None:
    verdict = SCORE.score_seq(
        case, run([CORPUS / case["dir"] / step for step in case["steps"]], tmp_path)
    )

    assert verdict["verdict"] == "right", verdict["detail"]
