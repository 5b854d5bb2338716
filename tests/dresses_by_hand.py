"""More dresses of the one ledger (`dresses`): habits of other spreadsheet programs, of phones and of
people who write for themselves."""

from __future__ import annotations

import csv
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Any

from dresses import DAYS, MONEY, Cells, Form, N, Sheet, both, cut, head, said

_WORDED = {
    "Spanish de": ("{} de {} de {}", "enero febrero marzo abril mayo junio julio agosto"
                   " septiembre octubre noviembre diciembre"),
    "Portuguese de": ("{} de {} de {}", "janeiro fevereiro março abril maio junho julho agosto"
                      " setembro outubro novembro dezembro"),
    "German point": ("{}. {} {}", "Januar Februar März April Mai Juni Juli August September"
                     " Oktober November Dezember"),
    "Austrian": ("{}. {} {}", "Jänner Feber März April Mai Juni Juli August September"
                 " Oktober November Dezember"),
    "French long": ("{} {} {}", "janvier février mars avril mai juin juillet août septembre"
                    " octobre novembre décembre"),
    "Polish genitive": ("{} {} {}", "stycznia lutego marca kwietnia maja czerwca lipca sierpnia"
                        " września października listopada grudnia"),
    "Russian genitive": ("{} {} {}", "января февраля марта апреля мая июня июля августа сентября"
                         " октября ноября декабря"),
    "Czech genitive": ("{}. {} {}", "ledna února března dubna května června července srpna září"
                       " října listopadu prosince"),
    "Turkish": ("{} {} {}", "Ocak Şubat Mart Nisan Mayıs Haziran Temmuz Ağustos Eylül Ekim Kasım"
                " Aralık"),
    "Finnish": ("{}. {} {}", "tammikuuta helmikuuta maaliskuuta huhtikuuta toukokuuta kesäkuuta"
                " heinäkuuta elokuuta syyskuuta lokakuuta marraskuuta joulukuuta"),
    "Swedish den": ("den {} {} {}", "januari februari mars april maj juni juli augusti september"
                    " oktober november december"),
    "Roman": ("{}-{}-{}", "I II III IV V VI VII VIII IX X XI XII"),
}  # fmt: skip


def _worded(form: str, names: str) -> Form:
    return said(day=lambda day: form.format(day.day, names.split()[day.month - 1], day.year))


DATE_FORMS: dict[str, Form] = {
    **{
        form: said(day=lambda day, form=form: day.strftime(form))
        for form in (
            "%m/%d/%Y 2:30 PM", "%Y-%m-%d 02:30:00 PM", "%b %d, %Y at 2:30 PM",
            "%d %b %Y, 14:30", "%Y-%m-%dT14:30:00Z", "%Y-%m-%dT14:30:00.000+02:00",
            "%Y-%b-%d", "%d%b%Y", "%d%b%y", "%d/%b/%Y", "%B %d %Y", "%m/%d/'%y", "%a, %b %d, %Y",
            "%Y-%m-%d (%a)", "'%Y-%m-%d", "%d.%m.%Y 14:30:00", "%m.%d.%Y", "%Y%m%d143000",
            "%m/%d/%Y 14:30:05", "%Y/%m/%d 2:30:05 PM", "%d.%m.%Y, %H:%M Uhr",
        )
    },
    **{name: _worded(*form) for name, form in _WORDED.items()},
    "serial and time": said(day=lambda day: f"{(day - date(1899, 12, 30)).days}.604166667"),
    "Japanese no zeros": said(day=lambda day: f"{day.year}年{day.month}月{day.day}日"),
    "Korean": said(day=lambda day: f"{day.year}. {day.month}. {day.day}."),
    "milliseconds": said(day=lambda day: f"{(day - date(1970, 1, 1)).days * 86_400_000}"),
    "seconds": said(day=lambda day: f"{(day - date(1970, 1, 1)).days * 86_400}"),
    "%d.%m. with years above": said(day=lambda day: f"{day.day}.{day.month}."),
}  # fmt: skip


def _spent_as(form: str) -> Form:
    """What was spent stands below nought, as in a book of accounts."""

    def put(sheet: Sheet) -> None:
        for unit, row in zip(sheet.truth, sheet.rows, strict=True):
            for name in ("paid", "parts"):
                if unit[name]:
                    row[name] = form.format(row[name])

    return put


def _lost(sign: str) -> Form:
    """A sign that the file's alphabet did not have."""
    return said(money=lambda value: f"{value:,.2f}".replace(",", sign))


