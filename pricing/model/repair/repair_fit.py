"""Learning the repairs: one pass that sums (`repair_sums`), then four small pooled regressions."""

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from datetime import date
from functools import partial
from typing import Any, TypeVar

import numpy as np

from pricing.basis import assumed, own_rows
from pricing.basis.settings import Settings
from pricing.basis.units import Units
from pricing.basis.words import family_of
from pricing.formulas import bench_sums, exits
from pricing.formulas.repairs_needed import steps_of
from pricing.model.fold import over
from pricing.model.repair import pooled, repair, repair_sums, skill_fit
from pricing.model.repair.pooled import Cells, Effects
from pricing.model.repair.pooled_fit import pooled_linear, pooled_logistic
from pricing.model.repair.repair import RepairModel
from pricing.model.repair.starts import Starts

MOST_LEVELS = 60  # words told apart in a block, by count
PAID_LEVELS = tuple(k / 10 for k in range(1, 10))


def fit_repair(units: Units | Iterable[Units], settings: Settings, as_of: date) -> RepairModel:
    """The repair model of all units, failed ones included; of none, the starting table's. units:
    one table or blocks of it; as_of: units got later are left out."""
    fold = over(units)
    sums = fold(partial(repair_sums.look_at, settings=settings, as_of=as_of), repair_sums.added)
    return skill_fit.with_people(fit_sums(sums, settings), fold, settings, as_of)


K = TypeVar("K")


def fit_sums(sums: repair_sums.RepairSums, settings: Settings) -> RepairModel:
    """The repair model of what a pass over the units has summed."""
    cells = repair_sums.with_repairs(sums.cells)
    shift = _told_shift(cells, settings)
    zero_parts: dict[str, list[float]] = {}
    fixed_of: dict[tuple[str, str], list[float]] = {}
    needs: dict[tuple[str, str, str], float] = defaultdict(float)
    for (type_name, fault, need, outcome, _), total in cells.items():
        if outcome == repair_sums.FIXED:
            _grow(zero_parts, need, total[1], total[2])
        if outcome != repair_sums.OPEN:
            fixed = total[0] if outcome == repair_sums.FIXED else 0.0
            _grow(fixed_of, (fault, type_name), total[0], fixed)
        if need and not repair_sums.is_as_is(need):
            needs[fault, type_name, need] += float(total[0])
    n_ended = sum(n for n, _ in fixed_of.values())
    n_failed = n_ended - sum(k for _, k in fixed_of.values())
    zero_share = (sum(n for n, _ in zero_parts.values()), sum(k for _, k in zero_parts.values()))
    failed = sums.by_type.get("failed money", {})
    failed_money = {name: (float(pair[0]), float(pair[1])) for name, pair in failed.items()}
    by = repair_sums.by_found(sums.cells)
    found_needs = {(found, done): by[found][done] for found in by for done in by[found]}
    pairs = ("waste", "failed hours", "comebacks", "as-is", "parted", "bench days")
    named = ((name.replace(" ", "_").replace("-", "_"), name) for name in pairs)
    told: dict[str, Any] = {ours: sums.pair(name) for ours, name in named}
    return RepairModel(
        fix=_fix_effects(cells, settings, shift) if n_failed else _nothing("fix"),
        parts=_parts_effects(cells, settings, zero_parts, zero_share),
        hours=_hours_effects(cells, settings),
        sell=_sell_effects(sums.by_type.get("sell", {}), settings),
        fix_shift=shift,
        n_ended=int(n_ended),
        n_failed=int(n_failed),
        needs=dict(needs),
        found_needs=found_needs,
        fixed_of={key: (n, k) for key, (n, k) in fixed_of.items()},
        turned_out=_turned_out(sums),
        zero_parts={key: (n, k) for key, (n, k) in zero_parts.items() if key},
        zero_share=zero_share,
        failed_money=failed_money,
        failed_ratio=_failed_ratio(failed_money, settings),
        paid={name: _levels(counts) for name, counts in sums.paid.items()},
        miles=(float(sum(sums.miles.values())), _levels(sums.miles)[5] if sums.miles else 0.0),
        heard={column: dict(counts.most_common(200)) for column, counts in sums.heard.items()},
        **told,
    )


