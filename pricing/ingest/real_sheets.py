"""What people's own sheets do beside columns: a description instead of a type, sections and merged
cells, dates without a year. Each is told row by row or asked for, never guessed in silence."""

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from pricing.basis.problems import Problem
from pricing.basis.settings import Settings
from pricing.basis.words import FAULT_KEYS, TYPE_KEYS, WORD_KEYS, canonical, squash, type_in
from pricing.ingest import dates
from pricing.ingest.dialect import Record
from pricing.ingest.headings import Heading, place_of
from pricing.ingest.reading import FileQuestion, Skipped
from pricing.ingest.structure import HEADING

_BEGINNING = 300  # letters of a cell that are looked at for a type
_AGE = re.compile(r"(?<![\w.])(\d{1,2}(?:\.\d)?)\s*(?:yrs?|years?|y/?o)\b\.?(?:\s*old)?", re.I)
_QUANTITY = re.compile(
    r"^\(?(\d{1,2})\)?\s*x?\s+(\D+)$|^(\D+?)\s*(?:x|qty\.?:?|×)\s*(\d{1,2})$|^(two|three|four|five|six)\s+(\D+)$",
    re.IGNORECASE,
)


def quantity_of(text: str, settings: Settings) -> int:
    """How many units a type cell speaks of ("2 dryers", "washer x2"); 1 where it names one.

    >>> (quantity_of("2 dryers", Settings()), quantity_of("2 door fridge", Settings()),
    ...  quantity_of("electric dryer", Settings()))
    (2, 1, 1)
    """
    match = _QUANTITY.match(text.strip())
    if not match:
        return 1
    words = {"two": 2, "three": 3, "four": 4, "five": 5, "six": 6}
    count = int(match.group(1) or match.group(4) or words[match.group(5).lower()])
    name = (match.group(2) or match.group(3) or match.group(6)).strip()
    spelled_out = bool(match.group(4)) or name.rstrip(".").endswith(("s", "S"))
    return (
        count
        if count > 1 and spelled_out and squash(canonical("type", name, settings)) in TYPE_KEYS
        else 1
    )


@dataclass(frozen=True)
class Described:
    """A column whose cells hold a description with a type. named: rows with one, of `filled`."""

    place: int
    header: str
    named: int
    filled: int

    def question(self, has_type: bool) -> FileQuestion:
        """Whether to use it; has_type: a column of types is there too."""
        text = (
            f"{self.header!r} names a type inside a description in {self.named:,} of"
            f" {self.filled:,} rows. Use it?"
        )
        lead = "" if has_type else "I found no column for the type, but "
        return FileQuestion(lead + text, (f'--describe "{self.header}"',))


def described_column(
    body: Sequence[Record], headings: Sequence[Heading], settings: Settings
) -> Described | None:
    """The column that names types inside longer descriptions in most rows, or None."""
    best: Described | None = None
    type_place = place_of(headings, "type")
    if type_place is not None:
        own = _texts(body, type_place)
        if len(own) > 0.5 * min(len(body), 500) and sum(
            bool(type_in(text, settings)[1]) or not type_in(text, settings)[0] for text in own
        ) < 0.5 * len(own):
            return None  # the types stand there plainly
    for place, heading in enumerate(headings):
        if heading.column not in ("", "type", "features", "note", "model", "fault", "unit"):
            continue
        texts = _texts(body, place)
        if len(texts) < 3 or len(texts) < 0.3 * min(len(body), 500):
            continue
        plainly = sum(squash(canonical("type", text, settings)) in TYPE_KEYS for text in texts)
        named = sum(
            bool(type_in(text, settings)[0])
            and squash(canonical("type", text, settings)) not in TYPE_KEYS
            for text in texts
        )
        if named > 0.5 * len(texts) and named > plainly and (best is None or named > best.named):
            best = Described(place, heading.text, named, len(texts))
    return best


def _texts(body: Sequence[Record], place: int) -> list[str]:
    """The filled cells of a column in the first rows, by their beginnings: a description names its
    type early, and a cell of a million letters would take half a minute to read."""
    return [
        text[:_BEGINNING]
        for record in body[:500]
        if place < len(record.cells) and (text := record.cells[place].strip())
    ]


def read_description(text: str, settings: Settings) -> dict[str, Any]:
    """Type, age, fault, condition and features named in a description; the rest as "note".

    >>> read_description("Elec dryer 8yr no heat - element", Settings())
    {'type': 'electric dryer', 'age': 8.0, 'fault': 'no heat', 'note': 'element'}
    """
    kind, rest = type_in(text, settings)
    found: dict[str, Any] = {"type": kind} if kind else {}
    if match := _AGE.search(rest):
        found["age"] = float(match.group(1))
        rest = f"{rest[: match.start()]}; {rest[match.end() :]}"
    left = []
    for part in re.split(r"[;,]|\s[-–—]\s|\s/\s", rest):
        piece = part.strip(" -–—.")
        key = squash(piece)
        if not key:
            continue
        if key in FAULT_KEYS and "fault" not in found:
            found["fault"] = canonical("fault", piece, settings)
        elif key in WORD_KEYS["condition"] and "condition" not in found:
            found["condition"] = canonical("condition", piece, settings)
        elif key in WORD_KEYS["features"]:
            found["features"] = "; ".join(
                sorted(
                    {
                        *filter(None, found.get("features", "").split("; ")),
                        canonical("features", piece, settings),
                    }
                )
            )
        else:
            left.append(piece)
    if left:
        found["note"] = ", ".join(left)
    return found


