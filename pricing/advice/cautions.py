"""What stands above the money of one unit at one moment: its dangers, its cautions, the decision.

`verdict_of` is the gate (`pricing.words.gate`) for a question, `verdict_on` for a row of the
record. Cautions remind; they never say that a thing is safe, legal or not recalled, and they defer
to local codes and licensed people. The sources stand beside each line in `data/words/cautions.csv`.
"""

from collections.abc import Mapping, Sequence
from datetime import date
from functools import cache, lru_cache
from typing import Any

from pricing.basis import assumed, own_rows, words
from pricing.basis.frozen import frozen
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.words import gate, gate_input, tables

CALL, BENCH, SALE = gate.CALL, gate.BENCH, gate.SALE
STAGES = {"offer": CALL, "bench": BENCH, "ask": SALE}
# The last years that the gate tells apart from the next: latch doors before 1959, capacitors and
# switches before 1980, 1990 and before, the dehumidifiers of 2002 to 2018
ERAS = (1958, 1979, 1989, 2001, 2018, 9999)


HEARD = ("faults", "found", "tags")


@frozen
class Said:
    """A caution with its blanks filled in. short: its line of at most 90 letters."""

    name: str
    tag: str
    short: str
    full: str


@frozen
class Verdict:
    """decision: "" where money decides, else what stands above it; as_is: may be sold as it is;
    free_only: no money for it; scrap: the yard may have it; dangers, cautions: the worst first."""

    decision: str = ""
    as_is: bool = True
    free_only: bool = False
    scrap: bool = True
    dangers: tuple[Said, ...] = ()
    cautions: tuple[Said, ...] = ()

    @property
    def lines(self) -> tuple[Said, ...]:
        """All of them, the dangers first."""
        return self.dangers + self.cautions

    def as_dict(self) -> dict[str, Any]:
        """The part of every answer's JSON that comes before the money."""
        return {
            "decision": self.decision,
            "free_only": self.free_only,
            "dangers": [said.short for said in self.dangers],
            "tags": list(dict.fromkeys(said.tag for said in self.dangers)),
            "cautions": [
                *(said.full for said in self.dangers),
                *(f"{said.short} {said.full}" for said in self.cautions),
                *([gate.DEFER] if self.dangers else []),
            ],
        }


def verdict_of(question: Question, stage: str, settings: Settings, as_of: date) -> Verdict:
    """What stands above the money for a question. stage: CALL, BENCH or SALE."""
    heard = question.heard.get("read", {})
    faults, found = _listed(heard, "faults", "fault"), _listed(heard, "found")
    told = {"faults": faults, "found": found, "tags": tuple(question.heard.get("tags", ()))}
    unit, ages = question.unit, question.ages(as_of)
    return _judged(unit, ages, stage, question.said, told, settings, as_of)


def dangers_first(question: Question, moment: str, settings: Settings, as_of: date) -> list[Said]:
    """The dangers of every unit of a question, as an answer would name them first."""
    return [
        said
        for one in (question.each or (question,))
        for said in verdict_of(one, STAGES[moment], settings, as_of).dangers
    ]


def verdict_on(unit: Mapping[str, Any], stage: str, settings: Settings, as_of: date) -> Verdict:
    """The same for a unit as it stands in the record."""
    age = unit.get("age")
    ages = (float(age) if isinstance(age, (int, float)) else None,)
    return _judged(unit, ages, stage, "", dict.fromkeys(HEARD, ()), settings, as_of)


def every(settings: Settings) -> list[Said]:
    """All the cautions as the table has them, with the laws of the person's place alone."""
    us = settings.region == "US"
    return [
        Said(
            row["name"],
            row["tag"],
            gate.by_law(row["line"], us),
            gate.by_law(row["full"].replace(" ({weight})", ""), us),
        )
        for row in tables.rows("cautions")
    ]


def _listed(heard: Mapping[str, Any], *names: str) -> list[str]:
    found: list[str] = []
    for name in names:
        value = heard.get(name) or []
        found += [value] if isinstance(value, str) else [str(one) for one in value]
    return found


def _judged(
    unit: Mapping[str, Any],
    ages: Sequence[float | None],
    stage: str,
    said: str,
    heard: Mapping[str, Any],
    settings: Settings,
    as_of: date,
) -> Verdict:
    made = tuple(as_of.year - round(age) for age in ages if age is not None)
    names = (str(unit.get("type") or ""), str(unit.get("fuel") or ""))
    told = gate_input.told(unit, stage, said, heard, settings.attributes)
    return _gated(stage, _fixed(told), _fixed(kind_of(*names, made, settings)))


def _fixed(told: Mapping[str, Any]) -> tuple[tuple[str, Any], ...]:
    """The same, so that it can be looked up."""
    return tuple((name, tuple(x) if isinstance(x, list) else x) for name, x in told.items())


@cache
def _signs() -> list[dict[str, Any]]:
    """The signs of dangers, one list for all questions."""
    return list(tables.rows("perils"))


@lru_cache(maxsize=2048)  # one question asks for it again with each answer it may get
def _gated(
    stage: str, unit: tuple[tuple[str, Any], ...], kind: tuple[tuple[str, Any], ...]
) -> Verdict:
    about = dict(kind)
    about["types"] = dict(about["types"])
    told = gate.verdict(dict(unit), stage, about, list(tables.rows("cautions")), _signs())
    return Verdict(
        **{name: told[name] for name in ("decision", "as_is", "free_only", "scrap")},
        dangers=tuple(_line(one) for one in told["dangers"]),
        cautions=tuple(_line(one) for one in told["cautions"]),
    )


def _line(one: Mapping[str, Any]) -> Said:
    return Said(one["name"], one["tag"], one["line"], one["full"])


def kind_of(type_name: str, fuel: str, made: tuple[int, ...], settings: Settings) -> dict[str, Any]:
    """What the gate needs to know of a kind, hashable; a plain word ("dryer") is all its kinds."""
    types = own_rows.assumed_types(settings, money=False)
    family = words.family_of(type_name, settings)
    families = tuple(x for x in assumed.fault_families(type_name, family) if x != "any")
    kinds = assumed.plain_kinds(type_name) or {type_name: 1.0}
    row = types.get(type_name)
    of = (kinds, families, row is not None or family != "other")
    pounds = (None if row is None else row.weight_lb, assumed.GENERIC_TYPE.weight_lb)
    eras = tuple(sorted({_era(year) for year in made}))
    kind = gate_input.kind_of(type_name, fuel, eras, of, pounds, settings)
    return kind | {"types": tuple(kinds.items())}


def _era(year: int) -> int:
    """A year that stands for all those the table holds for alike: one answer serves them all."""
    return next((last for last in ERAS if year <= last), year)
