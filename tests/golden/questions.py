"""The 300 questions of the golden answers: every kind of thing that can be told, by seeded chance.

    python tests/golden/questions.py        write the answers anew (say in the commit which change
                                            moved them)

50 for each of offer, bench and ask, of the demo's record and of an empty home, through the commands
themselves; with them the lists, groups and sums of the demo, and how two sheets are read.
"""

from __future__ import annotations

import csv
import json
import random
import sys
import tempfile
from pathlib import Path
from typing import Any

from click.testing import CliRunner

from pricing.basis import assumed
from pricing.cli import group
from pricing.pipeline.demo import DEMO_DAY

HERE = Path(__file__).parent
SHEETS = [HERE.parent / "corpus" / f"{name}.csv" for name in ("reordered_synonyms", "hours_forms")]
DAY = DEMO_DAY.isoformat()
EACH = 50
MAKERS = ("", "", "Halbrook", "Norvane", "Ostrand", "Never Seen")
GRADES = ("", "rough", "fair", "good", "like new")
# Sentences are the wording's own matter: these keys hold nothing but them.
SENTENCES = frozenset(("question", "text", "said", "verdict", "line", "full"))
# Lines whose loss must be seen; how each goes on after its first sentence is the wording's matter.
LINES = ("cautions", "warnings", "dangers")
# What a person says on the telephone or notes at the bench: dangers, faults and numbers in words.
TOLD = (
    "gas range Halbrook, whole kitchen smells like gas when it is off, free, 12 miles",
    "gas dryer no heat and everybody there had a headache, $25",
    "top-freezer fridge warm, hissing sound behind it, $40",
    "electric dryer, plug melted and black, 9 years, 20 bucks",
    "microwave sparks inside, $10",
    "dishwasher stood in a flooded basement, won't start, free",
    "chest freezer full of roaches, $15",
    "dehumidifier from 2012, runs but no water, $5",
    "electric range, I get a shock when I touch it, $30",
    "front-load washer, drum black with mold, leaks, 60 obo, 2nd floor no elevator",
    "dryer caught fire last month, free",
    "window AC not cold, hissing, $20",
    "side-by-side fridge recalled, works, $80",
    "washer wont drain, about ten years old, 35 firm, 20 miles",
    "two dryers, one no heat, one squeals, 50 for both",
    "no gas smell, gas range oven won't heat, 100",
)


def questions(command: str, seed: int) -> list[dict[str, str]]:
    """Rows of a `--from` file."""
    chance = random.Random(f"{command} {seed}")
    types = [row.type for row in assumed.TYPES]
    rows = []
    for _ in range(EACH):
        kind = chance.choice(types)
        family = next(row.family for row in assumed.TYPES if row.type == kind)
        faults = [row.fault for row in assumed.FAULTS if row.family == family] or ["dead"]
        row = {
            "type": kind,
            "maker": chance.choice(MAKERS),
            "age": chance.choice(("", *(str(age) for age in range(22)))),
            "condition": chance.choice(GRADES),
            "features": chance.choice(("", "", "stainless", "steam", "ice and water; stainless")),
        }
        if command != "ask":
            row["fault"] = chance.choice(("", "works; owner upgraded", *faults))
        if command == "offer":
            row["their_price"] = chance.choice(("", "0", "25", "60", "140", "-20"))
            row["miles"] = chance.choice(("", "3", "12", "35"))
        if command == "bench":
            row["hours"], row["parts"] = chance.choice((("", ""), ("1.5", "35"), ("3", "90")))
        rows.append(row)
    return rows


def run(*args: str) -> str:
    """What a command prints; it must succeed."""
    result = CliRunner().invoke(group, [*args, "--as-of", DAY])
    assert result.exit_code == 0, result.output
    return result.stdout


def answers(home: Path, command: str, seed: int, only: slice = slice(None)) -> list[Any]:
    """The answers to the questions of one command, as its JSON says them."""
    rows = questions(command, seed)[only]
    if command == "bench":
        return [_one(home, row) for row in rows]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "asked.csv"
        with path.open("w", newline="", encoding="utf-8") as file:
            writer = csv.DictWriter(file, list(rows[0]))
            writer.writeheader()
            writer.writerows(rows)
        text = run(command, "--from", str(path), "--json", "--home", str(home))
    return [json.loads(line) for line in text.splitlines() if line.startswith("{")]


def spoken(home: Path) -> list[Any]:
    """What each command answers to each line of TOLD."""
    at = ("--json", "--home", str(home))
    return [
        {"command": command, "answer": json.loads(run(command, said, *at))}
        for said in TOLD
        for command in ("offer", "bench", "ask")
    ]


def _one(home: Path, row: dict[str, str]) -> Any:
    """The answer of a command that takes one unit at a time."""
    told = [part for name, value in row.items() if value for part in (f"--{name}", value)]
    return json.loads(run("bench", *told, "--json", "--home", str(home)))


def sums(home: Path) -> dict[str, Any]:
    """What is not asked unit by unit: the list, the groups, and how two sheets are read."""
    at = ("--json", "--home", str(home))
    with tempfile.TemporaryDirectory() as folder:
        told = ("--dry-run", "--json", "--home", folder)
        read = [json.loads(run("add", str(sheet), *told)) for sheet in SHEETS]
    return {
        "unsold": json.loads(run("unsold", *at)),
        "compare": json.loads(run("compare", *at)),
        "reading": read,
    }


STAMP = ("schema", "version", "currency", "as_of")  # what every answer says of itself


def plain(value: Any) -> Any:
    """Without sentences, paths and stamps, numbers to twelve digits; of each line its beginning."""
    if isinstance(value, dict):
        if "schema" in value:  # the day is part of what an ask says itself
            stamp = STAMP[:3] if "ask" in value else STAMP
            value = {key: one for key, one in value.items() if key not in stamp}
        return {
            key: [_begins(one) for one in item] if key in LINES else plain(item)
            for key, item in value.items()
            if key not in SENTENCES and key not in ("file", "home", "rejected_file")
        }
    if isinstance(value, list):
        return [plain(item) for item in value]
    return float(f"{value:.12g}") if isinstance(value, float) else value


def _begins(line: Any) -> Any:
    """The first sentence of a line."""
    return line.split(". ")[0] if isinstance(line, str) else plain(line)


def write(home: Path, empty: Path) -> None:
    """All answers, one file a command and home, one answer a line."""
    for name, folder in (("demo", home), ("empty", empty)):
        for command in ("offer", "bench", "ask"):
            lines = [
                json.dumps(plain(answer), ensure_ascii=False, separators=(",", ":"))
                for answer in answers(folder, command, 1)
            ]
            (HERE / f"{name}-{command}.jsonl").write_text("\n".join(lines) + "\n", encoding="utf-8")
    lines = [
        json.dumps(plain(answer), ensure_ascii=False, separators=(",", ":"))
        for answer in spoken(empty)
    ]
    (HERE / "empty-spoken.jsonl").write_text("\n".join(lines) + "\n", encoding="utf-8")
    text = json.dumps(plain(sums(home)), ensure_ascii=False, separators=(",", ":"))
    (HERE / "demo-sums.json").write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as one, tempfile.TemporaryDirectory() as two:
        run("demo", "--home", one)
        run("setup", "--defaults", "--home", two)
        run("fit", "--home", two)
        write(Path(one), Path(two))
    sys.exit(0)
