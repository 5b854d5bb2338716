"""Eighteen invented ledgers in the dresses that people, programs and phones give them, most written
without a look at the reader: 248 sheets, each with what is true of it. `python tests/strange_dresses.py`
counts what becomes of them (and with a name: shows that dress, its table and what differs)."""

from __future__ import annotations

import csv
import html
import io
import random
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from dresses import write_book

TODAY = date(2026, 11, 26)
Cells = dict[str, Any]
DAYS, MONEY = ("got", "listed", "sold"), ("paid", "parts", "asked", "price", "refund", "fees")
NUMBERS = ("age", "hours", "miles")
SAME, TOLD, WRONG, SILENT = "same", "told", "told, wrong value kept", "SILENT"


@dataclass(frozen=True)
class Ledger:
    """How one person keeps a list: n units, headings by our columns, words, and how it writes."""

    n: int
    heads: dict[str, str]
    types: dict[str, str]  # ours: theirs
    words: dict[str, str]
    makers: tuple[str, ...]
    day: str = "%Y-%m-%d"
    money: str = "{:.2f}"
    decimal: str = "."
    sep: str = ","
    enc: str = "utf-8"
    currency: str = "USD"
    distance: str = "mi"
    remarks: tuple[str, ...] = ("", "from the alley", "two stairs", "seller's kid helped")
    grain: str = "5"


def _heads(names: str, texts: str) -> dict[str, str]:
    return dict(zip(names.split(), texts.split("|"), strict=True))


_ALL = (
    "unit type maker age condition got paid parts listed asked sold price hours miles outcome note"
)
_US = ("washer", "front-load washer", "electric dryer", "gas dryer", "fridge", "dishwasher",
       "electric range", "chest freezer")  # fmt: skip
_OUT = ("sold", "listed", "in work", "scrapped", "parted", "kept")


def _pair(ours: tuple[str, ...], theirs: str) -> dict[str, str]:
    return dict(zip(ours, theirs.split("|"), strict=True))


LEDGERS = {
    "bay": Ledger(120, _heads(_ALL, "No.|Appliance|Brand|Age|Cond|Picked up|Paid|Parts|Posted|Ask|"
                  "Sold on|Sold for|Hrs|Miles|Status|Notes"), {t: t for t in _US},
                  {o: o for o in _OUT}, ("Norvane", "Halden", "Quillby", "Ostrand"),
                  day="%m/%d/%Y", money="${:.2f}"),
    "mews": Ledger(70, _heads(_ALL, "Ref|Item|Make|Age (yrs)|Condition|Collected|Cost|Spares|"
                   "Advertised|Asking|Date sold|Sold price|Hours|Miles|Outcome|Remarks"),
                   _pair(_US, "washing machine|front-loader|tumble dryer|gas tumble dryer|fridge|"
                         "dishwasher|electric cooker|chest freezer"),
                   {o: o for o in _OUT}, ("Pellow", "Tarn & Co", "Wickstead"),
                   day="%d/%m/%Y", money="£{:.2f}", currency="GBP"),
    "tor": Ledger(90, _heads(_ALL, "Nr.|Gerät|Hersteller|Alter|Zustand|Gekauft am|Einkauf|Teile|"
                  "Inseriert am|Angebotspreis|Verkauft am|Verkaufspreis|Stunden|km|Status|Bemerkung"),
                  _pair(_US, "Waschmaschine|Frontlader|Trockner|Gastrockner|Kühlschrank|"
                        "Geschirrspüler|Elektroherd|Gefriertruhe"),
                  _pair(_OUT, "verkauft|inseriert|in Arbeit|verschrottet|ausgeschlachtet|behalten"),
                  ("Grönfeld", "Übbing", "Kastell"), day="%d.%m.%Y", money="{:.2f} €", decimal=",",
                  sep=";", enc="cp1252", currency="EUR", distance="km",
                  remarks=("", "Tür quietscht", "Käufer holt ab", "schöner Zustand")),
    "rue": Ledger(60, _heads(_ALL, "N°|Appareil|Marque|Âge|État|Acheté le|Prix d'achat|Pièces|"
                  "Mis en vente|Prix demandé|Vendu le|Prix de vente|Heures|Km|Statut|Remarques"),
                  _pair(_US, "lave-linge|lave-linge hublot|sèche-linge|sèche-linge gaz|réfrigérateur|"
                        "lave-vaisselle|cuisinière électrique|congélateur coffre"),
                  _pair(_OUT, "vendu|en vente|en réparation|mis à la casse|pour pièces|gardé"),
                  ("Valmorel", "Été Bleu", "Corvaz"), day="%d/%m/%Y", money="{:.2f} €", decimal=",",
                  sep=";", currency="EUR", distance="km",
                  remarks=("", "porte abîmée", "très propre", "chez la voisine")),
    "sol": Ledger(50, _heads(_ALL, "Núm.|Aparato|Marca|Años|Estado|Comprado|Costo|Refacciones|"
                  "Publicado|Precio pedido|Vendido|Precio de venta|Horas|Km|Resultado|Notas"),
                  _pair(_US, "lavadora|lavadora de carga frontal|secadora eléctrica|secadora de gas|"
                        "refrigerador|lavavajillas|estufa eléctrica|congelador"),
                  _pair(_OUT, "vendido|en venta|en reparación|chatarra|para piezas|me lo quedé"),
                  ("Peñaloza", "Andarín", "Monteazul"), day="%d/%m/%Y", money="${:.2f}",
                  distance="km", remarks=("", "puerta dañada", "señora García", "ruidosa")),
    "most": Ledger(45, _heads(_ALL, "Lp.|Sprzęt|Marka|Wiek|Stan|Kupiono|Koszt|Części|Wystawiono|"
                   "Cena wywoławcza|Sprzedano|Cena sprzedaży|Godziny|km|Status|Uwagi"),
                   _pair(_US, "pralka|pralka ładowana od przodu|suszarka|suszarka gazowa|lodówka|"
                         "zmywarka|kuchnia elektryczna|zamrażarka"),
                   _pair(_OUT, "sprzedane|wystawione|w naprawie|złom|na części|zostaje"),
                   ("Żubrówek", "Śnieżnik", "Łukta"), day="%d.%m.%Y", money="{:.2f} zł", decimal=",",
                   sep=";", enc="cp1250", currency="PLN", distance="km",
                   remarks=("", "drzwi skrzypią", "piękny stan", "sąsiad przywiózł")),
    "zavod": Ledger(40, _heads(_ALL, "№|Техника|Марка|Возраст|Состояние|Куплено|Цена покупки|Запчасти|"
                    "Выставлено|Цена объявления|Продано|Цена продажи|Часы|км|Статус|Примечание"),
                    _pair(_US, "стиральная машина|стиральная машина фронтальная|сушильная машина|"
                          "газовая сушилка|холодильник|посудомоечная машина|электроплита|морозильник"),
                    _pair(_OUT, "продано|выставлено|в ремонте|металлолом|на запчасти|оставил себе"),
                    ("Вьюга", "Рассвет", "Тайга"), day="%d.%m.%Y", money="{:.0f} руб.", decimal=",",
                    sep=";", enc="cp1251", currency="RUB", distance="km", grain="500",
                    remarks=("", "дверь скрипит", "отличное состояние", "сосед помог")),
    "kiosk": Ledger(36, _heads(_ALL, "番号|品名|メーカー|年数|状態|購入日|購入価格|部品代|出品日|"
                    "希望価格|販売日|販売価格|時間|距離|結果|備考"),
                    _pair(_US, "洗濯機|ドラム式洗濯機|衣類乾燥機|ガス乾燥機|冷蔵庫|食洗機|"
                          "電気レンジ|冷凍庫"),
                    _pair(_OUT, "販売済|出品中|修理中|廃棄|部品取り|自家用"),
                    ("白雲", "松風", "北星"), day="%Y/%m/%d", money="¥{:,.0f}", enc="cp932",
                    currency="JPY", distance="km", grain="500",
                    remarks=("", "扉が重い", "とても綺麗", "隣の人から")),
    "phone": Ledger(30, _heads("type got paid sold price note",
                    "what|got it|gave|sold|for|stuff"), {t: t for t in _US}, {o: o for o in _OUT},
                    ("Norvane",), day="%b %d, %Y", money="{:.0f}", grain="5"),
}  # fmt: skip