MONEY_FORMS: dict[str, Form] = {
    **{
        form: said(money=lambda value, form=form: form.format(f"{value:,.2f}"))
        for form in (
            "{} dollars", "{} bucks", "US${}", "US$ {}", "${} USD", "USD{}", "{}USD", "$ {} cash",
            "{} (cash)", "{} paid by card", "{}*", "{} each", "cash {}", "+{}", "'{}", "?{}",
            "{} ?", "\xa0{}\xa0", "$\xa0{}", "${}.", "CA${}", "{} EUR.", "EUR {}",
        )
    },
    "thousands blank": said(money=lambda value: f"{value:,.2f}".replace(",", " ")),
    "thousands narrow": said(money=lambda value: f"{value:,.2f}".replace(",", "\u2009")),
    "thousands lost": _lost("?"),
    "thousands letter": _lost("\ufffd"),
    "no cents": said(money=lambda value: f"{value.normalize():f}"),
    "one place": said(money=lambda value: f"{float(value):g}"),
    "four places": said(money=lambda value: f"{value:.4f}"),
    "scientific": said(money=lambda value: f"{value:.4E}"),
    "full width": said(money=lambda value: f"{value:.2f}".translate(
        {48 + at: 0xFF10 + at for at in range(10)})),
    "Arabic digits": said(money=lambda value: f"{value:.2f}".translate(
        {48 + at: 0x0660 + at for at in range(10)})),
    "whole dollars and cents apart": said(money=lambda value: f"{value:.2f}".replace(".", " ")),
    "k": said(money=lambda value: f"{float(value) / 1000:g}k"),
}  # fmt: skip
NUMBER_FORMS: dict[str, Form] = {
    "yrs old": said(age=lambda v: f"{v:f} yrs old"),
    "y": said(age=lambda v: f"{v:f}y"),
    "years spelled": said(age=lambda v: f"{v:f} years"),
    "year and month": said(age=lambda v: f"{int(v)} yr {v % 1 * 12:.0f} mo"),
    "age with plus": said(age=lambda v: f"{v:f}+"),
    "age Jahre": said(age=lambda v: f"{v:f} Jahre"),
    "hrs glued": said(hours=lambda v: f"{v:f}hrs"),
    "hr point": said(hours=lambda v: f"{v:f} hr."),
    "hours spelled": said(hours=lambda v: f"{v:f} hours"),
    "hours Std": said(hours=lambda v: f"{v:f} Std."),
    "mi glued": said(miles=lambda v: f"{v}mi"),
    "miles behind": said(miles=lambda v: f"{v} miles"),
    "mi about": said(miles=lambda v: f"~{v} mi"),
    "mi one way": said(miles=lambda v: f"{v} one way"),
    "mi round trip": said(miles=lambda v: f"{v * 2} round trip"),
    "mi twice": said(miles=lambda v: f"{v} x 2"),
    "k metres": said(miles=lambda v: f"{v * Decimal('1.609344'):.1f}km"),
    "hours and a day": said(hours=lambda v: f"{v:f} h (2 days)"),
    "quarter words": said(hours=lambda v: f"{int(v)} and a half" if v % 1 == Decimal("0.5")
                          else f"{v:f}"),
}  # fmt: skip


def _at(column: str, move: Callable[[Cells, Cells], str | None]) -> Form:
    """Another text in a column, where `move` gives one."""

    def put(sheet: Sheet) -> None:
        for unit, row in zip(sheet.truth, sheet.rows, strict=True):
            if (text := move(unit, row)) is not None:
                row[column] = text

    return put


_ENDED = {"scrapped": "scrapped", "parted": "parted out"}


def _no_end_days(sheet: Sheet) -> None:
    """A sheet that says the end in place of its day does not hold the day."""
    for unit in sheet.truth:
        if unit["outcome"] in _ENDED:
            unit["sold"] = None


def _price_of_unsold(sheet: Sheet) -> None:
    for unit, row in zip(sheet.truth, sheet.rows, strict=True):
        if unit["outcome"] == "listed":
            row["price"] = row["asked"]
    sheet.heads.pop("asked")


def _ditto(sign: str, *names: str) -> Form:
    def put(sheet: Sheet) -> None:
        order = sorted(range(N), key=lambda at: [str(sheet.truth[at][name]) for name in names])
        sheet.truth, sheet.rows = ([rows[at] for at in order] for rows in (sheet.truth, sheet.rows))
        above: Cells = {}
        for row in sheet.rows:
            now = dict(row)
            for name in names:
                if above.get(name) == row[name]:
                    row[name] = sign
            above = now

    return put


