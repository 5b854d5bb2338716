"""Sums of the bench: the starting figures as means before any own unit, and what own units add to
them. Of single units or, in Python, of arrays of them.

    logit q = offset + b_0 + b_family + ...,  b ~ N(0, sd^2 per block), so that E q is the table's
    ln x    = offset + b_0 + ... + e,         e ~ N(0, sigma^2),        so that E x is the table's
"""

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

BLOCKS = ("family", "type", "fault", "pair", "step")
# Standard deviations before any own unit: own judgement. "all" is the person's own level, "age" a
# year, "failed" the hours of a failed try.
FIX_SD = {
    "all": 0.35, "age": 0.05, "failed": 0.0, "family": 0.1, "type": 0.12, "fault": 0.25,
    "pair": 0.15, "step": 0.65,
}  # fmt: skip
PARTS_SD = {
    "all": 0.3, "age": 0.0, "failed": 0.0, "family": 0.2, "type": 0.15, "fault": 0.35,
    "pair": 0.2, "step": 0.6,
}  # fmt: skip
HOURS_SD = {
    "all": 0.35, "age": 0.0, "failed": 0.3, "family": 0.2, "type": 0.15, "fault": 0.3,
    "pair": 0.15, "step": 0.35,
}  # fmt: skip
SELL_SD = {
    "all": 0.4, "age": 0.0, "failed": 0.0, "family": 0.2, "type": 0.25, "fault": 0.0, "pair": 0.0,
    "step": 0.0,
}  # fmt: skip
PARTS_SIGMA, HOURS_SIGMA, SELL_SIGMA = 0.5, 0.4, 0.35
# share of the chance to fix it, per year older than the middle age: parts get scarce, screws rust.
# Own judgement.
FIX_PER_YEAR = -0.01
WASTED_PARTS_SHARE = 0.5  # of failed repairs waste the part. Own judgement.
# Of repairs that worked with no part bought, where the table's low figure is 0, or not. Own
# judgement.
ZERO_PARTS_SHARE, ZERO_PARTS_SHARE_NEVER = 0.30, 0.05
# Nodes and weights of the normal law (Abramowitz & Stegun 1964, table 25.10, n = 9, in the
# probabilists' scale).
NODES = [
    *(-4.512745863399783, -3.205429002856470, -2.076847978677830, -1.023255663789133, 0.0),
    *(1.023255663789133, 2.076847978677830, 3.205429002856470, 4.512745863399783),
]
WEIGHTS = [
    *(2.2345844007746e-05, 0.00278914132123177, 0.0499164067652179, 0.2440975028949394),
    0.4063492063492063,
    *(0.2440975028949394, 0.0499164067652179, 0.00278914132123177, 2.2345844007746e-05),
]


def before(sd: Mapping[str, float]) -> float:
    """Variance of one linear predictor before any unit, at the middle age."""
    return sum([sd[name] ** 2 for name in sd if name not in ("age", "failed")])


def mean_chance(mean: Any, variance: Any) -> Any:
    """E 1/(1 + exp(-x)), x ~ N(mean, variance), by Gauss-Hermite quadrature at nine nodes.

    >>> [round(float(mean_chance(*one)), 4) for one in ((0.0, 1.0), (2.0, 0.0))]
    [0.5, 0.8808]
    """
    sd = np.sqrt(variance)
    chance = 0.0
    for k in range(len(NODES)):
        chance = chance + WEIGHTS[k] / (1 + np.exp(-mean - sd * NODES[k]))
    return chance


def aged(chance: Any, year: Any) -> Any:
    """The table's chance this many years over the middle age: less each year, .6 to 1.03 of it.

    >>> [round(float(aged(0.9, year)), 3) for year in (0.0, 10.0, -5.0)]
    [0.9, 0.81, 0.927]
    """
    return chance * np.clip(1 + FIX_PER_YEAR * year, 0.6, 1.03)


def fix_offset(chance: Any, shift: float) -> Any:
    """Log odds at which the mean chance over the spread before any unit is the table's chance."""
    inside = np.clip(chance, 0.002, 0.998)
    return np.log(inside / (1 - inside)) * math.sqrt(1 + math.pi * before(FIX_SD) / 8) + shift


def parts_offset(expected: Any, zero: Any, n_steps: Any) -> Any:
    """Mean ln money of a bought part at which the expected parts are the table's."""
    log_mean = np.log(np.maximum(expected, 1.0) / (1 - zero)) + np.log(n_steps)
    return log_mean - (before(PARTS_SD) + PARTS_SIGMA**2) / 2


