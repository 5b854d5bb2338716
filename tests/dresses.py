"""One invented ledger of 200 units in the dresses that spreadsheet programs and people give it.

A form changes one thing of a sheet (how its money is written, its alphabet, a total below each
month, …); a dress is one form, or several of different groups. What the ledger says never changes,
so each dress must come back as the same record, or say where it does not.
"""

from __future__ import annotations

import csv
import io
import random
import re
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

N = 200
TODAY = date(2026, 11, 26)
HEADS = {
    "unit": "Unit no", "type": "Type", "maker": "Make", "age": "Age", "condition": "Condition",
    "features": "Features", "paid": "Paid", "parts": "Parts", "hours": "Hours", "miles": "Miles",
    "got": "Date got", "listed": "Date listed", "asked": "Asking price", "sold": "Date sold",
    "price": "Sale price", "outcome": "Outcome", "note": "Notes",
}  # fmt: skip
MONEY, DAYS = ("paid", "parts", "asked", "price"), ("got", "listed", "sold")
_TYPES = ("front-load washer", "electric dryer", "gas range", "fridge", "dishwasher")
_EXTRAS = ("steam", "large capacity", "ice maker", "pedestal", "stacking kit")
Cells = dict[str, Any]
AGAIN: Cells = {}  # in place of a line: the header once more


def ledger() -> list[Cells]:
    """What is true: 200 units, most of them sold."""
    chance = random.Random("one ledger")
    units: list[Cells] = []
    for i in range(N):
        got = date(2023, 12, 5) + timedelta(days=4 * i + chance.randrange(4))
        listed = got + timedelta(days=chance.randrange(3, 20))
        price = Decimal(chance.randrange(60, 420) * 5) / 2
        outcome = chance.choices(("sold", "listed", "scrapped", "parted"), (16, 1, 2, 1))[0]
        ended, sold = outcome != "listed", outcome == "sold"
        units.append({
            "unit": f"{1001 + i}",
            "type": _TYPES[i % 5],
            "maker": ("Norvik", "Hallbeck", "Brandt Vale", "Osterly")[i % 4],
            "age": Decimal(chance.randrange(2, 30)) / 2,
            "condition": ("good", "fair", "rough", "like new")[chance.randrange(4)],
            "features": sorted(chance.sample(_EXTRAS, chance.randrange(3))),
            "paid": Decimal(chance.choice((0, 0, 10, 15, 20, 25, 40))),
            "parts": Decimal(chance.choice((0, 0, 1250, 1899, 2400, 4675))) / 100,
            "hours": Decimal(chance.randrange(2, 25)) / 4,
            "miles": Decimal(chance.randrange(2, 40)),
            "got": got,
            "listed": listed if outcome in ("sold", "listed") else None,
            "asked": price + 10 * chance.randrange(0, 5) if outcome in ("sold", "listed") else None,
            "sold": listed + timedelta(days=chance.randrange(1, 40)) if ended else None,
            "price": price if sold else None,
            "outcome": outcome,
            "note": f"n{i:03d}",
        })  # fmt: skip
    return units


@dataclass
class Sheet:
    """A sheet in the making: texts (or typed cells of a workbook) by our column names, how each is
    headed, and how the file is written. truth: what must come back."""

    truth: list[Cells] = field(default_factory=ledger)
    rows: list[Cells] = field(default_factory=list)
    heads: dict[str, str] = field(default_factory=lambda: dict(HEADS))
    before: list[list[str]] = field(default_factory=list)
    after: list[Cells | list[Any]] = field(default_factory=list)
    # lines put behind the row at a place
    between: dict[int, list[Cells | list[Any]]] = field(default_factory=dict)
    delimiter: str = ","
    quoting: int = csv.QUOTE_MINIMAL
    line_end: str = "\r\n"
    write: Callable[[str], bytes] = lambda text: text.encode()
    last: str = ""  # what a program puts in front of the file
    texts: tuple[str, ...] = ()
    book: Callable[[Sheet, Path], None] | None = None
    first: list[Cells] | None = None  # the rows of a file that was added before this one
    money: Callable[[Decimal], str] = lambda value: f"{value:.2f}"
    number: Callable[[Decimal], str] = lambda value: f"{value:f}"
    day: Callable[[date], str] = lambda value: value.isoformat()
    hours: Callable[[Decimal], str] | None = None
    age: Callable[[Decimal], str] | None = None
    miles: Callable[[Decimal], str] | None = None
    joined: str = "; "
    blank: str = ""
    words: dict[str, dict[str, str]] = field(default_factory=dict)

    def fill(self) -> None:
        """Write the truth as texts, by what was chosen."""
        for i, unit in enumerate(self.truth):
            if self.texts:
                unit["note"] += f" {self.texts[i % len(self.texts)]}"
                unit["maker"] = self.texts[(i + 1) % len(self.texts)].split()[0]
            row: Cells = {}
            for name, value in unit.items():
                if value is None:
                    text = self.blank if name in (*DAYS, *MONEY) else ""
                elif name in MONEY:
                    text = self.money(value)
                elif name in DAYS:
                    text = self.day(value)
                elif name in ("hours", "age", "miles"):
                    text = (getattr(self, name) or self.number)(value)
                elif name == "features":
                    text = self.joined.join(value)
                else:
                    text = self.words.get(name, {}).get(value, value)
                row[name] = text
            self.rows.append(row)

    def line(self, row: Cells) -> list[Any]:
        return [row.get(name, "") for name in self.heads]

    def lines(self, rows: list[Cells] | None = None) -> list[list[Any]]:
        header = list(self.heads.values())
        out: list[list[Any]] = [*self.before, header]
        for place, row in enumerate(self.rows if rows is None else rows):
            out.append(self.line(row))
            out += map(self.as_line, self.between.get(place, []))
        return [*out, *map(self.as_line, self.after)]

    def as_line(self, line: Cells | list[Any]) -> list[Any]:
        """A line in between, given by our columns or as it stands; AGAIN is the header."""
        if line is AGAIN:
            return list(self.heads.values())
        return self.line(line) if isinstance(line, dict) else line

    def data(self, lines: list[list[Any]]) -> bytes:
        out = io.StringIO(newline="")
        csv.writer(
            out, delimiter=self.delimiter, quoting=self.quoting, lineterminator=self.line_end
        ).writerows(lines)  # type: ignore[arg-type]
        return self.write(self.last + out.getvalue())

    def save(self, folder: Path) -> list[Path]:
        """The files of it, in the order in which they are added."""
        if self.book is not None:
            path = folder / "sheet.xlsx"
            self.book(self, path)
            return [path]
        paths = [folder / "sheet.csv"]
        paths[0].write_bytes(self.data(self.lines()))
        if self.first is not None:
            (folder / "first.csv").write_bytes(self.data(self.lines(self.first)))
            paths.insert(0, folder / "first.csv")
        return paths


