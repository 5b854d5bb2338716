"""Starting assumptions by type and by fault, and the few trade figures that hold for all: the one
table of labelled guesses.

Status of every figure here: **common practice, from memory, no source** (US local market, US
dollars, a handy person with about three years at it), unless a line says otherwise. They lead while
own units are few, show as GUESS on every screen, lose weight as own units grow, and are replaced
line by line in `pricing.toml` under `[assumed.types."…"]` and `[assumed.faults."…"]`.
"""

from __future__ import annotations

from dataclasses import fields, replace
from typing import TYPE_CHECKING

from pricing.basis.frozen import frozen

if TYPE_CHECKING:
    from pricing.basis.settings import Settings


@frozen
class AssumedType:
    """A working, cleaned, mid-grade unit of 5-8 years of this type.

    price with four in five between low and high (money); days to sell at that price; weight_lb
    (pounds); scrap (money);
    slope_5y: change of ln price per five years of age; clean_sell_h: hours to clean and sell.
    """

    type: str
    family: str
    price: float
    low: float
    high: float
    days: float
    weight_lb: float
    scrap: float
    slope_5y: float
    clean_sell_h: float


@frozen
class AssumedFault:
    """A fault as told, for one narrow family ("any" holds for all).

    found: what it usually turns out to be and what is done; fix: chance to fix, 0-1; parts:
    expected money when fixed, with the usual low and high (0 is common); bench_h: hours on the
    bench.
    """

    family: str
    fault: str
    found: str
    fix: float
    parts: float
    parts_low: float
    parts_high: float
    bench_h: float


TYPES: tuple[AssumedType, ...] = (
    AssumedType("top-load washer", "laundry", 225, 165, 300, 7, 150, 10, -0.3, 1.2),
    AssumedType("front-load washer", "laundry", 300, 210, 420, 12, 205, 13, -0.55, 1.4),
    AssumedType("electric dryer", "laundry", 185, 135, 250, 8, 115, 8, -0.3, 1),
    AssumedType("gas dryer", "laundry", 190, 130, 265, 14, 125, 8, -0.3, 1),
    AssumedType("top-load washer + dryer pair", "laundry", 425, 320, 560, 6, 265, 18, -0.32, 1.9),
    AssumedType(
        "front-load washer + dryer pair", "laundry", 600, 430, 800, 12, 325, 21, -0.48, 2.2
    ),
    AssumedType("one-piece stacked washer/dryer", "laundry", 450, 320, 620, 9, 250, 16, -0.35, 1.8),
    AssumedType("compact/portable washer", "laundry", 130, 85, 190, 10, 65, 3, -0.5, 0.9),
    AssumedType("top-freezer fridge", "cold", 225, 160, 310, 7, 170, 3, -0.35, 1.6),
    AssumedType("side-by-side fridge", "cold", 375, 260, 540, 12, 270, 5, -0.5, 2),
    AssumedType("bottom-freezer/French-door fridge", "cold", 550, 370, 800, 14, 285, 5, -0.55, 2.1),
    AssumedType("upright freezer", "cold", 230, 160, 330, 7, 170, 3, -0.3, 1.2),
    AssumedType("chest freezer", "cold", 150, 105, 215, 6, 110, 2, -0.25, 1),
    AssumedType("compact fridge", "cold", 70, 45, 105, 7, 50, 0, -0.45, 0.7),
    AssumedType("electric coil range", "cooking", 175, 120, 245, 10, 140, 9, -0.3, 1.7),
    AssumedType("electric smooth-top range", "cooking", 260, 185, 365, 10, 155, 9, -0.4, 1.6),
    AssumedType("gas range", "cooking", 285, 200, 400, 10, 165, 10, -0.35, 1.7),
    AssumedType(
        "slide-in range (gas or electric)", "cooking", 400, 270, 580, 16, 185, 11, -0.45, 1.8
    ),
    AssumedType("wall oven", "cooking", 250, 150, 400, 30, 150, 9, -0.45, 1.6),
    AssumedType("dishwasher", "dish", 140, 95, 205, 14, 75, 4, -0.6, 1.2),
    AssumedType("over-the-range microwave", "microwave", 90, 60, 135, 12, 58, 3, -0.55, 0.8),
    AssumedType("window AC", "air", 100, 60, 150, 6, 60, 3, -0.5, 0.7),
    AssumedType("dehumidifier", "air", 75, 50, 110, 8, 42, 1, -0.55, 0.6),
)

