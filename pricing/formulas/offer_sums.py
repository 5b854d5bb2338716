"""What stands behind an offer, summed over its cases, one for each age (`offer_parts.cases_of`)."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import numpy as np

from pricing.formulas.repairs_needed import ELSE
from pricing.formulas.standing import standing

# to carry one unit down or up one floor with a helper: `minutes, each flight` of
# data/words/delivery.csv, own judgement
FLIGHT_MINUTES = 12.0
USUAL_MILES = 10.0  # one way, where nobody says. Own judgement.
TOLD_AS = {"price": "price", "fix": "fix_chance", "parts": "parts", "hours": "hours"}


def trip_of(known: Mapping[str, float], usual: float, settings: Any) -> dict[str, float]:
    """The drive: 2 x miles x cost, 2 x miles / speed hours and minutes; shared by its units."""
    miles = known.get("miles", usual)
    share = 1 / known.get("on_trip", 1.0)
    drive = known["drive_min"] / 60 if "drive_min" in known else 2 * miles / settings.average_speed
    load = known.get("minutes", settings.minutes_per_trip if miles > 0 or drive > 0 else 0.0) / 60
    truck = 2 * miles * settings.cost_per_distance * share
    helper = known.get("helper", 0.0)
    carry = 0.0 if "minutes" in known else FLIGHT_MINUTES * known.get("stairs", 0.0) / 60
    return {
        "money": truck + helper,
        "hours": (drive + load) * share + carry,
        "out_money": truck / 2,
        "out_hours": drive * share / 2,
        "truck": truck,
        "helper": helper,
        "load_hours": load * share + carry,
    }


def usual_miles(own: Sequence[float], unit: str) -> float:
    """The person's usual way out, one way; 10 miles before any record. own: trips, middle."""
    if own[0] >= 3:
        return own[1]
    return USUAL_MILES if unit == "mi" else float(round(USUAL_MILES / 0.621371))


def ended(one: Any, if_not: Any) -> tuple[Any, Any, Any]:
    """Money, hours and keeping of a repair that is gone on with. if_not: money of one not fixed."""
    money = one.fix * (one.net - one.parts) + (1 - one.fix) * (if_not - one.wasted)
    hours = one.fix * one.hours_fixed + (1 - one.fix) * one.hours_failed
    return money, hours, one.keeping[0] + one.fix * one.keeping[1]


def found_out(one: Any, left: Any, target: float) -> tuple[Any, Any]:
    """What a repair is worth once the bench has found that this is the one: the more of going on
    and of stopping, and whether it goes on. left: money and hours as it is; target: an hour."""
    money, hours, keeping = ended(one, left[0])
    on = money - target * hours - keeping
    off = left[0] - target * (left[1] + one.looked)
    return np.maximum(on, off), on >= off


def as_done(one: Any, left: Any) -> tuple[Any, Any, Any]:
    """`ended` as the bench would do: gone on with (goes 1), or left as it is (0) once found."""
    money, hours, keeping = ended(one, left[0])
    stops = 1 - one.goes
    hours = one.goes * hours + stops * (left[1] + one.looked)
    return one.goes * money + stops * left[0], hours, one.goes * keeping


def worth(sums: Any, goes: Any, paying: Any, trip: Any, barred: Any, target: float) -> Any:
    """What it is worth as the bench would then do (`costs.Worth`). sums: money, hours, keeping;
    goes: chance that it goes on; paying: whether going on anyway brings more money; trip: still to
    come; barred: nobody opens it at home; target: money an hour."""
    money, hours, keeping = sums
    trip_money, trip_hours = trip
    pays = np.where(barred, False, paying)
    whole = money - trip_money - target * (hours + trip_hours) - keeping
    return {
        "money": money,
        "hours": hours,
        "tries": goes > 0,
        "worth": np.where(barred, np.minimum(whole, 0.0), whole),
        "trip_money": trip_money,
        "trip_hours": trip_hours,
        "pays": pays,
        "keeping": keeping,
    }


def mean(cases: Sequence[Any], of: Callable[[Any], float]) -> float:
    """Over the ages that it may have."""
    return sum([of(one) for one in cases]) / len(cases)


def total(case: Any, of: Callable[[Any], float]) -> float:
    """Over the repairs that it may turn out to need, by their chance."""
    return sum([one.chance * of(one) for one in case.each])


def _done(one: Any) -> float:
    return float(one.goes * one.fix)


def _parts(one: Any) -> float:
    return float(one.goes * (one.fix * one.parts + (1 - one.fix) * one.wasted))


def _fee(one: Any, settings: Any) -> float:
    fee = one.price * settings.selling_fee_share + settings.selling_fee_fixed
    return _done(one) * float(fee)