Form = Callable[[Sheet], None]


def said(**choice: Any) -> Form:
    """A form that only chooses how something is written."""

    def put(sheet: Sheet) -> None:
        for name, value in choice.items():
            setattr(sheet, name, value)

    return put


def both(*forms: Form) -> Form:
    def put(sheet: Sheet) -> None:
        for form in forms:
            form(sheet)

    return put


def head(**names: str) -> Form:
    def put(sheet: Sheet) -> None:
        sheet.heads.update({name: text for name, text in names.items() if name in sheet.heads})

    return put


def cut(*names: str) -> Form:
    def put(sheet: Sheet) -> None:
        for name in names:
            sheet.heads.pop(name, None)

    return put


# ---- how values are written


def _marks(thousands: str, decimal: str, form: str = "{}", places: int = 2) -> Form:
    def money(value: Decimal) -> str:
        text = f"{value:,.{places}f}".replace(",", "\0").replace(".", decimal)
        return form.format(text.replace("\0", thousands))

    def put(sheet: Sheet) -> None:
        sheet.money = money
        sheet.number = lambda value: f"{value:f}".replace(".", decimal)

    return put


MONEY_FORMS: dict[str, Form] = {
    **{
        f"{form} {name}": _marks(thousands, decimal, form)
        for name, thousands, decimal in (
            ("point", "", "."),
            ("comma thousands", ",", "."),
            ("decimal comma", "", ","),
            ("German", ".", ","),
            ("French", "\u202f", ","),
            ("nbsp", "\xa0", ","),
            ("Swiss", "'", "."),
        )
        for form in ("{}", "${}", "$ {}", "{} $", "€{}", "{} €", "£{}", "{} EUR", "USD {}")
    },
    **{f"{form} czech": _marks("\xa0", ",", form) for form in ("{} Kč", "{} zł", "{} kr", "{} Ft")},
    "cash": said(money=lambda value: f"{value:.2f} cash"),
    "dash of cents": said(money=lambda value: f"{value:.2f}".replace(".00", ",-")
                          if value == int(value) else f"{value:.2f}".replace(".", ",")),
    "accounting": said(money=lambda value: f" $ {value:,.2f} " if value else " $ -   "),
    "accounting dash": said(money=lambda value: f" {value:,.2f} " if value else " -   "),
    "cents": both(
        head(paid="Paid (cents)", parts="Parts (cents)", asked="Asking price (cents)",
             price="Sale price (cents)"),
        said(money=lambda value: f"{value * 100:.0f}"),
    ),
    "currency in heading": head(paid="Paid ($)", parts="Parts ($)", asked="Asking price ($)",
                                price="Sale price ($)"),
    "formula text": said(money=lambda value: f'="{value:.2f}"'),
    "free": said(money=lambda value: f"{value:.2f}" if value else "free"),
    "zero as dash": said(money=lambda value: f"{value:.2f}" if value else "-"),
    "zero as nil": said(money=lambda value: f"{value:.2f}" if value else "nil"),
    "zero as none": said(money=lambda value: f"{value:.2f}" if value else "none"),
}  # fmt: skip
_MONTHS = {
    "English": "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec",
    "German": "Jan. Feb. März Apr. Mai Juni Juli Aug. Sept. Okt. Nov. Dez.",
    "French": "janv. févr. mars avr. mai juin juil. août sept. oct. nov. déc.",
    "Spanish": "ene feb mar abr may jun jul ago sep oct nov dic",
    "Dutch": "jan feb mrt apr mei jun jul aug sep okt nov dec",
    "Italian": "gen feb mar apr mag giu lug ago set ott nov dic",
    "Polish": "sty lut mar kwi maj cze lip sie wrz paź lis gru",
    "Portuguese": "jan fev mar abr mai jun jul ago set out nov dez",
    "Swedish": "jan feb mars apr maj juni juli aug sep okt nov dec",
}
DATE_FORMS: dict[str, Form] = {
    **{
        f"{form}": said(day=lambda day, form=form: day.strftime(form))
        for form in (
            "%m/%d/%Y", "%d/%m/%Y", "%d.%m.%Y", "%d.%m.%y", "%m/%d/%y", "%d/%m/%y", "%d-%m-%Y",
            "%Y/%m/%d", "%Y%m%d", "%d %b %Y", "%b %d, %Y", "%B %d, %Y", "%d-%b-%y", "%d-%b-%Y",
            "%a %d %b %Y", "%A, %d %B %Y", "%a %m/%d/%Y", "%Y-%m-%dT00:00:00", "%Y-%m-%d 00:00",
            "%m/%d/%Y 00:00", "%d/%m/%Y 14:30", "%Y.%m.%d", "%Y. %m. %d.", "%m-%d-%Y",
            "%Y-%d-%m", "%b-%y", "%m/%d", "%d %b", "%Y年%m月%d日", "%m/%d/%Y 12:00:00 AM",
        )
    },
    "no zeros mdy": said(day=lambda day: f"{day.month}/{day.day}/{day.year}"),
    "no zeros dmy": said(day=lambda day: f"{day.day}/{day.month}/{day.year}"),
    "no zeros dotted": said(day=lambda day: f"{day.day}. {day.month}. {day.year}"),
    "ordinal": said(day=lambda day: f"{day.day}{_ordinal(day.day)} {day:%B %Y}"),
    "serial": said(day=lambda day: str((day - date(1899, 12, 30)).days)),
    "half turned ISO": said(day=lambda day: date(day.year, day.day, day.month).isoformat()
                            if day.day <= 12 else f"{day:%d/%m/%Y}"),
    "half turned mdy": said(day=lambda day: f"{day.day}/{day.month}/{day.year}"
                            if day.day <= 12 else f"{day:%d-%m-%Y}"),
    "two orders by column": said(day=None),  # set below, by column
    **{
        f"months {name}": said(
            day=lambda day, names=names: f"{day.day} {names.split()[day.month - 1]} {day.year}"
        )
        for name, names in _MONTHS.items()
    },
}  # fmt: skip


def _ordinal(day: int) -> str:
    return "th" if 10 < day < 14 else {1: "st", 2: "nd", 3: "rd"}.get(day % 10, "th")


def _minutes(value: Decimal) -> int:
    return round(value * 60)


