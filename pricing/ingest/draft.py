"""What holds for a whole file while its rows are read, and one row in the making."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from threading import Lock
from typing import Any, NamedTuple

from pricing.basis.columns import OUTCOMES
from pricing.basis.problems import Problem
from pricing.basis.settings import Settings
from pricing.ingest.dialect import Record
from pricing.ingest.encoding import Decoded, name_of
from pricing.ingest.headings import Heading, is_computed, place_of
from pricing.ingest.reading import FileQuestion, Rejected, Row

EXPECTED = {
    "money": "120, $1,250.00, (10.00), free",
    "date": "2026-04-30, 30 Apr 2026, 4/30/2026",
    "number": "a number, 4.5",
    "hours": "1.5, 1:30, 90 min",
    "age": "7, 18 months, 2016",
}
_COUNTING = Lock()


@dataclass
class Rules:
    """What was decided for the whole file; `memo` keeps each distinct cell's reading."""

    file: str
    headings: tuple[Heading, ...]
    settings: Settings
    today: date
    decimal: str
    date_order: str
    currency: str
    question: bool = False
    # The program that wrote the file leaves empty cells at the end of a row away
    trims: bool = False
    year_made: bool = False  # ages stand as years made throughout
    stray_lines: frozenset[int] = frozenset()
    memo: dict[str, dict[str, Any]] = field(default_factory=dict)
    middle_price: float = 0.0  # of the sheet's sales
    bare: frozenset[str] = frozenset()  # columns in which days stand without a year
    years: Mapping[int, int] = field(default_factory=dict)  # line -> year, where dates carry none
    # Line -> type of the group the row stands in
    fills: Mapping[int, str] = field(default_factory=dict)
    # the header of a column that holds descriptions: to be read as such where `described`, else
    # still to be asked
    describe: str = ""
    described: bool = False
    # lines near a date of the other order, where one that reads both ways is not to be guessed
    unsure: frozenset[int] = frozenset()
    by_line: bool = False  # what a cell says depends on the rows or the column around it
    turned: bool = False  # a program swapped day and month of the dates that it could
    knows_types: bool = False  # nearly all cells under the type name appliances that we know
    slash: bool = False  # "300/275" under the price is the ask and the price
    # what the person said: their word, as compared -> ours; of unsold units that have a last day
    words: Mapping[str, str] = field(default_factory=dict)
    ended: str = ""
    orders: Mapping[str, str] = field(default_factory=dict)  # column -> its own order of dates
    spent_below: frozenset[str] = frozenset()  # columns where money spent stands below 0
    nothing: frozenset[str] = frozenset()  # columns of money whose "-" and "none" say 0
    joiners: Mapping[str, str] = field(default_factory=dict)  # column -> signs between its words
    # in how many rows: "word" -> column -> an unknown word; "dash" -> header -> "-", a dash
    # that was read as nothing spent
    counts: dict[str, dict[str, dict[str, int]]] = field(default_factory=dict)

    def count(self, counted: Iterable[tuple[str, str, str]], n_rows: int) -> None:
        """Add to `counts` what so many rows hold."""
        for what, name, text in counted:
            # blocks of a long file are read side by side
            with _COUNTING:
                rows = self.counts.setdefault(what, {}).setdefault(name, {})
                rows[text] = rows.get(text, 0) + n_rows

    def place(self, column: str) -> int | None:
        return place_of(self.headings, column)

    def order_of(self, column: str) -> str:
        return self.orders.get(column, self.date_order)

    def has(self, column: str) -> bool:
        return self.place(column) is not None


class SaidCell(NamedTuple):
    """What one cell says, in any row. counted: (what, header or column, text), told once a file."""

    values: dict[str, Any]
    said: dict[str, str]
    extra: dict[str, Any]
    known: dict[str, float]
    notes: tuple[Problem, ...]
    problems: tuple[Problem, ...]
    counted: tuple[tuple[str, str, str], ...]

    @property
    def is_plain(self) -> bool:
        """Nothing is to be told, and nothing but the record is touched."""
        return not (self.notes or self.problems or self.counted or self.known)


