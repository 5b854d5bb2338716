"""What lies ahead of a unit: the repairs it may turn out to need, whether they work, parts and
hours. numpy only.

Starting figures o come from the table by type and fault (`basis/assumed`), bounded by the rank of
the repair's name; own units move them through the pooled effects of the model. With no own unit
every mean is the table's figure.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, NamedTuple

import numpy as np

from pricing.basis import assumed
from pricing.basis.frozen import frozen
from pricing.basis.own_rows import assumed_faults, assumed_types
from pricing.basis.settings import Settings
from pricing.basis.words import family_of
from pricing.formulas import bench_sums, exits, repairs_needed
from pricing.formulas.faults import UNTOLD
from pricing.formulas.repairs_needed import steps_of
from pricing.model.repair.pooled import Cells, predict
from pricing.model.repair.repair import RepairModel


@frozen
class Outlook:
    """The repairs that each of m units may turn out to need, all candidates in one row of arrays
    (c,), unit by unit.

    owner: which unit; told: which fault that it may have, over all units; repair: its name ("" is
    something else); chance: sums to 1 for each unit; fix: chance to fix it.
    parts: ln money of a part that is bought, its variance (knowledge + unit), and the share with
    none; waste: chance that a failed try wastes it.
    hours: ln bench hours when fixed, variance; failed_log: added where it fails. sell: ln hours to
    clean and sell, variance.
    parts_mean, wasted_mean, hours_mean, sell_mean: expected, fixed and, of wasted parts, not fixed.
    fix_known, parts_known, hours_known: (m,) share of the prior variance that own units removed,
    0-1.
    row: the starting row of each unit, and whether its fault is known at all.
    """

    owner: np.ndarray
    told: np.ndarray
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
    parts_mean: np.ndarray
    wasted_mean: np.ndarray
    hours_mean: np.ndarray
    sell_mean: np.ndarray
    fix_known: np.ndarray
    parts_known: np.ndarray
    hours_known: np.ndarray
    rows: tuple[tuple[assumed.AssumedFault, bool], ...]


def outlook(model: RepairModel, units: Sequence[Mapping[str, Any]], settings: Settings) -> Outlook:
    """What may lie ahead of each unit (rows with type, age, fault, found, repair; blanks allowed).

    A unit of which no fault is told is the mixture of the faults it may have, so that by the law of
    total expectation its money and hours are the mean of those of each fault told.
    """
    told: list[Mapping[str, Any]] = []
    owner: list[int] = []
    share: list[float] = []
    untold: list[int] = []
    mixes: dict[str, list[tuple[str, float]]] = {}
    for i, unit in enumerate(units):
        type_name = str(unit.get("type") or "")
        mix: list[tuple[str, float]] = []
        blank = str(unit.get("fault") or "") in ("", UNTOLD)
        if blank and not (unit.get("found") or unit.get("repair")):
            if type_name not in mixes:
                mixes[type_name] = faults_of(model, type_name, settings)
            mix = mixes[type_name]
        untold += [i] if mix else []
        told += [{**unit, "fault": fault} for fault, _ in mix] if mix else [unit]
        share += [weight for _, weight in mix] if mix else [1.0]
        owner += [i] * max(len(mix), 1)
    ahead = _outlook(model, told, settings)
    if not untold:
        return ahead
    whose, weight = np.array(owner, dtype=np.int64), np.array(share)
    rows = {i: ahead.rows[k] for k, i in reversed(list(enumerate(owner)))}
    table = assumed_faults(settings)
    for i in untold:
        name = str(units[i].get("type") or "")
        rows[i] = (assumed.fault_row("", name, family_of(name, settings), table)[0], True)

    def known(of_each: np.ndarray) -> np.ndarray:
        return np.bincount(whose, weight * of_each, len(units))

    return replace(
        ahead,
        owner=whose[ahead.owner],
        chance=ahead.chance * weight[ahead.owner],
        fix_known=known(ahead.fix_known),
        parts_known=known(ahead.parts_known),
        hours_known=known(ahead.hours_known),
        rows=tuple(rows[i] for i in range(len(units))),
    )


def faults_of(model: RepairModel, type_name: str, settings: Settings) -> list[tuple[str, float]]:
    """The faults that an untold one of this type may have, in the record's words where it has any,
    with their shares; [] for a type that neither knows. Works, dangers and blanks are none of
    them."""
    base = assumed.told_shares(type_name)
    if not base or "microwave" in type_name:  # most of its faults are decided by danger: own row
        return []
    table, family = assumed_faults(settings), family_of(type_name, settings)
    own = [(fault, n) for (fault, kind), (n, _) in model.fixed_of.items() if kind == type_name]
    return repairs_needed.untold_mix(
        base, own, lambda fault: assumed.fault_row(fault, type_name, family, table)
    )


def _distinct(
    model: RepairModel, units: Sequence[Mapping[str, Any]], settings: Settings
) -> tuple[list[_Ahead], np.ndarray, np.ndarray]:
    """(what lies ahead of the distinct units, which of these each unit is, its years over the
    middle age)."""
    table = assumed_faults(settings)
    types = assumed_types(settings)
    asked = {str(unit.get("type") or "") for unit in units}
    families = {
        name: family_of(name, settings)
        for name in asked | {type_name for _, type_name, _ in model.needs}
    }
    tree = _shares(model, tuple(sorted(families.items())))
    place_of: dict[tuple[str, str, str, str], int] = {}
    pieces: list[_Ahead] = []  # the distinct ones
    which = np.empty(len(units), dtype=np.int64)
    ages = np.zeros(len(units))
    for i, unit in enumerate(units):
        type_name = str(unit.get("type") or "")
        key = (
            type_name,
            str(unit.get("fault") or ""),
            str(unit.get("found") or ""),
            str(unit.get("repair") or ""),
        )
        if key not in place_of:
            place_of[key] = len(pieces)
            pieces.append(_ahead(model, tree, key, families[type_name], table, types))
        which[i] = place_of[key]
        age = unit.get("age")
        ages[i] = 0.0 if age is None else float(age) - assumed.MIDDLE_AGE
    return pieces, which, ages


def _outlook(model: RepairModel, units: Sequence[Mapping[str, Any]], settings: Settings) -> Outlook:
    people = model.skill.of([str(unit.get("owner") or "") for unit in units])
    pieces, which, ages = _distinct(model, units, settings)
    repairs = [repair for piece in pieces for repair in piece.repairs]
    counts = np.array([len(piece.repairs) for piece in pieces], dtype=np.int64)
    first = np.cumsum(counts) - counts
    of_unit = counts[which]
    at = np.repeat(np.arange(len(units)), of_unit)
    cell = (
        np.arange(len(at))
        - np.repeat(np.cumsum(of_unit) - of_unit, of_unit)
        + np.repeat(first[which], of_unit)
    )
    year = ages[at]
    cells = _cells(pieces)

    def gather(name: str) -> np.ndarray:
        return (
            np.concatenate([getattr(piece, name) for piece in pieces])[cell]
            if pieces
            else np.zeros(0)
        )

    chance, steps = gather("chance"), gather("n_steps")
    zero = np.array(_no_parts(model, pieces))[cell]
    told = (gather("fix"), gather("parts"), zero, steps, gather("hours"), gather("sell"))
    own = [predict(of, cells).at(cell, year) for of in (model.fix, model.parts, model.hours)]
    own.append(predict(model.sell, cells).at(cell, year))
    person, n = people[at].T, len(units)
    fix = (own[0][1] + person[1], own[0][2] + model.skill.fix_sd**2)
    hours = (own[2][1] + person[3], own[2][2] + model.skill.hours_sd**2)
    return Outlook(
        owner=at,
        told=at,
        repair=tuple(repairs[k] for k in cell.tolist()),
        chance=chance,
        no_parts=zero,
        waste=bench_sums.waste(model.waste),
        failed_log=math.log(exits.FAILED_HOURS) + float(model.hours.mean[2]),
        **bench_sums.ahead(model, told, own, person, year),
        fix_known=_removed(at, chance, *fix, n) * (1.0 if model.fix_is_known else 0.0),
        parts_known=_removed(at, chance, *own[1][1:], n),
        hours_known=_removed(at, chance, *hours, n),
        rows=tuple(pieces[k].row for k in which.tolist()),
    )


def _cells(pieces: Sequence[_Ahead]) -> Cells:
    """Each repair that each piece may need, as a cell of the pooled sums."""
    each = [(piece, repair) for piece in pieces for repair in piece.repairs]
    return Cells(
        [piece.family for piece, _ in each],
        [piece.type for piece, _ in each],
        [piece.fault for piece, _ in each],
        [steps_of(repair) for _, repair in each],
        np.zeros(len(each)),
        np.zeros(len(each)),
    )


def _no_parts(model: RepairModel, pieces: Sequence[_Ahead]) -> list[float]:
    """The share of each cell's repairs that takes no bought part."""
    return [
        bench_sums.zero_share(
            model.zero_parts.get(repair, (0.0, 0.0)), model.zero_share, piece.zero
        )
        for piece in pieces
        for repair in piece.repairs
    ]


