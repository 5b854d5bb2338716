"""The repair model: starting figures before any unit, pooling, duds counted, told -> found ->
repaired, and the file and back."""

from __future__ import annotations

import json
from datetime import date

import numpy as np
import pytest
from scipy import stats
from scipy.special import expit

from pricing.basis import assumed
from pricing.basis.own_rows import assumed_types
from pricing.basis.settings import Settings
from pricing.basis.units import Units, from_rows
from pricing.formulas import bench_sums
from pricing.formulas.faults import UNTOLD
from pricing.formulas.repairs_needed import ELSE
from pricing.model import numbers
from pricing.model.repair import outlook, repair
from pricing.model.repair.pooled_fit import pooled_linear, pooled_logistic
from pricing.model.repair.repair_fit import fit_repair
from pricing.model.repair.repair_sums import look_at, outcomes

DAY = date(2026, 4, 30)
NOTHING = from_rows([])
NO_LEVELS = dict.fromkeys(bench_sums.BLOCKS, ())


def units_of(
    n: int,
    seed: int = 0,
    faults: tuple[str, ...] = ("no heat", "won't start", "leaks"),
    q: float = 0.7,
) -> Units:
    """Invented units of three types: each fault needs one of two repairs, the second one much
    harder."""
    r = np.random.default_rng(seed)
    rows = []
    for i in range(n):
        fault, hard = faults[r.integers(len(faults))], bool(r.random() < 0.4)
        fixed = bool(r.random() < (q - 0.35 if hard else q + 0.2))
        rows.append(
            {
                "unit": f"{i}",
                "type": ("electric dryer", "gas dryer", "top-load washer")[r.integers(3)],
                "fault": fault,
                "repair": f"{'hard' if hard else 'easy'} {fault}",
                "age": float(r.integers(2, 15)),
                "parts": 0.0
                if r.random() < 0.3
                else float(np.exp(r.normal(np.log(60 if hard else 15), 0.4))),
                "repair_min": 60 * float(np.exp(r.normal(0, 0.4))),
                "sell_min": 40.0,
                "outcome": "sold" if fixed else "scrapped",
                "price": 200.0 if fixed else None,
                "salvage": None if fixed else 12.0,
                "paid": float(5 * r.integers(0, 12)),
                "miles": float(r.integers(2, 20)),
            }
        )
    return from_rows(rows)


def look(model: repair.RepairModel, **unit: object) -> outlook.Outlook:
    return outlook.outlook(model, [unit], Settings())


def fix_of(view: outlook.Outlook) -> float:
    return float(view.chance @ view.fix)


@pytest.mark.parametrize(
    ("type_name", "fault", "row"),
    [
        ("electric dryer", "no heat", ("no heat (electric)", 0.9117, 26.39, 0.8107)),
        ("dishwasher", "leaks", ("leaks", 0.6740, 28.08, 0.8646)),
    ],
)
def test_before_any_unit_every_mean_is_the_starting_table(
    type_name: str, fault: str, row: tuple[str, float, float, float]
) -> None:
    model = fit_repair(NOTHING, Settings(), DAY)
    view = look(model, type=type_name, fault=fault, age=assumed.MIDDLE_AGE)

    assert view.rows[0][0].fault == row[0]
    assert fix_of(view) == pytest.approx(
        row[1], abs=0.012
    )  # the spread before any unit is averaged by an approximation of the logistic normal
    assert float(view.parts_mean[0]) == pytest.approx(row[2], rel=1e-9)
    assert float(view.hours_mean[0]) == pytest.approx(row[3], rel=1e-9)
    assert float(view.sell_mean[0]) == pytest.approx(
        assumed_types(Settings())[type_name].clean_sell_h, rel=1e-9
    )
    assert view.fix_known[0] == pytest.approx(0, abs=1e-9)


