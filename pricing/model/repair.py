"""What a fault turns out to need, whether it gets fixed, and what parts and hours go into it: the answering half. numpy only.

For unit i with fault f as told, type t, age a and the repair r that it really needs:

    which r        shares of the person's own units, pooled: all types -> kind of appliance -> this type (Dirichlet-multinomial),
                   with room for a repair never seen under this fault ("something else")
    fixed          logit q = o + b0 + b_family + b_type + b_fault + b_repair + b_age (a - 6.5),   b ~ N(0, sd^2 per block)
    parts, fixed   a share of zeros by repair; the others ln parts = o + b0 + b_family + … + e,   e ~ N(0, sigma^2)
    bench hours    ln hours = o + b0 + … + b_failed [not fixed] + e
    clean and sell ln hours = o + b0 + b_family + b_type + e

o is what the starting table says (`records/assumed`): with no own unit every mean is the table's figure, and it fades as units come in.
A repair in several steps ("belt; pump") is the mean of its steps in b, and adds ln(number of steps) to parts, half of it to hours.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np

from pricing.model import numbers
from pricing.records import assumed
from pricing.records.words import family_of

if TYPE_CHECKING:
    from pricing.records.settings import Settings

BLOCKS = ("family", "type", "fault", "step")
ELSE = ""  # the repair that nobody has seen under this fault
STEP_JOIN = "; "
# Standard deviations before any own unit: own judgement. "all" is the person's own level, "age" a year, "failed" the hours of a failed try.
FIX_SD = {"all": 0.5, "age": 0.05, "failed": 0.0, "family": 0.25, "type": 0.25, "fault": 0.5, "step": 0.8}
PARTS_SD = {"all": 0.3, "age": 0.0, "failed": 0.0, "family": 0.2, "type": 0.15, "fault": 0.35, "step": 0.6}
HOURS_SD = {"all": 0.35, "age": 0.0, "failed": 0.3, "family": 0.2, "type": 0.15, "fault": 0.3, "step": 0.35}
SELL_SD = {"all": 0.4, "age": 0.0, "failed": 0.0, "family": 0.2, "type": 0.25, "fault": 0.0, "step": 0.0}
PARTS_SIGMA, HOURS_SIGMA, SELL_SIGMA = 0.5, 0.4, 0.35
NEW_REPAIR_WEIGHT = 1.0  # units that "something else" counts for, against the units seen with this fault
KIND_WEIGHT, TYPE_WEIGHT = 5.0, 8.0  # units that the wider group counts for, against those of the kind and of the type
MOST_REPAIRS = 8  # told apart; the rest go to "something else"
SALVAGE_WEIGHT = 3.0  # units that the assumed scrap money counts for


@dataclass(frozen=True)
class Effects:
    """One pooled regression, fitted. levels: block -> its words; the coefficients stand in the order all, age, failed, family…, type…, fault…, step….

    mean: shape (p,); cov: shape (p, p); sd: per block, the spread of a level never seen; sigma: spread of one unit around its own mean.
    """

    levels: Mapping[str, tuple[str, ...]]
    mean: np.ndarray
    cov: np.ndarray
    sd: Mapping[str, float]
    sigma: float


@dataclass(frozen=True)
class Cells:
    """n cases to predict: words of each block, years over the middle age (0 where the age is blank), whether the try failed."""

    family: Sequence[str]
    type: Sequence[str]
    fault: Sequence[str]
    steps: Sequence[tuple[str, ...]]
    age: np.ndarray
    failed: np.ndarray

    @property
    def n(self) -> int:
        return len(self.type)


@dataclass(frozen=True)
class RepairModel:
    """Fitted numbers of the repairs.

    needs: (fault, type, repair) -> units; found_needs: (found, repair) -> units; fixed_of: (fault, type) -> (units ended, of them fixed).
    zero_parts: repair -> (units fixed, of them with no part bought); zero_share: of all; waste: (failed units, of them with a part wasted).
    failed_money: type -> (failed units, sum of what they brought); failed_ratio: that by the assumed scrap, pooled over types.
    failed_hours: hours to be rid of one; comebacks: (sold, of them come back). as_is, parted: (units, sum of shares of the working price).
    paid: type ("" is all) -> units and what was paid at nine levels, .1 to .9; miles: the usual way out; heard: what is told of units on offer, per column: word -> units.
    """

    fix: Effects
    parts: Effects
    hours: Effects
    sell: Effects
    fix_shift: float = 0.0
    n_ended: int = 0
    n_failed: int = 0
    needs: Mapping[tuple[str, str, str], float] = field(default_factory=dict)
    found_needs: Mapping[tuple[str, str], float] = field(default_factory=dict)
    fixed_of: Mapping[tuple[str, str], tuple[float, float]] = field(default_factory=dict)
    zero_parts: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    zero_share: tuple[float, float] = (0.0, 0.0)
    waste: tuple[float, float] = (0.0, 0.0)
    failed_money: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    failed_ratio: float = 1.0
    failed_hours: tuple[float, float] = (0.0, 0.0)
    comebacks: tuple[float, float] = (0.0, 0.0)
    as_is: tuple[float, float] = (0.0, 0.0)
    parted: tuple[float, float] = (0.0, 0.0)
    paid: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    miles: tuple[float, float] = (0.0, 0.0)
    heard: Mapping[str, Mapping[str, float]] = field(default_factory=dict)

    @property
    def fix_is_known(self) -> bool:
        """A record with no failed unit hides the duds: the chance then stays a guess."""
        return self.n_failed > 0


@dataclass(frozen=True)
class Outlook:
    """The repairs that each of m units may turn out to need, all candidates in one row of arrays (c,), unit by unit.

    owner: which unit; repair: its name ("" is something else); chance: sums to 1 for each unit; fix: chance to fix it.
    parts: ln money of a part that is bought, its variance (knowledge + unit), and the share with none; waste: chance that a failed try wastes it.
    hours: ln bench hours when fixed, variance; failed_log: added where it fails. sell: ln hours to clean and sell, variance.
    fix_known, parts_known, hours_known: (m,) share of the prior variance that own units removed, 0-1.
    row: the starting row of each unit, and whether its fault is known at all.
    """

    owner: np.ndarray
    repair: tuple[str, ...]
    chance: np.ndarray
    fix: np.ndarray
    parts_log: np.ndarray
    parts_var: np.ndarray
    no_parts: np.ndarray
    waste: float
    hours_log: np.ndarray
    hours_var: np.ndarray
    failed_log: float
    sell_log: np.ndarray
    sell_var: np.ndarray
    failed_rest: float
    fix_known: np.ndarray
    parts_known: np.ndarray
    hours_known: np.ndarray
    rows: tuple[tuple[assumed.AssumedFault, bool], ...]

    @property
    def parts_mean(self) -> np.ndarray:
        """Expected money for parts when fixed, (c,)."""
        return (1 - self.no_parts) * np.exp(self.parts_log + self.parts_var / 2)

    @property
    def wasted_mean(self) -> np.ndarray:
        """Expected money for parts when not fixed, (c,)."""
        return self.waste * np.exp(self.parts_log + self.parts_var / 2)

    @property
    def hours_mean(self) -> np.ndarray:
        """Expected bench hours when fixed, (c,)."""
        return np.exp(self.hours_log + self.hours_var / 2)

    @property
    def sell_mean(self) -> np.ndarray:
        """Expected hours to clean and sell, (c,)."""
        return np.exp(self.sell_log + self.sell_var / 2)


def outlook(model: RepairModel, units: Sequence[Mapping[str, Any]], settings: Settings) -> Outlook:
    """What may lie ahead of each unit (rows with type, age, fault, found, repair; blanks allowed)."""
    table = assumed.assumed_faults(settings)
    types = assumed.assumed_types(settings)
    families = {name: family_of(name, settings) for name in {str(unit.get("type") or "") for unit in units}}
    tree = _tree(model, families, settings)
    memory: dict[tuple[str, str, str, str], _Ahead] = {}
    owner: list[int] = []
    pieces: list[_Ahead] = []
    ages: list[float] = []
    for place, unit in enumerate(units):
        type_name = str(unit.get("type") or "")
        key = (type_name, str(unit.get("fault") or ""), str(unit.get("found") or ""), str(unit.get("repair") or ""))
        ahead = memory.get(key)
        if ahead is None:
            ahead = memory[key] = _ahead(model, tree, *key, families[type_name], table, types)
        pieces.append(ahead)
        owner.extend([place] * len(ahead.repairs))
        age = unit.get("age")
        ages.extend([0.0 if age is None else float(age) - assumed.MIDDLE_AGE] * len(ahead.repairs))
    year = np.array(ages)
    cells = Cells(
        [piece.family for piece in pieces for _ in piece.repairs],
        [piece.type for piece in pieces for _ in piece.repairs],
        [piece.fault for piece in pieces for _ in piece.repairs],
        [steps_of(repair) for piece in pieces for repair in piece.repairs],
        year,
        np.zeros(len(owner)),
    )
    at = np.array(owner, dtype=np.int64)

    def gather(name: str) -> np.ndarray:
        return np.concatenate([getattr(piece, name) for piece in pieces]) if pieces else np.zeros(0)

    chance = gather("chance")
    fix_log, fix_var, fix_before = predict(model.fix, cells)
    fix_log = fix_log + fix_offset(gather("fix"), model.fix_shift) + assumed.FIX_PER_YEAR * year
    parts_log, parts_var, parts_before = predict(model.parts, cells)
    hours_log, hours_var, hours_before = predict(model.hours, cells)
    sell_log, sell_var, _ = predict(model.sell, cells)
    zero = np.array([zero_share(model.zero_parts, model.zero_share, repair, piece.zero) for piece in pieces for repair in piece.repairs])
    return Outlook(
        owner=at,
        repair=tuple(repair for piece in pieces for repair in piece.repairs),
        chance=chance,
        fix=mean_chance(fix_log, fix_var),
        parts_log=parts_log + parts_offset(gather("parts"), zero, gather("n_steps")),
        parts_var=parts_var + model.parts.sigma**2,
        no_parts=zero,
        waste=(model.waste[1] + 4 * assumed.WASTED_PARTS_SHARE) / (model.waste[0] + 4),
        hours_log=hours_log + hours_offset(gather("hours"), gather("n_steps")),
        hours_var=hours_var + model.hours.sigma**2,
        failed_log=math.log(assumed.FAILED_HOURS) + float(model.hours.mean[2]),
        sell_log=sell_log + sell_offset(gather("sell")),
        sell_var=sell_var + model.sell.sigma**2,
        failed_rest=(model.failed_hours[1] + 3 * assumed.FAILED_REST_HOURS) / (model.failed_hours[0] + 3),
        fix_known=_removed(at, chance, fix_var, fix_before, len(units)) * (1.0 if model.fix_is_known else 0.0),
        parts_known=_removed(at, chance, parts_var, parts_before, len(units)),
        hours_known=_removed(at, chance, hours_var, hours_before, len(units)),
        rows=tuple(piece.row for piece in pieces),
    )


def fix_offset(chance: np.ndarray, shift: float) -> np.ndarray:
    """Log odds at which the mean chance over the spread before any unit is the table's chance."""
    inside = np.clip(chance, 0.002, 0.998)
    return np.log(inside / (1 - inside)) * math.sqrt(1 + math.pi * before(FIX_SD) / 8) + shift