def _removed(
    owner: np.ndarray, chance: np.ndarray, after: np.ndarray, prior: np.ndarray, n: int
) -> np.ndarray:
    share = 1 - after / np.maximum(prior, 1e-12)
    return np.clip(np.bincount(owner, chance * share, n), 0, 1)


@frozen
class _Ahead:
    """What lies ahead of one (type, fault, found, repair): candidates and the starting figures of
    each."""

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
    told: tuple[str, str, str, str],
    family: str,
    table: tuple[assumed.AssumedFault, ...],
    types: Mapping[str, assumed.AssumedType],
) -> _Ahead:
    """What lies ahead of units of which the same was told: type, fault, finding, repair."""
    type_name, fault, found, repair = told
    row, known = assumed.fault_row(fault, type_name, family, table)
    if found:  # what it turned out to be speaks before what was told
        found_row, found_known = assumed.fault_row(found, type_name, family, table)
        row, known = (found_row, True) if found_known else (row, known)
    if repair:
        shares = {repair: 1.0}
    elif found:
        shares = _found_shares(model, found)
    else:
        kind = tree.kind_of.get(type_name, "")
        shares = repairs_needed.shares_under(tree.tree, fault, kind, type_name)
    names = tuple(shares)
    ranked = [repairs_needed.ranked(name, row.fix, row.parts) for name in names]
    sell = types.get(type_name, assumed.GENERIC_TYPE).clean_sell_h
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
        zero=bench_sums.usual_zero_share(row.parts_low),
        row=(row, known or fault in tree.faults),
    )


class _Shares(NamedTuple):
    """Units by repair (`repairs_needed.counted`), kinds of the types, and the faults that ended."""

    tree: Mapping[str, Mapping[str, float]]
    kind_of: Mapping[str, str]
    faults: frozenset[str]


# Of the last model asked: one question asks three times
_kept: tuple[RepairModel, tuple[tuple[str, str], ...], _Shares] | None = None


def _shares(model: RepairModel, families: tuple[tuple[str, str], ...]) -> _Shares:
    global _kept
    if _kept is not None and _kept[0] is model and _kept[1] == families:
        return _kept[2]
    kind_of = {name: assumed.fault_families(name, family)[0] for name, family in families}
    tree = repairs_needed.counted(model.needs.items(), lambda name: kind_of.get(name, ""))
    made = _Shares(tree, kind_of, frozenset(fault for fault, _ in model.fixed_of))
    _kept = (model, families, made)
    return made


def _found_shares(model: RepairModel, found: str) -> dict[str, float]:
    counts = {repair: count for (what, repair), count in model.found_needs.items() if what == found}
    return repairs_needed.found_shares(found, counts)