def test_every_shipped_row_keeps_its_chance_before_any_unit() -> None:
    model = fit_repair(NOTHING, Settings(), DAY)
    first = {family: row.type for row in reversed(assumed.TYPES) for family in row.fault_family}
    told = [row for row in assumed.FAULTS if row.fix > 0 and not row.decision]
    told = [row for row in told if row.fault != UNTOLD]  # see tests/test_untold.py
    assert len(told) > 300
    for row in told:
        type_name = row.types[0] if row.types else first.get(row.family, "dehumidifier")
        view = look(model, type=type_name, fault=row.fault, age=assumed.MIDDLE_AGE)
        assert fix_of(view) == pytest.approx(view.rows[0][0].fix, abs=0.03), row.fault


def test_own_units_take_over_and_failed_ones_count() -> None:
    model = fit_repair(units_of(1_500, seed=1), Settings(), DAY)

    easy = look(model, type="electric dryer", fault="no heat", repair="easy no heat", age=8.0)
    hard = look(model, type="electric dryer", fault="no heat", repair="hard no heat", age=8.0)

    assert fix_of(easy) == pytest.approx(0.90, abs=0.04)
    assert fix_of(hard) == pytest.approx(0.35, abs=0.06)
    assert float(easy.parts_mean[0]) == pytest.approx(0.7 * 15 * np.exp(0.08), rel=0.12)
    assert float(hard.hours_mean[0]) == pytest.approx(np.exp(0.08), rel=0.1)
    assert float(easy.no_parts[0]) == pytest.approx(0.3, abs=0.05)
    assert easy.fix_known[0] > 0.75


def test_which_repair_a_fault_needs_is_learned_over_types() -> None:
    model = fit_repair(units_of(600, seed=2), Settings(), DAY)

    view = look(model, type="one-piece stacked washer/dryer", fault="no heat")
    shares = dict(zip(view.repair, view.chance.tolist(), strict=True))

    assert shares["easy no heat"] == pytest.approx(0.6, abs=0.06)
    assert shares["hard no heat"] == pytest.approx(0.4, abs=0.06)
    assert 0 < shares[ELSE] < 0.02
    assert sum(shares.values()) == pytest.approx(1)


def test_a_record_without_duds_leaves_the_chance_a_guess_shifted_by_the_answer() -> None:
    units = units_of(200, seed=3)
    sold = units.take(outcomes(units) == 0)
    plain, said = fit_repair(sold, Settings(), DAY), fit_repair(sold, Settings(sold_of_ten=4), DAY)
    before = fit_repair(NOTHING, Settings(), DAY)

    assert not plain.fix_is_known
    for repaired in ("easy no heat", "hard no heat"):
        unit = {"type": "electric dryer", "fault": "no heat", "repair": repaired, "age": 8.0}
        assert fix_of(look(plain, **unit)) == pytest.approx(fix_of(look(before, **unit)), abs=1e-9)
        assert look(plain, **unit).fix_known[0] == pytest.approx(0, abs=1e-9)
    assert (
        fix_of(look(said, type="electric dryer", fault="no heat"))
        < fix_of(look(plain, type="electric dryer", fault="no heat")) - 0.1
    )


def test_the_answer_of_ten_counts_ten_units_against_two_of_the_table() -> None:
    rows = [
        {
            "type": "electric dryer",
            "fault": "no heat",
            "outcome": "sold",
            "price": 150.0,
            "age": assumed.MIDDLE_AGE,
        }
    ] * 5
    model = fit_repair(from_rows(rows), Settings(sold_of_ten=6), DAY)

    assert fix_of(
        look(model, type="electric dryer", fault="no heat", age=assumed.MIDDLE_AGE)
    ) == pytest.approx((6 + 2 * 0.93) / 12, abs=0.01)


def test_units_in_work_are_no_outcome_and_listed_ones_are_fixed() -> None:
    words = [
        "sold",
        "listed",
        "returned",
        "in work",
        "waiting for part",
        "kept",
        "scrapped",
        "parted",
        "",
    ]
    rows = [
        {
            "type": "gas dryer",
            "outcome": word or None,
            "price": 90.0 if word in ("sold", "") else None,
        }
        for word in words
    ]
    rows.append({"type": "gas dryer", "outcome": "sold", "price": 30.0, "repair": "as-is"})

    assert outcomes(from_rows(rows)).tolist() == [0, 0, 0, 2, 2, 2, 1, 1, 0, 1]