def _crossed(form: str, *names: str) -> Form:
    """An older amount stands crossed out before the one that holds."""

    def put(sheet: Sheet) -> None:
        for at, (unit, row) in enumerate(zip(sheet.truth, sheet.rows, strict=True)):
            for name in names:
                if unit[name] is not None and at % 3 == 0:
                    row[name] = form.format(sheet.money(unit[name] + 40), row[name])

    return put


def _padded(sheet: Sheet) -> None:
    for row in sheet.rows:
        row.update({name: f"  {text} " for name, text in row.items()})


CELL_FORMS: dict[str, Form] = {
    "spent in brackets": _spent_as("({})"),
    "spent below nought": _spent_as("-{}"),
    "spent minus behind": _spent_as("{}-"),
    "end in the price": both(cut("outcome"), _at("price", lambda unit, row: _ENDED.get(
        unit["outcome"]))),
    "end in the day": both(cut("outcome"), _no_end_days, _at("sold", lambda unit, row: _ENDED.get(
        unit["outcome"]))),
    "ask under price": _price_of_unsold,
    "ditto maker": _ditto('"', "maker"),
    "ditto type": _ditto('"', "type"),
    "ditto word": _ditto("do.", "type", "maker"),
    "ditto same": _ditto("same", "condition"),
    "merged type": _ditto("", "type"),
    "merged type and maker": _ditto("", "type", "maker"),
    "merged day got": _ditto("", "got"),
    "crossed ask": _crossed("~~{}~~ {}", "asked"),
    "crossed price": _crossed("~~{}~~ {}", "price"),
    "arrow ask": _crossed("{} -> {}", "asked"),
    "arrow price": _crossed("{} → {}", "price"),
    "was now": _crossed("was {}, now {}", "asked"),
    "sold with the day": _at("outcome", lambda unit, row: f"Sold {row['sold']}"
                             if unit["outcome"] == "sold" else None),
    "outcome exclaimed": _at("outcome", lambda unit, row: f"{unit['outcome'].upper()}!!!"),
    "note behind the outcome": _at("outcome", lambda unit, row: f"{unit['outcome']} - to a"
                                   " neighbor" if unit["outcome"] == "sold" else None),
    "star on some prices": _at("price", lambda unit, row: f"{row['price']}*"
                               if unit["price"] and unit["price"] > 500 else None),
    "day and who": _at("sold", lambda unit, row: f"{row['sold']} (neighbor)"
                       if unit["outcome"] == "sold" else None),
    "number and type": both(cut("unit"), _at("type", lambda unit, row:
                                             f"{unit['type']} #{unit['unit']}")),
    "maker and type": both(cut("maker"), _at("type", lambda unit, row:
                                             f"{unit['maker']} {unit['type']}")),
    "type with sign": _at("type", lambda unit, row: f"★ {unit['type']}"),
    "zeros before": _at("unit", lambda unit, row: f"00{unit['unit']}"),
    "hash before": _at("unit", lambda unit, row: f"#{unit['unit']}"),
    "No before": _at("unit", lambda unit, row: f"No. {unit['unit']}"),
    "curly quotes": _at("type", lambda unit, row: f"“{unit['type']}”"),
    "padded": _padded,
    "two of a kind": both(
        _at("type", lambda unit, row: f"{unit['type']} "), _at("maker", lambda unit, row:
                                                               f" {unit['maker']}  ")),
}  # fmt: skip


def _empty_columns(sheet: Sheet) -> None:
    heads = {}
    for at, (name, text) in enumerate(sheet.heads.items()):
        heads |= {name: text, f"empty {at}": ""}
    sheet.heads = heads


def _beside(*lines: list[str]) -> Form:
    """Another table to the right of the list, with an empty column between."""

    def put(sheet: Sheet) -> None:
        for at, text in enumerate(lines[0]):
            sheet.heads[f"beside {at}"] = text
        gap = dict(sheet.heads)
        sheet.heads = {**{name: text for name, text in gap.items() if not name.startswith("bes")},
                       "gap": "", **{name: text for name, text in gap.items()
                                     if name.startswith("bes")}}  # fmt: skip
        for row, line in zip(sheet.rows, lines[1:], strict=False):
            row |= {f"beside {at}": text for at, text in enumerate(line)}

    return put


def _every(rows: int, *lines: Callable[[Sheet, list[Cells]], list[str]]) -> Form:
    def put(sheet: Sheet) -> None:
        for last in range(rows - 1, len(sheet.rows) - 1, rows):
            units = sheet.truth[last - rows + 1 : last + 1]
            sheet.between.setdefault(last, []).extend(line(sheet, units) for line in lines)

    return put


