"""The reading of one file, on one screen: bytes, text, records, header, evidence, rows."""

import re
import stat
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import Any

from pricing.basis.files import read_bytes
from pricing.basis.problems import Problem, Refused
from pricing.basis.settings import Settings
from pricing.basis.words import squash
from pricing.ingest import by_cells, by_content, dates, evidence, real_sheets, structure
from pricing.ingest.checks import read_row
from pricing.ingest.dialect import Dialect, Record, find_dialect, join_broken, lines_of, records
from pricing.ingest.draft import Rules, closing_notes, waiting
from pricing.ingest.encoding import Decoded, columns_apart, decode
from pricing.ingest.headings import (
    Heading,
    count_known,
    fingerprint,
    is_units_row,
    own_names,
    place_of,
    plain,
    read_header,
    taken,
)
from pricing.ingest.reading import Answers, Facts, FileQuestion, Reading, Rejected, Row, Skipped
from pricing.ingest.sheet import Sheet
from pricing.ingest.workbook import ENDINGS, is_workbook, read_workbook

_MOST_BYTES = 8 << 30
_LONG = 8 << 20


def read_file(
    path: Path | str,
    settings: Settings,
    today: date,
    answers: Answers | None = None,
    question: bool = False,
    remembered: Mapping[str, Mapping[str, Any]] | None = None,
) -> Reading:
    """Read a person's sheet: typed rows, rows set aside, lines passed over, what was found out and
    what must be asked.

    question: the sheet asks about units (--from FILE.csv): no price is needed, and their_price,
    miles, fix_chance, offered are read.
    remembered: shape of a header -> what the person said about the last file of that shape.
    Raises Refused where the file is no table of units, with what is missing and the way out.
    """
    answers = answers or Answers()
    name = str(path)
    check_is_file(Path(path))
    data = read_bytes(Path(path))
    decoded = (
        read_workbook(data, name, own_names(answers.headers, settings.headers))
        if is_workbook(name, data)
        else decode(data, name, answers.encoding or None)
    )
    return read_text(decoded, Given(name, settings, today, answers, question, remembered or {}))


def check_is_file(path: Path) -> None:
    """Refuse folders, pipes and devices: reading one could last for ever."""
    try:
        status = path.stat()
    except OSError:
        read_bytes(path)  # says what is wrong
        raise
    if stat.S_ISDIR(status.st_mode):
        raise _refused("this is a folder, not a file", "name a file inside it", str(path))
    if not stat.S_ISREG(status.st_mode):
        what = "this is a pipe or a device, not a file"
        raise _refused(what, "save what it gives to a file, then add that", str(path))
    if status.st_size > _MOST_BYTES:
        raise _refused("this file is larger than 8 GiB", "split it into parts", str(path))


def _refused(what: str, fix: str, name: str, line: int | None = None) -> Refused:
    return Refused(Problem(what, fix, file=name, line=line))


@dataclass(frozen=True)
class Given:
    """With what a file is read: see `read_file`."""

    name: str
    settings: Settings
    today: date
    answers: Answers
    question: bool = False
    remembered: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)


@dataclass
class Prepared:
    """A file before its rows are read: its dialect, header, records, and what holds for all."""

    dialect: Dialect
    header: structure.Header
    body: list[Record]
    skipped: list[Skipped]
    rules: Rules
    notes: list[Problem]
    asked: list[FileQuestion]
    decoded: Decoded

    def facts(self) -> Facts:
        rules, decoded = self.rules, self.decoded
        shape = fingerprint(self.header.cells)
        return Facts(
            decoded.encoding,
            self.dialect.delimiter,
            rules.decimal,
            rules.date_order,
            rules.currency,
            rules.headings,
            shape,
            decoded.example,
        )


def is_long(path: Path) -> bool:
    """Whether a file is worth reading in blocks: from about 200,000 rows on."""
    check_is_file(path)
    return path.stat().st_size >= _LONG and not path.name.lower().endswith(ENDINGS)


