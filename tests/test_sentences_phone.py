"""Sentences on the phone: its script reads every sentence as the program does, to the last word."""

from __future__ import annotations

import json
import random
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import to_js
from in_node import needs_node, said_by
from phone_vectors import DAY as PHONE_DAY
from phone_vectors import as_given, world
from test_phone_parity import differences
from test_sentences import DAY, HERE, by_chance

from pricing.advice import ask
from pricing.basis.problems import Refused
from pricing.basis.question import Question
from pricing.model.own_words import known_words
from pricing.pages import phone
from pricing.pipeline import offering, question_from
from pricing.words import tables
from pricing.words.reader import read

pytestmark = needs_node
OWN = {
    "types": {"soda cooler": "soda cooler", "gas laundry topper": "gas laundry topper"},
    "by_words": {
        "cooler soda": "soda cooler",
        "gas laundry topper": "gas laundry topper",
        "topper": "gas laundry topper",
        "soda": "soda cooler",
    },
    "families": {"soda cooler": ["fridge"], "gas laundry topper": ["washer", "dryer"]},
    "faults": {"rattles": "rattles like a can"},
    "makers": {"aldora": "aldora", "corvane": "corvane"},
    "repairs": {"new widget": "new widget"},
    "features": {"quiet drum": "quiet drum"},
}
# Odd things to type: other scripts, pictures, a name that every table of JavaScript has.
ODD = ("", "  ", "constructor toString", "🔥🔥 dryer 40€ ٤٠", "washer — 12½ miles", "free!!! 💧 fridge",
       "ＧＡＳ range", "10,5 km, 1.200,50", "__proto__ dryer", "3 dryers 2 no heat 1 squeals", "laundry topper gas, no heat, 40",
       "a topper that won't drain", "soda maker", "sofa 20 bucks", "riding mower won't start")  # fmt: skip
RUN = """
const asked = JSON.parse(require("fs").readFileSync(0, "utf8"));
console.log(JSON.stringify(asked.says.map(([text, moment]) =>
  reader_words.read(text, moment, asked.tables, asked.own, asked.year))));
"""


def by_script(says: list[tuple[str, str]], folder: Path) -> list[dict[str, Any]]:
    sent = {"says": says, "tables": tables.compiled("said"), "own": OWN, "year": DAY.year}
    found: list[dict[str, Any]] = said_by(to_js.script() + RUN, sent, folder)
    return found


@pytest.mark.long
def test_the_script_reads_every_sentence_as_the_program(tmp_path: Path) -> None:
    """The sentences of all files, three hundred made by chance with slips of letters, and odd ones.
    One sentence by chance in a hundred that is read otherwise is met with .95 (1 - .99^300)."""
    cases = [
        json.loads(line)
        for name in (
            "open.jsonl",
            "own.jsonl",
            "stranger.jsonl",
            "voices.jsonl",
            "many_hands.jsonl",
        )
        for line in (HERE / name).read_text(encoding="utf-8").splitlines()
    ]
    draw = random.Random(71)
    says = [(case["say"], case["moment"]) for case in cases]
    says += [(by_chance(draw)[0], draw.choice(("offer", "bench", "ask"))) for _ in range(300)]
    says += [(text, moment) for text in ODD for moment in ("offer", "ask")]
    theirs = by_script(says, tmp_path)

    held = tables.load("said")
    unlike = [
        (say, ours, other)
        for (say, moment), other in zip(says, theirs, strict=True)
        if (ours := json.loads(json.dumps(read(say, moment, held, OWN, DAY.year)))) != other
    ]
    assert not unlike, f"{len(unlike)} of {len(says)}: {unlike[:3]}"


ANSWER = """
const given = JSON.parse(require("fs").readFileSync(0, "utf8"));
use(given.file);
console.log(JSON.stringify(given.says.map(([text, page, whole]) => {
  const [question, wrong] = question_of(page, { [`say_${page}`]: text }, given.as_of);
  if (wrong.length) return { wrong };
  return { question, answer: whole ? (page === "ask" ? ask : offer)(question, given.as_of) : null };
})));
"""


def as_plain(one: Question) -> dict[str, Any]:
    """A question as the phone holds it."""
    told = as_given(one) | {"heard": one.heard_still, "said": one.said}
    told |= {"warnings": list(one.warnings), "each": [as_plain(other) for other in one.each]}
    plain: dict[str, Any] = json.loads(json.dumps(told))
    return plain


@pytest.mark.long
def test_a_sentence_is_answered_on_the_phone_as_by_the_command(tmp_path: Path) -> None:
    """The same questions of all sentences, the same refusals, and of every twelfth the whole answer:
    `heard`, dangers, lots and money. In kilometers, with own types and faults."""
    saved, settings = world(3, tmp_path / "home")
    settings = replace(settings, distance_unit="km", owner="")
    known = known_words(saved)
    lines = [
        json.loads(line)
        for name in ("open.jsonl", "own.jsonl")
        for line in (HERE / name).read_text(encoding="utf-8").splitlines()
    ]
    says = [
        (one["say"], one["moment"], place % 12 == 0 or "gas" in one["say"][:30])
        for place, one in enumerate(lines)
        if one["moment"] != "bench"
    ]
    says += [(text, "offer", True) for text in MORE]
    ours: list[Question | None] = []
    for text, page, _ in says:
        try:
            ours.append(question_from.read(text, {}, settings, PHONE_DAY, known, page))
        except Refused:
            ours.append(None)
    sent = {"file": phone.given(saved, settings), "says": says, "as_of": PHONE_DAY.isoformat()}
    theirs = said_by(phone.engine() + ANSWER, sent, tmp_path)

    unlike: list[Any] = []
    kinds = set()
    for (text, page, whole), one, other in zip(says, ours, theirs, strict=True):
        if one is None or "wrong" in other:
            unlike += [] if one is None and "wrong" in other else [(text, one, other)]
            kinds.add("refused")
            continue
        unlike += [(text, found) for found in differences(as_plain(one), other["question"])]
        if not whole:
            continue
        story = ask.decide if page == "ask" else offering.offer
        told = json.loads(json.dumps(story(one, saved, settings, PHONE_DAY).as_dict()))
        del told["unit"]
        unlike += [(text, found) for found in differences(told, other["answer"])]
        kinds |= {name for name in ("lot", "decision", "dangers", "heard") if told.get(name)}
    assert not unlike, f"{len(unlike)}: {unlike[:5]}"
    assert kinds == {"refused", "lot", "decision", "dangers", "heard"}


# Odd ones of our own: a price that waits, several units with a danger among them, at the curb.
MORE = (
    "gas dryer, no heat, 100",
    "3 dryers, 2 no heat, 1 smells of gas, 60 for all, 10 miles",
    "washer won't spin, free, I'm at the curb",
    "soda cooler, rattles, 2014 or 2015, wants 40, 20 minutes away",
    "a thing",
    "two window ACs, one warm, one dead, 40 for both, 6 miles",
    "sofa, $20, 5 miles",
    "cooler for soda, warm, $15",
)