def _by_year(*lines: Callable[[Sheet, list[Cells]], list[str]]) -> Form:
    """Lines below the last unit of each year."""

    def put(sheet: Sheet) -> None:
        for at in range(1, N + 1):
            if at == N or sheet.truth[at]["got"].year != sheet.truth[at - 1]["got"].year:
                year = sheet.truth[at - 1]["got"].year
                units = [unit for unit in sheet.truth if unit["got"].year == year]
                sheet.between.setdefault(at - 1, []).extend(line(sheet, units) for line in lines)

    return put


def _sum_line(**cells: str) -> Callable[[Sheet, list[Cells]], list[str]]:
    """A line with the sums of money; in `cells` {year} and {n} are filled in."""

    def line(sheet: Sheet, units: list[Cells]) -> list[str]:
        row: Cells = {
            name: sheet.money(sum((u[name] or Decimal(0) for u in units), Decimal(0)))
            for name in MONEY
        }
        year = units[-1]["got"].year
        row |= {name: text.format(year=year, n=len(units)) for name, text in cells.items()}
        return sheet.line(row)

    return line


def _means(**cells: str) -> Callable[[Sheet, list[Cells]], list[str]]:
    def line(sheet: Sheet, units: list[Cells]) -> list[str]:
        row: Cells = {"age": "6.5", "hours": "3.1", "price": sheet.money(Decimal("487.13"))}
        return sheet.line(row | cells)

    return line


def _text(*cells: str) -> Callable[[Sheet, list[Cells]], list[str]]:
    return lambda sheet, units: list(cells)


def _sums_first(sheet: Sheet) -> None:
    """The sums stand in the first line below the header."""
    row: Cells = {"type": "TOTAL"}
    for name in MONEY:
        row[name] = sheet.money(sum((u[name] or Decimal(0) for u in sheet.truth), Decimal(0)))
    lines = sheet.lines

    def with_sums(rows: list[Cells] | None = None) -> list[list[Any]]:
        made = lines(rows)
        made.insert(1 + len(sheet.before), sheet.line(row))
        return made

    sheet.lines = with_sums  # type: ignore[method-assign]


def _upper_header(**names: str) -> Form:
    """A line of group names above the header."""
    return lambda sheet: sheet.before.append([names.get(name, "") for name in sheet.heads])


def _on_its_side(sheet: Sheet) -> None:
    lines = sheet.lines

    def turned(rows: list[Cells] | None = None) -> list[list[Any]]:
        made = lines(rows)
        width = max(map(len, made))
        return [[*row] for row in zip(*(one + [""] * (width - len(one)) for one in made),
                                      strict=True)]  # fmt: skip

    sheet.lines = turned  # type: ignore[method-assign]


def _columns_later(sheet: Sheet) -> None:
    """From the second year on the person has one column more."""
    place = next(at for at in range(1, N) if sheet.truth[at]["got"].year == 2025)
    names = [name for name in sheet.heads if name != "miles"]
    early = [sheet.heads[name] for name in names]
    lines = sheet.lines

    def grown(rows: list[Cells] | None = None) -> list[list[Any]]:
        made = lines(rows)
        at = place + 1 + len(sheet.before)
        miles = list(sheet.heads).index("miles")
        head_line = made[len(sheet.before)]
        first = [one[:miles] + one[miles + 1 :] for one in made[len(sheet.before) + 1 : at]]
        return [*sheet.before, early, *first, head_line, *made[at:]]

    for unit in sheet.truth[:place]:
        unit["miles"] = None
    sheet.lines = grown  # type: ignore[method-assign]


def _newest_first(sheet: Sheet) -> None:
    sheet.truth.reverse()
    sheet.rows.reverse()


