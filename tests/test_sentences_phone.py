"""Sentences on the phone: its script reads every sentence as the program does, to the last word."""

from __future__ import annotations

import json
import random
import subprocess
from pathlib import Path
from typing import Any

import to_js
from test_phone_parity import NODE, needs_node
from test_sentences import DAY, HERE, by_chance

from pricing.words import tables
from pricing.words.reader import read

pytestmark = needs_node
OWN = {
    "types": {"soda cooler": "soda cooler"},
    "faults": {"rattles": "rattles like a can"},
    "makers": {"aldora": "aldora", "corvane": "corvane"},
    "repairs": {"new widget": "new widget"},
    "features": {"quiet drum": "quiet drum"},
}
# Odd things to type: other scripts, pictures, a name that every table of JavaScript has.
ODD = ("", "  ", "constructor toString", "🔥🔥 dryer 40€ ٤٠", "washer — 12½ miles", "free!!! 💧 fridge",
       "ＧＡＳ range", "10,5 km, 1.200,50", "__proto__ dryer", "3 dryers 2 no heat 1 squeals")  # fmt: skip
RUN = """
const asked = JSON.parse(require("fs").readFileSync(0, "utf8"));
console.log(JSON.stringify(asked.says.map(([text, moment]) =>
  reader_words.read(text, moment, asked.tables, asked.own, asked.year))));
"""


def by_script(says: list[tuple[str, str]], folder: Path) -> list[dict[str, Any]]:
    script = folder / "reader.js"
    script.write_text(to_js.script() + RUN, encoding="utf-8")
    sent = {"says": says, "tables": tables.load.__wrapped__("said"), "own": OWN, "year": DAY.year}
    assert NODE is not None
    done = subprocess.run(
        [NODE, str(script)],
        input=json.dumps(sent),
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    found: list[dict[str, Any]] = json.loads(done.stdout)
    return found


def test_the_script_reads_every_sentence_as_the_program(tmp_path: Path) -> None:
    """The sentences of both files, a thousand made by chance with slips of letters, and odd ones."""
    cases = [
        json.loads(line)
        for name in ("open.jsonl", "own.jsonl")
        for line in (HERE / name).read_text(encoding="utf-8").splitlines()
    ]
    draw = random.Random(71)
    says = [(case["say"], case["moment"]) for case in cases]
    says += [(by_chance(draw)[0], draw.choice(("offer", "bench", "ask"))) for _ in range(1_000)]
    says += [(text, moment) for text in ODD for moment in ("offer", "ask")]
    theirs = by_script(says, tmp_path)

    held = tables.load("said")
    unlike = [
        (say, ours, other)
        for (say, moment), other in zip(says, theirs, strict=True)
        if (ours := json.loads(json.dumps(read(say, moment, held, OWN, DAY.year)))) != other
    ]
    assert not unlike, f"{len(unlike)} of {len(says)}: {unlike[:3]}"