def fills(
    body: Sequence[Record], skipped: Iterable[Skipped], type_place: int | None, settings: Settings
) -> dict[int, str]:
    """Line -> type for rows with a blank type cell: from the heading above, or the row above."""
    headed = {one.line: _section_type(one, settings) for one in skipped if one.why == HEADING}
    sections = {line: text for line, text in headed.items() if text}
    texts = [
        "" if type_place is None or type_place >= len(one.cells) else one.cells[type_place].strip()
        for one in body
    ]
    blank = [one.line for one, text in zip(body, texts, strict=True) if not text]
    if not blank:
        return {}
    if sections and blank[0] > min(sections):
        return {line: sections[max(at for at in sections if at < line)] for line in blank}
    few = len(body) < 3 or len(blank) < max(2, 0.3 * len(body))
    if type_place is None or few or blank[0] == body[0].line:
        return {}
    width = max(len(record.cells) for record in body)
    found, above = {}, ""
    for record, text in zip(body, texts, strict=True):
        if text:
            above = text
        elif sum(bool(cell.strip()) for cell in record.cells) >= 0.5 * width:
            found[record.line] = above
    return found


_DITTO = ('"', "''", "〃", "do.", "ditto", "same", "idem", "id.", '"""')


def dittos(
    body: Sequence[Record], headings: Sequence[Heading], name: str
) -> tuple[list[Record], list[Problem]]:
    """(the rows with each ditto mark replaced by the cell above it, what is told of it)."""
    found: Counter[str] = Counter()
    rows = []
    above: tuple[str, ...] = ()
    for record in body:
        cells = record.cells
        if any(cell.strip().casefold() in _DITTO for cell in cells):
            own = list(cells)
            for place, cell in enumerate(cells[: min(len(headings), len(above))]):
                column = headings[place].column
                if column not in ("", "unit", "note") and cell.strip().casefold() in _DITTO:
                    own[place] = above[place]
                    found[headings[place].text] += 1
            cells = tuple(own)
            record = replace(record, cells=cells)
        rows.append(record)
        above = cells
    notes = [
        Problem(f"{n:,} ditto marks under {text!r} were read as the cell above", "", file=name)
        for text, n in found.items()
    ]
    return rows, notes


def _section_type(line: Skipped, settings: Settings) -> str:
    text = next((cell.strip(" :-") for cell in line.cells if cell.strip()), "")
    return text if squash(canonical("type", text, settings)) in TYPE_KEYS else ""


def years(
    body: Sequence[Record],
    skipped: Iterable[Skipped],
    places: Sequence[int],
    first_year: int | None,
    order: str,
    today: Any,
) -> dict[int, int]:
    """Line -> year of the row's last event, for dates that carry none. places: the date columns,
    the last event first. The year turns where a month falls back by more than half a year; a
    heading that names a year begins it. Empty if all have a year, or the first is unknown."""
    headed = {
        line.line: int(match.group())
        for line in skipped
        for cell in line.cells
        if (match := re.search(r"\b(?:19|20)\d{2}\b", cell)) and len(cell.strip()) <= 20
    }
    found: dict[int, int] = {}
    year, before = first_year, 0
    for record in body:
        lines_above = [line for line in headed if line < record.line]
        if lines_above:
            year = headed[max(lines_above)]
        month = 0
        for place in places:
            text = record.cells[place].strip() if place < len(record.cells) else ""
            reading = dates.read_date(text, today) if text else None
            if reading is not None and reading.no_year:
                months = {part[0] for part in reading.no_year.values()}
                if order in reading.no_year:
                    months = {reading.no_year[order][0]}
                month = months.pop() if len(months) == 1 else 0
                break
        if year is None:
            continue
        if not lines_above and before and month:
            year += (month < before - 6) - (month > before + 6)
        before = month or before
        found[record.line] = year
    return found


def year_for(month_day: tuple[int, int], main: tuple[int, int] | None, year: int) -> int:
    """The year of an earlier event of a row whose last event lies in `year`: the same, or the one
    before where it would come after it.

    >>> year_for((12, 20), (1, 5), 2026), year_for((1, 2), (1, 5), 2026)
    (2025, 2026)
    """
    return year - 1 if main is not None and month_day > main else year
