"""`pricing setup`: twelve questions, written once, and a first answer with no sale at all."""

from __future__ import annotations

import tomllib
from pathlib import Path

from click.testing import CliRunner

from pricing.basis.home import Home
from pricing.basis.settings import load_settings
from pricing.cli import group
from pricing.pipeline.setting_up import questions


def run(home: Path, replies: str, *more: str):
    return CliRunner().invoke(
        group, ["setup", "--home", str(home), "--as-of", "2026-04-30", *more], input=replies
    )


def test_there_are_twelve_questions() -> None:
    """The one about usual prices asks for three types."""
    kinds = [q for q in questions() if not q.key.startswith("usual_price.")]

    assert len(kinds) + 1 == 12
    assert sum(q.key.startswith("usual_price.") for q in questions()) == 3


def test_enter_keeps_every_default(tmp_path: Path) -> None:
    """Fourteen times Enter: the file reads as the defaults."""
    result = run(tmp_path, "\n" * 14)

    assert result.exit_code == 0, result.output
    assert load_settings(Home(tmp_path)) == load_settings(Home(tmp_path / "none"))
    assert "[30]" in result.output


def test_answers_land_in_the_file_and_are_shown(tmp_path: Path) -> None:
    """Slips are asked again; the file holds what was said."""
    result = run(
        tmp_path, "\n\n$45\n0.6\nabc\n20\n4\ntime\nspace\n\n11\n7\n210\n\n\ndmy\nmars\nuk\n"
    )
    written = tomllib.loads((tmp_path / "pricing.toml").read_text())

    assert result.exit_code == 0, result.output
    assert written["hourly_target"] == 45
    assert written["short_of"] == "space"
    assert written["sold_of_ten"] == 7
    assert written["usual_price"] == {"electric dryer": 210}
    assert written["date_order"] == "dmy"
    assert written["region"] == "UK"
    assert "One of: US, CA, UK, EU, AU, other." in result.output
    assert "A number, please" in result.output
    assert "One of: units, space, hours." in result.output
    assert "hourly_target = 45" in result.output


def test_a_second_time_changes_nothing(tmp_path: Path) -> None:
    """The file is the person's: exit 1, one sentence, the file as it was."""
    run(tmp_path, "", "--defaults")
    (tmp_path / "pricing.toml").write_text("spots = 9\n")
    result = run(tmp_path, "", "--defaults")

    assert result.exit_code == 1
    assert (tmp_path / "pricing.toml").read_text() == "spots = 9\n"


def test_the_first_question_can_be_asked_right_after(tmp_path: Path) -> None:
    """No sale, no record: answered from the starting figures, and it says so."""
    run(tmp_path, "", "--defaults")
    result = CliRunner().invoke(
        group,
        ["ask", "electric dryer, 8 years, good", "--home", str(tmp_path), "--as-of", "2026-04-30"],
    )

    assert result.exit_code == 0, result.output
    assert "GUESS" in result.output