FAULTS: tuple[AssumedFault, ...] = (
    AssumedFault(
        "washer", "won't drain", "pump filter/hose cleared 45 %; pump 50 %", 0.87, 18, 0, 45, 0.8
    ),
    AssumedFault(
        "washer",
        "won't spin or agitate (top-load)",
        "lid switch/lock; belt; motor coupling; shift actuator",
        0.78,
        28,
        0,
        70,
        1.1,
    ),
    AssumedFault(
        "washer", "bangs or walks", "suspension rods or springs; leveled", 0.87, 40, 0, 75, 0.8
    ),
    AssumedFault(
        "washer",
        "roars in spin (top-load)",
        "tub bearing or gearcase: mostly part out",
        0.3,
        80,
        0,
        190,
        3,
    ),
    AssumedFault(
        "washer",
        "roars in spin (front-load)",
        "bearings/spider: mostly part out",
        0.25,
        110,
        40,
        260,
        4.5,
    ),
    AssumedFault(
        "washer",
        "won't fill or fills slow",
        "screens cleaned; inlet valve; pressure hose/switch",
        0.87,
        20,
        0,
        45,
        0.7,
    ),
    AssumedFault(
        "washer", "leaks", "hose; door boot; pump; (tub seal: stop)", 0.72, 35, 0, 110, 1.3
    ),
    AssumedFault(
        "washer", "door/lid won't lock (error code)", "lock; harness; board", 0.75, 35, 0, 110, 1
    ),
    AssumedFault("washer", "dead", "outlet/cord; lid lock; board", 0.55, 55, 0, 190, 1.2),
    AssumedFault("washer", "smells or mold", "cleaned; boot", 0.85, 10, 0, 80, 1),
    AssumedFault(
        "dryer",
        "no heat (electric)",
        "element; thermal cutoff; house breaker/cord leg",
        0.93,
        24,
        0,
        50,
        0.8,
    ),
    AssumedFault(
        "dryer", "no heat (gas)", "igniter; valve coils; flame sensor", 0.88, 28, 0, 60, 0.9
    ),
    AssumedFault(
        "dryer", "takes too long", "vent/lint cleared; thermostat; blower", 0.9, 8, 0, 45, 0.8
    ),
    AssumedFault(
        "dryer", "won't start", "thermal fuse; door switch; belt; start switch", 0.9, 14, 0, 45, 0.7
    ),
    AssumedFault(
        "dryer", "drum won't turn or squeals", "belt; idler; rollers; glides", 0.92, 25, 8, 55, 1.1
    ),
    AssumedFault(
        "fridge",
        "fridge warm but freezer cold",
        "defrost heater/thermostat/board; evaporator fan; damper",
        0.72,
        35,
        0,
        120,
        1.6,
    ),
    AssumedFault(
        "fridge",
        "both warm and compressor clicks or is silent",
        "start device; condenser fan; coil cleaned; (compressor: stop)",
        0.45,
        22,
        0,
        60,
        1,
    ),
    AssumedFault(
        "fridge", "both warm and compressor runs", "sealed system: not at home", 0.05, 5, 0, 40, 0.6
    ),
    AssumedFault(
        "fridge", "no ice or no water", "fill valve; frozen line; ice maker", 0.68, 45, 0, 120, 1
    ),
    AssumedFault("fridge", "leaks water inside", "drain cleared", 0.9, 4, 0, 30, 0.8),
    AssumedFault("fridge", "dead or no display", "outlet/cord; board", 0.45, 85, 0, 220, 1),
    AssumedFault(
        "range",
        "burner dead (electric)",
        "coil/radiant element; receptacle; switch",
        0.92,
        28,
        0,
        70,
        0.7,
    ),
    AssumedFault(
        "range", "oven won't heat (electric)", "bake element; sensor; board", 0.87, 32, 15, 170, 0.8
    ),
    AssumedFault("range", "oven won't heat (gas)", "igniter", 0.91, 30, 18, 65, 0.7),
    AssumedFault(
        "range",
        "burner clicks or won't light (gas)",
        "cleaned/dried; spark switch or module",
        0.85,
        18,
        0,
        70,
        0.8,
    ),
    AssumedFault("range", "dead or error code", "board/touch panel", 0.55, 110, 0, 240, 1),
    AssumedFault(
        "range", "glass cooktop cracked", "glass: as-is or parts mostly", 0.45, 180, 110, 320, 1
    ),
    AssumedFault("dishwasher", "won't drain", "cleared; pump", 0.87, 10, 0, 50, 0.8),
    AssumedFault(
        "dishwasher",
        "not cleaning or won't fill",
        "arms/filter; inlet valve; circulation pump",
        0.65,
        25,
        0,
        90,
        1.1,
    ),
    AssumedFault("dishwasher", "leaks", "door gasket; level; sump (stop)", 0.62, 22, 0, 70, 1.1),
    AssumedFault("dishwasher", "dead", "latch; thermal fuse; board", 0.58, 45, 0, 160, 1),
    AssumedFault("any", 'not known / "doesn\'t work"', "anything", 0.5, 30, 0, 130, 1.5),
    AssumedFault("any", "works; owner upgraded", "cleaned and tested", 0.94, 0, 0, 25, 0.5),
)

