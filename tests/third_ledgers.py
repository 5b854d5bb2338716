"""Fourteen more invented ledgers, each as one stranger keeps it, in six dresses: written without a look
at the reader. `python tests/third_ledgers.py` counts what becomes of them."""

from __future__ import annotations

import sys
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import strange_dresses as s
from dresses import write_book
from strange_dresses import _OUT, _US, LEDGERS, MONEY, Ledger, Post, Strange, Table, _heads, _pair

_SAME = {t: t for t in _US}
_MAKERS = ("Norvane", "Halden", "Quillby", "Ostrand")
_FAULTS = ("no spin, belt off", "not heating - element", "leaks at door", "dead, fuse", "loud bearing",
           "won't drain", "pilot out", "seal torn")  # fmt: skip
_DE = "Waschautomat|Frontlader|Trockner|Gastrockner|Kühlschrank|Geschirrspüler|Herd|Gefriertruhe"

LEDGERS |= {
    "tax": Ledger(60, _heads("type maker got paid parts sold price outcome note",
        "Description of property|Make|Date acquired|Cost or other basis|Improvements|Date sold|"
        "Gross proceeds|Disposition|Memo"), _SAME,
        _pair(_OUT, "sold|held for sale|in process|junked|parted out|personal use"), _MAKERS,
        day="%m/%d/%Y", money="{:,.2f}"),
    "halves": Ledger(60, _heads("unit type got paid parts sold price note",
        "#|What|Bought|For|Spent on it|Sold|Got|Notes"), _SAME, {o: o for o in _OUT}, _MAKERS,
        day="%m/%d/%Y", money="{:.2f}", remarks=_FAULTS),
    "merge": Ledger(60, _heads("unit type maker got paid parts listed asked sold price outcome note",
        "No|Kind|Brand|Day in|Cost|Parts|Day up|Asking|Day out|Sold for|Status|Notes"), _SAME,
        {o: o for o in _OUT}, _MAKERS, day="%m/%d/%Y", money="{:.2f}"),
    "hun": Ledger(48, _heads(s._ALL, "Sorszám|Készülék|Gyártó|Kor (év)|Minőség|Vétel dátuma|Vételár|"
        "Alkatrész|Hirdetés dátuma|Irányár|Eladás dátuma|Eladási ár|Munkaóra|Km|Helyzet|Megjegyzés"),
        _pair(_US, "mosógép|elöltöltős mosógép|szárítógép|gázos szárítógép|hűtőszekrény|mosogatógép|"
        "villanytűzhely|fagyasztóláda"),
        _pair(_OUT, "eladva|hirdetve|javítás alatt|kidobva|alkatrésznek|megtartva"),
        ("Őrhegy", "Tűzkő"), day="%Y.%m.%d.", money="{:.0f} Ft", currency="HUF", sep=";",
        distance="km", enc="cp1250", grain="1000", remarks=("", "szép állapot", "zörög az ajtó")),
    "swiss": Ledger(48, _heads(s._ALL, "Lfd. Nr.|Gerätetyp|Fabrikat|Baujahr|Zustand|Abgeholt|EK|"
        "Ersatzteile|Online seit|VB|Weg am|VK|Std.|Weg (km)|Stand|Notiz"), _pair(_US, _DE),
        _pair(_OUT, "verkauft|online|in Reparatur|entsorgt|Teilespender|selbst behalten"),
        ("Rütlihorn", "Säntis"), day="%d.%m.%y", money="CHF {:.2f}", currency="CHF", sep=";",
        distance="km", enc="cp1252", remarks=("", "Tür klemmt", "läuft wieder schön")),
    "flats": Ledger(54, _heads("unit type maker age got paid parts hours sold price outcome note",
        "Asset tag|Appliance|Brand|Age (yrs)|Date pulled|Bought for|Repair parts $|Shop hrs|Date out|"
        "Sale $|Where it went|Why it came out"), _SAME,
        _pair(_OUT, "sold|for sale|in shop|hauled off|stripped|back in a unit"), _MAKERS,
        day="%m/%d/%y", money="{:.2f}", remarks=_FAULTS),
    "pallet": Ledger(72, _heads("unit type maker condition got paid parts listed asked sold price "
        "outcome note", "Stock #|Description|Mfr|Cond.|Won|Cost ea|Parts ea|On floor|Tag price|Sold|"
        "Cash in|Status|Remarks"), _SAME, _pair(_OUT, "sold|on floor|bench|dump|cannibalized|house"),
        _MAKERS, day="%m-%d-%Y", money="${:.2f}"),
    "tick": Ledger(48, _heads("unit type maker age got paid parts hours miles listed asked sold price "
        "note", "Nr|Machine|Make|Years|Date in|In (€)|Parts (€)|Work (h:mm)|Km|Advert|Asking (€)|"
        "Date gone|Out (€)|Remarks"), _SAME, {o: o for o in _OUT}, ("Pellow", "Tarn & Co"),
        day="%d/%m/%Y", money="{:.2f}", currency="EUR", distance="km"),
    "haggle": Ledger(60, _heads("unit type maker got paid listed asked sold price outcome note",
        "ID|Item|Brand|Picked up|Gave|Posted|Ask/Got|Went|Got|Status|Notes"), _SAME,
        {o: o for o in _OUT}, _MAKERS, day="%m/%d/%y", money="{:.0f}"),
    "colors": Ledger(48, _heads("type maker age got paid parts sold price hours outcome note",
        "Unit|Brand|Age|Got|Paid|Parts|Sold|Price|Hours|Color|Problem"), _SAME,
        _pair(_OUT, "green|yellow|orange|red|purple|blue"), _MAKERS, day="%m/%d/%Y", money="${:.2f}",
        remarks=_FAULTS),
    "app": Ledger(60, _heads("unit type maker got paid parts listed asked sold price hours miles "
        "outcome note", "id|category|brand|acquired_at|cost_cents|parts_cents|listed_at|"
        "list_price_cents|sold_at|sold_price_cents|minutes_worked|one_way_km|state|description"),
        {t: t.upper().replace(" ", "_").replace("-", "_") for t in _US},
        _pair(_OUT, "SOLD|ACTIVE|IN_REPAIR|SCRAPPED|PARTED_OUT|KEPT"), _MAKERS,
        day="%Y-%m-%dT18:30:00Z", money="{:.2f}", distance="km"),
    "couple": Ledger(48, _heads("type got paid sold price note",
        "Item|Date in|Paid out|Date out|Took in|Memo"), _SAME, {o: o for o in _OUT}, _MAKERS,
        day="%b %d %Y", money="${:.2f}"),
    "oz": Ledger(54, _heads("unit type maker age got paid parts listed asked sold price hours miles "
        "outcome note", "Job|Whitegood|Brand|How old|Picked up|Paid|Bits|Advertised|Asking|Sold|"
        "Sold for|Hrs|Kms|Went to|Notes"), _SAME,
        _pair(_OUT, "buyer|ad up|shed|tip|wrecked for bits|us"), ("Billarong", "Wattle"),
        day="%d/%m/%y", money="${:.2f}", currency="AUD", distance="km"),
    "jot": Ledger(40, _heads("type got paid sold price note", "what|got|for|sold|took|note"), _SAME,
        {o: o for o in _OUT}, _MAKERS, day="%m/%d/%y", money="{:.0f}", remarks=_FAULTS),
}  # fmt: skip