def test_told_found_repaired() -> None:
    done = [
        {
            "type": "gas dryer",
            "fault": "noisy",
            "found": "worn belt",
            "repair": "belt",
            "outcome": "sold",
            "price": 150.0,
        }
    ] * 6
    failed = [
        {"type": "gas dryer", "fault": "noisy", "found": "worn belt", "outcome": "scrapped"}
    ] * 3
    other = [
        {"type": "gas dryer", "fault": "noisy", "found": "drum cracked", "outcome": "scrapped"}
    ] * 5
    model = fit_repair(from_rows(done + failed + other), Settings(), DAY)

    told = look(model, type="gas dryer", fault="noisy")
    assert set(told.repair) == {"belt", "drum cracked", ELSE}
    belt, drum = (
        look(model, type="gas dryer", fault="noisy", found="worn belt"),
        look(model, type="gas dryer", fault="noisy", found="drum cracked"),
    )
    assert belt.repair[0] == "belt"
    assert fix_of(drum) < 0.4 < fix_of(belt)
    assert model.turned_out["worn belt"] == (9, 6)
    assert repair.k_of_n(model, "noisy", "gas dryer") == (6, 14, 0)


def test_a_repair_in_several_steps_costs_more_and_works_less_often_than_its_easier_step() -> None:
    model = fit_repair(units_of(900, seed=4), Settings(), DAY)
    unit = {"type": "electric dryer", "fault": "no heat", "age": 8.0}

    easy, hard, both = (
        look(model, **unit, repair=name)
        for name in ("easy no heat", "hard no heat", "easy no heat; hard no heat")
    )

    assert fix_of(hard) < fix_of(both) < fix_of(easy)
    assert float(both.parts_mean[0]) > float(easy.parts_mean[0])
    assert float(both.hours_mean[0]) > float(easy.hours_mean[0])


@pytest.mark.parametrize(("name", "low"), [("sealed system", 0.2), ("tub bearings", 0.6)])
def test_the_rank_of_a_repair_bounds_its_starting_chance(name: str, low: float) -> None:
    """Ranks: J. Cleaner Production 215:1112-1122 (2019): bearings and drums are repaired least
    often, doors and brushes most."""
    model = fit_repair(NOTHING, Settings(), DAY)
    assert fix_of(look(model, type="dishwasher", fault="won't drain", repair=name)) < low
    assert fix_of(look(model, type="dishwasher", fault="dead", repair="door latch")) > fix_of(
        look(model, type="dishwasher", fault="dead")
    )


def test_pooling_reproduces_the_dyestuff_batches() -> None:
    """Six batches of five: between variance 42.00^2, within 49.51^2 (REML): B = .7825, batch means
    1505 -> 1509.9, 1600 -> 1584.2.

    Source: Davies & Goldsmith, Statistical Methods in Research and Production (1972), the dyestuff
    data as in mixed-model textbooks.
    """
    means = np.array([1505.0, 1528.0, 1564.0, 1498.0, 1600.0, 1470.0])
    levels = NO_LEVELS | {"type": tuple("abcdef")}
    rows = np.zeros((6, 9))
    rows[:, 0] = 1
    rows[np.arange(6), 3 + np.arange(6)] = 1
    sums = np.stack([np.full(6, 5.0), 5 * means, 5 * (means**2 + 49.51**2 * 4 / 5)], axis=1)
    start = {
        "all": 1e6,
        "age": 0.0,
        "failed": 0.0,
        "family": 0.0,
        "type": 42.0,
        "fault": 0.0,
        "pair": 0.0,
        "step": 0.0,
    }

    effects = pooled_linear(levels, rows, np.zeros(6), sums, start, 49.51)

    pulled = effects.mean[0] + effects.mean[3:]
    assert effects.mean[0] == pytest.approx(1527.5, abs=0.05)
    assert pulled[0] == pytest.approx(
        1509.9, abs=1.5
    )  # the spread is learned again from these very batches, so B moves a little
    assert pulled[4] == pytest.approx(1584.2, abs=1.5)
    assert effects.sigma == pytest.approx(49.51, rel=0.02)