# ln price steps between grades, from "good": common practice.
CONDITION_EFFECT = {"rough": -0.35, "fair": -0.15, "good": 0.0, "like new": 0.10}
# ln price of a feature: the four named here, every other .05 (own judgement). Common practice.
FEATURE_EFFECT = {
    "ice and water": 0.08,
    "stainless": 0.12,
    "large capacity": 0.08,
    "steam": 0.03,
    "phone-connected": 0.0,
}
OTHER_FEATURE_EFFECT = 0.05
TIER_EFFECT = {"plain": -0.15, "middle": 0.0, "upper": 0.20}  # ln price; own judgement
MIDDLE_AGE = 6.5  # years: the age that `price` of a type stands for, the middle of 5-8
HAGGLE_FULL_SHARE = (
    1 / 3
)  # one in three pays the full ask, the others 12 % less on average: mean .92. Common practice.
HAGGLE_OFF_WHEN_ANY = 0.12
COMEBACKS_OF_100 = {"cold": 8.0, "dryer": 4.0, "": 6.0}  # within 30 days. Common practice.
ASK_CEILING = 1.20  # of worth, until drops have taught how the ask moves the days. Own judgement.
NEW_PRICE_CEILING = 0.60  # of what the plainest new one costs. Own judgement.
ELASTICITY_MEAN, ELASTICITY_SD = 4.0, 1.5  # of the sale rate with the ask. Own judgement.
WASTED_PARTS_SHARE = 0.5  # of failed repairs waste the part. Own judgement.

