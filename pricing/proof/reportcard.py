"""Real answers, kept when they were given and scored once the unit is sold: the tool's number
beside the person's own. Each call of `keep` writes one new file of JSON lines in data/estimates,
never written again; a failed write is a sentence to show, never the end of the answer."""

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np

from pricing.basis import files
from pricing.basis.home import Home
from pricing.basis.problems import Problem, Refused
from pricing.basis.units import Units

_NAME = re.compile(r"(\d{6,9})\.jsonl")
_SAID = ("type", "maker", "tier", "age", "condition", "fuel", "finish")
_FIGURES = ("median", "low", "high")
LARGEST = 16 * 2**20  # bytes of one file
Answer = Mapping[str, Any]


@dataclass(frozen=True)
class KeptAnswer:
    """One answer as it was given. unit: number or ""; own: the person's own; said: what it was."""

    unit: str
    as_of: date
    median: float
    low: float
    high: float
    coverage: float
    own: float | None
    said: Mapping[str, Any]


@dataclass(frozen=True)
class Scored:
    """A kept answer whose unit was sold since."""

    kept: KeptAnswer
    unit: str
    type: str
    sold: date
    price: float

    @property
    def caught(self) -> bool:
        return self.kept.low <= self.price <= self.kept.high


@dataclass(frozen=True)
class ReportCard:
    """All kept answers. n_kept: answers; n_open: whose unit is not sold (or not told apart);
    scored: one a unit, the last answer before the sale; problems: lines that cannot be read."""

    n_kept: int
    n_open: int
    scored: tuple[Scored, ...]
    problems: tuple[Problem, ...]

    @property
    def n_caught(self) -> int:
        return sum(one.caught for one in self.scored)

    @property
    def off(self) -> float:
        """Median |estimate / price - 1| of the tool over all scored; NaN without any."""
        return _off([(one.kept.median, one.price) for one in self.scored])

    @property
    def both(self) -> tuple[Scored, ...]:
        """Scored answers with the person's own number beside them."""
        return tuple(one for one in self.scored if one.kept.own is not None)

    @property
    def off_both(self) -> tuple[float, float]:
        """The same for tool and person, over the answers where both spoke."""
        both = [(one.kept.median, one.kept.own or 0.0, one.price) for one in self.both]
        return _off([(tool, price) for tool, _, price in both]), _off([x[1:] for x in both])

    @property
    def nearer(self) -> tuple[int, int, int]:
        """How often the tool was nearer, the person was, and both alike, where both spoke."""
        tool = person = 0
        for one in self.both:
            mine, own = (np.log(x / one.price) for x in (one.kept.median, one.kept.own or 1.0))
            further = abs(mine) - abs(own)
            tool, person = tool + (further < -1e-9), person + (further > 1e-9)
        return int(tool), int(person), len(self.both) - int(tool) - int(person)


def keep(
    home: Home, answer: Answer | Sequence[Answer], own: float | None, as_of: date
) -> str | None:
    """Keep one answer, or those of a sheet, as given by `--json`: of `ask` (unit, median, low,
    high, coverage) or of `offer` (unit, price {median, low, high}). Returns a sentence where they
    could not be kept."""
    answers = [answer] if isinstance(answer, Mapping) else list(answer)
    lines = [_line(one, own, as_of) for one in answers]
    text = "".join(line for line in lines if line)
    if not text:
        return None
    try:
        while True:
            path = _folder(home) / f"{max((n for n, _ in _files(home)), default=0) + 1:06d}.jsonl"
            try:
                files.write_bytes(path, text.encode(), replace=False)
            except FileExistsError:  # another process took the number in the meantime
                continue
            return None
    except (Refused, OSError) as error:
        return f"this answer was not kept for the report card: {error}"


def score(home: Home, current_units: Units) -> ReportCard:
    """Every kept answer against what its unit brought; the last one before the sale counts. One
    without a unit number is matched where exactly one unit sold since is what was said. Answers
    after the day of the sale do not count: they may have known the price."""
    kept, problems = read(home)
    sales = _sales(current_units, min((one.as_of for one in kept), default=date.max))
    last: dict[str, Scored] = {}
    n_open = 0
    for one in kept:
        found = _sale_of(one, sales)
        if found is None:
            n_open += 1
            continue
        name, row = found
        before = last.get(name)
        own = one.own if one.own is not None else before.kept.own if before else None
        sold = date.fromordinal(int(row["sold"]))
        last[name] = Scored(replace(one, own=own), name, row["type"], sold, row["price"])
    scored = tuple(sorted(last.values(), key=lambda one: (one.sold, one.unit)))
    return ReportCard(len(kept), n_open, scored, tuple(problems))