def only(keep: Callable[[dict[str, Any]], bool]) -> Post:
    """Only some of the units are in the sheet."""

    def post(t: Table) -> None:
        some = [i for i, unit in enumerate(t.truth) if keep(unit)]
        t.truth, t.rows, t.cells = ([rows[i] for i in some] for rows in (t.truth, t.rows, t.cells))  # type: ignore[assignment]

    return post


SOLD = only(lambda u: u["outcome"] == "sold")


def lines(label: Callable[[dict[str, Any]], str], at: int = 0, header: bool = False) -> Post:
    """A line above each section of the sheet, and the headings again if asked."""

    def post(t: Table) -> None:
        out: list[list[str]] = []
        last = ""
        for unit, row in zip(t.truth, t.rows, strict=True):
            if (now := label(unit)) != last:
                out += [[""] * len(row)] * bool(out)
                out.append([""] * at + [now])
                out += [list(t.head)] * (header and bool(last))
                last = now
            out.append(row)
        if header:
            t.before.append(out.pop(0))
        t.rows = out

    return post


def half(u: dict[str, Any]) -> str:
    return f"{'SPRING' if u['got'].month < 7 else 'FALL'} {u['got'].year}"


def side_by_side(t: Table) -> None:
    """Two sections beside each other: the first half of each year left, the second right."""
    left, right = ([r for u, r in zip(t.truth, t.rows, strict=True) if (u["got"].month < 7) == a]
                   for a in (True, False))  # fmt: skip
    wide = len(t.head)
    n = max(len(left), len(right))
    left, right = ([*rows, *[[""] * wide] * (n - len(rows))] for rows in (left, right))
    t.head = [*t.head, "", *t.head]
    t.rows = [[*a, "", *b] for a, b in zip(left, right, strict=True)]