def hours_offset(expected: Any, n_steps: Any) -> Any:
    """Mean ln hours at which the expected bench hours before any unit are the table's."""
    log_mean = np.log(np.maximum(expected, 0.05)) + np.log(n_steps) / 2
    return log_mean - (before(HOURS_SD) + HOURS_SIGMA**2) / 2


def sell_offset(expected: Any) -> Any:
    """The same of the hours to clean and sell."""
    return np.log(np.maximum(expected, 0.05)) - (before(SELL_SD) + SELL_SIGMA**2) / 2


def zero_share(of_repair: Sequence[float], pooled: Sequence[float], prior: float) -> float:
    """Share of fixed units that needed no bought part: own, pooled over repairs, over the table.
    of_repair, pooled: units fixed, and with no part bought; prior: the table's."""
    start = (pooled[1] + 2 * prior) / (pooled[0] + 2)
    return (of_repair[1] + 1.5 * start) / (of_repair[0] + 1.5)


def usual_zero_share(parts_low: float) -> float:
    """The table's share, by the low end of its money for parts."""
    return ZERO_PARTS_SHARE if parts_low <= 0 else ZERO_PARTS_SHARE_NEVER


def waste(failed: Sequence[float]) -> float:
    """Share of failed tries that waste the part. failed: units, and of them with a part wasted."""
    return (failed[1] + 4 * WASTED_PARTS_SHARE) / (failed[0] + 4)


def pair_of(fault: str, type_name: str) -> str:
    """Fault and type as one word, "" where either is blank."""
    return f"{fault} / {type_name}" if fault != "" and type_name != "" else ""


def levels_of(place: Mapping[str, Mapping[str, int]], told: Mapping[str, Any]) -> Any:
    """The row of one case in a pooled regression, as place and value of what is not 0 (beside what
    holds for all, the age and a failed try), and how much of each block is not in the levels, as
    squared weight. place: of each word, by block; told: the words, and the steps of the repair.

    >>> levels_of({"family": {}, "type": {"oven": 3}, "fault": {}, "pair": {}, "step": {"belt": 4}},
    ...           {"family": "cooking", "type": "oven", "fault": "", "steps": ["belt", "door"]})
    ([(3, 1.0), (4, 0.5)], [1.0, 0.0, 1.0, 1.0, 0.25])
    """
    row = []
    missing = [0.0, 0.0, 0.0, 0.0, 0.0]
    words = [told["family"], told["type"], told["fault"]]
    words.append(pair_of(told["fault"], told["type"]))
    for k in range(4):
        at = place[BLOCKS[k]].get(words[k])
        if at is None:
            missing[k] = 1.0
        else:
            row.append((at, 1.0))
    steps = told["steps"]
    share = 1 / max(len(steps), 1)
    if len(steps) == 0:
        missing[4] = 1.0
    for step in list(dict.fromkeys(steps)):
        at = place["step"].get(step)
        if at is None:
            missing[4] = missing[4] + steps.count(step) * share * share
        else:
            row.append((at, steps.count(step) * share))
    return row, missing


def ahead(model: Any, told: Any, own: Any, person: Any, year: Any) -> dict[str, Any]:
    """Chance to fix, money for parts and hours of a repair. told: the table's chance and expected
    parts, share without a bought part, steps, hours at the bench and to sell; own: mean and
    variance of fix, parts, hours and sell by own units; person: mean and variance of what the
    person adds to the log odds to fix and to ln hours; year: over the middle age."""
    chance, parts, zero, steps, hours, sell = told
    log_odds = own[0][0] + fix_offset(aged(chance, year), model.fix_shift) + person[0]
    parts_log = own[1][0] + parts_offset(parts, zero, steps)
    parts_var = own[1][1] + model.parts.sigma**2
    hours_log = own[2][0] + hours_offset(hours, steps) + person[2]
    hours_var = own[2][1] + person[3] + model.hours.sigma**2
    sell_log = own[3][0] + sell_offset(sell)
    sell_var = own[3][1] + model.sell.sigma**2
    bought = np.exp(parts_log + parts_var / 2)
    return {
        "fix": mean_chance(log_odds, own[0][1] + person[1]),
        "parts_log": parts_log,
        "parts_var": parts_var,
        "hours_log": hours_log,
        "hours_var": hours_var,
        "sell_log": sell_log,
        "sell_var": sell_var,
        "parts_mean": (1 - zero) * bought,
        "wasted_mean": waste(model.waste) * bought,
        "hours_mean": np.exp(hours_log + hours_var / 2),
        "sell_mean": np.exp(sell_log + sell_var / 2),
    }