def read(home: Home) -> tuple[list[KeptAnswer], list[Problem]]:
    """All kept answers in order, and a problem for each line that cannot be read."""
    kept: list[KeptAnswer] = []
    problems: list[Problem] = []
    damaged = "this kept answer is damaged and was left out"
    fix = "nothing need be done: the others count"
    for _, path in sorted(_files(home)):
        try:
            data = files.read_bytes(path) if path.stat().st_size <= LARGEST else b""
        except Refused as error:
            problems += error.problems
            continue
        except OSError as error:
            what = f"these kept answers cannot be read: {error}"
            problems.append(Problem(what, file=str(path)))
            continue
        for number, line in enumerate(data.splitlines(), start=1):
            try:
                kept.append(_kept(json.loads(line)))
            except (ValueError, TypeError, KeyError, AttributeError, RecursionError, OverflowError):
                problems.append(Problem(damaged, fix, str(path), number))
    kept.sort(key=lambda one: one.as_of)
    return kept, problems


def _folder(home: Home) -> Path:
    return home.data / "estimates"


def _files(home: Home) -> Iterator[tuple[int, Path]]:
    folder = _folder(home)
    for entry in folder.iterdir() if folder.is_dir() else ():
        if match := _NAME.fullmatch(entry.name):
            yield int(match[1]), entry


def _line(answer: Mapping[str, Any], own: float | None, as_of: date) -> str:
    price = answer.get("price") if isinstance(answer.get("price"), Mapping) else answer
    assert isinstance(price, Mapping)
    if not all(_positive(price.get(name)) for name in _FIGURES):
        return ""
    told = answer.get("unit")
    unit = told if isinstance(told, Mapping) else {"unit": told}
    row = {
        "unit": str(unit.get("unit") or ""),
        "as_of": as_of.isoformat(),
        **{name: price[name] for name in _FIGURES},
        "coverage": answer.get("coverage", 0.8),
        "own": own,
        "said": {name: unit[name] for name in _SAID if unit.get(name) not in (None, "")},
    }
    return json.dumps(row, ensure_ascii=False, allow_nan=False) + "\n"


def _kept(row: Mapping[str, Any]) -> KeptAnswer:
    figures = [row[name] for name in (*_FIGURES, "coverage")]
    if not all(map(_positive, figures)) or not (row["own"] is None or _positive(row["own"])):
        raise ValueError("not the numbers of an answer")
    unit, day = str(row["unit"]), date.fromisoformat(row["as_of"])
    median, low, high, coverage = map(float, figures)
    return KeptAnswer(unit, day, median, low, high, coverage, row["own"], dict(row["said"]))


def _positive(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and 0 < value < 1e12


def _sales(units: Units, since: date) -> list[dict[str, Any]]:
    with np.errstate(invalid="ignore"):
        paid, late = units.number("price") > 0, units.number("sold") >= since.toordinal()
    rows = np.flatnonzero(paid & late)
    sold = units.take(rows)
    names = ("unit", *(name for name in _SAID if name != "age"))
    columns: dict[str, list[Any]] = {name: sold.word(name).texts() for name in names}
    columns |= {name: sold.number(name).tolist() for name in ("price", "sold")}
    columns["age"] = [None if age != age else age for age in sold.number("age").tolist()]
    rows_of = zip(*columns.values(), strict=True)
    return [dict(zip(columns, values, strict=True)) for values in rows_of]


def _sale_of(kept: KeptAnswer, sales: Sequence[Answer]) -> tuple[str, Answer] | None:
    """The sale an answer was about, by number, else by what was said where only one sale fits."""
    since = [row for row in sales if row["sold"] >= kept.as_of.toordinal()]
    if kept.unit:
        named = [row for row in since if row["unit"].strip().lower() == kept.unit.strip().lower()]
        return (named[0]["unit"], named[0]) if len(named) == 1 else None

    def fits(row: Mapping[str, Any]) -> bool:
        told = ((row[name], value) for name, value in kept.said.items() if name in row)
        return all(known == value or known in ("", None) for known, value in told)

    like = [row for row in since if fits(row)] if kept.said.get("type") else []
    if len(like) != 1:
        return None
    return like[0]["unit"] or f"{like[0]['type']} sold {like[0]['sold']:.0f}", like[0]


def _off(pairs: Sequence[tuple[float, float]]) -> float:
    off = [abs(estimate / price - 1) for estimate, price in pairs]
    return float(np.median(off)) if off else float("nan")
