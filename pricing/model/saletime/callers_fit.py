"""Which law of the asks a record speaks for: a power of the ask, or callers who each know a most
that they would pay.

    g(x) = (1 + exp(-eta c)) / (1 + exp(eta (x - c))),    x = ln(ask / worth)

is how many call at x, beside how many at the worth, where the most that they would pay is spread
around c by a logistic law of scale 1 / eta. For c far below it is the power law exp(-eta x); so one
formula serves both. The laws are weighed by what the listings, their drops and their days say of
each, its level integrated.
Source: Hoeting et al. (1999), Statistical Science 14(4), for averaging over models (from memory);
the laws looked at and their starting weights are own judgement.
"""

import numpy as np
from scipy.special import logsumexp

from pricing.basis.assumed import ELASTICITY_MEAN
from pricing.basis.frozen import frozen
from pricing.formulas import selling
from pricing.formulas.selling import ELASTICITY_SD
from pricing.model.saletime.listings import Listings
from pricing.model.saletime.saletime import N_CALLERS, POWER_MOST, WEEK

ETAS = (6.0, 11.0, 20.0)  # of callers: one over how widely the most they would pay is spread
MOSTS = (0.0, 0.12, 0.24)  # ln(most / worth) in the middle
POWER_SHARE = 0.5  # of belief in the power law before any listing
POWERS = np.linspace(0.75, 8.75, 9)
LEVEL_SD, LEVELS = 0.3, np.linspace(-0.6, 0.6, 9)  # of the ln rate at the asks that were made
_Z, _W = np.polynomial.hermite_e.hermegauss(9)


@frozen
class Callers:
    """The caller laws kept, (C,) each: eta, most, ln rate beside the power law's, and weight."""

    eta: np.ndarray
    most: np.ndarray
    level: np.ndarray
    weight: np.ndarray


@frozen
class Story:
    """What is known of n listings apart from the law: ln rate at the estimate under a power law
    with this eta, shape of the days, and q given the first ask, mean and sd, (n,) each."""

    log_rate: np.ndarray
    eta: float
    shape: float
    quality: np.ndarray
    quality_sd: np.ndarray


def weigh(data: Listings, story: Story) -> Callers:
    """The caller laws that the listings leave likeliest, weighed against the power law."""
    at = _usual_ratio(data)
    powers = [_evidence(data, story, eta, POWER_MOST, at)[0] for eta in POWERS.tolist()]
    prior = -0.5 * ((POWERS - ELASTICITY_MEAN) / ELASTICITY_SD) ** 2
    power = float(logsumexp(np.array(powers) + prior - logsumexp(prior))) + np.log(POWER_SHARE)
    laws = [(eta, most) for eta in ETAS for most in MOSTS]
    found = [_evidence(data, story, eta, most, at) for eta, most in laws]
    told = np.array([value for value, _ in found]) + np.log((1 - POWER_SHARE) / len(laws))
    weight = np.exp(told - np.logaddexp(power, logsumexp(told)))
    kept = np.sort(np.argsort(-weight, kind="stable")[:N_CALLERS])
    # where the power law is that much likelier, every weight may round to nothing
    all_of_kept = max(float(weight[kept].sum()), np.finfo(float).tiny)
    return Callers(
        np.array([laws[k][0] for k in kept]),
        np.array([laws[k][1] for k in kept]),
        np.array([found[k][1] for k in kept]),
        weight[kept] * weight.sum() / all_of_kept,
    )


def _usual_ratio(data: Listings) -> float:
    """ln(ask / estimate) that most of the days were spent at."""
    length = (data.end - data.begin) * np.isfinite(data.ratio)
    return float((length * np.nan_to_num(data.ratio)).sum() / max(float(length.sum()), 1e-9))


def _evidence(
    data: Listings, story: Story, eta: float, most: float, at: float
) -> tuple[float, float]:
    """ln likelihood of one law, its level integrated, and the mean of its level."""
    asked = np.isfinite(data.first)
    if not asked.any():
        return 0.0, 0.0
    anchor = -story.eta * at - float(selling.log_calls(np.array(at), eta, most))
    u = story.quality[asked, None] + story.quality_sd[asked, None] * _Z
    clock = [WEEK * (days[asked] / WEEK) ** story.shape for days in (data.begin, data.end)]
    ratio = np.nan_to_num(data.ratio[asked])
    calls = np.exp(selling.log_calls(ratio[:, :, None] - u[:, None, :], eta, most))
    reach = ((clock[1] - clock[0])[:, :, None] * calls).sum(axis=1)
    last = selling.log_calls(data.last[asked, None] - u, eta, most)
    sold = data.sold[asked, None]
    log_rate = story.log_rate[asked, None]
    values = []
    for level in (anchor + LEVELS).tolist():
        log = sold * (log_rate + level + last) - np.exp(log_rate + level) * reach
        values.append(float(logsumexp(log + np.log(_W / _W.sum()), axis=1).sum()))
    post = np.array(values) - 0.5 * (LEVELS / LEVEL_SD) ** 2
    share = np.exp(post - logsumexp(post))
    usual = -0.5 * (LEVELS / LEVEL_SD) ** 2
    return float(logsumexp(post) - logsumexp(usual)), anchor + float(share @ LEVELS)