def parts_offset(expected: np.ndarray, zero: np.ndarray, n_steps: np.ndarray) -> np.ndarray:
    """Mean ln money of a bought part at which the expected parts before any unit are the table's."""
    return np.log(np.maximum(expected, 1.0) / (1 - zero)) - (before(PARTS_SD) + PARTS_SIGMA**2) / 2 + np.log(n_steps)


def hours_offset(expected: np.ndarray, n_steps: np.ndarray) -> np.ndarray:
    """Mean ln hours at which the expected bench hours before any unit are the table's."""
    return np.log(np.maximum(expected, 0.05)) - (before(HOURS_SD) + HOURS_SIGMA**2) / 2 + np.log(n_steps) / 2


def sell_offset(expected: np.ndarray) -> np.ndarray:
    return np.log(np.maximum(expected, 0.05)) - (before(SELL_SD) + SELL_SIGMA**2) / 2


def before(sd: Mapping[str, float]) -> float:
    """Variance of one linear predictor before any unit, at the middle age."""
    return sum(value**2 for name, value in sd.items() if name not in ("age", "failed"))


def mean_chance(mean: np.ndarray, variance: np.ndarray) -> np.ndarray:
    """E 1/(1 + exp(-x)), x ~ N(mean, variance), by Gauss-Hermite quadrature at nine nodes.

    >>> mean_chance(np.array([0.0, 2.0]), np.array([1.0, 0.0])).round(4).tolist()
    [0.5, 0.8808]
    """
    x = np.asarray(mean)[:, None] + np.sqrt(np.asarray(variance))[:, None] * _NODES
    return (1 / (1 + np.exp(-x))) @ _WEIGHTS


