"""Text -> records with their physical lines: delimiter, quote and line ends found in the text,
never asked of the person.

The delimiter is the one under which a header of known words appears and most records have one
width. A quote that is opened and never closed costs its own line, not the lines it would swallow.
"""

import csv
import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import field
from itertools import accumulate

from pricing.basis.frozen import frozen

DELIMITERS = (",", ";", "\t", "|", "^", "~", "¦")
_MOST_LINES = 2_000  # of one record: a longer one is a quote that was never closed
csv.field_size_limit(1 << 30)
# Never str.splitlines: it also splits at U+2028, VT, FF and NEL inside cells
_CURLY = re.compile(r"\ufeff?\s*[“”„][^“”„\r\n]*[“”][,;\t|][“”„]")
_LINE = re.compile(r"[^\r\n]*(?:\r+\n|\n|\r)|[^\r\n]+")


@frozen
class Record:
    """One record of a file. line: the physical line it starts on, from 1; cells as written, quotes
    off; broken: what is wrong with it; foreign: it belongs to another table of the file."""

    line: int
    cells: tuple[str, ...]
    broken: str = ""
    n_lines: int = 1
    foreign: bool = False


@frozen
class Dialect:
    """delimiter; quote character; escape: a backslash before a quote stands for it; hint_lines:
    leading "sep=" lines; wrapped: each line is one quoted cell."""

    delimiter: str
    quote: str = '"'
    escape: str | None = None
    hint_lines: int = 0
    wrapped: bool = False
    notes: tuple[str, ...] = field(default=())


def lines_of(text: str) -> list[str]:
    """Physical lines with their ends; LF, CRLF, CR and CR CR LF each end one line.

    >>> lines_of("a\\r\\nb\\rc\\u2028d\\ne")
    ['a\\r\\n', 'b\\r', 'c\\u2028d\\n', 'e']
    """
    if _CURLY.match(text):  # a word processor made the quotes around cells round
        text = text.translate(dict.fromkeys(map(ord, "“”„‟"), '"'))
    return _LINE.findall(text)


def find_dialect(lines: list[str], known: Callable[[Iterable[str]], int]) -> Dialect:
    """The dialect of a file from its first 200 lines. known: how many cells are headers we know."""
    first = lines[0] if lines else ""
    hint = re.match(r'"?sep=(.)"?[;,\t|]*\s*$', first, re.IGNORECASE | re.DOTALL)
    if hint and hint.group(1) not in "\r\n":
        return _with_quotes(Dialect(hint.group(1), hint_lines=1), lines, known)
    sample = lines[:200]
    best = max(
        DELIMITERS, key=lambda mark: (_score(sample, Dialect(mark), known), -DELIMITERS.index(mark))
    )
    if not any(best in line for line in sample):
        best = ","
    return _with_quotes(Dialect(best), lines, known)


def _with_quotes(
    dialect: Dialect, lines: list[str], known: Callable[[Iterable[str]], int]
) -> Dialect:
    """Other habits of quoting, each only where it reads the sample better than the usual one."""
    sample = lines[dialect.hint_lines : dialect.hint_lines + 200]
    plain = Dialect(dialect.delimiter, hint_lines=dialect.hint_lines)
    others = []
    text = "".join(sample)
    if text.count("'") > 3 and re.search(rf"(?m)^'[^'\r\n]*'{re.escape(dialect.delimiter)}'", text):
        others.append(Dialect(dialect.delimiter, quote="'", hint_lines=dialect.hint_lines))
    if '\\"' in text:
        others.append(Dialect(dialect.delimiter, escape="\\", hint_lines=dialect.hint_lines))
    best, best_score = plain, _score(sample, plain, known)
    for other in others:
        score = _score(sample, other, known) + _framed(sample, other.quote)
        if score > best_score:
            best, best_score = other, score
    told = [line.strip() for line in sample if line.strip()]
    framed = sum(line[0] == '"' == line[-1] for line in told)
    if best is plain and framed > 0.8 * len(sample):
        for mark in DELIMITERS:
            wrapped = Dialect(mark, hint_lines=dialect.hint_lines, wrapped=True)
            score = _score(sample, wrapped, known)
            if score > best_score:
                best, best_score = wrapped, score
    return best


def _framed(sample: list[str], quote: str) -> float:
    """What speaks for another quote than the usual one: most lines begin and end with it."""
    lines = [line.strip() for line in sample if line.strip()]
    framed = sum(line[0] == quote == line[-1] for line in lines)
    return 1.0 if quote != '"' and framed > 0.8 * len(lines) else 0.0


def _score(sample: list[str], dialect: Dialect, known: Callable[[Iterable[str]], int]) -> float:
    cells = (record.cells for record in records(sample, dialect))
    rows = [row for row in cells if any(cell.strip() for cell in row)]
    if not rows:
        return -1.0
    widths = Counter(map(len, rows))
    width, count = max(widths.items(), key=lambda item: (item[1] * (item[0] > 1), item[0]))
    agree = count / len(rows) if width > 1 else 0.0
    broken = sum('"' in cell for row in rows for cell in row) / max(1, sum(map(len, rows)))
    return 3.0 * max(known(row) for row in rows[:40]) + 2.0 * agree + min(width, 20) / 100 - broken


