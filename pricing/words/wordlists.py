"""The lists of words that the engine asks for by name: `data/words/listed.csv`, filled when the
tables are made ready."""

from __future__ import annotations

LISTED: dict[str, list[str]] = {}
