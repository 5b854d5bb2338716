"""How long a unit waits for a buyer, and what buyers talk down: the learned numbers and the answers
from them. numpy only.

    ln lambda = theta_type + season - eta (ln(ask / estimate) - q),     not sold by t with chance
        exp(-sum of lambda (tau(t_j+1) - tau(t_j)))

estimate: what the price model says it sells for; q: how much better the unit really is, seen by the
seller and not in the record; tau(t) = 7 (t / 7)^shape: the days on the market, stretched a little
where the market warms or tires; asks change at the t_j.
theta and eta are uncertain together: what is known best is the rate at the asks that were really
made.
"""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy import ndarray as Array

from pricing.basis.frozen import frozen
from pricing.basis.settings import Settings
from pricing.basis.units import Units
from pricing.basis.words import family_of
from pricing.formulas import selling
from pricing.model import numbers
from pricing.model.price.price import PriceLaw
from pricing.model.year import along_the_year

WEEK = 7.0
LOWEST_ETA, HIGHEST_ETA, N_ETA = 0.5, 9.0, 7
N_CALLERS = 4  # caller laws that an answer reckons with
POWER_MOST = -9.0  # ln(most / worth) of the power law: nobody is near the most he would pay
YEAR = 365.25
SCALES = (
    0.6,
    0.2,
    0.35,
    0.1,
    # sd of ln sales a day beside the starting figures: of all, families, types, season. Own
    # judgement.
)


@frozen
class SaleTimeModel:
    """Everything the answers need. eta_mean, eta_sd, eta_points, eta_weights: what is known of the
    elasticity of the sale rate with the ask where it is a power of it, (7,); callers_*: laws of
    callers who each know a most they would pay (`selling.log_calls`), (4,), with ln rate at the
    estimate beside the power law's, and belief; shape: of the days on the market; n_drops,
    n_listings: what eta was learned from; premium_mean, premium_sd: of ln(first ask / estimate),
    premium_by_type beside it, (T,); premium_seen: how far a unit's own quality moves its ask;
    seen_share: sd of q as a share of the price model's spread; drop_fall, drop_days: the usual
    drop, ln, 0 where most asks are kept, and days between; types, families: names, in the order of
    the coefficients; log_rates: starting ln sales a day by type; season_rates: beside them by
    month, (12,); scales: learned sd of all, families, types, season, (4,); coefficients: all,
    families, types, season (cos, sin of each family), (p,); covariance: (p, p); with_eta:
    covariance with eta, (p,); n_type: listings by type; haggle_*, by type and last for any other,
    (H,): share of sales at the full ask, mean share off otherwise, number of sales, and haggle_at,
    their mean ln(last ask / estimate); haggle_slope: change of the mean share off with that;
    haggle_sd: of the share off, where any."""

    eta_mean: float
    eta_sd: float
    eta_points: Array
    eta_weights: Array
    callers_eta: Array
    callers_most: Array
    callers_level: Array
    callers_weight: Array
    shape: float
    n_drops: int
    n_listings: int
    drop_fall: float
    drop_days: float
    premium_mean: float
    premium_by_type: Array
    premium_sd: float
    premium_seen: float
    seen_share: float
    types: tuple[str, ...]
    families: tuple[str, ...]
    family_of_type: Mapping[str, str]
    log_rates: Mapping[str, float]
    season_rates: Mapping[str, Array]
    scales: Array
    coefficients: Array
    covariance: Array
    with_eta: Array
    n_type: Mapping[str, int]
    haggle_types: tuple[str, ...]
    haggle_full: Array
    haggle_off: Array
    haggle_n: Array
    haggle_sd: float
    haggle_slope: float
    haggle_at: Array


@frozen
class Market:
    """Of m units, (m,) each: ln sales a day at an ask equal to the estimate, at the mean eta,
    season of the day included; its sd, and before any listing; per_eta: by how much it is higher
    for an eta higher by 1; n_type, n_family: listings of the type, and of others of its family."""

    log_rate: Array
    log_rate_sd: Array
    prior_log_rate_sd: Array
    per_eta: Array
    n_type: Array
    n_family: Array

    @property
    def removed(self) -> Array:
        """Share of the starting variance that own listings removed, 0-1, (m,): for the standing."""
        return np.asarray(np.clip(1 - self.log_rate_sd**2 / self.prior_log_rate_sd**2, 0.0, 1.0))