def join_broken(lines: list[str], dialect: Dialect) -> list[str]:
    """Lines that a line break inside a cell cut in two, together again, with blank lines between.

    >>> join_broken(["a,b,c\\r", "1,x\\n", "y,2\\r", "3,z,4\\r"], Dialect(","))
    ['a,b,c\\r', '1,x; y,2\\r', '', '3,z,4\\r']
    """
    own_end = "\r" if lines and lines[0].endswith(("\r", "\r\n")) else "\n"
    if own_end == "\n" or all(line.endswith(("\r", "\r\n")) for line in lines[:-1]):
        return lines
    width = _n_cells(lines[0], dialect)
    n_quotes = list(accumulate(line.count(dialect.quote) for line in lines))
    joined = list(lines)
    for at in range(len(lines) - 1, 0, -1):
        upper, lower = lines[at - 1], joined[at]
        is_cut = upper.endswith("\n") and not upper.endswith("\r\n") and n_quotes[at - 1] % 2 == 0
        if is_cut and lower:
            one = upper.rstrip("\n") + "; " + lower
            if _n_cells(upper, dialect) < width and _n_cells(one, dialect) <= width:
                joined[at - 1], joined[at] = one, ""
    return joined


def _n_cells(line: str, dialect: Dialect) -> int:
    return len(_quoted([line], 0, dialect)[0])


def records(lines: list[str], dialect: Dialect, first_line: int = 1) -> Iterator[Record]:
    """The records of physical lines, in order, without those of a "sep=" hint.

    >>> [record.cells for record in records(['a,"b\\n', 'c",d\\n', 'e,f\\n'], Dialect(","))]
    [('a', 'b\\nc', 'd'), ('e', 'f')]
    """
    place = width = 0
    while place < len(lines):
        line = lines[place]
        if dialect.quote not in line and (dialect.escape is None or dialect.escape not in line):
            cells, used, broken = _split(line, dialect) if line.strip("\r\n") else (), 1, ""
        else:
            cells, used, broken = _quoted(lines, place, dialect)
            if used > 1 and _swallows(lines[place : place + used], cells, dialect, width):
                cells, used, broken = _split(line, dialect), 1, _NEVER_CLOSED
            if dialect.wrapped and len(cells) == 1:
                cells, _, broken = _quoted([cells[0]], 0, Dialect(dialect.delimiter))
        yield Record(first_line + place, cells, broken, used)
        width = max(width, len(cells))
        place += used


def _split(line: str, dialect: Dialect) -> tuple[str, ...]:
    return tuple(line.rstrip("\r\n").split(dialect.delimiter))


_NEVER_CLOSED = "a quotation mark is opened and never closed"


def _quoted(lines: list[str], place: int, dialect: Dialect) -> tuple[tuple[str, ...], int, str]:
    """One record with quotes, from `place`: cells, lines used, what is wrong with its quotes."""
    end = min(place + _MOST_LINES, len(lines))
    reader = csv.reader(
        (lines[at] for at in range(place, end)),  # of which a record seldom takes more than one
        delimiter=dialect.delimiter,
        quotechar=dialect.quote,
        skipinitialspace=_blank_before_quote(lines[place], dialect),
        escapechar=dialect.escape,
    )
    try:
        cells = tuple(next(reader, ()))
    except csv.Error:
        return _split(lines[place], dialect), 1, "its quotation marks cannot be read"
    is_open = place + reader.line_num == end and not dialect.escape
    is_open = is_open and "".join(lines[place:end]).count(dialect.quote) % 2 == 1
    broken = _NEVER_CLOSED if is_open else ""
    return cells, max(reader.line_num, 1), broken


def _blank_before_quote(line: str, dialect: Dialect) -> bool:
    blanks = rf"{re.escape(dialect.delimiter)} +{re.escape(dialect.quote)}"
    return dialect.delimiter != " " and re.search(blanks, line) is not None


def _swallows(lines: list[str], cells: tuple[str, ...], dialect: Dialect, width: int) -> bool:
    """Whether the lines after the first look like records eaten by a quote that stayed open; one
    that closes before a delimiter or a line end was meant."""
    last = lines[-1]
    after = last[last.find(dialect.quote) + 1 :][:1] if dialect.quote in last else "?"
    if after in (dialect.delimiter, dialect.quote, "\r", "\n", "") and (
        len(cells) == width or width == 0
    ):
        return False
    if width < 3:
        return len(lines) > 50
    whole = sum(line.count(dialect.delimiter) >= width - 1 for line in lines[1:])
    return whole >= 1 and whole >= 0.5 * (len(lines) - 2)
