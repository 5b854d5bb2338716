"""The quarter in numbers: one frozen table of the rows that belong to it, and everything that is
added up from it.

Every total of the report (text, tables, pictures, CSV) is a sum over `rows` or comes from the same
books by the same masks, so what a page shows adds up to what another shows. Pages turn these
numbers into words and do no arithmetic.
"""

from collections.abc import Sequence
from datetime import date

import numpy as np

from pricing.advice.together import Sum
from pricing.advice.unsold import Waiting as Plan
from pricing.advice.unsold import sell_together
from pricing.basis.frozen import frozen
from pricing.basis.rules import StopRule
from pricing.basis.settings import Settings
from pricing.quarter.blanks import cents
from pricing.quarter.change import Change, changes
from pricing.quarter.compare import Comparison, compare
from pricing.quarter.front import Front, make_front
from pricing.quarter.gaps import Gap, find_gaps
from pricing.quarter.groups import label_groups
from pricing.quarter.money import IN, OUT, Books, Totals, add_up
from pricing.quarter.period import Quarter, quarter_of
from pricing.quarter.shelf import OnShelf, largest, listings, planned, waiting_units
from pricing.quarter.survival import Curve, waiting_curve

N_TREND = 8  # quarters in the look back
MONEY_COLUMNS = (*IN, *OUT)


@frozen
class MoneyRow:
    """One unit, empty trip or expense. money: by name of IN and OUT, blanks put in; put_in_money,
    put_in_hours: how much of it; counted False: no price, no sums."""

    kind: str
    unit: str
    type: str
    ended: date
    outcome: str
    counted: bool
    money: dict[str, float]
    expense: float
    profit: float
    hours: float
    put_in_money: float
    put_in_hours: float


@frozen
class TypeLine:
    """What one type did in the quarter."""

    type: str
    n_ended: int
    n_sold: int
    n_failed: int
    taken_in: float
    profit: float
    hours: float
    per_hour: float | None
    failed_cost: float
    failed_hours: float


@frozen
class RepairLine:
    """One finding (else the fault as told): tried, not failed, on average; what failures sank."""

    finding: str
    n: int
    n_fixed: int
    parts: float
    hours: float
    sunk_money: float
    sunk_hours: float


@frozen
class QuarterReport:
    """All figures of the report, of the quarter before and a year ago. state: is it over?"""

    quarter: Quarter
    as_of: date
    currency: str
    target: float
    coverage: float
    state: str
    first_day: date | None
    front: Front
    now: Totals
    before: Totals
    year_ago: Totals
    change_profit: Change | None
    change_per_hour: Change | None
    year_change_per_hour: Change | None
    rows: tuple[MoneyRow, ...]
    types: tuple[TypeLine, ...]
    pays: Comparison
    trend: tuple[tuple[Quarter, Totals], ...]
    curve: Curve | None
    curve_by_type: tuple[tuple[str, Curve], ...]
    waiting: tuple[OnShelf, ...]
    sells_for: Sum
    open_hours: float
    repairs: tuple[RepairLine, ...]
    gaps: tuple[Gap, ...]
    n_undated: int


def make_quarter(
    books: Books,
    settings: Settings,
    quarter: Quarter,
    as_of: date,
    seed: int = 0,
    plans: Sequence[Plan] = (),
    rules: Sequence[StopRule] = (),
) -> QuarterReport:
    """The report's numbers for one quarter of the books as of `as_of`. `pays` is of the whole
    record; plans: the next steps of listed units; rules: the person's own."""
    waiting = planned(waiting_units(books, as_of), plans)
    inside = quarter.holds(books.day)
    written = books.worked - sum(books.assumed_hours.values())
    earlier, year_ago = quarter.before.holds(books.day), quarter.year_before.holds(books.day)
    of_type = label_groups(books, settings, ("type",))
    now = add_up(books, inside)
    against_before = changes(books, of_type.codes, len(of_type.levels), earlier, inside)
    against_year = changes(books, of_type.codes, len(of_type.levels), year_ago, inside)
    days, sold, types = listings(books, quarter)
    curves = [(name, waiting_curve(days[mask], sold[mask])) for name, mask in largest(types, sold)]
    dated = books.day[np.isfinite(books.day)]
    today = quarter_of(as_of)
    return QuarterReport(
        quarter=quarter,
        as_of=as_of,
        currency=settings.currency,
        target=settings.hourly_target,
        coverage=settings.coverage,
        state="over" if quarter < today else "running" if quarter == today else "ahead",
        first_day=date.fromordinal(int(dated.min())) if len(dated) else None,
        front=make_front(books, settings, quarter, as_of, waiting, seed, rules),
        now=now,
        before=add_up(books, earlier),
        year_ago=add_up(books, year_ago),
        change_profit=against_before[0] if against_before else None,
        change_per_hour=against_before[1] if against_before else None,
        year_change_per_hour=against_year[1] if against_year else None,
        rows=quarter_rows(books, inside),
        types=type_lines(books, of_type.codes, of_type.levels, inside),
        pays=compare(books, settings, ("type",), seed=seed),
        trend=tuple(
            (each, add_up(books, each.holds(books.day))) for each in _last_quarters(quarter)
        ),
        curve=waiting_curve(days, sold) if sold.any() else None,
        curve_by_type=tuple(curves),
        waiting=waiting,
        sells_for=sell_together(plans, settings.coverage),
        open_hours=round(float(written[books.open].sum()), 2),
        repairs=repair_lines(books, inside),
        gaps=find_gaps(books, settings),
        n_undated=int((books.ended & ~np.isfinite(books.day)).sum()),
    )