@frozen
class Haggle:
    """What buyers talk down, (m,) each. full_share: chance that the full ask is paid; off_mean,
    off_sd: share off over all sales; n: sales of the type behind it; off_slope: change with ln(ask
    / estimate)."""

    full_share: Array
    off_mean: Array
    off_sd: Array
    n: Array
    off_slope: float


def design(
    families: tuple[str, ...],
    types: tuple[str, ...],
    names: list[str],
    families_of: list[str],
    days: Array,
) -> Array:
    """Columns of the coefficients for units of these types on these days: (m, 1 + F + T + 2 F)."""
    F, T, m = len(families), len(types), len(names)
    columns = np.zeros((m, 1 + F + T + 2 * F))
    columns[:, 0] = 1.0
    of_family, of_type = {f: i for i, f in enumerate(families)}, {t: i for i, t in enumerate(types)}
    family = np.array([of_family.get(f, -1) for f in families_of], dtype=np.int64)
    kind = np.array([of_type.get(t, -1) for t in names], dtype=np.int64)
    rows = np.flatnonzero(family >= 0)
    columns[rows, 1 + family[rows]] = 1.0
    angle = 2 * np.pi * days / YEAR
    columns[rows, 1 + F + T + 2 * family[rows]] = np.cos(angle[rows])
    columns[rows, 1 + F + T + 2 * family[rows] + 1] = np.sin(angle[rows])
    rows = np.flatnonzero(kind >= 0)
    columns[rows, 1 + F + kind[rows]] = 1.0
    return columns


def usual_season(season_rates: Mapping[str, Array], names: Sequence[str], days: Array) -> Array:
    """ln sales a day of the day beside the usual month of its type, (n,), else 0."""
    still = np.zeros(12)
    table = np.array([season_rates.get(name, still) for name in names]).reshape(-1, 12)
    return along_the_year(table, days)


def usual_log_rate(days: float, shape: float = 1.0) -> float:
    """ln sales a day at which half are sold after `days` days.

    >>> round(float(np.exp(usual_log_rate(10.0))), 4)
    0.0693
    """
    return float(np.log(np.log(2) / WEEK) - shape * np.log(max(days, 0.1) / WEEK))


def market(model: SaleTimeModel, units: Units, day: float) -> Market:
    """How fast units like these sell when put up at the estimate on `day` (ordinal)."""
    word = units.word("type")
    labels = [*word.levels, ""]
    families = [_family(model, name) for name in labels]
    count = _family_counts(model)
    X = design(model.families, model.types, labels, families, np.full(len(labels), float(day)))
    F = len(model.families)
    rates = np.array([model.log_rates.get(name, model.log_rates[""]) for name in labels])
    season = usual_season(model.season_rates, labels, np.full(len(labels), float(day)))
    of_type = set(model.types)
    known = np.array([name in of_type for name in labels])
    in_family = X[:, 1 : 1 + F].any(axis=1)
    _, of_families, of_types, _ = model.scales
    variance = np.einsum("ij,jk,ik->i", X, model.covariance, X) + np.where(known, 0.0, of_types**2)
    variance = variance + np.where(in_family, 0.0, of_families**2)
    prior = np.full(len(labels), sum(sd**2 for sd in SCALES))
    n_type = np.array([model.n_type.get(name, 0) if name else 0 for name in labels])
    n_family = np.array([count.get(f, 0) for f in families]) - n_type
    per_eta = np.asarray(X @ model.with_eta / model.eta_sd**2)
    code = word.codes
    return Market(
        (X @ model.coefficients + rates + season)[code],
        np.sqrt(np.maximum(variance, 0.0))[code],
        np.sqrt(prior)[code],
        per_eta[code],
        n_type[code],
        n_family[code],
    )


def prior_sd(scales: Sequence[float] | Array, n_families: int, n_types: int) -> Array:
    """sd of the coefficients in the order of `design`, from those of the four blocks."""
    return np.repeat(np.asarray(scales, dtype=float), [1, n_families, n_types, 2 * n_families])


def _family(model: SaleTimeModel, name: str) -> str:
    return model.family_of_type.get(name) or (family_of(name, Settings()) if name else "")


def _family_counts(model: SaleTimeModel) -> dict[str, int]:
    count: dict[str, int] = {}
    for name, n in model.n_type.items():
        family = _family(model, name)
        count[family] = count.get(family, 0) + n
    return count


# ---- days