class Draft:
    """A row in the making; or, with one cell alone in it, what that cell says."""

    def __init__(self, record: Record, number: int, rules: Rules) -> None:
        self.record, self.number, self.rules = record, number, rules
        self.values: dict[str, Any] = {}
        self.said: dict[str, str] = {}
        self.extra: dict[str, Any] = {}
        self.known: dict[str, float] = {}
        self.notes: list[Problem] = []
        self.problems: list[Problem] = []
        self.counted: list[tuple[str, str, str]] = []

    def said_alone(self) -> SaidCell:
        """What the one cell that was read into it says."""
        told = tuple(self.notes), tuple(self.problems), tuple(self.counted)
        return SaidCell(self.values, self.said, self.extra, self.known, *told)

    def take(self, said: SaidCell) -> None:
        """Put what a cell says into the row."""
        self.values |= said.values
        self.said |= said.said
        self.extra |= said.extra
        self.known |= said.known
        line = self.record.line
        self.notes += [replace(note, line=line) for note in said.notes]
        self.problems += [replace(problem, line=line) for problem in said.problems]
        self.counted += said.counted

    def header(self, column: str) -> str:
        place = self.rules.place(column)
        return self.rules.headings[place].text if place is not None else column

    def cell(self, column: str) -> str:
        place, cells = self.rules.place(column), self.record.cells
        return cells[place] if place is not None and place < len(cells) else ""

    def _problem(self, what: str, fix: str, column: str, **more: Any) -> Problem:
        """A mistake of this row, and of one of its cells where a column is named."""
        at = (self.rules.file, self.record.line)
        cell = (self.header(column), self.cell(column)[:80]) if column else (None, None)
        return Problem(what, fix, *at, *cell, **more)

    def note(self, what: str, column: str = "", fix: str = "") -> None:
        self.notes.append(self._problem(what, fix, column))

    def reject(
        self, what: str, column: str = "", fix: str = "", expected: str = "", option: str = ""
    ) -> None:
        """option: the one that would settle it; the questions of a file are gathered by it."""
        told = {"expected": expected or None, "option": option or None}
        self.problems.append(self._problem(what, fix, column, **told))

    def reject_quantity(self, count: int | str) -> None:
        fix = "write one row for each unit, each with its own price"
        self.reject(f"{count} units on one row, one price", fix=fix)

    def done(self) -> Row | Rejected:
        self.rules.count(self.counted, 1)
        line, cells = self.record.line, self.record.cells
        if self.problems:
            return Rejected(line, self.number, cells, tuple(self.problems))
        values = {name: x for name, x in self.values.items() if x is not None and x != ""}
        told = (self.said, self.extra, self.known, tuple(self.notes))
        return Row(line, self.number, values, *told, cells)


_NEW = object()
MOST_KEPT = 100_000  # distinct cells of a kind that are kept


def memo(draft: Draft, column: str, text: str, read: Callable[[], Any]) -> Any:
    """What the reading of a text of this kind gave, read once; None is a reading too."""
    kept = draft.rules.memo.setdefault(column, {})
    found = kept.get(text, _NEW)
    if found is _NEW:
        found = read()
        if len(kept) < MOST_KEPT:
            kept[text] = found
    return found


FIXES = {
    "date_order": "say which with --date-order mdy or --date-order dmy",
    "decimal": 'say which with --decimal "." or --decimal ","',
    "year": "say the year of the first row: --year 2026",
    "ended": "or say what became of all such units: --ended scrapped",
}


def unreadable(draft: Draft, column: str, problem: str, expected: str, option: str = "") -> None:
    """An essential cell, or one that an option would settle, sets the row aside; any other is left
    blank, and said so."""
    fix = FIXES.get(option, "correct the cell")
    essential = column in ("price", "sold") or draft.rules.question
    if essential or option in ("date_order", "decimal"):
        draft.reject(problem, column, fix, EXPECTED[expected], option)
    else:
        draft.note(f"{problem}; left blank", column, fix=fix)