# written after the reader was mended by the first nine
SECOND_LEDGERS = {
    "ita": Ledger(48, _heads(_ALL, "N.|Elettrodomestico|Marca|Età|Condizioni|Comprato il|Pagato|Ricambi|"
        "Messo in vendita il|Prezzo richiesto|Venduto il|Prezzo di vendita|Ore|Km|Esito|"
        "Note"),
        _pair(_US, "lavatrice|lavatrice a carica frontale|asciugatrice|asciugatrice a gas|"
        "frigorifero|lavastoviglie|cucina elettrica|congelatore a pozzo"),
        _pair(_OUT, "venduto|in vendita|in riparazione|rottamato|per ricambi|tenuto"),
        ("Perlisi", "Ghiaccio Blu", "Tòrrese"), day="%d/%m/%Y", money="€ {:.2f}", decimal=",",
        sep=";", currency="EUR", distance="km", remarks=("", "è bella",
        "porta rotta però pulita")),
    "ned": Ledger(48, _heads(_ALL, "Volgnr|Apparaat|Merk|Leeftijd|Staat|Gekocht op|Inkoop|Onderdelen|Te koop sinds|"
        "Vraagprijs|Verkocht op|Verkoopprijs|Uren|Km|Resultaat|Opmerkingen"),
        _pair(_US, "wasmachine|voorlader|droger|gasdroger|koelkast|vaatwasser|elektrisch fornuis|"
        "vrieskist"),
        _pair(_OUT, "verkocht|te koop|in reparatie|gesloopt|voor onderdelen|gehouden"),
        ("Waterlo", "Stoomveen"), day="%d-%m-%Y", money="€ {:.2f}", decimal=",", sep=";",
        currency="EUR", distance="km", remarks=("", "één kras", "zeer netjes")),
    "swe": Ledger(48, _heads(_ALL, "Nr|Maskin|Märke|Ålder|Skick|Köpt|Inköpspris|Delar|Annonserad|Begärt pris|Såld|"
        "Säljpris|Timmar|Km|Status|Anteckning"),
        _pair(_US, "tvättmaskin|frontmatad|torktumlare|gastumlare|kylskåp|diskmaskin|elspis|frysbox"),
        _pair(_OUT, "såld|annonserad|under reparation|skrotad|delar|behållen"),
        ("Norrsken", "Älvdal"), day="%Y-%m-%d", money="{:.0f} kr", currency="SEK", sep=";",
        distance="km", enc="cp1252", grain="50", remarks=("", "hämtad på vägen", "välskött")),
    "ces": Ledger(48, _heads(_ALL, "Č.|Spotřebič|Značka|Stáří|Stav|Koupeno|Nákupní cena|Díly|Vystaveno|"
        "Požadovaná cena|Prodáno|Prodejní cena|Hodiny|Km|Výsledek|Poznámka"),
        _pair(_US, "pračka|pračka s předním plněním|sušička|plynová sušička|lednička|myčka|"
        "elektrický sporák|mrazák"),
        _pair(_OUT, "prodáno|vystaveno|v opravě|sešrotováno|na díly|ponecháno"),
        ("Říčka", "Žižkov"), day="%d. %m. %Y", money="{:.0f} Kč", currency="CZK", sep=";",
        distance="km", enc="cp1250", grain="50", remarks=("", "pěkný kousek", "dveře vržou")),
    "por": Ledger(48, _heads(_ALL, "Nº|Aparelho|Marca|Idade|Estado|Comprado em|Preço de compra|Peças|Anunciado em|"
        "Preço pedido|Vendido em|Preço de venda|Horas|Km|Situação|Observações"),
        _pair(_US, "máquina de lavar|máquina frontal|secadora|secadora a gás|geladeira|lava-louças|"
        "fogão elétrico|freezer"),
        _pair(_OUT, "vendido|à venda|em reparo|sucata|para peças|guardado"),
        ("Jacarandá", "Ipê Frio"), day="%d/%m/%Y", money="R$ {:.2f}", decimal=",",
        currency="BRL", sep=";", distance="km", remarks=("", "porta não fecha",
        "ótimo estado")),
    "tur": Ledger(48, _heads(_ALL, "Sıra No|Cihaz|Marka|Yaşı|Kondisyon|Alış Tarihi|Alış Fiyatı|Parça|İlan Tarihi|"
        "İlan Fiyatı|Satış Tarihi|Satış Fiyatı|Saat|Mesafe|Sonuç|Notlar"),
        _pair(_US, "çamaşır makinesi|önden yüklemeli|kurutma makinesi|gazlı kurutma|buzdolabı|"
        "bulaşık makinesi|elektrikli fırın|derin dondurucu"),
        _pair(_OUT, "satıldı|satılık|tamirde|hurda|parça için|kendime"),
        ("Güneşli", "Çınar"), day="%d.%m.%Y", money="{:.2f} TL", decimal=",", currency="TRY",
        sep=";", distance="km", enc="cp1254", grain="50", remarks=("", "kapağı gıcırdıyor",
        "çok temiz")),
    "dane": Ledger(48, _heads(_ALL, "Nr|Apparat|Mærke|Alder|Tilstand|Købt|Købspris|Reservedele|Annonceret|Udbudspris|"
        "Solgt|Salgspris|Timer|Km|Status|Bemærkninger"),
        _pair(_US, "vaskemaskine|frontbetjent|tørretumbler|gastørrer|køleskab|opvaskemaskine|komfur|"
        "kummefryser"),
        _pair(_OUT, "solgt|til salg|til reparation|skrottet|til dele|beholdt"),
        ("Skærgård", "Østre"), day="%d-%m-%Y", money="{:.0f},-", currency="DKK", sep=";",
        distance="km", enc="cp1252", grain="50", remarks=("", "støjer", "meget pæn")),
    "shed": Ledger(64, _heads(_ALL, "ID|Machine|Make|How old|Shape|Brought home|What I gave|Bits|Ad went up|Wanted|"
        "Gone|Fetched|Time (h)|Drive mi|Where now|Scribbles"),
        {t: t for t in _US},
        {o: o for o in _OUT},
        ("Norvane", "Halden"), day="%m/%d/%y", money="{:.2f}"),
    "biz": Ledger(80, _heads(_ALL, "Stock ID|Product Category|Manufacturer|Age (Years)|Grade|Acquisition Date|"
        "Acquisition Cost (USD)|Repair Materials (USD)|Listing Date|Listing Price (USD)|"
        "Sale Date|Net Sale Price (USD)|Labor Hours|Distance (mi)|Disposition|Comments"),
        {t: t for t in _US},
        {o: o for o in _OUT},
        ("Norvane", "Quillby"), day="%Y-%m-%d", money="{:.2f}"),
}  # fmt: skip
LEDGERS |= SECOND_LEDGERS


def units_of(name: str) -> list[Cells]:
    """What is true of a ledger: mostly sold units over 2024 to 2026."""
    ledger, chance = LEDGERS[name], random.Random(f"strange {name}")
    out: list[Cells] = []
    step, grain = 960 // ledger.n, Decimal(ledger.grain)
    for i in range(ledger.n):
        got = date(2024, 1, 9) + timedelta(days=step * i + chance.randrange(step))
        listed = got + timedelta(days=chance.randrange(2, 16))
        sold = listed + timedelta(days=chance.randrange(1, 40))
        outcome = chance.choices(_OUT, (30, 0, 0, 2, 2, 0 if name == "phone" else 1))[0]
        if i >= ledger.n - 5 and name != "phone":
            outcome = chance.choice(("listed", "in work"))
        shown, gone = outcome in ("sold", "listed"), outcome in ("sold", "scrapped", "parted")
        if name == "phone":
            outcome, shown, gone = "sold", True, True
        price = grain * chance.randrange(14, 90)
        cents = Decimal(chance.choice((0, 0, 1249, 899, 2400, 3675))) / 100
        out.append({
            "unit": str(101 + i), "type": _US[chance.randrange(len(_US))],
            "maker": ledger.makers[chance.randrange(len(ledger.makers))],
            "age": Decimal(chance.randrange(1, 16)),
            "condition": chance.choice(("rough", "fair", "good", "like new")),
            "got": got, "paid": grain * chance.choice((0, 0, 2, 3, 4, 6, 8)),
            "parts": cents if grain == 5 else grain * int(cents) / 10,
            "listed": listed if shown else None,
            "asked": price + grain * chance.randrange(0, 9) if shown else None,
            "sold": sold if gone else None, "price": price if outcome == "sold" else None,
            "hours": Decimal(chance.randrange(2, 22)) / 4, "miles": Decimal(chance.randrange(2, 38)),
            "outcome": outcome, "note": f"{chance.choice(ledger.remarks)} q{i:03d}".strip(),
            "refund": None, "fees": None,
        })  # fmt: skip
    return out


@dataclass
class Table:
    """A sheet in the making. told_of: our columns that it carries; keys: the note codes by row."""

    ledger: Ledger
    truth: list[Cells]
    names: list[str]
    head: list[str]
    rows: list[list[str]]
    carried: set[str]
    of: dict[str, str]
    sep: str
    enc: str
    ext: str = "csv"
    eol: str = "\r\n"
    quoting: int = csv.QUOTE_MINIMAL
    front: str = ""
    before: list[list[str]] = field(default_factory=list)
    raw: Callable[[Table], bytes | str] | None = None
    book: Callable[[Table, Path], None] | None = None
    cells: list[Cells] = field(default_factory=list)  # each unit's cells as text, by our columns

    def col(self, name: str) -> int:
        return self.names.index(name)

    def cell(self, i: int, name: str) -> str:
        return str(self.cells[i].get(name, ""))

    def text(self) -> str:
        out = io.StringIO(newline="")
        lines = [*self.before, *([self.head] if self.head else []), *self.rows]
        csv.writer(out, delimiter=self.sep, quoting=self.quoting, lineterminator=self.eol,  # type: ignore[arg-type]
                   escapechar=None if self.quoting != csv.QUOTE_NONE else "\\").writerows(lines)  # fmt: skip
        return self.front + out.getvalue()

    def save(self, folder: Path) -> Path:
        path = folder / f"sheet.{self.ext}"
        if self.book:
            self.book(self, path)
        else:
            made = self.raw(self) if self.raw else self.text()
            path.write_bytes(made if isinstance(made, bytes) else made.encode(self.enc, "replace"))
        return path


