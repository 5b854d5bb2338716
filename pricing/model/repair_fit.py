"""Learning the repairs from units: one pass that sums, then four small pooled regressions on the sums.

Units that are fixed: sold (not as-is), listed, returned. Not fixed: scrapped, parted, sold as-is. Units in work or waiting are no
outcome yet; what they turned out to need still counts. Each regression is a linear (or logistic) model with normal coefficients whose
spread per block is learned by expectation-maximisation with an inverse-gamma pull to the starting spread:

    D_g <- (sum of b^2 + trace of their covariance + nu sd_g^2) / (number of coefficients + nu)

(Dempster, Laird & Rubin 1977; for the logistic model with the Laplace covariance at the mode, Breslow & Clayton 1993.)
The number of rows enters only through the sums: 25 units or 10^8.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

import numpy as np

from pricing.model import repair as model_of
from pricing.model.repair import BLOCKS, Cells, Effects, RepairModel
from pricing.records import assumed
from pricing.records.units import Units
from pricing.records.words import family_of

if TYPE_CHECKING:
    from pricing.records.settings import Settings

FIXED, FAILED, OPEN = 0, 1, 2
_OUTCOME = {"sold": FIXED, "listed": FIXED, "returned": FIXED, "scrapped": FAILED, "parted": FAILED}
AS_IS = ("as-is", "as is", "not repaired", "not fixed", "unrepaired")  # a repair cell that says the unit was sold broken
MOST_LEVELS = 60  # words told apart in a block, by count
PULL = 4.0  # nu: units' worth of belief in the starting spread, about a spread of .4 in ln sd
ROUNDS = 40
PAID_LEVELS = tuple(k / 10 for k in range(1, 10))
Key = tuple[str, str, str, str, float, int]  # type, fault, found, repair, age in whole years (NaN as -1), outcome


@dataclass
class _Sums:
    """Everything that the fit needs of the units, added up. cells: key -> see _CELL."""

    cells: dict[Key, np.ndarray] = field(default_factory=dict)
    sell: dict[str, np.ndarray] = field(default_factory=dict)  # type -> n, sum ln h, sum ln h squared
    failed_hours: np.ndarray = field(default_factory=lambda: np.zeros(2))
    failed_money: dict[str, np.ndarray] = field(default_factory=dict)
    as_is: np.ndarray = field(default_factory=lambda: np.zeros(2))
    parted: np.ndarray = field(default_factory=lambda: np.zeros(2))
    comebacks: np.ndarray = field(default_factory=lambda: np.zeros(2))
    waste: np.ndarray = field(default_factory=lambda: np.zeros(2))
    paid: dict[str, Counter[float]] = field(default_factory=dict)
    miles: Counter[float] = field(default_factory=Counter)
    heard: dict[str, Counter[str]] = field(default_factory=dict)


# columns of a cell: units, parts known, none bought, bought, sum ln parts, squared, hours known, sum ln hours, squared
_CELL = 9


def fit_repair(units: Units | Iterable[Units], settings: Settings, as_of: date) -> RepairModel:
    """The repair model of all units, failed ones included; of none, the starting table's.

    units: one table or blocks of it, read once; as_of: units got later than this day are left out. Nothing is changed.
    """
    sums = _Sums()
    for block in [units] if isinstance(units, Units) else units:
        _add(sums, block, settings, as_of)
    return _model(sums, settings)


def _add(sums: _Sums, units: Units, settings: Settings, as_of: date) -> None:
    kind = units.word("outcome").texts()
    got = units.number("got")
    keep = np.array([word not in ("trip", "expense") for word in kind], dtype=bool) & ~(got > as_of.toordinal())
    if not keep.all():
        units = units.take(keep)
    if not units.n:
        return
    outcome = _outcomes(units)
    age = np.round(units.number("age"))
    age = np.where(np.isfinite(age), np.clip(age, 0, 60), -1)
    bench, rest = _hours(units, settings)
    parts = units.number("parts")
    bought = parts > 0
    log_parts = np.log(np.where(bought, parts, 1.0))
    log_hours = np.log(np.where(np.isfinite(bench), np.maximum(bench, 0.05), 1.0))
    told = np.isfinite(bench) & (outcome != OPEN)
    known = np.isfinite(parts) & (outcome != OPEN)
    values = np.stack(
        [
            np.ones(units.n), known, known & ~bought, known & bought, log_parts * (known & bought), log_parts**2 * (known & bought),
            told, log_hours * told, log_hours**2 * told,
        ],
        axis=1,
    ).astype(float)  # fmt: skip
    columns = [units.word(name) for name in ("type", "fault", "found", "repair")]
    codes = np.stack([*(column.codes.astype(np.int64) for column in columns), age.astype(np.int64), outcome], axis=1)
    distinct, place = np.unique(codes, axis=0, return_inverse=True)
    totals = np.zeros((len(distinct), _CELL))
    np.add.at(totals, place.reshape(-1), values)
    for row, total in zip(distinct.tolist(), totals, strict=True):
        texts = [column.levels[code] if code >= 0 else "" for column, code in zip(columns, row[:4], strict=True)]
        key: Key = (texts[0], texts[1], texts[2], texts[3], float(row[4]), row[5])
        sums.cells[key] = sums.cells[key] + total if key in sums.cells else total
    _add_by_type(sums, units, settings, outcome, rest, known & bought)


def _outcomes(units: Units) -> np.ndarray:
    """FIXED, FAILED or OPEN of each unit, shape (n,)."""
    words = units.word("outcome")
    table = np.array([*(_OUTCOME.get(level, OPEN) for level in words.levels), OPEN], dtype=np.int64)
    outcome = table[words.codes]
    blank = words.codes < 0
    outcome = np.where(blank & np.isfinite(units.number("price")), FIXED, outcome)
    repair = units.word("repair")
    as_is = np.array([*(_is_as_is(level) for level in repair.levels), False], dtype=bool)[repair.codes]
    return np.where(as_is & (outcome == FIXED) & np.isfinite(units.number("price")), FAILED, outcome)


def _is_as_is(repair: str) -> bool:
    return any(word in repair for word in AS_IS)


def _hours(units: Units, settings: Settings) -> tuple[np.ndarray, np.ndarray]:
    """Bench hours, and hours to clean and sell, NaN where not written down; one lump is split as the starting table splits it."""
    minutes = {name: units.number(name) for name in ("diagnose_min", "repair_min", "clean_min", "sell_min")}
    bench = _sum_known(minutes["diagnose_min"], minutes["repair_min"]) / 60
    rest = _sum_known(minutes["clean_min"], minutes["sell_min"]) / 60
    lump = units.number("hours")
    split = np.isfinite(lump) & ~np.isfinite(bench)
    if split.any():
        types = assumed.assumed_types(settings)
        table = assumed.assumed_faults(settings)
        share = {}
        names, faults = units.word("type").texts(), units.word("fault").texts()
        for i in np.flatnonzero(split).tolist():
            pair = names[i], faults[i]
            if pair not in share:
                work = assumed.fault_row(faults[i], names[i], family_of(names[i], settings), table)[0].bench_h
                share[pair] = work / (work + types.get(names[i], assumed.GENERIC_TYPE).clean_sell_h)
            if np.isfinite(rest[i]):
                bench[i] = max(lump[i] - rest[i], 0.05)
            else:
                bench[i], rest[i] = lump[i] * share[pair], lump[i] * (1 - share[pair])
    return bench, rest


def _sum_known(first: np.ndarray, second: np.ndarray) -> np.ndarray:
    both = np.nan_to_num(first) + np.nan_to_num(second)
    return np.where(np.isfinite(first) | np.isfinite(second), both, np.nan)


def _add_by_type(sums: _Sums, units: Units, settings: Settings, outcome: np.ndarray, rest: np.ndarray, bought: np.ndarray) -> None:
    """Sums that hang on the type alone, and the words and numbers heard of units on offer."""
    types = units.word("type").texts()
    table = assumed.assumed_types(settings)
    price, salvage, paid, miles = (units.number(name) for name in ("price", "salvage", "paid", "miles"))
    kind = units.word("outcome").texts()
    comeback = units.word("comeback").codes >= 0
    money = np.nan_to_num(price) + np.nan_to_num(salvage)
    told = np.isfinite(price) | np.isfinite(salvage)
    for i, name in enumerate(types):
        if np.isfinite(rest[i]) and outcome[i] == FIXED:
            log_hours = math.log(max(rest[i], 0.02))
            sums.sell[name] = sums.sell.get(name, np.zeros(3)) + np.array([1.0, log_hours, log_hours**2])
        if outcome[i] == FAILED:
            sums.waste += (1.0, float(bought[i]))
            if np.isfinite(rest[i]):
                sums.failed_hours += (1.0, rest[i])
            if told[i]:
                sums.failed_money[name] = sums.failed_money.get(name, np.zeros(2)) + np.array([1.0, money[i]])
                usual = table.get(name, assumed.GENERIC_TYPE).price
                if kind[i] == "sold":
                    sums.as_is += (1.0, price[i] / usual)
                elif kind[i] == "parted":
                    sums.parted += (1.0, money[i] / usual)
        elif kind[i] in ("sold", "returned"):
            sums.comebacks += (1.0, float(comeback[i] or kind[i] == "returned"))
        if np.isfinite(paid[i]):
            for group in (name, ""):
                sums.paid.setdefault(group, Counter())[round(float(paid[i]), 2)] += 1
        if np.isfinite(miles[i]) and miles[i] > 0:
            sums.miles[float(miles[i])] += 1
    age = units.number("age")
    for years in np.round(age[np.isfinite(age)]).tolist():
        sums.heard.setdefault("age", Counter())[f"{years:g}"] += 1
    for column in ("condition", "fault", "maker"):
        words = units.word(column)
        counts = np.bincount(words.codes[words.codes >= 0], minlength=len(words.levels))
        sums.heard.setdefault(column, Counter()).update({level: int(count) for level, count in zip(words.levels, counts, strict=True) if count})
    features = units.word("features")
    if features.levels:
        family = [family_of(name, settings) for name in types]
        for code, group in zip(features.codes.tolist(), family, strict=True):
            for feature in model_of.steps_of(features.levels[code]) if code >= 0 else ():
                sums.heard.setdefault(f"features:{group}", Counter())[feature] += 1
            sums.heard.setdefault(f"features:{group}", Counter())[""] += 1


def _model(sums: _Sums, settings: Settings) -> RepairModel:
    cells = _with_repairs(sums.cells)
    shift = _told_shift(cells, settings)
    n_failed = int(sum(total[0] for key, total in cells.items() if key[3] == FAILED))
    n_ended = n_failed + int(sum(total[0] for key, total in cells.items() if key[3] == FIXED))
    zero_parts: dict[str, list[float]] = {}
    fixed_of: dict[tuple[str, str], list[float]] = {}
    for (type_name, fault, repair, outcome, _), total in cells.items():
        if outcome == FIXED:
            pair = zero_parts.setdefault(repair, [0.0, 0.0])
            pair[0] += total[1]
            pair[1] += total[2]
        if outcome != OPEN:
            pair = fixed_of.setdefault((fault, type_name), [0.0, 0.0])
            pair[0] += total[0]
            pair[1] += total[0] if outcome == FIXED else 0.0
    needs: dict[tuple[str, str, str], float] = {}
    for (type_name, fault, repair, _, _), total in cells.items():
        if repair and not _is_as_is(repair):
            needs[fault, type_name, repair] = needs.get((fault, type_name, repair), 0.0) + float(total[0])
    zero_share = (sum(pair[0] for pair in zero_parts.values()), sum(pair[1] for pair in zero_parts.values()))
    scrap = {name: model_of.scrap_money(name, settings) for name in sums.failed_money}
    expected = sum(pair[0] * scrap[name] for name, pair in sums.failed_money.items())
    brought = sum(pair[1] for pair in sums.failed_money.values())
    usual = max(sum(scrap.values()) / len(scrap), 1.0) if scrap else 1.0
    return RepairModel(
        fix=_fix_effects(cells, settings, shift) if n_failed else _nothing("fix"),
        parts=_parts_effects(cells, settings, zero_parts, zero_share),
        hours=_hours_effects(cells, settings),
        sell=_sell_effects(sums.sell, settings),
        fix_shift=shift,
        n_ended=n_ended,
        n_failed=n_failed,
        needs=needs,
        found_needs=_found_needs(sums.cells),
        fixed_of={key: (pair[0], pair[1]) for key, pair in fixed_of.items()},
        zero_parts={key: (pair[0], pair[1]) for key, pair in zero_parts.items() if key},
        zero_share=zero_share,
        waste=_pair(sums.waste),
        failed_money={name: _pair(pair) for name, pair in sums.failed_money.items()},
        failed_ratio=float((brought + 4 * usual) / (expected + 4 * usual)),
        failed_hours=_pair(sums.failed_hours),
        comebacks=_pair(sums.comebacks),
        as_is=_pair(sums.as_is),
        parted=_pair(sums.parted),
        paid={name: _levels(counts) for name, counts in sums.paid.items()},
        miles=(float(sum(sums.miles.values())), _middle(sums.miles)),
        heard={column: dict(counts.most_common(200)) for column, counts in sums.heard.items()},
    )


def _pair(values: np.ndarray) -> tuple[float, float]:
    return float(values[0]), float(values[1])


def _levels(counts: Counter[float]) -> tuple[float, ...]:
    """How many, then nine quantiles of the counted values."""
    values = np.array(sorted(counts))
    reached = np.cumsum([counts[value] for value in values.tolist()])
    return (float(reached[-1]), *(float(values[np.searchsorted(reached, level * reached[-1])]) for level in PAID_LEVELS))


def _middle(counts: Counter[float]) -> float:
    return _levels(counts)[5] if counts else 0.0


Cell = tuple[str, str, str, int, float]  # type, fault, repair, outcome, age


def _with_repairs(raw: Mapping[Key, np.ndarray]) -> dict[Cell, np.ndarray]:
    """Cells by the repair really needed: what was done, else what is usually done where this was found, else what was found."""
    usual = {found: max(sorted(shares), key=lambda name: shares[name]) for found, shares in _by_found(raw).items()}
    cells: dict[Cell, np.ndarray] = {}
    for (type_name, fault, found, repair, age, outcome), total in raw.items():
        need = repair if repair and not _is_as_is(repair) else usual.get(found, found)
        key = (type_name, fault, need, outcome, age)
        cells[key] = cells[key] + total if key in cells else total
    return dict(sorted(cells.items()))


def _by_found(raw: Mapping[Key, np.ndarray]) -> dict[str, dict[str, float]]:
    by_found: dict[str, dict[str, float]] = {}
    for (_, _, found, repair, _, _), total in raw.items():
        if found and repair and not _is_as_is(repair):
            shares = by_found.setdefault(found, {})
            shares[repair] = shares.get(repair, 0.0) + float(total[0])
    return by_found


def _found_needs(raw: Mapping[Key, np.ndarray]) -> dict[tuple[str, str], float]:
    return {(found, repair): count for found, shares in _by_found(raw).items() for repair, count in shares.items()}


class _Starts:
    """Starting figures of a cell: fix, parts, bench hours, share with no part, by (type, fault, repair)."""

    def __init__(self, settings: Settings) -> None:
        self.settings = settings
        self.table = assumed.assumed_faults(settings)
        self.memory: dict[tuple[str, str, str], tuple[float, float, float, float]] = {}

    def of(self, type_name: str, fault: str, repair: str) -> tuple[float, float, float, float]:
        key = (type_name, fault, repair)
        if key not in self.memory:
            family = family_of(type_name, self.settings)
            row = self.blank(type_name, family) if not fault else assumed.fault_row(fault, type_name, family, self.table)[0]
            fix, parts = model_of.ranked_row(repair, row)
            self.memory[key] = (fix, parts, row.bench_h, assumed.ZERO_PARTS_SHARE if row.parts_low <= 0 else assumed.ZERO_PARTS_SHARE_NEVER)
        return self.memory[key]

    def blank(self, type_name: str, family: str) -> assumed.AssumedFault:
        """A record that writes no fault: the mean over the faults that this kind of appliance has."""
        kinds = assumed.fault_families(type_name, family)
        rows = [row for row in self.table if row.family in kinds and row.family != "any"] or [self.table[-2]]
        fix, parts, high, hours = (float(value) for value in np.mean([[row.fix, row.parts, row.parts_high, row.bench_h] for row in rows], axis=0))
        return assumed.AssumedFault("any", "", "", fix, parts, 0.0, high, hours)


def _told_shift(cells: Mapping[Cell, np.ndarray], settings: Settings) -> float:
    """Log odds that move the starting chances to what the person answered: "of the last ten, how many did you sell as working?"

    The answer counts ten units, the starting table two: chance = (answer + 2 x the table's mean) / 12.
    """
    if settings.sold_of_ten is None:
        return 0.0
    starts = _Starts(settings)
    weights = [(starts.of(key[0], key[1], "")[0], float(total[0])) for key, total in cells.items()]
    if not weights:
        weights = [(row.fix, 1.0) for row in starts.table]
    chance = np.array([pair[0] for pair in weights])
    weight = np.array([pair[1] for pair in weights]) / sum(pair[1] for pair in weights)
    wanted = (settings.sold_of_ten + 2 * float(weight @ chance)) / 12
    low, high = -8.0, 8.0
    variance = np.full(len(chance), model_of.before(model_of.FIX_SD))
    for _ in range(50):
        middle = (low + high) / 2
        reached = float(weight @ model_of.mean_chance(model_of.fix_offset(chance, middle), variance))
        low, high = (middle, high) if reached < wanted else (low, middle)
    return middle


def _nothing(name: str) -> Effects:
    effects: Effects = getattr(model_of.nothing_learned(), name)
    return effects


def _levels_of(words: Iterable[tuple[str, float]]) -> tuple[str, ...]:
    counts: dict[str, float] = {}
    for word, weight in words:
        if word:
            counts[word] = counts.get(word, 0.0) + weight
    return tuple(word for word, _ in sorted(counts.items(), key=lambda pair: (-pair[1], pair[0]))[:MOST_LEVELS])


def _rows(cells: list[tuple[Cell, float]], settings: Settings) -> tuple[dict[str, tuple[str, ...]], np.ndarray]:
    """Levels of the four blocks and the design of these cells (weighted, for the choice of levels only)."""
    family = [family_of(key[0], settings) for key, _ in cells]
    steps = [model_of.steps_of(key[2]) for key, _ in cells]
    levels = {
        "family": _levels_of((name, weight) for name, (_, weight) in zip(family, cells, strict=True)),
        "type": _levels_of((key[0], weight) for key, weight in cells),
        "fault": _levels_of((key[1], weight) for key, weight in cells),
        "step": _levels_of((step, weight) for names, (_, weight) in zip(steps, cells, strict=True) for step in names),
    }
    age = np.array([key[4] - assumed.MIDDLE_AGE if key[4] >= 0 else 0.0 for key, _ in cells])
    failed = np.array([float(key[3] == FAILED) for key, _ in cells])
    design, _ = model_of.design(levels, Cells(family, [key[0] for key, _ in cells], [key[1] for key, _ in cells], steps, age, failed))
    return levels, design


def _fix_effects(cells: Mapping[Cell, np.ndarray], settings: Settings, shift: float) -> Effects:
    ended = [(key, float(total[0])) for key, total in cells.items() if key[3] != OPEN]
    levels, rows = _rows(ended, settings)
    rows[:, 2] = 0  # whether it failed is the answer here
    starts = _Starts(settings)
    chance = np.array([starts.of(*key[:3])[0] for key, _ in ended])
    offset = model_of.fix_offset(chance, shift) + assumed.FIX_PER_YEAR * rows[:, 1]
    fixed = np.array([float(key[3] == FIXED) for key, _ in ended])
    return pooled_logistic(levels, rows, offset, fixed, np.array([weight for _, weight in ended]), model_of.FIX_SD)


def _parts_effects(cells: Mapping[Cell, np.ndarray], settings: Settings, zero_parts: Mapping[str, list[float]], pooled: tuple[float, float]) -> Effects:
    bought = [(key, total) for key, total in cells.items() if key[3] != OPEN and total[3] > 0]
    if not bought:
        return _nothing("parts")
    levels, rows = _rows([(key, float(total[3])) for key, total in bought], settings)
    rows[:, 2] = 0
    starts = _Starts(settings)
    table = [starts.of(*key[:3]) for key, _ in bought]
    zero = np.array([model_of.zero_share(zero_parts, pooled, key[2], start[3]) for (key, _), start in zip(bought, table, strict=True)])
    n_steps = np.array([max(len(model_of.steps_of(key[2])), 1) for key, _ in bought], dtype=float)
    offset = model_of.parts_offset(np.array([start[1] for start in table]), zero, n_steps)
    sums = np.array([total[3:6] for _, total in bought])
    return pooled_linear(levels, rows, offset, sums, model_of.PARTS_SD, model_of.PARTS_SIGMA)


def _hours_effects(cells: Mapping[Cell, np.ndarray], settings: Settings) -> Effects:
    timed = [(key, total) for key, total in cells.items() if key[3] != OPEN and total[6] > 0]
    if not timed:
        return _nothing("hours")
    levels, rows = _rows([(key, float(total[6])) for key, total in timed], settings)
    starts = _Starts(settings)
    n_steps = np.array([max(len(model_of.steps_of(key[2])), 1) for key, _ in timed], dtype=float)
    offset = model_of.hours_offset(np.array([starts.of(*key[:3])[2] for key, _ in timed]), n_steps) + math.log(assumed.FAILED_HOURS) * rows[:, 2]
    return pooled_linear(levels, rows, offset, np.array([total[6:9] for _, total in timed]), model_of.HOURS_SD, model_of.HOURS_SIGMA)


def _sell_effects(by_type: Mapping[str, np.ndarray], settings: Settings) -> Effects:
    if not by_type:
        return _nothing("sell")
    names = sorted(by_type)
    levels, rows = _rows([((name, "", "", FIXED, -1.0), float(by_type[name][0])) for name in names], settings)
    types = assumed.assumed_types(settings)
    offset = model_of.sell_offset(np.array([types.get(name, assumed.GENERIC_TYPE).clean_sell_h for name in names]))
    return pooled_linear(levels, rows, offset, np.array([by_type[name] for name in names]), model_of.SELL_SD, model_of.SELL_SIGMA)


def _groups(levels: Mapping[str, tuple[str, ...]]) -> list[tuple[str, slice]]:
    groups, start = [("all", slice(0, 1)), ("age", slice(1, 2)), ("failed", slice(2, 3))], 3
    for block in BLOCKS:
        groups.append((block, slice(start, start + len(levels[block]))))
        start += len(levels[block])
    return groups


def _relearn(sd: dict[str, float], start: Mapping[str, float], levels: Mapping[str, tuple[str, ...]], mean: np.ndarray, cov: np.ndarray) -> dict[str, float]:
    """One step of the spreads per block; single coefficients (all, age, failed) keep theirs."""
    for name, part in _groups(levels):
        size = part.stop - part.start
        if name in BLOCKS and size and start[name] > 0:
            total = float(mean[part] @ mean[part] + np.trace(cov[part, part]))
            sd[name] = math.sqrt((total + PULL * start[name] ** 2) / (size + PULL))
    return sd


def _precision(sd: Mapping[str, float], levels: Mapping[str, tuple[str, ...]], p: int) -> np.ndarray:
    values = np.zeros(p)
    for name, part in _groups(levels):
        values[part] = 1 / max(sd[name], 1e-4) ** 2
    return values


def pooled_linear(levels: Mapping[str, tuple[str, ...]], rows: np.ndarray, offset: np.ndarray, sums: np.ndarray, start: Mapping[str, float], sigma: float) -> Effects:
    """Normal coefficients, normal errors, from the sums of each cell: y_ij = offset_i + rows_i b + e.

    rows: shape (n, p); offset: (n,); sums: (n, 3) number of units, sum of y, sum of y squared; start: sd per block; sigma: starting error.
    Posterior: P = A / sigma^2 + 1 / D, b = P^-1 c / sigma^2 with A = Z'NZ, c = Z'(sum y - N offset); D and sigma by EM.
    """
    n, total, squares = sums.T
    inner = rows.T @ (rows * n[:, None])
    cross = rows.T @ (total - n * offset)
    power = float(np.sum(squares - 2 * offset * total + n * offset**2))
    sd, error = dict(start), sigma**2
    for _ in range(ROUNDS):
        cov = np.linalg.inv(inner / error + np.diag(_precision(sd, levels, rows.shape[1])))
        mean = cov @ cross / error
        left = power - 2 * float(mean @ cross) + float(mean @ inner @ mean) + float(np.sum(inner * cov))
        error = (max(left, 0.0) + PULL * sigma**2) / (float(n.sum()) + PULL)
        sd = _relearn(sd, start, levels, mean, cov)
    return Effects(levels, mean, (cov + cov.T) / 2, sd, math.sqrt(error))


def pooled_logistic(levels: Mapping[str, tuple[str, ...]], rows: np.ndarray, offset: np.ndarray, fixed: np.ndarray, weight: np.ndarray, start: Mapping[str, float]) -> Effects:
    """Normal coefficients, yes or no: logit q_i = offset_i + rows_i b; mode by Newton steps, covariance by Laplace, D by EM.

    fixed: (n,) 1 or 0; weight: (n,) units in the cell.
    """
    p = rows.shape[1]
    sd, mean = dict(start), np.zeros(p)
    for _ in range(ROUNDS):
        precision = _precision(sd, levels, p)
        for _ in range(3):
            q = 1 / (1 + np.exp(-np.clip(offset + rows @ mean, -30, 30)))
            cov = np.linalg.inv(rows.T @ (rows * (weight * q * (1 - q))[:, None]) + np.diag(precision))
            step = cov @ (rows.T @ (weight * (fixed - q)) - precision * mean)
            mean = mean + step / max(1.0, float(np.max(np.abs(step))) / 2)  # no coefficient moves more than 2 at once
        sd = _relearn(sd, start, levels, mean, cov)
    return Effects(levels, mean, (cov + cov.T) / 2, sd, 0.0)
