"""More small sums and edges, each worked by hand or by a second way: dates in all their forms, the
order of a file's dates, predictions of the pooled regressions, weighted sums, what makes two rows
the same. Found, as those of `test_noticed`, by changing the code a little."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from invented_sales import DAY, PLAIN, sales

from pricing.basis.units import from_rows
from pricing.ingest import dates
from pricing.model.price import encode, price, sums
from pricing.model.price.price_fit import fit_price
from pricing.model.repair import pooled
from pricing.record import rows
from pricing.record.store import CELLS

TODAY = date(2026, 10, 5)


# ---- dates


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2024-03-15", (2024, 3, 15)),
        ("2024-03-15T10:22:00", (2024, 3, 15)),
        ("20240315", (2024, 3, 15)),
        ("2024-W11-5", (2024, 3, 15)),  # ISO 8601: the Friday of week 11
        ("15 March 2024", (2024, 3, 15)),
        ("15th of March, 2024", (2024, 3, 15)),
        ("Fri 15-Mar-24", (2024, 3, 15)),
        ("March 15, 2024", (2024, 3, 15)),
        ("Mar. 15th, '24", (2024, 3, 15)),
        ("2024 March 15", (2024, 3, 15)),
        ("2024-Mar-15", (2024, 3, 15)),
        ("45366", (2024, 3, 15)),  # a spreadsheet counts days from 1899-12-30
        ("29221", (1980, 1, 1)),
        ("62093", (2069, 12, 31)),
    ],
)
def test_one_day_in_all_its_forms(text: str, day: tuple[int, int, int]) -> None:
    assert dates.read_date(text, TODAY).day == date(*day)


@pytest.mark.parametrize("text", ["29220", "62094", "32 March 2024", "2023-02-29", "15 Foo 2024"])
def test_what_is_no_day_says_so(text: str) -> None:
    found = dates.read_date(text, TODAY)

    assert found.day is None
    assert found.problem


def test_two_digits_first_may_be_the_year_and_one_digit_may_not() -> None:
    assert dates.read_date("24/03/15", TODAY).orders == {
        "mdy": None,
        "dmy": date(2015, 3, 24),
        "ymd": date(2024, 3, 15),
    }
    assert dates.read_date("4/3/15", TODAY).orders == {
        "mdy": date(2015, 4, 3),
        "dmy": date(2015, 3, 4),
    }
    assert "ymd" not in (dates.read_date("04/03/2015", TODAY).orders or {})


def test_a_day_without_its_year_reads_as_every_order_that_has_such_a_day() -> None:
    assert dates.read_date("3/4", TODAY).no_year == {"mdy": (3, 4), "dmy": (4, 3)}
    assert dates.read_date("3/15", TODAY).no_year == {"mdy": (3, 15)}
    assert dates.read_date("15/3", TODAY).no_year == {"dmy": (3, 15)}
    assert dates.read_date("12/12", TODAY).no_year == {"mdy": (12, 12), "dmy": (12, 12)}


def order(rows_of_texts: list[list[str]], said: str = "") -> dates.OrderVerdict:
    return dates.decide_order(
        [[dates.read_date(text, TODAY) if text else None for text in row] for row in rows_of_texts],
        said,
        TODAY,
    )


# got and sold of one unit: read with the month first the sale comes before
BACKWARDS = ["09/02/2024", "08/03/2024"]


@pytest.mark.parametrize(("n", "found"), [(3, ("dmy", "events")), (2, ("", ""))])
def test_three_units_sold_before_they_came_tell_the_order(n: int, found: tuple[str, str]) -> None:
    told = order([BACKWARDS] * n)

    assert (told.order, told.how) == found
    assert told.undecided == 2 * n


@pytest.mark.parametrize(("against", "found"), [(1, "dmy"), (2, "")])
def test_six_to_one_is_enough_and_less_is_not(against: int, found: str) -> None:
    """A unit that only the month first puts in order: 03/08 is got, 02/09 sold."""
    forwards = ["02/09/2024", "03/08/2024"]

    assert order([BACKWARDS] * 6 + [forwards] * against).order == found


def test_the_year_first_shows_by_events_alone() -> None:
    """24/03/01 to 24/03/20: read from its end it is the first of March 2001 and 2020."""
    assert order([["25/01/09", "24/12/10"]] * 3).how != "events"
    told = order([["24/11/20", "25/01/09"]] * 3)
    assert (told.order, told.how) == ("ymd", "events")
    assert order([["24/11/20", "25/01/09"]] * 2).order != "ymd"


def test_what_the_person_says_stands_over_proof() -> None:
    told = order([["13/01/2024"], ["45366"]], said="mdy")

    assert (told.order, told.how, told.mixed, told.serials) == ("mdy", "said", False, True)


def test_both_habits_are_told_as_mixed() -> None:
    told = order([["13/01/2024"], ["01/13/2024"], ["01/02/2024"]])

    assert (told.order, told.mixed, told.undecided) == ("", True, 1)


# ---- pooled regressions


def test_a_prediction_at_an_age_is_that_of_the_row_of_the_regression() -> None:
    """mean = x b, variance = x C x', with the age in x; once through `predict`, once written out.
    A word never seen adds the spread of its block, a step counts by its share."""
    generator = np.random.default_rng(5)
    levels = {
        "family": ("laundry",),
        "type": ("dryer",),
        "fault": ("no heat",),
        "pair": ("no heat / dryer",),
        "step": ("belt", "fuse"),
    }
    p = 3 + 6
    root = generator.normal(size=(p, p))
    sd = {"all": 1.0, "age": 0.3, "failed": 0.5, "family": 0.2, "type": 0.4, "fault": 0.6,
          "pair": 0.7, "step": 0.8}  # fmt: skip
    effects = pooled.Effects(levels, generator.normal(size=p), root @ root.T, sd, 1.0)
    cells = pooled.Cells(
        ["laundry", "laundry"], ["dryer", "kiln"], ["no heat", ""],
        [("belt", "new part"), ()], np.array([2.0, -3.0]), np.array([0.0, 1.0]),
    )  # fmt: skip

    mean, variance, before = pooled.predict(effects, cells).at(np.array([0, 1]), cells.age)

    known = np.array([1.0, 2.0, 0.0, 1.0, 1.0, 1.0, 1.0, 0.5, 0.0])
    strange = np.array([1.0, -3.0, 1.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0])
    open_known = 0.25 * 0.8**2  # half of its steps was never seen
    open_strange = 0.4**2 + 0.6**2 + 0.7**2 + 0.8**2
    spreads = np.array([1.0, 0.3, 0.5, 0.2, 0.4, 0.6, 0.7, 0.8, 0.8]) ** 2
    for i, (x, open_) in enumerate([(known, open_known), (strange, open_strange)]):
        assert mean[i] == pytest.approx(x @ effects.mean)
        assert variance[i] == pytest.approx(x @ effects.cov @ x + open_)
        assert before[i] == pytest.approx(x**2 @ spreads + open_)
    assert pooled.before(sd) == pytest.approx(1 + 0.2**2 + 0.4**2 + 0.6**2 + 0.7**2 + 0.8**2)


# ---- sums of a fit


def test_the_sums_of_a_fit_are_weighted_squares(monkeypatch: pytest.MonkeyPatch) -> None:
    """gram = sum of w z z' with w = (nu + 1) / (nu + r^2 / v) s^2 / v; in one part as in three."""
    units = from_rows(sales(90))
    model = fit_price(units, PLAIN, DAY)
    found = RoundsLike(model)
    whole = sums.sums_of(units, model.encoding, found, DAY, keep_far=True)  # type: ignore[arg-type]
    monkeypatch.setattr(sums, "PART", 31)
    parts = sums.sums_of(units, model.encoding, found, DAY, keep_far=True)  # type: ignore[arg-type]

    sold, days = sums.sold_rows(units, DAY)
    z = encode.read(model.encoding, units.take(sold), days)
    left = np.log(units.take(sold).number("price")) - z.offset
    blank = price.blank_variance(model.encoding, z, found.mean, np.diag(found.covariance),
                                 found.scales)  # fmt: skip
    own = found.error**2 * np.exp(2 * price.spread_of(z, found.gamma)) + blank
    square = (left - z.columns @ found.mean) ** 2
    w = (found.nu + 1) / (found.nu + square / own) * found.error**2 / own

    gram = np.triu(whole.gram)
    assert gram[-1, -1] == pytest.approx((w * left**2).sum())
    assert gram[:-1, -1] == pytest.approx(z.columns.T @ (w * left), rel=1e-8, abs=1e-8)
    assert whole.log_weights == pytest.approx(np.log(w).sum())
    assert (whole.n, parts.n) == (len(sold), len(sold))
    assert np.triu(parts.gram) == pytest.approx(gram, rel=1e-9, abs=1e-9)
    assert parts.apart == pytest.approx(whole.apart)