def _grow(table: dict[K, list[float]], key: K, n: float, k: float) -> None:
    pair = table.setdefault(key, [0.0, 0.0])
    pair[0] += n
    pair[1] += k


def _turned_out(sums: repair_sums.RepairSums) -> dict[str, tuple[float, float]]:
    """Units ended and of them fixed, by what was found and by each step that was needed."""
    table: dict[str, tuple[float, float]] = {}
    for (_, _, found, done, _, outcome), total in sums.cells.items():
        if outcome == repair_sums.OPEN:
            continue
        for word in {found, *(steps_of(done) if not repair_sums.is_as_is(done) else ())} - {""}:
            n, k = table.get(word, (0.0, 0.0))
            table[word] = (
                n + float(total[0]),
                k + (float(total[0]) if outcome == repair_sums.FIXED else 0.0),
            )
    return dict(sorted(table.items()))  # the order of a set hangs on the process


def _failed_ratio(failed_money: Mapping[str, tuple[float, float]], settings: Settings) -> float:
    """What failed units brought by the table's scrap, pooled; the table counts for four."""
    if not failed_money:
        return 1.0
    scrap = {name: repair.scrap_money(name, settings) for name in failed_money}
    usual = max(sum(scrap.values()) / len(scrap), 1.0)
    brought = sum(money for _, money in failed_money.values())
    would_have = sum(n * scrap[name] for name, (n, _) in failed_money.items())
    return float((brought + 4 * usual) / (would_have + 4 * usual))


def _levels(counts: Counter[float]) -> tuple[float, ...]:
    """How many, then nine quantiles of the counted values."""
    values = np.array(sorted(counts))
    reached = np.cumsum([counts[value] for value in values.tolist()])
    return (
        float(reached[-1]),
        *(float(values[np.searchsorted(reached, level * reached[-1])]) for level in PAID_LEVELS),
    )


def _told_shift(cells: Mapping[repair_sums.Cell, np.ndarray], settings: Settings) -> float:
    """Log odds that move the starting chances to "of the last ten, how many did you sell as
    working?": chance = (answer + 2 x the table's mean) / 12."""
    if settings.sold_of_ten is None:
        return 0.0
    starts = Starts(settings)
    weights = [(starts.of(key[0], key[1], "")[0], float(total[0])) for key, total in cells.items()]
    if not weights:
        weights = [(row.fix, 1.0) for row in starts.table]
    chance = np.array([pair[0] for pair in weights])
    weight = np.array([pair[1] for pair in weights]) / sum(pair[1] for pair in weights)
    wanted = (settings.sold_of_ten + 2 * float(weight @ chance)) / 12
    low, high = -8.0, 8.0
    variance = np.full(len(chance), bench_sums.before(bench_sums.FIX_SD))
    for _ in range(50):
        middle = (low + high) / 2
        chances = bench_sums.mean_chance(bench_sums.fix_offset(chance, middle), variance)
        reached = float(weight @ chances)
        low, high = (middle, high) if reached < wanted else (low, middle)
    return middle


def _nothing(name: str) -> Effects:
    return getattr(repair.nothing_learned(), name)


def _levels_of(words: Iterable[tuple[str, float]]) -> tuple[str, ...]:
    counts: dict[str, float] = {}
    for word, weight in words:
        if word:
            counts[word] = counts.get(word, 0.0) + weight
    return tuple(sorted(counts, key=lambda word: (-counts[word], word))[:MOST_LEVELS])


def _rows(
    cells: list[tuple[repair_sums.Cell, float]], settings: Settings, start: Mapping[str, float]
) -> tuple[dict[str, tuple[str, ...]], np.ndarray]:
    """Levels of the blocks that have a spread, and the design of these cells."""
    steps = [steps_of(key[2]) for key, _ in cells]
    age = np.array([key[4] - assumed.MIDDLE_AGE if key[4] >= 0 else 0.0 for key, _ in cells])
    failed = np.array([float(key[3] == repair_sums.FAILED) for key, _ in cells])
    types, faults = [key[0] for key, _ in cells], [key[1] for key, _ in cells]
    families = [family_of(name, settings) for name in types]
    read = Cells(families, types, faults, steps, age, failed)
    weights = [weight for _, weight in cells]
    of_steps = [(step, n) for names, n in zip(steps, weights, strict=True) for step in names]
    levels: dict[str, tuple[str, ...]] = dict.fromkeys(bench_sums.BLOCKS, ())
    for block in levels:
        if start[block] > 0:
            told = zip(getattr(read, block), weights, strict=True) if block != "step" else of_steps
            levels[block] = _levels_of(told)
    return levels, pooled.design(levels, read)[0]