# Nodes and weights of the normal law (Abramowitz & Stegun 1964, table 25.10, n = 9, in the probabilists' scale).
_NODES = np.array([-4.512745863399783, -3.205429002856470, -2.076847978677830, -1.023255663789133, 0.0, 1.023255663789133, 2.076847978677830, 3.205429002856470, 4.512745863399783])
_WEIGHTS = np.array(
    [
        2.2345844007746e-05,
        0.00278914132123177,
        0.0499164067652179,
        0.2440975028949394,
        0.4063492063492063,
        0.2440975028949394,
        0.0499164067652179,
        0.00278914132123177,
        2.2345844007746e-05,
    ]
)


def steps_of(repair: str) -> tuple[str, ...]:
    """The steps of a repair: "belt; pump" -> ("belt", "pump")."""
    return tuple(step.strip() for step in repair.split(";") if step.strip())


def design(levels: Mapping[str, tuple[str, ...]], cells: Cells) -> tuple[np.ndarray, np.ndarray]:
    """The rows of the regression, shape (n, p), and how much of each block is not in `levels`, shape (n, 4), as squared weight."""
    start, place = 3, {}
    for block in BLOCKS:
        place[block] = {word: start + k for k, word in enumerate(levels[block])}
        start += len(levels[block])
    rows = np.zeros((cells.n, start))
    rows[:, 0], rows[:, 1], rows[:, 2] = 1, cells.age, cells.failed
    missing = np.zeros((cells.n, len(BLOCKS)))
    for k, (block, texts) in enumerate((("family", cells.family), ("type", cells.type), ("fault", cells.fault))):
        at = np.array([place[block].get(word, -1) for word in texts], dtype=np.int64)
        seen = at >= 0
        rows[np.flatnonzero(seen), at[seen]] = 1
        missing[~seen, k] = 1
    known = place["step"]
    for i, steps in enumerate(cells.steps):
        if not steps:
            missing[i, 3] = 1
        share = 1 / max(len(steps), 1)
        for step in steps:
            if step in known:
                rows[i, known[step]] += share
            else:
                missing[i, 3] += share * share
    return rows, missing