def tabs(of: Callable[[dict[str, Any]], str]) -> Callable[[Table, Path], None]:
    """A workbook with a sheet for each section."""

    def book(t: Table, path: Path) -> None:
        parts: dict[str, list[list[Any]]] = {}
        for unit, row in zip(t.truth, t.rows, strict=True):
            line = [
                unit[n] if n in s.DAYS + MONEY else c for n, c in zip(t.names, row, strict=True)
            ]
            parts.setdefault(of(unit), [list(t.head)]).append(
                [c if c is not None else "" for c in line]
            )
        write_book(path, [(name, rows, "") for name, rows in parts.items()])

    return book


def grouped(t: Table, path: Path) -> None:
    """A workbook with merged headings in two lines and a title above."""
    top = {"got": "BOUGHT", "listed": "LISTED", "sold": "SOLD"}
    sub = {"got": "date", "paid": "$", "parts": "parts", "listed": "date", "asked": "$",
           "sold": "date", "price": "$"}  # fmt: skip
    body = [[u[n] if n in s.DAYS + MONEY and u[n] is not None else c
             for n, c in zip(t.names, row, strict=True)]
            for u, row in zip(t.truth, t.rows, strict=True)]  # fmt: skip
    write_book(path, [("Sheet1", [["Machines in and out"], [top.get(n, "") for n in t.names],
                                  [sub.get(n, t.of[n]) for n in t.names], *body], "")])  # fmt: skip


def merge_cells(a: str, b: str, form: str, heading: str, none: str = "") -> Post:
    """Two values in one cell: 180/150."""

    def post(t: Table) -> None:
        i, j = t.col(a), t.col(b)
        for row in t.rows:
            row[i] = row[i] and (form.format(row[i], row[j]) if row[j] else none.format(row[i]))
            del row[j]
        for cell in t.cells:
            cell[a] = cell[b] = form.format(cell[a], cell[b]) if cell[b] else cell[a]
        t.head[i] = t.of[a] = t.of[b] = heading
        del t.head[j], t.names[j]

    return post


def ticked(*columns: tuple[str, str, str]) -> Post:
    """A column of ticks for each (heading, outcome, tick)."""

    def post(t: Table) -> None:
        for heading, outcome, tick in columns:
            s.extra(heading, lambda i, u, o=outcome, k=tick: k if u["outcome"] == o else "")(t)

    return post


def in_type(t: Table) -> None:
    """The maker stands in front of the type, in one cell."""
    for unit, row in zip(t.truth, t.rows, strict=True):
        row[t.col("type")] = f"{unit['maker']} {row[t.col('type')]}"
    i = t.col("maker")
    for row in t.rows:
        del row[i]
    del t.head[i], t.names[i]
    t.carried.discard("maker")


def spent(t: Table) -> None:
    """Money that went out for no unit, between the units."""
    for k, (what, sum_) in enumerate(
        (("gas", "$38.10"), ("gloves + tape", "$14.75"), ("dump fee", "$22.00"))
    ):
        line = [""] * len(t.names)
        line[0], line[t.col("got")], line[t.col("paid")] = what, f"May {k + 3:02d} 2024", sum_
        t.rows.insert(9 * k + 5, line)


def gain(u: dict[str, Any], form: str = "{:,.2f}") -> str:
    if u["price"] is None:
        return ""
    value = u["price"] - u["paid"] - u["parts"]
    return form.format(value) if value >= 0 else f"({form.format(-value)})"


def lots(t: Table) -> None:
    """A line above each pallet: its number, how many pieces, what the lot cost."""
    out: list[list[str]] = []
    for i, row in enumerate(t.rows):
        if i % 6 == 0:
            out.append([f"PALLET {i // 6 + 1}", "6 pcs", f"${40 + 7 * (i % 5)} + 18% premium"])
        out.append(row)
    t.rows = out