def test_eight_schools_are_pulled_nearly_together() -> None:
    """Precision-weighted mean 7.7, standard error 4.1; between-variance by moments 0 (Q = 4.7 < 7).
    Source: Rubin (1981); Gelman et al., BDA."""
    y = np.array([28, 8, -3, 7, -1, 1, 18, 12.0])
    sigma = np.array([15, 10, 16, 11, 9, 11, 10, 18.0])
    weight = 1 / sigma**2
    rows = np.zeros((8, 11))
    rows[:, 0] = 1
    rows[np.arange(8), 3 + np.arange(8)] = 1
    start = {
        "all": 1e5,
        "age": 0.0,
        "failed": 0.0,
        "family": 0.0,
        "type": 1e-3,
        "fault": 0.0,
        "pair": 0.0,
        "step": 0.0,
    }
    sums = np.stack([weight, weight * y, weight * y**2], axis=1)

    effects = pooled_linear(
        NO_LEVELS | {"type": tuple("abcdefgh")}, rows, np.zeros(8), sums, start, 1.0
    )

    assert effects.mean[0] == pytest.approx(7.7, abs=0.05)
    assert effects.mean[0] == pytest.approx(float(np.average(y, weights=weight)), abs=0.02)
    assert np.ptp(effects.mean[3:]) < 0.5


def test_logistic_pooling_equals_a_quadrature_for_one_level() -> None:
    """One coefficient with prior N(0, .5^2), 7 of 10 fixed at an offset of .3: posterior mean and
    chance against scipy quadrature."""
    rows = np.zeros((2, 3))
    rows[:, 0] = 1
    start = {"all": 0.5} | dict.fromkeys(("age", "failed", *bench_sums.BLOCKS), 0.0)
    effects = pooled_logistic(
        NO_LEVELS, rows, np.full(2, 0.3), np.array([1.0, 0.0]), np.array([7.0, 3.0]), start
    )

    grid = np.linspace(-4, 4, 4001)
    density = stats.norm.pdf(grid, 0, 0.5) * stats.binom.pmf(7, 10, expit(0.3 + grid))
    density /= density.sum()
    chance = bench_sums.mean_chance(
        np.array([0.3 + effects.mean[0]]), np.array([effects.cov[0, 0]])
    )[0]

    assert effects.mean[0] == pytest.approx(float(density @ grid), abs=0.01)
    assert chance == pytest.approx(float(density @ expit(0.3 + grid)), abs=0.005)


def test_wide_pooled_chances_are_near_the_beta_binomial() -> None:
    """8 of 10 on one repair alone: near Beta-binomial with a flat prior, (8 + 1)/(10 + 2) = .75
    (Laplace's rule of succession), and inside the Wilson interval .49-.94 (Wilson 1927; the
    interval of trade tables for 8/10)."""
    start = {"all": 1.6} | dict.fromkeys(("age", "failed", *bench_sums.BLOCKS), 0.0)
    rows = np.zeros((2, 3))
    rows[:, 0] = 1
    effects = pooled_logistic(
        NO_LEVELS, rows, np.zeros(2), np.array([1.0, 0.0]), np.array([8.0, 2.0]), start
    )
    chance = float(bench_sums.mean_chance(effects.mean[:1], np.diag(effects.cov)[:1])[0])

    assert chance == pytest.approx(0.75, abs=0.02)
    assert 0.49 < chance < 0.94