Fmt = Callable[[Any, Cells], str]
Post = Callable[[Table], None]


@dataclass(frozen=True)
class Strange:
    name: str
    ledger: str
    heads: dict[str, str] = field(default_factory=dict)
    fmts: dict[str, Fmt] = field(default_factory=dict)  # by column, or "day", "money"
    drop: tuple[str, ...] = ()
    post: tuple[Post, ...] = ()
    opts: dict[str, Any] = field(default_factory=dict)
    n: int | None = None
    lost: tuple[str, ...] = ()  # columns that the dress no longer tells
    currency: str | None = None


def dressed(one: Strange) -> Table:
    ledger = LEDGERS[one.ledger]
    units = units_of(one.ledger)[: one.n]
    heads = {k: v for k, v in (ledger.heads | one.heads).items() if k not in one.drop}

    def write(name: str, unit: Cells) -> str:
        value = unit[name]
        kind = "day" if name in DAYS else "money" if name in MONEY else name
        fmt = one.fmts.get(name) or one.fmts.get(kind)
        if fmt:
            return fmt(value, unit)
        if value is None:
            return ""
        if kind == "day":
            return str(value.strftime(ledger.day))
        if kind == "money":
            return ledger.money.format(value).replace(".", ledger.decimal) if (
                ledger.decimal == "," and "руб" not in ledger.money) else ledger.money.format(value)  # fmt: skip
        if name in NUMBERS:
            return f"{value:f}".replace(".", ledger.decimal)
        return str({"type": ledger.types, "outcome": ledger.words}.get(name, {}).get(value, value))

    names = list(heads)
    rows = [[write(name, unit) for name in names] for unit in units]
    table = Table(ledger, units, names, list(heads.values()), rows, set(names) - set(one.lost),
                  dict(heads), ledger.sep, ledger.enc)  # fmt: skip
    for key, value in one.opts.items():
        setattr(table, key, value)
    table.cells = [dict(zip(names, row, strict=True)) for row in rows]
    for post in one.post:
        post(table)
    return table


# ---- how a value is written


def days(form: str, lower: bool = False, strip: bool = False) -> dict[str, Fmt]:
    def write(value: date | None, _: Cells) -> str:
        if value is None:
            return ""
        text = value.strftime(form)
        text = text.lstrip("0").replace("/0", "/").replace(" 0", " ") if strip else text
        return text.lower() if lower else text

    return {"day": write}


def money(form: str, decimal: str = ".", thousands: str = ",", none: str = "") -> dict[str, Fmt]:
    def write(value: Decimal | None, _: Cells) -> str:
        if value is None:
            return none
        text = form.format(value)
        return text.translate(str.maketrans({",": thousands, ".": decimal}))

    return {"money": write}


def by(fmt: Callable[[Any], Any], *names: str) -> dict[str, Fmt]:
    return {name: lambda v, _: "" if v is None else str(fmt(v)) for name in names}


def words(name: str, **table: str) -> dict[str, Fmt]:
    return {name: lambda v, _: table.get(str(v).replace(" ", "_"), str(v))}


def serial(value: date) -> int:
    return (value - date(1899, 12, 30)).days