def months_wide(t: Table) -> None:
    """A column for each month, the sale price under the month of the sale; the rest stays."""
    mons = sorted({u["sold"].strftime("%Y-%m") for u in t.truth if u["price"]})
    gone = [t.col("sold"), t.col("price")]
    t.head = [h for i, h in enumerate(t.head) if i not in gone] + [
        s.date.fromisoformat(m + "-01").strftime("%b %Y") for m in mons]  # fmt: skip
    t.rows = [
        [c for i, c in enumerate(row) if i not in gone]
        + [
            f"{u['price']:.0f}" if u["price"] and u["sold"].strftime("%Y-%m") == m else ""
            for m in mons
        ]
        for u, row in zip(t.truth, t.rows, strict=True)
    ]
    t.names = [n for n in t.names if n not in ("sold", "price")]


def chat(*forms: str) -> Callable[[Table], str]:
    return lambda t: "".join(
        forms[i % len(forms)].format(**dict(zip(t.names, row, strict=True))) + "\n"
        for i, row in enumerate(t.rows)
    )


def each_way(t: Table) -> None:
    """One line for the money that went out, one for what came in."""
    t.head, t.rows = ["Date", "Item", "Out", "In", "Memo"], [
        row
        for c in t.cells
        for row in ([c["got"], c["type"], c["paid"], "", c["note"]],
                    [c["sold"], c["type"], "", c["price"], c["note"]])
    ]  # fmt: skip


_D = Strange
_PAID_ONLY = s.by(lambda v: f"{v * 100:.0f}", *MONEY)
_HM = s.by(lambda v: s.hm(v, "{h}:{m:02d}"), "hours")
_MADE = s._YEARS_MADE
_APP = _PAID_ONLY | s.by(lambda v: int(v * 60), "hours")
_TICKS = ticked(("Sold?", "sold", "x"), ("Scrap?", "scrapped", "x"), ("Parts?", "parted", "x"))
_GAIN = s.extra("Gain or (loss)", lambda i, u: gain(u))
_BAL = s.extra("Balance", lambda i, u: f"${400 + 37 * i}.00")
_ASK = {
    "asked": lambda v, u: "" if v is None else f"{v:.0f}",
    "price": lambda v, u: f"{v:.0f}" if v else "",
}
_TYPES = lambda v, u: {"washer": "WASHER ", "fridge": "Fridge/Freezer"}.get(v, v.title())  # noqa: E731