def predict(effects: Effects, cells: Cells) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Mean, variance, and variance before any unit, of the linear predictor (without its offset), each (n,)."""
    rows, missing = design(effects.levels, cells)
    block_var = np.array([effects.sd[block] ** 2 for block in BLOCKS])
    variance = np.einsum("ij,ij->i", rows @ effects.cov, rows) + missing @ block_var
    prior = _prior_variance(effects)
    return rows @ effects.mean, np.maximum(variance, 0.0), (rows**2) @ prior + missing @ block_var


def _prior_variance(effects: Effects) -> np.ndarray:
    sd = effects.sd
    return np.concatenate([[sd["all"] ** 2, sd["age"] ** 2, sd["failed"] ** 2], *(np.full(len(effects.levels[block]), sd[block] ** 2) for block in BLOCKS)])


def _removed(owner: np.ndarray, chance: np.ndarray, after: np.ndarray, prior: np.ndarray, n: int) -> np.ndarray:
    share = 1 - after / np.maximum(prior, 1e-12)
    return np.clip(np.bincount(owner, chance * share, n), 0, 1)


def zero_share(by_repair: Mapping[str, Sequence[float]], pooled: tuple[float, float], repair: str, prior: float) -> float:
    """Share of fixed units that needed no bought part, for this repair: own units, pooled over all repairs, over the table.

    by_repair: repair -> (units fixed, of them with no part bought); pooled: the same over all; prior: the table's share.
    """
    start = (pooled[1] + 2 * prior) / (pooled[0] + 2)
    n, zeros = by_repair.get(repair, (0.0, 0.0))
    return (zeros + 1.5 * start) / (n + 1.5)


@dataclass(frozen=True)
class _Ahead:
    """What lies ahead of one (type, fault, found, repair): candidates and the starting figures of each."""

    family: str
    type: str
    fault: str
    repairs: tuple[str, ...]
    chance: np.ndarray
    fix: np.ndarray
    parts: np.ndarray
    hours: np.ndarray
    sell: np.ndarray
    n_steps: np.ndarray
    zero: float
    row: tuple[assumed.AssumedFault, bool]


def _ahead(
    model: RepairModel,
    tree: _Shares,
    type_name: str,
    fault: str,
    found: str,
    repair: str,
    family: str,
    table: tuple[assumed.AssumedFault, ...],
    types: Mapping[str, assumed.AssumedType],
) -> _Ahead:
    row, known = assumed.fault_row(fault, type_name, family, table)
    if repair:
        shares = {repair: 1.0}
    elif found:
        shares = found_shares(model, found)
    else:
        shares = tree.of(fault, type_name)
    names = tuple(shares)
    ranked = [ranked_row(name, row) for name in names]
    sell = types.get(type_name, assumed.GENERIC_TYPE).clean_sell_h
    zero = assumed.ZERO_PARTS_SHARE if row.parts_low <= 0 else assumed.ZERO_PARTS_SHARE_NEVER
    steps = np.array([max(len(steps_of(name)), 1) for name in names], dtype=float)
    return _Ahead(
        family=family,
        type=type_name,
        fault=fault,
        repairs=names,
        chance=np.array(list(shares.values())),
        fix=np.array([figures[0] for figures in ranked]),
        parts=np.array([figures[1] for figures in ranked]),
        hours=np.full(len(names), row.bench_h),
        sell=np.full(len(names), sell),
        n_steps=steps,
        zero=zero,
        row=(row, known or fault in tree.faults),
    )


def ranked_row(repair: str, row: assumed.AssumedFault) -> tuple[float, float]:
    """Starting chance to fix and expected parts of a repair under a fault: the fault's own, bounded by the rank of the repair's name."""
    fix, parts = row.fix, row.parts
    for step in steps_of(repair):
        name = step.lower()
        for words, cap, money in assumed.LOW_RANKS:
            if any(word in name for word in words) and not any(word in name for word in assumed.NOT_LOW):
                fix, parts = min(fix, cap), max(parts, money or 0)
        for words, floor, money in assumed.HIGH_RANKS:
            if any(word in name for word in words):
                fix, parts = max(fix, floor), min(parts, money) if money is not None else parts
    return fix, parts


class _Shares:
    """Units by (fault, type, repair), summed the ways that pooling needs."""

    def __init__(self, model: RepairModel, kind_of: Mapping[str, str]) -> None:
        self.kind_of = kind_of
        self.faults = {fault for fault, _ in model.fixed_of}
        self.by_type: dict[tuple[str, str], dict[str, float]] = {}
        self.by_kind: dict[tuple[str, str], dict[str, float]] = {}
        self.by_fault: dict[str, dict[str, float]] = {}
        for (fault, type_name, repair), count in model.needs.items():
            kind = kind_of.get(type_name, "")
            for table, key in ((self.by_type, (fault, type_name)), (self.by_kind, (fault, kind)), (self.by_fault, fault)):
                counts = table.setdefault(key, {})  # type: ignore[attr-defined]
                counts[repair] = counts.get(repair, 0.0) + count

    def of(self, fault: str, type_name: str) -> dict[str, float]:
        """Shares of the repairs under this fault, largest first, "something else" last; they sum to 1."""
        seen = self.by_fault.get(fault, {})
        total = sum(seen.values())
        shares = {repair: count / (total + NEW_REPAIR_WEIGHT) for repair, count in seen.items()}
        shares[ELSE] = NEW_REPAIR_WEIGHT / (total + NEW_REPAIR_WEIGHT)
        for table, key, weight in ((self.by_kind, (fault, self.kind_of.get(type_name, "")), KIND_WEIGHT), (self.by_type, (fault, type_name), TYPE_WEIGHT)):
            counts = table.get(key, {})
            n = sum(counts.values())
            shares = {repair: (counts.get(repair, 0.0) + weight * share) / (n + weight) for repair, share in shares.items()}
        return _largest(shares)


def _tree(model: RepairModel, families: Mapping[str, str], settings: Settings) -> _Shares:
    names = {type_name for _, type_name, _ in model.needs} | set(families)
    return _Shares(model, {name: assumed.fault_families(name, families.get(name) or family_of(name, settings))[0] for name in names})


def found_shares(model: RepairModel, found: str) -> dict[str, float]:
    """Shares of the repairs done where this was found; where it never was, what was found names the repair."""
    counts = {repair: count for (what, repair), count in model.found_needs.items() if what == found}
    own = found
    total = sum(counts.values())
    shares = {repair: count / (total + NEW_REPAIR_WEIGHT) for repair, count in counts.items()}
    shares[own] = shares.get(own, 0.0) + NEW_REPAIR_WEIGHT / (total + NEW_REPAIR_WEIGHT)
    return _largest(shares)


def _largest(shares: Mapping[str, float]) -> dict[str, float]:
    named = sorted(((share, repair) for repair, share in shares.items() if repair != ELSE), key=lambda pair: (-pair[0], pair[1]))
    kept = {repair: share for share, repair in named[:MOST_REPAIRS]}
    rest = shares.get(ELSE, 0.0) + sum(share for share, _ in named[MOST_REPAIRS:])
    if rest > 0:
        kept[ELSE] = rest
    return kept


def if_not_fixed(model: RepairModel, type_name: str, settings: Settings) -> float:
    """Money that a unit brings which was not fixed: the person's own failed units, over the scrap money of the starting table."""
    scrap = scrap_money(type_name, settings)
    n, total = model.failed_money.get(type_name, (0.0, 0.0))
    return (total + SALVAGE_WEIGHT * scrap * model.failed_ratio) / (n + SALVAGE_WEIGHT)


