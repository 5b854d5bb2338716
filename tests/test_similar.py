"""Similar own sales: the ones that weigh most in the very answer."""

from __future__ import annotations

import numpy as np
import pytest
from invented_sales import DAY, PLAIN, sales
from references import recent_sales

from pricing.basis.units import from_rows
from pricing.model.price import encode, price, similar
from pricing.model.price.price_fit import fit_price

TODAY = float(DAY.toordinal())
UNIT = {"type": "gas range", "maker": "Arvend", "age": 7.0, "condition": "good"}


def test_weights_are_those_of_the_model() -> None:
    rows = sales(60)
    model = fit_price(from_rows(rows), PLAIN, DAY)
    recent = recent_sales(from_rows(rows), model)
    found = similar.closest(model, recent, from_rows([UNIT]), TODAY)
    units, days = from_rows(rows), np.array([row["sold"] for row in rows])
    there, here = (
        encode.read(model.encoding, units, days),
        encode.read(model.encoding, from_rows([UNIT]), TODAY),
    )
    S = model.factor @ model.factor.T
    weights = here.columns[0] @ S @ (there.columns.T * similar.pull(model, units, days))
    best = np.argsort(-weights)[:5]
    assert [one.unit for one in found] == [rows[i]["unit"] for i in best]
    assert [one.weight for one in found] == pytest.approx(weights[best].tolist(), abs=1e-9)


def test_a_weight_is_how_the_answer_moves_with_the_sale() -> None:
    """With scales and weights held, moving one ln price by 1e-4 moves the answer by its weight
    times as much."""
    from pricing.model.fold import over
    from pricing.model.price import mixed, rounds
    from pricing.model.price.encode_fit import learn
    from pricing.model.seen import look

    rows = sales(30)
    options = rounds.Switches(pool=False, student=False, spread=False, draws=0)
    seen = look(over(from_rows(rows)), PLAIN, DAY)
    encoding = learn(seen, PLAIN, DAY)
    read = encode.read(encoding, seen.sample, seen.sample_days)
    logs = np.log(seen.sample.number("price"))
    fitted = rounds.fit_rows(encoding, read, logs, options)
    here = encode.read(encoding, from_rows([UNIT]), TODAY).columns[0]
    theta = np.append(np.log(fitted.scales), np.log(fitted.error))
    w = fitted.error**2 / fitted.own
    moved = logs - read.offset
    moved[4] += 1e-4
    before = mixed.posterior(
        mixed.fold(read.columns[:, :0], read.columns, logs - read.offset, w), encoding.group, theta
    )
    again = mixed.posterior(
        mixed.fold(read.columns[:, :0], read.columns, moved, w), encoding.group, theta
    )
    weight = here @ before.covariance @ read.columns[4] * w[4] / fitted.error**2
    assert (here @ (again.mean - before.mean)) / 1e-4 == pytest.approx(weight, abs=1e-6)


def test_adjusted_to_this_unit_and_to_today() -> None:
    rows = sales(60)
    model = fit_price(from_rows(rows), PLAIN, DAY)
    recent = recent_sales(from_rows(rows), model)
    found = similar.closest(model, recent, from_rows([UNIT]), TODAY, most=3)[0]
    row = next(row for row in rows if row["unit"] == found.unit)
    then = price.law(model, from_rows([row]), row["sold"]).center[0]
    now = price.law(model, from_rows([UNIT]), TODAY).center[0]
    assert found.adjusted == pytest.approx(row["price"] * np.exp(now - then), rel=1e-9)
    assert found.said.startswith(row["type"])


def test_at_most_forty_a_type_travel_with_the_numbers() -> None:
    rows = sales(300)
    model = fit_price(from_rows(rows), PLAIN, DAY)
    recent = recent_sales(from_rows(rows), model)
    kinds = [row["type"] for row in recent]
    assert max(kinds.count(kind) for kind in set(kinds)) == similar.KEPT_A_TYPE
    assert [row["sold"] for row in recent] == sorted(row["sold"] for row in recent)
    assert len(similar.closest(model, recent, from_rows([UNIT]), TODAY)) == 5


def test_no_sales_no_similar() -> None:
    model = fit_price(from_rows([]), PLAIN, DAY)
    assert recent_sales(from_rows([]), model) == []
    assert similar.closest(model, [], from_rows([UNIT]), TODAY) == []