# fmt: off
ALL = (
    _D("as kept", "tax", post=(_GAIN, s.above("Workshop - for the tax folder", ""))),
    _D("quarter subtotals", "tax", post=(only(lambda u: u["sold"]), s.sort(lambda u: u["sold"]), _GAIN,
       lambda t: [t.rows.insert(k, ["Q subtotal", "", "", "412.00", "96.10", "", "1,905.00", "", "", "1,396.90"])
                  for k in (36, 24, 12)] and None)),
    _D("accounting, dashes", "tax", fmts=s.money(" $ {:,.2f} ") | {"parts": lambda v, u: f" $ {v:,.2f} " if v else " $ -   "}, post=(_GAIN, )),
    _D("workbook, totals below", "tax", post=(_GAIN, s.total("TOTALS", "type", "paid", "parts", "price", gap=1)), opts={"book": lambda t, p: write_book(p, [("2024-26", [t.head, *t.rows], "")]), "ext": "xlsx"}),
    _D("acquired VARIOUS", "tax", post=(_GAIN, s.cells(lambda i, r: [*r[:2], "VARIOUS" if i % 7 == 3 else r[2], *r[3:]])), lost=("got", )),
    _D("year sections, header again", "tax", post=(lines(lambda u: f"Acquired in {u['got'].year}", header=True), )),

    _D("sections, days without year", "halves", fmts=s.days("%m/%d", strip=True), post=(SOLD, only(lambda u: (u["got"].year, u["got"].month < 7) == (u["sold"].year, u["sold"].month < 7)), lines(half))),
    _D("sections, full days, header again", "halves", post=(SOLD, lines(half, header=True))),
    _D("a tab for each half", "halves", post=(SOLD, ), opts={"book": tabs(half), "ext": "xlsx"}),
    _D("halves side by side", "halves", post=(SOLD, side_by_side)),
    _D("sections with sums", "halves", post=(SOLD, lines(half), lambda t: [t.rows.insert(k, ["", "total", "", "310", "75", "", "1480"]) for k in (45, 25)] and None)),
    _D("dashes in sections", "halves", fmts=s.days("%m-%d-%y"), post=(SOLD, lines(lambda u: f"--- {half(u).lower()} ---"))),

    _D("two lines of headings, workbook", "merge", opts={"book": grouped, "ext": "xlsx"}),
    _D("two lines of headings, text", "merge", heads={"got": "date", "paid": "$", "parts": "parts", "listed": "date", "asked": "$", "sold": "date", "price": "$"}, post=(s.groups(got="IN", listed="ON THE MARKET", sold="OUT"), )),
    _D("kind merged down", "merge", post=(s.sort(lambda u: u["type"]), s.merged("type")), opts={"book": s.typed(), "ext": "xlsx"}),
    _D("kind as a line of its own", "merge", drop=("type", ), post=(s.sort(lambda u: u["type"]), lines(lambda u: u["type"].upper() + "S")), lost=("type", )),
    _D("a title over three lines", "merge", post=(s.above("Machines", "kept by the two of us", "prices in dollars", "", ""), s.total("Sum", "unit", "paid", "parts", "price"))),
    _D("values as text in a workbook", "merge", opts={"book": lambda t, p: write_book(p, [("Tabelle1", [t.head, *t.rows], "")]), "ext": "xlsx"}),

    _D("as kept", "hun"),
    _D("12 500 Ft", "hun", fmts=s.money("{:,.0f} Ft", thousands="\u00a0")),
    _D("UTF-8, plain numbers", "hun", fmts=s.money("{:.0f}"), opts={"enc": "utf-8"}),
    _D("month names", "hun", fmts={"day": lambda v, u: (v and f"{v.year}. {['jan.', 'febr.', 'márc.', 'ápr.', 'máj.', 'jún.', 'júl.', 'aug.', 'szept.', 'okt.', 'nov.', 'dec.'][v.month - 1]} {v.day}.") or ""}),
    _D("latin 2", "hun", opts={"enc": "iso8859-2"}),
    _D("ezer Ft", "hun", heads={"paid": "Vételár (eFt)", "parts": "Alkatrész (eFt)", "asked": "Irányár (eFt)", "price": "Eladási ár (eFt)"}, fmts=s.by(lambda v: f"{v / 1000:.1f}".replace(".", ","), *MONEY)),

    _D("as kept", "swiss", fmts=_MADE),
    _D("apostrophes", "swiss", fmts=_MADE | s.money("{:,.2f}", thousands="'")),
    _D("Fr. 120.--", "swiss", fmts=_MADE | {"asked": lambda v, u: "" if v is None else f"Fr. {v:.0f}.--", "price": lambda v, u: "" if v is None else f"Fr. {v:.0f}.--"}),
    _D("rappen", "swiss", heads={"parts": "Ersatzteile (Rp.)"}, fmts=_MADE | {"parts": lambda v, u: f"{v * 100:.0f}"}),
    _D("Jg. 2016", "swiss", heads={"age": "Jg."}, fmts=_MADE),
    _D("Std. as 1h15, comma file", "swiss", fmts=_MADE | s.by(lambda v: s.hm(v, "{h}h{m:02d}"), "hours"), opts={"sep": ","}),

    _D("as kept", "flats", post=(s.extra("Building", lambda i, u: ("Maple", "Oak", "Birch")[i % 3], 1), s.extra("Apt", lambda i, u: str(101 + 7 * i % 40), 2))),
    _D("by building", "flats", post=(lambda t: [t.rows.insert(k, [f"{n} Court", *[""] * 11]) for k, n in ((36, "Birch"), (18, "Oak"), (0, "Maple"))] and None, )),
    _D("NC for nothing paid", "flats", fmts={"paid": lambda v, u: f"{v:.2f}" if v else "N/C"}),
    _D("hours h:mm", "flats", fmts=_HM, post=(s.extra("Rent credit", lambda i, u: f"{25 * (i % 3)}.00"), )),
    _D("why and what was done", "flats", post=(s.extra("Fix", lambda i, u: ("belt", "element", "gasket", "fuse")[i % 4]), s.extra("Installed yr", lambda i, u: str(u["got"].year - int(u["age"]))))),
    _D("where sold, buyer", "flats", heads={"outcome": "Outcome"}, fmts=s.words("outcome", kept="kept", listed="listed", scrapped="scrap"), post=(s.extra("Buyer", lambda i, u: ("tenant", "neighbor", "ad")[i % 3] if u["price"] else ""), )),

    _D("as kept", "pallet", post=(s.extra("Lot", lambda i, u: f"L{i // 6 + 1}", 0), )),
    _D("pallet lines", "pallet", post=(lots, )),
    _D("maker in the description", "pallet", post=(in_type, )),
    _D("hammer and premium", "pallet", heads={"paid": "Cost w/ premium"}, post=(s.extra("Hammer", lambda i, u: f"${u['paid'] / Decimal('1.18'):.2f}", 5), s.extra("Prem 18%", lambda i, u: f"${u['paid'] - u['paid'] / Decimal('1.18'):.2f}", 6))),
    _D("MSRP and percent", "pallet", post=(s.extra("MSRP", lambda i, u: f"${(u['price'] or 90) * 4 + 29}.99"), s.extra("% of MSRP", lambda i, u: "25%" if u["price"] else ""))),
    _D("lot as the number", "pallet", heads={"unit": "Lot"}, fmts={"unit": lambda v, u: f"L{(int(v) - 101) // 6 + 1}"}, lost=("unit", )),

    _D("as kept", "tick", fmts=_HM, post=(_TICKS, )),
    _D("ticks as TRUE", "tick", fmts=_HM, post=(s.extra("Sold", lambda i, u: "TRUE" if u["outcome"] == "sold" else "FALSE"), s.extra("Scrapped", lambda i, u: "TRUE" if u["outcome"] == "scrapped" else "FALSE"))),
    _D("decimal commas, semicolons", "tick", fmts=_HM | s.money("{:.2f}", ",", "."), opts={"sep": ";", "enc": "cp1252"}, post=(_TICKS, )),
    _D("minutes as 75'", "tick", heads={"hours": "Work"}, fmts=s.by(lambda v: f"{int(v * 60)}'", "hours"), post=(_TICKS, )),
    _D("km both ways", "tick", heads={"miles": "Km (both ways)"}, fmts=_HM | s.by(lambda v: v * 2, "miles"), post=(_TICKS, )),
    _D("sold 1/0", "tick", fmts=_HM, post=(s.extra("Sold (1/0)", lambda i, u: "1" if u["outcome"] == "sold" else "0"), )),

    _D("180/150", "haggle", fmts=_ASK, post=(merge_cells("asked", "price", "{}/{}", "Ask/Got", "{}/"), )),
    _D("180 > 150", "haggle", heads={"asked": "Ask > sold at"}, fmts=_ASK, post=(merge_cells("asked", "price", "{} > {}", "Ask > sold at", "{}"), )),
    _D("180 (150)", "haggle", fmts=_ASK, post=(merge_cells("asked", "price", "{} ({})", "Asked (took)", "{}"), )),
    _D("drops in the ask", "haggle", heads={"asked": "Asks", "price": "Took"}, fmts={"asked": lambda v, u: "" if v is None else f"{v + 20:.0f}, {v + 10:.0f}, {v:.0f}" if int(u["unit"]) % 4 == 0 else f"{v:.0f}"}, lost=("asked", )),
    _D("$180 obo", "haggle", heads={"asked": "Ask"}, fmts={"asked": lambda v, u: "" if v is None else (f"${v:.0f} obo", f"${v:.0f} firm", f"${v:.0f}")[int(u["unit"]) % 3]}),
    _D("dated drops", "haggle", heads={"asked": "Ask (drops)"}, fmts={"asked": lambda v, u: "" if v is None else f"{v:.0f}; {u['listed'] + s.timedelta(days=1):%m/%d/%y} {v - 5:.0f}" if int(u["unit"]) % 4 == 0 and u["outcome"] == "sold" and u["asked"] - 5 >= u["price"] else f"{v:.0f}"}),

    _D("as kept", "colors", lost=("note", )),
    _D("legend below", "colors", lost=("note", ), post=(s.below("green = sold", "red = scrapped", "yellow = listed", "orange = in work", "purple = parted", "blue = kept"), )),
    _D("legend above", "colors", lost=("note", ), post=(s.above("green = sold, yellow = listed, orange = on bench, red = scrap", ""), )),
    _D("sold and blank", "colors", heads={"outcome": "Gone?"}, fmts={"outcome": lambda v, u: {"sold": "gone", "scrapped": "dump", "parted": "stripped", "kept": "ours"}.get(v, "")}, lost=("outcome", "note")),
    _D("age in the problem", "colors", drop=("age", ), fmts={"note": lambda v, u: f"{u['age']} yrs old, {v}"}, lost=("note", )),
    _D("days as Tues 5 Mar 24", "colors", lost=("note", ), fmts=s.days("%a %-d %b %y")),

    _D("as kept", "app", fmts=_APP),
    _D("camelCase", "app", heads=dict(zip(LEDGERS["app"].heads, ["itemId", "category", "brandName", "acquiredAt", "costCents", "partsCents", "listedAt", "listPriceCents", "soldAt", "soldPriceCents", "minutesWorked", "oneWayKm", "state", "description"], strict=True)), fmts=_APP),
    _D("null for nothing", "app", fmts=_APP | {k: (lambda v, u, f=f: f(v, u) or "null") for k, f in _APP.items() if k in MONEY} | {"day": lambda v, u: v.strftime("%Y-%m-%d %H:%M:%S") if v else "null"}),
    _D("whole units and zone", "app", heads={"paid": "cost", "parts": "parts_cost", "asked": "list_price", "price": "sold_price"}, fmts=s.by(lambda v: int(v * 60), "hours") | s.days("%Y-%m-%d 18:30:00+00:00")),
    _D("meters", "app", heads={"miles": "one_way_m"}, fmts=_APP | s.by(lambda v: v * 1000, "miles")),
    _D("tabs, quoted all", "app", fmts=_APP, opts={"sep": "\t", "quoting": s.csv.QUOTE_ALL, "ext": "tsv"}),

    _D("as kept", "couple", post=(SOLD, _BAL)),
    _D("spending between", "couple", post=(SOLD, spent)),
    _D("who", "couple", post=(SOLD, s.extra("Who", lambda i, u: "JB"[i % 2], 0), s.extra("Split", lambda i, u: f"${(u['price'] - u['paid']) / 2:.2f}"))),
    _D("in and out", "couple", heads={"got": "In", "paid": "$ spent", "sold": "Out", "price": "$ made"}, post=(SOLD, )),
    _D("months wide", "couple", post=(SOLD, months_wide), lost=("sold", )),
    _D("one row each way", "couple", post=(SOLD, each_way)),

    _D("as kept", "oz"),
    _D("hard rubbish", "oz", fmts={"paid": lambda v, u: f"${v:.0f}" if v else ("hard rubbish", "kerbside", "$0")[int(u["unit"]) % 3]}),
    _D("financial years", "oz", post=(lines(lambda u: f"FY{u['got'].year % 100 + (u['got'].month > 6)}"), )),
    _D("incl GST", "oz", heads={"price": "Sold for (inc GST)", "paid": "Paid (inc GST)"}, post=(s.extra("GST", lambda i, u: f"${u['price'] / 11:.2f}" if u["price"] else ""), )),
    _D("hrs as 1.5 hrs", "oz", fmts=s.by(lambda v: f"{v:g} hrs", "hours") | s.by(lambda v: f"{v} km", "miles")),
    _D("fridge/freezer, capitals", "oz", fmts={"type": _TYPES}, lost=("type", )),

    _D("commas, no headings", "jot", post=(SOLD, s.headless)),
    _D("headings", "jot", post=(SOLD, )),
    _D("labels in the cells", "jot", fmts={"got": lambda v, u: f"got {v:%m/%d/%y}", "paid": lambda v, u: f"${v:.0f}", "sold": lambda v, u: (v and f"sold {v:%m/%d/%y}") or "", "price": lambda v, u: f"${v:.0f}" if v else ""}, post=(SOLD, s.headless)),
    _D("dashes", "jot", post=(SOLD, ), opts={"raw": chat("- {type}, got {got} for ${paid}, sold {sold} for ${price} ({note})"), "ext": "txt"}),
    _D("tabs, no headings", "jot", post=(SOLD, s.headless), opts={"sep": "\t", "ext": "txt"}),
    _D("chat", "jot", post=(SOLD, ), opts={"raw": chat("{got}: picked up a {type} {paid} bucks. {note}", "{sold}: {type} went for {price}. {note}"), "ext": "txt"}),
)
# fmt: on


if __name__ == "__main__":
    s.main(sys.argv[1:], ALL)
