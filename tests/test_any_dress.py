"""Ledgers in many dresses (`dresses`, and `strange_dresses` that were written without a look at the
reader): each comes back the same, or says what it could not read; nothing is wrong in silence. The
ordinary run takes a sample, `-m slow` all of them."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
import strange_dresses
import third_ledgers
from dresses import SILENT, Dress, dresses, each

N_SAMPLED, PARTS = 120, 4
_ALL = dresses()
_STEP = len(_ALL) // N_SAMPLED


def _none_silent(some: list[Dress], folder: Path) -> Counter[str]:
    counts: Counter[str] = Counter()
    silent = []
    for dress, kind, differs in each(some, folder):
        counts[kind] += 1
        if kind == SILENT:
            silent.append((dress, differs[:3]))
    assert not silent
    return counts


@pytest.mark.parametrize("part", range(PARTS))
def test_a_sample_of_dresses_is_silent_about_nothing(part: int, tmp_path: Path) -> None:
    _none_silent(_ALL[::_STEP][:N_SAMPLED][part::PARTS], tmp_path)


@pytest.mark.slow
def test_no_dress_is_silent_about_anything(tmp_path: Path) -> None:
    counts = _none_silent(_ALL, tmp_path)
    print(f"{len(_ALL)} dresses: {dict(counts)}")
    assert counts.total() >= 800


def _strange(some: tuple[strange_dresses.Strange, ...], folder: Path) -> Counter[str]:
    counts: Counter[str] = Counter()
    silent = []
    for one, kind, differs, _ in strange_dresses.each(some, folder):
        counts[kind] += 1
        if kind == strange_dresses.SILENT:
            silent.append((one.ledger, one.name, differs[:3]))
    assert not silent
    return counts


def test_a_sample_of_strange_dresses_is_silent_about_nothing(tmp_path: Path) -> None:
    _strange(strange_dresses.ALL[::8] + third_ledgers.ALL[::6], tmp_path)


@pytest.mark.slow
def test_no_strange_dress_is_silent_about_anything(tmp_path: Path) -> None:
    every = strange_dresses.ALL + third_ledgers.ALL
    counts = _strange(every, tmp_path)
    print(f"{len(every)} strange dresses: {dict(counts)}")
    assert counts.total() >= 330