def test_a_bench_that_sells_327_of_1100_is_learned_from_the_units() -> None:
    """About 1,100 washers benched, 327 sold again: 30 %, Wilson 95 % 27-33 %.

    Source: "A Preparation for Reuse Trial of Washing Machines in Ireland", Sustainability
    12(3):1175 (2020).
    """
    rows = [
        {
            "type": "front-load washer",
            "fault": "dead",
            "outcome": "sold",
            "price": 200.0,
            "age": 8.0,
        }
    ] * 327
    rows += [{"type": "front-load washer", "fault": "dead", "outcome": "parted", "age": 8.0}] * 773
    model = fit_repair(from_rows(rows), Settings(), DAY)

    assert 0.27 < fix_of(look(model, type="front-load washer", fault="dead", age=8.0)) < 0.33
    assert repair.k_of_n(model, "dead", "front-load washer") == (327, 1100, 0)


def test_one_pass_over_blocks_equals_one_table() -> None:
    units = units_of(400, seed=5)
    blocks = (
        units.take(np.arange(start, min(start + 90, units.n))) for start in range(0, units.n, 90)
    )

    whole, parts = fit_repair(units, Settings(), DAY), fit_repair(blocks, Settings(), DAY)

    assert parts.n_ended == whole.n_ended == 400
    assert np.allclose(parts.fix.mean, whole.fix.mean, atol=1e-9)
    assert np.allclose(parts.parts.cov, whole.parts.cov, atol=1e-9)
    assert parts.needs == whole.needs


def test_row_order_does_not_matter_and_inputs_stay() -> None:
    units = units_of(300, seed=6)
    before = {name: column.copy() for name, column in units.numbers.items()}
    turned = units.take(np.random.default_rng(0).permutation(units.n))

    a, b = fit_repair(units, Settings(), DAY), fit_repair(turned, Settings(), DAY)

    unit = {"type": "gas dryer", "fault": "leaks", "age": 6.0}
    assert fix_of(look(a, **unit)) == pytest.approx(fix_of(look(b, **unit)), abs=1e-9)
    assert all(np.array_equal(before[name], units.numbers[name], equal_nan=True) for name in before)


def test_the_saved_numbers_come_back_and_damage_is_named() -> None:
    model = fit_repair(units_of(250, seed=7), Settings(), DAY)
    data = json.loads(json.dumps(numbers.plain(repair.as_numbers(model))))

    again = repair.from_numbers(data)

    unit = {"type": "gas dryer", "fault": "leaks", "age": 6.0}
    assert look(again, **unit).fix == pytest.approx(look(model, **unit).fix, abs=1e-5)
    assert again.paid == model.paid
    for name, wrong in (
        ("fixed_of", [["a", "b", "x", 1]]),
        ("waste", [1]),
        ("needs", "none"),
        ("fix", {"levels": {}}),
    ):
        with pytest.raises(numbers.Damaged):
            repair.from_numbers(data | {name: wrong})


def test_hours_in_one_lump_are_split_and_minutes_added() -> None:
    rows = [
        {
            "type": "gas dryer",
            "fault": "no heat",
            "outcome": "sold",
            "price": 150.0,
            "hours": 3.0,
            "age": 7.0,
        }
    ] * 80
    lump = fit_repair(from_rows(rows), Settings(), DAY)
    view = look(lump, type="gas dryer", fault="no heat", age=7.0)
    assert float(view.hours_mean[0] + view.sell_mean[0]) == pytest.approx(3.0, rel=0.08)

    rows = [
        {
            "type": "gas dryer",
            "fault": "no heat",
            "outcome": "sold",
            "price": 150.0,
            "diagnose_min": 20.0,
            "repair_min": 40.0,
            "clean_min": 15.0,
            "sell_min": 15.0,
            "age": 7.0,
        }
    ] * 80
    split = look(
        fit_repair(from_rows(rows), Settings(), DAY), type="gas dryer", fault="no heat", age=7.0
    )
    assert float(split.hours_mean[0]) == pytest.approx(1.0, rel=0.08)
    assert float(split.sell_mean[0]) == pytest.approx(0.5, rel=0.08)