def hm(value: Decimal, form: str) -> str:
    minutes = int(value * 60)
    return form.format(h=minutes // 60, m=minutes % 60, t=minutes)


# ---- what a program or a person does to the whole sheet


def blanks(every: int) -> Post:
    def post(t: Table) -> None:
        t.rows = [r for i, row in enumerate(t.rows, 1)
                  for r in ((row, [""] * len(row)) if i % every == 0 else (row,))]  # fmt: skip

    return post


def months(label: str, sums: bool = False, where: str = "type") -> Post:
    """A line above (or, as a sum, below) each month of getting."""

    def post(t: Table) -> None:
        out: list[list[str]] = []
        last, total = "", Decimal(0)
        for unit, row in zip(t.truth, t.rows, strict=True):
            now = unit["got"].strftime(label)
            if now != last:
                line = [""] * len(row)
                line[t.col(where)] = last if sums else now
                if sums and "price" in t.names:
                    line[t.col("price")] = t.ledger.money.format(total)
                if last or not sums:
                    out.append(line)
                last, total = now, Decimal(0)
            total += unit["price"] or 0
            out.append(row)
        t.rows = out

    return post


def total(label: str, at: str, *columns: str, gap: int = 0) -> Post:
    def post(t: Table) -> None:
        line = [""] * len(t.names)
        line[t.col(at)] = label
        for name in columns:
            value = sum((u[name] or 0 for u in t.truth), Decimal(0))
            form = t.ledger.money if name in MONEY else "{:.2f}"
            line[t.col(name)] = form.format(value).replace(".", t.ledger.decimal)
        t.rows += [[""] * len(line)] * gap + [line]

    return post


def below(*lines: str, gap: int = 1) -> Post:
    return lambda t: t.rows.extend([[""]] * gap + [line.split("|") for line in lines])


def beside(*lines: str, gap: int = 1) -> Post:
    def post(t: Table) -> None:
        table = [line.split("|") for line in lines]
        t.head = [*t.head, *[""] * gap, *table[0]]
        for row, line in zip(t.rows, table[1:], strict=False):
            row += [""] * gap + line

    return post


def above(*lines: str) -> Post:
    return lambda t: setattr(t, "before", [line.split("|") for line in lines])


def second_head(**texts: str) -> Post:
    """A line of units below the headings."""
    return lambda t: t.rows.insert(0, [texts.get(name, "") for name in t.names])


def groups(**texts: str) -> Post:
    """Merged headings above the headings."""
    return lambda t: setattr(t, "before", [*t.before, [texts.get(n, "") for n in t.names]])


def extra(heading: str, value: Callable[[int, Cells], str], at: int | None = None) -> Post:
    def post(t: Table) -> None:
        place = len(t.names) if at is None else at
        t.head.insert(place, heading)
        t.names.insert(place, heading)
        for i, (unit, row) in enumerate(zip(t.truth, t.rows, strict=True)):
            row.insert(place, value(i, unit))

    return post


def cells(change: Callable[[int, list[str]], list[str]]) -> Post:
    return lambda t: setattr(t, "rows", [change(i, row) for i, row in enumerate(t.rows)])


def order(*names: str) -> Post:
    def post(t: Table) -> None:
        places = [t.col(n) for n in names] + [i for i, n in enumerate(t.names) if n not in names]
        t.names, t.head = [t.names[i] for i in places], [t.head[i] for i in places]
        t.rows = [[row[i] for i in places] for row in t.rows]

    return post


def again(every: int, **swapped: str) -> Post:
    """The headings once more; swapped: from then on two columns have changed places."""

    def post(t: Table) -> None:
        head, rows, out = list(t.head), t.rows, list(t.rows[:every])
        for a, b in swapped.items():
            i, j = t.col(a), t.col(b)
            head[i], head[j] = head[j], head[i]
            rows = [[*row] for row in rows]
            for row in rows:
                row[i], row[j] = row[j], row[i]
        for start in range(every, len(rows), every):
            if start == every or not swapped:
                out.append(head)
            out += rows[start : start + every]
        t.rows = out

    return post


def merged(*names: str) -> Post:
    """Cells of the same value one below another were merged: only the first is left."""

    def post(t: Table) -> None:
        for name in names:
            i, last = t.col(name), None
            for row in t.rows:
                row[i], last = ("" if row[i] == last else row[i]), row[i]

    return post


def sort(key: Callable[[Cells], Any], back: bool = False) -> Post:
    def post(t: Table) -> None:
        both = sorted(
            zip(t.truth, t.rows, t.cells, strict=True), key=lambda b: key(b[0]), reverse=back
        )
        t.truth, t.rows, t.cells = ([b[k] for b in both] for k in range(3))  # type: ignore[assignment]

    return post


def twice(*places: int, end: bool = False) -> Post:
    def post(t: Table) -> None:
        more = [list(t.rows[i]) for i in places]
        if end:
            t.rows += more
        else:
            t.rows = [
                r for i, row in enumerate(t.rows) for r in ([row, row] if i in places else [row])
            ]

    return post


def markup(t: Table) -> str:
    cell = lambda tag, text: f"<{tag}>{html.escape(text)}</{tag}>"  # noqa: E731
    line = lambda tag, row: "<tr>" + "".join(cell(tag, c) for c in row) + "</tr>\n"  # noqa: E731
    return ("<html><head><meta charset=utf-8></head><body><table border=1>\n" + line("th", t.head)
            + "".join(line("td", row) for row in t.rows) + "</table></body></html>")  # fmt: skip


def xml_2003(t: Table) -> str:
    cell = lambda c: f'<Cell><Data ss:Type="String">{html.escape(c)}</Data></Cell>'  # noqa: E731
    rows = "".join("<Row>" + "".join(map(cell, r)) + "</Row>" for r in [t.head, *t.rows])
    return ('<?xml version="1.0"?><Workbook xmlns="urn:schemas-microsoft-com:office:spreadsheet"'
            ' xmlns:ss="urn:schemas-microsoft-com:office:spreadsheet"><Worksheet ss:Name="List"><Table>'
            f"{rows}</Table></Worksheet></Workbook>")  # fmt: skip


def markdown(t: Table) -> str:
    line = lambda row: "| " + " | ".join(row) + " |\n"  # noqa: E731
    return line(t.head) + line(["---"] * len(t.head)) + "".join(map(line, t.rows))


def fixed(t: Table) -> str:
    lines = [t.head, *t.rows]
    width = [max(len(row[i]) for row in lines) + 2 for i in range(len(t.head))]
    return "".join("".join(c.ljust(w) for c, w in zip(row, width, strict=True)).rstrip() + "\n"
                   for row in lines)  # fmt: skip


def chat(form: str) -> Callable[[Table], str]:
    """Each unit a message. form takes the unit's cells by our names."""
    return lambda t: "".join(
        form.format(**dict(zip(t.names, row, strict=True)), when=f"{u['got']:%m/%d/%y}") + "\n"
        for u, row in zip(t.truth, t.rows, strict=True)
    )


def events(t: Table) -> None:
    """One row per event: got, parts, listed, sold."""
    out = []
    for unit in t.truth:
        for name, day, amount in (("bought", "got", "paid"), ("parts", "got", "parts"),
                                  ("listed", "listed", "asked"), ("sold", "sold", "price")):  # fmt: skip
            if unit[day] is not None and unit[amount] is not None:
                out.append([unit[day].isoformat(), unit["unit"], unit["type"], name,
                            f"{unit[amount]:.2f}"])  # fmt: skip
        if unit["outcome"] in ("scrapped", "parted"):
            out.append([unit["sold"].isoformat(), unit["unit"], unit["type"], unit["outcome"], ""])
    t.head, t.rows = ["Date", "Unit", "Appliance", "Event", "Amount"], sorted(out)


def wide(t: Table) -> None:
    """A column for each month, the sale price in the month of the sale."""
    mons = sorted({u["sold"].strftime("%Y-%m") for u in t.truth if u["sold"]})
    t.head = ["No.", "Appliance", *mons]
    t.rows = [[u["unit"], u["type"], *[f"{u['price']:.0f}" if u["price"] and u["sold"].strftime("%Y-%m") == m
               else "" for m in mons]] for u in t.truth]  # fmt: skip


def turned(t: Table) -> None:
    lines = [list(c) for c in zip(t.head, *t.rows, strict=True)]
    t.head, t.rows = lines[0], lines[1:]


def headless(t: Table) -> None:
    t.head = []


def restarts(t: Table) -> None:
    """Numbers that begin at 1 each year."""
    year, n = 0, 0
    for unit, row in zip(t.truth, t.rows, strict=True):
        year, n = (year, n + 1) if unit["got"].year == year else (unit["got"].year, 1)
        row[t.col("unit")] = str(n)
    t.carried.discard("unit")


def wrong_number(t: Table) -> None:
    """The number of one unit was typed for another one, three times."""
    for a, b in ((5, 9), (20, 31), (33, 34)):
        t.rows[b][t.col("unit")] = t.rows[a][t.col("unit")]
    t.carried.discard("unit")


def shifted(first: int, last: int, at: str) -> Post:
    """An empty cell too many in front of a column, in part of the rows."""

    def post(t: Table) -> None:
        i = t.col(at)
        for row in t.rows[first:last]:
            row.insert(i, "")

    return post  # fmt: skip


def exchanged(first: int, last: int, a: str, b: str) -> Post:
    def post(t: Table) -> None:
        i, j = t.col(a), t.col(b)
        for row in t.rows[first:last]:
            low, high = (float(row[at].strip("$") or 0) for at in (i, j))
            if row[i] and row[j] and high > 3 * low:  # 40 and 75 could be either
                row[i], row[j] = row[j], row[i]

    return post


def dropped(heads: tuple[str, ...], dated: bool) -> Post:
    """Later asks in columns behind the ask; the truth of the ask is the first one."""

    def post(t: Table) -> None:
        at = t.col("asked") + 1
        t.head[at:at] = heads
        t.names[at:at] = list(heads)
        for i, (unit, row) in enumerate(zip(t.truth, t.rows, strict=True)):
            more = [""] * len(heads)
            if unit["asked"] is not None and unit["price"] is not None and i % 3 == 0:
                low = max(unit["price"], unit["asked"] - 10)
                more[0] = f"{low:.0f}"
                if dated:
                    more[1] = (unit["listed"] + timedelta(days=1)).strftime(t.ledger.day)
            row[at:at] = more

    return post


def foreign(sign: str, every: int) -> Post:
    """Some sales were paid in another money: the price is not known in the record's own."""

    def post(t: Table) -> None:
        i = t.col("price")
        for k, (unit, row) in enumerate(zip(t.truth, t.rows, strict=True)):
            if unit["price"] is not None and k % every == 3:
                row[i] = sign.format(unit["price"])
                unit["price"] = None

    return post


def typed(dates: bool = True, name: str = "List", more: tuple[Any, ...] = ()) -> Any:
    """A real workbook with numbers and days in its cells."""

    def book(t: Table, path: Path) -> None:
        place = {n: t.col(n) for n in (*MONEY, *DAYS, *NUMBERS) if n in t.names}
        rows: list[list[Any]] = [list(t.head)]
        for unit, row in zip(t.truth, t.rows, strict=True):
            line: list[Any] = list(row)
            for n, i in place.items():
                if unit[n] is not None:
                    line[i] = unit[n] if dates or n not in DAYS else serial(unit[n])
            rows.append(line)
        write_book(path, [(name, rows, ""), *more])

    return book


def chunks(t: Table) -> None:
    """Each unit on a card of three lines."""
    out = []
    for unit, row in zip(t.truth, t.rows, strict=True):
        cell = dict(zip(t.names, row, strict=True))
        out += [[f"#{unit['unit']}", cell["type"]], ["bought", cell["got"], cell["paid"]],
                ["sold", cell["sold"], cell["price"]], [""]]  # fmt: skip
    t.head, t.rows = [], out


# ---- the dresses

_D = Strange
_YEARS_MADE: dict[str, Fmt] = {"age": lambda v, u: str(u["got"].year - int(v))}
_SOLD_ONLY = ("listed", "asked", "hours", "miles", "condition", "age")
_MON = {
    "fr": "janv. févr. mars avr. mai juin juil. août sept. oct. nov. déc.",
    "es": "ene feb mar abr may jun jul ago sep oct nov dic",
    "pl": "sty lut mar kwi maj cze lip sie wrz paź lis gru",
    "ru": "янв фев мар апр мая июн июл авг сен окт ноя дек",
    "de": "Jan Feb Mär Apr Mai Jun Jul Aug Sep Okt Nov Dez",
    "ru2": "января февраля марта апреля мая июня июля августа сентября октября ноября декабря",
}


def worded(language: str, form: str) -> dict[str, Fmt]:
    names = _MON[language].split()
    return {
        "day": lambda v, _: (
            (v and form.format(d=v.day, m=names[v.month - 1], y=v.year, yy=v.year % 100)) or ""
        )
    }


def wareki(value: date | None, _: Cells) -> str:
    return f"令和{value.year - 2018}年{value.month}月{value.day}日" if value else ""


# fmt: off
_PLAIN = (
    _D('as kept', 'bay'),
    _D('as kept', 'mews'),
    _D('as kept', 'tor'),
    _D('as kept', 'rue'),
    _D('as kept', 'sol'),
    _D('as kept', 'most'),
    _D('as kept', 'zavod'),
    _D('as kept', 'kiosk'),
    _D('as kept', 'phone'),
)
_BAY = (
    _D('semicolons, sep line, BOM', 'bay', opts={'sep': ';', 'front': '\ufeffsep=;\r\n'}),
    _D('tabs in UTF-16', 'bay', opts={'sep': '\t', 'enc': 'utf-16'}),
    _D('pipes with padding', 'bay', post=(cells(lambda i, r: [f' {c} ' for c in r]), ),
       opts={'sep': '|'}),
    _D('markdown table', 'bay', opts={'raw': markdown, 'ext': 'txt'}),
    _D('fixed width', 'bay', opts={'raw': fixed, 'ext': 'txt'}),
    _D('inch marks open a quote', 'bay', fmts={'type': lambda v,
       u: f'24" {v}' if v == 'dishwasher' else v},
       opts={'raw': lambda t: '\r\n'.join(','.join(r) for r in [t.head, *t.rows])}, lost=('type',
       )),
    _D('curly quotes around cells', 'bay',
       opts={'raw': lambda t: '\n'.join(','.join(f'“{c}”' for c in r) for r in [t.head,
       *t.rows])}),
    _D('trailing commas in some rows', 'bay', post=(cells(lambda i, r: r + [''] * (i % 4)), )),
    _D('line ends mixed', 'bay', opts={'raw': lambda t: ''.join((line + ('\r\n', '\n',
       '\r')[i % 3] for i, line in enumerate(t.text().split('\r\n')[:-1])))}),
    _D('ids as formulas', 'bay', fmts=by(lambda v: f'="{v}"', 'unit')),
    _D('pages', 'bay', post=(again(25), lambda t: [t.rows.insert(k * 27 + 25,
       [f'Page {k + 1} of 5']) for k in range(4)] and None)),
    _D('title and date above', 'bay', post=(above('Flips 2024 - 2026', '',
       'last touched 11/20/2026', ''), )),
    _D('year totals', 'bay', post=(months('%Y total', sums=True), )),
    _D('month sums in the number column', 'bay', post=(months('%B', sums=True, where='unit'), )),
    _D('MONTH YEAR lines', 'bay', post=(months('%B %Y'), )),
    _D('units below the headings', 'bay', fmts=money('{:.2f}'), post=(second_head(paid='$',
       parts='$', asked='$', price='$', hours='h', miles='one way', age='yrs'), )),
    _D('merged headings above', 'bay', heads={'got': 'Date', 'paid': 'Amount', 'listed': 'Date',
       'asked': 'Amount', 'sold': 'Date', 'price': 'Amount'}, post=(order('unit', 'type', 'maker',
       'age', 'condition', 'got', 'paid', 'listed', 'asked', 'sold', 'price'), groups(got='Bought',
       listed='Listed', sold='Sold'))),
    _D('no headings', 'bay', post=(headless, )),
    _D('on its side', 'bay', post=(turned, ), n=40),
    _D('columns change places half way', 'bay', post=(again(60, asked='price'), )),
    _D('rows shifted by one', 'bay', post=(shifted(50, 60, 'listed'), )),
    _D('paid and price exchanged in some', 'bay', post=(exchanged(40, 52, 'paid', 'price'), )),
    _D('supplies beside', 'bay', post=(beside('Supplies|Cost', 'tape|$4.50', 'gloves|$11.00',
       'belt dressing|$9.25'), )),
    _D('parts bought below', 'bay', post=(below('Parts bought', 'Date|Part|Cost',
       '03/02/2025|drain pump|$31.00', '04/11/2025|belt|$12.50', '05/19/2025|igniter|$22.00'), )),
    _D('wish list below, same width', 'bay', post=(below('Looking for',
       '|washer|any|||||$0.00||$150.00', gap=2), )),
    _D('rows twice, next to each other', 'bay', post=(twice(3, 40, 77), )),
    _D('rows twice, at the end', 'bay', post=(twice(3, 40, 77, end=True), )),
    _D('a number typed for another', 'bay', post=(wrong_number, )),
    _D('numbers restart each year', 'bay', post=(restarts, )),
    _D('no numbers, rows twice', 'bay', drop=('unit', ), post=(twice(10, 50, end=True), )),
    _D('html as xls', 'bay', opts={'raw': markup, 'ext': 'xls'}),
    _D('spreadsheet xml as xls', 'bay', opts={'raw': xml_2003, 'ext': 'xls'}),
    _D('workbook', 'bay', opts={'book': typed(), 'ext': 'xlsx'}),
    _D('workbook, days as numbers, other tabs', 'bay', opts={'book': typed(False, 'Log', (('Prices',
       [['Appliance', 'Price'], ['washer', 180], ['fridge', 220]], ''), )), 'ext': 'xlsx'}),
    _D('accounting', 'bay', fmts=money(' ${:,.2f} ') | {'parts': lambda v,
       u: f' ${v:,.2f} ' if v else ' $-   '}),
    _D('cents', 'bay', heads={'paid': 'Paid (cents)', 'parts': 'Parts (cents)',
       'asked': 'Ask (cents)', 'price': 'Sold for (cents)'}, fmts=by(lambda v: f'{v * 100:.0f}',
       *MONEY)),
    _D('bucks and free', 'bay', fmts=money('{:.2f} bucks') | {'paid': lambda v,
       u: f'{v:.0f} bucks' if v else 'free'}),
    _D('curb, gift, nothing', 'bay', fmts={'paid': lambda v, u: f'${v:.0f}' if v else ('curb find',
       'gift', 'nothing', '$0')[int(u['unit']) % 4]}),
    _D('dash for no parts', 'bay', fmts={'parts': lambda v, u: f'${v:.2f}' if v else '—'}),
    _D('serial days', 'bay', fmts=by(serial, *DAYS)),
    _D('days without year', 'bay', fmts=days('%m/%d', strip=True), n=60),
    _D('two-digit years', 'bay', fmts=days('%m/%d/%y', strip=True)),
    _D('Mar 5, 2024 unquoted', 'bay', fmts=days('%b %d %Y', strip=True)),
    _D('5-Mar-24', 'bay', fmts=days('%d-%b-%y', strip=True)),
    _D('Tue 3/5/24', 'bay', fmts=days('%a %m/%d/%y')),
    _D('day and time', 'bay', fmts=days('%m/%d/%Y 14:30')),
    _D('ISO with zone', 'bay', fmts=days('%Y-%m-%dT09:15:00.000Z')),
    _D('20240305', 'bay', fmts=days('%Y%m%d')),
    _D('month and year of sale only', 'bay', fmts={'sold': lambda v,
       u: (v and v.strftime('%b %Y')) or ''}, lost=('sold', )),
    _D('sold mm/dd, got dd.mm.', 'bay', fmts={'got': lambda v, u: v.strftime('%d.%m.%Y')}),
    _D('minutes', 'bay', heads={'hours': 'Bench (min)'}, fmts=by(lambda v: int(v * 60), 'hours')),
    _D('minutes unsaid', 'bay', heads={'hours': 'Work'}, fmts=by(lambda v: int(v * 60), 'hours')),
    _D('h:mm', 'bay', fmts=by(lambda v: hm(v, '{h}:{m:02d}'), 'hours')),
    _D('1 h 30', 'bay', fmts=by(lambda v: hm(v, '{h}h {m}m'), 'hours')),
    _D('h.mm', 'bay', heads={'hours': 'Hours (h.mm)'}, fmts=by(lambda v: hm(v, '{h}.{m:02d}'),
       'hours')),
    _D('h.mm unsaid', 'bay', fmts=by(lambda v: hm(v, '{h}.{m:02d}'), 'hours')),
    _D('day fractions', 'bay', fmts=by(lambda v: f'{v / 24:.10f}', 'hours')),
    _D('halves', 'bay',
       fmts=by(lambda v: f"{int(v) or ''}{ {0: '', 1: '¼', 2: '½', 3: '¾'}[int(v * 4) % 4]}",
       'hours')),
    _D('kilometers', 'bay', heads={'miles': 'Km each way'},
       fmts=by(lambda v: f'{float(v) * 1.609344:.2f}', 'miles')),
    _D('round trips', 'bay', heads={'miles': 'Miles RT'}, fmts=by(lambda v: v * 2, 'miles')),
    _D('odometer', 'bay', heads={'miles': 'Odometer'}, fmts={'miles': lambda v,
       u: str(40000 + int(u['unit']) * 31)}, lost=('miles', )),
    _D('year made as Yr', 'bay', heads={'age': 'Yr'}, fmts=_YEARS_MADE),
    _D('months old', 'bay', heads={'age': 'Age (mos)'}, fmts=by(lambda v: int(v * 12), 'age')),
    _D("'8 yrs', '~8', '8?'", 'bay', fmts={'age': lambda v, u: (f'{v} yrs', f'~{v}', f'{v}',
       f'{v}y')[int(u['unit']) % 4]}),
    _D('drops', 'bay', post=(dropped(('Drop 1', 'Drop 1 date'), True), )),
    _D('now asking', 'bay', post=(dropped(('Now', ), False), )),
    _D('325>300', 'bay', fmts={'asked': lambda v,
       u: '' if v is None else f'{v:.0f}' if u['price'] is None or int(u['unit']) % 3 else f"{v:.0f}>{max(u['price'], v - 10):.0f}"}),

    _D('Sold? Y/N', 'bay', heads={'outcome': 'Sold?'}, fmts={'outcome': lambda v,
       u: 'Y' if v == 'sold' else 'N'}, lost=('outcome', )),
    _D('closed and open', 'bay', heads={'outcome': 'Deal'}, lost=('outcome', ),
       fmts={'outcome': lambda v, u: 'closed' if v == 'sold' else 'open'}),
    _D('ticks', 'bay', heads={'outcome': 'Sold'}, fmts={'outcome': lambda v,
       u: '✓' if v == 'sold' else ''}, lost=('outcome', )),
    _D('no outcome column', 'bay', drop=('outcome', )),
    _D('one row per event', 'bay', post=(events, ), lost=('outcome', 'note', 'age', 'maker',
       'condition', 'hours', 'miles')),
    _D('wide by month', 'bay', post=(wide, ), lost=('outcome', 'note', 'age', 'maker', 'condition',
       'hours', 'miles', 'got', 'paid', 'parts', 'listed', 'asked', 'sold'), n=50),
    _D('profit, ROI and days columns', 'bay', post=(extra('Profit', lambda i,
       u: f"${u['price'] - u['paid'] - u['parts']:.2f}" if u['price'] else ''), extra('ROI %',
       lambda i, u: f"{u['price'] / (u['paid'] + u['parts'] + 1):.0%}" if u['price'] else ''),
       extra('Days', lambda i, u: str((u['sold'] - u['listed']).days) if u['price'] else ''))),
    _D('a line number in front', 'bay', post=(extra('Row', lambda i, u: str(i + 1), 0), )),
    _D('cards of three lines', 'bay', post=(chunks, ), n=40,
       lost=tuple(set(_ALL.split()) - {'type'})),
    _D('some sales in euros', 'bay', fmts=money('{:.2f}'), post=(foreign('€{:.0f}', 9), )),
    _D('some sales in pounds', 'bay', post=(foreign('£{:.2f}', 11), )),
    _D('some sales in CAD', 'bay', post=(foreign('{:.2f} CAD', 8), )),
    _D('newest first', 'bay', post=(sort(lambda u: u['got'], back=True), )),
    _D('by type, type merged', 'bay', post=(sort(lambda u: u['type']), merged('type'))),
    _D('blank line every 5', 'bay', post=(blanks(5), )),
    _D('TOTALS with a gap', 'bay', post=(total('TOTALS:', 'unit', 'paid', 'parts', 'price', 'hours',
       gap=2), )),
)
_MEWS = (
    _D('pounds in a Windows alphabet', 'mews', opts={'enc': 'cp1252'}),
    _D('pounds in a Mac alphabet', 'mews', opts={'enc': 'mac_roman'}),
    _D('pounds in a DOS alphabet', 'mews', opts={'enc': 'cp850'}),
    _D('pounds saved wrongly once', 'mews',
       opts={'raw': lambda t: t.text().encode().decode('latin-1').encode()}),
    _D('dd/mm/yy', 'mews', fmts=days('%d/%m/%y')),
    _D('5th March 2024', 'mews', fmts=days('%-d %B %Y')),
    _D('d.m.yy', 'mews', fmts=days('%-d.%-m.%y')),
    _D('VB minus for paid', 'mews', fmts={'paid': lambda v, u: f'-£{v:.2f}' if v else '£0.00'}),
    _D('costs in brackets', 'mews', fmts={'paid': lambda v, u: f'(£{v:.2f})' if v else '£0.00',
       'parts': lambda v, u: f'(£{v:.2f})' if v else '£0.00'}),
    _D('quid and p', 'mews', fmts=money('{:.2f} quid') | {'parts': lambda v,
       u: f'{v * 100:.0f}p' if v else '0'}),
    _D('ono and inc delivery', 'mews', fmts={'asked': lambda v,
       u: '' if v is None else f'£{v:.0f} ono'}),
    _D('bought sold columns only', 'mews', heads={'got': 'In', 'sold': 'Out', 'paid': '£ in',
       'price': '£ out'}, fmts=money('{:.2f}'), drop=('listed', 'asked', 'hours', 'miles',
       'parts')),
    _D('fees and refund', 'mews', heads={'fees': 'Site fee', 'refund': 'Refunded'},
       fmts=by(lambda v: v, 'fees')),
    _D('gone, binned, tip', 'mews', fmts=words('outcome', scrapped='tip',
       parted='broken for spares', in_work='on bench', listed='up', sold='gone',
       kept='keeping it')),
    _D('UPPER CASE', 'mews', post=(lambda t: setattr(t, 'head', [h.upper() for h in t.head]),
       cells(lambda i, r: [c.upper() for c in r])), lost=('note', )),
    _D('headings with line breaks', 'mews', heads={'got': 'Date\ncollected', 'sold': 'Date\nsold',
       'price': 'Sold\nprice', 'paid': 'Cost\n(£)'}),
    _D('sold total in the middle', 'mews', post=(months('Total for %b %Y', sums=True, where='note'),
       )),
    _D('tax year lines', 'mews', post=(lambda t: t.rows.insert(30, ['', 'Tax year 2025/26']), )),
    _D('brought forward', 'mews', post=(lambda t: [t.rows.insert(k, ['', 'Brought forward',
       *[''] * 9, '£2310.00']) for k in (20, 41)] and None, )),
    _D('two units on one line', 'mews', fmts={'type': lambda v,
       u: f'{v} x2' if u['unit'] == '120' else {'washer': 'washing machine'}.get(v, v)}),
)
_TOR = (
    _D('UTF-8', 'tor', opts={'enc': 'utf-8'}),
    _D('Mac', 'tor', opts={'enc': 'mac_roman'}),
    _D('DOS', 'tor', opts={'enc': 'cp850'}, fmts=money('{:.2f}', ',', '.')),
    _D('saved wrongly once', 'tor', opts={'raw': lambda t: t.text().encode().decode('cp1252',
       'replace').encode()}),
    _D('1.234,50 EUR', 'tor', fmts=money('{:,.2f} EUR', ',', '.')),
    _D('120,-', 'tor', fmts={'asked': lambda v, u: '' if v is None else f'{v:.0f},-',
       'price': lambda v, u: '' if v is None else f'{v:.0f},- €'}),
    _D('plain comma numbers', 'tor', fmts=money('{:.2f}', ',', '.')),
    _D('comma cells, comma file', 'tor', opts={'sep': ','}),
    _D('VB behind the ask', 'tor', fmts={'asked': lambda v,
       u: '' if v is None else f'{v:.0f} € VB'}),
    _D('geschenkt', 'tor', fmts={'paid': lambda v, u: 'geschenkt' if not v else f'{v:.0f} €'}),
    _D('5. Mär 2024', 'tor', fmts=worded('de', '{d}. {m} {y}')),
    _D('5.3.24', 'tor', fmts=days('%-d.%-m.%y')),
    _D('5.3. without a year', 'tor', fmts=days('%-d.%-m.'), n=35),
    _D('Baujahr', 'tor', heads={'age': 'Baujahr'}, fmts=_YEARS_MADE),
    _D('Minuten', 'tor', heads={'hours': 'Arbeitszeit (Min.)'}, fmts=by(lambda v: int(v * 60),
       'hours')),
    _D('km hin und zurück', 'tor', heads={'miles': 'km (hin und zurück)'}, fmts=by(lambda v: v * 2,
       'miles')),
    _D('Zwischensumme', 'tor', post=(months('Zwischensumme %m/%Y', sums=True), )),
    _D('Verkauft ja/nein', 'tor', heads={'outcome': 'Verkauft?'}, lost=('outcome', ),
       fmts={'outcome': lambda v, u: 'ja' if v == 'sold' else 'nein'}),
    _D('Übertrag und Summe', 'tor', post=(total('Summe', 'type', 'paid', 'parts', 'price'),
       lambda t: t.rows.insert(40, ['', 'Übertrag', *[''] * 9, '5.210,00 €']))),
)
_RUE = (
    _D('cp1252', 'rue', opts={'enc': 'cp1252'}),
    _D('Mac', 'rue', opts={'enc': 'mac_roman'}),
    _D('1 234,50 with a hard space', 'rue', fmts=money('{:,.2f} €', ',', '\xa0')),
    _D('120 €50', 'rue', fmts={'price': lambda v, u: '' if v is None else f'{v:.0f} €',
       'parts': lambda v, u: f'{int(v)} €{int(v * 100) % 100:02d}'}),
    _D('5 mars 2024 short', 'rue', fmts=worded('fr', '{d} {m} {y}')),
    _D('lun. 05/03/24', 'rue', fmts={'sold': lambda v, u: (v and ['lun.', 'mar.', 'mer.', 'jeu.',
       'ven.', 'sam.', 'dim.'][v.weekday()] + v.strftime(' %d/%m/%y')) or ''}),
    _D('2 h 30', 'rue', fmts=by(lambda v: hm(v, '{h} h {m:02d}'), 'hours')),
    _D('vendu oui/non', 'rue', heads={'outcome': 'Vendu ?'}, lost=('outcome', ),
       fmts={'outcome': lambda v, u: 'oui' if v == 'sold' else 'non'}),
    _D('sous-total', 'rue', post=(months('Sous-total %m/%Y', sums=True), )),
    _D('année de fabrication', 'rue', heads={'age': 'Année de fabrication'}, fmts=_YEARS_MADE),
    _D('TTC and gratuit', 'rue', heads={'price': 'Prix TTC'}, fmts={'paid': lambda v,
       u: 'gratuit' if not v else f'{v:.0f} €'}),
)
_SOL = (
    _D('cp1252', 'sol', opts={'enc': 'cp1252'}),
    _D('pesos written $1,250.00 M.N.', 'sol', fmts=money('${:,.2f} M.N.')),
    _D('5/mar/2024', 'sol', fmts=worded('es', '{d:02d}/{m}/{y}')),
    _D('vendido sí/no', 'sol', heads={'outcome': '¿Vendido?'}, lost=('outcome', ),
       fmts={'outcome': lambda v, u: 'sí' if v == 'sold' else 'no'}),
    _D('regalado', 'sol', fmts={'paid': lambda v, u: 'regalado' if not v else f'${v:.0f}'}),
    _D('subtotal del mes', 'sol', post=(months('Subtotal %m/%Y', sums=True), )),
)
_MOST = (
    _D('UTF-8', 'most', opts={'enc': 'utf-8'}),
    _D('ISO 8859-2', 'most', opts={'enc': 'iso8859-2'}),
    _D('DOS 852', 'most', opts={'enc': 'cp852'}),
    _D('short month names', 'most', fmts=worded('pl', '{d} {m} {y}')),
    _D('120 PLN, za darmo', 'most', fmts=money('{:.2f} PLN', ',') | {'paid': lambda v,
       u: 'za darmo' if not v else f'{v:.0f} PLN'}),
    _D('suma', 'most', post=(total('Razem', 'type', 'paid', 'price', gap=1), )),
)
_ZAVOD = (
    _D('UTF-8', 'zavod', opts={'enc': 'utf-8'}),
    _D('KOI8-R', 'zavod', opts={'enc': 'koi8-r'}),
    _D('DOS 866', 'zavod', opts={'enc': 'cp866'}),
    _D('12 500 ₽', 'zavod', fmts=money('{:,.0f} ₽', ',', ' '), opts={'enc': 'utf-8'}),
    _D('5 марта 2024 г.', 'zavod', fmts=worded('ru2', '{d} {m} {y} г.')),
    _D('даром, да/нет', 'zavod', heads={'outcome': 'Продано?'}, lost=('outcome', ),
       fmts={'outcome': lambda v, u: 'да' if v == 'sold' else 'нет', 'paid': lambda v,
       u: 'даром' if not v else f'{v:.0f} р.'}),
    _D('Итого', 'zavod', post=(months('Итого %m.%Y', sums=True), )),
)
_KIOSK = (
    _D('EUC-JP', 'kiosk', opts={'enc': 'euc_jp'}),
    _D('12,500円', 'kiosk', fmts=money('{:,.0f}円')),
    _D('full-width digits', 'kiosk', fmts={'money': lambda v,
       u: '' if v is None else f'{v:.0f}'.translate({48 + i: 65296 + i for i in range(10)}) + '円'}),

    _D('令和 days', 'kiosk', fmts={'day': wareki}),
    _D('2024年3月5日', 'kiosk', fmts=days('%Y年%-m月%-d日')),
    _D('合計', 'kiosk', post=(total('合計', 'type', 'paid', 'price'), )),
    _D('無料, 分', 'kiosk', heads={'hours': '作業時間（分）'}, fmts=by(lambda v: int(v * 60),
       'hours') | {'paid': lambda v, u: '無料' if not v else f'¥{v:,.0f}'}),
)
_PHONE = (
    _D('chat with days and times', 'phone',
       opts={'raw': chat('[{when}, 2:31 PM] Sam: {type} got {got} gave {paid} sold {sold} for {price} {note}'),
       'ext': 'txt'}),
    _D('note: dashes', 'phone', opts={'raw': chat('- {type} - {paid} - {price} - {sold}'),
       'ext': 'txt'}, lost=('note', 'got')),
    _D('no headings, semicolons', 'phone', opts={'sep': ';'}, post=(headless, )),
    _D('lower case, no year, unquoted', 'phone', fmts=days('%b %d', lower=True)),
    _D("'today' and 'yesterday'", 'phone', fmts={'sold': lambda v,
       u: v.strftime('%b %d, %Y') if int(u['unit']) % 7 else 'yesterday'}),
    _D('smart punctuation', 'phone', fmts=money('$ {:.0f}.–')),
    _D("sold for 'traded', 'gift'", 'phone', fmts={'price': lambda v,
       u: f'${v:.0f}' if int(u['unit']) % 8 else 'traded for a mower'}, lost=('price', )),
    _D('1st line is a unit with spaces', 'phone', post=(headless, ), opts={'sep': '\t'}),
    _D("price '120 cash', '95 venmo'", 'phone', fmts={'price': lambda v, u: f'{v:.0f} ' + ('cash',
       'transfer', '')[int(u['unit']) % 3]}),
    _D('short heads', 'phone', heads={'type': 'itm', 'got': 'dt in', 'paid': 'pd', 'sold': 'dt out',
       'price': 'sld', 'note': 'n'}),
    _D('emoji heads', 'phone', heads={'type': '🧺 what', 'paid': '💸 paid', 'price': '💰 sold for',
       'got': '📅 got', 'sold': '📅 sold'}),
)
_SECOND = (
    *(_D('as kept', name) for name in SECOND_LEDGERS),
    _D('cp1252', 'ita', opts={'enc': 'cp1252'}),
    _D('mac', 'por', opts={'enc': 'mac_roman'}),
    _D('utf-16', 'tur', opts={'enc': 'utf-16'}),
    _D('iso-8859-9', 'tur', opts={'enc': 'iso8859-9'}),
    _D('utf8 as cp1252', 'swe', opts={'raw': lambda t: t.text().encode('utf-8').decode('cp1252',
       'replace').encode('utf-8')}),
    _D('subtotals', 'ita', post=(months('Totale %m/%Y', sums=True), )),
    _D('subtotaal', 'ned', post=(months('Subtotaal %m-%Y', sums=True), )),
    _D('mezisoučet', 'ces', post=(months('Mezisoučet %m/%Y', sums=True), )),
    _D('delsumma', 'swe', post=(months('Delsumma %B %Y', sums=True), )),
    _D('toplam', 'tur', post=(total('TOPLAM', 'type', 'paid', 'price', gap=1), )),
    _D('i alt', 'dane', post=(total('I alt', 'unit', 'paid', 'price'), )),
    _D('year banner rows', 'shed', post=(months('=== %Y ===', where='unit'), )),
    _D('fees + net', 'biz', post=(extra('Net Profit (USD)', lambda i,
       u: f"{u['price'] - u['paid']:.2f}" if u['price'] else ''), extra('Margin %', lambda i,
       u: '35%'))),
    _D('json-ish text', 'biz',
       opts={'raw': lambda t: '\n'.join('{' + ', '.join((f'"{h}": "{c}"' for h, c in zip(t.head,
       r, strict=False))) + '}' for r in t.rows), 'ext': 'txt'}),
    _D('qty 1 column', 'biz', post=(extra('Qty', lambda i, u: '1', 2), )),
    _D('numbers W-001', 'shed', fmts={'unit': lambda v, u: f'W-{int(v):04d}'}, lost=('unit', )),
    _D('newlines in notes', 'biz', fmts={'note': lambda v, u: f'line one\nline two {v}'},
       lost=('note', )),
    _D('hours as 2h15', 'shed', fmts=by(lambda v: hm(v, '{h}h{m:02d}'), 'hours')),
    _D('hours 135 min text', 'shed', fmts=by(lambda v: f'{int(v * 60)} min', 'hours')),
    _D("miles '12 mi rt'", 'shed', fmts=by(lambda v: f'{v * 2} mi rt', 'miles')),
    _D("paid '$20 cash'", 'shed', fmts={'paid': lambda v, u: f'${v:.0f} cash'}),
    _D('paid 20.- ', 'shed', fmts={'paid': lambda v, u: f'{v:.0f}.-'}),
    _D('sold price with (net)', 'shed', fmts={'price': lambda v,
       u: '' if v is None else f'{v:.2f} net'}),
    _D('price $1.2k style', 'shed', fmts={'price': lambda v,
       u: '' if v is None else f'{v / 1000:.3f}k'}),
    _D('date 2024.03.05', 'shed', fmts=days('%Y.%m.%d')),
    _D('date 03-05-2024', 'shed', fmts=days('%m-%d-%Y')),
    _D('date 05MAR2024', 'shed', fmts=days('%d%b%Y')),
    _D("date March 5th '24", 'shed', fmts=days("%B %-dth '%y")),
    _D('date wk', 'shed', fmts=days('%G-W%V-%u')),
    _D('unix seconds', 'biz', fmts=by(lambda v: int((v - date(1970, 1, 1)).days * 86400), *DAYS)),
    _D('unix millis', 'biz', fmts=by(lambda v: int((v - date(1970, 1, 1)).days * 86400000), *DAYS)),
    _D('yyyy/dd/mm', 'shed', fmts=days('%Y/%d/%m')),
    _D('split dates d m y', 'biz', fmts=days('%-d %m %Y')),
    _D('two currencies per column', 'biz', fmts=money('{:.2f}'), post=(foreign('{:.2f} EUR', 7), )),
    _D('kr rows', 'biz', post=(foreign('{:.0f} kr', 9), )),
    _D('zł rows', 'shed', post=(foreign('{:.2f} zł', 9), )),
    _D('paid in pesos note', 'shed', post=(foreign('MX${:.0f}', 9), )),
    _D('decimal comma in dot file', 'biz', fmts={'parts': lambda v, u: f'{v:.2f}'.replace('.',
       ',')}),
    _D('thousand dots', 'por', fmts=money('R$ {:,.2f}', ',', '.')),
    _D('rows of dashes between', 'shed', post=(lambda t: [t.rows.insert(k,
       ['-----'] * len(t.head)) for k in (50, 30, 10)] and None, )),
    _D('comment lines #', 'shed', post=(lambda t: [t.rows.insert(k,
       ['# moved garage']) for k in (40, 20)] and None, )),
    _D('header repeated + blank', 'biz', post=(again(20), )),
    _D('columns hidden empty', 'biz', post=(extra('', lambda i, u: '', 3), extra('', lambda i,
       u: '', 7))),
    _D('last column cut', 'shed', post=(cells(lambda i, r: r[:-1] if i % 5 == 0 else r), ),
       lost=('note', )),
    _D('unclosed quote', 'biz', opts={'raw': lambda t: t.text().replace('two stairs', '"two stairs',
       1)}, lost=('note', )),
    _D('price per pound col', 'biz', post=(extra('Scrap $/lb', lambda i, u: '0.07'), )),
    _D('zip & phone', 'biz', post=(extra('Buyer phone', lambda i, u: f'555-01{i:02d}'), extra('Zip',
       lambda i, u: '94110'))),
    _D("sold col has 'no'", 'shed', fmts={'sold': lambda v,
       u: v.strftime('%m/%d/%y') if v else 'no'}),
    _D('outcome ints', 'biz', fmts={'outcome': lambda v, u: '1' if v == 'sold' else '0'},
       lost=('outcome', )),
    _D('cond stars', 'shed', fmts={'condition': lambda v, u: {'rough': '*', 'fair': '**',
       'good': '***', 'like new': '****'}[v]}),
    _D("age '2016 model'", 'shed', fmts={'age': lambda v, u: f"{u['got'].year - int(v)} model"}),
    _D('ratio ages', 'shed', fmts={'age': lambda v, u: f'{v}/15'}, lost=('age', )),
    _D('negative sale (return)', 'biz', fmts={'price': lambda v,
       u: '' if v is None else f'-{v:.2f}' if int(u['unit']) % 20 == 0 else f'{v:.2f}'}),
    _D('html', 'ita', opts={'raw': markup, 'ext': 'html'}),
    _D('xml', 'ces', opts={'raw': xml_2003, 'ext': 'xml', 'enc': 'utf-8'}),
    _D('xlsx', 'tur', opts={'book': typed(), 'ext': 'xlsx'}),
    _D('fixed', 'ned', opts={'raw': fixed, 'ext': 'txt', 'enc': 'utf-8'}),
    _D('duplicate header names', 'biz', heads={'got': 'Date', 'listed': 'Date', 'sold': 'Date'}),
    _D('paid & price swapped heads', 'shed', heads={'paid': 'Cost', 'price': 'Sale'}),
    _D('total per type', 'biz', post=(sort(lambda u: u['type']), )),
)
# fmt: on
ALL = (*_PLAIN, *_BAY, *_MEWS, *_TOR, *_RUE, *_SOL, *_MOST, *_ZAVOD, *_KIOSK, *_PHONE, *_SECOND)


# ---- what became of it


def became(one: Strange, folder: Path) -> tuple[str, list[str], Any]:
    """(what kind, what differs, what was answered) of a dress that was added to an empty record."""
    from pricing.basis.home import Home
    from pricing.basis.problems import Refused
    from pricing.basis.settings import Settings
    from pricing.pipeline.adding import add
    from pricing.record.current import read_current

    table = dressed(one)
    path = table.save(folder)
    home = Home(folder / "home")
    settings = Settings(currency=table.ledger.currency, distance_unit=table.ledger.distance)
    try:
        added = add(home, path, settings, TODAY)
    except Refused as refused:
        return TOLD, [str(refused)], refused
    stored = read_current(home).to_pylist()
    told = _Told(table, added)
    differs: list[tuple[str, str]] = []
    for i, row in _matched(table, stored):
        unit = table.truth[i]
        who = f"{unit['unit']} {unit['type']} {unit['note']}"
        if row is None:
            differs.append((TOLD if told.missing(table, i) else SILENT, f"{who} is missing"))
            continue
        for name in table.carried & _COMPARED:
            if not _equal(name, unit, row, table):
                kind = SILENT
                cell = table.cell(i, name)
                if told.of(table.of[name], row["line"]) or (cell and told.quoted(cell)):
                    kind = TOLD if row[name] is None else WRONG
                what = f"{who} {name}: {unit[name]} became {row[name]} (line {row['line']})"
                differs.append((kind, what))
    for row in stored:
        if not row.get("taken") and row["outcome"] != "expense":
            kind = WRONG if told.line(row["line"]) else SILENT
            differs.append((kind, f"line {row['line']}: {row['type']} {row['price']} is no unit"))
    worst = max((kind for kind, _ in differs), key=(SAME, TOLD, WRONG, SILENT).index, default=SAME)
    return worst, [f"{kind}: {what}" for kind, what in differs], added


_COMPARED = {"type", "maker", "age", "got", "paid", "parts", "listed", "asked", "sold", "price",
             "hours", "miles", "outcome", "note", "refund"}  # fmt: skip


def _matched(table: Table, stored: list[Cells]) -> Iterator[tuple[int, Cells | None]]:
    """The row of the record for each unit: by the code in its note, else the most alike one."""
    by_code = {(row["note"] or "").split(" ")[-1].lower(): row for row in stored if row["note"]}
    by_number = {row["unit"]: row for row in stored}
    names = table.carried & _COMPARED
    left = []
    for i, unit in enumerate(table.truth):
        row = by_code.get(unit["note"][-4:]) if "note" in names else None
        if row is None and "unit" in table.carried:
            row = by_number.get(unit["unit"])
        if row is not None and not row.get("taken"):
            row["taken"] = True
            yield i, row
        else:
            left.append(i)
    for least in (1.0, 0.8, 0.5):
        for i in list(left):
            free = [row for row in stored if not row.get("taken")]
            alike = [sum(_equal(n, table.truth[i], r, table) for n in names) for r in free]
            if free and max(alike) >= least * len(names):
                row = free[alike.index(max(alike))]
                row["taken"] = True
                left.remove(i)
                yield i, row
    for i in left:
        yield i, None


def _equal(name: str, unit: Cells, row: Cells, table: Table) -> bool:
    value, found = unit[name], row[name]
    if name == "hours":
        minutes = [row[one] for one in ("drive_min", "diagnose_min", "repair_min") if row[one]]
        found = (found or 0) + sum(minutes) / 60 if found is not None or minutes else None
    if name == "age" and found is None and row["made"]:
        found = Decimal(unit["got"].year - int(str(row["made"])[:4]))
    if name == "type":
        theirs = table.ledger.types[value].casefold()  # a tumble dryer does not say its fuel
        return str(found).casefold() in {
            value.casefold(),
            theirs,
            theirs.removeprefix("tumble "),
        } or ((theirs, found) in (("congelador", "freezer"), ("secadora", "dryer")))
    if value is None or found is None or found == "":
        return (value is None or value == "") and (found is None or found == "")
    if name in NUMBERS:
        return abs(float(found) - float(value)) < (1.01 if name == "age" else 0.06)
    if name == "asked":
        return Decimal(str(found).split(";")[0].split(":")[-1].strip()) == value
    if name in ("maker", "note"):
        return str(found).casefold() == str(value).casefold()
    if name in MONEY:
        return abs(Decimal(str(found)) - value) < Decimal("0.01")
    return bool(found == value)


class _Told:
    """What the answers to a sheet say: of a line, of a column, of a unit that is missing."""

    def __init__(self, table: Table, added: Any) -> None:
        self.rows = [(n.line, n.column) for n in added.row_notes]
        self.asked = {line for q in added.reading.questions for line in q.lines}
        self.turned = [" ".join(filter(None, map(str, r.cells))) for r in added.rejected]
        self.columns = {n.column for n in added.notes}
        self.texts = [f"{n.what} {n.fix or ''}" for n in added.notes]
        self.texts += [f"{q.text} {' '.join(q.options)}" for q in added.reading.questions]

    def missing(self, table: Table, i: int) -> bool:
        code = table.truth[i]["note"][-4:]
        mine = set(" ".join(table.cells[i].values()).split())
        return any(
            code in text or len(mine & set(text.split())) >= 0.7 * len(mine) for text in self.turned
        )

    def quoted(self, cell: str) -> bool:
        return any(f"'{cell}'" in text for text in self.texts)

    def line(self, line: int) -> bool:
        return line in self.asked or any(at == line for at, _ in self.rows)

    def of(self, heading: str, line: int) -> bool:
        heading = " ".join(heading.split())
        if line in self.asked or any(
            at == line and (c is None or c.endswith(heading)) for at, c in self.rows
        ):
            return True
        return heading in self.columns or any(
            f"'{heading}'" in t
            or f'"{heading}"' in t
            or ("columns I do not know" in t and f" {heading}" in t)
            for t in self.texts
        )


def each(some: tuple[Strange, ...], folder: Path) -> Iterator[tuple[Strange, str, list[str], Any]]:
    for at, one in enumerate(some):
        place = folder / str(at)
        place.mkdir()
        yield one, *became(one, place)


def main(wanted: list[str], all_: tuple[Strange, ...]) -> None:
    some = tuple(o for o in all_ if not wanted or f"{o.ledger} {o.name}" in wanted)
    counts: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as place:
        for _at, (one, kind, differs, added) in enumerate(each(some, Path(place))):
            counts[kind] += 1
            print(
                f"{kind:<24}{one.ledger} {one.name}: {len(differs)} {' / '.join(differs[:2])[:230]}"
            )
            if wanted:
                print(*differs, sep="\n")
                for note in getattr(added, "notes", ()):
                    print("NOTE", note)
                for question in getattr(getattr(added, "reading", None), "questions", ()):
                    print("ASKS", question)
                for row in list(getattr(added, "rejected", ()))[:5]:
                    print("BACK", row)
    print(len(some), dict(counts))


if __name__ == "__main__":
    main(sys.argv[1:], ALL)
