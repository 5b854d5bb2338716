"""Which reminders this unit calls for at this moment: at most two, and the few that go first and
cap the advice.

They remind; they never say that a thing is safe, legal or not recalled, and they defer to local
codes and licensed people. Sources, where one is published, stand beside the line; the others are
common practice.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING, Any

from pricing.basis import assumed
from pricing.basis.frozen import frozen
from pricing.basis.words import family_of

if TYPE_CHECKING:
    from pricing.basis.settings import Settings

CALL, BENCH, SALE = "call", "bench", "sale"
# above 51 lb one pair of hands is not enough even in the best posture (NIOSH 94-110, lifting
# equation)
HEAVY_LB = 75.0
LATCH_YEAR = 1958  # US units made since 30 October 1958 must open from inside (16 CFR 1750)


@frozen
class Caution:
    """One reminder. full: the first times; short: after that; stage: when it is said; cap: "" or
    what it allows at most ("pass", or "as-is": scrap or sale as-is, nobody opens it at home).
    """

    name: str
    stage: str
    full: str
    short: str
    cap: str = ""


FIRST: tuple[Caution, ...] = (
    Caution(
        "gas smell",
        CALL,
        "Gas smell: leave, touch no switches, call the gas company from outside.",
        "Gas smell: leave, call.",
        "pass",
    ),
    Caution(
        "microwave",
        CALL,
        "Microwave: thousands of volts stay inside unplugged. Don't open it.",
        "Microwave: don't open it.",
        "pass",
    ),  # CPSC, quoted by repair guides
    Caution(
        "latch fridge",
        CALL,
        "Latch door: a child can be trapped inside. Leave it; doors off.",
        "Latch fridge: leave it.",
        "pass",
    ),  # 16 CFR 1750
    Caution(
        "sealed system",
        CALL,
        "Sealed system: scrap or as-is only; a certified tech opens it.",
        "Sealed system: scrap or as-is.",
        "as-is",
    ),  # 40 CFR 82.154
)
_C = Caution
USUAL: tuple[Caution, ...] = (
    # before and during the drive
    _C(
        "move front-load",
        CALL,
        "Front-loader: lock the drum before you move it (transit bolts).",
        "Front-loader: lock the drum.",
    ),
    _C(
        "gas off",
        CALL,
        "Gas unit: have the owner turn off and cap the gas; a licensed tech where your town says"
        " so.",
        "Gas: off and capped first.",
    ),
    _C(
        "weight",
        CALL,
        "Heavy (about {weight}): dolly and strap, or two people.",
        "Heavy ({weight}): dolly or two people.",
    ),
    _C(
        "pests",
        CALL,
        "Mold or pests ride along: look at gaskets and insulation, keep it outdoors until clean.",
        "Mold or pests: keep it outdoors.",
    ),
    _C(
        "fridge move",
        CALL,
        "Keep it upright. If it lay on its side, stand it up as long before plugging in (up to a"
        " day).",
        "On its side: let it stand.",
    ),
    _C(
        "recall call",
        CALL,
        "Recall: ask for a photo of the plate now. A recalled unit is scrap value only (15 USC"
        " 2068).",
        "Recall: plate photo at the call.",
    ),
    # on the bench
    _C(
        "flammable",
        BENCH,
        "R-600a or R-290 on the plate: flammable. No flame, no piercing.",
        "R-600a/R-290: no flame.",
    ),
    _C(
        "gas bench",
        BENCH,
        "Gas: new connector, leak-tested; a licensed tech where your town says so, and for any"
        " conversion.",
        "Gas: new connector, leak-test.",
    ),  # CPSC release 97-187
    _C(
        "fuse",
        BENCH,
        "Unplug. Never leave a thermal fuse or door switch bypassed.",
        "Unplug; bypass nothing.",
    ),
    _C(
        "inverter",
        BENCH,
        "Unplug; inverter drives and capacitors hold charge: wait five minutes, discharge.",
        "Unplug, wait, discharge.",
    ),  # trade-body note on PAS 141
    _C(
        "refrigerant",
        BENCH,
        "Refrigerant must not be let out; only certified techs open the circuit (40 CFR 82.154).",
        "Don't open the cold circuit.",
    ),
    _C("unplug", BENCH, "Unplug before you open it; capacitors hold charge.", "Unplug first."),
    # at the sale
    _C(
        "cord",
        SALE,
        "3-wire or 4-wire cord: set the ground strap to match cord and house.",
        "Cord: set the ground strap.",
    ),
    _C(
        "gas sale",
        SALE,
        "Natural gas or propane: say which. A licensed tech converts; new connector, leak-tested.",
        "Say natural gas or propane.",
    ),
    _C(
        "bracket",
        SALE,
        "The anti-tip bracket goes with the range: fit it, test it.",
        "Anti-tip bracket goes with it.",
    ),  # CPSC, tip-overs 1980-2006
    _C(
        "ground test",
        SALE,
        "Before sale: case to ground with a meter; test on a GFCI outlet.",
        "Test ground and GFCI.",
    ),
    _C(
        "hoses",
        SALE,
        "New hoses with it; front-loader: drum locked for the move.",
        "New hoses with it.",
    ),
    _C(
        "stored door",
        SALE,
        "Stored with a door on, a child can be trapped: block or remove it.",
        "Stored: block the door.",
    ),
    _C(
        "fridge sale",
        SALE,
        "Tell the buyer: if it lay on its side, stand it up as long before use (at most a day).",
        "On its side: let it stand.",
    ),
    _C(
        "recall sale",
        SALE,
        "Recall check for this model: not done yet. Do it first; a recalled unit may not be sold"
        " (15 USC 2068).",
        "Recall check: not done yet.",
    ),
    _C(
        "meeting",
        SALE,
        "Money in hand before loading; daylight, a second person.",
        "Money first; daylight; company.",
    ),
)
BY_NAME = {caution.name: caution for caution in (*FIRST, *USUAL)}
# No screen gives a count of deaths.


@frozen
class Said:
    """A reminder with its blanks filled in."""

    name: str
    full: str
    short: str
    cap: str = ""


def first_of(unit: Mapping[str, Any], as_of: date, settings: Settings) -> Said | None:
    """The reminder that goes on line 1 and caps the advice, or None."""
    type_name = str(unit.get("type") or "")
    words = " ".join(
        str(unit.get(name) or "") for name in ("fault", "found", "repair", "features", "note")
    ).lower()
    family = family_of(type_name, settings)
    age = unit.get("age")
    if re.search(r"smell(?:s|ed|ing)?\s+(?:of\s+|like\s+)?gas|gas\s+(?:smell|leak|odou?r)", words):
        return _said("gas smell")
    if "microwave" in type_name and not _nothing_to_open(words):
        return _said("microwave")
    old = isinstance(age, (int, float)) and as_of.year - age <= LATCH_YEAR
    if family == "cold" and (
        old or re.search(r"\blatch(?:es|ed|ing)?\b(?!\s*(?:switch|strike))", words)
    ):
        return _said("latch fridge")
    if re.search(
        r"sealed system|refrigerant|freon|compressor"
        r" (?:dead|bad|seized|replaced|shot|locked)|(?:bad|dead|seized|new) compressor",
        words,
    ) and family in ("cold", "air", "other"):
        return _said("sealed system")
    return None


def _nothing_to_open(words: str) -> bool:
    """A microwave that works, or needs only what stands outside it."""
    return (
        bool(
            re.search(r"\bworks\b|upgraded|turntable|tray|plate missing|cleaned|handle|knob", words)
        )
        and "doesn't work" not in words
    )


def cautions_for(
    unit: Mapping[str, Any], stage: str, settings: Settings, as_of: date, most: int = 2
) -> list[Said]:
    """The reminders that type, fault and stage call for, the one that matters most first, at most
    `most`."""
    type_name = str(unit.get("type") or "")
    family = family_of(type_name, settings)
    fuel = str(unit.get("fuel") or ("gas" if "gas" in type_name else ""))
    words = " ".join(str(unit.get(name) or "") for name in ("fault", "found", "repair")).lower()
    dryer = "dryer" in type_name
    washer = "washer" in type_name and "dish" not in type_name
    age = unit.get("age")
    newer = not isinstance(age, (int, float)) or age <= 12
    weight = _weight(type_name, settings)
    wanted: dict[str, bool] = {
        "gas off": stage == CALL and fuel == "gas",
        "pests": stage == CALL and bool(re.search(r"mold|mould|smell|roach|bug", words)),
        "weight": stage == CALL and weight[0] >= HEAVY_LB,
        "move front-load": stage == CALL and "front-load" in type_name,
        "fridge move": stage == CALL and family == "cold",
        "recall call": stage == CALL and unit.get("recall_checked") is None,
        "gas bench": stage == BENCH and fuel == "gas",
        "fuse": stage == BENCH and dryer,
        "flammable": stage == BENCH and family in ("cold", "air") and newer,
        "refrigerant": stage == BENCH and family in ("cold", "air"),
        "inverter": stage == BENCH and washer,
        "unplug": stage == BENCH and not dryer and not washer,
        "recall sale": stage == SALE and unit.get("recall_checked") is None,
        "gas sale": stage == SALE and fuel == "gas",
        "cord": (
            stage == SALE
            and fuel != "gas"
            and (dryer or (family == "cooking" and "cooktop" not in type_name))
        ),
        "bracket": stage == SALE and "range" in type_name and "microwave" not in type_name,
        "ground test": stage == SALE and fuel != "gas",
        "hoses": stage == SALE and washer,
        "fridge sale": stage == SALE and family == "cold",
        "stored door": stage == SALE and (family == "cold" or washer or dryer),
        "meeting": stage == SALE,
    }
    return [_said(name, weight=weight[1]) for name, called in wanted.items() if called][:most]


def for_offer(unit: Mapping[str, Any], settings: Settings, as_of: date) -> list[Said]:
    """One reminder for the drive and one for the bench."""
    return [
        *cautions_for(unit, CALL, settings, as_of, 1),
        *cautions_for(unit, BENCH, settings, as_of, 1),
    ]


def _said(name: str, **blanks: str) -> Said:
    caution = BY_NAME[name]
    return Said(
        name,
        caution.full.format(**{"weight": "", **blanks}),
        caution.short.format(**{"weight": "", **blanks}),
        caution.cap,
    )


def _weight(type_name: str, settings: Settings) -> tuple[float, str]:
    """Pounds, and the weight in the person's unit as text."""
    pounds = assumed.assumed_types(settings).get(type_name, assumed.GENERIC_TYPE).weight_lb
    return pounds, (
        f"{pounds:.0f} lb" if settings.weight_unit == "lb" else f"{pounds * 0.45359237:.0f} kg"
    )
