"""Invented ledgers and random units for the phone's parity: everything is drawn by seed, nothing is
a real unit."""

from __future__ import annotations

import random
from collections.abc import Mapping
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from references import recent_sales

from pricing.basis.assumed import FAULTS, TYPES
from pricing.basis.home import Home
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.basis.units import from_rows
from pricing.model import saved
from pricing.model.price.price_fit import fit_price
from pricing.model.repair.repair_fit import fit_repair
from pricing.model.saletime.saletime_fit import fit_saletime

DAY = date(2026, 4, 30)
MAKERS = ("aldora", "brightwell", "corvane", "dunmere")
FEATURES = ("steam", "stainless", "ice and water", "quiet drum")
REPAIRS = ("belt", "pump", "cleaned", "control board", "belt; pump", "door latch", "bearing")
OWNERS = ("ada", "bo", "cleo")  # of the worlds that several people keep together
PAIRS = (
    "front-load washer + dryer pair",
    "top-load washer + dryer pair",
    "laundry pair",
    "gas washer dryer set",
)
SETTINGS: tuple[Settings, ...] = (
    Settings(),
    Settings(
        attributes={"drum": "log", "color": "category", "shine": "ordered"},
        usual_price={"kettle stove": 140.0},
    ),
    Settings(
        short_of="space",
        selling_fee_share=0.08,
        selling_fee_fixed=2.0,
        coverage=0.9,
        weight_unit="kg",
        distance_unit="km",
        new_price={"wall oven": 300.0},
    ),
    Settings(
        assumed_types={"soda cooler": {"family": "cold", "price": 320.0}},
        assumed_faults={"rattles": {"fix": 0.8, "parts": 12.0}},
        comebacks_of_100=5.0,
        clear_after_days=40.0,
    ),
    Settings(hourly_target=12.0, clear_share=0.4, holding_cost_per_day=1.0),
)
SHARED = (2, 4)
N_UNITS = (0, 90, 160, 40, 220)  # of each world


def ledger(seed: int, settings: Settings) -> list[dict[str, Any]]:
    """An invented record: units got over two years, most of them fixed and sold."""
    draw = random.Random(seed)
    types = [
        *draw.sample([row.type for row in TYPES], 6),
        "bread oven",
        "top-load washer",
        "electric dryer",
        draw.choice(PAIRS),
    ]
    rows: list[dict[str, Any]] = []
    for place in range(N_UNITS[seed % len(N_UNITS)]):
        name = draw.choice(types)
        usual = next((row for row in TYPES if row.type == name), TYPES[0])
        got = DAY - timedelta(days=draw.randrange(70, 720))
        age = float(draw.randrange(1, 18))
        fixed = draw.random() < 0.8
        worth = usual.price * 2.718 ** (usual.slope_5y * (age - 6.5) / 5 + draw.gauss(0, 0.2))
        ask = round(worth * draw.uniform(0.95, 1.2), 0)
        listed = got + timedelta(days=draw.randrange(1, 20))
        sold = min(listed + timedelta(days=1 + int(draw.expovariate(1 / usual.days))), DAY)
        row: dict[str, Any] = {
            "unit": f"{seed}-{place}",
            "type": name,
            "maker": draw.choice((*MAKERS, None)),
            "age": age if draw.random() < 0.85 else None,
            "condition": draw.choice(("rough", "fair", "good", "like new", None)),
            "features": "; ".join(sorted(draw.sample(FEATURES, draw.randrange(3)))) or None,
            "fault": draw.choice(
                [row.fault for row in FAULTS if row.family != "any"] + ["rattles", None]
            ),
            "repair": draw.choice(REPAIRS) if fixed else None,
            "got": float(got.toordinal()),
            "listed": float(listed.toordinal()) if fixed else None,
            "asked": f"{listed.isoformat()}:{ask:g}" if fixed else None,
            "sold": float(sold.toordinal()),
            "price": round(min(worth, ask), 2) if fixed else None,
            "salvage": None if fixed else 8.0,
            "outcome": "sold" if fixed else "scrapped",
            "paid": float(draw.randrange(0, 60)),
            "parts": float(draw.choice((0, 0, 12, 25, 60))) if fixed else None,
            "repair_min": float(draw.randrange(20, 120)),
            "miles": float(draw.randrange(2, 25)),
            "owner": draw.choice((*OWNERS, None)) if seed % 5 in SHARED else None,
        }
        rows.append(row | _own(draw, settings))
    _link(rows)
    return rows


def _link(rows: list[dict[str, Any]]) -> None:
    """Some washers and dryers that were sold together: the washer names the dryer, or both have one
    name."""
    washers, dryers = (
        [row for row in rows if row["type"] == name and row["price"]]
        for name in ("top-load washer", "electric dryer")
    )
    for place, (washer, dryer) in enumerate(zip(washers[::2], dryers, strict=False)):
        if place % 2:
            washer["pair"] = dryer["unit"]
        else:
            washer["pair"] = dryer["pair"] = f"set {place}"


