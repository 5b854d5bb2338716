"""Learning how people differ at the bench: one pass over the units of a fitted group, then one
random effect each for fixes and hours.

    hours: r_ij = ln hours - the group's,  r_ij ~ N(b_j, sigma^2),  b_j ~ N(0, t^2):   variance 1 /
        (n_j / sigma^2 + 1 / t^2),  mean = variance sum r_j / sigma^2
    fix:   mean and variance of a_j under  product of bernoulli(fixed_ij | group's log odds + a_j)
        x  N(a_j | 0, t^2),  summed over a grid
    t, sigma: by expectation-maximisation from the labelled spread and the group's sigma, as in
        `pooled_fit`

The group's coefficients are held fixed: whoever works mostly on one kind of fault shares its effect
with the group. The pass adds up log odds in bins, so that the number of units does not matter. A
record of fewer than two people is left as it is, without a pass where that is known.
"""

import math
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from functools import partial

import numpy as np
from numpy import ndarray as Array

from pricing.basis import assumed
from pricing.basis.settings import Settings
from pricing.basis.units import Units
from pricing.basis.words import family_of
from pricing.formulas import bench_sums, exits, repairs_needed
from pricing.model.fold import Fold
from pricing.model.repair import pooled, repair_sums, skill
from pricing.model.repair.pooled import Cells
from pricing.model.repair.pooled_fit import PULL, ROUNDS
from pricing.model.repair.repair import RepairModel
from pricing.model.repair.skill import Skill
from pricing.model.repair.starts import Starts

MOST_PEOPLE = 200  # told apart, those with most units
BINS, WIDTH = 64, 0.2  # of the group's log odds, about 0
BLOCK = 4096  # cells
SHIFTS = np.linspace(-6.0, 6.0, 241)  # of the log odds of one person
MIDDLES = (np.arange(BINS) - BINS / 2 + 0.5) * WIDTH


def with_people(model: RepairModel, fold: Fold, settings: Settings, as_of: date) -> RepairModel:
    """The model with the people told apart, where the units name two or more."""
    return fitted(model, fold(partial(look_at, model=model, settings=settings, as_of=as_of), added))


def look_at(
    units: Units, model: RepairModel, settings: Settings, as_of: date
) -> Mapping[str, Array]:
    """Sums of one block by person: units timed, sum of r, of r^2, by bin ended and fixed."""
    if not units.word("owner").levels:
        return {}
    units = repair_sums.of_the_bench(units, as_of)
    units = units.take(units.word("owner").codes >= 0)
    outcome = repair_sums.outcomes(units)
    units, outcome = units.take(outcome != repair_sums.OPEN), outcome[outcome != repair_sums.OPEN]
    if not units.n:
        return {}
    bench = repair_sums.work_hours(units, settings)[0]
    log_hours = repair_sums.log_bench(bench)
    columns = [units.word(name) for name in ("owner", "type", "fault", "found", "repair")]
    values = np.stack([np.ones(units.n), np.isfinite(bench), log_hours, log_hours**2], axis=1)
    distinct, totals = repair_sums.grouped(
        [
            *(column.codes.astype(np.int64) for column in columns),
            repair_sums.whole_age(units),
            outcome,
        ],
        values,
    )
    texts = [
        [column.levels[code] if code >= 0 else "" for code in distinct[:, k].tolist()]
        for k, column in enumerate(columns)
    ]
    owners, starts = texts[0], Starts(settings)
    place = {name: index for index, name in enumerate(dict.fromkeys(owners))}
    sums = np.zeros((len(place), 3 + 2 * BINS))
    usual = _usual(model)
    for start in range(0, len(owners), BLOCK):
        here = slice(start, start + BLOCK)
        types, faults = texts[1][here], texts[2][here]
        did = zip(texts[3][here], texts[4][here], strict=True)
        needs = [repair_sums.needed(found, done, usual) for found, done in did]
        failed = (distinct[here, 6] == repair_sums.FAILED).astype(float)
        ages, who = distinct[here, 5], np.array([place[name] for name in owners[here]])
        told = _expected(model, types, faults, needs, ages, failed, starts, settings)
        _add(sums, who, totals[here], *told, failed)
    return {name: sums[index] for name, index in place.items()}


def _usual(model: RepairModel) -> dict[str, str]:
    """What is usually done where this was found."""
    best: dict[str, tuple[float, str]] = {}
    for (found, done), count in sorted(model.found_needs.items()):
        if found not in best or count > best[found][0]:
            best[found] = (count, done)
    return {found: done for found, (_, done) in best.items()}


