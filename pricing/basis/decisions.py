"""What the person decided once and for all, as JSON beside the record: what is right, own rules."""

import json
from pathlib import Path

from pricing.basis.files import read_bytes, write_text
from pricing.basis.home import Home


def path_of(home: Home) -> Path:
    """The file of a home's decisions."""
    return home.data / "decisions.json"


def load(home: Home, kind: str) -> list[dict[str, object]]:
    """The decisions of a kind, oldest first."""
    path = path_of(home)
    if not path.exists():
        return []
    return json.loads(read_bytes(path)).get(kind, [])


def keep(home: Home, kind: str, decided: list[dict[str, object]]) -> None:
    """Put the decisions of a kind in the place of those that were."""
    path = path_of(home)
    # The other kinds stay as they are.
    table = json.loads(read_bytes(path)) if path.exists() else {}
    write_text(path, json.dumps(table | {kind: decided}, indent=1) + "\n")


def right_values(home: Home) -> frozenset[tuple[str, str, float]]:
    """(unit, column, value) that the person said are right."""
    told = ((str(one["unit"]), str(one["column"]), one["value"]) for one in load(home, "right"))
    return frozenset((unit, column, float(str(value))) for unit, column, value in told)