def _own(draw: random.Random, settings: Settings) -> dict[str, Any]:
    kinds = {
        "log": lambda: draw.uniform(2, 9),
        "number": lambda: draw.uniform(-3, 3),
        "category": lambda: draw.choice(("red", "grey", "teal")),
        "ordered": lambda: draw.choice(("dull", "plain", "bright")),
    }
    return {
        name: kinds[kind]() for name, kind in settings.attributes.items() if draw.random() < 0.8
    }


def world(seed: int, folder: Path) -> tuple[saved.Saved, Settings]:
    """One fitted world; the first has no unit at all."""
    settings = SETTINGS[seed % len(SETTINGS)]
    units = from_rows(ledger(seed, settings), settings.number_attributes)
    fitted = fit_price(units, settings, DAY)
    home = Home(folder)
    saved.save(
        home,
        saved.NewNumbers(
            as_of=DAY,
            record="",
            settings="",
            price=fitted,
            repair=fit_repair(units, settings, DAY),
            saletime=fit_saletime(units, fitted, settings, DAY),
            similar=recent_sales(units, fitted),
            words={"owner": [*OWNERS, "dora"]} if seed % 5 in SHARED else {},
            spot_a_day=1.5 if seed % 2 == 0 else 0.0,
            open_units=[],
        ),
    )
    return saved.load(home), settings


def questions(seed: int, n: int, settings: Settings) -> list[Question]:
    """Random questions: unknown types and faults, blank ages, years made, own attributes, the
    person's own numbers, units already listed."""
    draw = random.Random(1000 + seed)
    known_types = [row.type for row in TYPES]
    out = []
    for _ in range(n):
        name = draw.choice(
            (
                *known_types,
                *known_types,
                "bread oven",
                "kettle stove",
                "soda cooler",
                "washer",
                "fridge",
                "toString",
                "moon buggy",
                "laundry 9000",
                "electric drier",
                *PAIRS,
            )
        )
        unit: dict[str, Any] = {"type": name} | _own(draw, settings)
        choices: Mapping[str, Any] = {
            "maker": lambda: draw.choice((*MAKERS, "never heard of", "__proto__")),
            "age": lambda: draw.choice((0.0, 3.5, 7.0, 12.0, 25.0, 60.0)),
            "condition": lambda: draw.choice(("rough", "fair", "good", "like new")),
            "features": lambda: draw.choice((*FEATURES, "steam; wings", "quiet drum; steam")),
            "fault": lambda: draw.choice(
                [row.fault for row in FAULTS]
                + [
                    "rattles",
                    "no heat",
                    "won't drain",
                    "smells of gas",
                    "hums a tune",
                    "not heating at all",
                    "wont start",
                    "Überlauf",
                ]
            ),
            "sold_where": lambda: "market",
            "fuel": lambda: draw.choice(("gas", "electric")),
        }
        for column, choose in choices.items():
            if draw.random() < 0.6:
                unit[column] = choose()
        if draw.random() < 0.3:
            unit["owner"] = draw.choice((*OWNERS, "dora", "adda", "nobody"))
        if draw.random() < 0.1:
            unit["found"] = draw.choice(("belt", "sealed system leak", "won't drain"))
        if draw.random() < 0.2:
            unit["repair"] = draw.choice(REPAIRS)
        if draw.random() < 0.25:
            listed = DAY - timedelta(days=draw.choice((0, 3, 21, 70)))
            unit["listed"] = float(listed.toordinal())
            if draw.random() < 0.6:
                unit["asked"] = (
                    f"{listed.isoformat()}:{draw.randrange(80, 400)};"
                    f" {(listed + timedelta(days=9)).isoformat()}:{draw.randrange(60, 300)}"
                )
        made: tuple[int, ...] = ()
        if "age" not in unit and draw.random() < 0.5:
            made = tuple(sorted(draw.sample(range(2004, 2026), draw.randrange(1, 4))))
        spans = {
            "their_price": (-40, 120),
            "miles": (0, 40),
            "parts": (0, 90),
            "hours": (0.5, 6),
            "fix_chance": (0, 1),
            "price": (60, 500),
            "helper": (0, 40),
            "drive_min": (0, 90),
            "minutes": (0, 60),
            "on_trip": (1, 3),
            "asked_now": (60, 400),
            "offered": (20, 400),
        }
        often = {"their_price": 0.6, "miles": 0.6, "offered": 0.4}
        known = {
            what: round(draw.uniform(*span), 2)
            for what, span in spans.items()
            if draw.random() < often.get(what, 0.1)
        }
        out.append(Question(unit, known, made, draw.random() < 0.2))
    return out


def as_given(question: Question) -> dict[str, Any]:
    """The question as the page holds it."""
    return {
        "unit": dict(question.unit),
        "known": dict(question.known),
        "made": list(question.made),
        "at_curb": question.at_curb,
    }
