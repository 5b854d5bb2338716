"""Every answer to a program says its form, and has it: other questions than those that the forms were
made of (`tests/make_schemas.py`)."""

from __future__ import annotations

import json
from copy import deepcopy
from pathlib import Path
from typing import Any

import click
import make_schemas
import pytest

from pricing.basis.version import __version__
from pricing.cli import COMMANDS, group

STAMP = ("schema", "version", "currency", "as_of")
KEPT = {
    path.stem: json.loads(path.read_text(encoding="utf-8"))
    for path in sorted(make_schemas.FOLDER.glob("*.json"))
}


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the script writes its forms here."""
    return tmp_path_factory.mktemp("forms")


@pytest.fixture(scope="module")
def told(written: Path) -> dict[str, list[dict[str, Any]]]:
    """The answers of `python tests/make_schemas.py`, asked other questions than the kept forms
    were made of."""
    return make_schemas.main(written, (2,), 10)


def every_form() -> set[str]:
    """The forms of all commands that take --json, by the command line itself."""
    found = {"error"}
    with click.Context(group) as context:
        for name in COMMANDS:
            command = group.get_command(context, name)
            inner = command.commands if isinstance(command, click.Group) else {"": command}
            for part, one in inner.items():
                assert one is not None
                if any("--json" in option.opts for option in one.params):
                    found.add(f"{name}-{part}".rstrip("-"))
    return found


def test_every_command_that_answers_programs_has_its_form() -> None:
    assert set(KEPT) == every_form()
    assert len(KEPT) > 35


@pytest.mark.long
def test_every_answer_has_its_form(told: dict[str, list[dict[str, Any]]]) -> None:
    jsonschema = pytest.importorskip("jsonschema")
    assert set(told) == set(KEPT)
    for name, answers in told.items():
        jsonschema.Draft202012Validator.check_schema(KEPT[name])
        judge = jsonschema.Draft202012Validator(KEPT[name])
        for answer in answers:
            wrong = [f"{name}: {one.json_path}: {one.message}" for one in judge.iter_errors(answer)]
            assert not wrong, wrong[:5]
            assert set(STAMP) <= set(answer) and answer["version"] == __version__


@pytest.mark.long
def test_the_script_writes_a_form_for_each_that_its_answers_have(
    told: dict[str, list[dict[str, Any]]], written: Path
) -> None:
    jsonschema = pytest.importorskip("jsonschema")
    made = {path.stem: json.loads(path.read_text("utf-8")) for path in written.glob("*.json")}
    assert set(made) == set(KEPT)
    for name, answers in told.items():
        judge = jsonschema.Draft202012Validator(made[name])
        assert all(judge.is_valid(answer) for answer in answers), name
        assert set(made[name]["properties"]) <= set(KEPT[name]["properties"]), name


@pytest.mark.long
def test_money_and_days_are_those_of_the_home(told: dict[str, list[dict[str, Any]]]) -> None:
    for name, answers in told.items():
        expected = (None, None) if name == "error" else ("USD", make_schemas.DAY)
        for answer in answers:
            assert answer["currency"] == expected[0]
            assert answer["as_of"] == expected[1] or name == "member", name


def test_a_wrong_answer_is_seen() -> None:
    """A check of the check: a field more, one less, one of another kind."""
    jsonschema = pytest.importorskip("jsonschema")
    line = (
        (Path(make_schemas.HERE) / "golden" / "demo-ask.jsonl").read_text("utf-8").splitlines()[0]
    )
    right = {
        "schema": "ask/1",
        "version": "1",
        "currency": "USD",
        "as_of": "2026-10-05",
        **json.loads(line),
    }
    judge = jsonschema.Draft202012Validator(KEPT["ask"])
    for change in ({"more": 1}, {"ask": "dear"}, {"plan": [{"day": 1}]}, {"schema": "offer/1"}):
        wrong = deepcopy(right) | change
        assert list(judge.iter_errors(wrong))
    del right["median"]
    assert any("median" in one.message for one in judge.iter_errors(right))
