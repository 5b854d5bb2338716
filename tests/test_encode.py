"""Units as rows of numbers: what has a column, what stays open, what a blank is taken for."""

from __future__ import annotations

from itertools import product
from typing import Any

import numpy as np
import pytest
from invented_sales import DAY, PLAIN, sales

from pricing.basis.columns import CONDITIONS
from pricing.basis.settings import Settings
from pricing.basis.units import Coded, from_rows
from pricing.formulas import by_age
from pricing.model.fold import over
from pricing.model.price import ages, encode
from pricing.model.price.encode import Encoding
from pricing.model.price.encode_fit import learn
from pricing.model.price.layout import walk_edges
from pricing.model.seen import look, row_hashes, sold_rows

TODAY = float(DAY.toordinal())


def learned(
    rows: list[dict[str, Any]], settings: Settings = PLAIN, use_assumed: bool = True
) -> Encoding:
    return learn(look(over(from_rows(rows)), settings, DAY), settings, DAY, use_assumed=use_assumed)


@pytest.fixture(scope="module")
def encoding() -> Encoding:
    return learned(sales(120))


def block(encoding: Encoding, name: str) -> int:
    return [b.name for b in encoding.blocks].index(name)


def missing(encoding: Encoding, name: str, **unit: object) -> float:
    return float(encode.read(encoding, from_rows([unit]), TODAY).missing[0, block(encoding, name)])


def test_a_level_without_a_column_stays_open(encoding: Encoding) -> None:
    assert missing(encoding, "maker", type="gas range", maker="Arvend") == pytest.approx(
        0, abs=1e-9
    )
    assert missing(encoding, "maker", type="gas range", maker="Nobody") == pytest.approx(1)
    assert missing(encoding, "features", features="steam; whistle") == pytest.approx(1)
    assert missing(encoding, "maker x type", type="gas range", maker="Nobody") == pytest.approx(1)


def test_a_column_nobody_ever_filled_leaves_nothing_open_when_blank(encoding: Encoding) -> None:
    bare = learned([{k: v for k, v in row.items() if k != "maker"} for row in sales(40)])
    assert missing(bare, "maker", type="gas range") == pytest.approx(0, abs=1e-9)
    assert missing(bare, "maker", type="gas range", maker="Arvend") == pytest.approx(1, abs=1e-9)


def test_order_of_rows_and_of_columns_does_not_matter() -> None:
    rows = sales(80)
    turned = [dict(reversed(row.items())) for row in reversed(rows)]
    one, other = (learned(table) for table in (rows, turned))
    questions = from_rows(sales(20, seed=5))
    a, b = (encode.read(e, questions, TODAY) for e in (one, other))
    assert a.columns.tolist() == b.columns.tolist()
    assert a.offset.tolist() == b.offset.tolist()


def test_hashes_do_not_hang_on_order_or_blank_columns() -> None:
    rows = sales(10)
    more = [dict(reversed(row.items())) | {"tier": None} for row in rows]
    assert row_hashes(from_rows(rows)).tolist() == row_hashes(from_rows(more)).tolist()


def test_expected_columns_of_a_blank_age_are_the_mean_over_its_ages(encoding: Encoding) -> None:
    unit = {"type": "gas range", "maker": "Arvend", "condition": "fair", "features": "convection"}
    blank = encode.read(encoding, from_rows([unit]), TODAY)
    weights = blank.age_weights[0]
    each = encode.read(encoding, from_rows([unit | {"age": float(a)} for a in ages.GRID]), TODAY)
    by_age = [
        k
        for k, b in enumerate(encoding.blocks)
        if b.left < len(encoding.margins) and encoding.margins[b.left].kind in encode.AGE_MARGINS
    ]
    columns = np.isin(encoding.group, by_age)
    assert weights.sum() == pytest.approx(1)
    assert blank.columns[0, columns] == pytest.approx(weights @ each.columns[:, columns], abs=1e-12)
    rng = np.random.default_rng(0)
    u = np.where(columns, rng.normal(0, 0.1, encoding.n_columns), 0.0)
    curve = each.offset + each.columns @ u
    middle = weights @ curve
    found = encode.left_open(encoding, blank, u, np.zeros(encoding.n_columns))
    assert found.variance[0] == pytest.approx(weights @ curve**2 - middle**2, rel=1e-9)
    mean = weights @ np.exp(curve)
    assert found.tilt[0] == pytest.approx(mean / np.exp(middle + found.variance[0] / 2), rel=1e-9)


