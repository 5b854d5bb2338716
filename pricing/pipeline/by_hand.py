"""The story of one change made by hand, on the page: a sheet of one row, added like any other, so
that it can be undone like any other.

The row names only the columns that the form shows; what it does not name stays as the record knows
it. What was changed meanwhile in another window, or by a sheet, is seen under the writer's lock and
refused, never overwritten.
"""

from __future__ import annotations

import csv
import io
import re
import tempfile
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

from pricing.basis import files
from pricing.basis.home import DEMO_UNIT, Home
from pricing.basis.problems import Problem, Refused
from pricing.basis.settings import Settings
from pricing.ingest import Answers
from pricing.pipeline.record import Added, add

CARRIED = (
    "type",
    "price",
    "outcome",
)  # a sheet needs them; where the form does not show them they go along as they are


class Changed(Refused):
    """The unit is no longer as the form showed it."""


def change_unit(
    home: Home,
    key: str,
    cells: Mapping[str, str],
    seen: int,
    settings: Settings,
    today: date,
    what: str,
) -> Added:
    """Write some columns of a unit. seen: the batch that the form was filled from; what: a word for
    the list of changes.

    Raises Changed where another change came between, Refused with the column of each cell that
    cannot be read; nothing is written then.
    """

    def still_as_seen() -> None:
        now = _current(home, key)
        if now is None or int(now["batch"]) != seen:
            raise Changed(
                Problem(
                    "this unit was changed in another window or by a sheet since you opened it",
                    "look at it as it is now, below, then write again what is still right",
                )
            )

    before = _current(home, key)
    if before is None:
        raise Changed(Problem("this unit is no longer in your record", "look in My list"))
    carried = {
        name: text for name in CARRIED if name not in cells and (text := _text(before.get(name)))
    }
    unit = before.get("unit") or key
    return _add_row(
        home,
        {"unit": str(unit), **carried, **cells},
        settings,
        today,
        f"{unit} {what}",
        still_as_seen,
    )


def new_unit(
    home: Home, cells: Mapping[str, str], settings: Settings, today: date, what: str = "got"
) -> Added:
    """Write down a new unit under its own number, or under the next free one.

    Raises Refused where the number belongs to a unit already, or a cell cannot be read.
    """
    wanted = cells.get("unit", "").strip()
    whose = {"owner": settings.owner} if settings.owner else {}
    for _ in range(100):
        number = wanted or next_number(home)

        def still_free(number: str = number) -> None:
            if _current(home, number) is not None:
                raise Changed(
                    Problem(
                        f"the number {number} belongs to another unit already",
                        "give this one another number, or leave it empty",
                        column="unit",
                    )
                )

        try:
            return _add_row(
                home,
                {**whose, **cells, "unit": number},
                settings,
                today,
                f"{number} {what}",
                still_free,
            )
        except Changed:
            if wanted:
                raise
    raise Refused(
        Problem("others are writing down units faster than I can number this one", "try again")
    )


def new_row(
    home: Home, kind: str, cells: Mapping[str, str], settings: Settings, today: date
) -> Added:
    """Write down a row that is no unit under a name of its day: `expense 2026-10-05`, the second
    one `expense 2026-10-05 b`.

    kind: "trip" (a drive that brought nothing), "call" (passed on without a drive) or "expense";
    the outcome stands in the cells.
    """
    try:
        day = date.fromisoformat(cells.get("got", ""))
    except ValueError:
        day = today
    names = (
        f"{kind} {day.isoformat()}{letter}"
        for letter in ("", *(f" {letter}" for letter in "bcdefghijklmnopqrstuvwxyz"))
    )
    for name in names:
        if _current(home, name) is not None:
            continue
        row = {"unit": name, **cells, **({"trip": name} if kind == "trip" else {})}

        def still_free(name: str = name) -> None:
            if _current(home, name) is not None:
                raise Changed(Problem(f"{name} was just written down elsewhere"))

        try:
            return _add_row(home, row, settings, today, name, still_free)
        except Changed:
            continue
    raise Refused(
        Problem(
            f"26 rows of one day are called {kind} already",
            f"add more in a sheet, with outcome {'expense' if kind == 'expense' else 'trip'}",
        )
    )


def next_number(home: Home) -> str:
    """The number after the highest that the person gave, in its own style: 213 after 212, D-08
    after D-07; 1 where there are none.

    Numbers that the program made up for units without one do not count.
    """
    import pyarrow.compute as pc

    from pricing.ledger import batches, blocks

    entries = batches.load(home).counting()
    blocks.check(home, entries)
    styles: dict[str, int] = {}
    best: dict[
        str, tuple[int, int]
    ] = {}  # of each style the highest number, and how many digits it has
    for block in blocks.current(home, entries, ["key"]):
        found = (
            pc.extract_regex(
                block.table.column("key").cast("string"),
                r"^(?P<style>[A-Za-z]{0,12}[-./ #]?)(?P<digits>\d{1,9})$",
            )
            .combine_chunks()
            .drop_null()
        )
        for style, count in (
            (one["values"], one["counts"])
            for one in found.field("style").value_counts().to_pylist()
        ):
            digits = found.field("digits").filter(pc.equal(found.field("style"), style))
            highest = pc.max(digits.cast("int64")).as_py()
            width = pc.max(
                pc.utf8_length(digits.filter(pc.equal(digits.cast("int64"), highest)))
            ).as_py()
            styles[style] = styles.get(style, 0) + count
            best[style] = max(best.get(style, (0, 0)), (highest, width))
    style = max(styles, key=lambda name: styles[name], default=DEMO_UNIT if home.is_demo else "")
    number, width = best.get(style, (0, 0))
    return f"{style}{number + 1:0{width}d}"


def current(home: Home, key: str) -> Mapping[str, Any] | None:
    """One unit as it stands, or None."""
    return _current(home, key)


def _add_row(
    home: Home, cells: Mapping[str, str], settings: Settings, today: date, name: str, check: Any
) -> Added:
    names = list(dict.fromkeys(["unit", "type", "price", *cells]))
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(names)
    writer.writerow([cells.get(column, "") for column in names])
    with tempfile.TemporaryDirectory(prefix="pricing-") as folder:
        sheet = Path(folder) / f"page {_file_name(name)}.csv"
        files.write_text(sheet, out.getvalue())
        answers = Answers(
            encoding="utf-8", date_order="ymd", decimal=".", take_older=True, by_hand=name
        )
        added = add(home, sheet, settings, today, answers, dry_run=True)
        _refuse_rejected(added)
        return add(home, sheet, settings, today, answers, under_lock=check)


def _refuse_rejected(added: Added) -> None:
    problems = [problem for row in added.rejected for problem in row.problems]
    if problems:
        from dataclasses import replace

        raise Refused(*(replace(problem, file=None, line=None) for problem in problems))


def _current(home: Home, key: str) -> Mapping[str, Any] | None:
    import pyarrow.compute as pc

    from pricing.ledger import batches, blocks

    entries = batches.load(home).counting()
    blocks.check(home, entries)
    found = blocks.rows_of(
        home, entries, lambda keys: pc.equal(keys, key).to_numpy(zero_copy_only=False)
    ).to_pylist()
    return found[-1] if found else None


def _text(value: Any) -> str:
    return "" if value is None else str(value)


def _file_name(name: str) -> str:
    return re.sub(r"[^\w .#-]", "-", name)[:60].strip() or "change"
