"""Runs pricing on corpus files and writes what became of each row: python tests/corpus_adapter.py
OUT.json FILE [FILE …]

Files are added one after the other to one fresh record. Columns are written under the corpus'
neutral names; word columns in the person's own words.
"""

from __future__ import annotations

import json
import sys
import tempfile
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

NEUTRAL = {"unit": "ref", "got": "bought"}
KEYS = (
    "unit",
    "type",
    "age",
    "condition",
    "repair",
    "features",
    "paid",
    "parts",
    "hours",
    "got",
    "listed",
    "asked",
    "sold",
    "price",
    "outcome",
)


def main(out: Path, files: list[Path]) -> None:
    from pricing.basis.home import Home
    from pricing.basis.problems import Refused
    from pricing.basis.settings import Settings
    from pricing.pipeline.adding import add
    from pricing.record.current import read_current

    result: dict[str, Any] = {
        "refused": False,
        "message": "",
        "accepted": [],
        "rejected": [],
        "warnings": [],
    }
    warned: dict[tuple[str, int], bool] = {}
    silent: set[tuple[str, int]] = (
        set()
    )  # rows whose file says no outcome: ours is worked out, not read
    with tempfile.TemporaryDirectory() as folder:
        home = Home(Path(folder))
        refusals = []
        for file in files:
            try:
                added = add(home, file, Settings(), date(2026, 11, 25))
            except Refused as refusal:
                refusals.append(str(refusal))
                continue
            result["warnings"] += [f"{note.what}" for note in added.notes] + [
                question.text for question in added.reading.questions
            ]
            result["rejected"] += [
                {
                    "line": row.line,
                    "record": row.record,
                    "reason": "; ".join(problem.what for problem in row.problems),
                }
                for row in added.rejected
            ]
            warned |= {(file.name, row.line): bool(row.notes) for row in added.reading.rows}
            place = next(
                (
                    place
                    for place, heading in enumerate(added.reading.facts.headings)
                    if heading.column == "outcome"
                ),
                10**6,
            )
            silent |= {
                (file.name, row.line)
                for row in added.reading.rows
                if place >= len(row.cells) or not row.cells[place].strip()
            }
            if added.older:
                result["warnings"].append(f"{len(added.older)} rows are older than the record")
        rows = read_current(home).to_pylist()
    for row in rows:
        said = json.loads(row["said"] or "{}")
        values = {NEUTRAL.get(key, key): _text(said.get(key) or row[key]) for key in KEYS}
        if str(row["unit"]).startswith("~"):
            values["ref"] = None
        if (row["file"], row["line"]) in silent:
            values["outcome"] = None
        line = row["line"] if len(files) == 1 else None
        result["accepted"].append(
            {
                "line": line,
                "record": None,
                "warned": warned.get((row["file"], row["line"]), False),
                "values": values,
            }
        )
    result["refused"] = bool(refusals) and not rows
    result["message"] = " ".join(refusals)
    out.write_text(json.dumps(result, ensure_ascii=True), encoding="utf-8")


def _text(value: Any) -> str | None:
    if value is None:
        return None
    if isinstance(value, float):
        return f"{value:.10g}"
    return f"{value:f}" if isinstance(value, Decimal) else str(value)


if __name__ == "__main__":
    main(Path(sys.argv[1]), [Path(name) for name in sys.argv[2:]])