def _expected(
    model: RepairModel,
    types: list[str],
    faults: list[str],
    needs: list[str],
    age: Array,
    failed: Array,
    starts: Starts,
    settings: Settings,
) -> tuple[Array, Array]:
    """The group's log odds to fix and ln bench hours of cells."""
    years = np.where(age >= 0, age - assumed.MIDDLE_AGE, 0.0)
    steps = [repairs_needed.steps_of(need) for need in needs]
    read = Cells([family_of(name, settings) for name in types], types, faults, steps, years, failed)
    table = np.array([starts.of(*key)[:3] for key in zip(types, faults, needs, strict=True)])
    n_steps = np.array([max(len(one), 1) for one in steps], dtype=float)
    fix = pooled.design(model.fix.levels, read)[0]
    fix[:, 2] = 0
    chance = bench_sums.aged(table[:, 0], years)
    odds = fix @ model.fix.mean + bench_sums.fix_offset(chance, model.fix_shift)
    hours = pooled.design(model.hours.levels, read)[0] @ model.hours.mean
    usual = bench_sums.hours_offset(table[:, 2], n_steps)
    return odds, hours + usual + math.log(exits.FAILED_HOURS) * failed


def _add(sums: Array, at: Array, totals: Array, odds: Array, hours: Array, failed: Array) -> None:
    ended, timed, total, square = totals.T
    total, square = np.where(timed > 0, total, 0.0), np.where(timed > 0, square, 0.0)
    bin_ = np.clip(np.floor(odds / WIDTH + BINS / 2), 0, BINS - 1).astype(np.int64)
    np.add.at(sums[:, 0], at, timed)
    np.add.at(sums[:, 1], at, total - timed * hours)
    np.add.at(sums[:, 2], at, square - 2 * hours * total + timed * hours**2)
    np.add.at(sums, (at, 3 + bin_), ended)
    np.add.at(sums, (at, 3 + BINS + bin_), np.where(failed > 0, 0.0, ended))


def added(a: Mapping[str, Array], b: Mapping[str, Array]) -> Mapping[str, Array]:
    """The sums of two blocks together."""
    return {
        name: (
            a[name] + b[name] if name in a and name in b else a.get(name, b.get(name, np.zeros(0)))
        )
        for name in {**a, **b}
    }


def fitted(model: RepairModel, sums: Mapping[str, Array]) -> RepairModel:
    """The model with what the sums say of the people; as it is where they are fewer than two."""
    if len(sums) < 2:
        return model
    by_units = sorted(sums, key=lambda name: (-sums[name][3 : 3 + BINS].sum(), name))
    names = sorted(by_units[:MOST_PEOPLE])
    table = np.array([sums[name] for name in names])
    hours, hours_sd, error = _hours(table[:, :3], model.hours.sigma)
    fix, fix_sd = (
        _fix(table[:, 3 : 3 + BINS], table[:, 3 + BINS :])
        if model.fix_is_known
        else (np.zeros((len(names), 2)), 0.0)
    )
    people = Skill(tuple(names), fix, hours, (0.0, fix_sd**2, 0.0, hours_sd**2), fix_sd, hours_sd)
    return replace(model, hours=replace(model.hours, sigma=error), skill=people)


def _hours(sums: Array, sigma: float) -> tuple[Array, float, float]:
    """Mean and variance of each person's shift of ln hours, (J, 2), the spread between people, and
    within. sums: units, sum of r, of r^2, (J, 3); sigma: spread with the people in it, where the
    last begins."""
    n, total, square = sums.T
    between, error = skill.HOURS_SD**2, sigma**2
    for _ in range(ROUNDS):
        variance = 1 / (n / error + 1 / between)
        mean = variance * total / error
        left = float(np.sum(square - 2 * mean * total + n * (mean**2 + variance)))
        between = _relearned(mean, variance, skill.HOURS_SD)
        error = (max(left, 0.0) + PULL * sigma**2) / (float(n.sum()) + PULL)
    return np.column_stack([mean, variance]), math.sqrt(between), math.sqrt(error)


def _fix(ended: Array, done: Array) -> tuple[Array, float]:
    """The same of the log odds to fix, by sums over SHIFTS. ended, done: (J, BINS)."""
    odds = MIDDLES[None, :] + SHIFTS[:, None]
    likelihood = done @ odds.T - ended @ np.log1p(np.exp(odds)).T
    between = skill.FIX_SD**2
    for _ in range(ROUNDS):
        weight = likelihood - SHIFTS**2 / (2 * between)
        weight = np.exp(weight - weight.max(1, keepdims=True))
        weight /= weight.sum(1, keepdims=True)
        mean = weight @ SHIFTS
        variance = weight @ SHIFTS**2 - mean**2
        between = _relearned(mean, variance, skill.FIX_SD)
    return np.column_stack([mean, variance]), math.sqrt(between)


def _relearned(mean: Array, variance: Array, start: float) -> float:
    return float((np.sum(mean**2 + variance) + PULL * start**2) / (len(mean) + PULL))
