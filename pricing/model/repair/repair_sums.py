"""The one pass over the units that the repair model needs, added up by cells of words. Fixed: sold
(not as-is), listed, returned. Not fixed: scrapped, parted, sold as-is. Others are no outcome
yet."""

import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any, TypeVar

import numpy as np

from pricing.basis import assumed
from pricing.basis.own_rows import assumed_faults, assumed_types, generic_type
from pricing.basis.settings import Settings
from pricing.basis.units import Coded, Units
from pricing.basis.words import family_of
from pricing.formulas.repairs_needed import steps_of
from pricing.model.seen import MOST_WORDS, most_common

FIXED, FAILED, OPEN = 0, 1, 2
MOST_CELLS = 200_000
_OUTCOME = {"sold": FIXED, "listed": FIXED, "returned": FIXED, "scrapped": FAILED, "parted": FAILED}
# A repair cell that says the unit was sold broken
AS_IS = ("as-is", "as is", "not repaired", "not fixed", "unrepaired")
Key = tuple[
    str, str, str, str, float, int
]  # type, fault, found, repair, age in whole years (blank: -1), outcome
Cell = tuple[str, str, str, int, float]  # type, fault, repair really needed, outcome, age


@dataclass
class RepairSums:
    """cells: key -> units, parts known, none bought, bought, sum ln parts, squared, hours known,
    sum ln hours, squared. by_type: name -> type -> (units, sum, …): "sell" ln hours to clean and
    sell, squared; "failed money"; "as-is", "parted" shares of the assumed price; of all types under
    "": "failed hours", "waste", "comebacks", "bench days". paid: type ("" is all) -> money ->
    units; miles: distance -> units; heard: column -> word -> units."""

    cells: dict[Key, np.ndarray] = field(default_factory=dict)
    by_type: dict[str, dict[str, np.ndarray]] = field(default_factory=dict)
    paid: dict[str, Counter[float]] = field(default_factory=dict)
    miles: Counter[float] = field(default_factory=Counter)
    heard: dict[str, Counter[str]] = field(default_factory=dict)

    def pair(self, name: str) -> tuple[float, float]:
        """Units and sum of one of the sums over all types."""
        total = sum(self.by_type.get(name, {}).values(), np.zeros(2))
        return float(total[0]), float(total[1])


def look_at(units: Units, settings: Settings, as_of: date) -> RepairSums:
    """The sums of one block of units; those got after `as_of`, trips and expenses are left out."""
    sums = RepairSums()
    units = of_the_bench(units, as_of)
    if units.n:
        outcome = outcomes(units)
        bench, rest = work_hours(units, settings)
        _add_cells(sums, units, outcome, bench)
        _add_by_type(sums, units, settings, outcome, rest)
        _add_heard(sums, units, settings)
    return sums


def of_the_bench(units: Units, as_of: date) -> Units:
    """The units without those got after `as_of`, trips and expenses."""
    is_unit = units.word("outcome").each(lambda word: word not in ("trip", "expense"), True)
    keep = is_unit & ~(units.number("got") > as_of.toordinal())
    return units if keep.all() else units.take(keep)


def added(a: RepairSums, b: RepairSums) -> RepairSums:
    """The sums of two blocks together."""

    def both(name: str) -> dict[str, Counter[Any]]:
        one, other = getattr(a, name), getattr(b, name)
        none: Counter[Any] = Counter()
        return {key: one.get(key, none) + other.get(key, none) for key in {**one, **other}}

    kinds = {**a.by_type, **b.by_type}
    return RepairSums(
        cells=_few_cells(_both(a.cells, b.cells)),
        by_type={x: _both(a.by_type.get(x, {}), b.by_type.get(x, {})) for x in kinds},
        paid=both("paid"),
        miles=a.miles + b.miles,
        heard={name: most_common(told, MOST_WORDS) for name, told in both("heard").items()},
    )


K = TypeVar("K")


def _both(a: Mapping[K, np.ndarray], b: Mapping[K, np.ndarray]) -> dict[K, np.ndarray]:
    """Two tables added; neither is changed."""
    total = dict(a)
    for key, values in b.items():
        total[key] = total[key] + values if key in total else values
    return total


