"""The guide: its reference pages are made of the tables, and every command, option, key, column and
field is in it."""

from __future__ import annotations

import json
import re
from pathlib import Path

import click
import make_reference
import pytest
from click.testing import CliRunner
from make_reference import DOCS

from pricing.basis.columns import COLUMNS
from pricing.basis.settings import KEYS, TABLES
from pricing.cli import COMMANDS, group

PAGES = {path.stem: path.read_text(encoding="utf-8") for path in DOCS.glob("*.md")}
ALL = "\n".join(PAGES.values())


@pytest.mark.parametrize("name", sorted(make_reference.PAGES))
def test_a_reference_page_is_made_of_its_table(name: str) -> None:
    """python tests/make_reference.py makes it anew."""
    assert PAGES[name] == make_reference.PAGES[name]()


def test_every_command_and_option_is_in_the_guide() -> None:
    missing = []
    with click.Context(group) as context:
        for name in COMMANDS:
            command = group.get_command(context, name)
            assert command is not None
            _, _, own = PAGES["commands"].partition(f"## pricing {name}\n")
            own = own.partition("\n## ")[0]
            told = [one for one in command.params if isinstance(one, click.Option)]
            missing += [
                f"{name} {opt}"
                for one in told
                if not one.hidden and one.name != "help"
                for opt in one.opts
                if f"`{opt}" not in own and f" {opt}`" not in own
            ]
    assert not missing
    assert all(f"## pricing {name}\n" in PAGES["commands"] for name in COMMANDS)


def test_every_key_and_column_is_in_the_guide() -> None:
    for key in KEYS:
        assert f"| `{key.name}` |" in PAGES["settings"], key.name
    for table in TABLES:
        assert f"`[{table}]`" in PAGES["settings"]
    for column in COLUMNS:
        assert f"| `{column.name}` |" in PAGES["columns"], column.name
    assert all(key.source for key in KEYS)


def test_every_field_of_an_answer_is_in_the_guide() -> None:
    """Of the fifty kept answers of each kind."""
    golden = Path(__file__).parent / "golden"
    for kind in ("offer", "bench", "ask"):
        lines = (golden / f"demo-{kind}.jsonl").read_text("utf-8").splitlines()
        own = PAGES["json"].partition(f"## {kind}\n")[2].partition("\n## ")[0]
        for line in lines:
            for field in json.loads(line):
                assert re.search(rf"^- `{field}[`.\[]", own, re.MULTILINE), (kind, field)


def test_the_questions_are_each_answered_by_a_page_that_is_there() -> None:
    asked = re.findall(r"^(\d+)\. \*\*(.+?)\*\* (.+)$", PAGES["questions"], re.MULTILINE)
    assert [int(number) for number, _, _ in asked] == list(range(1, 26))
    for _, question, answer in asked:
        assert question.endswith("?")
        named = re.findall(r"\(([a-z-]+)\.md\)", answer)
        assert named and set(named) <= set(PAGES), question


def test_links_lead_somewhere_and_every_page_is_in_the_list() -> None:
    for name, text in PAGES.items():
        for target in re.findall(r"\]\(([a-z-]+)\.md\)", text):
            assert target in PAGES, (name, target)
    assert set(re.findall(r"\(([a-z-]+)\.md\)", PAGES["index"])) == set(PAGES) - {"index"}


def test_help_prints_a_page_and_finds_the_page_of_a_command() -> None:
    def said(*arguments: str) -> str:
        done = CliRunner().invoke(group, ["help", *arguments])
        assert done.exit_code == 0, done.exception
        return done.output

    assert said() == PAGES["index"]
    assert said("settings") == PAGES["settings"]
    assert said("reading a guess") == PAGES["reading-a-guess"]
    for name in COMMANDS:
        assert said(name).startswith("# ")
