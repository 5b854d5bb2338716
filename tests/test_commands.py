"""Every command that README.md and DEVELOPERS.md print is run: a new one is run as it stands, and
fails here until it works."""

from __future__ import annotations

import csv
import os
import re
import shlex
import shutil
import signal
import subprocess
import sys
import threading
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import make_reference
import pytest
from click.testing import CliRunner
from conftest import DEMO_LEDGER, ROOT
from small_changes import copy_here

from pricing.cli import group
from pricing.pipeline import phoning

# What a reader puts in the place of what is printed.
OWN = {'"…"': '"gas range, 9 years, dead"', "~/cloud-folder": "$HOME/cloud-folder"}
# Mentioned in a sentence; the block beside it prints it whole.
MENTIONED = (
    "pricing member",
    "pricing export --by-month",
    "pricing fit",
    "pricing accuracy --demo",
    "pricing slip 90 right",  # the line before it has mended that one
)
INSTALLS = "python3 -m venv"
DEMO_LINE, TESTS_LINE = "demo: Linux and Mac", "tests: Linux and Mac"


def commands_of(name: str, inline: bool = True) -> list[str]:
    """The lines of the fenced blocks without a language, and `pricing …` in a sentence; a
    description that stands two spaces or more to the right of a command is no part of it."""
    text = re.sub(
        r"^```(?:text|csv|python)\n.*?^```\n",
        "",
        (ROOT / name).read_text(encoding="utf-8"),
        flags=re.MULTILINE | re.DOTALL,
    )
    blocks = re.findall(r"^```\n(.*?)^```", text, re.MULTILINE | re.DOTALL)
    lines = [line for block in blocks for line in block.splitlines() if line.strip()]
    prose = re.sub(r"^```.*?^```", "", text, flags=re.MULTILINE | re.DOTALL)
    said = re.findall(r"`((?:pricing|python) [^`]*)`", prose) if inline else []
    found = [re.split(r" {2,}(?=\S)", line.strip())[0] for line in lines]
    return list(dict.fromkeys(found + [line for line in said if line not in MENTIONED]))


PAGES = sorted(f"docs/{path.name}" for path in (ROOT / "docs").glob("*.md"))
README = [line for line in commands_of("README.md") if line.startswith("pricing ")]
# what the guide prints in blocks of its own; its sentences name commands in part
SAID = list(
    dict.fromkeys(
        line
        for name in PAGES
        for line in commands_of(name, inline=False)
        if line.startswith("pricing ")
    )
)
STARTS = [line for line in commands_of("README.md") if not line.startswith("pricing ")]
GUIDE = commands_of("DEVELOPERS.md")
# These end only when told to, or need the others' work done first or undone last.
SERVED = ("pricing web", "pricing web --lan")
FIRST, LAST = ("pricing setup", "pricing add my-units.csv"), ("pricing undo",)
FROM_A_BUCKET = "pricing fit --from s3://club/units --cluster tcp://10.0.0.5:8786"


CALLS = """\
unit,type,age,fault,their_price,miles,got,outcome,note
C1,electric dryer,8,no heat,40,12,2026-10-01,in work,from a call
C2,gas range,,dead,0,3,2026-10-02,in work,
"""


