"""What is missing in the record, and what each gap costs in certainty."""

from __future__ import annotations

import numpy as np

from pricing.basis.frozen import frozen
from pricing.basis.settings import Settings
from pricing.quarter.money import Books
from pricing.quarter.worked import TASKS


@frozen
class Gap:
    """One column with blanks where there should be none.

    n_blank of n rows that should have it; what: what is done about the blanks; per_hour: how far
    the return per hour of the whole record may be off because of them, money an hour either way,
    None where it does not touch it or nothing is known;
    wider: how many times as wide a range is because of them (days, prices), 1 where it does not
    matter; weight: for the order.
    """

    column: str
    n_blank: int
    n: int
    what: str
    per_hour: float | None
    wider: float
    weight: float


def find_gaps(books: Books, settings: Settings) -> tuple[Gap, ...]:
    """Gaps, the one that costs most first; columns without blanks are not listed."""
    numbers = books.units.number
    counted = books.counted
    total = float(books.worked[counted].sum())
    value = float(books.profit[counted].sum()) / total if total > 0 else 0.0
    out: list[Gap] = []

    def add(
        column: str,
        should: np.ndarray,
        has: np.ndarray,
        what: str,
        *,
        off: float | None = None,
        is_range: bool = False,
        lost: float = 0.05,
    ) -> None:
        n, blank = int(should.sum()), int((should & ~has).sum())
        if blank == 0:
            return
        wider = float(np.sqrt(n / max(n - blank, 1))) if is_range else 1.0
        share = (
            abs(off) / max(abs(value), settings.hourly_target / 2, 1e-9) if off is not None else 0.0
        )
        out.append(
            Gap(column, blank, n, what, off, wider, share + (wider - 1) * 0.3 + lost * blank / n)
        )

    finite = np.isfinite
    was_listed = books.sold | (
        books.open & books.units.word("outcome").lookup(["listed"]).__eq__(0)
    )
    add(
        "listed",
        was_listed,
        finite(numbers("listed")),
        "days to sell rest on the others",
        is_range=True,
    )
    add("price", books.sold, finite(numbers("price")), "left out of all money")
    worked = finite(numbers("hours"))
    for task in ("diagnose", "repair", "clean", "sell"):
        worked = worked | finite(numbers(f"{task}_min"))
    no_hours = counted & ~worked
    own = books.worked[counted & worked]
    scatter = float(own.std(ddof=1)) if len(own) > 1 else float("nan")
    n_blank = int(no_hours.sum())
    hours_off = (
        abs(value) * scatter * np.sqrt(n_blank) / total
        if total > 0 and np.isfinite(scatter)
        else (abs(value) * 0.5 if n_blank else None)
    )
    add(
        "hours or minutes",
        counted,
        worked,
        "your usual for the type is put in" if len(own) else "starting figures are put in",
        off=float(hours_off) if hours_off is not None else None,
    )
    drive = finite(numbers("drive_min"))
    by_miles = finite(numbers("miles"))
    add(
        "drive_min or miles",
        counted,
        drive | by_miles,
        _drive_words(books, counted & ~drive & ~by_miles),
    )
    for column in ("paid", "parts"):
        has = finite(numbers(column)) | finite(numbers("cost_in"))
        known = numbers(column)[counted & finite(numbers(column))]
        blank = counted & ~has
        put_in = bool((books.assumed[column][blank] > 0).any())
        scatter = float(known.std(ddof=1)) if len(known) > 1 else float("nan")
        off = (
            scatter * np.sqrt(blank.sum()) / total
            if put_in and total > 0 and np.isfinite(scatter)
            else None
        )
        add(
            column,
            counted,
            has,
            "your usual for the type is put in" if put_in else "counted as nothing, which flatters",
            off=float(off) if off is not None else None,
        )
    add(
        "haul_cost",
        counted,
        finite(numbers("haul_cost")),
        (
            "the truck is put in by the miles"
            if (books.assumed["haul"] > 0).any()
            else "counted as nothing, which flatters"
        ),
        lost=0.0,
    )
    add("day sold", books.ended, finite(books.day), "in no quarter")
    add("got", books.unit, finite(numbers("got")), "days held and the buying replay leave them out")
    has_age = finite(numbers("age")) | (books.units.word("made").codes >= 0)
    add("age", books.sold, has_age, "the price range is wider for them", is_range=True)
    add(
        "condition",
        books.sold,
        books.units.word("condition").codes >= 0,
        "the price range is wider for them",
        is_range=True,
    )
    add(
        "asked",
        was_listed,
        books.units.word("asked").codes >= 0,
        "what buyers talk down is not learned from them",
        is_range=True,
    )
    return tuple(sorted(out, key=lambda gap: (-gap.weight, gap.column)))


def _drive_words(books: Books, blank: np.ndarray) -> str:
    put_in = bool((books.assumed_hours[TASKS[0]][blank] > 0).any())
    return (
        "your usual drive is put in" if put_in else "no driving is counted for them, which flatters"
    )