def test_a_blank_grade_or_maker_is_the_mixture_of_its_levels(encoding: Encoding) -> None:
    """Mean and variance by going through the levels one by one, with their shares, the level never
    seen (two units of it) at no effect and its own doubt."""
    rng = np.random.default_rng(1)
    u, doubt = rng.normal(0, 0.1, encoding.n_columns), rng.uniform(0, 0.01, encoding.n_columns)
    unit = {"type": "gas range", "age": 7.0, "features": "convection"}
    first = {"condition": "rough", "maker": "Arvend"}
    for column, levels in (("condition", list(CONDITIONS)), ("maker", ["Arvend", "Boltrane"])):
        block = next(
            k
            for k, b in enumerate(encoding.blocks)
            if not b.right
            and by_age.is_mixture(encoding.margins, b)
            and encoding.margins[b.left].column == column
        )
        only = np.where(encoding.group == block, u, 0.0)
        told = from_rows([unit | first | {column: level} for level in levels])
        effect = encode.read(encoding, told, TODAY).columns @ only
        margin = encoding.margins[encoding.blocks[block].left]
        blank = encode.read(encoding, from_rows([unit | first | {column: None}]), TODAY)
        found = encode.left_open(encoding, blank, only, doubt * (encoding.group == block))
        mine = doubt[encoding.group == block]
        if column == "condition":
            share = -np.diff(np.array([1.0, *margin.values, 0.0]))
            mean = np.concatenate([[0.0], np.cumsum(encoding.blocks[block].mean)])
            effect, spare = effect + mean, np.array(margin.values)
        else:
            effect = np.array(
                [only[encoding.group == block][margin.labels.index(m)] for m in levels]
            )
            share = np.array([margin.values[margin.labels.index(m)] for m in levels])
            rest = 1 - sum(margin.values)
            others = [i for i, m in enumerate(margin.labels) if m not in levels]
            effect = np.concatenate([effect, only[encoding.group == block][others], [0.0]])
            share = np.concatenate([share, np.array(margin.values)[others], [rest]])
            spare = np.append(np.array(margin.values), rest)
            mine = np.append(mine, encoding.blocks[block].scale ** 2)
        middle = share @ effect
        assert share.sum() == pytest.approx(1)
        assert found.variance[0] == pytest.approx(
            share @ effect**2 - middle**2 + (spare * (1 - spare)) @ mine, rel=1e-9
        )


def test_a_blank_list_of_features_is_the_mixture_of_all_that_it_may_have() -> None:
    """Over every set of its words, each with its share and apart from the others: mean, variance
    and mean price."""
    rows = sales(60)
    for k, row in enumerate(rows):
        row["features"] = "; ".join(["convection"] * (k % 2) + ["steam"] * (k % 3 == 0)) or None
    encoding = learned(rows)
    unit = {"type": "gas range", "maker": "Arvend", "condition": "fair", "age": 7.0}
    block = next(k for k, b in enumerate(encoding.blocks) if b.name == "features")
    here, margin = encoding.group == block, encoding.margins[encoding.blocks[block].left]
    u = np.where(here, np.random.default_rng(2).normal(0, 0.1, encoding.n_columns), 0.0)
    blank = encode.read(encoding, from_rows([unit]), TODAY)
    found = encode.left_open(encoding, blank, u, 0.01 * here)
    share = {word: margin.values[margin.labels.index(word)] for word in ("convection", "steam")}
    assert share["convection"] == pytest.approx(30 / 62) and sum(margin.values) < 1
    chances, logs = [], []
    for has in product((False, True), repeat=2):
        # no word that nobody says is nothing that it has: "" would be a blank
        told = "; ".join(w for w, yes in zip(share, has, strict=True) if yes) or "none of them"
        read = encode.read(encoding, from_rows([unit | {"features": told}]), TODAY)
        logs.append(read.offset[0] + read.columns[0] @ u)
        each = [s if yes else 1 - s for s, yes in zip(share.values(), has, strict=True)]
        chances.append(np.prod(each))
    p, x = np.array(chances), np.array(logs)
    middle = p @ x
    doubt = 0.01 * sum(s * (1 - s) for s in share.values())
    spread = p @ (x - middle) ** 2
    assert blank.missing[0, block] == 0
    assert blank.offset[0] + blank.columns[0] @ u == pytest.approx(middle, rel=1e-9)
    assert found.variance[0] == pytest.approx(spread + doubt, rel=1e-9)
    mean = float(p @ np.exp(x - middle))
    assert found.tilt[0] == pytest.approx(mean / np.exp(spread / 2), rel=1e-9)


