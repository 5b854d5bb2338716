"""What several listed units bring together, each by its plan: a sum with its range. numpy only.

What is not known of the estimates is common to units (`model/price/shared`): where one brings less
than was thought, those like it do too, and a sum of ranges taken one by one is far too sure. So
every unit is drawn with the common errors of all, and the draws of a sum are sums of the draws:

    z_i = share_i common_i + sqrt(1 - share_i^2) own_i      how good unit i is beside its estimate
    it sells in step t or is cleared by its plan's own chances at that z, at the full ask or talked
    down from it
"""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from pricing.advice import ask, listing
from pricing.advice.listing import BUYER_POINTS
from pricing.basis.frozen import frozen
from pricing.formulas import lot_formulas, normal_law, selling
from pricing.model.price import encode, price, shared
from pricing.model.saletime import saletime

if TYPE_CHECKING:
    from datetime import date

    from pricing.advice.ask import View
    from pricing.advice.by_plan import ByPlan
    from pricing.advice.listing import Listing, Terms
    from pricing.basis.question import Question
    from pricing.basis.settings import Settings
    from pricing.model.saved import Saved

DRAWS = 2 * shared.PAIRS


@frozen
class Sum:
    """What n units bring together, money: the mean, the middle and the ends of the range that holds
    it with chance `coverage`."""

    n: int
    mean: float
    median: float
    low: float
    high: float
    coverage: float


@frozen
class Draws:
    """n units in 512 draws. z: standard normal each, how good it is beside its estimate; blank: ln
    of what its blanks turn out to be worth, by the mean; sold: where in its chances of a sale;
    talked: the same of what buyers talk off, and how far, standard normal; (n, 512) each."""

    z: np.ndarray
    blank: np.ndarray
    sold: np.ndarray
    full: np.ndarray
    talked: np.ndarray


def drawn(view: View, names: Sequence[str], numbers: Saved, day: float) -> Draws:
    """The draws of the units of a view. names: of the units; what is a unit's own hangs on its
    name, so that units looked at in parts add up to what they do at once."""
    moved, common = shared.moves(numbers.price, view.units, day)
    law = price.law(numbers.price, view.units, day)
    whole = saletime.unseen_sd(numbers.saletime, price.without_blanks(law))
    own = np.array([_own(name) for name in names]).reshape(len(names), 5, DRAWS)
    # A first ask tells of the estimate and of the unit alike: both parts shrink by as much.
    share = np.minimum(np.sqrt(common) / np.maximum(whole, 1e-9), 1.0)[:, None]
    z = share * moved / np.sqrt(np.maximum(common, 1e-300))[:, None]
    left = np.array([one.sd for one in view.demands]) / np.maximum(whole, 1e-9)
    blank = (np.minimum(left, 1.0) * np.sqrt(law.blank))[:, None]
    return Draws(
        z + np.sqrt(1 - share**2) * own[:, 0],
        blank * own[:, 1] - blank**2 / 2,
        _chance(own[:, 2]),
        _chance(own[:, 3]),
        own[:, 4],
    )


def _own(name: str) -> np.ndarray:
    """Standard normal draws of one unit, (5, 512)."""
    random = np.random.default_rng([shared.SEED, zlib.crc32(name.encode())])
    half = random.standard_normal((5, shared.PAIRS))
    return np.concatenate([half, -half], axis=1)


def _chance(normal: np.ndarray) -> np.ndarray:
    """The normal law's chance to lie below, by ranks of a fine table."""
    grid = np.linspace(-5.0, 5.0, 1001)
    density = np.exp(-(grid**2) / 2)
    upto = np.cumsum(density) - density / 2
    return np.interp(normal, grid, upto / density.sum())


def expected(found: Listing, view: View, place: int, at: Terms) -> float:
    """The mean of what one unit of the view brings by its plan, clearing out included, money."""
    full, off_sd = float(view.haggle.full_share[place]), float(view.haggle.off_sd[place])
    prices, chance = listing.sale_prices(found, view.demands[place], at.share, full, off_sd)
    return float(prices @ chance)


def brings(found: Listing, view: View, place: int, at: Terms, draws: Draws) -> np.ndarray:
    """What one unit of the view brings by its plan in each draw, money, (512,)."""
    demand = view.demands[place]
    steps, points = len(found.asks), len(BUYER_POINTS)
    per_point = len(found.course.left_by_latent) // points
    sold = found.course.sold_by_latent.reshape(steps, points, per_point).sum(2)
    cleared = found.course.left_by_latent.reshape(points, per_point).sum(1)
    ends = np.vstack([sold, cleared])
    # Not having sold so far moves the belief: z is carried to the same place of it.
    belief = ends.sum(0)
    upto = np.cumsum(belief) - belief / 2
    where = np.interp(_chance(draws.z[place]), upto / belief.sum(), np.arange(points))
    low = np.minimum(where.astype(int), points - 2)
    part = where - low
    upto = np.cumsum(ends / np.maximum(belief, 1e-300), axis=0)
    chances = upto[:, low] * (1 - part) + upto[:, low + 1] * part
    step = (chances[:-1] < draws.sold[place]).sum(0)
    asks = np.append(found.asks, 0.0)[step]
    ratio = np.log(np.maximum(asks, 1e-9) / demand.estimate)
    full_share = float(view.haggle.full_share[place])
    moved = draws.talked[place] * float(view.haggle.off_sd[place])
    off = selling.talked_off(selling.off_at(demand, ratio), full_share, moved)
    sale = np.where(draws.full[place] < full_share, asks, asks * (1 - off))
    q = demand.sd * np.interp(where, np.arange(points), BUYER_POINTS)
    clear = at.share * demand.estimate * np.exp(q)
    return np.asarray(np.where(step < steps, sale, clear) * np.exp(draws.blank[place]))


def once_fixed(
    questions: Sequence[Question],
    plans: Sequence[ByPlan],
    numbers: Saved,
    settings: Settings,
    as_of: date,
) -> dict[str, float]:
    """What units that one does not hold yet sell for together once fixed, by their plans: what is
    common to their estimates by its covariance, the rest by the moments of each
    (`lot_formulas.sells_for`), as the phone can."""
    if not questions:
        return dict.fromkeys(("mean", "median", "low", "high"), 0.0)
    rows, owner = ask.units_of(questions, settings, as_of)
    first = rows.take(np.searchsorted(owner, np.arange(len(questions))))
    read = encode.read(numbers.price.encoding, first, float(as_of.toordinal()))
    drift = numbers.price.walk * np.sqrt(read.ahead)
    roots = np.column_stack([read.columns @ numbers.price.factor, drift])
    roots[[place for place, one in enumerate(questions) if "price" in one.known]] = 0.0
    z = float(normal_law.quantile((1 + settings.coverage) / 2))
    return lot_formulas.sells_for(plans, (roots @ roots.T).tolist(), z)


def summed(each: Sequence[np.ndarray], means: Sequence[float], coverage: float) -> Sum:
    """The sum over units of what each brings. each: (512,) of every unit, means: its mean."""
    total = np.sum(each, axis=0) if len(each) else np.zeros(DRAWS)
    mean = float(sum(means))
    # the mean is known exactly; 512 draws miss it by a little
    total = total * (mean / max(float(total.mean()), 1e-9))
    low, median, high = np.quantile(total, [(1 - coverage) / 2, 0.5, (1 + coverage) / 2]).tolist()
    return Sum(len(each), mean, median, low, high, coverage)