def expected(cases: Sequence[Any], paid: float) -> dict[str, Any]:
    """Gain, hours and chances at the price paid. return_per_hour: once keeping it is paid."""
    hours = mean(cases, lambda one: one.hours + one.trip_hours)
    gain = mean(cases, lambda one: one.money - one.trip_money) - paid
    kept = gain - mean(cases, lambda one: one.keeping)
    return {
        "cautious": mean(cases, lambda one: one.cautious),
        "expected_gain": gain,
        "hours": hours,
        "return_per_hour": kept / hours if hours > 0 else 0.0,
        "chance_of_loss": mean(cases, lambda one: one.loss),
        "chance_of_target": mean(cases, lambda one: one.target),
        "fix_chance": mean(cases, lambda one: total(one, lambda each: each.fix)),
        "tries": mean(cases, lambda one: 1.0 if one.tries else 0.0) >= 0.5,
        "if_not_fixed": mean(cases, lambda one: one.if_not),
    }


def candidates(cases: Sequence[Any]) -> list[tuple[str, float, float, float, float]]:
    """The repairs it may need, likeliest first: name, chance, chance to fix, parts, hours."""
    sums: dict[str, list[float]] = {}
    for case in cases:
        for one in case.each:
            now = sums.get(one.repair, [0.0, 0.0, 0.0, 0.0])
            more = [1.0, one.fix, one.parts, one.hours_mean]
            share = one.chance / len(cases)
            sums[one.repair] = [now[k] + share * more[k] for k in range(4)]
    names = [name for name in sums if sums[name][0] > 0]
    ranked = sorted(names, key=lambda name: [name == ELSE, -sums[name][0], name])
    rows = [(name or "something else", sums[name]) for name in ranked]
    return [(name, all[0], all[1] / all[0], all[2] / all[0], all[3] / all[0]) for name, all in rows]


def spent(
    cases: Sequence[Any], at_curb: bool, known: Mapping[str, float], settings: Any
) -> dict[str, float]:
    """Expected money and hours by kind, duds counted."""
    trip = cases[0].trip

    def each(of: Callable[[Any], float]) -> float:
        return mean(cases, lambda one: total(one, of))

    left = 0.5 if at_curb else 1.0
    done, fixed = each(_done), each(lambda one: one.fix)
    failed = cases[0].failed
    hours = mean(cases, lambda one: one.hours)
    tried = each(lambda one: one.goes * one.hours_mean * (one.fix + (1 - one.fix) * failed))
    bench = tried + each(lambda one: (1 - one.goes) * one.looked)
    back = done * mean(cases, lambda one: one.comeback_hours)
    if "hours" in known:
        bench = min(bench, hours)
        back = 0.0
    return {
        "truck": trip.truck * left,
        "helper": trip.helper,
        "parts": each(_parts),
        "parts_if_fixed": each(lambda one: one.fix * one.parts) / max(fixed, 1e-9),
        "comebacks": done * mean(cases, lambda one: one.comeback),
        "fees": each(lambda one: _fee(one, settings)),
        "drive_hours": (trip.hours - trip.load_hours) * left,
        "load_hours": trip.load_hours,
        "bench_hours": bench,
        "clean_sell_hours": max(hours - bench - back, 0.0),
        "comeback_hours": back,
    }


def because(cases: Sequence[Any], settings: Any) -> list[tuple[str, float]]:
    """Terms that add up to the most to pay."""

    def tried(of: Callable[[Any], float]) -> float:
        return mean(cases, lambda one: total(one, of))

    back = mean(cases, lambda one: one.comeback * total(one, _done))
    lost = mean(cases, lambda one: one.if_not * (1 - total(one, _done)) if one.tries else 0.0)
    terms = [
        ("sold, when fixed", tried(lambda one: _done(one) * one.price)),
        ("selling fees", -tried(lambda one: _fee(one, settings))),
        ("set by for comebacks", -back),
        ("parts, duds counted", -tried(_parts)),
        ("if it beats you", lost),
        ("left as it is", mean(cases, lambda one: 0.0 if one.tries else one.if_not)),
        ("truck and helper", -mean(cases, lambda one: one.trip_money)),
        ("keeping it until it sells", -mean(cases, lambda one: one.keeping)),
        ("your hours", -settings.hour_worth * mean(cases, lambda one: one.hours + one.trip_hours)),
    ]
    return [(term, amount) for term, amount in terms if abs(amount) > 1e-9]


def standings(
    removed: Mapping[str, float],
    of_type: Sequence[int],
    k_of_n: Sequence[int],
    known: Mapping[str, float],
) -> dict[str, str]:
    """How much of price, chance to fix, parts and hours is own. removed: share of the variance that
    own units took; of_type: sales of type, family; k_of_n: fixed, ended, on other types."""
    own = {name: of_type if name == "price" else k_of_n[1:] for name in removed}
    return {
        name: "your number" if TOLD_AS[name] in known else standing(removed[name], n[0], n[1])
        for name, n in own.items()
    }