def read_text(decoded: Decoded, given: Given) -> Reading:
    """`read_file` from the text on."""
    own = own_names(given.answers.headers, given.settings.headers)
    file = prepare(columns_apart(lines_of(decoded.text), own), decoded, given)
    read = [read_row(one, number, file.rules) for number, one in enumerate(file.body, start=1)]
    rejected = tuple(row for row in read if isinstance(row, Rejected))
    return Reading(
        given.name,
        tuple(row for row in read if isinstance(row, Row)),
        rejected,
        tuple(file.skipped),
        (*file.notes, *closing_notes(file.rules, decoded)),
        tuple(waiting(file.asked, rejected, given.today)),
        file.facts(),
    )


def prepare(lines: list[str], decoded: Decoded, given: Given) -> Prepared:
    """Everything that is decided before a row is read, from the (first) lines of a file."""
    name, settings, answers, today = given.name, given.settings, given.answers, given.today
    attributes = {attribute: attribute for attribute in settings.attributes}
    own = own_names(answers.headers, settings.headers, attributes)
    dialect = find_dialect(lines, lambda cells: count_known(cells, own))
    whole = join_broken(lines[dialect.hint_lines :], dialect)
    found = list(records(whole, dialect, 1 + dialect.hint_lines))
    found, header, notes = _upright(found, own, answers, settings, name)
    if said := given.remembered.get(fingerprint(header.cells)):
        answers = answers.over(said)
        own = own_names(answers.headers, settings.headers, attributes)
    headings, clashes = read_header(header.cells, own, given.question)
    below = [one for one in found[header.place + 1 :] if not structure.is_blank_record(one.cells)]
    sheet = Sheet(headings, below, settings, name, own)
    notes += by_cells.misfits(sheet, today) + _settle_clashes(sheet, clashes, header)
    body, skipped = _pass_over(found[header.place + 1 :], header, headings)
    body, told = real_sheets.dittos(body, headings, name)
    sheet, as_written = sheet._replace(body=body), list(body)
    notes += told + ([] if given.question else by_cells.settle(sheet, today))
    by_line = bool(told) or body != as_written
    notes += by_content.settle(sheet)
    rules, asked = _rules(sheet, skipped, header, replace(given, answers=answers), decoded, notes)
    rules.by_line |= by_line
    return Prepared(dialect, header, body, skipped, rules, notes, asked, decoded)


def _upright(
    found: list[Record], own: Mapping[str, str], answers: Answers, settings: Settings, name: str
) -> tuple[list[Record], structure.Header, list[Problem]]:
    """The records and the header of the list of units, however it lies in its file."""
    if answers.columns:
        return found, find_header_or_refuse(found, own, answers, name), []
    found, notes = structure.set_upright(found, name)
    header = find_header_or_refuse(found, own, answers, name)
    found, header, stacked = structure.stacked(found, header, name)
    found, header, melted = structure.by_month(found, header, own, name)
    structure.no_cash_book(found, header, name)
    notes += stacked + melted
    found, header, told = structure.cut_off_beside(found, header, name)
    found, header, events = structure.by_unit(found, header, own, settings, name)
    return found, structure.widened(found, header, own), notes + told + events


def find_header_or_refuse(
    found: Sequence[Record], own: Mapping[str, str], answers: Answers, name: str
) -> structure.Header:
    """The header of a file, or the columns the person named; refused where there is neither."""
    filled = [at for at, one in enumerate(found) if not structure.is_blank_record(one.cells)]
    if answers.columns:
        return structure.Header((filled or [0])[0] - 1, 0, answers.columns)
    header = structure.find_header(found, own)
    if header is not None:
        return header
    first = [found[at].cells for at in filled if at < 60]
    if not first:
        what = "this file is empty: there is nothing in it to read"
        raise _refused(what, "export the sheet again", name)
    fix = (
        "name the columns in the first line: at least type, and price for what was sold (pricing"
        " blank shows a sheet)"
    )
    if len(first[0]) > 3:
        fix += '; or, where the first line is a unit already, add --columns "unit,type,…"'
    what = "no header line with columns I know was found (such as type, price, sold)"
    unread = _refused(what, fix, name)
    unread.columns = taken([Heading(cell) for cell in first[0]], first[1:])
    raise unread


