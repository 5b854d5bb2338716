"""A matching washer and dryer: what they bring as a pair, with the premium that the person's own
sales show.

    ln(price of the pair) = ln(washer + dryer) + premium,      premium ~ N(p_0, .10^2),  p_0 from
        the starting prices

Sales of two units written down as a pair say how large the premium is (each with sd .20 log
points); sales of the type "pair" itself say what a pair brings. Both answers are weighed by how
sure each is. Own judgement: .10 and .20.
"""

import math
from collections.abc import Mapping, Sequence
from typing import Any

from pricing.formulas.standing import standing

PREMIUM_SD = 0.10
SALE_SD = 0.20


def halves(type_name: str, fuel: str, known: Sequence[str] = ()) -> tuple[str, str] | None:
    """The two units that a pair type is made of; None for a type that is no pair.

    known: the person's own types, commonest first: a pair that names no kind of washer is made of
    the kinds sold most.

    >>> halves("front-load washer + dryer pair", "gas")
    ('front-load washer', 'gas dryer')
    >>> (halves("laundry pair", "", ["gas dryer", "electric dryer", "front-load washer"]),
    ...  halves("wall oven", ""))
    (('front-load washer', 'gas dryer'), None)
    """
    words = type_name.replace("+", " ").split()
    if not _any_of(["pair", "set"], words) or not _any_of(["washer", "dryer", "laundry"], words):
        return None
    mine = [*known, "top-load washer", "electric dryer"]
    washers = [name for name in mine if name.endswith("washer") and "dish" not in name]
    named = [kind for kind in ("front-load", "top-load") if kind in words]
    washer = f"{named[0]} washer" if len(named) > 0 else washers[0]
    if fuel == "gas" or "gas" in words:
        return washer, "gas dryer"
    if fuel != "" or "electric" in words:
        return washer, "electric dryer"
    dryers = [name for name in mine if name.endswith("dryer")]
    return washer, dryers[0]


def _any_of(names: Sequence[str], words: Sequence[str]) -> bool:
    return any(name in words for name in names)


def type_of(washer: str) -> str:
    """The pair type that a washer belongs to."""
    return "front-load washer + dryer pair" if "front" in washer else "top-load washer + dryer pair"


def premium(start: float, found: Sequence[float]) -> tuple[float, float]:
    """Mean and sd of the premium in log points. start: p_0; found: of each linked pair."""
    before = PREMIUM_SD**-2
    each = SALE_SD**-2
    precision = before + len(found) * each
    return (start * before + sum(found) * each) / precision, precision**-0.5


def starting_premium(whole: float, first: float, second: float) -> float:
    """p_0 from the starting prices of the pair and of its two units, money."""
    return min(max(math.log(whole / (first + second)), -0.2), 0.3)


def weighed(
    whole: Sequence[float], parts: Sequence[Sequence[float]], start: float, sure: float
) -> tuple[float, float]:
    """The price of the pair and its premium as a share. whole, parts: mean and spread of ln price
    of the pair and of each unit; start, sure: of the premium."""
    alone = [math.exp(center) for center, _ in parts]
    both = sum(alone)
    shares = [(alone[i] / both) ** 2 * parts[i][1] ** 2 for i in range(len(parts))]
    variance = sum(shares) + sure**2
    weight = variance / (variance + whole[1] ** 2)
    as_pair = math.exp(weight * whole[0] + (1 - weight) * (math.log(both) + start))
    return as_pair, as_pair / both - 1


def told(
    types: Sequence[str],
    whole: Sequence[float],
    each: Sequence[Sequence[float]],
    about: Sequence[float],
    found: Sequence[float],
) -> dict[str, Any]:
    """The JSON of a pair: as a pair, as two, the premium as a share, own sales, whose it is. whole,
    each: as in `weighed`; about: the premium's mean and sd; found: sales of the pair type, of
    linked pairs, and the share of variance that own sales took."""
    as_pair, more = weighed(whole, each, about[0], about[1])
    sales = int(found[0] + found[1])
    removed = max(1 - (about[1] / PREMIUM_SD) ** 2, found[2] if found[0] > 0 else 0.0)
    alone = [{"type": types[i], "price": math.exp(each[i][0])} for i in range(len(types))]
    return {
        "as_pair": as_pair,
        "as_two": alone,
        "premium": more,
        "sales": sales,
        "standing": standing(removed, sales),
    }


def linked(sales: Sequence[Mapping[str, Any]]) -> list[tuple[Mapping[str, Any], Mapping[str, Any]]]:
    """Sales that were written down as pairs, a washer and a dryer each: by the unit that each
    names, or by a name they share.

    >>> one = {"unit": "7", "pair": "8", "type": "top-load washer"}
    >>> two = {"unit": "8", "type": "gas dryer"}
    >>> linked([one, {"unit": "9", "type": "gas dryer"}, two]) == [(one, two)]
    True
    """
    out: list[tuple[Mapping[str, Any], Mapping[str, Any]]] = []
    used: list[int] = []
    for one, two in _told_together(sales):
        dryer_first = "dryer" in str(sales[one].get("type"))
        pair = (sales[two], sales[one]) if dryer_first else (sales[one], sales[two])
        if one not in used and two not in used and _fit(str(pair[0]["type"]), str(pair[1]["type"])):
            used += [one, two]
            out.append(pair)
    return out


def _fit(washer: str, dryer: str) -> bool:
    return "washer" in washer and "dryer" not in washer and "dryer" in dryer


def _told_together(sales: Sequence[Mapping[str, Any]]) -> list[list[int]]:
    """Places of two sales each of which one names the other, or that share a name."""
    place_of = {str(sales[i].get("unit") or ""): i for i in range(len(sales))}
    shared: dict[str, list[int]] = {}
    told: list[list[int]] = []
    for i in range(len(sales)):
        said = str(sales[i].get("pair") or "").strip()
        mate = place_of.get(said)
        if said != "" and (mate is None or mate == i):
            shared.setdefault(said, []).append(i)
        elif said != "" and mate is not None:
            told.append([i, mate])
    return told + [places for places in shared.values() if len(places) == 2]