def test_trips_and_expenses_are_no_units_and_the_future_is_left_out() -> None:
    rows = [
        {"outcome": "trip"},
        {"outcome": "expense"},
        {"type": "gas dryer", "outcome": "sold", "price": 100.0, "got": float(DAY.toordinal() + 1)},
    ]
    assert not look_at(from_rows(rows), Settings(), DAY).cells


def test_what_failed_units_brought_is_learned_over_the_scrap_of_the_table() -> None:
    rows = [{"type": "gas dryer", "outcome": "scrapped", "salvage": 60.0}] * 20 + [
        {"type": "gas dryer", "outcome": "parted", "salvage": 900.0},  # a way of its own
        {"type": "gas dryer", "outcome": "sold", "price": 150.0},
    ]
    model = fit_repair(from_rows(rows), Settings(), DAY)

    assert repair.if_not_fixed(fit_repair(NOTHING, Settings(), DAY), "gas dryer", Settings()) == 8
    assert repair.if_not_fixed(model, "gas dryer", Settings()) == pytest.approx(60, rel=0.1)
    assert 8 < repair.if_not_fixed(model, "dishwasher", Settings()) < 60
    assert repair.scrap_money("gas dryer", Settings(scrap_price_per_weight=0.14)) == pytest.approx(
        16
    )


def test_comebacks_of_the_setting_or_learned() -> None:
    model = fit_repair(NOTHING, Settings(), DAY)
    assert repair.comeback_share(
        model, "gas dryer", "laundry", Settings(comebacks_of_100=0)
    ) == pytest.approx(0, abs=1e-9)
    assert repair.comeback_share(model, "gas dryer", "laundry", Settings()) == pytest.approx(0.04)
    assert repair.comeback_share(model, "chest freezer", "cold", Settings()) == pytest.approx(0.08)


@pytest.mark.slow
def test_stated_chances_come_true_on_units_drawn_from_the_assumed_law() -> None:
    """600 ledgers drawn from the model's own starting spreads: mean stated chance and share fixed
    agree by fifths within 4 standard errors."""
    r, sd = np.random.default_rng(11), bench_sums.FIX_SD
    one_type, one_fault = (
        sd["all"] ** 2 + sd["family"] ** 2 + sd["type"] ** 2,
        sd["fault"] ** 2 + sd["pair"] ** 2,
    )
    stated, came = [], []
    for _ in range(600):
        level, faults, steps = (
            r.normal(0, np.sqrt(one_type)),
            r.normal(0, np.sqrt(one_fault), 3),
            r.normal(0, sd["step"], (3, 2)),
        )
        base = np.log(0.5 / 0.5) * np.sqrt(1 + np.pi * bench_sums.before(bench_sums.FIX_SD) / 8)
        rows, chance = [], []
        for _ in range(40):
            f, k = r.integers(3), r.integers(2)
            q = expit(base + level + faults[f] + steps[f, k])
            fixed = r.random() < q
            rows.append(
                {
                    "type": "wine cellar",
                    "fault": f"f{f}",
                    "repair": f"f{f} r{k}",
                    "age": assumed.MIDDLE_AGE,
                    "outcome": "sold" if fixed else "scrapped",
                }
            )
            chance.append(q)
        model = fit_repair(from_rows(rows[:30]), Settings(), DAY)
        for row, q in zip(rows[30:], chance[30:], strict=True):
            stated.append(
                fix_of(
                    look(
                        model,
                        type=row["type"],
                        fault=row["fault"],
                        repair=row["repair"],
                        age=row["age"],
                    )
                )
            )
            came.append(q)
    order = np.argsort(stated)
    for part in np.array_split(order, 5):
        error = np.std(np.array(came)[part] - np.array(stated)[part]) / np.sqrt(
            len(part) / 5
        )  # chances within one ledger go together
        assert np.mean(np.array(came)[part]) == pytest.approx(
            np.mean(np.array(stated)[part]), abs=4 * error
        )