# ---- what is said when all rows of a file were read
def closing_notes(rules: Rules, decoded: Decoded) -> list[Problem]:
    """What is only known when every row was read: unknown columns, words, a doubtful alphabet."""
    notes: list[Problem] = []

    def note(what: str, fix: str = "", column: str | None = None) -> None:
        notes.append(Problem(what, fix, file=rules.file, column=column))

    for one in rules.headings:
        if one.slip:
            fix = f'say otherwise with --header "{one.text}=…"'
            note(f"the header {one.text!r} was taken as {one.column}", fix)
    unknown = [heading.text for heading in rules.headings if not heading.column and heading.text]
    computed = [text for text in unknown if is_computed(text)]
    other = [text for text in unknown if not is_computed(text)]
    if computed:
        note(f"worked out by the sheet, not used: {', '.join(computed[:8])}")
    if other:
        more = f" and {len(other) - 8} more" if len(other) > 8 else ""
        what = f"columns I do not know, kept as they are: {', '.join(other[:8])}{more}"
        note(what, f'use one with --header "{other[0]}=…"')
    for column, words in rules.counts.get("word", {}).items():
        listed = ", ".join(repr(word[:30]) for word in list(words)[:5])
        fix = f"say what they mean under [words.{column}s] in pricing.toml"
        note(f"{column} words I do not know, kept as yours: {listed}", fix)
    for kind, (read, fix) in _OF_NOTHING.items():
        for header, cells in rules.counts.get(kind, {}).items():
            for word, n in cells.items():
                was = "was" if n == 1 else "were"
                note(f"{_cells_of(word, n)} under {header!r} {was} {read}", fix, header)
    for header, cells in rules.counts.get("year beside", {}).items():
        n = sum(cells.values())
        day = "1 day without a year" if n == 1 else f"{n:,} days without a year"
        note(f"{day} under {header!r}: the year goes by the other days of the row", column=header)
    if decoded.told:
        note(decoded.told)
    if not decoded.sure:
        what = f"read as {name_of(decoded.encoding)} text, which may be wrong: {decoded.example!r}"
        note(what, "say which with --encoding cp1252, mac_roman or cp850")
    return notes


_OF_NOTHING = {
    "below": ("read as money spent", "put money that came in under another heading"),
    "none yet": ("left blank: those units were not sold", ""),
    "dash": ("read as nothing spent", "write the amounts, or empty those cells if unknown"),
    "unknown": ("left blank", "write 0 where nothing was spent"),
}


def _cells_of(word: str, n: int) -> str:
    if word == "below 0":
        return f"{n:,} amount{'s' if n > 1 else ''} below 0"
    if word == "-":
        return f"{n:,} {'dash' if n == 1 else 'dashes'}"
    return f"{n:,} cell{'s' if n > 1 else ''} {word!r}"


_ASKED_BY_ROWS = {
    "date_order": ("Are these dates day first or month first?", ("--date-order mdy",
        "--date-order dmy")),
    "decimal": ("Is the decimal mark in this file a point or a comma?", ('--decimal "."',
        '--decimal ","')),
    "year": ("Dates carry no year. Which year is the first row?", ("--year {year}",)),
    "slash": ("Is 300/275 asked 300 and sold for 275?", ("--slash asked/sold",)),
    "ended": ("What became of units that have a last day but no price?", ("--ended scrapped",
        "--ended parted", "--ended kept")),
}  # fmt: skip


def waiting(
    asked: Sequence[FileQuestion], rejected: Sequence[Rejected], today: date
) -> list[FileQuestion]:
    """The questions, each with the rows that wait for it; what single rows miss is asked too."""

    def lines_for(option: str) -> tuple[int, ...]:
        of = ((row.line, {one.option for one in row.problems}) for row in rejected)
        return tuple(line for line, options in of if option in options)

    def named(question: FileQuestion) -> str:
        """`--date-order mdy` is an answer of date_order."""
        return question.options[0].partition(" ")[0].lstrip("-").replace("-", "_")

    questions = [replace(one, lines=one.lines or lines_for(named(one))) for one in asked]
    known = {named(question) for question in asked}
    for option, (text, options) in _ASKED_BY_ROWS.items():
        if option not in known and (lines := lines_for(option)):
            choices = tuple(choice.format(year=today.year) for choice in options)
            questions.append(FileQuestion(text, choices, lines))
    return questions + _of_words(rejected)


def _of_words(rejected: Sequence[Rejected]) -> list[FileQuestion]:
    """What became of units, in words that nobody knows: each asked once."""
    words: dict[str, list[int]] = {}
    for row in rejected:
        for problem in row.problems:
            if problem.option == "word":
                words.setdefault(problem.value or "", []).append(row.line)
    return [
        FileQuestion(
            f"What became of a {said!r} unit?",
            tuple(f'--word "{said}={one}"' for one in OUTCOMES[:7]),
            tuple(lines),
        )
        for said, lines in words.items()
    ]
