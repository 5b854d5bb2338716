"""Writing whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from pricing.basis import files
from pricing.basis.problems import Refused


def test_a_file_is_replaced_whole(tmp_path: Path) -> None:
    """The new content is there and no temporary file is left."""
    target = tmp_path / "deep" / "a.json"
    files.write_text(target, "one")
    files.write_text(target, "two")

    assert target.read_text() == "two"
    assert [p.name for p in target.parent.iterdir()] == ["a.json"]


def test_a_name_that_is_taken_is_not_taken_again(tmp_path: Path) -> None:
    """Two writers cannot both make the same new name; the first content stands."""
    target = tmp_path / "0001.json"
    files.write_bytes(target, b"first", replace=False)

    with pytest.raises(FileExistsError):
        files.write_bytes(target, b"second", replace=False)
    assert target.read_bytes() == b"first"
    assert len(list(tmp_path.iterdir())) == 1


def test_a_failed_write_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A disk that is full at fsync: the sentence names the file, the old content stands, nothing is
    left beside it."""
    target = tmp_path / "a.json"
    files.write_text(target, "old")

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(Refused, match=r"a\.json.*No space left"):
        files.write_text(target, "new")
    assert target.read_text() == "old"
    assert len(list(tmp_path.iterdir())) == 1


def test_reading_what_is_not_a_file_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="no such file"):
        files.read_bytes(tmp_path / "gone.csv")
    with pytest.raises(Refused, match="a folder, not a file"):
        files.read_bytes(tmp_path)