HOUR_FORMS: dict[str, Form] = {
    "minutes heading": both(head(hours="Minutes"), said(hours=lambda v: str(_minutes(v)))),
    "minutes in brackets": both(head(hours="Time (min)"), said(hours=lambda v: str(_minutes(v)))),
    "minutes spelled": said(hours=lambda v: f"{_minutes(v)} min"),
    "work min": both(head(hours="Work min"), said(hours=lambda v: str(_minutes(v)))),
    "labor minutes": both(head(hours="Labor minutes"), said(hours=lambda v: str(_minutes(v)))),
    "clock": said(hours=lambda v: f"{_minutes(v) // 60}:{_minutes(v) % 60:02}"),
    "clock seconds": said(hours=lambda v: f"{_minutes(v) // 60:02}:{_minutes(v) % 60:02}:00"),
    "clock h": said(hours=lambda v: f"{_minutes(v) // 60}:{_minutes(v) % 60:02} h"),
    "h and m": said(hours=lambda v: f"{_minutes(v) // 60}h {_minutes(v) % 60}m"),
    "h30": said(hours=lambda v: f"{_minutes(v) // 60}h{_minutes(v) % 60:02}"),
    "duration": said(hours=lambda v: f"PT{_minutes(v) // 60}H{_minutes(v) % 60}M"),
    "day fraction": said(hours=lambda v: f"{float(v) / 24:.10g}"),
    "day fraction rounded": said(hours=lambda v: f"{float(v) / 24:.4f}"),
    "h.mm": said(hours=lambda v: f"{_minutes(v) // 60}.{_minutes(v) % 60:02}"),
    "h.mm heading": both(
        head(hours="Time h.mm"), said(hours=lambda v: f"{_minutes(v) // 60}.{_minutes(v) % 60:02}")
    ),
    "minutes under hours": said(hours=lambda v: str(_minutes(v))),
    "hrs": said(hours=lambda v: f"{v:f} hrs"),
    "fractions": said(hours=lambda v: f"{int(v) or ''}{('', '¼', '½', '¾')[int(v % 1 * 4)]}"),
    "spelled fractions": said(
        hours=lambda v: f"{int(v)}{('', ' 1/4', ' 1/2', ' 3/4')[int(v % 1 * 4)]}"
    ),
    "comma": said(hours=lambda v: f"{v:f}".replace(".", ",")),
}
AGE_FORMS: dict[str, Form] = {
    "months heading": both(head(age="Age (months)"), said(age=lambda v: f"{v * 12:.0f}")),
    "months": both(head(age="Months"), said(age=lambda v: f"{v * 12:.0f}")),
    "months old": both(head(age="Months old"), said(age=lambda v: f"{v * 12:.0f}")),
    "age in months": both(head(age="Age in months"), said(age=lambda v: f"{v * 12:.0f}")),
    "months under age": said(age=lambda v: f"{v * 12:.0f}"),
    "mo": said(age=lambda v: f"{v * 12:.0f} mo"),
    "yrs": said(age=lambda v: f"{v:f} yrs"),
    "y m": said(age=lambda v: f"{int(v)}y {v % 1 * 12:.0f}m"),
    "comma": said(age=lambda v: f"{v:f}".replace(".", ",")),
    "about": said(age=lambda v: f"~{v:f}"),
}
MILE_FORMS: dict[str, Form] = {
    "km heading": both(head(miles="Km"), said(miles=lambda v: f"{v * Decimal('1.609344'):.1f}")),
    "kilometers": both(
        head(miles="Kilometers"), said(miles=lambda v: f"{v * Decimal('1.609344'):.1f}")
    ),
    "distance km": both(
        head(miles="Distance (km)"), said(miles=lambda v: f"{v * Decimal('1.609344'):.1f}")
    ),
    "km behind": said(miles=lambda v: f"{v * Decimal('1.609344'):.1f} km"),
    "round trip brackets": both(head(miles="Miles (round trip)"), said(miles=lambda v: f"{v * 2}")),
    "round trip": both(head(miles="Round trip miles"), said(miles=lambda v: f"{v * 2}")),
    "there and back": both(head(miles="Miles there and back"), said(miles=lambda v: f"{v * 2}")),
    "both ways": both(head(miles="Miles (both ways)"), said(miles=lambda v: f"{v * 2}")),
    "mi": said(miles=lambda v: f"{v} mi"),
    "km round": both(
        head(miles="Km round trip"), said(miles=lambda v: f"{v * 2 * Decimal('1.609344'):.1f}")
    ),
}
WORD_FORMS: dict[str, Form] = {
    "yes no": both(head(outcome="Sold?"), said(words={"outcome": {
        "sold": "Y", "listed": "N", "scrapped": "N", "parted": "N"}})),
    "yes no under outcome": said(words={"outcome": {
        "sold": "Yes", "listed": "No", "scrapped": "No", "parted": "No"}}),
    "ticks": said(words={"outcome": {"sold": "✓", "listed": "", "scrapped": "✗", "parted": "✗"}}),
    "x": both(head(outcome="Sold"), said(words={"outcome": {
        "sold": "x", "listed": "", "scrapped": "", "parted": ""}})),
    "true false": said(words={"outcome": {
        "sold": "TRUE", "listed": "FALSE", "scrapped": "FALSE", "parted": "FALSE"}}),
    "ones": said(words={"outcome": {"sold": "1", "listed": "0", "scrapped": "0", "parted": "0"}}),
    "closed pending": said(words={"outcome": {
        "sold": "closed", "listed": "open", "scrapped": "scrapped", "parted": "parts"}}),
    "pending": said(words={"outcome": {
        "sold": "done", "listed": "pending", "scrapped": "junked", "parted": "parted out"}}),
    "capitals": said(words={"outcome": {
        "sold": "SOLD", "listed": "LISTED", "scrapped": "SCRAP", "parted": "PARTED OUT"}}),
    "no outcome": cut("outcome"),
    "letters": said(words={"outcome": {"sold": "S", "listed": "L", "scrapped": "X",
                                       "parted": "P"}}),
    "German words": said(words={"outcome": {
        "sold": "verkauft", "listed": "inseriert", "scrapped": "verschrottet",
        "parted": "ausgeschlachtet"}}),
    "grades": said(words={"condition": {"good": "B", "fair": "C", "rough": "D", "like new": "A"}}),
    "types upper": said(words={"type": {name: name.upper() for name in _TYPES}}),
    "types short": said(words={"type": {"front-load washer": "front loader",
                                        "fridge": "refrigerator"}}),
}  # fmt: skip
EXTRA_FORMS: dict[str, Form] = {
    f"extras by {sign!r}": said(joined=sign)
    for sign in (" / ", "/", " + ", "+", " & ", ", ", ",", " | ", "|", ";", "\n")
}
BLANK_FORMS: dict[str, Form] = {
    f"blank {word!r}": said(blank=word)
    for word in ("-", "--", "n/a", "N/A", "nil", "none", "—", "?", "tbd", "#N/A", "null", "NaN",
                 "not yet", "x", "0", "0.00")
}  # fmt: skip
# ---- headings