def _settle_clashes(
    sheet: Sheet, clashes: Mapping[str, list[int]], header: structure.Header
) -> list[Problem]:
    """Two headings for one column: the same values are one; else only the person can say."""
    notes, headings = [], sheet.headings
    for column, places in clashes.items():
        places = [place for place in places if headings[place].column == column]
        filled = [place for place in places if sheet.texts(place)]
        texts = [[sheet.cell(one, place) for one in sheet.body] for place in filled]
        if not places:
            continue
        if len(filled) <= 1 or all(each == texts[0] for each in texts):
            _leave_out(headings, places, (filled or places)[0], "ignore")
            continue
        if (kept := by_content.sure_among(column, texts)) >= 0:
            _leave_out(headings, filled, filled[kept])
            names = ", ".join(repr(headings[at].text) for at in filled if at != filled[kept])
            what = f"{headings[filled[kept]].text!r} was taken as the {column}, not {names}"
            fix = f'say otherwise with --header "…={column}"'
            notes.append(Problem(what, fix, sheet.name, header.line))
            continue
        first, second = (headings[place].text for place in filled[:2])
        text = f"two columns could be the {column}: {first!r} and {second!r}"
        if column in ("price", "type", "sold", "unit"):
            fix = f'say which: --header "{first}={column}" --header "{second}=ignore"'
            if plain(first) == plain(second):
                fix = "give them different names in the sheet, or take one out"
            raise _refused(text, fix, sheet.name, header.line)
        _leave_out(headings, filled, filled[0])
        fix = f'--header "{second}={column}" takes the other'
        notes.append(Problem(f"{text}; the first was used", fix, sheet.name, header.line))
    return notes


def _leave_out(headings: list[Heading], places: Sequence[int], keep: int, as_: str = "") -> None:
    """Leave one of several columns what its heading says; the others are kept as they are."""
    for place in places:
        if place != keep:
            headings[place] = replace(headings[place], column=as_)


def _require(sheet: Sheet, header: structure.Header, question: bool, has_type: bool) -> None:
    what, fix = "", ""
    place = place_of(sheet.headings, "outcome")
    ended = {squash(text) for text in sheet.texts(place)} if place is not None else {"sold"}
    if not sheet.has("type") and not has_type:
        what, fix = "type", f'"{by_cells.likely_type(sheet)}=type"'
        fix = f"name the column that says what each unit is: --header {fix}"
    elif question or sheet.has("price"):
        return
    elif sheet.has("sold") or ended & {"sold", "yes"}:
        what = "sale price"
        fix = f'say which column it is: --header "{by_cells.likely_price(sheet)}=price"'
    if what:
        what = f"the {what} column is missing from the header"
        missing = _refused(what, fix, sheet.name, header.line)
        missing.columns = taken(sheet.headings, (record.cells for record in sheet.body))
        raise missing


def _pass_over(
    found: Sequence[Record], header: structure.Header, headings: Sequence[Heading]
) -> tuple[list[Record], list[Skipped]]:
    """Rows on one side, lines that are no units on the other; blank lines are neither."""
    kind, unit = place_of(headings, "type"), place_of(headings, "unit")
    body: list[Record] = []
    skipped: list[Skipped] = []
    second = 0  # the line on which another table begins
    order: tuple[int, ...] = ()  # where a later header has our columns
    for index, one in enumerate(found):
        record = _in_order(one, order)
        cells, why = record.cells, ""
        again = structure.is_header_again(one.cells, header)
        turned = not again and structure.is_reordered(one.cells, header)
        if structure.is_blank_record(cells):
            continue
        if structure.is_another_header(one.cells, header):
            second, why = record.line, "the header of another table"
        elif second and not (again or turned):
            said = f"this row belongs to another table, which begins on line {second}"
            body.append(Record(record.line, cells, said, record.n_lines, foreign=True))
            continue
        else:
            second = 0
            if again:
                order = ()
            elif turned:
                order = structure.order_of(one.cells, header)
                cells, why = one.cells, "the header again, in another order"
            elif index < 3 and not body and is_units_row(cells, headings):
                why = "units of measure below the header"
            why = why or structure.why_no_unit(cells, header, kind, unit, len(headings))
        if why:
            skipped.append(Skipped(record.line, why, cells))
        else:
            body.append(record)
    return body, skipped