def scrap_money(type_name: str, settings: Settings) -> float:
    """Scrap by weight: the table's money, moved with the person's own price of scrap."""
    row = assumed.assumed_types(settings).get(type_name, assumed.GENERIC_TYPE)
    usual = 0.07 if settings.weight_unit == "lb" else 0.07 / 0.45359237
    return row.scrap * settings.scrap_price_per_weight / usual


def comeback_share(model: RepairModel, type_name: str, family: str, settings: Settings) -> float:
    """Share of sold units that come back: the setting where it is set, else own comebacks over the starting figure (weight 20 units)."""
    if settings.comebacks_of_100 is not None:
        return settings.comebacks_of_100 / 100
    table = assumed.COMEBACKS_OF_100
    start = (table["dryer"] if "dryer" in type_name and "washer" not in type_name else table.get(family, table[""])) / 100
    sold, back = model.comebacks
    return (back + 20 * start) / (sold + 20)


def usual_paid(model: RepairModel, type_name: str) -> float | None:
    """What the person usually pays for such a unit: the middle of the type from five units on, else of all units from three on."""
    for name, least in ((type_name, 5), ("", 3)):
        levels = model.paid.get(name)
        if levels is not None and levels[0] >= least:
            return levels[5]
    return None


def k_of_n(model: RepairModel, fault: str, type_name: str) -> tuple[int, int, int]:
    """Own ended units of this fault on this type: fixed, all; and all of this fault on other types."""
    n, k = model.fixed_of.get((fault, type_name), (0.0, 0.0))
    near = sum(count for (what, which), (count, _) in model.fixed_of.items() if what == fault and which != type_name)
    return int(k), int(n), int(near)