_LANGUAGES: dict[str, tuple[str, ...]] = {  # in the order of HEADS
    "German": ("Nr", "Gerät", "Marke", "Alter", "Zustand", "Ausstattung", "Einkaufspreis",
               "Ersatzteile", "Stunden", "Meilen", "Gekauft am", "Inseriert am", "Wunschpreis",
               "Verkauft am", "Verkaufspreis", "Ergebnis", "Bemerkung"),
    "French": ("N°", "Appareil", "Marque", "Âge", "État", "Options", "Prix d'achat", "Pièces",
               "Heures", "Miles", "Date d'achat", "Date d'annonce", "Prix demandé",
               "Date de vente", "Prix de vente", "Résultat", "Remarques"),
    "Spanish": ("N.º", "Aparato", "Marca", "Edad", "Estado", "Extras", "Precio de compra",
                "Repuestos", "Horas", "Millas", "Fecha de compra", "Fecha de anuncio",
                "Precio pedido", "Fecha de venta", "Precio de venta", "Resultado", "Notas"),
    "Italian": ("N.", "Apparecchio", "Marca", "Età", "Stato", "Accessori", "Prezzo di acquisto",
                "Ricambi", "Ore", "Miglia", "Data di acquisto", "Data annuncio",
                "Prezzo richiesto", "Data di vendita", "Prezzo di vendita", "Esito", "Note"),
    "Dutch": ("Nr", "Apparaat", "Merk", "Leeftijd", "Staat", "Opties", "Inkoopprijs",
              "Onderdelen", "Uren", "Mijlen", "Gekocht op", "Geplaatst op", "Vraagprijs",
              "Verkocht op", "Verkoopprijs", "Resultaat", "Opmerkingen"),
    "Polish": ("Nr", "Urządzenie", "Marka", "Wiek", "Stan", "Wyposażenie", "Cena zakupu",
               "Części", "Godziny", "Mile", "Data zakupu", "Data ogłoszenia", "Cena wywoławcza",
               "Data sprzedaży", "Cena sprzedaży", "Wynik", "Uwagi"),
    "Portuguese": ("N.º", "Aparelho", "Marca", "Idade", "Estado", "Extras", "Preço de compra",
                   "Peças", "Horas", "Milhas", "Data de compra", "Data do anúncio",
                   "Preço pedido", "Data de venda", "Preço de venda", "Resultado", "Notas"),
}  # fmt: skip


def _named(names: tuple[str, ...]) -> Form:
    return head(**dict(zip(HEADS, names, strict=True)))


def _styled(style: Callable[[str], str]) -> Form:
    def put(sheet: Sheet) -> None:
        sheet.heads = {name: style(text) for name, text in sheet.heads.items()}

    return put


def _numbered(sheet: Sheet) -> None:
    sheet.heads = {
        name: f"{at}. {text}" for at, (name, text) in enumerate(sheet.heads.items(), start=1)
    }


HEAD_FORMS: dict[str, Form] = {
    **{f"in {name}": _named(names) for name, names in _LANGUAGES.items()},
    "upper": _styled(str.upper),
    "lower": _styled(str.lower),
    "snake": _styled(lambda text: text.lower().replace(" ", "_")),
    "camel": _styled(lambda text: text.title().replace(" ", "")),
    "colons": _styled(lambda text: f" {text}: "),
    "stars": _styled(lambda text: f"{text} *"),
    "line break": _styled(lambda text: text.replace(" ", "\n")),
    "numbered": _numbered,
    "money names": head(got="Bought", sold="Sold on", paid="Bought for", price="Sold for"),
    "bare": head(paid="Cost", price="Price", asked="Ask", sold="Date"),
    "asking in brackets": head(asked="Price (asking)", price="Price (got)"),
    "trade words": head(asked="Sticker", price="Got for it", outcome="What happened",
                        got="Picked up", listed="Put up", type="What is it"),
    "put up unknown": head(listed="Went up"),
    "unknown money": head(price="Haul"),
}  # fmt: skip


def _insert(name: str, heading: str, value: Callable[[int, Cells], str], first: bool) -> Form:
    """A further column, which is none of ours."""

    def put(sheet: Sheet) -> None:
        for at, row in enumerate(sheet.rows):
            row[name] = value(at, sheet.truth[at])
        others = sheet.heads
        sheet.heads = {name: heading, **others} if first else {**others, name: heading}

    return put


COLUMN_FORMS: dict[str, Form] = {
    "row numbers": _insert("x", "#", lambda at, unit: str(at + 1), True),
    "row numbers unheaded": _insert("x", "", lambda at, unit: str(at + 1), True),
    "lot": _insert("x", "Lot", lambda at, unit: f"L{at // 5}", True),
    "profit": _insert("x", "Profit", lambda at, unit: str(
        (unit["price"] or 0) - unit["paid"] - unit["parts"]), False),
    "time of sale": _insert("x", "Time", lambda at, unit: f"{9 + at % 9}:30", False),
    "year of sale": _insert("x", "Year", lambda at, unit: str(
        unit["sold"].year if unit["sold"] else ""), False),
    "month of sale": _insert("x", "Month", lambda at, unit: (
        f"{unit['sold']:%B}" if unit["sold"] else ""), False),
    "money under trip": _insert("x", "Trip", lambda at, unit: f"{at % 7 + 2}.50", False),
    "money under donor": _insert("x", "Donor", lambda at, unit: f"{at % 7 + 2}.50", False),
    "trailing": _insert("x", "", lambda at, unit: "", False),
    "phone": _insert("x", "Buyer phone", lambda at, unit: f"555-01{at % 100:02}", False),
    "days": _insert("x", "Days", lambda at, unit: str(
        (unit["sold"] - unit["got"]).days if unit["sold"] else ""), False),
    "numbers as text": lambda sheet: [  # type: ignore[func-returns-value, dict-item]
        row.update(unit=f'="{row["unit"]}"') for row in sheet.rows
    ],
    "numbers with point": lambda sheet: [  # type: ignore[func-returns-value, dict-item]
        row.update(unit=f"{row['unit']}.0") for row in sheet.rows
    ],
    "restarting numbers": lambda sheet: [  # type: ignore[func-returns-value, dict-item]
        row.update(unit=str(at % 40 + 1)) for at, row in enumerate(sheet.rows)
    ],
    "no numbers": cut("unit"),
    "other order": lambda sheet: setattr(
        sheet, "heads", dict(random.Random(7).sample(list(sheet.heads.items()), len(sheet.heads)))
    ),
    "few columns": cut("listed", "asked", "miles", "features", "condition"),
}  # fmt: skip
# ---- structure