class RoundsLike:
    """What the rounds of a fit found, out of the model that was made of it."""

    def __init__(self, model: price.PriceNumbers) -> None:
        self.mean, self.gamma, self.scales = model.mean, model.gamma, model.scales
        root = model.whole * model.unit[:, None]
        self.covariance, self.error, self.nu = root @ root.T, model.error, 5.0


# ---- rows of the record


def cells(said: str | None = None, extra: str | None = None, **values: object) -> rows.Cells:
    return (*(values.get(name) for name in CELLS), said, extra)


def test_a_persons_own_word_counts_where_we_have_none_for_it() -> None:
    """ "fridge" for a type that we read as refrigerator says nothing more; for one we could not
    read it is all that there is, whatever its case and blanks."""
    known = cells('{"type": "Fridge"}', type="refrigerator")
    assert rows.content(known) == rows.content(cells(type="refrigerator"))

    blank = cells('{"type": "Kiln  thing"}')
    assert rows.content(blank) == rows.content(cells('{"type": "kiln thing"}'))
    assert rows.content(blank) != rows.content(cells('{"type": "kiln"}'))
    assert rows.content(blank) != rows.content(cells())

    own = cells('{"shelf": "B 2"}', type="refrigerator")
    assert rows.content(own) != rows.content(cells(type="refrigerator"))


def test_the_seventh_place_of_a_number_makes_no_other_row() -> None:
    assert rows.content(cells(age=1 / 3)) == rows.content(cells(age=0.333333))
    assert rows.content(cells(age=0.333333)) != rows.content(cells(age=0.333334))
    assert rows.content(cells(extra='{"kwh": 1.00000001}')) == rows.content(
        cells(extra='{"kwh": 1.0}')
    )