def test_known_ages_of_the_type_and_grade_outweigh_the_start() -> None:
    old = [{"type": "gas range", "condition": "good", "age": 20.0} for _ in range(200)]
    table = ages.count(from_rows(old), Coded.of(["cooking"] * 200), start=True)
    unit = from_rows(
        [{"type": "gas range", "condition": "good"}, {"type": "dishwasher", "condition": "rough"}]
    )
    rows, weights = ages.blank_weights(table, unit, Coded.of(["cooking", "dish"]))
    assert rows.tolist() == [0, 1]
    assert weights[0] @ ages.GRID > 19.5
    assert weights[1] @ ages.GRID < 13


def test_sales_and_their_days() -> None:
    rows = [
        {"price": 100.0, "outcome": "sold", "sold": 10.0},
        {"price": 100.0, "outcome": "sold", "listed": 9.0},
        {"price": 100.0, "outcome": None, "sold": 10.0},
        {"price": 100.0, "outcome": None},
        {"price": 100.0, "outcome": "returned", "sold": 10.0},
        {"price": None, "outcome": "sold", "sold": 10.0},
    ]
    kept, days = sold_rows(from_rows(rows), DAY)
    assert kept.tolist() == [0, 1, 2]
    assert days.tolist() == [10.0, 9.0, 10.0]


def test_a_table_without_a_sold_column_holds_sales_only() -> None:
    kept, days = sold_rows(from_rows([{"price": 5.0}, {"price": 6.0}]), DAY)
    assert kept.tolist() == [0, 1]
    assert days.tolist() == [TODAY, TODAY]


def test_months_of_the_level_grow_coarser() -> None:
    edges = walk_edges(60.0)
    assert edges[:4] == (0.0, 1.0, 2.0, 3.0)
    assert np.diff(edges)[-1] == 3


def test_own_ordered_words_go_by_number_then_by_letter() -> None:
    rows = [{"price": 10.0 + k, "grade": str(k % 11)} for k in range(40)]
    found = learned(rows, Settings(attributes={"grade": "ordered"}), use_assumed=False)
    labels = next(m.labels for m in found.margins if m.column == "grade")
    assert labels == tuple(str(k) for k in range(11))


def test_rare_levels_are_dropped_first(monkeypatch: pytest.MonkeyPatch) -> None:
    from pricing.model.price import layout

    monkeypatch.setattr(layout, "MOST_LEVELS", 2)
    rows = [row | {"maker": "Rare" if k == 0 else row["maker"]} for k, row in enumerate(sales(60))]
    found = learned(rows)
    makers = next(m.labels for m in found.margins if m.column == "maker")
    assert len(makers) == 2
    assert "Rare" not in makers


def test_a_plain_word_is_read_as_the_mixture_of_its_kinds() -> None:
    """By going through the kinds one by one with their shares: columns, mean, variance and mean
    price; beside a unit that is told, and one with a blank age."""
    kinds = ("top-load washer", "front-load washer") * 12
    rows = [row | {"type": kind} for row, kind in zip(sales(24), kinds, strict=True)]
    encoding = learned([*rows, *({**row, "type": "washer"} for row in rows[:6])])
    assert "washer" in encoding.kinds and all(
        "washer" not in margin.labels for margin in encoding.margins if margin.column == "type"
    )
    unit = {"maker": "Arvend", "condition": "fair", "features": "steam", "age": 7.0}
    names, share = zip(*encoding.kinds["washer"].items(), strict=True)
    share = np.array(share) / sum(share)
    each = encode.read(encoding, from_rows([{**unit, "type": name} for name in names]), TODAY)
    open_: list[dict[str, Any]] = [{**unit, "type": one} for one in ("washer", names[0])]
    open_.append({"type": "washer"})
    found = encode.read(encoding, from_rows(open_), TODAY)
    rng, p = np.random.default_rng(3), encoding.n_columns
    u, doubt = rng.normal(0, 0.1, p), rng.uniform(0, 0.01, p)
    assert found.columns[:2] == pytest.approx(np.array([share @ each.columns, each.columns[0]]))
    assert found.offset[0] == pytest.approx(share @ each.offset) and found.blank.tolist() == [2]
    told = encode.left_open(encoding, found, u, doubt)
    curve = each.offset + each.columns @ u
    middle, away = share @ curve, each.columns - share @ each.columns
    between = share @ curve**2 - middle**2
    assert told.variance[0] == pytest.approx(between + share @ (away**2 @ doubt), rel=1e-9)
    assert told.variance[1] == 0.0 and told.tilt[1] == 1.0
    mean = share @ np.exp(curve)
    assert told.tilt[0] == pytest.approx(mean / np.exp(middle + between / 2), rel=1e-9)
    assert told.variance[2] > told.variance[0]