def _sums(label: str, every: int | None, column: str = "type", money: bool = True) -> Form:
    """A line of sums under each month, or under everything."""

    def put(sheet: Sheet) -> None:
        def line(units: list[Cells]) -> Cells:
            row: Cells = {column: label}
            for name in MONEY if money else ():
                row[name] = sheet.money(sum((u[name] or Decimal(0) for u in units), Decimal(0)))
            return row

        if every is None:
            sheet.after.append(line(sheet.truth))
            return
        for last in range(every - 1, len(sheet.rows), every):
            sheet.between.setdefault(last, []).append(
                line(sheet.truth[last - every + 1 : last + 1])
            )

    return put


def _lines(every: int, *lines: dict[str, str]) -> Form:
    """The same lines after so many units."""

    def put(sheet: Sheet) -> None:
        for last in range(every - 1, len(sheet.rows), every):
            sheet.between.setdefault(last, []).extend(lines)

    return put


def _header_again(every: int) -> Form:
    def put(sheet: Sheet) -> None:
        for last in range(every - 1, len(sheet.rows) - 1, every):
            sheet.between.setdefault(last, []).append(AGAIN)

    return put


def _second_table(*lines: list[str]) -> Form:
    return lambda sheet: sheet.after.extend([[], *lines])


def _month_lines(sheet: Sheet) -> None:
    last = ""
    for at, unit in enumerate(sheet.truth):
        month = f"{unit['got']:%B %Y}"
        if at and month != last:
            sheet.between.setdefault(at - 1, []).append([month] + [""] * (len(sheet.heads) - 1))
        last = month


_SUM_WORDS = ("Total", "Subtotal", "Sum", "Summe", "Zwischensumme", "Gesamt", "Somme", "Sous-total",
              "Suma", "Razem", "Totale", "Totaal", "Итого", "合計", "All units", "March",
              "200 units", "Year end", "Grand total")  # fmt: skip
STRUCTURE_FORMS: dict[str, Form] = {
    **{f"{word} below": _sums(word, None) for word in _SUM_WORDS},
    **{f"{word} each 25": _sums(word, 25) for word in _SUM_WORDS},
    "total in number column": _sums("Total", 25, "unit"),
    "total in note": _sums("Total", 25, "note"),
    "sum in maker": _sums("Suma", 20, "maker"),
    "unnamed sums": _sums("", 25),
    "month lines": _month_lines,
    "carried forward": _lines(40, {"type": "Carried forward", "price": "4210.00"},
                              {"type": "Brought forward", "price": "4210.00"}),
    "Übertrag": _lines(40, {"type": "Übertrag", "price": "4210.00"}),
    "blank lines": _lines(10, {}),
    "remarks": _lines(30, {"type": "truck was in the shop this week"}),
    "remarks in number": _lines(30, {"unit": "from here on new prices"}),
    "stars": _lines(25, {"type": "*****"}),
    "dashes": _lines(25, dict.fromkeys(HEADS, "----")),
    "header again": _header_again(50),
    "preamble": lambda sheet: sheet.before.extend([["My units"], ["as of", "Nov 2026"], []]),
    "long preamble": lambda sheet: sheet.before.extend([["line", str(i)] for i in range(12)]),
    "second table money": _second_table(
        ["Month", "Sales", "Spent"], ["Jan", "410.00", "120.00"], ["Feb", "380.00", "90.00"]),
    "second table prices": _second_table(
        ["Type", "Price"], ["dryer", "150"], ["washer", "180"], ["gas range", "220"]),
    "second table tools": _second_table(
        ["Tool", "Paid", "Date"], ["Meter", "45.00", "2024-03-01"], ["Drill", "80.00",
                                                                     "2024-05-01"]),
    "summary": _second_table(["Total sales", "9999"], ["Units", "200"], ["Average", "149"]),
    "footer": _second_table(["Printed on 2026-11-20", "", "page 1 of 1"]),
    "sections": _lines(40, {"unit": "2024 units"}),
}  # fmt: skip
# ---- the second time


def _repeated(sheet: Sheet) -> None:
    for at in range(0, N, 20):
        sheet.between.setdefault(at, []).append(sheet.rows[at])


def _repeated_below(sheet: Sheet) -> None:
    sheet.after += sheet.rows[:20]


def _corrected(column: str, move: Callable[[Sheet, Any], str], every: int = 20) -> Form:
    """Added once with other cells, then as it is."""

    def put(sheet: Sheet) -> None:
        sheet.first = [dict(row) for row in sheet.rows]
        for at in range(0, N, every):
            if (value := sheet.truth[at][column]) is not None:
                sheet.first[at][column] = move(sheet, value)

    return put


def _before(sheet: Sheet, rows: list[Cells]) -> None:
    sheet.first = [dict(row) for row in rows]


def _day_on(sheet: Sheet, day: date) -> str:
    return sheet.day(day + timedelta(days=1))


_MOVES: dict[str, Form] = {
    "sold a day on": _corrected("sold", _day_on),
    "got a day on": _corrected("got", _day_on),
    "price up": _corrected("price", lambda sheet, value: sheet.money(value + 5)),
    "parts up": _corrected("parts", lambda sheet, value: sheet.money(value + 5)),
    "another age": _corrected("age", lambda sheet, value: (sheet.age or sheet.number)(value + 1)),
}
AGAIN_FORMS: dict[str, Form] = {
    "row twice": _repeated,
    "rows again below": _repeated_below,
    "same file": lambda sheet: _before(sheet, sheet.rows),
    "grown": lambda sheet: _before(sheet, sheet.rows[:150]),
    "shuffled": lambda sheet: _before(sheet, random.Random(3).sample(sheet.rows, N)),
    **_MOVES,
    **{f"{name}, no numbers": both(cut("unit"), form) for name, form in _MOVES.items()},
    "same file, no numbers": both(cut("unit"), lambda sheet: _before(sheet, sheet.rows)),
    "grown, no numbers": both(cut("unit"), lambda sheet: _before(sheet, sheet.rows[:150])),
}
# ---- the file