def unseen_sd(model: SaleTimeModel, law: PriceLaw) -> Array:
    """sd of q, the true worth of each unit beside its estimate, (m,)."""
    return np.asarray(selling.unseen_sd(model, law.scale, law.spread, law.nu))


def usual_premium(model: SaleTimeModel, units: Units) -> Array:
    """ln(first ask / estimate) that the person usually asks for units like these, (m,)."""
    place = units.word("type").lookup(model.types)
    return np.asarray(model.premium_mean + np.append(model.premium_by_type, 0.0)[place])


def quality_from_ask(
    model: SaleTimeModel, units: Units, log_first_ratio: Array, q_sd: Array
) -> tuple[Array, Array]:
    """Mean and sd of q once the person's own first ask is known, (m,) each."""
    return selling.quality_from_ask(model, log_first_ratio - usual_premium(model, units), q_sd)


# ---- haggling


def haggle(model: SaleTimeModel, units: Units, log_ask_ratio: Array | float = 0.0) -> Haggle:
    """What buyers talk down from an ask at ln(ask / estimate), one or (m,), by type."""
    place = units.word("type").lookup(model.haggle_types)  # -1, not known, is the last entry
    full, off, sd = selling.haggle(model, place, log_ask_ratio)
    n = model.haggle_n.astype(int)
    return Haggle(full, off, sd, np.where(place >= 0, n[place], 0), model.haggle_slope)


# ---- saved numbers


def as_numbers(model: SaleTimeModel) -> dict[str, Any]:
    """Plain tables for JSON; `from_numbers` gives the same model back."""
    p = len(model.coefficients)
    out = {name: getattr(model, name) for name in model.__dataclass_fields__}
    out["covariance"] = [model.covariance[i, : i + 1].tolist() for i in range(p)]
    tables = ("family_of_type", "log_rates", "season_rates", "n_type")
    return out | {name: dict(getattr(model, name)) for name in tables}


def from_numbers(data: Mapping[str, Any]) -> SaleTimeModel:
    """The model from plain tables. Raises Damaged where a size, a bound or a name is wrong."""
    types, own = (numbers.texts(data, name, 5_000) for name in ("types", "haggle_types"))
    families = numbers.texts(data, "families", 1_000)
    p = 1 + len(families) + len(types) + 2 * len(families)
    half = numbers.triangle(data, "covariance", p, 100)
    words, seasons = (numbers.table(data, name) for name in ("family_of_type", "season_rates"))
    rates, several = numbers.by_word(data, "log_rates", -20, 20), numbers.several
    if "" not in rates:
        raise numbers.Damaged("log_rates has no entry for other types")
    eta, any_share, pair = (LOWEST_ETA, HIGHEST_ETA), (0, 1), (-2, 2)
    return SaleTimeModel(
        types=types,
        families=families,
        haggle_types=own,
        family_of_type={name: numbers.text(words, name) for name in words},
        log_rates=rates,
        season_rates={name: numbers.array(seasons, name, (12,), -10, 10) for name in seasons},
        covariance=half + np.tril(half, -1).T,
        n_type=numbers.counts(data, "n_type"),
        n_drops=int(numbers.number(data, "n_drops", 0)),
        n_listings=int(numbers.number(data, "n_listings", 0)),
        **several(data, eta_mean=eta, eta_sd=(1e-6, 10), shape=(0.2, 5), premium_mean=(-5, 5)),
        **several(data, drop_fall=(0, 2), drop_days=(1, 1000)),
        **several(data, premium_sd=(1e-6, 5), premium_seen=(-2, 3), seen_share=(0, 3)),
        **several(data, haggle_sd=any_share, haggle_slope=pair),
        **several(data, (N_ETA,), eta_points=eta, eta_weights=any_share),
        **several(data, (N_CALLERS,), callers_eta=(LOWEST_ETA, 50), callers_most=(-1, 1)),
        **several(data, (N_CALLERS,), callers_level=(-20, 20), callers_weight=any_share),
        **several(data, (len(types),), premium_by_type=pair),
        **several(data, (4,), scales=(1e-6, 100)),
        **several(data, (p,), coefficients=(-50, 50), with_eta=(-100, 100)),
        **several(data, (len(own) + 1,), haggle_full=any_share, haggle_off=any_share),
        **several(data, (len(own) + 1,), haggle_n=(0, 1e12), haggle_at=(-5, 5)),
    )
