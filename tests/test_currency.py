"""A home in another currency: one rate turns the starting figures, and without it no amount is
told. The rates are the test's own."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from pricing.basis.home import Home
from pricing.basis.own_rows import assumed_faults, assumed_types, generic_type
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings, load_settings, read_settings
from pricing.basis.units import from_rows
from pricing.cli import group
from pricing.model import saved
from pricing.model.price import price
from pricing.model.repair.repair import if_not_fixed, scrap_money
from pricing.web.app import make_app

DAY = "2026-04-30"


def run(home: Path, *words: str):
    return CliRunner().invoke(group, [*words, "--home", str(home), "--as-of", DAY])


def refusal(home: Path, *words: str) -> list[str]:
    result = run(home, *words)
    assert isinstance(result.exception, Refused), result.output
    return [str(problem) for problem in result.exception.problems]


@pytest.mark.parametrize("rate", [0.9, 150.0])
def test_the_tables_money_is_turned_and_nothing_else(rate: float) -> None:
    """Prices, scrap and parts by the rate; days, weights, chances and hours stay."""
    home, away = Settings(), Settings(currency="XAU", dollar_is=rate)
    for name, row in assumed_types(home).items():
        other = assumed_types(away)[name]
        assert other.price == pytest.approx(row.price * rate, rel=1e-12)
        assert other.scrap == pytest.approx(row.scrap * rate, rel=1e-12)
        assert (other.days, other.weight_lb, other.slope_5y) == (
            row.days, row.weight_lb, row.slope_5y
        )  # fmt: skip
    for row, other in zip(assumed_faults(home), assumed_faults(away), strict=True):
        assert other.parts == pytest.approx(row.parts * rate, rel=1e-12)
        assert (other.fix, other.bench_h) == (row.fix, row.bench_h)
    assert generic_type(away).price == pytest.approx(generic_type(home).price * rate, rel=1e-12)


@pytest.mark.parametrize("units", [("mi", "lb"), ("km", "kg")])
def test_defaults_are_turned_with_their_units(units: tuple[str, str]) -> None:
    """A mile, an hour and a pound cost the same in either home; what the person set stays."""
    distance, weight = units
    table = {"currency": "JPY", "dollar_is": 150, "distance_unit": distance, "weight_unit": weight}
    read, problems = read_settings({**table, "hourly_target": 4000})
    away = 1.609344 if distance == "km" else 1.0
    heavy = 1 / 0.45359237 if weight == "kg" else 1.0

    assert not problems
    assert read.hourly_target == pytest.approx(4000)
    assert read.cost_per_distance == pytest.approx(0.45 * 150 / away, rel=1e-9)
    assert read.average_speed == pytest.approx(28 * away, rel=1e-9)
    assert read.holding_cost_per_day == pytest.approx(3 * 150, rel=1e-9)
    assert read.scrap_price_per_weight == pytest.approx(0.07 * 150 * heavy, rel=1e-9)


def test_scrap_is_turned_once() -> None:
    """Scrap money depends on the table and on the price of a pound: the rate counts once."""
    away, _ = read_settings({"currency": "JPY", "dollar_is": 150, "weight_unit": "kg"})
    usd = scrap_money("electric dryer", Settings())
    assert scrap_money("electric dryer", away) == pytest.approx(150 * usd, rel=1e-9)


def test_a_usual_price_tells_a_rate() -> None:
    usual = assumed_types(Settings())["electric dryer"].price * 120
    found = Settings(currency="JPY", usual_price={"electric dryer": usual}).dollar

    assert found == pytest.approx(120, rel=1e-12)


def test_without_a_rate_the_danger_is_said_first_and_no_amount(tmp_path: Path) -> None:
    (tmp_path / "pricing.toml").write_text('currency = "JPY"\n')
    for command in ("offer", "bench", "ask"):
        said = refusal(tmp_path, command, "gas dryer, 6 years, smells of gas")
        assert len(said) > 1 and "gas" in said[0].lower()
        assert "dollar_is" in said[-1] and "JPY" in said[-1]
        assert "¥" not in "".join(said)
    assert "dollar_is" in refusal(tmp_path, "fit")[0]


def test_the_rate_is_said_beside_a_guess(tmp_path: Path) -> None:
    (tmp_path / "pricing.toml").write_text('currency = "JPY"\ndollar_is = 150\n')
    assert run(tmp_path, "fit").exit_code == 0
    for command in ("offer", "bench", "ask"):
        said = run(tmp_path, command, "electric dryer, 8 years, no heat", "--more")
        assert said.exit_code == 0, said.output
        assert "each taken as 150 JPY" in " ".join(said.output.split())


def test_the_rows_of_a_sheet_go_in_without_a_rate(tmp_path: Path) -> None:
    home = tmp_path / "home"
    home.mkdir()
    (home / "pricing.toml").write_text('currency = "JPY"\n')
    sheet = tmp_path / "sales.csv"
    sheet.write_text(
        "unit,type,age,condition,sold,price,outcome\n1,electric dryer,7,good,2026-03-09,27000,sold\n"
    )
    result = run(home, "add", str(sheet))

    assert result.exit_code == 0, result.output
    assert "The rows are in." in result.output and "dollar_is" in result.output


def test_the_same_unit_has_the_same_price_in_other_money_and_units(tmp_path: Path) -> None:
    """No sale, all starting figures: the law of the price and the scrap are turned by the rate to
    1e-9, and the decision on the same trip of ten miles is the same. The limit itself rests on an
    ask that is a round sum in each currency, which no rate turns: it is not held to 1e-9 here."""
    found, decided = {}, []
    for currency, rate, more in (
        ("USD", 1.0, ""),
        ("EUR", 0.9, "dollar_is = 0.9\n"),
        ("JPY", 150.0, 'dollar_is = 150\ndistance_unit = "km"\nweight_unit = "kg"\n'),
    ):
        home = tmp_path / currency
        home.mkdir()
        (home / "pricing.toml").write_text(f'currency = "{currency}"\n{more}')
        assert run(home, "fit").exit_code == 0
        numbers, settings = saved.load(Home(home)), load_settings(Home(home))
        kinds = from_rows([{"type": "electric dryer", "age": 8.0, "condition": "good"}])
        law = price.law(numbers.price, kinds, float(numbers.as_of.toordinal()))
        scrap = if_not_fixed(numbers.repair, "electric dryer", settings)
        found[currency] = [float(np.exp(law.center[0])) / rate, float(law.spread[0]), scrap / rate]
        miles = "16.09344" if currency == "JPY" else "10"
        asked = ["--type", "electric dryer", "--age", "8", "--fault", "no heat", "--miles", miles]
        result = run(home, "offer", *asked, "--their-price", str(5 * rate))
        assert result.exit_code == 0, result.output
        decided.append(result.output.split(".")[0].split(" ")[0])
    assert found["EUR"] == pytest.approx(found["USD"], rel=1e-9)
    assert found["JPY"] == pytest.approx(found["USD"], rel=1e-9)
    assert len(set(decided)) == 1


def test_setup_asks_for_the_currency_and_the_rate(tmp_path: Path) -> None:
    result = CliRunner().invoke(
        group, ["setup", "--home", str(tmp_path), "--as-of", DAY], input="eur\n0.9\n" + "\n" * 12
    )
    read = load_settings(Home(tmp_path))

    assert result.exit_code == 0, result.output
    assert (read.currency, read.dollar_is) == ("EUR", 0.9)
    assert read.hourly_target == pytest.approx(27)


@pytest.mark.parametrize(
    ("page", "words", "danger"),
    [
        ("offer", "gas range smells of gas, 40", "Gas smell"),
        ("bench", "electric dryer, the plug is burnt", "burnt"),
        ("ask", "dehumidifier, 12 years, good", "recall"),
    ],
)
def test_a_page_without_a_rate_says_the_dangers_before_it_asks_for_one(
    page: str, words: str, danger: str, tmp_path: Path
) -> None:
    (tmp_path / "pricing.toml").write_text('currency = "JPY"')
    client = make_app(Home(tmp_path), frozenset({"localhost"})).test_client()
    shown = client.get(f"/{page}", query_string={"words": words}).text
    main = shown[shown.index("<h1>") :]
    assert 0 <= main.index(danger) < main.index("No amount in JPY")
    assert "¥ " not in main.split("<form")[0]