def _fix_effects(
    cells: Mapping[repair_sums.Cell, np.ndarray], settings: Settings, shift: float
) -> Effects:
    ended = [(key, float(total[0])) for key, total in cells.items() if key[3] != repair_sums.OPEN]
    levels, rows = _rows(ended, settings, bench_sums.FIX_SD)
    rows[:, 2] = 0  # whether it failed is the answer here
    starts = Starts(settings)
    chance = np.array([starts.of(*key[:3])[0] for key, _ in ended])
    offset = bench_sums.fix_offset(bench_sums.aged(chance, rows[:, 1]), shift)
    fixed = np.array([float(key[3] == repair_sums.FIXED) for key, _ in ended])
    weights = np.array([weight for _, weight in ended])
    return pooled_logistic(levels, rows, offset, fixed, weights, bench_sums.FIX_SD)


def _parts_effects(
    cells: Mapping[repair_sums.Cell, np.ndarray],
    settings: Settings,
    zero_parts: Mapping[str, list[float]],
    pooled: tuple[float, float],
) -> Effects:
    bought = [
        (key, total) for key, total in cells.items() if key[3] != repair_sums.OPEN and total[3] > 0
    ]
    if not bought:
        return _nothing("parts")
    known = [(key, float(total[3])) for key, total in bought]
    levels, rows = _rows(known, settings, bench_sums.PARTS_SD)
    rows[:, 2] = 0
    starts = Starts(settings)
    table = [starts.of(*key[:3]) for key, _ in bought]
    own = [zero_parts.get(key[2], (0.0, 0.0)) for key, _ in bought]
    shares = (bench_sums.zero_share(n, pooled, at[3]) for n, at in zip(own, table, strict=True))
    zero = np.array(list(shares))
    n_steps = np.array([max(len(steps_of(key[2])), 1) for key, _ in bought], dtype=float)
    offset = bench_sums.parts_offset(np.array([start[1] for start in table]), zero, n_steps)
    sums = np.array([total[3:6] for _, total in bought])
    return pooled_linear(levels, rows, offset, sums, bench_sums.PARTS_SD, bench_sums.PARTS_SIGMA)


def _hours_effects(cells: Mapping[repair_sums.Cell, np.ndarray], settings: Settings) -> Effects:
    timed = [
        (key, total) for key, total in cells.items() if key[3] != repair_sums.OPEN and total[6] > 0
    ]
    if not timed:
        return _nothing("hours")
    known = [(key, float(total[6])) for key, total in timed]
    levels, rows = _rows(known, settings, bench_sums.HOURS_SD)
    starts = Starts(settings)
    n_steps = np.array([max(len(steps_of(key[2])), 1) for key, _ in timed], dtype=float)
    usual = np.array([starts.of(*key[:3])[2] for key, _ in timed])
    offset = bench_sums.hours_offset(usual, n_steps) + math.log(exits.FAILED_HOURS) * rows[:, 2]
    sums = np.array([total[6:9] for _, total in timed])
    return pooled_linear(levels, rows, offset, sums, bench_sums.HOURS_SD, bench_sums.HOURS_SIGMA)


def _sell_effects(by_type: Mapping[str, np.ndarray], settings: Settings) -> Effects:
    if not by_type:
        return _nothing("sell")
    names = sorted(by_type)
    cells: list[repair_sums.Cell] = [(name, "", "", repair_sums.FIXED, -1.0) for name in names]
    known = [(cell, float(by_type[cell[0]][0])) for cell in cells]
    levels, rows = _rows(known, settings, bench_sums.SELL_SD)
    types = own_rows.assumed_types(settings)
    usual = np.array([types.get(name, assumed.GENERIC_TYPE).clean_sell_h for name in names])
    sums, offset = np.array([by_type[name] for name in names]), bench_sums.sell_offset(usual)
    return pooled_linear(levels, rows, offset, sums, bench_sums.SELL_SD, bench_sums.SELL_SIGMA)
