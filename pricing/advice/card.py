"""A tag and plain ad text for one unit: only what the record holds, nothing claimed beyond it."""

import re
from collections.abc import Mapping
from datetime import date
from typing import Any

from pricing.advice.cautions import SALE, Verdict, verdict_on
from pricing.advice.history import dated, day_of
from pricing.basis.columns import BY_NAME
from pricing.basis.frozen import frozen
from pricing.basis.settings import Settings

# What a test says on a tag, where the record's note or repair names it: the words looked for, and
# the line. A clause that denies,
# doubts or only plans anything ("not tested", "needs a leak test", "barely cools") claims nothing.
_DOUBT = re.compile(
    r"\b(?:not?|never|without|barely|hardly|needs?|fail(?:s|ed)?|before|todo|to"
    r" do|should|must|will|want|if|but|longer|un\w+|\w+n't|\w+n’t)\b|\?"
)
TESTS = (
    (("full cycle", "test cycle", "ran a cycle", "test load"), "ran a full cycle"),
    (("heats", "heat test", "hot after"), "heats"),
    (("leak test", "no leaks", "leak-tested", "leak tested"), "checked for leaks"),
    (("ground test", "ground ok", "grounded"), "case to ground measured"),
    (("cools", "24 h", "24h", "held temp"), "held its temperature"),
    (("all burners", "every burner"), "every burner lit"),
    (("cleaned and tested", "tested"), "tested"),
)
# What the buyer's house must have, by what the type says: common practice in US homes.
HOOKUPS = (
    ("gas ", "hookup: a gas line and a plain outlet"),
    ("electric dryer", "hookup: 240 volts; match cord and outlet"),
    ("electric coil", "hookup: 240 volts; match cord and outlet"),
    ("electric smooth", "hookup: 240 volts; match cord and outlet"),
    ("wall oven", "hookup: wired in, 240 volts"),
)


@frozen
class Card:
    """What may be said of a unit. done: repairs, once finished; tests: by the record; promise:
    days, or None; ask: in force, or None; recall: day of the check, or None; finished: False in
    work."""

    unit: str
    title: str
    facts: tuple[str, ...]
    done: tuple[str, ...]
    tests: tuple[str, ...]
    promise: int | None
    ask: float | None
    recall: date | None
    finished: bool
    verdict: Verdict

    def as_dict(self) -> dict[str, Any]:
        """The JSON of `card --json`."""
        told = {name: value for name, value in vars(self).items() if name != "verdict"}
        lists = {name: list(told[name]) for name in ("facts", "done", "tests")}
        recall = self.recall.isoformat() if self.recall else None
        return told | self.verdict.as_dict() | lists | {"recall": recall}


def card(unit: Mapping[str, Any], settings: Settings, as_of: date) -> Card:
    """The card of one unit of the record as it stands."""
    told = "; ".join(str(unit.get(name) or "") for name in ("note", "repair")).lower()
    age = unit.get("age")
    facts = []
    if isinstance(age, (int, float)):
        got = day_of(unit.get("got")) or day_of(unit.get("listed")) or as_of.toordinal()
        made = date.fromordinal(got).year - round(float(age))
        facts.append(f"about {made}, {age:.0f} years old when it came in")
    elif unit.get("made"):
        facts.append(f"made {unit['made']}")
    size = unit.get("size")
    if isinstance(size, (int, float)):
        facts.append(f"size {size:g}")
    facts += [str(unit[name]) for name in ("fuel", "finish") if unit.get(name)]
    facts += [word for word in str(unit.get("features") or "").split("; ") if word]
    if unit.get("condition"):
        facts.append(f"condition: {unit['condition']}")
    if unit.get("model"):
        facts.append(f"model {unit['model']}")
    for name in settings.attributes:
        if unit.get(name) not in (None, "") and name not in BY_NAME:
            facts.append(f"{name}: {unit[name]}")
    hookup = next((says for word, says in HOOKUPS if word in str(unit.get("type") or "")), "")
    facts += [hookup] if hookup and settings.region in ("", "US") else []
    verdict = verdict_on(unit, SALE, settings, as_of)
    finished = str(unit.get("outcome") or "") not in ("in work", "waiting for part")
    tests = said_tested(told)
    asks = [
        amount
        for day, amount in dated(str(unit.get("asked") or ""))
        if day is None or day <= as_of.toordinal()
    ]
    promise = unit.get("warranty_days")
    checked = day_of(unit.get("recall_checked"))
    title = " ".join(
        part
        for part in (str(unit.get("maker") or "").title(), str(unit.get("type") or "appliance"))
        if part
    )
    return Card(
        unit=str(unit.get("unit") or ""),
        title=title,
        facts=tuple(facts),
        done=tuple(word for word in str(unit.get("repair") or "").split("; ") if word and finished),
        tests=tests,
        promise=int(promise) if isinstance(promise, (int, float)) and promise > 0 else None,
        ask=asks[-1] if asks and not verdict.decision else None,
        recall=date.fromordinal(checked) if checked else None,
        finished=finished,
        verdict=verdict,
    )


def said_tested(text: str) -> tuple[str, ...]:
    """What a note says was tested, clause by clause.

    >>> (said_tested("new belt; ran a full cycle, no leaks"),
    ...  said_tested("not tested, overheats; needs a leak test"))
    (('ran a full cycle', 'checked for leaks'), ())
    """
    clauses = re.split(r"[.;,\n]+", text.lower())
    found: list[str] = []
    for words, line in TESTS:
        said = [
            clause.replace(word, " ")
            for clause in clauses
            for word in words
            if re.search(rf"\b{re.escape(word)}\b", clause)
        ]
        if any(not _DOUBT.search(rest) for rest in said) and not (line == "tested" and found):
            found.append(line)
    return tuple(found)