_TEXTS: dict[str, tuple[str, ...]] = {
    "Czech": ("Pračka žluté řady", "dvířka čistá", "šňůra vyměněna", "těsnění děravé"),
    "Polish": ("Pralka łódzka", "suszarka zużyta", "część wymieniona", "pęknięta śruba"),
    "Hungarian": ("Mosógép őrült", "szárító tűző", "új tömítés", "jó állapotú"),
    "Russian": ("Стиральная машина", "сушилка чистая", "новый ремень", "дверца помята"),
    "Ukrainian": ("Пральна машина", "ціна їхня", "новий ремінь", "дверцята м'яті"),
    "German": ("Gerät geprüft", "Tür schließt schlecht", "Schläuche neu", "über Köln geholt"),
    "French": ("Châssis réparé", "sèche très bien", "été à Besançon", "pièce changée"),
    "Spanish": ("Señal débil", "cañería nueva", "jabón añadido", "año pasado"),
    "Portuguese": ("Máquina limpa", "peça não original", "portão arrumado", "ótimo estado"),
    "Swedish": ("Tvättmaskin på vinden", "dörren är sned", "hög ljudnivå", "köpt i Malmö"),
    "Greek": ("Πλυντήριο καθαρό", "νέος ιμάντας", "πόρτα χτυπημένη", "στεγνωτήριο παλιό"),
    "Turkish": ("Çamaşır makinesi", "kapağı değişti", "yeni kayış", "gürültülü çalışıyor"),
    "Lithuanian": ("Skalbyklė šviesi", "džiovyklė gerą", "naują diržą", "durelės švarūs"),
    "Latvian": ("Veļas mašīna", "žāvētājs tīrs", "jauna siksna", "durvis ieliektas"),
    "Japanese": ("洗濯機 きれい", "乾燥機 ベルト交換", "冷蔵庫 扉へこみ", "食洗機 新品同様"),
    "Chinese": ("洗衣机 干净", "烘干机 换皮带", "冰箱 门凹陷", "洗碗机 几乎全新"),
}
_IN: dict[str, tuple[str, ...]] = {
    "Czech": ("cp1250", "iso8859-2", "cp852"), "Polish": ("cp1250", "iso8859-2"),
    "Hungarian": ("cp1250", "iso8859-2"), "Russian": ("cp1251", "koi8-r", "cp866"),
    "Ukrainian": ("cp1251",), "German": ("cp1252", "cp850", "mac_roman"),
    "French": ("cp1252", "cp850", "mac_roman", "iso8859-15"), "Spanish": ("cp1252", "mac_roman"),
    "Portuguese": ("cp1252", "cp850"), "Swedish": ("cp1252", "cp850"),
    "Greek": ("cp1253", "iso8859-7"), "Turkish": ("cp1254", "iso8859-9"),
    "Lithuanian": ("cp1257",), "Latvian": ("cp1257",), "Japanese": ("shift_jis", "euc_jp"),
    "Chinese": ("gbk", "gb18030"),
}  # fmt: skip


def _alphabet(language: str, encoding: str) -> Form:
    def write(text: str) -> bytes:
        return text.encode(encoding, "replace")

    return said(texts=_TEXTS[language], write=write)


def _saved_wrongly(language: str, as_: str) -> Form:
    def write(text: str) -> bytes:
        raw = text.encode()
        wrong = "".join(bytes([byte]).decode(as_, "ignore") or chr(byte) for byte in raw)
        return wrong.encode()

    return said(texts=_TEXTS[language], write=write)


ALPHABET_FORMS: dict[str, Form] = {
    **{
        f"{language} {encoding}": _alphabet(language, encoding)
        for language, encodings in _IN.items()
        for encoding in encodings
    },
    **{f"{language} utf-8": _alphabet(language, "utf-8") for language in ("Greek", "Japanese")},
    **{f"{language} utf-8-sig": _alphabet(language, "utf-8-sig") for language in ("Czech",)},
    **{f"{language} utf-16": _alphabet(language, "utf-16") for language in ("French", "Chinese")},
    "Russian utf-16 big": said(
        texts=_TEXTS["Russian"], write=lambda text: ("\ufeff" + text).encode("utf-16-be")
    ),
    "German utf-16 unmarked": _alphabet("German", "utf-16-le"),
    **{
        f"{language} saved wrongly": _saved_wrongly(language, "cp1252")
        for language in ("French", "German", "Spanish", "Swedish", "Czech", "Polish")
    },
    "Russian saved wrongly": _saved_wrongly("Russian", "cp1251"),
}
FILE_FORMS: dict[str, Form] = {
    "semicolons": said(delimiter=";"),
    "tabs": said(delimiter="\t"),
    "pipes": said(delimiter="|"),
    "carets": said(delimiter="^"),
    "colons": said(delimiter=":"),
    "quoted": said(quoting=csv.QUOTE_ALL),
    "quoted semicolons": said(quoting=csv.QUOTE_ALL, delimiter=";"),
    "sep line": said(last="sep=;\r\n", delimiter=";"),
    "Unix": said(line_end="\n"),
    "old Mac": said(line_end="\r"),
    "blank lines between": said(line_end="\r\n\r\n"),
    "end mark": said(line_end="\n", write=lambda text: text.encode() + b"\x1a"),
}


# ---- workbooks


def _cell(value: Any) -> str:
    if isinstance(value, tuple):  # (kind, text)
        kind, text = value
        if kind == "error":
            return f'<c t="e"><v>{text}</v></c>'
        if kind == "true":
            return f'<c t="b"><v>{text}</v></c>'
        return f'<c s="{kind}"><v>{text}</v></c>'
    if isinstance(value, date):
        return f'<c s="1"><v>{(value - date(1899, 12, 30)).days}</v></c>'
    if isinstance(value, int | float | Decimal):
        return f"<c><v>{value}</v></c>"
    return f'<c t="inlineStr"><is><t>{escape(str(value))}</t></is></c>' if value else "<c/>"


Tabs = list[tuple[str, list[list[Any]], str]]  # name, rows, its state


def write_book(path: Path, tabs: Tabs, since_1904: bool = False) -> None:
    """A minimal workbook (ECMA-376); style 1 is a date, 2 a time."""
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    doc = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
    pack = "http://schemas.openxmlformats.org/package/2006"
    since = '<workbookPr date1904="1"/>' if since_1904 else ""
    sheets = "".join(
        f'<sheet name="{escape(name)}" sheetId="{i}" r:id="r{i}"{state and f" state={state!r}"}/>'
        for i, (name, _, state) in enumerate(tabs, 1)
    )
    links = "".join(
        f'<Relationship Id="r{i}" Type="{doc}/worksheet" Target="worksheets/sheet{i}.xml"/>'
        for i in range(1, len(tabs) + 1)
    )
    parts = {
        "[Content_Types].xml": f'<Types xmlns="{pack}/content-types"><Default Extension="xml"'
        ' ContentType="application/xml"/><Default Extension="rels"'
        ' ContentType="application/vnd.openxmlformats-package.relationships+xml"/></Types>',
        "_rels/.rels": f'<Relationships xmlns="{pack}/relationships"><Relationship Id="r1"'
        f' Type="{doc}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        "xl/workbook.xml": f'<workbook xmlns="{main}" xmlns:r="{doc}">'
        f"{since}<sheets>{sheets}</sheets></workbook>",
        "xl/_rels/workbook.xml.rels": f'<Relationships xmlns="{pack}/relationships">{links}'
        f'<Relationship Id="s" Type="{doc}/styles" Target="styles.xml"/></Relationships>',
        "xl/styles.xml": f'<styleSheet xmlns="{main}"><cellXfs count="3"><xf numFmtId="0"/>'
        '<xf numFmtId="14" applyNumberFormat="1"/><xf numFmtId="20" applyNumberFormat="1"/>'
        "</cellXfs></styleSheet>",
    }
    for i, (_, rows, _state) in enumerate(tabs, 1):
        body = "".join("<row>" + "".join(map(_cell, row)) + "</row>" for row in rows)
        parts[f"xl/worksheets/sheet{i}.xml"] = (
            f'<worksheet xmlns="{main}"><sheetData>{body}</sheetData></worksheet>'
        )
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in parts.items():
            archive.writestr(name, text)