def _in_order(record: Record, order: tuple[int, ...]) -> Record:
    """A row below a header in another order, its cells where the first header has them."""
    if not order:
        return record
    width = len(record.cells)
    cells = tuple(record.cells[at] if 0 <= at < width else "" for at in order)
    return replace(record, cells=cells)


_ORDER_WORDS = {"mdy": "month first", "dmy": "day first", "ymd": "year first"}


def _rules(
    sheet: Sheet,
    skipped: list[Skipped],
    header: structure.Header,
    given: Given,
    decoded: Decoded,
    notes: list[Problem],
) -> tuple[Rules, list[FileQuestion]]:
    """What holds for the whole file, by its evidence; and what only the person can say."""
    name, settings, answers, today = given.name, given.settings, given.answers, given.today
    body, headings, question = sheet.body, tuple(sheet.headings), given.question
    asked: list[FileQuestion] = []
    described, fills = _types(sheet, skipped, header, given)
    if not body:
        what = "there are no rows below the header: nothing to read"
        fix = "export the sheet again, with its rows"
        notes.append(Problem(what, fix, file=name, line=header.line))
    money_texts, decimal = _money(sheet, answers.decimal or settings.decimal)
    sums = by_content.sums_of_rows(headings, body, decimal, settings)
    skipped += [Skipped(record.line, "a sum of the rows above", record.cells) for record in sums]
    body[:] = [record for record in body if record not in sums]
    verdict = evidence.date_order(body, headings, answers.date_order or settings.date_order, today)
    currency = evidence.currency_of(money_texts, headings, settings.currency.upper())
    has_own = verdict.mixed and not verdict.order
    orders = evidence.order_by_column(body, headings, today) if has_own else {}
    unsure, turned, told = _of_dates(verdict, orders, body, headings, today, name)
    notes += told
    if not verdict.order and not orders and verdict.undecided:
        what = "Are the dates in this file day first or month first?"
        asked.append(FileQuestion(what, ("--date-order mdy", "--date-order dmy")))
    year_made = _is_year_made(body, headings)
    notes += _of_money_and_age(currency, year_made, given)
    rules = Rules(
        *(name, headings, settings, today, decimal, verdict.order, currency, question),
        *(evidence.trims_rows(body, len(headings)), year_made is not None, decoded.stray_lines),
        unsure=unsure,
        turned=turned,
        orders=orders,
        fills=fills,
        **evidence.of_columns(body, headings, today),
        by_line=turned or bool(orders),
        knows_types=by_cells.knows_types(sheet),
        slash=bool(answers.slash),
        ended=answers.ended,
        words={squash(theirs): ours for theirs, ours in answers.words.items()},
        middle_price=evidence.middle_price(body, headings, decimal),
        describe=answers.describe or (described.header if described else ""),
        described=bool(answers.describe),
    )
    ends = (place_of(headings, column) for column in ("sold", "listed", "got"))
    places = [at for at in ends if at is not None]
    rules.years = real_sheets.years(body, skipped, places, answers.year, verdict.order, today)
    asked += [] if question else by_cells.proposals(sheet, today, verdict.order)
    asked += evidence.near_makers(body, headings, rules.words)
    if described and not answers.describe:
        asked.append(described.question(has_type=rules.has("type")))
    return rules, asked