# What a repair by its name says about the chance, by words in it: a low rank is the most that is
# assumed, a high one the least.
# Ranks: published repair studies of 11,000 European diagnoses find doors, brushes and foreign
# objects repaired most often, and
# bearings, drums and tubs, circulation pumps and electronics least (J. Cleaner Production
# 215:1112-1122, 2019). The figures are own judgement.
# parts: expected money where the name says more than the fault does; None keeps that of the fault.
# Common practice, from memory.
LOW_RANKS: tuple[tuple[tuple[str, ...], float, float | None], ...] = (
    (
        ("sealed system", "compressor replaced", "compressor", "refrigerant", "evaporator leak"),
        0.15,
        150,
    ),
    (
        ("bearing", "spider", "tub seal", "gearcase", "transmission", "drum replaced", "outer tub"),
        0.55,
        None,
    ),
    (("board", "electronic", "inverter", "touch panel", "circulation pump"), 0.72, 100),
)
HIGH_RANKS: tuple[tuple[tuple[str, ...], float, float | None], ...] = (
    (
        (
            "cleaned",
            "cleared",
            "leveled",
            "levelled",
            "tightened",
            "reset",
            "foreign object",
            "unclogged",
            "adjusted",
        ),
        0.82,
        4,
    ),
    (("door", "latch", "brush", "handle", "knob", "hose", "lid switch"), 0.78, None),
)
NOT_LOW = (
    "relay",
    "start device",
    "start capacitor",
    "fan",
)  # beside "compressor": the cheap part that starts it
ZERO_PARTS_SHARE, ZERO_PARTS_SHARE_NEVER = (
    0.30,
    0.05,
    # of repairs that worked with no part bought, where the table's low figure is 0, or not. Own
    # judgement.
)
# share of the chance to fix it, per year older than MIDDLE_AGE: parts get scarce, screws rust. Own
# judgement.
FIX_PER_YEAR = -0.01
FAILED_HOURS = 0.90  # hours of a try that failed, as a share of one that worked. Own judgement.
FAILED_REST_HOURS = 0.25  # to take it to the yard or hand it on. Own judgement.
AS_IS_SHARE, AS_IS_HOURS = 0.12, 0.6  # of the working price, broken and said so. Own judgement.
PARTED_SHARE, PARTED_HOURS = (
    0.12,
    1.0,
)  # of the working price, from the parts worth pulling. Own judgement.
BENCH_DAYS = 7.0  # from got to listed. Own judgement.
USUAL_MILES = 10.0  # one way, where nobody says. Own judgement.
# of the most to pay, to start at, until the person's own prices paid say better. Own judgement.
USUAL_PAID_SHARE = 0.40
AGES_HEARD = (
    3.0,
    6.0,
    9.0,
    12.0,
    16.0,
)  # years, in five equal parts of the units on offer. Own judgement.
CONDITIONS_HEARD = {
    "rough": 0.10,
    "fair": 0.30,
    "good": 0.45,
    "like new": 0.15,
}  # of the units on offer. Own judgement.

# The families of FAULTS are narrower than those of TYPES.
_FAULT_FAMILY_WORDS = (
    ("washer/dryer", ("washer", "dryer")),
    ("pair", ("washer", "dryer")),
    ("stacked", ("washer", "dryer")),
    ("dishwasher", ("dishwasher",)),
    ("washer", ("washer",)),
    ("dryer", ("dryer",)),
)
_FAULT_FAMILY_OF_FAMILY = {"cold": ("fridge",), "cooking": ("range",), "dish": ("dishwasher",)}


def assumed_types(settings: Settings) -> dict[str, AssumedType]:
    """The table of types by name, with the person's own rows in place of ours; a new type needs
    only what it changes.

    Blank fields of a new type come from `GENERIC_TYPE`; `usual_price` replaces the price and moves
    low and high with it.
    """
    table = {row.type: row for row in TYPES}
    for name, changes in settings.assumed_types.items():
        table[name] = replace(table.get(name, replace(GENERIC_TYPE, type=name)), **changes)
    for name, price in settings.usual_price.items():
        row = table.get(name, replace(GENERIC_TYPE, type=name))
        table[name] = replace(
            row, price=price, low=row.low * price / row.price, high=row.high * price / row.price
        )
    return table


GENERIC_TYPE = AssumedType(
    "", "other", 200, 100, 400, 10, 120, 5, -0.40, 1.2
)  # a type nobody has named: own judgement


def assumed_faults(settings: Settings) -> tuple[AssumedFault, ...]:
    """The rows of FAULTS with the person's own in front; an own row holds for every family unless
    it names one."""
    unknown = FAULTS[-2]
    own = []
    for name, changes in settings.assumed_faults.items():
        known = next((row for row in FAULTS if row.fault == name), replace(unknown, found=""))
        own.append(replace(known, **{"family": "any", "fault": name, **changes}))
    return (*own, *FAULTS)


