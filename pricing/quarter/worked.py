"""Hours of each unit by task, as written and with what is put in for blanks (see `money`)."""

import numpy as np
from numpy import ndarray as Array

from pricing.basis.assumed import fault_families
from pricing.basis.own_rows import assumed_faults, assumed_types
from pricing.basis.settings import Settings
from pricing.basis.units import Units
from pricing.basis.words import family_of
from pricing.quarter.blanks import comebacks, fill, some_cents, types_of, usual

TASKS = ("drive", "diagnose", "repair", "clean", "sell", "not split", "comebacks")
_WORK = ("diagnose", "repair", "clean", "sell")
STARTING_BENCH_HOURS = 1.0  # where no starting figure names the fault; own judgement


def hours_of(
    units: Units, settings: Settings, unit: Array, rows: Array, class_of: Array, shares: Array
) -> tuple[dict[str, Array], dict[str, Array]]:
    """Hours by task of every row, written and put in, (n,) each: its own, else shared out from
    `hours`, else the usual of its type (see the module).

    unit: which rows are units; rows: those and the empty trips, which may name a type too but take
    no usual of it.
    """
    of_type, n_types = types_of(units)
    minutes = {task: units.number(f"{task}_min") for task in _WORK}
    minutes = {
        task: np.where(rows, values / 60, np.nan) if values.strides[0] else values
        for task, values in minutes.items()
    }
    total = np.where(rows, units.number("hours"), np.nan)
    is_unit = unit & (units.word("type").codes >= 0)
    split = np.sum([np.isfinite(minutes[task]) for task in _WORK], axis=0) > 0
    known = sum(np.nan_to_num(minutes[task]) for task in _WORK)

    assumed = dict.fromkeys(TASKS, np.broadcast_to(0.0, units.n))
    partly = is_unit & split & ~np.isfinite(total)
    for task in _WORK if partly.any() else ():
        usual_of = fill(minutes[task], partly, class_of, of_type, n_types)
        assumed[task] = some_cents(np.where(partly, usual_of, 0.0))
    nothing = is_unit & ~split & ~np.isfinite(total)
    if nothing.any():
        work = np.where(np.isfinite(total) | split, np.fmax(total, known), np.nan)
        usual_work = _usual_work(units, settings, work, class_of, of_type, n_types)
        assumed["not split"] = some_cents(np.where(nothing, usual_work, 0.0))
        del work, usual_work  # of a long record each of these is many megabytes
    written = {**minutes, "not split": np.maximum(np.nan_to_num(total) - known, 0)}
    del minutes, total, known

    drive = np.where(rows, units.number("drive_min") / 60 * shares, np.nan)
    by_miles = 2 * units.number("miles") * shares / settings.average_speed
    usual_drive = fill(drive, is_unit, np.zeros(units.n), of_type, n_types)
    put_in = np.where(np.isfinite(by_miles), by_miles, usual_drive)
    assumed["drive"] = some_cents(np.where(rows & ~np.isfinite(drive), put_in, 0.0))
    del by_miles, usual_drive, put_in
    written |= {"drive": drive, "comebacks": np.where(rows, comebacks(units)[0], 0.0)}
    hours = {}
    for task in TASKS:
        own = some_cents(np.nan_to_num(written.pop(task)))
        hours[task] = some_cents(own + assumed[task])
    return hours, assumed


def _usual_work(
    units: Units, settings: Settings, work: Array, class_of: Array, of_type: Array, n_types: int
) -> Array:
    """Hours of work without driving where none is written: the usual, else starting figures."""
    known = np.isfinite(work)
    if not known.any():
        return _starting_hours(units, settings, class_of)
    out, overall = np.zeros(units.n), usual(work, of_type, n_types)[0]
    for kind in np.unique(class_of):
        rows = class_of == kind
        by_type = usual(np.where(rows, work, np.nan), of_type, n_types)[0]
        out[rows] = np.where(np.isfinite(by_type), by_type, overall)[of_type[rows]]
    return out


def _starting_hours(units: Units, settings: Settings, class_of: Array) -> Array:
    """Bench hours of the fault, and of sold units the hours to clean and sell, as a start."""
    types = assumed_types(settings, money=False)
    faults = assumed_faults(settings, money=False)
    names, told = units.word("type"), units.word("fault")
    out = np.zeros(units.n)
    pairs = names.codes.astype(np.int64) * (len(told.levels) + 1) + told.codes
    for pair in np.unique(pairs).tolist():
        rows = np.flatnonzero(pairs == pair)
        (name,), (fault,) = (column.take(rows[:1]).texts() for column in (names, told))
        families = (*fault_families(name, family_of(name, settings)), "any")
        own = (x.bench_h for x in faults if x.fault == fault and x.family in families)
        rest = types[name].clean_sell_h if name in types else 1.2
        out[rows] = next(own, STARTING_BENCH_HOURS) + np.where(class_of[rows] == 1, rest, 0.0)
    return out
