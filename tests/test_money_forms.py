"""Amounts are written as Babel (CLDR) writes them, in every currency and form, on every surface; the same
forms are read back."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path

import compile_money
import pytest

from pricing.basis.home import Home
from pricing.basis.money_form import Currency, in_form, tables
from pricing.basis.settings import load_settings
from pricing.pages.text import exact, money
from pricing.words.digits import said_number

AMOUNTS = (0, 7, -13, 999, 1234, -27000, 1234567, 12345678)
FORMS = compile_money.FORMS


def of(code: str, form: str) -> Currency:
    return in_form(code, "auto", form)


def test_the_table_is_what_babel_says() -> None:
    pytest.importorskip("babel")
    assert json.loads(json.dumps(compile_money.table())) == tables()
    assert len(tables()["signs"]) > 15 and len(tables()["decimals"]) > 20


@pytest.mark.parametrize("form", FORMS)
def test_amounts_are_as_babel_writes_them(form: str) -> None:
    """To the whole and to the last decimal, of every currency of our time. Two things are ours: the
    sign is that of the currency's own country, and one of letters stands apart from the digits,
    which Babel leaves out and CLDR asks for (currencySpacing)."""
    numbers = pytest.importorskip("babel.numbers")
    from babel import Locale

    pattern = Locale.parse(form).currency_formats["standard"].pattern
    checked = 0
    for code in (
        "USD",
        "EUR",
        "JPY",
        "INR",
        "GBP",
        "CAD",
        "KWD",
        "SEK",
        "CHF",
        "PLN",
        "KRW",
        "BRL",
        "XAF",
    ):
        sign, theirs = compile_money.sign(code), numbers.get_currency_symbol(code, locale=form)
        for value in AMOUNTS:
            for places, ours in (
                (0, money(value, of(code, form))),
                (numbers.get_currency_precision(code), exact(Decimal(value), of(code, form))),
            ):
                digits = pattern.replace(".00", f".{'0' * places}" if places else "")
                babel = numbers.format_currency(
                    value, code, format=digits, locale=form, currency_digits=False
                )
                expected = compile_money.plain(babel.replace(theirs, sign, 1))
                spaced = sign[-1].isalpha() and ours.replace(f"{sign}\u00a0", sign)
                assert expected in (ours, spaced or ours), (code, value, places)
                checked += 1
    assert checked == 13 * len(AMOUNTS) * 2


@pytest.mark.parametrize(
    ("told", "whole", "cents"),
    [
        ('currency = "JPY"', "¥2,500", "¥2,500"),
        ('currency = "INR"', "₹25,00,000", "₹25,00,000.50"),
        ('currency = "EUR"\ndecimal = ","', "1.250\u00a0€", "1.250,50\u00a0€"),
        ('currency = "EUR"', "€1,250", "€1,250.50"),
        ('currency = "PLN"\nmoney_form = "pl_PL"', "1\u00a0250\u00a0zł", "1\u00a0250,50\u00a0zł"),
        ('currency = "SEK"', "kr\u00a01,250", "kr\u00a01,250.50"),
    ],
)
def test_the_settings_say_how(tmp_path: Path, told: str, whole: str, cents: str) -> None:
    (tmp_path / "pricing.toml").write_text(told + "\n", encoding="utf-8")
    currency = load_settings(Home(tmp_path)).currency
    value = {"JPY": 2500.0, "INR": 2500000.5}.get(str(currency), 1250.5)

    assert (money(int(value), currency), exact(value, currency)) == (whole, cents)


@pytest.mark.parametrize("form", FORMS)
def test_what_is_written_is_read_back(form: str) -> None:
    """The number of a field, in each form: a mark that could be either is told both ways."""
    point = tables()["forms"][form]["point"]
    for value in (7.0, 1234.0, 27000.5, 1234567.0):
        text = exact(value, of("EUR", form)).replace("\u00a0", " ")
        assert value in said_number(text, point, True), text


def test_the_currency_of_a_record_does_not_change(tmp_path: Path) -> None:
    """Amounts are not turned: a record has one currency, another one is another record."""
    from pricing.basis.problems import Refused
    from pricing.basis.settings_file import written

    home = Home(tmp_path)
    written(home, {"currency": "EUR"})
    written(home, {"currency": "JPY"})
    (home.data).mkdir()
    (home.data / "record.db").touch()
    before = home.settings_file.read_text(encoding="utf-8")
    with pytest.raises(Refused, match="holds amounts in JPY"):
        written(home, {"currency": "EUR"})
    written(home, {"spots": "4", "currency": "JPY"})

    assert home.settings_file.read_text(encoding="utf-8").startswith(before)


def test_a_question_and_a_sheet_read_the_form_that_is_written(tmp_path: Path) -> None:
    """German form: a point for thousands, a comma for cents, the sign or the code behind."""
    from click.testing import CliRunner

    from pricing.cli import group

    def run(*words: str) -> dict[str, object]:
        done = CliRunner().invoke(group, [*words, "--json", "--home", str(tmp_path / "h")])
        assert done.exit_code == 0, done.output
        return dict(json.loads(done.stdout))

    (tmp_path / "h").mkdir()
    settings = 'currency = "EUR"\ndecimal = ","\ndollar_is = 0.9\n'
    (tmp_path / "h" / "pricing.toml").write_text(settings)
    for said, price in (
        ("1.250 €", 1250.0),
        ("12,50 €", 12.5),
        ("40 EUR", 40.0),
        ("€1.250,50", 1250.5),
    ):
        found = run("read", f"electric dryer, 8 years, no heat, wants {said}")
        assert found["read"]["their_price"] == price and not found["not_understood"], said  # type: ignore[index]
    sheet = tmp_path / "s.csv"
    sheet.write_text(
        "type;sold;price\nwall oven;2026-02-01;1.250,50 €\nwall oven;2026-02-03;1 250,00 EUR\n"
        "dishwasher;2026-02-03;$200\n",
        encoding="utf-8",
    )
    added = run("add", str(sheet), "--no-fit")

    assert (added["control_total"], added["rejected"]) == (2500.5, 1)
    assert "are in EUR" in added["problems"][0]["what"]  # type: ignore[index]