def fault_families(type_name: str, family: str) -> tuple[str, ...]:
    """The narrow families whose faults a type can have; ("any",) where there are none.

    >>> fault_families("electric dryer", "laundry"), fault_families("wall oven", "cooking")
    (('dryer',), ('range',))
    """
    for word, families in _FAULT_FAMILY_WORDS:
        if word in type_name:
            return families
    return _FAULT_FAMILY_OF_FAMILY.get(family, ("any",))


_QUALIFIER_SIGNS = {
    "electric": ("electric", "coil", "smooth"),
    "gas": ("gas",),
    "top-load": ("top-load", "top load"),
    "front-load": ("front-load", "front load"),
}


def fault_row(
    fault: str, type_name: str, family: str, table: tuple[AssumedFault, ...]
) -> tuple[AssumedFault, bool]:
    """The row of the table that speaks of this fault on this type, and whether the fault is known
    at all.

    "no heat" of a gas dryer is the row "no heat (gas)", "dead" of a fridge is "dead or no display".
    A fault that no row names is answered by the row "not known". A blank fault too, and that is no
    mistake.

    >>> fault_row("no heat", "gas dryer", "laundry", FAULTS)[0].fault, fault_row("hums", "wall oven", "cooking", FAULTS)[1]
    ('no heat (gas)', False)
    """
    kinds = fault_families(type_name, family)
    rows = [row for row in table if row.family in (*kinds, "any", family)]
    told = fault.strip().lower()
    for wanted in (told, _ELSEWHERE_CALLED.get((kinds[0], told), "")):
        row = _row_named(wanted, type_name, rows) if wanted else None
        if row is not None:
            return row, True
    return next(row for row in table if row.fault == FAULTS[-2].fault), not told


def _row_named(wanted: str, type_name: str, rows: list[AssumedFault]) -> AssumedFault | None:
    """The row of this name; else one that has it as one of its names; rows whose "(electric)" or
    "(top-load)" fits the type come first."""
    bare = wanted.split(" (")[0]
    for fits in (
        True,
        False,
    ):  # "won't spin" of a front-loader: the row of the top-loader says more than none
        able = [row for row in rows if qualifier_fits(row.fault, type_name) or not fits]
        exact = next((row for row in able if row.fault == wanted), None)
        if exact is not None:
            return exact
        for row in able:
            own = row.fault.split(" (")[0]
            if own == bare or bare in own.split(" or ") or bare in own.split("; "):
                return row
    return None


# A fault by a word that another kind of appliance uses for it; "no heat" is a dryer's word for what
# an oven does too.
_ELSEWHERE_CALLED = {
    ("range", "no heat"): "oven won't heat",
    ("range", "won't start"): "dead or error code",
    ("fridge", "not cold"): "both warm and compressor clicks or is silent",
    ("fridge", "not cooling"): "both warm and compressor clicks or is silent",
    ("fridge", "leaks"): "leaks water inside",
    ("dryer", "dead"): "won't start",
    ("washer", "won't start"): "dead",
    ("dishwasher", "won't start"): "dead",
}


def qualifier_fits(fault: str, type_name: str) -> bool:
    """Whether "(electric)", "(gas)", "(top-load)" or "(front-load)" agrees with the type, where the
    type says it."""
    said = next((word for word in _QUALIFIER_SIGNS if fault.endswith(f"({word})")), None)
    if said is None or any(sign in type_name for sign in _QUALIFIER_SIGNS[said]):
        return True
    other = {
        "electric": "gas",
        "gas": "electric",
        "top-load": "front-load",
        "front-load": "top-load",
    }[said]
    return not any(sign in type_name for sign in _QUALIFIER_SIGNS[other])


TYPE_FIELDS = {field.name for field in fields(AssumedType)} - {"type"}
FAULT_FIELDS = {field.name for field in fields(AssumedFault)} - {"fault"}
