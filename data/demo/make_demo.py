"""Write data/demo/ledger.csv: an invented record of about 210 repaired units over two years.
Everything in it is made up.

    python data/demo/make_demo.py [OUT.csv]

Seeded, standard library only: the same file every time. Prices and habits follow the starting
assumptions of the program with drift, season, haggling and price drops on top; a few typing slips,
blanks, "free" and a total row make it as messy as a real sheet. It serves the demo and the tests,
and proves nothing about any real trade.
"""

from __future__ import annotations

import csv
import io
import math
import random
import sys
from datetime import date, timedelta
from pathlib import Path

FIRST, LAST = date(2024, 10, 7), date(2026, 10, 4)
MAKERS = {
    "Norvane": 0.22,
    "Tessaly": 0.15,
    "Halbrook": 0.04,
    "Quillon": 0.0,
    "Marrowby": -0.04,
    "Ostrand": -0.12,
    "Pellworth": -0.18,
}
# type: (how common, price, days at a fair ask, slope a year, features, faults)
LAUNDRY_FAULTS = ["won't drain", "bangs or walks", "leaks", "door/lid won't lock", "dead"]
DRYER_FAULTS = ["no heat", "won't start", "drum won't turn", "takes too long"]
FRIDGE_FAULTS = [
    "fridge warm but freezer cold",
    "both warm, compressor clicks",
    "both warm, compressor runs",
    "no ice or water",
    "leaks water inside",
]
RANGE_FAULTS = ["burner dead", "oven won't heat", "dead or error code"]
DISH_FAULTS = ["won't drain", "not cleaning", "leaks", "dead"]
TYPES = {
    "top-load washer": (34, 220, 7, -0.06, ["large capacity"], [*LAUNDRY_FAULTS, "won't spin"]),
    "front-load washer": (
        26,
        300,
        12,
        -0.10,
        ["steam", "large capacity"],
        [*LAUNDRY_FAULTS, "roars in spin"],
    ),
    "electric dryer": (40, 180, 8, -0.06, ["steam", "moisture sensor"], DRYER_FAULTS),
    "gas dryer": (8, 190, 14, -0.06, ["moisture sensor"], DRYER_FAULTS),
    "top-freezer fridge": (18, 225, 7, -0.07, ["ice and water"], FRIDGE_FAULTS),
    "side-by-side fridge": (14, 370, 12, -0.10, ["ice and water", "stainless"], FRIDGE_FAULTS),
    "bottom-freezer/French-door fridge": (
        6,
        540,
        14,
        -0.11,
        ["ice and water", "stainless"],
        FRIDGE_FAULTS,
    ),
    "electric coil range": (9, 170, 10, -0.06, [], RANGE_FAULTS),
    "electric smooth-top range": (15, 260, 10, -0.08, ["convection", "stainless"], RANGE_FAULTS),
    "gas range": (12, 285, 10, -0.07, ["convection", "stainless"], RANGE_FAULTS),
    "dishwasher": (18, 140, 14, -0.12, ["stainless"], DISH_FAULTS),
    "wall oven": (4, 250, 30, -0.09, ["convection"], RANGE_FAULTS),
    "window AC": (6, 100, 6, -0.10, [], ["not known"]),
}
FEATURE = {
    "steam": 0.04,
    "large capacity": 0.08,
    "moisture sensor": 0.04,
    "ice and water": 0.08,
    "stainless": 0.11,
    "convection": 0.05,
}
# fault: [(what it turned out to be, repair, how often, chance to fix, parts, bench hours)]
REPAIRS = {
    "won't drain": [
        ("clogged pump filter", "pump filter cleared", 0.5, 0.97, 0, 0.5),
        ("bad drain pump", "drain pump", 0.5, 0.9, 32, 0.9),
    ],
    "bangs or walks": [("worn suspension", "suspension rods", 1, 0.9, 42, 0.8)],
    "leaks": [
        ("torn door boot", "door boot", 0.5, 0.85, 55, 1.4),
        ("cracked hose", "hose", 0.3, 0.95, 12, 0.6),
        ("tub seal", "tub seal", 0.2, 0.3, 60, 2.5),
    ],
    "door/lid won't lock": [("bad lock", "door lock", 1, 0.85, 38, 0.8)],
    "won't spin": [
        ("lid switch", "lid switch", 0.5, 0.92, 20, 0.7),
        ("worn coupling", "motor coupling", 0.5, 0.8, 30, 1.3),
    ],
    "roars in spin": [("bearings", "tub bearings", 1, 0.3, 95, 4.0)],
    "dead": [
        ("board", "control board", 0.5, 0.6, 110, 1.1),
        ("cord or latch", "cord", 0.5, 0.95, 14, 0.5),
    ],
    "no heat": [
        ("open element", "heating element", 0.6, 0.96, 28, 0.8),
        ("thermal fuse", "thermal fuse", 0.3, 0.97, 10, 0.6),
        ("igniter", "igniter", 0.1, 0.9, 30, 0.9),
    ],
    "won't start": [
        ("door switch", "door switch", 0.5, 0.95, 12, 0.5),
        ("thermal fuse", "thermal fuse", 0.5, 0.97, 10, 0.6),
    ],
    "drum won't turn": [
        ("broken belt", "belt", 0.7, 0.97, 18, 0.8),
        ("worn rollers", "rollers", 0.3, 0.93, 30, 1.3),
    ],
    "takes too long": [("lint in the vent", "vent cleared", 1, 0.96, 0, 0.5)],
    "fridge warm but freezer cold": [
        ("defrost heater", "defrost heater", 0.6, 0.85, 38, 1.6),
        ("evaporator fan", "evaporator fan", 0.4, 0.9, 35, 1.2),
    ],
    "both warm, compressor clicks": [
        ("start relay", "start relay", 0.6, 0.8, 20, 0.7),
        ("compressor", "", 0.4, 0.0, 0, 0.8),
    ],
    "both warm, compressor runs": [("sealed system", "", 1, 0.0, 0, 0.7)],
    "no ice or water": [("fill valve", "fill valve", 1, 0.8, 35, 1.0)],
    "leaks water inside": [("iced drain", "drain cleared", 1, 0.95, 0, 0.8)],
    "burner dead": [
        ("burned element", "surface element", 0.7, 0.97, 28, 0.6),
        ("infinite switch", "burner switch", 0.3, 0.95, 32, 0.8),
    ],
    "oven won't heat": [
        ("bake element or igniter", "bake element", 0.8, 0.95, 32, 0.7),
        ("oven sensor", "oven sensor", 0.2, 0.95, 22, 0.6),
    ],
    "dead or error code": [("board", "control board", 1, 0.55, 125, 1.1)],
    "not cleaning": [
        ("clogged arms", "arms and filter cleaned", 0.6, 0.95, 0, 0.8),
        ("circulation pump", "circulation pump", 0.4, 0.6, 70, 1.6),
    ],
    "not known": [
        ("dirty coils", "cleaned", 0.6, 0.95, 0, 0.6),
        ("compressor", "", 0.4, 0.0, 0, 0.5),
    ],
}
GRADES = {"rough": -0.33, "fair": -0.15, "good": 0.0, "like new": 0.10}
HEADERS = [
    "No.",
    "Appliance",
    "Brand",
    "Age (yrs)",
    "Features",
    "Condition",
    "Problem",
    "Found",
    "Work done",
    "Came from",
    "Date got",
    "Paid",
    "Parts $",
    "Miles",
    "Drive min",
    "Repair min",
    "Clean min",
    "Sell min",
    "Listed",
    "Asking",
    "Sold",
    "Sold for",
    "Where",
    "Scrap $",
    "Status",
    "Notes",
]