def _typed(sheet: Sheet, epoch: date | None = None, **kinds: Callable[[Any], Any]) -> list[Cells]:
    """The rows with numbers and days as a workbook holds them."""
    out = []
    for unit, row in zip(sheet.truth, sheet.rows, strict=True):
        typed = dict(row)
        for name in (*MONEY, *DAYS, "age", "hours", "miles"):
            value = unit[name]
            if value is not None:
                kind = kinds.get(name) or (kinds.get("day") if name in DAYS else None)
                typed[name] = kind(value) if kind else value
                if epoch is not None and name in DAYS:
                    typed[name] = (1, (value - epoch).days)
        out.append(typed)
    return out


def _book(*tabs: Callable[[Sheet], tuple[str, list[list[Any]], str]], **kinds: Any) -> Form:
    """A workbook: `tabs` give its sheets; the list itself where they are None."""
    since_1904, epoch = kinds.pop("since_1904", False), kinds.pop("epoch", None)

    def save(sheet: Sheet, path: Path) -> None:
        sheet.rows = _typed(sheet, epoch, **kinds)
        write_book(path, [tab(sheet) for tab in tabs], since_1904)

    return said(book=save)


def _list(sheet: Sheet) -> tuple[str, list[list[Any]], str]:
    return "Units", sheet.lines(), ""


def _hidden(sheet: Sheet) -> tuple[str, list[list[Any]], str]:
    return "Old", sheet.lines(sheet.rows[:30]), "hidden"


def _copy(sheet: Sheet) -> tuple[str, list[list[Any]], str]:
    old = [
        {**row, "price": unit["price"] + 7 if unit["price"] else row["price"]}
        for unit, row in zip(sheet.truth[:40], sheet.rows[:40], strict=True)
    ]
    return "Units (2)", sheet.lines(old), ""


def _prices(sheet: Sheet) -> tuple[str, list[list[Any]], str]:
    return "Prices", [["Type", "Price"], ["dryer", 150], ["washer", 180], ["gas range", 220]], ""


def _readme(sheet: Sheet) -> tuple[str, list[list[Any]], str]:
    return "Read me", [["How I use this sheet"], ["one line for each unit"]], ""


def _year(year: int) -> Callable[[Sheet], tuple[str, list[list[Any]], str]]:
    def tab(sheet: Sheet) -> tuple[str, list[list[Any]], str]:
        rows = [
            row for row, u in zip(sheet.rows, sheet.truth, strict=True) if u["got"].year == year
        ]
        return str(year), sheet.lines(rows), ""

    return tab


_YEARS = tuple(map(_year, (2023, 2024, 2025, 2026)))
BOOK_FORMS: dict[str, Form] = {
    "plain book": _book(_list),
    "hidden first": _book(_hidden, _list),
    "old copy behind": _book(_list, _copy),
    "old copy first": _book(_copy, _list),
    "price list first": _book(_prices, _list),
    "read me first": _book(_readme, _list),
    "a sheet a year": _book(*_YEARS),
    "years and prices": _book(_prices, *_YEARS),
    "hours as times": _book(_list, hours=lambda v: (2, f"{float(v) / 24:.12g}")),
    "hours as fractions": _book(_list, hours=lambda v: (0, f"{float(v) / 24:.12g}")),
    "days unformatted": _book(_list, day=lambda v: (0, (v - date(1899, 12, 30)).days)),
    "1904": _book(_list, since_1904=True, epoch=date(1904, 1, 1)),
    "1904 unformatted": _book(
        _list, since_1904=True, day=lambda v: (0, (v - date(1904, 1, 1)).days)
    ),
    "half turned": _book(
        _list,
        day=lambda v: date(v.year, v.day, v.month) if v.day <= 12 else f"{v:%d/%m/%Y}",
    ),
    "errors in parts": _book(
        _list, parts=lambda v: ("error", "#N/A") if v == Decimal("18.99") else v
    ),
    "errors in price": _book(
        _list, price=lambda v: ("error", "#REF!") if v > 900 else v
    ),
    "texts": said(book=lambda sheet, path: write_book(path, [_list(sheet)])),
}  # fmt: skip
GROUPS: dict[str, dict[str, Form]] = {
    "alphabet": ALPHABET_FORMS,
    "file": FILE_FORMS,
    "money": MONEY_FORMS,
    "dates": DATE_FORMS,
    "hours": HOUR_FORMS,
    "ages": AGE_FORMS,
    "distances": MILE_FORMS,
    "headings": HEAD_FORMS,
    "columns": COLUMN_FORMS,
    "structure": STRUCTURE_FORMS,
    "words": WORD_FORMS,
    "extras": EXTRA_FORMS,
    "blanks": BLANK_FORMS,
    "repetition": AGAIN_FORMS,
    "workbook": BOOK_FORMS,
}
_CHOICE = ("headings", "alphabet", "file", "money", "dates", "hours", "ages", "distances", "words",
           "extras", "blanks")  # fmt: skip
_WRITTEN = {"alphabet", "file", "dates", "money", "hours", "ages", "distances", "repetition"}
Dress = tuple[tuple[str, str], ...]  # (group, form)


def dresses(n_mixed: int = 500, n_more: int = 100) -> list[Dress]:
    """Each form alone, then so many mixtures of two to five forms of different groups; the forms of
    `dresses_by_hand` after them."""
    from dresses_by_hand import MORE

    first = {group: forms for group, forms in GROUPS.items() if not group.startswith("more ")}
    GROUPS.update({f"more {group}": forms for group, forms in MORE.items()})
    more = {group: forms for group, forms in GROUPS.items() if group not in first}
    return _of(first, n_mixed, "dresses") + _of(more, n_more, "by hand")


