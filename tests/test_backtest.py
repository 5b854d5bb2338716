"""The replay never sees the future: whatever is changed after a month's end, the estimates as of
that day stay the same to the last bit."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from pricing.basis.settings import Settings
from pricing.basis.units import Coded, Units, from_rows
from pricing.model.known import known_by
from pricing.proof import accuracy, yardsticks
from pricing.proof.backtest import (
    Ask,
    BackTest,
    Estimates,
    as_listed,
    dated,
    model_learner,
    month_before,
    replay,
    sales_by,
)

START, END = date(2025, 1, 10), date(2025, 12, 31)
SETTINGS = Settings(attributes={"shine": "number", "colour": "category"})
TYPES = ("electric dryer", "top-load washer", "gas range", "wall oven")
MONEY_AFTER = ("price", "fees", "refund", "salvage", "delivery", "tax", "sell_min")


def invented(n: int = 90, seed: int = 3) -> Units:
    """Invented: n units over a year, three quarters of them sold some 5 to 40 days after they were
    listed, with every kind of column filled."""
    draw = np.random.default_rng(seed)
    rows = []
    for i in range(n):
        got = START.toordinal() + 3.5 * i
        listed = got + draw.integers(1, 10)
        sold = listed + draw.integers(2, 40)
        price = float(np.exp(5.2 + 0.4 * (i % 4 == 0) - 0.09 * (i % 13) + draw.normal(0, 0.2)))
        row = {
            "unit": f"u{i}",
            "type": TYPES[i % 4],
            "maker": f"Maker {i % 5}",
            "age": None if i % 9 == 0 else float(i % 13),
            "condition": ("rough", "fair", "good", "like new")[i % 4],
            "features": "steam" if i % 3 == 0 else "",
            "repair": ("belt", "pump", "element")[i % 3],
            "sold_where": ("online", "yard")[i % 2],
            "got": got,
            "listed": listed,
            "paid": 20.0,
            "asked": f"{date.fromordinal(int(listed))}:{price * 1.1:.0f}; {date.fromordinal(int(listed) + 14)}:{price * 1.02:.0f}",
            "hours": 2.0,
            "outcome": "listed",
            "shine": float(draw.normal()),
            "colour": ("white", "black")[i % 2],
        }
        if i % 4 != 3:
            row |= {
                "sold": sold,
                "price": round(price, 2),
                "outcome": "sold",
                "fees": 3.0,
                "refund": 0.0,
                "sell_min": 20.0,
            }
        elif i % 8 == 3:
            row |= {"sold": sold, "salvage": 12.0, "outcome": "scrapped"}
        rows.append(row)
    return from_rows(rows, numeric=SETTINGS.number_attributes)


def scrambled_after(units: Units, day: float, seed: int, keep_questions_of: np.ndarray) -> Units:
    """Everything dated after `day` changed: money of later sales, later sale days and outcomes,
    later asks and offers; units got later become something else altogether, but for what was told
    of the units in `keep_questions_of` when they were listed.
    """
    draw = np.random.default_rng(seed)
    later_end = units.number("sold") > day
    later_got = units.number("got") > day
    later_listed = units.number("listed") > day
    numbers, words = dict(units.numbers), dict(units.words)
    for name in MONEY_AFTER:
        if name in numbers:
            numbers[name] = np.where(
                later_end | later_got,
                numbers[name] * draw.uniform(0.2, 9, units.n) + 1,
                numbers[name],
            )
    numbers["sold"] = np.where(
        later_end,
        np.maximum(day + 1, numbers["sold"] + draw.integers(-20, 200, units.n)),
        numbers["sold"],
    )
    numbers["hours"] = np.where(later_listed, draw.uniform(1, 9, units.n), numbers["hours"])
    free = np.ones(units.n, dtype=bool)
    free[keep_questions_of] = False
    for name in ("paid", "age", "shine"):
        numbers[name] = np.where(later_got & free, draw.uniform(0, 30, units.n), numbers[name])
    for name, changed in (
        ("type", later_got),
        ("maker", later_got),
        ("features", later_got),
        ("colour", later_got),
        ("condition", later_listed),
        ("repair", later_listed),
    ):
        rows = changed & free
        words[name] = Coded.of(
            [f"new word {i % 7}" if rows[i] else text for i, text in enumerate(words[name].texts())]
        )
    words["sold_where"] = Coded.of(
        [
            "elsewhere" if later_end[i] or later_got[i] else text
            for i, text in enumerate(words["sold_where"].texts())
        ]
    )
    asked = []
    for text in words["asked"].texts():
        kept = [
            entry
            for entry in text.split("; ")
            if date.fromisoformat(entry.split(":")[0]).toordinal() <= day
        ]
        asked.append("; ".join([*kept, f"{date.fromordinal(int(day) + 3)}:77"]))
    words["asked"] = Coded.of(asked)
    words["outcome"] = Coded.of(
        [
            "scrapped" if later_end[i] and free[i] and i % 2 else text
            for i, text in enumerate(words["outcome"].texts())
        ]
    )
    return Units(units.n, numbers, words)


def estimates(
    found: BackTest, name: str, cutoff: float, units: Units
) -> dict[str, tuple[float, ...]]:
    """Every number said as of `cutoff` or before, by unit."""
    said: dict[str, tuple[float, ...]] = {}
    names, answers = dated(units).word("unit").texts(), found.answers[name]
    for place in np.flatnonzero(found.as_of <= cutoff).tolist():
        points = () if answers.quantiles is None else tuple(answers.quantiles[place].tolist())
        said[names[found.rows[place]]] = (
            answers.median[place],
            answers.low[place],
            answers.high[place],
            *points,
        )
    return said


@pytest.mark.parametrize("seed", [1, 2])
def test_nothing_dated_after_a_month_changes_an_estimate_as_of_it(seed: int) -> None:
    """Model and yardsticks, with own attributes, vocabularies, drift and the correction of ranges:
    bitwise equal."""
    units = invented()
    learn = {
        "model": model_learner(SETTINGS, 0.8),
        **{
            name: rule for name, rule in yardsticks.learners(SETTINGS).items() if name != "boosting"
        },
    }
    cutoff = float(date(2025, 7, 31).toordinal())
    before = replay(units, SETTINGS, END, learn, months=24)
    asked = before.rows[before.as_of == cutoff]
    changed = scrambled_after(units, cutoff, seed, asked)
    after = replay(changed, SETTINGS, date(2027, 1, 1), learn, months=60)

    for name in learn:
        first, second = (
            estimates(before, name, cutoff, units),
            estimates(after, name, cutoff, changed),
        )
        shared = first.keys() & second.keys()
        assert len(shared) >= 30
        assert (
            len(
                {
                    unit
                    for unit in shared
                    if before.as_of[before.rows.tolist().index(int(unit[1:]))] == cutoff
                }
            )
            >= 3
        )
        for unit in shared:
            np.testing.assert_array_equal(
                np.array(first[unit]), np.array(second[unit]), err_msg=f"{name} {unit}"
            )


def test_the_check_above_can_fail() -> None:
    """A learner that peeks at all prices is caught by it."""
    units = invented()

    def peeking(whole: Units) -> dict[str, object]:
        def learn(known: Units, as_of: date) -> Ask:
            top = float(np.nanmax(whole.number("price")))
            return lambda asked, days: Estimates(
                np.full(asked.n, top), np.full(asked.n, top), np.full(asked.n, top)
            )

        return {"peek": learn}

    cutoff = float(date(2025, 7, 31).toordinal())
    changed = scrambled_after(units, cutoff, 1, np.arange(0))
    first = estimates(replay(units, SETTINGS, END, peeking(units)), "peek", cutoff, units)
    second = estimates(replay(changed, SETTINGS, END, peeking(changed)), "peek", cutoff, changed)

    assert any(first[unit] != second[unit] for unit in first.keys() & second.keys())


@given(st.integers(min_value=START.toordinal(), max_value=END.toordinal()), st.integers(0, 1000))
@hypothesis_settings(deadline=None, max_examples=25)
def test_the_record_as_it_stood_holds_nothing_later(day: int, seed: int) -> None:
    """`known_by` gives the same table whatever comes after the day."""
    units = invented(40)
    changed = scrambled_after(units, day, seed, np.arange(0))
    first, second = known_by(units, day), known_by(changed, day)

    assert first.word("unit").texts() == second.word("unit").texts()
    for name in first.numbers:
        np.testing.assert_array_equal(first.number(name), second.number(name), err_msg=name)
    for name in first.words:
        assert first.word(name).texts() == second.word(name).texts(), name
    assert not (first.number("sold") > day).any()


def test_each_sale_is_estimated_once_from_the_month_before_it_was_listed() -> None:
    units = invented()
    seen: list[tuple[date, float]] = []

    def learn(known: Units, as_of: date) -> Ask:
        seen.append((as_of, float(np.nanmax(known.number("sold"), initial=0.0))))
        n = len(sales_by(known, as_of))
        return lambda asked, days: Estimates(
            np.full(asked.n, float(n)), np.full(asked.n, 1.0), np.full(asked.n, 2.0)
        )

    found = replay(units, SETTINGS, END, {"count": learn})
    sold = sales_by(units, END)

    assert sorted(found.rows.tolist()) == sorted(sold.tolist())
    assert found.n_left == int((units.number("price") > 0).sum()) - len(sold)
    np.testing.assert_array_equal(
        found.as_of, [month_before(day) for day in units.number("listed")[found.rows]]
    )
    np.testing.assert_array_equal(found.answers["count"].median, found.n_known)
    assert all(last <= as_of.toordinal() for as_of, last in seen)
    assert len(seen) == len({as_of for as_of, _ in seen})
    for place, row in enumerate(found.rows.tolist()):
        known = known_by(units, found.as_of[place])
        own = [
            text == units.word("type").texts()[row]
            for text in known.take(sales_by(known, END)).word("type").texts()
        ]
        assert found.n_of_type[place] == sum(own)


def test_a_question_carries_no_price_no_ask_and_no_end() -> None:
    question = as_listed(invented(), SETTINGS)

    assert not {"price", "asked", "sold", "outcome", "sold_where", "offers", "fees", "hours"} & (
        {*question.numbers} | {*question.words}
    )
    assert {"type", "condition", "age"} | {*SETTINGS.attributes} <= (
        {*question.numbers} | {*question.words}
    )


def test_months_are_limited_to_the_latest() -> None:
    units = invented()
    found = replay(units, SETTINGS, END, {"one": yardsticks.one_price}, months=3)

    assert len(np.unique(found.as_of)) == 3
    assert found.as_of.min() >= date(2025, 8, 31).toordinal()
    assert found.n_left > 0


def test_an_empty_record_and_undated_sales() -> None:
    """No sale with its day: nothing is estimated, nothing breaks."""
    undated = from_rows([{"type": "wall oven", "price": 200.0, "outcome": "sold"}])
    for units in (from_rows([]), undated):
        judged = accuracy.judge(units, Settings(), END)
        assert judged.overall is None
        assert judged.widen == pytest.approx(1.0, abs=1e-9)


def test_plain_rules_by_hand() -> None:
    """Two dryers at 100 and 200, an oven at 300, in that order: medians 150 and 300, of all 200;
    the last like it; an unseen type."""
    known = from_rows(
        [
            {
                "type": "electric dryer",
                "condition": "good",
                "price": 100.0,
                "sold": 10.0,
                "outcome": "sold",
            },
            {
                "type": "electric dryer",
                "condition": "fair",
                "price": 200.0,
                "sold": 20.0,
                "outcome": "sold",
            },
            {
                "type": "wall oven",
                "condition": "fair",
                "price": 300.0,
                "sold": 30.0,
                "outcome": "sold",
            },
        ]
    )
    asked = from_rows(
        [
            {"type": "electric dryer", "condition": "good"},
            {"type": "electric dryer", "condition": "rough"},
            {"type": "dishwasher", "condition": "good"},
        ]
    )
    day, days = date.fromordinal(40), np.zeros(3)

    assert yardsticks.type_median(known, day)(asked, days).median.tolist() == [150.0, 150.0, 200.0]
    assert yardsticks.last_similar(known, day)(asked, days).median.tolist() == [100.0, 200.0, 300.0]
    assert yardsticks.one_price(known, day)(asked, days).median.tolist() == [200.0, 200.0, 200.0]
    assert np.isnan(yardsticks.type_median(from_rows([]), day)(asked, days).median).all()


@pytest.fixture(scope="module")
def judged() -> accuracy.Accuracy:
    return accuracy.judge(invented(150, seed=8), SETTINGS, date(2026, 7, 1))


def test_the_figures_add_up(judged: accuracy.Accuracy) -> None:
    overall = judged.overall

    assert overall is not None
    for group in (judged.by_type, judged.by_thickness, judged.by_month):
        assert sum(line.n for line in group) == overall.n
        assert sum(line.n_caught for line in group) == overall.n_caught
    assert sum(line.n * line.interval_score for line in judged.by_type) == pytest.approx(
        overall.n * overall.interval_score
    )
    assert [rule.name for rule in judged.rules] == [*yardsticks.PLAIN, *yardsticks.LEARNED]


def test_it_beats_the_plain_rules_on_invented_sales_with_age_in_them(
    judged: accuracy.Accuracy,
) -> None:
    """The sales lose 9 % a year of age; rules blind to age must be further off, by more than two
    standard errors."""
    for rule in judged.rules:
        if rule.name in yardsticks.PLAIN:
            assert rule.ratio + 2 * rule.error < 1, rule


def test_ranges_that_fall_short_are_widened_just_enough() -> None:
    """Twenty-one sales, ranges of half width .1 in ln price, errors 0, .02, … .4 above: the factor
    that holds 80 % is the k-th error over .1, k = ceil(22 * .8) = 18."""
    error = 0.02 * np.arange(21)
    price = np.exp(5.0 + error)
    middle = np.full(21, np.exp(5.0))
    answers = Estimates(middle, np.exp(np.full(21, 4.9)), np.exp(np.full(21, 5.1)))
    made = BackTest(
        np.arange(21), np.zeros(21), price, np.zeros(21), np.zeros(21), 0, {accuracy.OURS: answers}
    )
    line = accuracy._line("all", np.arange(21), made, answers, 0.8)

    assert line.n_caught == 6
    assert accuracy._widen(line, made, answers, 0.8) == pytest.approx(min(error[17] / 0.1, 2.0))
    assert accuracy._widen(
        line, made, Estimates(middle, np.exp(np.full(21, 4.7)), np.exp(np.full(21, 5.25))), 0.8
    ) == pytest.approx(error[17] / 0.25)


def test_unsold_units_at_a_low_ask_pull_the_estimates_down(judged: accuracy.Accuracy) -> None:
    """Invented: the unsold ask what a like one would bring, so at .8 of it they can only
    pull down."""
    assert judged.unsold is not None
    assert judged.unsold.n >= 5
    assert judged.unsold.shift < 0