def us(day: date | None) -> str:
    return f"{day.month}/{day.day}/{day.year}" if day else ""


def dollars(value: float) -> str:
    return f"${value:,.2f}" if value != round(value) else f"${value:,.0f}"


def unit_row(r: random.Random, number: int, got: date) -> dict[str, str]:
    """One unit from the curb to its end, or as far as it came by LAST."""
    kind = r.choices(list(TYPES), [t[0] for t in TYPES.values()])[0]
    _, base, usual_days, slope, features, faults = TYPES[kind]
    maker = r.choices(list(MAKERS), [2, 3, 6, 7, 5, 4, 3])[0]
    age = min(max(round(r.gammavariate(4.5, 1.9)), 1), 20)
    has = [f for f in features if r.random() < 0.45]
    grade = r.choices(list(GRADES), [1, 4, 9, 2] if age < 10 else [3, 6, 5, 1])[0]
    fault = r.choice(faults)
    found, repair, _, fix, parts_usual, bench = r.choices(
        REPAIRS[fault], [x[2] for x in REPAIRS[fault]]
    )[0]
    fixed = r.random() < fix * (1.02 - 0.006 * age)
    parts = (
        round(parts_usual * math.exp(r.gauss(0, 0.3)), 2)
        if parts_usual and (fixed or r.random() < 0.5)
        else 0.0
    )
    hours = bench * math.exp(r.gauss(0, 0.35)) * (1 if fixed else 1.2)
    miles = max(round(r.gammavariate(3, 3.5)), 1)
    source = r.choices(
        ["curb", "classified ad", "neighbor", "landlord", "swap on delivery"], [5, 8, 3, 3, 2]
    )[0]
    paid = (
        0.0
        if source in ("curb", "swap on delivery") or r.random() < 0.35
        else 5 * round(r.uniform(10, 70) / 5)
    )
    row = {
        "No.": f"DEMO-{number:03d}",
        "Appliance": kind,
        "Brand": maker,
        "Age (yrs)": str(age),
        "Features": ", ".join(has),
        "Condition": grade,
        "Problem": fault,
        "Found": found,
        "Work done": repair if fixed else "",
        "Came from": source,
        "Date got": us(got),
        "Paid": dollars(paid) if paid else r.choice(["free", "0", "$0"]),
        "Parts $": f"{parts:.2f}" if parts else "0",
        "Miles": str(miles),
        "Drive min": str(round(miles * 2 / 28 * 60)),
        "Repair min": str(5 * round(hours * 12)),
        "Clean min": "",
        "Sell min": "",
        "Notes": "",
    }
    ready = got + timedelta(days=1 + round(r.gammavariate(1.6, 3.5)))
    if ready > LAST:
        return row | {"Status": r.choice(["in work", "waiting for part"])}
    if not fixed:
        scrap = 0 if "fridge" in kind else round(r.uniform(6, 13))
        if r.random() < 0.3:
            row |= {"Status": "parted out", "Scrap $": str(scrap + 5 * r.randrange(4, 13))}
        else:
            row |= {"Status": "scrapped", "Scrap $": str(scrap)}
        return row | {"Sold": us(ready)}
    row |= {
        "Clean min": str(5 * r.randrange(3, 12)),
        "Sell min": str(5 * r.randrange(4, 13)),
        "Listed": us(ready),
    }
    years = (ready - FIRST).days / 365.25
    season = (
        0.05
        * math.sin(2 * math.pi * (ready.timetuple().tm_yday - 80) / 365.25)
        * (4 if kind == "window AC" else 1)
    )
    seen = r.gauss(0, 0.10)  # what the seller sees and the sheet does not hold
    worth = base * math.exp(
        MAKERS[maker]
        + slope * (age - 6.5)
        + sum(FEATURE[f] for f in has)
        + GRADES[grade]
        + 0.03 * years
        + season
        + seen
    )
    ask = max(5 * round(worth * math.exp(r.gauss(0.08, 0.07)) / 5) - 1, 19)
    asks, day, sold = [(ready, ask)], ready, None
    while day <= LAST:
        mean = usual_days / math.log(2) * (ask / worth) ** 3.6
        wait = math.ceil(r.expovariate(1 / mean))
        if wait <= 14 or len(asks) > 4:
            sold = day + timedelta(days=wait)
            break
        day += timedelta(days=14)
        ask = max(5 * round(ask * 0.91 / 5) - 1, 15)
        asks.append((day, ask))
    asks = [a for a in asks if a[0] <= LAST]
    row["Asking"] = (
        dollars(asks[0][1])
        if len(asks) == 1
        else "; ".join(f"{d.isoformat()}: {a}" for d, a in asks)
    )
    if sold is None or sold > LAST:
        return row | {"Status": "listed"}
    off = 0.0 if r.random() < 1 / 3 else min(r.gammavariate(4, 0.03), 0.3)
    price = max(5 * round(asks[-1][1] * (1 - off) / 5), 15) if off else asks[-1][1]
    where = r.choices(["local ad", "word of mouth", "yard sign"], [7, 2, 1])[0]
    comeback = r.random() < 0.05
    return row | {
        "Sold": us(sold),
        "Sold for": dollars(price),
        "Where": where,
        "Status": "sold",
        "Notes": "came back once, fixed in an hour" if comeback else "",
    }