def _of(groups: dict[str, dict[str, Form]], n_mixed: int, seed: str) -> list[Dress]:
    alone: list[Dress] = [((group, name),) for group, forms in groups.items() for name in forms]
    chance = random.Random(seed)
    mixed: list[Dress] = []
    while len(mixed) < n_mixed:
        some = chance.sample(list(groups), chance.randrange(2, 6))
        if "workbook" in some and _WRITTEN & {*some}:
            continue  # a workbook's cells are typed
        mixed.append(tuple((group, chance.choice(list(groups[group]))) for group in some))
    return alone + mixed


def dressed(dress: Dress) -> Sheet:
    """The ledger in that dress."""
    sheet = Sheet()
    forms = dict(dress)
    for group in (*_CHOICE, *(f"more {group}" for group in _CHOICE)):
        if group in forms:
            GROUPS[group][forms[group]](sheet)
    if sheet.day is None:
        sheet.day = date.isoformat
        sheet.fill()
        for unit, row in zip(sheet.truth, sheet.rows, strict=True):
            row["got"] = f"{unit['got']:%d/%m/%Y}"
            row["sold"] = f"{unit['sold']:%m/%d/%Y}" if unit["sold"] else row["sold"]
    else:
        sheet.fill()
    for group in (
        "columns",
        "more columns",
        "structure",
        "more structure",
        "repetition",
        "workbook",
    ):
        if group in forms:
            GROUPS[group][forms[group]](sheet)
    return sheet


# ---- what became of it

SAME, LOUD, SILENT = "same", "loud", "silent"
_COMPARED = tuple(name for name in HEADS if name not in ("unit", "note"))


def became(dress: Dress, folder: Path) -> tuple[str, list[str]]:
    """(SAME, LOUD or SILENT, what differs) of one dress, added to an empty record."""
    from pricing.basis.home import Home
    from pricing.basis.problems import Refused
    from pricing.basis.settings import Settings
    from pricing.pipeline.adding import add
    from pricing.record.current import read_current

    sheet = dressed(dress)
    home = Home(folder / "home")
    added = []
    try:
        for path in sheet.save(folder):
            added.append(add(home, path, Settings(), TODAY))
    except Refused as refused:
        return LOUD, [str(refused)]
    told = Told(sheet, added)
    found: dict[str, list[Cells]] = {}
    for row in read_current(home).to_pylist():
        found.setdefault((row["note"] or "")[:4], []).append(row)
    differs: list[tuple[bool, str]] = []
    for unit in sheet.truth:
        rows = found.pop(unit["note"][:4], [])
        if not rows:
            differs.append((told.missing(unit["note"][:4]), f"{unit['note']} is missing"))
            continue
        for row in rows[1:]:
            differs.append((told.twice(row["line"]), f"{unit['note']} twice"))
        row = rows[-1]
        for name in _COMPARED:
            if name in sheet.heads and not _equal(name, unit[name], row):
                what = f"{unit['note']} {name}: {unit[name]} became {row[name]}"
                differs.append((told.of(name, row["line"]), what))
        if row["note"] != unit["note"]:
            differs.append((told.of("note", row["line"]), f"{unit['note']!r} as {row['note']!r}"))
    for rows in found.values():
        for row in rows:
            kind = f"line {row['line']}: {row['type']} {row['price']} is no unit"
            differs.append((told.line(row["line"]), kind))
    if not differs:
        return SAME, []
    silent = [what for known, what in differs if not known]
    return (SILENT, silent) if silent else (LOUD, [what for _, what in differs])


def _equal(name: str, value: Any, row: Cells) -> bool:
    found = row[name]
    if name == "features":
        return sorted(filter(None, (found or "").split("; "))) == value
    if name == "hours":
        minutes = [row[one] for one in ("drive_min", "diagnose_min", "repair_min") if row[one]]
        found = (found or 0) + sum(minutes) / 60 if found is not None or minutes else None
    if value is None or found is None:
        return value is None and found is None
    if name in ("hours", "age", "miles"):
        return abs(float(found) - float(value)) < 0.06
    if name == "asked":
        return Decimal(re.split("[:;]", str(found))[-1].strip()) == value
    if name == "maker":
        return str(found).casefold() == str(value).casefold()
    return bool(found == value)


class Told:
    """What the answers to a sheet say: of a line, of a column, of a unit that is missing."""

    def __init__(self, sheet: Sheet, added: list[Any]) -> None:
        self.sheet = sheet
        last = added[-1]
        self.notes = [note for one in added for note in one.notes]
        self.questions = [question for one in added for question in one.reading.questions]
        self.rows = [(note.line, note.column) for note in last.row_notes]
        self.asked = {line for question in self.questions for line in question.lines}
        self.turned = [" ".join(map(str, row.cells)) for one in added for row in one.rejected]
        self.texts = [
            *(f"{note.what} {note.fix or ''}" for note in self.notes),
            *(f"{question.text} {' '.join(question.options)}" for question in self.questions),
        ]

    def missing(self, code: str) -> bool:
        if any(code in text for text in self.turned):
            return True
        return any("sheet" in text and "not read" in text for text in self.texts)

    def line(self, line: int) -> bool:
        return line in self.asked or any(at == line for at, _ in self.rows)

    def twice(self, line: int) -> bool:
        return self.line(line) or any("same unit" in text for text in self.texts)

    def of(self, name: str, line: int) -> bool:
        heading = self.sheet.heads[name].strip()
        if self.sheet.book is None:  # as the file's alphabet has it
            lost = {sign for sign in heading if self.sheet.write(sign) == b"?"}
            heading = "".join("?" if sign in lost else sign for sign in heading)
        # a heading may stand below another one: "sold" below "Date" is told as "Date sold"
        if line in self.asked or any(
            at == line and (column is None or column.endswith(heading)) for at, column in self.rows
        ):
            return True
        columns = {note.column for note in self.notes}
        words = {"note": ("alphabet", "encoding"), "maker": ("alphabet", "encoding")}.get(name, ())
        words = ("dates", "--date-order") if name in DAYS else words
        words = ("outcome",) if name == "outcome" else words
        if name in ("parts", "price") and any("hold an error" in text for text in self.texts):
            return True
        return heading in columns or any(
            f"'{heading}'" in text
            or f'"{heading}"' in text
            or ("columns I do not know" in text and f" {heading}" in text)
            or any(word in text for word in words)
            for text in self.texts
        )


def each(some: list[Dress], folder: Path) -> Iterator[tuple[Dress, str, list[str]]]:
    for at, dress in enumerate(some):
        place = folder / str(at)
        place.mkdir()
        yield dress, *became(dress, place)
