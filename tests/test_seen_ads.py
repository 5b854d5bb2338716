"""Ads of others: read, kept, taken back, and what they do to a price."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from invented_sales import DAY, MAKERS, PLAIN, sales, true_log_price
from web_client import Browser, home_with

from pricing.basis.home import Home
from pricing.basis.settings import Settings
from pricing.basis.units import from_rows
from pricing.cli import group
from pricing.model.price import ads, price, price_fit
from pricing.pipeline import seeing
from pricing.record import ad_rows, taking_back, verify

TODAY = date(2026, 10, 5)
ONE = "front-load washer, 6 years, good, asks 350"


def said(text: str) -> tuple[list[ad_rows.Ad], list[str]]:
    found, problems = seeing.said_in(text, Settings(), TODAY, {})
    return found, [str(problem) for problem in problems]


def asks(rows: list[dict[str, object]], factor: float = 1.15) -> ads.Ads:
    """Rows of sales as ads that ask so much more."""
    units = from_rows([{**row, "price": float(str(row["price"])) * factor} for row in rows])
    return ads.Ads(units, np.full(units.n, float(DAY.toordinal())), np.zeros(units.n))


def typical(model: price.PriceNumbers, rows: list[dict[str, object]]) -> np.ndarray:
    return price.law(model, from_rows(rows), float(DAY.toordinal())).center


@pytest.mark.parametrize(
    ("text", "ask", "listed", "gone"),
    [
        (ONE, 350.0, None, None),
        ("gas dryer 4 yrs like new $275, up 3 weeks", 275.0, "2026-09-14", None),
        ("dishwasher, 5 years, fair, $90 obo", 90.0, None, None),
        ("gas range, good, asks 300, gone after 5 days", 300.0, "2026-09-30", "2026-10-05"),
    ],
)
def test_an_ad_in_words(text: str, ask: float, listed: str | None, gone: str | None) -> None:
    found, problems = said(text)
    assert not problems
    assert (found[0].ask, found[0].listed, found[0].gone) == (pytest.approx(ask), listed, gone)
    assert found[0].unit["type"]


def test_several_ads_one_a_line_or_in_blocks_and_what_cannot_be_read_is_named() -> None:
    found, problems = said(f"{ONE}\ngas dryer, 5 years, asks 240\nsomething, asks 20")
    assert [ad.unit["type"] for ad in found] == ["front-load washer", "gas dryer"]
    assert len(problems) == 1 and "do not know what it is" in problems[0]
    blocks, none = said("front-load washer\n6 years\nasks 350\n\ngas dryer\nasks 240")
    assert [ad.ask for ad in blocks] == pytest.approx([350.0, 240.0])
    assert not none


def test_ads_are_kept_told_gone_taken_back_and_brought_back(tmp_path: Path) -> None:
    home = Home(tmp_path)
    seeing.keep(home, said(f"{ONE}\ngas dryer, 5 years, asks 240")[0], TODAY)
    assert [ad.number for ad in ad_rows.read(home)] == [1, 2]
    ad_rows.gone(home, 1, "2026-10-09", "2026-10-09")
    assert [ad.gone for ad in ad_rows.read(home)] == ["2026-10-09", None]
    taking_back.undo(home, None, "2026-10-09")
    assert [ad.gone for ad in ad_rows.read(home)] == [None, None]
    taking_back.undo(home, "1", "2026-10-09")
    assert ad_rows.read(home) == ()
    taking_back.undo(home, None, "2026-10-09", back=True)
    assert len(ad_rows.read(home)) == 2
    assert not verify.verify_record(home).damaged


def test_two_copies_of_a_record_bring_their_ads_together(tmp_path: Path) -> None:
    mine, theirs = Home(tmp_path / "mine"), Home(tmp_path / "theirs")
    seeing.keep(mine, said(ONE)[0], TODAY)
    seeing.keep(theirs, said("gas dryer, 5 years, asks 240")[0], TODAY)
    taking_back.merge(mine, theirs.data / "record.db", "2026-10-06")
    assert [ad.ask for ad in ad_rows.read(mine)] == pytest.approx([350.0, 240.0])
    assert not verify.verify_record(mine).damaged


def test_a_broken_unit_tells_nothing_of_a_fixed_one(tmp_path: Path) -> None:
    home = Home(tmp_path)
    seeing.keep(home, said(f"{ONE}\nelectric dryer, no heat, asks 40")[0], TODAY)
    assert len(ad_rows.read(home)) == 2
    assert seeing.as_evidence(home, TODAY).n == 1


def test_without_ads_the_fit_is_the_same_to_the_last_bit() -> None:
    units = from_rows(sales(12))
    plain = price_fit.fit_price(units, PLAIN, DAY)
    none = price_fit.fit_price(units, PLAIN, DAY, ads.NONE)
    assert np.array_equal(plain.whole, none.whole) and np.array_equal(plain.mean, none.mean)
    assert price.as_numbers(none).keys() == price.as_numbers(plain).keys()
    assert "ads" not in price.as_numbers(none)


def test_asks_bring_the_price_nearer_with_no_sale_and_a_maker_of_an_ad_counts() -> None:
    rows = sales(60, seed=3, blank=0.0)
    new = sales(200, seed=4, blank=0.0)
    truth = np.array([true_log_price(row) for row in new])
    none = price_fit.fit_price(from_rows([]), PLAIN, DAY)
    told = price_fit.fit_price(from_rows([]), PLAIN, DAY, asks(rows))
    far, near = (float(np.abs(typical(model, new) - truth).mean()) for model in (none, told))
    assert near < 0.5 * far
    dear, cheap = max(MAKERS, key=MAKERS.__getitem__), min(MAKERS, key=MAKERS.__getitem__)
    pair = [{**new[0], "maker": maker} for maker in (dear, cheap)]
    high, low = typical(told, pair)
    assert high - low > 0.15


def test_an_absurd_ask_pulls_little() -> None:
    rows = sales(20, seed=5, blank=0.0)
    odd = [{**rows[0], "price": rows[0]["price"] * 10}, *rows[1:]]
    right, wrong = (
        price_fit.fit_price(from_rows([]), PLAIN, DAY, asks(each)) for each in (rows, odd)
    )
    moved = np.abs(typical(wrong, rows) - typical(right, rows)).mean()
    assert 0 < moved < 0.08  # of ln 10 = 2.3 for one ad in twenty: a plain mean would move by .115


def test_own_sales_outweigh_asks_as_they_come() -> None:
    """Asks twice as high as own sales: with more own sales the price leaves them."""
    new = sales(100, seed=8, blank=0.0)
    truth = np.array([true_log_price(row) for row in new])
    off = []
    for n in (0, 10, 60):
        model = price_fit.fit_price(
            from_rows(sales(n, seed=7)), PLAIN, DAY, asks(sales(40, seed=6, blank=0.0), 2.0)
        )
        off.append(float((typical(model, new) - truth).mean()))
    assert off[0] > 0.3  # of ln 2 = .69: nothing else is known yet
    assert max(abs(off[1]), abs(off[2])) < 0.1
    assert model.over == pytest.approx(np.log(2.0), abs=0.1)


def test_ads_survive_saving_and_stand_in_the_answers(tmp_path: Path) -> None:
    run = CliRunner()
    there = ["--home", str(tmp_path), "--as-of", "2026-10-05"]
    assert run.invoke(group, ["seen", ONE, *there]).exit_code == 0
    ask = json.loads(run.invoke(group, ["ask", ONE[:31], "--json", *there]).output)
    assert (ask["ads"]["seen"], ask["ads"]["own_sales"]) == (1, 0)
    near = ask["ads"]["nearest"][0]
    assert near["ask"] == pytest.approx(350.0)
    assert near["says"] < near["ask"]
    said_of = run.invoke(group, ["offer", f"{ONE[:17]}, leaks, wants 20", *there]).output
    assert "1 ad you saw, 0 own sales." in said_of


def test_the_page_writes_pasted_ads_down_and_keeps_what_cannot_be_read(tmp_path: Path) -> None:
    browser = Browser(home_with(tmp_path, "unit,type,price,sold\n1,gas dryer,150,2026-09-01\n"))
    page = browser.get("/records/seen")
    page = browser.send(page.form("Write them down"), said=f"{ONE}\ngas dryer, asks 200")
    assert "Saved: 2 ads seen" in page.text
    page = browser.send(page.form("Write them down"), said="nothing much")
    assert "do not know what it is" in page.text and "nothing much" in page.html
