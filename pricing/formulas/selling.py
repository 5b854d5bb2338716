"""How the person asks and how buyers talk it down, by what `SaleTimeModel` learned."""

import math
from typing import Any

import numpy as np

SLIP_SDS = 4.0  # sds from the usual ask beyond which a first ask is taken for a slip of the pen
ASK_CEILING = 1.25  # of the estimate, before the person's own asks say more. Common practice.
# Five points of a normal law, equal steps of .7 sd, with about its mass around each.
SPOTS = [(-1.4, 0.13), (-0.7, 0.23), (0.0, 0.28), (0.7, 0.23), (1.4, 0.13)]
NEW_PRICE_CEILING = 0.60  # of what the plainest new one costs. Own judgement.
ELASTICITY_SD = 1.5  # of the elasticity of the sale rate, before any listing. Own judgement.


def highest_ratio(model: Any, type_name: str) -> float:
    """The highest ask over the estimate that is looked at: what was tried, and a bit beyond.

    exp of the 95 % point of the person's own ln(first ask / worth), a step of 5 % higher; before
    any listing 1.25, which counts as eight listings. What an ask does beyond all asks that were
    ever made is not known, whatever law is drawn through them.
    """
    tried = usual_premium(model, type_name) + 1.645 * model.premium_sd + math.log(1.05)
    share = model.n_listings / (model.n_listings + 8)
    return math.exp((1 - share) * math.log(ASK_CEILING) + share * tried)


def ceiling(model: Any, type_name: str, estimate: float, new: float | None) -> tuple[float, str]:
    """The highest ask that is looked at, money, and why none higher. new: what the plainest new one
    costs, where it is told."""
    ratio = highest_ratio(model, type_name)
    if new is not None and NEW_PRICE_CEILING * new < ratio * estimate:
        why = "no ask over six tenths of what the plainest new one costs"
        return NEW_PRICE_CEILING * new, why
    why = f"no ask over {ratio:.2f} times the estimate: nobody has seen what a higher one does"
    return ratio * estimate, why


def usual_premium(model: Any, type_name: str) -> float:
    """ln(first ask / estimate) that the person usually asks for units of a type."""
    if type_name not in model.types:
        return float(model.premium_mean)
    return float(model.premium_mean + model.premium_by_type[model.types.index(type_name)])


def learned_from(model: Any) -> str:
    """What the elasticity rests on: "GUESS", or "from 12 drops and 80 listings"."""
    drops, listings = model.n_drops, model.n_listings
    if listings == 0 or model.eta_sd > 0.95 * ELASTICITY_SD:
        return "GUESS"
    return f"from {drops} drop{_s(drops)} and {listings} listing{_s(listings)}"


def _s(n: int) -> str:
    return "" if n == 1 else "s"


def unseen_sd(model: Any, scale: Any, spread: Any, nu: float) -> Any:
    """sd of the true worth of a unit beside its estimate, log points: what sellers see of its own
    spread, and what is not known of the estimate."""
    return np.sqrt((model.seen_share * scale) ** 2 * own_factor(nu) + spread**2)


def own_factor(nu: float) -> float:
    """Variance of a t variable of scale 1, at most 2."""
    return min(nu / (nu - 2), 2.0) if nu > 2 else 2.0


def quality_from_ask(model: Any, apart: Any, q_sd: Any) -> tuple[Any, Any]:
    """Mean and sd of the quality q that no record says once the person's own first ask is known:
    ln(ask / estimate) = premium + seen q + whim, all normal. apart: that less the usual premium. An
    ask further off than four of its own sds is a slip and says nothing."""
    seen, variance = model.premium_seen, q_sd**2
    spread = seen**2 * variance + model.premium_sd**2
    gain = np.where(np.abs(apart) <= SLIP_SDS * np.sqrt(spread), seen * variance / spread, 0.0)
    return gain * apart, np.sqrt(variance * (1 - gain * seen))


def haggle(model: Any, place: Any, log_ask_ratio: Any) -> tuple[Any, Any, Any]:
    """What buyers talk down from an ask at ln(ask / estimate): chance that the full ask is paid,
    and mean and sd of the share off over all sales. place: of the type among `haggle_types`, the
    last one for any other."""
    full = model.haggle_full[place]
    moved = model.haggle_slope * (log_ask_ratio - model.haggle_at[place])
    off = np.clip((1 - full) * model.haggle_off[place] + moved, 0.0, 0.5)
    inner = off / np.maximum(1 - full, 1e-9)
    return full, off, np.sqrt((1 - full) * (model.haggle_sd**2 + full * inner**2))


def log_calls(x: Any, eta: Any, most: Any) -> Any:
    """ln of how many call at x = ln(ask / worth), beside how many at the worth: the most that each
    would pay is spread around `most` by a logistic law of scale 1 / eta; a power law for a most far
    below.

    >>> log_calls(np.array([0.0, 0.1, 0.4]), 5.0, -9.0).round(6).tolist()
    [0.0, -0.5, -2.0]
    >>> log_calls(np.array([-0.5, 0.0, 0.1]), 20.0, 0.1).round(3).tolist()
    [0.127, 0.0, -0.566]
    """
    return np.logaddexp(0.0, -eta * most) - np.logaddexp(0.0, eta * (x - most))


def off_at(demand: Any, log_ratio: Any) -> Any:
    """Mean share off the ask at ln(ask / estimate)."""
    return np.minimum(np.maximum(demand.off + demand.off_slope * log_ratio, 0.0), 0.5)


def talked_off(off: Any, full_share: Any, moved: Any) -> Any:
    """Share off where not the full ask is paid. off: the mean over all sales; moved: beside it."""
    less = np.minimum(off / np.maximum(1 - full_share, 0.05), 0.6) + moved
    return np.minimum(np.maximum(less, 0.0), 0.9)


def haggled(ask: Any, off: Any, full_share: float, off_sd: float) -> list[tuple[Any, float]]:
    """Prices that an ask may bring, and their chances: in full, else at one of five shares off
    around the mean."""
    sales: list[tuple[Any, float]] = [(ask, full_share)]
    for spot, weight in SPOTS:
        less = talked_off(off, full_share, spot * off_sd)
        sales.append((ask * (1 - less), weight * (1 - full_share)))
    return sales


def net_of(at: Any, price: Any) -> Any:
    """What a sale at a price leaves after the fees. at: the seller's terms."""
    return price * (1 - at.fee_share) - at.fee_fixed


def gross_of(at: Any, left: Any) -> Any:
    """The price that leaves this much: the way back from `net_of`."""
    return (left + at.fee_fixed) / (1 - at.fee_share)