def as_numbers(model: RepairModel) -> dict[str, Any]:
    """The model as plain numbers for the saved file; `from_numbers` reads them back."""
    data: dict[str, Any] = {name: _effects_out(getattr(model, name)) for name in ("fix", "parts", "hours", "sell")}
    data |= {name: getattr(model, name) for name in ("fix_shift", "n_ended", "n_failed", "failed_ratio")}
    data |= {name: list(getattr(model, name)) for name in _PAIRS}
    data["needs"] = [[*key, count] for key, count in model.needs.items()]
    data["found_needs"] = [[*key, count] for key, count in model.found_needs.items()]
    data["fixed_of"] = [[*key, *value] for key, value in model.fixed_of.items()]
    data["zero_parts"] = [[key, *value] for key, value in model.zero_parts.items()]
    data["failed_money"] = [[key, *value] for key, value in model.failed_money.items()]
    data["paid"] = [[key, *value] for key, value in model.paid.items()]
    data["heard"] = [[column, word, count] for column, words in model.heard.items() for word, count in words.items()]
    return data


_PAIRS = ("zero_share", "waste", "failed_hours", "comebacks", "as_is", "parted", "miles")


def from_numbers(data: Mapping[str, Any]) -> RepairModel:
    """The model from the saved file, every size and bound checked. Raises Damaged."""
    pairs: dict[str, Any] = {name: tuple(numbers.array(data, name, (2,)).tolist()) for name in _PAIRS}
    heard: dict[str, dict[str, float]] = {}
    for key, values in _table(data, "heard", 2, 1):
        heard.setdefault(key[0], {})[key[1]] = values[0]
    return RepairModel(
        **{name: _effects_in(numbers.table(data, name)) for name in ("fix", "parts", "hours", "sell")},
        fix_shift=numbers.number(data, "fix_shift", -10, 10),
        n_ended=int(numbers.number(data, "n_ended", 0)),
        n_failed=int(numbers.number(data, "n_failed", 0)),
        failed_ratio=numbers.number(data, "failed_ratio", -1e6, 1e6),
        needs={(key[0], key[1], key[2]): values[0] for key, values in _table(data, "needs", 3, 1)},
        found_needs={(key[0], key[1]): values[0] for key, values in _table(data, "found_needs", 2, 1)},
        fixed_of={(key[0], key[1]): (values[0], values[1]) for key, values in _table(data, "fixed_of", 2, 2)},
        zero_parts={key[0]: (values[0], values[1]) for key, values in _table(data, "zero_parts", 1, 2)},
        failed_money={key[0]: (values[0], values[1]) for key, values in _table(data, "failed_money", 1, 2)},
        paid={key[0]: tuple(values) for key, values in _table(data, "paid", 1, 10)},
        heard=heard,
        **pairs,
    )


