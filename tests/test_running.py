"""How a command ends: its exit code, and what is said to people and to programs."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import threading
from pathlib import Path

import pytest

COMMAND = [sys.executable, "-m", "pricing"]
OFFER = ["offer", "electric dryer, no heat, wants 40"]


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("running") / "home"
    done = run("setup", "--defaults", "--home", str(folder))
    assert done.returncode == 0, done.stderr
    return folder


def run(*words: str, stdout: int = subprocess.PIPE) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*COMMAND, *words],
        stdout=stdout,
        stderr=subprocess.PIPE,
        text=True,
        check=False,
        encoding="utf-8",
    )


@pytest.mark.parametrize(
    ("words", "code", "exit_code", "remedy"),
    [
        (["ask", "--unit", "999"], "refused", 1, "see pricing unsold"),
        (["offer", "--no-such-option", "dryer"], "usage", 2, "see pricing offer --help"),
        (["no-such-command"], "usage", 2, "see pricing --help"),
    ],
)
def test_what_cannot_be_served_is_an_object_for_programs(
    home: Path, words: list[str], code: str, exit_code: int, remedy: str
) -> None:
    """One object on the standard output, the same sentence on the standard error."""
    done = run(*words, "--json", "--home", str(home))
    answer = json.loads(done.stdout)
    assert done.returncode == exit_code
    assert answer["error"]["code"] == code
    assert answer["error"]["message"] == answer["problems"][0]["what"] != ""
    assert remedy in answer["error"]["remedy"]
    assert json.loads(done.stderr.splitlines()[0])["problem"] == answer["problems"][0]
    plain = run(*words, "--home", str(home))
    assert plain.returncode == exit_code and plain.stdout == ""
    assert "Traceback" not in plain.stderr


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full here")
@pytest.mark.parametrize("as_json", [True, False])
def test_a_full_device_is_told_without_a_traceback(home: Path, as_json: bool) -> None:
    full = os.open("/dev/full", os.O_WRONLY)
    try:
        words = [*OFFER, "--home", str(home), *(["--json"] if as_json else [])]
        done = run(*words, stdout=full)
    finally:
        os.close(full)
    assert done.returncode == 1
    assert "cannot be written" in done.stderr and "make room" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.skipif(sys.platform == "win32", reason="signals are another thing there")
def test_ctrl_c_ends_with_130(tmp_path: Path) -> None:
    asked = subprocess.Popen(
        [*COMMAND, "setup", "--home", str(tmp_path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert asked.stdout is not None
    assert asked.stdout.read(10)  # the first question stands there
    asked.send_signal(signal.SIGINT)
    _, said = asked.communicate(timeout=60)
    assert asked.returncode == 130
    assert said.decode().startswith("Stopped.")
    assert not (tmp_path / "pricing.toml").exists()


def test_answers_that_end_before_the_questions(tmp_path: Path) -> None:
    done = subprocess.run(
        [*COMMAND, "setup", "--home", str(tmp_path)], input=b"\n", capture_output=True, check=False
    )
    assert done.returncode == 1
    assert b"before the questions" in done.stderr and b"Aborted" not in done.stderr


def test_the_folder_is_told_before_or_after_the_command(home: Path) -> None:
    before, after = run("--home", str(home), *OFFER), run(*OFFER, "--home", str(home))
    assert before.returncode == after.returncode == 0
    assert before.stdout == after.stdout


def test_a_reader_that_is_gone_is_no_mistake(home: Path) -> None:
    read, write = os.pipe()
    os.close(read)
    try:
        done = run("cautions", "--home", str(home), stdout=write)
    finally:
        os.close(write)
    assert (done.returncode, done.stderr) == (0, "")


def test_what_comes_in_is_a_sheet(home: Path, tmp_path: Path) -> None:
    """`-` stands for the standard input, of `add` and of a sheet of questions."""
    sheet = "unit,type,price,sold\n1,oven,190,2026-02-01\n"
    asked = "type,fault\ndishwasher,leaks\noven,dead\n"
    for words, text, n in (
        (["add", "-", "--no-fit", "--home", str(tmp_path / "own")], sheet, 1),
        (["offer", "--from", "-", "--home", str(home)], asked, 2),
    ):
        done = subprocess.run(
            [*COMMAND, *words, "--json"], input=text, capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, done.stderr
        assert len(done.stdout.splitlines()) == n
    by_file = tmp_path / "asked.csv"
    by_file.write_text(asked)
    assert run("offer", "--from", str(by_file), "--home", str(home), "--json").stdout == done.stdout


def test_what_goes_out_is_a_sheet(home: Path, tmp_path: Path) -> None:
    """`--out -` is the standard output, of `export` and `blank`; no file of that name is made."""
    own = tmp_path / "own"
    sheet = tmp_path / "units.csv"
    sheet.write_text("unit,type,price,sold\n1,wall oven,190,2026-02-01\n")
    assert run("add", str(sheet), "--no-fit", "--home", str(own)).returncode == 0
    for command, words in (("export", "1,wall oven"), ("blank", "unit,type")):
        done = subprocess.run(
            [*COMMAND, command, "--out", "-", "--home", str(own)],
            cwd=tmp_path, env=os.environ | {"PYTHONPATH": str(Path(__file__).parents[1])},
            capture_output=True, text=True, check=False,
        )  # fmt: skip
        assert done.returncode == 0 and words in done.stdout, done.stderr
    assert not (tmp_path / "-").exists()


def test_an_answer_is_no_wider_than_the_screen(home: Path) -> None:
    for words in (OFFER, ["cautions"]):
        for columns, widest in (("34", 34), ("200", 60), ("wide", 60)):
            done = subprocess.run(
                [*COMMAND, *words, "--home", str(home)],
                env=os.environ | {"COLUMNS": columns}, capture_output=True, text=True, check=False,
            )  # fmt: skip
            assert max(map(len, done.stdout.splitlines())) <= widest


def test_quiet_says_the_answer_alone(home: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "units.csv"
    sheet.write_text("unit,type,price,sold\n1,wall oven,190,2026-02-01\n")
    loud = run("add", str(sheet), "--home", str(tmp_path / "a")).stdout
    quiet = run("add", str(sheet), "-q", "--home", str(tmp_path / "b")).stdout

    assert "Next: pricing ask" in loud and "Learned from" in loud
    assert "Next" not in quiet and "Learned" not in quiet and "190" in quiet


def test_what_takes_long_says_that_it_is_at_it(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """One line on a terminal, wiped before the answer; none with -q, for other commands, or where
    nobody looks."""
    from pricing.cli import running

    def said(name: str, words: list[str], at_screen: bool = True) -> str:
        monkeypatch.setattr(sys.stderr, "isatty", lambda: at_screen)
        counting = threading.Event()
        write = sys.stderr.write
        monkeypatch.setattr(sys.stderr, "write", lambda text: (counting.set(), write(text))[1])
        begun = running.begin(name, words, after=0.0)
        assert not begun or counting.wait(10)
        running.end()
        monkeypatch.setattr(sys.stderr, "write", write)
        return capsys.readouterr().err

    line = said("accuracy", ["--detail"])
    assert "accuracy: 0 seconds" in line and line.endswith("\r\033[K")
    assert said("report", ["--home", "x"]).startswith("\rreport")
    assert said("accuracy", ["-q"]) == said("accuracy", [], at_screen=False) == ""
    # A word that is a command's name too does not begin it: `pricing drop report` is no report.
    assert said("setup", ["report"]) == said("offer", ["compare", "dryer"]) == ""
