"""More small sums and edges, each worked by hand or by a second way: dates in all their forms, the
order of a file's dates, predictions of the pooled regressions, weighted sums, what makes two rows
the same. Found, as those of `test_noticed`, by changing the code a little."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from invented_sales import DAY, PLAIN, sales

from pricing.basis.units import from_rows
from pricing.formulas import by_age
from pricing.ingest import dates, evidence
from pricing.ingest.dialect import Record
from pricing.ingest.headings import Heading
from pricing.model.price import ages, encode, price, price_fit, sums
from pricing.model.price.price_fit import fit_price
from pricing.model.price.rounds import Switches
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


# ---- what a sheet shows


def under(column: str, texts: list[str]) -> tuple[list[Record], list[Heading]]:
    return [Record(2 + i, (text,)) for i, text in enumerate(texts)], [Heading(column, column)]


SWAPPED = [f"2024-{month:02d}-05" for month in range(1, 9)]  # eight are enough, and seven are not


@pytest.mark.parametrize(
    ("texts", "turned"),
    [
        # years first and then the day: 2024-25-03 was never written by a person
        (["2024-13-01", "2024-25-03", "2024-14-02"], True),
        (["2024-13-01", "2024-25-03"], False),
        (["2024-13-01", "2024-25-03", "2024-14-02", "2024-03-25"], False),
        # what could be turned was, the rest stayed as text
        ([*SWAPPED, "25/03/2024", "26/03/2024", "27/03/2024"], True),
        ([*SWAPPED[1:], "25/03/2024", "26/03/2024", "27/03/2024"], False),
        ([*SWAPPED, "25/03/2024", "26/03/2024"], False),
        ([*SWAPPED, "25/03/2024", "26/03/2024", "07/03/2024"], False),
        ([*SWAPPED, "2024-01-20", "25/03/2024", "26/03/2024", "27/03/2024"], False),
    ],
)
def test_turned_dates_show_by_what_could_not_be_turned(texts: list[str], turned: bool) -> None:
    assert evidence.are_turned(*under("sold", texts)) is turned
    assert evidence.are_turned(*under("type", texts)) is False


def rows_of(n_short: int, n_whole: int, n_empty: int = 0) -> list[Record]:
    return (
        [Record(1, ("a", "b"))] * n_short
        + [Record(1, ("a", "b", "c"))] * n_whole
        + [Record(1, ("a", "b", " "))] * n_empty
    )


@pytest.mark.parametrize(
    ("records", "trims"),
    [
        (rows_of(3, 57), True),  # one in twenty ends early
        (rows_of(3, 58), False),
        (rows_of(2, 10), False),
        (rows_of(3, 46, 1), True),  # one of fifty ends in an empty cell
        (rows_of(3, 45, 1), False),
    ],
)
def test_a_program_that_trims_its_rows_shows_by_their_ends(
    records: list[Record], trims: bool
) -> None:
    assert evidence.trims_rows(records, 3) is trims


# ---- ages and levels of a price


def test_the_shapes_of_an_age_are_level_where_they_say() -> None:
    """line: five years; since new: from 0; the bend is 0 and flat at the middle age, and goes like
    2 exp(-a / 6); hinges change the slope at their knots, steps jump there."""
    none = np.zeros(0)
    at = np.array([0.0, ages.MIDDLE_AGE, 16.5, 90.0])
    assert ages.basis("age line", none, at)[:, 0].tolist() == pytest.approx([-1.3, 0, 2, 6.7])
    assert ages.basis("age since new", none, at)[:, 0].tolist() == pytest.approx([0, 1.3, 3.3, 8])
    assert by_age.line(at).tolist() == pytest.approx([-1.3, 0, 2, 6.7])

    near = ages.MIDDLE_AGE + np.array([-1e-4, 0.0, 1e-4])
    bend = ages.basis("age bend", none, near)[:, 0]
    assert bend[1] == pytest.approx(0)
    assert (bend[2] - bend[0]) / 2e-4 == pytest.approx(0, abs=1e-6)
    curve = (bend[2] - 2 * bend[1] + bend[0]) / 1e-8
    assert curve == pytest.approx(2 * np.exp(-ages.MIDDLE_AGE / 6) / 36, rel=1e-3)

    knots = np.array([4.0, 10.0])
    assert ages.basis("age hinges", knots, np.array([9.0]))[0].tolist() == pytest.approx([1, 0])
    assert ages.basis("age steps", knots, np.array([4.0, 3.9]))[:, 0].tolist() == [0.5, -0.5]


@pytest.mark.parametrize(
    ("n", "scale"), [(0, 0.3), (16, 0.5), (24, 1.5), (25, np.inf), (400, np.inf)]
)
def test_the_assumed_level_fades_over_twenty_five_sales(n: int, scale: float) -> None:
    """Precision (1 - n / 25) / .3^2: at 16 sales .36 of it, which is a scale of .5."""
    encoding = fit_price(from_rows([]), PLAIN, DAY).encoding
    first = replace(encoding.blocks[0], scale=0.3)
    encoding = replace(encoding, blocks=(first, *encoding.blocks[1:]))

    told = price_fit._with_level(encoding, n, 0, Switches()).blocks[0].scale
    assert told == pytest.approx(scale)
    # who wants no shrinking at all gets none, from the first sale on
    flat = price_fit._with_level(encoding, n, 0, Switches(level_flat=True)).blocks[0].scale
    assert flat == (np.inf if n else pytest.approx(0.3))
    kept = price_fit._with_level(encoding, n, 0, Switches(level_flat=False)).blocks[0].scale
    assert kept == pytest.approx(0.3 / np.sqrt(max(1 - n / 25, 0.04)))


def test_the_scales_of_a_price_add_up_by_their_squares() -> None:
    model = fit_price(from_rows(sales(60)), PLAIN, DAY)
    law = price.law(model, from_rows(sales(5)), float(DAY.toordinal()))

    assert law.total**2 == pytest.approx(law.scale**2 + law.spread**2)
    assert law.share * law.total**2 == pytest.approx(law.spread**2)
    assert (1 - law.removed) * law.prior_spread**2 == pytest.approx(law.spread**2 - law.blank)
    assert ((law.share > 0) & (law.share < 1) & (law.removed > 0)).all()


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