def _of_money_and_age(currency: str, year_made: Heading | None, given: Given) -> list[Problem]:
    notes, settings = [], given.settings
    if currency and not evidence.same_currency(currency, settings.currency.upper()):
        what = f"amounts are in {currency}, your settings say {settings.currency}"
        fix = f'write currency = "{currency}" in pricing.toml if all your money is'
        notes.append(Problem(what, fix, file=given.name))
    if year_made is not None:
        what = "ages stand as years made; they were read so"
        notes.append(Problem(what, "", file=given.name, column=year_made.text))
    return notes


def _types(
    sheet: Sheet, skipped: Sequence[Skipped], header: structure.Header, given: Given
) -> tuple[real_sheets.Described | None, dict[int, str]]:
    """(the column of descriptions, the types of rows below the heads of their groups); refused
    where neither these nor a column say the type, or none the price."""
    described = real_sheets.described_column(sheet.body, sheet.headings, sheet.settings)
    place = place_of(sheet.headings, "type")
    fills = real_sheets.fills(sheet.body, skipped, place, sheet.settings)
    fills = {} if given.question else fills
    has_type = bool(described or given.answers.describe) or len(fills) > 0.5 * len(sheet.body)
    _require(sheet, header, given.question, has_type)
    return described, fills


def _money(sheet: Sheet, said: str) -> tuple[list[dict[str, int]], str]:
    """(the texts of each column of money, the decimal mark of the file)."""
    money = evidence.of_kind(sheet.headings, "money", "dated")
    texts = [evidence.column_texts(sheet.body, at) for at, _ in money]
    numbers = [
        evidence.column_texts(sheet.body, at)
        for at, _ in evidence.of_kind(sheet.headings, "number")
    ]
    all_texts = {text for column in (*texts, *numbers) for text in column}
    return texts, evidence.decimal_mark(sorted(all_texts), said).decimal


def _of_dates(
    verdict: dates.OrderVerdict,
    orders: Mapping[str, str],
    body: Sequence[Record],
    headings: tuple[Heading, ...],
    today: date,
    name: str,
) -> tuple[frozenset[int], bool, list[Problem]]:
    """(rows that may stand in the other order, whether dates were turned, what is told of them)."""
    notes: list[Problem] = []
    unsure: frozenset[int] = frozenset()
    if verdict.order and verdict.how in ("events", "points"):
        seen = {"events": "the order of events shows it", "points": "they are written with points"}
        what = f"dates were read {_ORDER_WORDS[verdict.order]}: {seen[verdict.how]}"
        notes.append(Problem(what, "say otherwise with --date-order", name))
    if orders:
        said_of = ", ".join(f"{column} {_ORDER_WORDS[order]}" for column, order in orders.items())
        notes.append(Problem(f"each column of dates has its own order: {said_of}", "", file=name))
    if verdict.serials:
        notes.append(Problem("dates were stored as numbers; read as dates", "", file=name))
    if verdict.order and verdict.mixed:
        unsure, odd = evidence.near_the_other_order(body, headings, verdict.order, today)
        if odd:
            (line, text), word = odd[0], _ORDER_WORDS[verdict.order]
            what = (
                f"nearly all dates are {word}, but not {text!r}; rows near it that read both ways"
                " are set aside"
            )
            notes.append(Problem(what, "write those dates as 2026-04-30", name, line))
    turned = evidence.are_turned(body, headings)
    if turned:
        what = "a program had swapped day and month of some dates; they were turned back"
        notes.append(Problem(what, "compare a few with your papers", name))
    return unsure, turned, notes


def _is_year_made(body: Sequence[Record], headings: tuple[Heading, ...]) -> Heading | None:
    """The column of ages, where more than half of them are years like 2014."""
    place = place_of(headings, "age")
    if place is None:
        return None
    ages = evidence.column_texts(body, place)
    years = sum(n for text, n in ages.items() if re.fullmatch(r"(19|20)\d\d", text))
    return headings[place] if years > 0.5 * sum(ages.values()) else None