def _few_cells(cells: dict[Key, np.ndarray]) -> dict[Key, np.ndarray]:
    """At most MOST_CELLS: the rarest half is told apart by type, age and outcome alone."""
    if len(cells) <= MOST_CELLS:
        return cells
    order = sorted(cells, key=lambda key: (-float(cells[key][0]), key))
    few = {key: cells[key] for key in order[: MOST_CELLS // 2]}
    for key in order[MOST_CELLS // 2 :]:
        plain = (key[0], "", "", "", key[4], key[5])
        few[plain] = few[plain] + cells[key] if plain in few else cells[key]
    return few


def outcomes(units: Units) -> np.ndarray:
    """FIXED, FAILED or OPEN of each unit, (n,); a unit with a price and no outcome was sold."""
    words = units.word("outcome")
    table = np.array([*(_OUTCOME.get(level, OPEN) for level in words.levels), OPEN], dtype=np.int64)
    has_price = np.isfinite(units.number("price"))
    outcome = np.where((words.codes < 0) & has_price, FIXED, table[words.codes])
    return np.where(_as_is(units) & (outcome == FIXED) & has_price, FAILED, outcome)


def _as_is(units: Units) -> np.ndarray:
    return units.word("repair").each(is_as_is, False, bool)


def is_as_is(repair: str) -> bool:
    """Whether a repair cell says that nothing was repaired."""
    return any(word in repair for word in AS_IS)


def work_hours(units: Units, settings: Settings) -> tuple[np.ndarray, np.ndarray]:
    """Bench hours, and hours to clean and sell, (n,), NaN if blank; a lump is split."""
    bench = _sum_known(units.number("diagnose_min"), units.number("repair_min")) / 60
    rest = _sum_known(units.number("clean_min"), units.number("sell_min")) / 60
    lump = units.number("hours")
    split = np.flatnonzero(np.isfinite(lump) & ~np.isfinite(bench))
    if len(split):
        share = _bench_share(units, split, settings)
        rest_known = np.isfinite(rest[split])
        left = np.maximum(lump[split] - np.nan_to_num(rest[split]), 0.05)
        bench[split] = np.where(rest_known, left, lump[split] * share)
        rest[split] = np.where(rest_known, rest[split], lump[split] * (1 - share))
    return bench, rest


def _bench_share(units: Units, rows: np.ndarray, settings: Settings) -> np.ndarray:
    """Bench hours as a share of all hours without driving, by the starting table."""
    types, table = assumed_types(settings), assumed_faults(settings)
    types_of, faults_of = units.word("type"), units.word("fault")
    pairs, place = np.unique(
        np.stack([types_of.codes[rows], faults_of.codes[rows]], axis=1), axis=0, return_inverse=True
    )
    shares = []
    for type_code, fault_code in pairs.tolist():
        name = types_of.levels[type_code] if type_code >= 0 else ""
        fault = faults_of.levels[fault_code] if fault_code >= 0 else ""
        work = assumed.fault_row(fault, name, family_of(name, settings), table)[0].bench_h
        shares.append(work / (work + types.get(name, generic_type(settings)).clean_sell_h))
    return np.array(shares)[place.reshape(-1)]


def _sum_known(first: np.ndarray, second: np.ndarray) -> np.ndarray:
    known, both = (
        np.isfinite(first) | np.isfinite(second),
        np.nan_to_num(first) + np.nan_to_num(second),
    )
    return np.where(known, both, np.nan)


def _add_cells(sums: RepairSums, units: Units, outcome: np.ndarray, bench: np.ndarray) -> None:
    parts, ended = units.number("parts"), outcome != OPEN
    known, told = np.isfinite(parts) & ended, np.isfinite(bench) & ended
    bought = (parts > 0) & ended
    log_parts = np.log(np.where(bought, parts, 1.0))
    log_hours = log_bench(np.where(told, bench, np.nan))
    of_parts = (known, known & ~bought, bought, log_parts, log_parts**2)
    values = np.stack([np.ones(units.n), *of_parts, told, log_hours, log_hours**2], axis=1)
    columns = [units.word(name) for name in ("type", "fault", "found", "repair")]
    codes = [column.codes.astype(np.int64) for column in columns]
    distinct, totals = grouped([*codes, whole_age(units), outcome], values)
    for (*row, age, end), total in zip(distinct.tolist(), totals, strict=True):
        words = (one.levels[x] if x >= 0 else "" for one, x in zip(columns, row, strict=True))
        kind, fault, found, repair = words
        key: Key = (kind, fault, found, repair, float(age), end)
        sums.cells[key] = sums.cells[key] + total if key in sums.cells else total


def log_bench(bench: np.ndarray) -> np.ndarray:
    """ln bench hours, three minutes at least, 0 where they are not known, (n,)."""
    return np.log(np.where(np.isfinite(bench), np.maximum(bench, 0.05), 1.0))


def whole_age(units: Units) -> np.ndarray:
    """Age in whole years up to 60, -1 where it is blank, (n,) int64."""
    age = np.round(units.number("age"))
    return np.where(np.isfinite(age), np.clip(age, 0, 60), -1).astype(np.int64)


def grouped(codes: list[np.ndarray], values: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Distinct rows of codes (from -1), in order, and the sums of `values` over each."""
    distinct, place = _distinct(codes)
    totals = np.stack(
        [np.bincount(place, weights=column, minlength=len(distinct)) for column in values.T], axis=1
    )
    return distinct, totals


def _distinct(codes: list[np.ndarray]) -> tuple[np.ndarray, np.ndarray]:
    """Distinct rows of codes, and which each row is; packed into one number if they fit (10 x)."""
    sizes = [int(code.max()) + 2 if len(code) else 1 for code in codes]
    if math.prod(sizes) >= 2**62:
        distinct, place = np.unique(np.stack(codes, axis=1), axis=0, return_inverse=True)
        return distinct, place.reshape(-1)
    packed = np.zeros(len(codes[0]), dtype=np.int64)
    for code, size in zip(codes, sizes, strict=True):
        packed = packed * size + (code + 1)
    values, place = np.unique(packed, return_inverse=True)
    columns = []
    for size in reversed(sizes):
        values, rest = np.divmod(values, size)
        columns.append(rest - 1)
    return np.stack(columns[::-1], axis=1), place


def _add_by_type(
    sums: RepairSums, units: Units, settings: Settings, outcome: np.ndarray, rest: np.ndarray
) -> None:
    types, kind = units.word("type"), units.word("outcome")
    table, generic = assumed_types(settings), generic_type(settings)
    usual_of = [table.get(name, generic).price for name in types.levels]
    usual = np.array([*usual_of, generic.price])[types.codes]
    price, salvage = units.number("price"), units.number("salvage")
    some = np.isfinite(price) | np.isfinite(salvage)
    money = np.where(some, np.nan_to_num(price) + np.nan_to_num(salvage), np.nan)
    failed = outcome == FAILED

    def ended_as(*words: str) -> np.ndarray:
        mask: np.ndarray = np.array([*(x in words for x in kind.levels), False], dtype=bool)
        return mask[kind.codes]

    log_rest = np.log(np.where(np.isfinite(rest), np.maximum(rest, 0.02), 1.0))
    returned = (units.word("comeback").codes >= 0) | ended_as("returned")
    days, parts = units.number("listed") - units.number("got"), units.number("parts")
    for name, rows, values in (
        ("sell", np.isfinite(rest) & (outcome == FIXED), [log_rest, log_rest**2]),
        ("failed money", failed & ended_as("scrapped"), [money]),
        ("as-is", failed & ended_as("sold"), [price / usual]),
        ("parted", failed & ended_as("parted"), [money / usual]),
        ("failed hours", failed & ended_as("scrapped"), [rest]),
        ("waste", failed & np.isfinite(parts), [(parts > 0).astype(float)]),
        ("comebacks", ended_as("sold", "returned") & ~failed, [returned.astype(float)]),
        ("bench days", (outcome == FIXED) & (days >= 0) & (days <= 365), [days]),
    ):
        good = rows & np.all(np.isfinite(values), axis=0)
        told = np.stack([np.ones(units.n), *values], axis=1)
        _into(sums.by_type.setdefault(name, {}), types, good, told)
    paid = np.round(units.number("paid"), 2)
    for code, amount, count in _counted(types.codes, paid):
        for group in (types.levels[int(code)] if code >= 0 else "?", ""):
            sums.paid.setdefault(group, Counter())[amount] += count
    miles = units.number("miles")
    far = np.where(miles > 0, np.round(miles, 1), np.nan)
    for _, distance, count in _counted(np.zeros(units.n), far):
        sums.miles[distance] += count


def _into(table: dict[str, np.ndarray], types: Coded, rows: np.ndarray, values: np.ndarray) -> None:
    if not rows.any():
        return
    distinct, totals = grouped([types.codes[rows].astype(np.int64)], values[rows])
    for (code,), total in zip(distinct.tolist(), totals, strict=True):
        name = types.levels[code] if code >= 0 else ""
        table[name] = table[name] + total if name in table else total


def _counted(codes: np.ndarray, values: np.ndarray) -> list[tuple[float, float, int]]:
    """Code, value and count of each distinct pair with a known value."""
    known = np.isfinite(values)
    levels, level_of = np.unique(values[known], return_inverse=True)
    distinct, place = _distinct([codes[known].astype(np.int64), level_of.astype(np.int64)])
    counts = np.bincount(place, minlength=len(distinct))
    return [
        (float(code), float(levels[level]), count)
        for (code, level), count in zip(distinct.tolist(), counts.tolist(), strict=True)
    ]


def _add_heard(sums: RepairSums, units: Units, settings: Settings) -> None:
    """What is told of units: ages, grades, faults, makers, features by family ("" counts units)."""
    for _, years, count in _counted(np.zeros(units.n), np.round(units.number("age"))):
        sums.heard.setdefault("age", Counter())[f"{years:g}"] += count
    for column in ("condition", "fault", "maker"):
        words = units.word(column)
        counts = np.bincount(words.codes[words.codes >= 0], minlength=len(words.levels))
        sums.heard.setdefault(column, Counter()).update(
            {level: int(count) for level, count in zip(words.levels, counts, strict=True) if count}
        )
    features, types = units.word("features"), units.word("type")
    if not features.levels:
        return
    distinct, totals = grouped(
        [types.codes.astype(np.int64), features.codes.astype(np.int64)], np.ones((units.n, 1))
    )
    for (type_code, code), (count,) in zip(distinct.tolist(), totals.tolist(), strict=True):
        family = family_of(types.levels[type_code] if type_code >= 0 else "", settings)
        table = sums.heard.setdefault(f"features:{family}", Counter())
        for feature in ("", *(steps_of(features.levels[code]) if code >= 0 else ())):
            table[feature] += int(count)


def with_repairs(raw: Mapping[Key, np.ndarray]) -> dict[Cell, np.ndarray]:
    """Cells by the repair really needed: done, else usual where this was found, else found."""
    done_for = by_found(raw).items()
    usual = {found: max(sorted(done), key=lambda name: done[name]) for found, done in done_for}
    cells: dict[Cell, np.ndarray] = {}
    for (type_name, fault, found, done, age, outcome), total in raw.items():
        need = needed(found, done, usual)
        key = (type_name, fault, need, outcome, age)
        cells[key] = cells[key] + total if key in cells else total
    return dict(sorted(cells.items()))


def needed(found: str, done: str, usual: Mapping[str, str]) -> str:
    """The repair really needed. usual: what is usually done where something was found."""
    return done if done and not is_as_is(done) else usual.get(found, found)


def by_found(raw: Mapping[Key, np.ndarray]) -> dict[str, dict[str, float]]:
    """What was found -> what was done -> units."""
    table: dict[str, dict[str, float]] = {}
    for (_, _, found, done, _, _), total in raw.items():
        if found and done and not is_as_is(done):
            shares = table.setdefault(found, {})
            shares[done] = shares.get(done, 0.0) + float(total[0])
    return table