def _effects_out(effects: Effects) -> dict[str, Any]:
    lower = effects.cov[np.tril_indices(len(effects.mean))]
    return {
        "levels": {block: list(effects.levels[block]) for block in BLOCKS},
        "mean": [float(f"{value:.9g}") for value in effects.mean],
        "cov": [float(f"{value:.7g}") for value in lower],
        "sd": dict(effects.sd),
        "sigma": effects.sigma,
    }


def _effects_in(data: Mapping[str, Any]) -> Effects:
    levels_data = numbers.table(data, "levels")
    levels = {block: numbers.texts(levels_data, block, most=5_000) for block in BLOCKS}
    p = 3 + sum(map(len, levels.values()))
    lower = numbers.array(data, "cov", (p * (p + 1) // 2,), -1e4, 1e4)
    cov = np.zeros((p, p))
    cov[np.tril_indices(p)] = lower
    cov = cov + np.tril(cov, -1).T
    sd = numbers.table(data, "sd")
    return Effects(levels, numbers.array(data, "mean", (p,), -1e3, 1e3), cov, {name: numbers.number(sd, name, 0, 100) for name in FIX_SD}, numbers.number(data, "sigma", 0, 100))


def _table(data: Mapping[str, Any], name: str, n_words: int, n_numbers: int) -> list[tuple[tuple[str, ...], list[float]]]:
    """Rows of words and numbers, checked."""
    rows = data.get(name)
    if not isinstance(rows, list) or len(rows) > 500_000:
        raise numbers.Damaged(f"{name} is not a table")
    read = []
    for row in rows:
        good = isinstance(row, list) and len(row) == n_words + n_numbers and all(isinstance(word, str) for word in row[:n_words])
        if not good or not all(isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) < 1e12 for value in row[n_words:]):
            raise numbers.Damaged(f"{name} holds a row that is not {n_words} words and {n_numbers} numbers")
        read.append((tuple(row[:n_words]), [float(value) for value in row[n_words:]]))
    return read


def nothing_learned(shift: float = 0.0) -> RepairModel:
    """The model before any unit: every answer is the starting table's."""
    return RepairModel(*(_untaught(sd, sigma) for sd, sigma in ((FIX_SD, 0.0), (PARTS_SD, PARTS_SIGMA), (HOURS_SD, HOURS_SIGMA), (SELL_SD, SELL_SIGMA))), fix_shift=shift)


def _untaught(sd: Mapping[str, float], sigma: float) -> Effects:
    return Effects(dict.fromkeys(BLOCKS, ()), np.zeros(3), np.diag([sd["all"] ** 2, sd["age"] ** 2, sd["failed"] ** 2]), dict(sd), sigma)
