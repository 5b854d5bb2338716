"""Tables that are no CSV text but can be read as one: of a web page, of a spreadsheet saved as XML,
of columns kept apart by blanks."""

import csv
import io
import re
from collections.abc import Mapping, Sequence
from html.parser import HTMLParser

from pricing.ingest.headings import count_known


class TableReader(HTMLParser):
    """Collects the rows of each table; of a table inside a cell only the text."""

    def __init__(self) -> None:
        super().__init__()
        self.tables: list[list[list[str]]] = []
        self._cell: list[str] | None = None
        self._wide = 1
        self._depth = 0

    def handle_starttag(self, tag: str, attrs: Sequence[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "table":
            self._depth += 1
            if self._depth == 1:
                self.tables.append([])
        elif tag in ("tr", "row") and self._depth == 1:
            self._end_cell()
            self.tables[-1].append([])
        elif tag in ("td", "th", "cell") and self._depth == 1 and self.tables[-1]:
            self._end_cell()
            row = self.tables[-1][-1]
            row += [""] * (_count(given.get("ss:index"), 1) - 1 - len(row))
            wide = _count(given.get("ss:mergeacross"), 0) + 1
            self._cell, self._wide = [], max(wide, _count(given.get("colspan"), 1))
        elif tag == "br" and self._cell is not None:
            self._cell.append(" ")

    def handle_endtag(self, tag: str) -> None:
        if tag in ("td", "th", "cell", "tr", "row") and self._depth == 1:
            self._end_cell()
        elif tag == "table":
            self._end_cell()
            self._depth = max(0, self._depth - 1)

    def handle_data(self, data: str) -> None:
        if self._cell is not None:
            self._cell.append(data)

    def _end_cell(self) -> None:
        if self._cell is not None:
            text = " ".join("".join(self._cell).split())
            self.tables[-1][-1] += [text, *[""] * (self._wide - 1)]
            self._cell = None


def _count(text: str | None, usual: int) -> int:
    """A number of columns; a hostile one is the usual one."""
    return int(text) if text and text.isdecimal() and int(text) < 1000 else usual


def table_text(text: str) -> str:
    """The longest table of a page as CSV text; "" where there is none.

    >>> table_text("<table><tr><th>type<th>price<tr><td>dryer<td>1,200</table>")
    'type,price\\r\\ndryer,"1,200"\\r\\n'
    """
    reader = TableReader()
    reader.feed(text)
    reader.close()
    rows = max(reader.tables, key=len, default=[])
    out = io.StringIO(newline="")
    csv.writer(out).writerows(rows if len(rows) > 1 else [])
    return out.getvalue()


def columns_apart(lines: list[str], own: Mapping[str, str]) -> list[str]:
    """Lines of columns that blanks keep apart, as lines with tabs; all others as they are."""
    told = [line for line in lines if line.strip()]
    head = next((at for at, line in enumerate(told[:20]) if _named(line, own) > 2), None)
    if head is None or len(told) - head < 4 or any("\t" in line for line in told[head:]):
        return lines
    cells = _cells_apart([line.rstrip() for line in told[head:]])
    if count_known(cells[0], own) < 3:
        return lines
    apart = iter("\t".join(row) + "\n" for row in cells)
    first = lines.index(told[head])
    return lines[:first] + [next(apart) if one.strip() else one for one in lines[first:]]


def _cells_apart(rows: list[str]) -> list[list[str]]:
    """The cells of lines, cut where all lines are blank; a remark has no heading of its own."""
    width = max(map(len, rows))
    bare = [True, *(not any(row[at : at + 1].strip() for row in rows) for at in range(width))]
    edges = [at for at in range(width) if bare[at] and not bare[at + 1]]
    edges = [a for a, b in zip(edges, [*edges[1:], width], strict=True) if rows[0][a:b].strip()]
    pairs = list(zip(edges, [*edges[1:], width], strict=True))
    return [[row[a:b].strip() for a, b in pairs] for row in rows]


def _named(line: str, own: Mapping[str, str]) -> int:
    """How many headings a line names whose cells stand two blanks apart; 0 where signs do so."""
    if any(sign in line for sign in ",;|"):
        return 0
    return count_known(re.split(r" {2,}", line.strip()), own)