STRUCTURE_FORMS: dict[str, Form] = {
    "Table 1": lambda sheet: sheet.before.append(["Table 1"]),
    "empty columns": _empty_columns,
    "empty first column": lambda sheet: setattr(sheet, "heads", {"gap": "", **sheet.heads}),
    "prices beside": _beside(["Type", "Price"], ["dryer", "150"], ["washer", "180"]),
    "expenses beside": _beside(["Expense", "Amount", "Day"], ["Meter", "45.00", "2024-03-01"],
                               ["Drill", "80.00", "2024-05-01"]),
    "months beside": _beside(["Month", "Takings"], ["Jan", "410.00"], ["Feb", "380.00"]),
    "pages": _every(45, _text("Page 1 of 5"), _text(), _text("My units", "2026")),
    "year total": _by_year(_sum_line(type="Total {year}")),
    "year total turned": _by_year(_sum_line(type="{year} total")),
    "year total in number": _by_year(_sum_line(unit="{year}")),
    "year result": _by_year(_sum_line(type="Result {year}")),
    "year in two": _by_year(_sum_line(unit="Sum", type="{n} pcs")),
    "year sum at the day": _by_year(_sum_line(sold="Total {year}")),
    "year sum at the outcome": _by_year(_sum_line(outcome="{n} sold")),
    "means": _by_year(_means(type="Average")),
    "means unnamed": _by_year(_means(note="mean")),
    "count": _by_year(lambda sheet, units: sheet.line({"type": f"{len(units)}"})),
    "sold of": _by_year(lambda sheet, units: ["Sold:", "12", "Unsold:", "3"]),
    "sums first": _sums_first,
    "groups above": _upper_header(unit="Unit", paid="Money in", hours="Work", got="Days",
                                  asked="Money out"),
    "halves above": both(
        head(got="got", listed="listed", sold="sold", paid="paid", asked="asked", price="sold"),
        _upper_header(got="Date", listed="Date", sold="Date", paid="Price", asked="Price",
                      price="Price")),
    "halves merged": both(
        head(got="got", listed="listed", sold="sold", asked="asked", price="sold"),
        lambda sheet: setattr(sheet, "heads", {
            **{k: v for k, v in sheet.heads.items() if k not in (*DAYS, "asked", "price")},
            **{k: sheet.heads[k] for k in (*DAYS, "asked", "price")}}),
        _upper_header(got="Date", asked="Price")),
    "on its side": _on_its_side,
    "a column later": _columns_later,
    "newest first": _newest_first,
    "ruled": _every(25, lambda sheet, units: ["=" * 8] * len(sheet.heads)),
    "signed": lambda sheet: sheet.after.extend([[], ["checked by me"], ["27 Nov 2026"]]),
}  # fmt: skip


def _marked_down(sheet: Sheet) -> None:
    """A table as notes on a phone give it: bars, and a ruled line below the header."""
    lines = sheet.lines
    sheet.delimiter = "|"

    def barred(rows: list[Cells] | None = None) -> list[list[Any]]:
        made = [["", *(f" {cell} " for cell in line), ""] for line in lines(rows)]
        made.insert(1, ["", *["---"] * len(sheet.heads), ""])
        return made

    sheet.lines = barred  # type: ignore[method-assign]


FILE_FORMS: dict[str, Form] = {
    "bars": _marked_down,
    "texts quoted": said(quoting=csv.QUOTE_NONNUMERIC),
    "single quotes": said(write=lambda text: text.replace('"', "'").encode(),
                          quoting=csv.QUOTE_ALL),
    "delimiter at the end": lambda sheet: setattr(sheet, "heads", {**sheet.heads, "end": ""}),
    "ends cut": said(write=lambda text: "\n".join(
        line.rstrip(",\r") for line in text.split("\n")).encode()),
    "mixed ends": said(write=lambda text: "\r\n".join(
        text.split("\r\n")[:90]).encode() + b"\n" + "\n".join(text.split("\r\n")[90:]).encode()),
    "two blanks": said(delimiter="\t", write=lambda text: text.replace("\t", "  ").encode()),
    "blank lines at the top": said(last="\r\n\r\n"),
    "NULs": said(write=lambda text: text.encode() + b"\x00" * 64),
    "narrow blanks in headings": lambda sheet: setattr(sheet, "heads", {
        name: text.replace(" ", "\xa0") for name, text in sheet.heads.items()}),
    "two languages in headings": head(price="Verkaufspreis / Sale price", sold="Verkauft am /"
                                      " Date sold", got="Gekauft am / Date got"),
    "money signs in headings": head(paid="$ paid", price="$ sold", asked="$ asked",
                                    sold="sold (date)", got="got (date)", parts="$ parts"),
    "sides swapped": head(sold="Sold (date)", price="Sold (price)", got="Got (date)",
                          paid="Got (price)"),
    "sums in headings": lambda sheet: sheet.heads.update(
        price=f"Sale price ({sum(u['price'] or 0 for u in sheet.truth)})"),
}  # fmt: skip
MORE: dict[str, dict[str, Form]] = {
    "dates": DATE_FORMS,
    "money": MONEY_FORMS,
    "hours": NUMBER_FORMS,
    "columns": CELL_FORMS,
    "structure": STRUCTURE_FORMS,
    "file": FILE_FORMS,
}
