"""New sales on top of numbers that came ready: the algebra against other forms of it, and a known
truth."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from invented_sales import DAY, PLAIN, SD, sales, true_log_price

from pricing.basis.units import from_rows
from pricing.model.price import encode, member, mixed, price
from pricing.model.price.onward import moved_on
from pricing.model.price.price import PriceNumbers
from pricing.model.price.price_fit import fit_price

TODAY = float(DAY.toordinal())


@pytest.fixture(scope="module")
def model() -> PriceNumbers:
    return fit_price(from_rows(sales(150)), PLAIN, DAY)


def told(rows: list[dict[str, object]]) -> list[dict[str, object]]:
    """The rows with nothing left open: no word that nobody says is nothing that it has."""
    return [row | {"features": row["features"] or "none of them"} for row in rows]


def later(n: int, seed: int, shift: float = 0.0) -> tuple[list[dict[str, object]], np.ndarray]:
    """Sales of the two months after the fit, each `shift` above the law in ln price, and their
    days."""
    days = TODAY + 1.0 + np.arange(n) * 60 / n
    rows = [
        row | {"sold": float(day), "price": row["price"] * float(np.exp(shift))}
        for row, day in zip(told(sales(n, seed, blank=0.0)), days.tolist(), strict=True)
    ]
    return rows, days


def test_no_sale_changes_nothing(model: PriceNumbers) -> None:
    assert moved_on(model, from_rows([]), np.zeros(0)) is model


def test_the_gain_form_gives_the_same(model: PriceNumbers) -> None:
    """m' = m + S Z'(Z S Z' + V)^-1 r,  S' = S - S Z'(Z S Z' + V)^-1 Z S, worked densely; normal
    errors, so that all weights are 1; one maker never seen."""
    normal = replace(model, table=replace(model.table, nu=1e12))
    rows, days = later(7, 3)
    rows[2]["maker"] = "Nobody"
    units = from_rows(rows)
    found = moved_on(normal, units, days)

    read = encode.read(normal.encoding, units, days)
    S = normal.factor @ normal.factor.T
    S[0, 0] += normal.walk**2 * read.ahead.mean()
    V = np.diag(price.own_variance(normal, read) + read.missing @ normal.scales**2)
    gain = S @ read.columns.T @ np.linalg.inv(read.columns @ S @ read.columns.T + V)
    assert found.mean == pytest.approx(
        normal.mean
        + gain @ (np.log(units.number("price")) - read.offset - read.columns @ normal.mean),
        abs=1e-9,
    )
    assert found.factor @ found.factor.T == pytest.approx(S - gain @ read.columns @ S, abs=1e-9)
    assert found.n == normal.n + 7
    assert sum(found.types.values()) == sum(normal.types.values()) + 7
    assert sum(found.families.values()) == sum(normal.families.values()) + 7


def test_one_sale_after_the_other_is_all_at_once(model: PriceNumbers) -> None:
    """Two halves on top of each other are the whole, where nothing walks and errors are normal."""
    still = replace(model, table=replace(model.table, nu=1e12), walk=0.0)
    rows, days = later(10, 4)
    whole = moved_on(still, from_rows(rows), days)
    halves = moved_on(moved_on(still, from_rows(rows[:5]), days[:5]), from_rows(rows[5:]), days[5:])
    asked = from_rows([{"type": "gas range", "age": 7.0, "maker": "Arvend"}, {"type": "kettle"}])
    a, b = (price.law(found, asked, TODAY + 60) for found in (whole, halves))
    assert a.center == pytest.approx(b.center, abs=1e-6)
    assert a.spread == pytest.approx(b.spread, rel=1e-6)


def test_old_and_new_together_are_the_new_on_top_of_the_old() -> None:
    """At scales that stay as they are the posterior of all sales at once is that of the first ones
    moved on by the others."""
    rows = told(sales(60, blank=0.0))
    fitted = fit_price(
        from_rows(rows), PLAIN, DAY, student=False, spread=False, draws=0, level_flat=False
    )
    fitted = replace(
        fitted, table=replace(fitted.table, nu=1e12), gamma=np.zeros_like(fitted.gamma), walk=0.0
    )
    theta = np.append(np.log(fitted.scales), np.log(fitted.error))
    units = from_rows(rows)
    read = encode.read(fitted.encoding, units, units.number("sold"))
    left, none = np.log(units.number("price")) - read.offset, np.zeros((60, 0))

    def posterior(rows_: slice) -> mixed.Posterior:
        folded = mixed.fold(
            none[rows_], read.columns[rows_], left[rows_], np.ones(len(left[rows_]))
        )
        return mixed.posterior(folded, fitted.encoding.group, theta)

    first, both = posterior(slice(0, 40)), posterior(slice(0, 60))
    start = price.with_root(
        fitted,
        fitted.encoding,
        first.mean,
        np.linalg.cholesky(first.covariance + 1e-14 * np.eye(len(first.mean))),
        fitted.scales,
    )
    found = moved_on(start, units.take(np.arange(40, 60)), units.number("sold")[40:])
    assert found.mean == pytest.approx(both.mean, abs=1e-7)
    assert found.factor @ found.factor.T == pytest.approx(both.covariance, abs=1e-7)


def test_a_slip_of_the_fingers_moves_little(model: PriceNumbers) -> None:
    rows, days = later(6, 5)
    wild = [*rows[:5], rows[5] | {"price": float(rows[5]["price"]) * 100}]  # type: ignore[arg-type]
    asked = from_rows([{"type": "gas range", "age": 7.0, "maker": "Arvend", "condition": "good"}])
    before, plain, odd = (
        price.law(found, asked, TODAY + 60).center[0]
        for found in (
            model,
            moved_on(model, from_rows(rows), days),
            moved_on(model, from_rows(wild), days),
        )
    )
    assert abs(odd - plain) < 0.05
    assert abs(plain - before) < 0.15


def test_a_member_goes_over_to_ones_own_sales() -> None:
    """Known truth, seeded: four records of 20 people and 4 with two sales each, levels N(0, .15^2).
    A member leaves with numbers of one's own
    and sells ten more: then the estimate is nearer the truth than the numbers that came along, and
    than the twelve sales alone, by more than two standard errors of the paired difference over the
    members; the 80 % range holds .80 +- (.02 + 2 s.e. over the members).
    """
    asked = sales(60, seed=500, blank=0.0)
    truth = np.array([true_log_price(row) for row in asked])
    units = from_rows(
        [{k: v for k, v in row.items() if k not in ("price", "sold")} for row in asked]
    )
    errors, inside = [], []
    for seed in range(4):
        rng = np.random.default_rng(seed)
        levels = rng.normal(0, 0.15, 24)
        who = [20 + k // 2 for k in range(8)] + [k % 20 for k in range(320)]
        rows = [
            row | {"owner": f"p{k:02d}", "price": float(row["price"] * np.exp(levels[k]))}
            for k, row in zip(rng.permutation(who).tolist(), sales(328, seed + 40), strict=True)
        ]
        group = fit_price(from_rows(rows), PLAIN, DAY)
        for k in range(20, 24):
            came = member.alone(group, f"p{k:02d}")
            fresh, days = later(10, 600 + 10 * seed + k, float(levels[k]))
            own = fit_price(
                from_rows([*fresh, *(row for row in rows if row["owner"] == f"p{k:02d}")]),
                PLAIN,
                DAY.replace(month=8),
            )
            laws = [
                price.law(found, units, TODAY + 61)
                for found in (moved_on(came, from_rows(fresh), days), came, own)
            ]
            errors.append([float(np.abs(one.center - truth - levels[k]).mean()) for one in laws])
            low, high = price.range_of(laws[0], 0.8)
            actual = truth + levels[k] + rng.normal(0, SD, len(truth))
            inside.append(float(np.mean((np.log(low) <= actual) & (actual <= np.log(high)))))
    table = np.array(errors)
    print(
        "ten more sales: mean error of ln price {:.3f}, before them {:.3f}, alone {:.3f}; range"
        " holds {:.3f}".format(*table.mean(0), np.mean(inside))
    )

    for other in (1, 2):
        gain = table[:, other] - table[:, 0]
        assert gain.mean() > 2 * gain.std(ddof=1) / np.sqrt(len(gain))
    assert abs(np.mean(inside) - 0.8) < 0.02 + 2 * float(np.std(inside, ddof=1)) / np.sqrt(
        len(inside)
    )