@pytest.fixture(scope="module")
def shell(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """The environment of a person in a home of one's own: `pricing` on the path, nothing else."""
    folder = tmp_path_factory.mktemp("person")
    (folder / "bin").mkdir()
    program = folder / "bin" / "pricing"
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m pricing "$@"\n')
    program.chmod(0o755)
    given = {name: value for name, value in os.environ.items() if name != "PRICING_HOME"}
    path = f"{folder / 'bin'}{os.pathsep}{given['PATH']}"
    return given | {"PATH": path, "HOME": str(folder), "PYTHONPATH": str(ROOT)}


def run(line: str, folder: Path, shell: dict[str, str]) -> subprocess.CompletedProcess[str]:
    """A line as typed, with Enter to whatever is asked."""
    for printed, own in OWN.items():
        line = line.replace(printed, own)
    return subprocess.run(
        ["bash", "-c", line],
        cwd=folder,
        env=shell,
        input="\n" * 20,
        capture_output=True,
        text=True,
        timeout=600,
        check=False,
    )


# Starts processes of its own: run by a shell.
CLUSTER = "pricing fit --cluster local"


def done_here(line: str, patch: pytest.MonkeyPatch, home: str) -> str:
    """What is wrong with a line that is run in this process, as a shell would take it apart: a
    start of the program for each of forty would cost more than what they do. "" where all is well;
    the lines around them are run by a shell."""
    for printed, own in OWN.items():
        line = line.replace(printed, own)
    patch.setenv("HOME", home)
    words = [os.path.expandvars(word) for word in shlex.split(line)]
    done = CliRunner().invoke(group, words[1:], input="\n" * 20)
    if done.exit_code == 0 and done.stdout.strip() and "Traceback" not in done.stderr:
        return ""
    return f"{line}: {done.exit_code} {done.exception!r}\n{done.output[-1500:]}"


@pytest.fixture(scope="module")
def own_home(tmp_path_factory: pytest.TempPathFactory, shell: dict[str, str]) -> Path:
    """A folder with one's own sheet (the invented demo's under other numbers, with an owner), and
    the record that the README's own first two lines make of it in the person's documents."""
    folder = tmp_path_factory.mktemp("own")
    rows = list(csv.reader(DEMO_LEDGER.read_text(encoding="utf-8-sig").splitlines()))
    head = next(i for i, row in enumerate(rows) if row[:2] == ["No.", "Appliance"])
    with (folder / "my-units.csv").open("w", newline="", encoding="utf-8") as sheet:
        out = csv.writer(sheet)
        out.writerow([*rows[head], "Owner"])
        for i, row in enumerate(rows[head + 1 :]):
            if len(row) == len(rows[head]) and row[0].strip():
                number = row[0].removeprefix("DEMO-").lstrip("0")
                out.writerow([number, *row[1:], ("Ann", "Ben")[i % 2]])
    (folder / "calls.csv").write_text(CALLS)
    for line in FIRST:
        done = run(line, folder, shell)
        assert done.returncode == 0, f"{line}\n{done.stdout}\n{done.stderr}"
    return folder


def test_the_readme_prints_the_commands_that_are_taken_apart_here() -> None:
    """Where one of these is worded anew, the tests below must follow."""
    assert set(FIRST) | set(LAST) | set(SERVED) <= set(README)
    assert FROM_A_BUCKET in SAID
    assert len(README) >= 12
    assert len(SAID) >= 25
    assert len(GUIDE) >= 8


ORDINARY = [
    line
    for line in dict.fromkeys((*README, *SAID))
    if line not in (*FIRST, *LAST, *SERVED, FROM_A_BUCKET)
]


@pytest.mark.long
def test_every_ordinary_command_of_the_readme_does_its_work(
    own_home: Path, shell: dict[str, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One after the other in one home, as a reader would; taken back by `undo` at the end."""
    person, folder = tmp_path / "person", tmp_path / "folder"
    shutil.copytree(shell["HOME"], person)
    shutil.copytree(own_home, folder)
    (person / "cloud-folder").mkdir()  # a folder that is not there is refused
    monkeypatch.chdir(folder)
    monkeypatch.delenv("PRICING_HOME", raising=False)
    monkeypatch.setattr(phoning, "MOST_TYPES", 3)  # a table that is not looked at
    wrong = []
    # once written, the phone's file is written anew at each fit: it comes when all is learned
    for line in sorted(
        (*ORDINARY, *LAST), key=lambda line: line.startswith(("pricing phone", "pricing slip"))
    ):
        if line == CLUSTER:
            done = run(line, folder, shell | {"HOME": str(person)})
            wrong += [f"{line}: {done.stderr}"] if done.returncode or not done.stdout else []
        else:
            wrong += filter(None, [done_here(line, monkeypatch, str(person))])

    assert not wrong, "\n\n".join(wrong)
    assert len(ORDINARY) >= 35 and CLUSTER in ORDINARY
    assert list((person / "cloud-folder").iterdir()), "the record of another home was asked"


@pytest.mark.parametrize("line", SERVED)
def test_the_page_answers_until_it_is_stopped(
    line: str, own_home: Path, shell: dict[str, str]
) -> None:
    """Any free port instead of the usual one, which may be taken on this machine."""
    page = subprocess.Popen(
        [*line.replace("pricing", f"{sys.executable} -m pricing", 1).split(), "--port", "0"],
        cwd=own_home,
        env=shell | {"PYTHONUNBUFFERED": "1"},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    stop = threading.Timer(60, page.kill)
    stop.start()
    said = ""
    try:
        assert page.stdout is not None
        for heard in page.stdout:
            said += heard
            if "Ctrl-C" in heard:
                break
        address = re.search(r"http://127\.0\.0\.1:\d+\S*", said)
        assert address is not None, said
        with urllib.request.urlopen(address[0]) as answer:
            assert answer.status == 200
        page.send_signal(signal.SIGINT)
        rest = page.communicate(timeout=30)[0]
    finally:
        stop.cancel()
        page.kill()

    assert page.returncode == 0, said + rest


@pytest.mark.slow
def test_a_long_record_is_fitted_from_an_address_by_workers(
    own_home: Path, shell: dict[str, str]
) -> None:
    """The printed line with a folder in place of the bucket and a scheduler on this machine."""
    distributed = pytest.importorskip("distributed")
    assert run("pricing export --by-month units", own_home, shell).returncode == 0
    with distributed.LocalCluster(n_workers=1, threads_per_worker=1, dashboard_address=None) as two:
        line = FROM_A_BUCKET.replace("s3://club/units", str(own_home / "units"))
        done = run(line.replace("tcp://10.0.0.5:8786", two.scheduler_address), own_home, shell)

    assert done.returncode == 0, done.stdout + done.stderr


# ---- how one starts


def line_under(mark: str) -> str:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    found = re.search(rf"<!-- {mark} -->\n```\n(.*)\n```", text)
    assert found is not None
    return found[1]


def test_the_installing_lines_are_run_by_the_check_of_a_clean_clone() -> None:
    """A test cannot install what it runs in: `.ci/run` reads the line from the README and runs it
    whole. Windows's two lines are the same commands by that system's names."""
    windows = [line for line in STARTS if line.startswith("py -m venv")]
    ours = [line_under(DEMO_LINE), line_under(TESTS_LINE)]
    by_their_names = [
        re.sub(r"\s*(;|&&)\s*", " ; ", line.replace("\\", "/"))
        .replace(".venv/Scripts/", ".venv/bin/")
        .replace("py -m", "python3 -m")
        for line in windows
    ]

    assert TESTS_LINE in (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert by_their_names == [re.sub(r"\s*&&\s*", " ; ", line) for line in ours]
    assert sorted(STARTS) == sorted(ours + windows)


@pytest.mark.long
def test_the_demo_line_ends_with_the_demo_that_the_readme_prints(
    tmp_path: Path, shell: dict[str, str]
) -> None:
    """Its last command, in an empty folder (it is what the line does once all is installed); then
    the outputs of the README are what its commands print of that demo. Anew by
    python tests/make_reference.py."""
    last = line_under(DEMO_LINE).split(" && ")[-1]
    person = shell | {"HOME": str(tmp_path)}
    done = run(last.replace(".venv/bin/", ""), tmp_path, person)

    assert last == ".venv/bin/pricing demo"
    assert done.returncode == 0, done.stderr
    assert "$" in done.stdout
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    assert make_reference.with_outputs(text, person) == text
    assert len(text.splitlines()) < 150
    assert len(make_reference.OUTPUTS.findall(text)) >= 5


# ---- the contributor's commands


def as_here(line: str) -> str:
    """By the environment that runs the test; benches of speed and long runs are only collected,
    with everything that they import."""
    line = re.split(r"\s+#\s", line)[0]
    for program in ("pytest", "mypy"):
        line = line.replace(f".venv/bin/{program}", f'"{sys.executable}" -m {program}')
    line = line.replace(".venv/bin/ruff", f'"{sys.executable}" -m ruff')
    line = re.sub(r"^(\.venv/bin/)?python ", f'"{sys.executable}" ', line)
    if "-m pytest" in line:
        line += " -q --collect-only -p no:cacheprovider -p no:xdist -o addopts=--strict-markers"
        line = line.replace(" -n 0", "").replace(" --benchmark-only", "")
    return line.replace("100000,1000000,10000000", "3000")


# Two take half a minute of work that other tests do too; those run what the lines run.
BY_OTHERS = {
    ".venv/bin/python tests/house.py --names": "test_house.py",
    ".venv/bin/python tests/make_schemas.py": "test_schemas.py",
}
WRITES = ("make_screenshots.py", "golden/questions.py")
OURS = ".venv/bin/pytest"  # what runs this test; collected once more in the long run only


@pytest.fixture
def clone(tmp_path: Path) -> Iterator[Path]:
    """A copy of the tracked files, for what writes into them or leaves caches."""
    yield copy_here(tmp_path / "clone")


@pytest.mark.parametrize(
    "line",
    [
        pytest.param(
            line,
            marks=[pytest.mark.slow]
            if any(part in line for part in (*WRITES, "mypy", "growth", "-m slow")) or line == OURS
            else [],
        )
        for line in GUIDE
        if line not in BY_OTHERS
    ],
)
def test_a_command_of_the_guide_does_its_work(
    line: str, clone: Path, shell: dict[str, str]
) -> None:
    if "make_screenshots" in line and not (
        shutil.which("chromium") or shutil.which("chromium-browser")
    ):
        pytest.skip("no Chromium here")
    done = run(as_here(line), clone, shell | {"PYTHONPATH": str(clone)})

    assert done.returncode == 0, f"{as_here(line)}\n{done.stdout[-2000:]}\n{done.stderr[-2000:]}"


def test_commands_of_the_guide_are_all_run() -> None:
    """What is not a script of the guide is a command of the README's kind, run above."""
    assert [line for line in GUIDE if line.startswith("pricing ")] == []
    for line, file in BY_OTHERS.items():
        script = re.search(r"tests/(\w+)\.py", line)
        assert line in GUIDE and script is not None
        assert f"{script[1]}.main(" in (ROOT / "tests" / file).read_text(encoding="utf-8")
