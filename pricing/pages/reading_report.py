"""What a person sees after adding a file: counts, what needs them, what to do next."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from pricing.basis.problems import Problem
from pricing.pages.text import WIDTH, columns, exact, width_of, wrap
from pricing.wording.plain import sentence

if TYPE_CHECKING:
    from pricing.pipeline.adding import Added
    from pricing.pipeline.column_table import TakenFor


MOST_PROBLEMS = 12
_COSTS = {
    "listed": "days to sell stay a guess",
    "asked": "how far they talk you down stays a guess",
    "sold": "the season and the trend stay a guess",
    "hours": "your pay by the hour stays a guess",
    "age": "what age costs stays a guess",
    "condition": "what condition is worth stays a guess",
    "paid": "what you can pay stays a guess",
}


def counts_line(counts: Mapping[str, int]) -> str:
    """`171 in, 6 to fix, 4 lines passed over, 3 repeats`, only what there is.

    >>> none = dict.fromkeys(("changed", "unchanged", "rejected", "skipped"), 0)
    >>> counts_line({"accepted": 2, "duplicates": 1} | none)
    '2 in, 1 repeat'
    """
    names = (
        ("accepted", "in", "in"),
        ("changed", "replaces one you had", "replace ones you had"),
        ("unchanged", "as you had it", "as you had them"),
        ("rejected", "to fix", "to fix"),
        ("skipped", "total or heading skipped", "totals or headings skipped"),
        ("duplicates", "repeat", "repeats"),
    )
    told = ((counts[key], one, many) for key, one, many in names if counts[key])
    parts = (f"{n:,} {one if n == 1 else many}" for n, one, many in told)
    return ", ".join(parts) or "nothing"


def reading_report(added: Added, taken: Sequence[TakenFor], command: str, currency: str) -> str:
    """The report of one file as text of at most 60 columns. command: that adds it again."""
    dry = "DRY RUN, nothing is written. " if added.dry_run else ""
    seen = f"{added.seen:,} row{'' if added.seen == 1 else 's'} seen"
    name = added.file.rsplit("/", 1)[-1]
    lines = wrap(f"{dry}{name}: {seen}: {counts_line(added.counts)}.")
    if added.n_units:
        total = exact(added.control_total, currency)
        lines += wrap(f"Sales add up to {total}. Does that match your sheet?")
    lines += [*_question_lines(added, command), *_problem_lines(added), *_record_lines(added)]
    lines += table_lines([(one.heading, one.called, one.how, one.values) for one in taken])
    if added.notes:
        lines += [""]
    for problem in added.notes:
        mend = f" ({problem.fix})" if problem.fix else ""
        lines += wrap(f"Note: {problem.what}{mend}", "  ")
    if added.words:
        pairs = ", ".join(f"{theirs} = {ours}" for theirs, ours, _ in added.words[:8])
        lines += ["", *wrap(f"Your words, as I took them: {pairs}.")]
    if thin := thinnest(added.filled, added.n_units):
        lines += ["", *wrap(thin)]
    return "\n".join(lines)


def table_lines(table: Sequence[tuple[str, str, str, Sequence[str]]]) -> list[str]:
    """Each heading, what it was taken for, how sure, its first values: on one line or two."""
    short = ((" ".join(text.split()) for text in one[:3]) for one in table)
    names = columns([[x if len(x) < 17 else f"{x[:15]}…" for x in one] for one in short])
    lines = ["", "YOUR COLUMNS, AS I READ THEM:"] if table else []
    for left, (*_, values) in zip(names, table, strict=True):
        shown = ", ".join(values)
        if width_of(left) + 2 + width_of(shown) > WIDTH:
            lines += [left, *wrap(f"  {shown}", "  ")]
        else:
            lines.append(f"{left.ljust(max(map(width_of, names)))}  {shown}".rstrip())
    return lines


def _question_lines(added: Added, command: str) -> list[str]:
    """What only the person can say, with the commands that say it."""
    asked = [(one.text, one.options, len(one.lines)) for one in added.reading.questions]
    if len(sure := added.reading.proposed) > 1:
        asked.append(("All of these, if they are right:", (" ".join(sure),), 0))
    lines: list[str] = []
    for question, options, n in asked:
        rows = f" {n:,} row{' waits' if n == 1 else 's wait'} for it:" if n else ""
        lines += ["", *wrap(f"{question}{rows}"), *(f"  {command} {one}" for one in options)]
    return lines


def _problem_lines(added: Added) -> list[str]:
    """Rows that were turned away, then those to look at; the first of each."""
    lines: list[str] = []
    if problems := [problem for row in added.rejected for problem in row.problems[:1]]:
        n = added.counts["rejected"]
        lines += ["", f"{n:,} ROW{'' if n == 1 else 'S'} TO FIX:"]
        lines += grouped(problems, "all in the file below.")
        if added.rejected_file:
            lines += wrap(f"Fix them in {added.rejected_file}, then: pricing add that file.", "  ")
    if added.row_notes:
        lines += ["", f"LOOK AT ({len(added.row_notes):,}):"]
        lines += grouped(added.row_notes, "pricing add … --json names them all.")
    return lines


def grouped(problems: Sequence[Problem], where: str) -> list[str]:
    """Problems as lines, the same thing of several rows said once, with how many there are."""
    groups: dict[tuple[str | None, str], list[Problem]] = {}
    for problem in problems:
        kind = re.sub(r"\d[\d.,:/-]*|'[^']*'", "#", problem.what)
        groups.setdefault((problem.column, kind), []).append(problem)
    lines = []
    for first, *more in list(groups.values())[:MOST_PROBLEMS]:
        lines += wrap(_short(first), "    ")
        if more:
            named = ", ".join(str(one.line) for one in more[:5])
            rest = f" and {len(more) - 5:,} more" if len(more) > 5 else ""
            lines += wrap(f"    so too line{'s' if len(more) > 1 else ''} {named}{rest}", "    ")
    if (left := sum(map(len, list(groups.values())[MOST_PROBLEMS:]))) > 0:
        lines += wrap(f"and {left:,} more: {where}")
    return lines


def _record_lines(added: Added) -> list[str]:
    """What the record knows better, or knows alone."""
    lines: list[str] = []
    if n := len(added.older):
        rows = f"{n:,} row{' is' if n == 1 else 's are'}"
        older = f"{rows} older than what you have and changed nothing. To take them: add --older."
        lines += ["", *wrap(older)]
    if added.gone:
        shown = ", ".join(added.gone[:5]) + (" …" if len(added.gone) > 5 else "")
        gone = f"{len(added.gone):,} no longer in this sheet, kept in your record: {shown}."
        lines += ["", *wrap(gone)]
    return lines


def _short(problem: Problem) -> str:
    cell = f"{problem.column}: " if problem.column else ""
    if problem.column and problem.value:
        cell = f"{problem.column} {problem.value!r}: "
    expected = f" (expected: {problem.expected})" if problem.expected else ""
    told = [f"{problem.what}{expected}", problem.fix]
    return f"line {problem.line}: {cell}{' '.join(sentence(part) for part in told if part)}"


def thinnest(filled: Mapping[str, int], n_units: int) -> str:
    """The column whose blanks cost most: `Missing most: listed dates (0 of 171 rows). …`"""
    if n_units < 5:
        return ""
    column = min(_COSTS, key=lambda name: (filled.get(name, 0) / n_units, list(_COSTS).index(name)))
    if filled.get(column, 0) > 0.5 * n_units:
        return ""
    names = {"listed": "listed dates", "asked": "asks", "sold": "sale dates", "age": "ages"}
    missing = f"{names.get(column, column)} ({filled.get(column, 0):,} of {n_units:,} rows)"
    it = "them" if column in names else "it"
    return f"Missing most: {missing}. Without {it}, {_COSTS[column]}."


def files_table(rows: Sequence[tuple[str, str, str, str, str]]) -> str:
    """The files that were added: number, day, rows, sum, name."""
    return "\n".join(columns([("no.", "added", "rows", "sales", "file"), *rows], right=(0, 2, 3)))