def slips(r: random.Random, rows: list[dict[str, str]]) -> None:
    """A few of the things that happen to real sheets, each told in the reading report or by the
    fit."""
    sold = [row for row in rows if row.get("Status") == "sold"]
    for row in r.sample(rows, 22):
        row["Age (yrs)"] = r.choice(["", "", "?"])
    for row in r.sample(rows, 9):
        row["Brand"] = ""
    for row in r.sample(sold, 8):
        row["Listed"] = ""
    for row in r.sample(sold, 6):
        row["Repair min"] = ""
    digits, swapped, tenfold, words = r.sample(sold, 4)
    digits["Sold for"] = digits["Sold for"].replace("$", "$ ")
    swapped["Sold"], swapped["Date got"] = swapped["Date got"], swapped["Sold"]
    tenfold["Sold for"] = dollars(10 * float(tenfold["Sold for"].replace("$", "").replace(",", "")))
    words["Sold for"] = "tbd"


def make(seed: int = 20261005) -> str:
    """The whole file as text."""
    r = random.Random(seed)
    span = (LAST - FIRST).days - 1
    days = sorted(
        FIRST + timedelta(days=day)
        for day in [
            *(r.randrange(span) for _ in range(196)),
            *(span - r.randrange(30) for _ in range(18)),
        ]
    )
    rows = [unit_row(r, number + 1, got) for number, got in enumerate(days)]
    slips(r, rows)
    out = io.StringIO()
    out.write("Units I picked up (DEMO: everything in this sheet is invented)\r\n\r\n")
    writer = csv.DictWriter(out, HEADERS, restval="")
    writer.writeheader()
    writer.writerows(rows)
    total = sum(
        float(row["Sold for"].replace("$", "").replace(",", "").strip())
        for row in rows
        if row.get("Sold for", "").startswith("$")
    )
    writer.writerow({"No.": "Total", "Sold for": dollars(total)})
    return out.getvalue()


if __name__ == "__main__":
    target = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).with_name("ledger.csv")
    target.write_text(make(), encoding="utf-8", newline="")
    print(f"wrote {target}")