def _last_quarters(quarter: Quarter) -> list[Quarter]:
    out = [quarter]
    while len(out) < N_TREND:
        out.insert(0, out[0].before)
    return out


def quarter_rows(books: Books, inside: np.ndarray) -> tuple[MoneyRow, ...]:
    """The frozen table: ended units, empty trips and expenses of the quarter, by day."""
    picked = np.flatnonzero(inside & (books.ended | books.empty | (books.spent > 0)))
    picked = picked[np.argsort(books.day[picked], kind="stable")]
    names, types, outcomes, notes = (
        books.units.word(x).take(picked).texts() for x in ("unit", "type", "outcome", "note")
    )
    counts = (books.counted | books.empty)[picked]
    put_in = cents(sum(books.assumed[name] for name in MONEY_COLUMNS))
    put_in_hours = cents(sum(books.assumed_hours.values()))

    def counted(values: np.ndarray) -> list[float]:
        return np.where(counts, values[picked], 0.0).tolist()

    money = {name: counted(books.money(name)) for name in MONEY_COLUMNS}
    sums = zip(*map(counted, (books.profit, books.worked, put_in, put_in_hours)), strict=True)
    spent = books.spent[picked].tolist()
    out = []
    for i, (row, (profit, worked, *filled)) in enumerate(zip(picked.tolist(), sums, strict=True)):
        kind = "unit" if books.unit[row] else "trip" if books.trip[row] else "expense"
        none = "drive with nothing brought home" if kind == "trip" else "expense"
        out.append(
            MoneyRow(
                kind=kind,
                unit=names[i],
                type=types[i] if kind == "unit" else notes[i] or none,
                ended=date.fromordinal(int(books.day[row])),
                outcome=outcomes[i] or ("sold" if books.sold[row] else kind),
                counted=bool(counts[i]) or kind == "expense",
                money={name: values[i] for name, values in money.items()},
                expense=spent[i],
                profit=round(profit - spent[i], 2) + 0.0,
                hours=worked,
                put_in_money=filled[0],
                put_in_hours=filled[1],
            )
        )
    return tuple(out)


def type_lines(
    books: Books, codes: np.ndarray, levels: Sequence[str], inside: np.ndarray
) -> tuple[TypeLine, ...]:
    """What each type did, most taken in first; units only."""
    counted, ended = inside & books.counted, inside & books.ended
    failures, k = counted & books.failed, len(levels)

    def total(values: np.ndarray, rows: np.ndarray) -> np.ndarray:
        return cents(np.bincount(codes[rows], values[rows].astype(float), minlength=k))

    brought = cents(sum(books.money(name) for name in IN))
    n, sold, failed = (total(kind, ended) for kind in (ended, books.sold, books.failed))
    taken, profit, hours = (total(x, counted) for x in (brought, books.profit, books.worked))
    sums = (taken, profit, hours, total(-books.profit, failures), total(books.worked, failures))

    def line(g: int) -> TypeLine:
        per_hour = float(profit[g] / hours[g]) if hours[g] > 0 else None
        ended_, sold_, failed_ = (int(x[g]) for x in (n, sold, failed))
        brought_, made, worked, lost, lost_hours = (float(x[g]) for x in sums)
        counts = (levels[g], ended_, sold_, failed_)
        return TypeLine(*counts, brought_, made, worked, per_hour, lost, lost_hours)

    order = sorted(np.flatnonzero(n > 0).tolist(), key=lambda g: (-taken[g], levels[g]))
    return tuple(map(line, order))


def repair_lines(books: Books, inside: np.ndarray) -> tuple[RepairLine, ...]:
    """Ended units of the quarter by finding (else the fault as told), most tried first."""
    found, told = books.units.word("found").texts(), books.units.word("fault").texts()
    groups: dict[str, list[int]] = {}
    for row in np.flatnonzero(inside & books.counted).tolist():
        groups.setdefault(found[row] or told[row] or "not written", []).append(row)
    parts, profit = books.money("parts"), books.profit
    hours = books.hours["diagnose"] + books.hours["repair"]

    def line(finding: str, rows: list[int]) -> RepairLine:
        lost = np.array(rows)[books.failed[rows]]
        means = (float(parts[rows].mean()), float(hours[rows].mean()))
        sunk = round(float(-profit[lost].sum()), 2) + 0.0
        sunk_hours = round(float(books.worked[lost].sum()), 2)
        return RepairLine(finding, len(rows), len(rows) - len(lost), *means, sunk, sunk_hours)

    lines = [line(finding, rows) for finding, rows in groups.items()]
    return tuple(sorted(lines, key=lambda line: (-line.n, line.finding)))
